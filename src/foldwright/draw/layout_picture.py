"""One sheet to scale: its edge and trim, the blanks on it, their names and figures.

Room: draw. `layouts` sets this picture on its pages. A blank is drawn as it is
marked, turned about its datum corner and moved to where it lies.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from foldwright.box import Box
from foldwright.draw.blank import Blank
from foldwright.draw.blank_drawing import fold_pen
from foldwright.draw.drawing import (
    CUT,
    DIMENSION,
    LETTERING,
    LETTERING_NARROW,
    SHEET,
    TRIM_LINE,
    Area,
    Face,
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
    polyline,
    sampled,
)
from foldwright.draw.fonts import text_width
from foldwright.draw.info import SheetInfo
from foldwright.draw.placing import (
    Frame,
    Ground,
    baseline,
    is_inside,
    label_frame,
    places_within,
)
from foldwright.draw.running import Reading, band, is_crowded, scale_along
from foldwright.draw.sheet import (
    GRAIN_SIGN,
    NAME,
    grain_arrow,
)
from foldwright.draw.view import View, fitting_scale

if TYPE_CHECKING:
    from foldwright.sheet import SheetLayout

TRIM = Pen("edge trim", 0.18, (0.6, 0.9))
OUTLINE = replace(CUT, width=0.35)  # narrower: at 1:15 a saw cut would drown between two
FREE = Pen("saw cut that frees the remainder", 0.25, (3.5, 0.9))

_SAME = 0.05  # positions that print alike share a tick [mm]
_DATUM = 0.8  # radius of the ring round a datum corner [mm]
_NUMBER = 3.5


@dataclass(frozen=True)
class Laid:
    """A blank on its sheet: number, where its datum corner lies from the sheet's, and turn."""

    number: int
    blank: Blank
    at: Point
    turn: float

    def on_sheet(self, p: Point) -> Point:
        """Where a point of the blank lies, from the sheet's lower left corner."""
        cos, sin = math.cos(self.turn), math.sin(self.turn)
        return (self.at[0] + p[0] * cos - p[1] * sin, self.at[1] + p[0] * sin + p[1] * cos)


def corner_of(sheet: SheetLayout) -> Point:
    """Lower left corner of the rectangle round a sheet [mm]."""
    xs, ys = zip(*sheet.sheet.outline, strict=True)
    return (min(xs), min(ys))


def size_of(sheet: SheetLayout) -> Point:
    """Width and height of the rectangle round a sheet [mm]."""
    xs, ys = zip(*sheet.sheet.outline, strict=True)
    return (max(xs) - min(xs), max(ys) - min(ys))


def fitted(
    sheet: SheetLayout, laid: Sequence[Laid], info: SheetInfo, room: Box
) -> tuple[float, bool]:
    """Reduction at which a sheet fits the room with its scales, and if these are too crowded."""
    width, height = size_of(sheet)
    across, up = _readings(laid, info, 0, width), _readings(laid, info, 1, height)
    crowded = is_crowded(up, room.height - 20.0) or is_crowded(across, room.width - 30.0)
    beside, below = (2.0, 2.0) if crowded else (band(up), band(across))
    ratio = fitting_scale(width, height, room.width - beside - 2.0, room.height - below - 2.0)
    return ratio, crowded


def sheet_picture(
    sheet: SheetLayout, laid: Sequence[Laid], info: SheetInfo, room: Box
) -> tuple[list[Item], float, float]:
    """Sheet with its scales in the room; also the reduction and the lower end."""
    width, height = size_of(sheet)
    across, up = _readings(laid, info, 0, width), _readings(laid, info, 1, height)
    ratio, crowded = fitted(sheet, laid, info, room)
    beside, below = (2.0, 2.0) if crowded else (band(up), band(across))
    scale = 1.0 / ratio
    slack = room.width - beside - 2.0 - width * scale
    origin = (room.left + beside + 0.3 * slack, room.high - 1.0 - height * scale)
    bottom = origin[1] - below
    view = View(origin, scale, Box(room.left, bottom, room.right, room.high + 1.0))
    items = _lines(sheet, laid, view)
    if not crowded:
        # labels need their length whatever the scale
        low = min(origin[1] - 2.0, room.high - 3.3 * len(up))
        bottom = min(bottom, low - 2.0)
        items += scale_along(up, view, height, 1, (low, room.high))
        items += scale_along(across, view, width, 0, (origin[0] - 4.0, room.right - 1.5))
    items += _labels(sheet, laid, view, info)
    return items, ratio, max(bottom, room.low)


def _readings(
    laid: Sequence[Laid], info: SheetInfo, axis: int, extent: float
) -> tuple[Reading, ...]:
    """Ticks along one edge: where datum corners lie, and the edge's own ends."""
    groups: list[tuple[float, list[int]]] = [(0.0, [])]
    for value, number in sorted((spot.at[axis], spot.number) for spot in laid):
        if value - groups[-1][0] < _SAME:
            groups[-1][1].append(number)
        else:
            groups.append((value, [number]))
    if extent - groups[-1][0] > _SAME:
        groups.append((extent, []))
    return tuple(
        Reading(value, " ".join(map(str, sorted(numbers))) or "edge", info.length(value))
        for value, numbers in groups
    )


def line_names(sheet: SheetLayout, laid: Sequence[Laid]) -> list[Pen | str]:
    """Pens and signs that the picture uses, for the legend."""
    folds = [_narrow(fold_pen(fold)) for spot in laid for fold in spot.blank.folds]
    trims = [_narrow(TRIM_LINE)] if any(spot.blank.trims for spot in laid) else []
    names: list[Pen | str] = [OUTLINE, *dict.fromkeys(folds), *trims, SHEET]
    names += [TRIM] if sheet.stock.trim > 0.0 else []
    names += [FREE] if sheet.remainder else []
    names += [GRAIN_SIGN] if sheet.stock.grain else []
    return names


def _lines(sheet: SheetLayout, laid: Sequence[Laid], view: View) -> list[Item]:
    """Sheet, trim, blanks with their folds, and the cut that frees the remainder."""
    left, low = corner_of(sheet)
    outline = [(x - left, y - low) for x, y in sheet.sheet.outline]
    items: list[Item] = []
    # large ones first: a small one may lie in a window of theirs
    for spot in sorted(laid, key=lambda s: -s.blank.box.width * s.blank.box.height):
        items.append(Area(_path(spot, spot.blank.outline, view), "wash"))
        items += [Area(_path(spot, c, view), "paper") for c in spot.blank.cutouts]
    for spot in laid:
        paths = (spot.blank.outline, *spot.blank.cutouts)
        items += [Stroke(_path(spot, path, view), OUTLINE) for path in paths]
        items += [
            line(view.at(spot.on_sheet(f.a)), view.at(spot.on_sheet(f.b)), _narrow(fold_pen(f)))
            for f in spot.blank.folds
        ]
        items += [
            line(view.at(spot.on_sheet(a)), view.at(spot.on_sheet(b)), _narrow(TRIM_LINE))
            for a, b in spot.blank.trims
        ]
        items.append(Stroke(circle(view.at(spot.at), _DATUM), DIMENSION))
    items.append(Stroke(polyline([view.at(p) for p in outline], closed=True), SHEET))
    for ring in _inset(outline, sheet.stock.trim):
        items.append(Stroke(polyline([view.at(p) for p in ring], closed=True), TRIM))
    cut = _freeing_cut(sheet)
    if cut:
        items.append(line(view.at(cut[0]), view.at(cut[1]), FREE))
    return items


def _narrow(pen: Pen) -> Pen:
    """Pen at half the width of the outlines here."""
    return replace(pen, width=0.18)


def _path(spot: Laid, path: Path, view: View) -> Path:
    return moved(path, lambda p: view.at(spot.on_sheet(p)))


def _inset(outline: Sequence[Point], trim: float) -> list[list[Point]]:
    """Rings a trim inside of a sheet; none without trim."""
    if trim <= 0.0:
        return []
    import shapely

    inner = shapely.Polygon(outline).buffer(-trim, join_style="mitre")
    parts = [g for g in shapely.get_parts(inner) if not g.is_empty]
    return [[(float(x), float(y)) for x, y in part.exterior.coords[:-1]] for part in parts]


def _freeing_cut(sheet: SheetLayout) -> tuple[Point, Point] | None:
    """Edge of the remainder that has to be sawn, from the sheet's corner."""
    rest = sheet.remainder
    if rest is None:
        return None
    left, low = corner_of(sheet)
    width, height = size_of(sheet)
    if rest.low - low > _SAME:
        return (0.0, rest.low - low), (width, rest.low - low)
    return (rest.left - left, 0.0), (rest.left - left, height)


def _labels(sheet: SheetLayout, laid: Sequence[Laid], view: View, info: SheetInfo) -> list[Item]:
    """Number and name on each blank, words on the remainder, the grain."""
    ground = Ground(view.window)
    for spot in laid:
        for path in (spot.blank.outline, *spot.blank.cutouts):
            ground.add_path(_path(spot, path, view))
        for fold in spot.blank.folds:
            ground.add_line(view.at(spot.on_sheet(fold.a)), view.at(spot.on_sheet(fold.b)))
        for a, b in spot.blank.trims:
            ground.add_line(view.at(spot.on_sheet(a)), view.at(spot.on_sheet(b)))
        ground.take(Frame(view.at(spot.at), (_DATUM, _DATUM)))
    left, low = corner_of(sheet)
    outline = [(x - left, y - low) for x, y in sheet.sheet.outline]
    for ring in (outline, *_inset(outline, sheet.stock.trim)):
        ground.add_path(polyline([view.at(p) for p in ring], closed=True))
    cut = _freeing_cut(sheet)
    if cut:
        ground.add_line(view.at(cut[0]), view.at(cut[1]))
    items: list[Item] = []
    if sheet.stock.grain:
        items += _grain(sheet, view, ground)
    # the smallest blanks have the least choice
    for spot in sorted(laid, key=lambda s: s.blank.box.width * s.blank.box.height):
        items.append(_label(spot, view, ground))
    if sheet.remainder:
        items += _remainder_words(sheet, view, info, ground)
    return items


def _label(spot: Laid, view: View, ground: Ground) -> Words:
    """Write number and name where they fit, or the number alone."""
    polygon = [view.at(spot.on_sheet(p)) for p in sampled(spot.blank.outline)]
    windows = [[view.at(spot.on_sheet(p)) for p in sampled(c)] for c in spot.blank.cutouts]
    name = f"{spot.number}  {spot.blank.title}"
    trials: list[tuple[str, float, Face, float]] = [
        (text, size, face, turn)
        for text in (name, str(spot.number))
        for size, face in ((_NUMBER, LETTERING), (2.8, LETTERING), (2.4, LETTERING_NARROW))
        for turn in (0.0, math.pi / 2.0)
    ]
    places = [
        p
        for p in places_within(polygon, ground.window, 2.0)
        if not any(is_inside(p, w) for w in windows)
    ]
    for text, size, face, turn in trials:
        width = text_width(text, face, size)
        found = ground.first_free(label_frame(p, width, size, 0.7, turn) for p in places)
        if found:
            ground.take(found)
            return Words(baseline(found, size), text, size, face, "middle", turn)
    text, size = str(spot.number), 2.4
    box = bounds(_path(spot, spot.blank.outline, view))
    frames = _around(box, text_width(text, LETTERING_NARROW, size), size)
    best = ground.least_bad(frames)
    ground.take(best)
    return Words(baseline(best, size), text, size, LETTERING_NARROW, "middle")


def _around(box: Box, width: float, size: float) -> list[Frame]:
    """Frames on and round a small blank, the middle first."""
    (x, y), w, h = box.middle, 0.5 * (box.width + width) + 1.2, 0.5 * (box.height + size) + 1.0
    places = [(x, y), (x + w, y), (x - w, y), (x, y + h), (x, y - h)]
    return [label_frame(p, width, size, 0.3) for p in places]


def _remainder_words(
    sheet: SheetLayout, view: View, info: SheetInfo, ground: Ground
) -> Iterable[Item]:
    rest = sheet.remainder
    assert rest is not None
    left, low = corner_of(sheet)
    corners = [
        (rest.left - left, rest.low - low),
        (rest.right - left, rest.low - low),
        (rest.right - left, rest.high - low),
        (rest.left - left, rest.high - low),
    ]
    polygon = [view.at(p) for p in corners]
    text = f"remains {info.by(rest.width, rest.height)}"
    for size, face, turn in (
        (NAME, LETTERING, 0.0),
        (2.6, LETTERING_NARROW, 0.0),
        (2.6, LETTERING_NARROW, math.pi / 2.0),
    ):
        width = text_width(text, face, size)
        frames = (
            label_frame(p, width, size, 0.8, turn)
            for p in places_within(polygon, ground.window, 2.0)
        )
        found = ground.first_free(frames)
        if found:
            ground.take(found)
            return [Words(baseline(found, size), text, size, face, "middle", turn)]
    return []


def _grain(sheet: SheetLayout, view: View, ground: Ground) -> Iterable[Item]:
    """Arrow along the sheet's y, where it is free."""
    left, low = corner_of(sheet)
    polygon = [view.at((x - left, y - low)) for x, y in sheet.sheet.outline]
    xs, ys = zip(*polygon, strict=True)
    length = 14.0
    frames = [
        Frame(p, (1.2, length / 2.0))
        for p in places_within(polygon, ground.window, 4.0, (max(xs), max(ys)))
        if is_inside((p[0] - 1.5, p[1] + length / 2.0), polygon)
        and is_inside((p[0] + 1.5, p[1] - length / 2.0), polygon)
    ]
    if not frames:
        return []
    best = ground.first_free(frames) or ground.least_bad(frames)
    ground.take(best)
    return grain_arrow(best.middle, math.pi / 2.0, length)
