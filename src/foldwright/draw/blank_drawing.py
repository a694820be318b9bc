"""A blank drawn at any scale, with every label where it can be read.

Room: draw. Templates, maps, marking-out sheets and SVG files all draw their
blanks here; a `View` says where and how large, a `Detail` how much. Lines go
down first, labels after them in the order of how little freedom they have:
check lengths, fold letters, witness letters, numbers, panel names, and last
the words THIS SIDE UP.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from foldwright.draw.blank import Blank, FoldLine, MarkedPoint, outline_points
from foldwright.draw.drawing import (
    BEND,
    CHECK,
    CUT,
    DIMENSION,
    HIDDEN,
    LETTERING,
    LETTERING_NARROW,
    LETTERING_SLOPED,
    MIDDLE,
    TICK,
    WITNESS,
    ZONE,
    Area,
    Box,
    Face,
    Group,
    Item,
    Path,
    Pen,
    Point,
    Stroke,
    Words,
    bounds,
    circle,
    line,
    moved,
)
from foldwright.draw.fonts import text_width
from foldwright.draw.placing import (
    Frame,
    Ground,
    baseline,
    clipped,
    is_inside,
    label_frame,
    places_within,
)
from foldwright.draw.sheet import drill_sign

_CIRCLE = 2.6  # radius of a fold letter's circle [mm]
_SHORT_FOLD = 9.0  # a fold shorter than this on paper gets its letter beside it [mm]
_STROKE = 3.2  # length of a witness mark [mm]
_NUMBER = 2.4
_NEAR = 2.2  # points closer than this on paper share one label [mm]


@dataclass(frozen=True)
class View:
    """Where a blank stands on the page.

    `origin` is the page position of the datum corner, `scale` paper mm per mm,
    `window` the part of the page that may be drawn on.
    """

    origin: Point
    scale: float
    window: Box

    def at(self, p: Point) -> Point:
        """Page position of a point of the blank."""
        return (self.origin[0] + self.scale * p[0], self.origin[1] + self.scale * p[1])


@dataclass(frozen=True)
class Detail:
    """How much of a blank is drawn.

    `checks` are pairs of points with the words for their distance; `leaders`
    takes names that find no room off the material.
    """

    zones: bool = False
    wash: bool = False
    witnesses: bool = True
    numbers: bool = False
    ticks: bool = True
    names: bool = True
    side_up: bool = True
    leaders: bool = False
    name_size: float = 3.5
    checks: tuple[tuple[Point, Point, str], ...] = ()


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


# Scales that keep a rule useful; the first that fits is taken. ISO 5455 has
# 1:2, 1:5, 1:10, 1:20 and on; those between leave a small sheet less empty.
_SCALES = (1.0, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0)


def fitting_scale(width: float, height: float, room_width: float, room_height: float) -> float:
    """Smallest reduction (2 means 1:2) at which a drawing fits its room."""
    least = max(width / room_width, height / room_height)
    return next((s for s in _SCALES if s >= least), 100.0 * math.ceil(least / 100.0))


def fold_pen(fold: FoldLine) -> Pen:
    """Pen for the middle line of a fold."""
    if fold.other_side:
        return HIDDEN
    return BEND if fold.fold.method == "bend" else MIDDLE


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
    lines += _drills(blank, view, ground)
    labels: list[Item] = []
    for a, b, words in detail.checks:
        items, marks = _check(view.at(a), view.at(b), words, ground)
        lines += items
        labels += marks
    labels += _fold_letters(blank, view, ground)
    if detail.witnesses:
        strokes, letters = _witness_marks(blank, view, ground)
        lines += strokes
        labels += letters
    if detail.ticks:
        lines += _ticks(blank, view)
    if detail.numbers:
        labels += _numbers(blank, view, ground)
    if detail.names:
        labels += _names(blank, view, ground, detail)
    if detail.side_up:
        labels += _side_up(blank, view, ground)
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
        if not detail.zones:
            continue
        for p, q in zip(fold.zone, (*fold.zone[1:], *fold.zone[:1]), strict=True):
            ends = view.at(p), view.at(q)
            if _is_along(p, q, fold.a, fold.b) and clipped(*ends, view.window.grown(1.0)):
                items.append(line(*ends, ZONE))
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
        items += drill_sign(place, max(true, 0.7))
        reach = max(true, 0.7) + 0.9
        ground.take(Frame(place, (reach, reach)))
    return items


def _check(a: Point, b: Point, words: str, ground: Ground) -> tuple[list[Item], list[Item]]:
    """Draw a check length with its words in a gap of the line."""
    turn = math.atan2(b[1] - a[1], b[0] - a[0])
    upright = turn if abs(turn) <= math.pi / 2.0 else turn - math.copysign(math.pi, turn)
    size = 2.8
    width = text_width(words, LETTERING, size)
    length = math.dist(a, b)
    frames = [
        label_frame(
            (a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])), width, size, 0.9, upright
        )
        for t in (0.3, 0.7, 0.25, 0.75, 0.35, 0.65, 0.2, 0.8, 0.4, 0.6, 0.5, 0.15, 0.85)
        if min(t, 1.0 - t) * length > width / 2.0 + 3.0
    ]
    if not frames:
        ground.add_line(a, b)
        return [line(a, b, CHECK)], []
    best = ground.least_bad(frames)
    ground.take(best)
    half = best.half[0]
    cos, sin = math.cos(turn), math.sin(turn)
    before = (best.middle[0] - half * cos, best.middle[1] - half * sin)
    after = (best.middle[0] + half * cos, best.middle[1] + half * sin)
    ground.add_line(a, before)
    ground.add_line(after, b)
    text = Words(baseline(best, size), words, size, LETTERING, "middle", upright)
    return [line(a, before, CHECK), line(after, b, CHECK)], [text]


def _fold_letters(blank: Blank, view: View, ground: Ground) -> list[Item]:
    items: list[Item] = []
    seen = []
    for fold in blank.folds:
        ends = clipped(view.at(fold.a), view.at(fold.b), view.window)
        if ends and math.dist(*ends) > 3.0:
            seen.append((fold, *ends))
    for fold, a, b in seen:
        if math.dist(a, b) >= _SHORT_FOLD:
            items += _letter_on(fold.letter, a, b, ground)
    for _, a, b in seen:
        ground.add_line(a, b)
    for fold, a, b in seen:
        if math.dist(a, b) < _SHORT_FOLD:
            items += _letter_beside(fold.letter, a, b, ground)
    return items


def _letter_on(letter: str, a: Point, b: Point, ground: Ground) -> list[Item]:
    frames = [
        Frame(_between(a, b, t), (_CIRCLE + 0.4, _CIRCLE + 0.4))
        for t in (0.5, 0.42, 0.58, 0.35, 0.65, 0.28, 0.72, 0.22, 0.78)
    ]
    best = ground.first_free(frames) or ground.least_bad(frames)
    ground.take(best)
    return _ringed(letter, best.middle)


def _letter_beside(letter: str, a: Point, b: Point, ground: Ground) -> list[Item]:
    """Put the letter of a short fold beside it, on a leader."""
    mid = _between(a, b, 0.5)
    frames = [
        Frame(
            (mid[0] + reach * math.cos(k * math.pi / 8), mid[1] + reach * math.sin(k * math.pi / 8)),
            (_CIRCLE + 0.4, _CIRCLE + 0.4),
        )
        for reach in (6.0, 8.0, 10.0, 13.0)
        for k in range(16)
    ]
    best = ground.first_free(frames) or ground.least_bad(frames)
    ground.take(best)
    away = math.dist(mid, best.middle)
    edge = _between(mid, best.middle, 1.0 - _CIRCLE / away)
    return [line(mid, edge, DIMENSION), Area(circle(mid, 0.45)), *_ringed(letter, best.middle)]


def _ringed(letter: str, at: Point) -> list[Item]:
    ring = circle(at, _CIRCLE)
    size = 3.3 if len(letter) == 1 else 2.5
    return [
        Area(ring, "paper"),
        Stroke(ring, DIMENSION),
        Words((at[0], at[1] - 0.36 * size), letter, size, LETTERING, "middle"),
    ]


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
    size = 2.7
    for letter, at, along, into in wanted:
        width = text_width(letter, LETTERING_SLOPED, size)
        frames = [
            label_frame(
                (
                    at[0] + deep * into[0] + side * along[0],
                    at[1] + deep * into[1] + side * along[1],
                ),
                width, size, 0.35,
            )
            for deep, side in (
                (2.0, 1.8), (2.0, -1.8), (4.8, 0.0), (2.2, 2.6), (2.2, -2.6), (4.6, 1.5),
                (4.6, -1.5), (6.0, 0.0), (-2.0, 0.0), (-2.2, 1.6), (-2.2, -1.6), (6.5, 2.5),
            )
        ]
        best = ground.first_free(frames) or ground.least_bad(frames)
        ground.take(best)
        letters.append(Words(baseline(best, size), letter, size, LETTERING_SLOPED, "middle"))
    return strokes, letters


def _ticks(blank: Blank, view: View) -> list[Item]:
    """Small crosses at the points to mark, to be pricked through or measured to."""
    items: list[Item] = []
    for point in blank.points:
        x, y = view.at(point.at)
        if view.window.grown(1.5).holds((x, y)) and point.kind != "drill":
            items.append(line((x - 1.1, y), (x + 1.1, y), TICK))
            items.append(line((x, y - 1.1), (x, y + 1.1), TICK))
    return items


def clusters(points: tuple[MarkedPoint, ...], view: View) -> list[list[MarkedPoint]]:
    """Points that lie too close on paper for a number each, together."""
    groups: list[list[MarkedPoint]] = []
    for point in points:
        near = [
            g for g in groups
            if any(math.dist(point.at, q.at) * view.scale < _NEAR for q in g)
        ]
        merged = [q for g in near for q in g] + [point]
        groups = [g for g in groups if g not in near] + [merged]
    return sorted((sorted(g, key=lambda q: q.number) for g in groups), key=lambda g: g[0].number)


def numbers_of(numbers: list[int]) -> str:
    """Write rising numbers short: 3, 4, 5, 9 becomes ``3–5 9``."""
    out: list[str] = []
    i = 0
    while i < len(numbers):
        j = i
        while j + 1 < len(numbers) and numbers[j + 1] == numbers[j] + 1:
            j += 1
        if j - i >= 2:
            out.append(f"{numbers[i]}–{numbers[j]}")
        else:
            out += [str(n) for n in numbers[i : j + 1]]
        i = j + 1
    return " ".join(out)


def _numbers(blank: Blank, view: View, ground: Ground) -> list[Item]:
    items: list[Item] = []
    polygon = [view.at(p) for p in outline_points(blank)]
    for group in clusters(blank.points, view):
        places = [view.at(p.at) for p in group]
        mid = (
            sum(p[0] for p in places) / len(places), sum(p[1] for p in places) / len(places)
        )
        text = numbers_of([p.number for p in group])
        width = text_width(text, LETTERING, _NUMBER)
        frames = list(_around(mid, width, polygon))
        best = ground.first_free(frames) or ground.least_bad(frames)
        ground.take(best)
        items.append(Words(baseline(best, _NUMBER), text, _NUMBER, LETTERING, "middle"))
        gap = math.dist(mid, best.middle)
        if gap > 5.2 + width / 2.0:  # too far away to belong by nearness alone
            items.append(line(mid, _between(mid, best.middle, 1.0 - (width / 2 + 1.0) / gap), TICK))
    return items


def _around(mid: Point, width: float, polygon: list[Point]) -> Iterator[Frame]:
    """Frames round a point, nearest first, outside the material before inside."""
    candidates = []
    for reach in (1.9, 2.6, 3.4, 4.6, 6.5, 9.0):
        for k in range(16):
            angle = (k + 0.5) * math.pi / 8.0
            cos, sin = math.cos(angle), math.sin(angle)
            at = (
                mid[0] + reach * cos + 0.5 * width * cos,
                mid[1] + reach * sin,
            )
            inner = is_inside(at, polygon)
            candidates.append((reach + 1.5 * inner, k, label_frame(at, width, _NUMBER, 0.35)))
    yield from (frame for _, _, frame in sorted(candidates, key=lambda c: c[:2]))


def _names(blank: Blank, view: View, ground: Ground, detail: Detail) -> list[Item]:
    items: list[Item] = []
    left: list[tuple[str, list[Point]]] = []
    for panel in blank.panels:
        polygon = [view.at(p) for p in panel.flat]
        found = _name_in(panel.name, polygon, ground, detail.name_size)
        if found:
            items.append(found)
        else:
            left.append((panel.name, polygon))
    if detail.leaders:
        outline = [view.at(p) for p in outline_points(blank)]
        for name, polygon in left:
            items += _name_beside(name, polygon, outline, ground)
    return items


def _name_beside(
    name: str, polygon: list[Point], outline: list[Point], ground: Ground
) -> list[Item]:
    """Name of a panel that has no room for it, off the material on a leader."""
    size = 2.8
    spots = list(places_within(polygon, ground.window, 1.2))
    dot = next((p for p in spots if ground.is_free(Frame(p, (0.6, 0.6)))), None)
    if dot is None:
        return []
    width = text_width(name, LETTERING, size)
    best: tuple[float, Frame] | None = None
    for reach in range(6, 60, 3):
        for k in range(24):
            angle = k * math.pi / 12.0
            at = (dot[0] + reach * math.cos(angle), dot[1] + reach * math.sin(angle))
            frame = label_frame(at, width, size, 1.0)
            if is_inside(at, outline) or not ground.is_free(frame):
                continue
            cost = reach + 12.0 * ground.crossed(dot, at)
            if best is None or cost < best[0]:
                best = (cost, frame)
    if best is None:
        return []
    frame = best[1]
    ground.take(frame)
    end = _edge_of(frame, dot)
    ground.add_line(dot, end)
    text = Words(baseline(frame, size), name, size, LETTERING, "middle")
    return [line(dot, end, DIMENSION), Area(circle(dot, 0.5)), text]


def _edge_of(frame: Frame, away: Point) -> Point:
    """Where the line from `away` to the middle of an upright frame enters it."""
    dx, dy = away[0] - frame.middle[0], away[1] - frame.middle[1]
    t = min(
        frame.half[0] / abs(dx) if dx else math.inf, frame.half[1] / abs(dy) if dy else math.inf
    )
    return (frame.middle[0] + t * dx, frame.middle[1] + t * dy)


def _name_in(name: str, polygon: list[Point], ground: Ground, size: float) -> Words | None:
    """Largest way to write a name inside a polygon, upright if possible; None if none."""
    trials: tuple[tuple[float, Face, float], ...] = (
        (size, LETTERING, 0.0),
        (size * 0.8, LETTERING, 0.0),
        (size * 0.8, LETTERING, math.pi / 2.0),
        (size * 0.7, LETTERING_NARROW, 0.0),
        (size * 0.7, LETTERING_NARROW, math.pi / 2.0),
    )
    for height, face, turn in trials:
        width = text_width(name, face, height)
        frames = (
            label_frame(at, width, height, 1.0, turn)
            for at in places_within(polygon, ground.window, 2.5)
        )
        found = ground.first_free(frames)
        if found:
            ground.take(found)
            return Words(baseline(found, height), name, height, face, "middle", turn)
    return None


def _side_up(blank: Blank, view: View, ground: Ground) -> list[Item]:
    """Write THIS SIDE UP on the material; smaller where room is short, left out where none is."""
    polygon = [view.at(p) for p in outline_points(blank)]
    below = blank.side_up
    for capitals, small in ((6.2, 2.9), (4.8, 2.6), (3.6, 2.3)):
        gap = 0.75 * small
        width = max(text_width("THIS SIDE UP", LETTERING, capitals), text_width(below, LETTERING, small))
        height = 0.72 * capitals + gap + 0.95 * small
        found = ground.first_free(
            Frame(at, (width / 2.0 + 1.5, height / 2.0 + 1.5))
            for at in places_within(polygon, ground.window, 4.0)
            if _holds(polygon, at, width, height)
        )
        if found:
            ground.take(found)
            x, y = found.middle
            top = y + height / 2.0 - 0.72 * capitals
            return [
                Words((x, top), "THIS SIDE UP", capitals, LETTERING, "middle"),
                Words((x, top - gap - 0.72 * small), below, small, LETTERING, "middle", soft=True),
            ]
    return []


def _holds(polygon: list[Point], at: Point, width: float, height: float) -> bool:
    return all(
        is_inside((at[0] + sx * width / 2.0, at[1] + sy * height / 2.0), polygon)
        for sx in (-1, 1)
        for sy in (-1, 1)
    )


def _between(a: Point, b: Point, t: float) -> Point:
    return (a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1]))
