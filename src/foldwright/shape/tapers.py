"""Tapers: two parallel outlines joined by flat sides.

Room: shape. Every side lies in a plane, and every corner is where two sides
and an end meet. Finish and board move the planes in, each by its thickness
square to itself, so that the bare and the inside corners shift by more where
the sides lean.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from shapely import LineString, Polygon, union_all

from foldwright.errors import CannotMake, offer_names
from foldwright.plan import Number, Taper
from foldwright.plan.dual import number
from foldwright.shape.measured import Dim, Section, Span
from foldwright.shape.outline import Corner, extent, interior_angles, side_lengths, sides_of
from foldwright.shape.planes import Plane, Spot, corner_of, cross, distance, minus, plane_through
from foldwright.shape.solid import Face, Solid

TAPER_ENDS = ("bottom", "top")
# A side whose corners lie further than this from one plane is not flat [mm]:
# half of the finest that is marked out.
_FLAT = 0.05
# A side that leans more than this is not straight enough to slide.
_SQUARE = math.radians(0.1)
# Neighbouring sides that turn less than this make no fold.
_IN_LINE = math.radians(0.5)


type Plain = list[tuple[float, float]]


@dataclass(frozen=True)
class Sides:
    """Planes of the sides and ends of a taper, and its corners on both ends.

    Corner i of an end lies between side i - 1 and side i.
    """

    sides: tuple[Plane, ...]
    bottom: Plane
    top: Plane
    lower: tuple[Spot, ...]
    upper: tuple[Spot, ...]


def bare_sides(part: Taper, values: Mapping[str, Number]) -> Sides:
    """Bare outside of the board."""
    coat = 0.0 if part.bare else part.coat_outside
    return _moved(_given(part, values), dict.fromkeys((*part.sides, *TAPER_ENDS), coat), part)


def outside(part: Taper, values: Mapping[str, Number], *, finished: bool) -> Sides:
    """Outside, with the finish on or bare."""
    coat = part.coat_outside if finished else 0.0
    bare = bare_sides(part, values)
    return _moved(bare, dict.fromkeys((*part.sides, *TAPER_ENDS), -coat), part)


def inside(part: Taper, values: Mapping[str, Number], *, finished: bool) -> Sides:
    """Inside; an open face stays where the edges of its neighbours end."""
    into: dict[str, float] = {}
    for name in (*part.sides, *TAPER_ENDS):
        if name in part.leave_open:
            into[name] = -part.coat_outside if finished else 0.0
        else:
            into[name] = part.stock_of(name)[1] + (part.coat_inside if finished else 0.0)
    return _moved(bare_sides(part, values), into, part)


def _outlines(part: Taper, values: Mapping[str, Number]) -> tuple[list[Corner], list[Corner]]:
    lower, upper = (
        [(x.value(values), y.value(values)) for x, y in outline]
        for outline in (part.lower, part.upper)
    )
    return lower, upper


def _given(part: Taper, values: Mapping[str, Number]) -> Sides:
    lower, upper = _outlines(part, values)
    return sides_between(lower, upper, part.height.value(values))


def sides_between(lower: Sequence[Corner], upper: Sequence[Corner], height: Number) -> Sides:
    """Planes and corners between two outlines that lie `height` apart [mm].

    A side runs as the mean of its two edges do; corner i of an outline belongs
    to corner i of the other. Both run anticlockwise seen from above.
    """
    sides = []
    for ((ax, ay), (bx, by)), ((cx, cy), (dx, dy)) in zip(
        sides_of(lower), sides_of(upper), strict=True
    ):
        along: Spot = (bx - ax + dx - cx, by - ay + dy - cy, 0.0)
        up: Spot = ((cx + dx - ax - bx) / 2.0, (cy + dy - ay - by) / 2.0, height)
        middle: Spot = ((ax + bx + cx + dx) / 4.0, (ay + by + cy + dy) / 4.0, height / 2.0)
        sides.append(plane_through(middle, cross(along, up)))
    bottom, top = Plane((0.0, 0.0, -1.0), 0.0), Plane((0.0, 0.0, 1.0), height)
    return _meeting(tuple(sides), bottom, top)


def _meeting(sides: tuple[Plane, ...], bottom: Plane, top: Plane) -> Sides:
    lower, upper = (
        tuple(corner_of(sides[i - 1], side, end) for i, side in enumerate(sides))
        for end in (bottom, top)
    )
    return Sides(sides, bottom, top, lower, upper)


def _moved(before: Sides, into: Mapping[str, float], part: Taper) -> Sides:
    return _meeting(
        tuple(
            side.moved_in(into[name]) for name, side in zip(part.sides, before.sides, strict=True)
        ),
        before.bottom.moved_in(into["bottom"]),
        before.top.moved_in(into["top"]),
    )


def solid(part: Taper) -> Solid:
    """Return the bare solid of the part as drawn.

    Raises
    ------
    CannotMake
        A side that is not flat, two sides in line, a side that the finish
        swallows, outlines that cross themselves, no room inside.
    """
    values = part.values()
    lower, upper = ([(number(x), number(y)) for x, y in o] for o in _outlines(part, values))
    _require_flat_sides(part, lower, upper)
    _require_corners(part, lower, "lower")
    _require_corners(part, upper, "upper")
    given, bare = _given(part, values), bare_sides(part, values)
    for name, side, after in zip(part.sides, _edges(given), _edges(bare), strict=True):
        if not all(_keeps(one, other) for one, other in zip(side, after, strict=True)):
            raise CannotMake(
                f'Side "{name}" of {part.name} is shorter than its finish is thick.',
                part=part.name,
                field="lower",
                remedy="Make it longer, or leave out the corner.",
            )
    _require_room(part)
    return _shell(part, bare)


def finished_solid(part: Taper) -> Solid:
    """Return the solid with its finish on, as drawn."""
    return _shell(part, outside(part, part.values(), finished=True))


def _shell(part: Taper, sides: Sides) -> Solid:
    return taper_solid(part.sides, sides, frozenset(part.leave_open))


def taper_solid(names: Sequence[str], sides: Sides, leave_open: frozenset[str]) -> Solid:
    """Solid of the sides by name, a bottom and a top."""
    count = len(names)
    spots = (*sides.lower, *sides.upper)
    faces = [Face("bottom", tuple(range(count - 1, -1, -1)))]
    for i, name in enumerate(names):
        j = (i + 1) % count
        faces.append(Face(name, (i, j, j + count, i + count)))
    faces.append(Face("top", tuple(range(count, 2 * count))))
    vertices = tuple((number(x), number(y), number(z)) for x, y, z in spots)
    return Solid(vertices, tuple(faces), leave_open)


def _edges(sides: Sides) -> list[tuple[Spot, Spot]]:
    """Lower and upper edge of each side, as steps from its start to its end."""
    count = len(sides.sides)
    return [
        (
            minus(sides.lower[(i + 1) % count], sides.lower[i]),
            minus(sides.upper[(i + 1) % count], sides.upper[i]),
        )
        for i in range(count)
    ]


def _keeps(before: Spot, after: Spot) -> bool:
    return number(before[0] * after[0] + before[1] * after[1]) > 0.0


def _plain(spots: tuple[Spot, ...]) -> Plain:
    return [(number(x), number(y)) for x, y, _ in spots]


def _runs(outline: Plain) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    return list(zip(outline, [*outline[1:], outline[0]], strict=True))


def _require_flat_sides(part: Taper, lower: Plain, upper: Plain) -> None:
    if len(lower) != len(upper) or len(lower) != len(part.sides):
        raise CannotMake(
            f"The lower outline of {part.name} has {len(lower)} corners, its upper one "
            f"{len(upper)}, and there are {len(part.sides)} sides.",
            part=part.name,
            field="upper",
            remedy="Give both outlines a corner for each side.",
        )
    for name, (a, b), (c, d) in zip(part.sides, _runs(lower), _runs(upper), strict=True):
        run, rise = (b[0] - a[0], b[1] - a[1]), (d[0] - c[0], d[1] - c[1])
        long, short = math.hypot(*run), math.hypot(*rise)
        if not min(long, short) > _FLAT or run[0] * rise[0] + run[1] * rise[1] <= 0.0:
            raise CannotMake(
                f'Side "{name}" of {part.name} has no length, or runs the other way, at one end.',
                part=part.name,
                field="upper",
                remedy="Let it run the same way at both ends; a part that comes to a point or a "
                "ridge is faceted.",
            )
        # How far the ends of the shorter edge lie off the plane of the longer one.
        warp = abs(run[0] * rise[1] - run[1] * rise[0]) / max(long, short) / 2.0
        if warp > _FLAT:
            raise CannotMake(
                f'Side "{name}" of {part.name} is not flat: its upper edge is out of parallel '
                f"with its lower one by {2.0 * warp:.3g} mm.",
                part=part.name,
                field="upper",
                remedy="Make the two edges parallel, or fold the side along a diagonal: a "
                "faceted part can.",
            )


def _require_corners(part: Taper, outline: Plain, field: str) -> None:
    for i, angle in enumerate(interior_angles(outline)):
        if abs(angle - math.pi) < _IN_LINE:
            raise CannotMake(
                f'Sides "{part.sides[i - 1]}" and "{part.sides[i]}" of {part.name} '
                "lie in one line.",
                part=part.name,
                field=field,
                remedy="Leave out the corner between them, in both outlines.",
            )
    if not Polygon(outline).is_valid or not Polygon(outline).exterior.is_ccw:
        raise CannotMake(
            f"The {field} outline of {part.name} crosses itself.",
            part=part.name,
            field=field,
            remedy="Draw it anticlockwise, without crossing lines.",
        )


def _require_room(part: Taper) -> None:
    """Refuse a part that has no inside at any height: its boards would run into one another."""
    values = part.values()
    bare, board = bare_sides(part, values), inside(part, values, finished=False)
    low, high = number(board.bottom.offset) * -1.0, number(board.top.offset)
    for step in range(1, 8) if high > low else ():
        level = Plane((0.0, 0.0, 1.0), low + (high - low) * step / 8.0)
        if _has_inside(part, _meeting(bare.sides, level, level)):
            return
    raise CannotMake(
        f"{part.name} has no room inside for {part.thickness:g} mm board.",
        part=part.name,
        field="height" if high <= low else "lower",
        remedy="Make it larger, or use thinner board.",
    )


def _has_inside(part: Taper, level: Sides) -> bool:
    outline = _plain(level.lower)
    boards = []
    for name, side, (a, b) in zip(part.sides, level.sides, _runs(outline), strict=True):
        if name not in part.leave_open:
            # A leaning board is cut thicker by a level plane.
            lean = math.hypot(number(side.out[0]), number(side.out[1]))
            thick = part.stock_of(name)[1] / lean
            boards.append(LineString([a, b]).buffer(thick, single_sided=True, join_style="mitre"))
    return not Polygon(outline).difference(union_all(boards)).is_empty


def dims(part: Taper, values: Mapping[str, Number], *, finished: bool) -> dict[str, Dim]:
    """Every dim of a taper."""
    found_outside = outside(part, values, finished=finished)
    found_inside = inside(part, values, finished=finished)
    height = found_outside.top.offset + found_outside.bottom.offset
    found = [Dim("height", height, "outside, bottom to top, with a square")]
    ends = (("lower", "bottom"), ("upper", "top"))
    for which, face in ends:
        corners: list[Corner] = [(x, y) for x, y, _ in getattr(found_outside, which)]
        where = f"outside, over all, at the {face}"
        found += [
            Dim(f"{which}_width", extent(corners, 0), f"{where}, left to right"),
            Dim(f"{which}_depth", extent(corners, 1), f"{where}, front to back"),
        ]
    for which, face in ends:
        is_open = face in part.leave_open
        spots = getattr(found_inside if is_open else found_outside, which)
        lengths = side_lengths([(x, y) for x, y, _ in spots])
        for name, length in zip(part.sides, lengths, strict=True):
            if is_open:
                how = f"inside, along the {name}, in the open {face}"
            else:
                how = f"outside, along the {name}, at the {face}"
            found.append(Dim(_edge_dim(name, which, is_open), length, how))
    for i, name in enumerate(part.sides):
        how = f"outside, up the {name}, square to its lower edge"
        found.append(Dim(f"{name}_slant", slant(found_outside, i), how))
    return {dim.name: dim for dim in found}


def _edge_dim(side: str, which: str, is_open: bool) -> str:
    return f"{side}_{which}_{'mouth' if is_open else 'length'}"


def slant(sides: Sides, i: int) -> Number:
    """Distance between the parallel edges of a side, in its plane."""
    level = sides.top.offset + sides.bottom.offset
    plane = sides.sides[i]
    # The side climbs by the sine of its angle with the level planes.
    return level / distance((0.0, 0.0, 0.0), cross(plane.out, (0.0, 0.0, 1.0)))


def section(part: Taper, face: str, values: Mapping[str, Number], *, mouth: bool) -> Section:
    """Rectangle that an end of a taper offers to a meet; see `dims.section_of`."""
    face = _asked_end(part, face, mouth)
    shown = (inside if mouth else outside)(part, values, finished=True)
    which = "lower" if face == "bottom" else "upper"
    spots = shown.lower if face == "bottom" else shown.upper
    outline = _plain(spots)
    if len(outline) != 4 or any(
        abs(angle - math.pi / 2.0) > _SQUARE for angle in interior_angles(outline)
    ):
        raise CannotMake(
            f'The end "{face}" of {part.name} is no rectangle.',
            part=part.name,
            field=which,
            remedy="Let the meet use a rectangular end, or another part.",
        )
    _refuse_leaning(part, face, shown, mouth)
    lengths = side_lengths([(x, y) for x, y, _ in spots])
    spans = []
    for i in (0, 1):
        (ax, ay), (bx, by) = outline[i], outline[i + 1]
        long = math.hypot(bx - ax, by - ay)
        name = _edge_dim(part.sides[i], which, face in part.leave_open)
        spans.append(Span(name, lengths[i], ((bx - ax) / long, (by - ay) / long, 0.0)))
    xs, ys = zip(*outline, strict=True)
    return Section(tuple(spans), (sum(xs) / 4.0, sum(ys) / 4.0, _end_height(part, values, face)))


def _asked_end(part: Taper, face: str, mouth: bool) -> str:
    """Which end is meant; refuses what has none."""
    if not face and mouth and len(part.leave_open) == 1:
        face = part.leave_open[0]
    if face not in TAPER_ENDS:
        asked = f'use face "{face}" of {part.name}' if face else f"tell which end of {part.name}"
        raise CannotMake(
            f"A meet cannot {asked}.",
            part=part.name,
            field="",
            remedy=offer_names(face, TAPER_ENDS),
        )
    if mouth and face not in part.leave_open:
        raise CannotMake(
            f'Nothing can slide into the closed face "{face}" of {part.name}.',
            part=part.name,
            field="leave_open",
            remedy=f'Add "{face}" to leave_open, or name the open face.',
        )
    return face


def _end_height(part: Taper, values: Mapping[str, Number], face: str) -> float:
    bare = bare_sides(part, values)
    return number(bare.top.offset) if face == "top" else -number(bare.bottom.offset)


def _refuse_leaning(part: Taper, face: str, shown: Sides, mouth: bool) -> None:
    """Refuse an end behind which the part gets wider, or a mouth that gets narrower."""
    for name, side in zip(part.sides, shown.sides, strict=True):
        climb = number(side.out[2]) * (1.0 if face == "top" else -1.0)
        wider_behind = math.asin(max(-1.0, min(1.0, climb)))
        if (-wider_behind if mouth else wider_behind) > _SQUARE:
            raise CannotMake(
                f'{part.name} gets {"narrower" if mouth else "wider"} behind "{face}": side '
                f'"{name}" leans {"in" if mouth else "out"}.',
                part=part.name,
                field="upper",
                remedy="A face that slides or rests needs upright sides behind it; give it a "
                "straight part first.",
            )
