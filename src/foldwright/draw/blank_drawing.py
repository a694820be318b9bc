"""A blank drawn at any scale, with every label where it can be read.

Room: draw. Templates, maps, marking-out sheets and SVG files all draw their
blanks here; a `View` says where and how large, a `Detail` how much. Lines go
down first, labels after them in the order of how little freedom they have:
check lengths, fold letters, witness letters, numbers, what to trim, panel
names, and last the words THIS SIDE UP.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from foldwright.box import Box
from foldwright.draw.blank import Blank, FoldLine
from foldwright.draw.drawing import (
    BEND,
    CURL,
    CUT,
    HEAT,
    HIDDEN,
    KERF,
    LETTERING_SLOPED,
    MIDDLE,
    SCORE,
    TICK,
    TRIM_LINE,
    WITNESS,
    ZONE,
    Area,
    Group,
    Item,
    Path,
    Pen,
    Point,
    Stroke,
    Words,
    bounds,
    line,
    moved,
)
from foldwright.draw.fonts import text_width
from foldwright.draw.labels import (
    check_line,
    fold_letters,
    grain_sign,
    panel_names,
    point_numbers,
    side_up_words,
    trim_words,
)
from foldwright.draw.placing import (
    Frame,
    Ground,
    baseline,
    clipped,
    label_frame,
)
from foldwright.draw.sheet import READ, drill_sign, place_sign, prick_sign
from foldwright.draw.view import Detail, View

_STROKE = 3.2  # length of a witness mark [mm]


@dataclass(frozen=True)
class BlankPicture:
    """What came of drawing a blank: its lines (to be clipped), its labels, the room left."""

    areas: tuple[Item, ...]
    lines: tuple[Item, ...]
    labels: tuple[Item, ...]
    ground: Ground

    def group(self, clip: Box | None) -> Group:
        """Return all of it as one group."""
        return Group((Group((*self.areas, *self.lines), clip=clip), *self.labels))


def fold_pen(fold: FoldLine) -> Pen:
    """Pen for the middle line of a fold."""
    if fold.other_side:
        return HIDDEN
    pens = {"bend": BEND, "kerf": KERF, "score": SCORE, "hot": HEAT}
    return pens.get(fold.fold.method, MIDDLE)


def draw_blank(
    blank: Blank,
    view: View,
    detail: Detail,
    taken: tuple[Frame, ...] = (),
    fences: tuple[tuple[Point, Point], ...] = (),
) -> BlankPicture:
    """Draw a blank.

    Parameters
    ----------
    blank : Blank
    view : View
    detail : Detail
    taken : tuple of Frame
        Room on the page that labels must leave free.
    fences : tuple of (Point, Point)
        Straight lines on the page that no label may cross.
    """
    ground = Ground(view.window)
    for frame in taken:
        ground.take(frame)
    for a, b in fences:
        ground.add_line(a, b)
    outline = _placed(blank.outline, view)
    areas: list[Item] = [Area(outline, "wash")] if detail.wash else []
    lines: list[Item] = []
    for path in (outline, *(_placed(c, view) for c in blank.cutouts)):
        ground.add_path(path)
        if detail.wash and path is not outline:
            areas.append(Area(path, "paper"))
        lines.append(Stroke(_near(path, view.window), CUT))
    lines += _fold_lines(blank, view, detail)
    lines += _inner_lines(blank.curls, CURL, view, ground)
    lines += _inner_lines(blank.trims, TRIM_LINE, view, ground)
    lines += _drills(blank, view, ground)
    lines += _pricks(blank, view, ground)
    labels: list[Item] = []
    others = [(view.at(f.a), view.at(f.b)) for f in blank.folds]
    others += [(view.at(a), view.at(b)) for a, b, _ in detail.checks]
    for a, b, words in detail.checks:
        items, marks = check_line(view.at(a), view.at(b), words, ground, others)
        lines += items
        labels += marks
    labels += fold_letters(blank, view, ground)
    if detail.zones:  # after the letters, which stand on their zones
        for p, q in _zone_edges(blank):
            ground.add_line(view.at(p), view.at(q))
    if detail.witnesses:
        strokes, letters = _witness_marks(blank, view, ground)
        lines += strokes
        labels += letters
    if detail.ticks:
        lines += _ticks(blank, view, ground)
    if detail.numbers:
        labels += point_numbers(blank, view, ground, detail.all_numbers)
    labels += trim_words(blank, view, ground)
    if detail.names:
        labels += panel_names(blank, view, ground, detail)
    if detail.side_up:
        labels += side_up_words(blank, view, ground)
    if blank.grain is not None:
        labels += grain_sign(blank, blank.grain, view, ground)
    kept = [s for s in lines if not isinstance(s, Stroke) or s.path]
    return BlankPicture(tuple(areas), tuple(kept), tuple(labels), ground)


def _placed(path: Path, view: View) -> Path:
    return moved(path, view.at)


def _near(path: Path, window: Box) -> Path:
    """Segments that reach into the window; what lies off the page is left out."""
    room = window.grown(1.0)
    return tuple(s for s in path if bounds((s,)).meets(room))


def _fold_lines(blank: Blank, view: View, detail: Detail) -> list[Item]:
    items: list[Item] = []
    for fold in blank.folds:
        a, b = view.at(fold.a), view.at(fold.b)
        if clipped(a, b, view.window.grown(1.0)):
            items.append(line(a, b, fold_pen(fold)))
    for p, q in _zone_edges(blank) if detail.zones else ():
        ends = view.at(p), view.at(q)
        if clipped(*ends, view.window.grown(1.0)):
            items.append(line(*ends, ZONE))
    return items


def _zone_edges(blank: Blank) -> list[tuple[Point, Point]]:
    """Long sides of the zones of all folds."""
    return [
        (p, q)
        for fold in blank.folds
        for p, q in zip(fold.zone, (*fold.zone[1:], *fold.zone[:1]), strict=True)
        if _is_along(p, q, fold.a, fold.b)
    ]


def _inner_lines(
    lines: Sequence[tuple[Point, Point]], pen: Pen, view: View, ground: Ground
) -> list[Item]:
    """Straight lines that are marked and not cut, at least not yet."""
    items: list[Item] = []
    for a, b in lines:
        ends = view.at(a), view.at(b)
        if clipped(*ends, view.window.grown(1.0)):
            ground.add_line(*ends)
            items.append(line(*ends, pen))
    return items


def _is_along(p: Point, q: Point, a: Point, b: Point) -> bool:
    """Whether p-q is one of the two long sides of a zone whose middle is a-b."""
    ux, uy = q[0] - p[0], q[1] - p[1]
    vx, vy = b[0] - a[0], b[1] - a[1]
    return abs(ux * vy - uy * vx) < 0.05 * math.hypot(ux, uy) * math.hypot(vx, vy)


def _drills(blank: Blank, view: View, ground: Ground) -> list[Item]:
    items: list[Item] = []
    for at, mark in blank.drills:
        place = view.at(at)
        if not view.window.grown(2.0).holds(place):
            continue
        true = 0.5 * mark.d * view.scale
        items += place_sign(place) if mark.kind == "centre" else drill_sign(place, max(true, 0.7))
        reach = max(true, 0.7) + 0.9
        ground.take(Frame(place, (reach, reach)))
    return items


def _pricks(blank: Blank, view: View, ground: Ground) -> list[Item]:
    items: list[Item] = []
    for point in blank.pricks:
        place = view.at(point)
        if view.window.grown(2.0).holds(place):
            items += prick_sign(place)
            ground.take(Frame(place, (1.4, 1.4)))
    return items


def _witness_marks(blank: Blank, view: View, ground: Ground) -> tuple[list[Item], list[Item]]:
    strokes: list[Item] = []
    letters: list[Item] = []
    inward = -1.0 if blank.side == "inside" else 1.0
    wanted = []
    for seam in blank.seams:
        at = view.at(seam.witness)
        if not seam.letter or not view.window.holds(at):
            continue
        length = math.dist(seam.a, seam.b)
        along = ((seam.b[0] - seam.a[0]) / length, (seam.b[1] - seam.a[1]) / length)
        into = (-inward * along[1], inward * along[0])
        tip = (at[0] + _STROKE * into[0], at[1] + _STROKE * into[1])
        strokes.append(line(at, tip, WITNESS))
        ground.add_line(at, tip)
        wanted.append((seam.letter, at, along, into))
    size = READ
    for letter, at, along, into in wanted:
        width = text_width(letter, LETTERING_SLOPED, size)
        frames = [
            label_frame(
                (
                    at[0] + deep * into[0] + side * along[0],
                    at[1] + deep * into[1] + side * along[1],
                ),
                width,
                size,
                0.35,
            )
            for deep, side in (
                (2.0, 1.8),
                (2.0, -1.8),
                (4.8, 0.0),
                (2.2, 2.6),
                (2.2, -2.6),
                (4.6, 1.5),
                (4.6, -1.5),
                (6.0, 0.0),
                (-2.0, 0.0),
                (-2.2, 1.6),
                (-2.2, -1.6),
                (6.5, 2.5),
            )
        ]
        best = ground.first_free(frames) or ground.least_bad(frames)
        ground.take(best)
        letters.append(Words(baseline(best, size), letter, size, LETTERING_SLOPED, "middle"))
    return strokes, letters


def _ticks(blank: Blank, view: View, ground: Ground) -> list[Item]:
    """Small crosses at the points to mark, to be pricked through or measured to."""
    items: list[Item] = []
    for point in blank.points:
        x, y = view.at(point.at)
        if view.window.grown(1.5).holds((x, y)) and point.kind != "drill":
            if point.kind == "centre":
                ground.take(Frame((x, y), (1.2, 1.2)))
            items.append(line((x - 1.1, y), (x + 1.1, y), TICK))
            items.append(line((x, y - 1.1), (x, y + 1.1), TICK))
    return items
