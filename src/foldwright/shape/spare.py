"""Spare dims: readings that say again what others say, and what strays the part has.

Room: shape. One reading of a width says how wide; two, front and back, say
whether it tapers too. Nobody is asked for these unless they tell most; a maker
who takes them gets one estimate out of all.

A reading is a length above 0, so a lean is read off a plumb line hung
`PLUMB_OFF` from the upper edge, and a twist under the fourth corner while the
other three stand on blocks of `BLOCK`. Corner to corner is read from the 100
mark, since the end of a tape is worn.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

from foldwright.plan import (
    AnyPart,
    Box,
    Drum,
    Faceted,
    Hood,
    Number,
    Plate,
    Plug,
    Profile,
    Rib,
    Strip,
    Taper,
    Tube,
)
from foldwright.plan.dual import cos, hypot, number, sqrt
from foldwright.shape.faceted import outside_planes
from foldwright.shape.measured import Dim
from foldwright.shape.outline import interior_angles
from foldwright.shape.plates import plate_shape
from foldwright.shape.prisms import outside_outline
from foldwright.shape.tapers import Sides, outside

PLUMB_OFF = 50.0
"""How far off the upper edge the plumb line hangs, or from the lower one a square stands [mm]."""
BLOCK = 10.0
"""Height of the blocks that three corners stand on [mm]."""

_THIRDS = ("at the seam", "a third round from the seam", "two thirds round from the seam")
_DIRECTIONS = ("from the seam straight across", "60 degrees on", "120 degrees on")
_MARK = "lay the 100 mark of the rule or tape on the first corner and take 100 off"
_LEGS = (100.0, 50.0, 25.0)  # how far from a corner it is marked, the longest that fits [mm]
_UPRIGHT = 1e-9
_SQUARE = math.radians(0.1)
# How near to an edge a side has to come up for a width there, as a share of the height,
# and what counts as on that side [mm].
_NEAR_EDGE = 0.25
_ON_SIDE = 0.01


def spare_dims(
    part: AnyPart, values: Mapping[str, Number], dims: Mapping[str, Dim], *, finished: bool
) -> tuple[Dim, ...]:
    """Dims that see the strays of a part.

    Parameters
    ----------
    part : AnyPart
    values : Mapping
        Parameters, and strays as far as they are known [mm].
    dims : Mapping of str to Dim
        The other dims at these values.
    finished : bool
        With the finish on, or bare.
    """
    return tuple(_found(part, _Strayed(values, dims), values, finished=finished))


def _found(
    part: AnyPart, at: _Strayed, values: Mapping[str, Number], *, finished: bool
) -> Iterator[Dim]:
    match part:
        case Box():
            yield from _box_sides(at)
            yield from _shell(at)
        case Profile():
            yield from _profile_sides(at)
            yield from _fold_angles(part, at, values, finished=finished)
            yield from _shell(at)
        case Taper():
            yield from _taper(part, at, values, finished=finished)
        case Faceted():
            yield from _plumbs(part, at, values, finished=finished)
            yield _rocking(at)
        case Drum():
            yield from _round(at, "outside_d", "d", "", "outside")
            yield from _round(at, "outside_d", "bore", "", "inside", bore="bore")
            yield from _thirds(at, "length", "end to end")
        case Hood():
            for end in ("bottom", "top"):
                rim = f"outside rim of the {end}"
                yield from _round(at, f"{end}_d", f"{end}_d", f"{end}_", rim)
            yield from _thirds(at, "height", "over all, on a table, with a square")
        case Tube():
            if not part.square:
                yield from _round(at, "bore", "bore", "", "inside")
            yield from _thirds(at, "length", "end to end")
        case Plug():
            yield from _round(at, "diameter", "d", "", "across")
        case Plate():
            yield from _plate(part, at, values, finished=finished)
        case Rib():
            # in a shell that steps or leans its edges are shorter than it is over all
            if "width" in at.dims and isinstance(part.of, Box):
                yield from _widths(at, "lower", "upper")
        case Strip():
            yield from _strip(part, at)


class _Strayed:
    """Dims and strays of one part, to be asked by name."""

    def __init__(self, values: Mapping[str, Number], dims: Mapping[str, Dim]) -> None:
        self.values = values
        self.dims = dims

    def __getitem__(self, name: str) -> Number:
        return self.dims[name].value

    def stray(self, name: str) -> Number:
        """A stray [mm], 0 where nothing is known of it."""
        return self.values.get(f"~{name}", 0.0)


def _spare(name: str, value: Number, how: str, kind: str = "length") -> Dim:
    return Dim(name, value, how, kind, is_spare=True)


def _box_sides(at: _Strayed) -> Iterator[Dim]:
    width, flare = at["width"], at.stray("flare") / 2.0
    right, back = at.stray("tilt_right") / 2.0, at.stray("tilt_back") / 2.0
    yield from _ends(at, "width", "taper", ("front", "back"), "left to right")
    yield _spare("width_bottom", width - flare, "outside, left to right, at the bottom")
    yield _spare("width_top", width + flare, "outside, left to right, at the top")
    how = "outside, bottom to top, at the"
    yield _spare("height_front_left", at["height"] - right - back, f"{how} front left corner")
    yield _spare("height_front_right", at["height"] + right - back, f"{how} front right corner")
    yield _spare("height_back", at["height"] + back, f"{how} middle of the back")
    yield from _diagonals(
        "front", (width - at.stray("taper") / 2.0, at.stray("lean_right")),
        (at["height"] - back, right),
        ("lower left to upper right", "lower right to upper left"), "front",
    )  # fmt: skip
    deep = at["depth"] + at.stray("depth_taper") / 2.0
    yield from _diagonals(
        "side", (deep, at.stray("lean_back")), (at["height"] + right, back),
        ("lower front to upper back", "lower back to upper front"), "right side",
    )  # fmt: skip
    yield from _diagonals(
        "top", (width + flare, at.stray("skew")), (at["depth"], 0.0),
        ("front left to back right", "front right to back left"), "top",
    )  # fmt: skip


def _profile_sides(at: _Strayed) -> Iterator[Dim]:
    yield from _ends(at, "width", "taper", ("front", "back"), "left to right, over all")
    yield from _ends(at, "height", "tilt_back", ("front", "back"), "bottom to top, over all")
    how = (
        f"lay a square to the front, its blade {PLUMB_OFF:g} clear of the front left corner: from "
        "the blade to the back left corner"
    )
    yield _spare("square_right", PLUMB_OFF + at.stray("skew"), how)


def _fold_angles(
    part: Profile, at: _Strayed, values: Mapping[str, Number], *, finished: bool
) -> Iterator[Dim]:
    """An angle by three lengths: as far along both sides from their corner, then across.

    The cosine rule makes an angle of them; here it is left as the length read.
    """
    outline = outside_outline(part, values, finished=finished)
    lean, high = at.stray("lean_right"), at["height"]
    corners = [(x + lean * z / high, z) for x, z in outline.corners]
    count = len(corners)
    for i in range(count):
        before, after = corners[i - 1], corners[(i + 1) % count]
        names = outline.names[i - 1], outline.names[i]
        if outline.arcs[i - 1] or outline.arcs[i] or set(names) & set(part.leave_open):
            continue
        legs = [(x - corners[i][0], z - corners[i][1]) for x, z in (before, after)]
        sizes = [hypot(*leg) for leg in legs]
        shorter = min(number(size) for size in sizes)
        if shorter < _LEGS[-1]:
            continue
        leg = next(length for length in _LEGS if length <= shorter)
        marks = [
            (dx / size * leg, dz / size * leg) for (dx, dz), size in zip(legs, sizes, strict=True)
        ]
        across = hypot(marks[1][0] - marks[0][0], marks[1][1] - marks[0][1])
        how = (
            f"mark {leg:g} from the corner on {names[0]} and on {names[1]}, outside: from mark "
            "to mark, straight across"
        )
        yield _spare(f"{names[0]}~{names[1]}_across", across, how)


def _shell(at: _Strayed) -> Iterator[Dim]:
    yield from _ends(at, "depth", "depth_taper", ("left", "right"), "front to back")
    yield _plumb("right", "left", at)
    yield _plumb("back", "front", at)
    yield _rocking(at)


def _ends(at: _Strayed, dim: str, stray: str, where: tuple[str, str], way: str) -> Iterator[Dim]:
    half = at.stray(stray) / 2.0
    for end, sign in zip(where, (-1.0, 1.0), strict=True):
        yield _spare(f"{dim}_{end}", at[dim] + sign * half, f"outside, {way}, at the {end}")


def _diagonals(
    face: str,
    across: tuple[Number, Number],
    up: tuple[Number, Number],
    ways: tuple[str, str],
    where: str,
) -> Iterator[Dim]:
    """Diagonals of a face: each way, what one end adds to it and takes off the other."""
    for letter, sign, way in zip("ab", (1.0, -1.0), ways, strict=True):
        length = hypot(across[0] + sign * across[1], up[0] + sign * up[1])
        how = f"corner to corner of the {where}, {way}; {_MARK}"
        yield _spare(f"{face}_diagonal_{letter}", length, how)


def _plumb(way: str, face: str, at: _Strayed) -> Dim:
    how = (
        f"hang a plumb line {PLUMB_OFF:g} in front of the upper edge of the {face}, clear of "
        "it: from the line to the lower edge"
    )
    return _spare(f"plumb_{way}", PLUMB_OFF + at.stray(f"lean_{way}"), how)


def _rocking(at: _Strayed) -> Dim:
    how = f"stand three corners on blocks of {BLOCK:g}: from the table to the fourth, back right"
    return _spare("fourth_corner", BLOCK + at.stray("twist"), how)


def _plumbs(
    part: Faceted, at: _Strayed, values: Mapping[str, Number], *, finished: bool
) -> Iterator[Dim]:
    """Plumb lines at the upright faces that look to the left and to the front."""
    planes = outside_planes(part, values, finished=finished)
    for way, axis, face in (("right", 0, "left"), ("back", 1, "front")):
        upright = [p for p in planes.values() if abs(number(p.out[2])) < _UPRIGHT]
        if any(number(p.out[axis]) < -1.0 + _UPRIGHT for p in upright):
            yield _plumb(way, face, at)


def _taper(
    part: Taper, at: _Strayed, values: Mapping[str, Number], *, finished: bool
) -> Iterator[Dim]:
    sides = outside(part, values, finished=finished)
    drawn = outside(part, part.values(), finished=finished)
    for axis, way, faces in ((0, "right", ("left", "right")), (1, "back", ("front", "back"))):
        lean = at.stray(f"lean_{way}")
        leans_out = [number(step) < 0.0 for step in _setbacks(drawn, axis)]
        for face, step, out, sign in zip(
            faces, _setbacks(sides, axis), leans_out, (1.0, -1.0), strict=True
        ):
            yield _setback(face, step + sign * lean, out)
    for which, corners in (("lower", sides.lower), ("upper", sides.upper)):
        if len(corners) == 4:
            deep = number(at[f"{which}_depth"])
            for letter, (i, j) in zip("ab", ((0, 2), (1, 3)), strict=True):
                along = corners[j][1] - corners[i][1]
                across = corners[j][0] - corners[i][0] + at.stray(f"{which}_skew") * along / deep
                how = f"corner to corner of the {which} outline; {_MARK}"
                yield _spare(f"{which}_diagonal_{letter}", hypot(across, along), how)
    yield _rocking(at)


def _setbacks(sides: Sides, axis: int) -> tuple[Number, Number]:
    """How far the upper edge stands in from the lower one, on both ends of an axis."""
    lower, upper = (
        sorted((corner[axis] for corner in corners), key=number)
        for corners in (sides.lower, sides.upper)
    )
    return upper[0] - lower[0], lower[-1] - upper[-1]


def _setback(face: str, step: Number, leans_out: bool) -> Dim:
    if leans_out:
        how = (
            f"hang a plumb line {PLUMB_OFF:g} in front of the upper edge on the {face}: from the "
            "line to the lower edge"
        )
        return _spare(f"{face}_overhang", PLUMB_OFF - step, how)
    how = (
        f"stand a square {PLUMB_OFF:g} in front of the lower edge on the {face}: from the square "
        "to the upper edge"
    )
    return _spare(f"{face}_setback", PLUMB_OFF + step, how)


def _round(
    at: _Strayed, dim: str, name: str, stray: str, where: str, bore: str = ""
) -> Iterator[Dim]:
    """Caliper widths of an oval in three directions.

    The girth is what it is, so an oval of mean diameter M and largest M + A has
    ``M = D - A^2 / (4 D)`` (to A^4), and a caliper reads its width across f::

        w^2 = M^2 + A^2 + 2 M (A_0 cos 2f + A_45 sin 2f),   A^2 = A_0^2 + A_45^2

    The inside runs a thickness in from it all round.
    """
    zero, other = at.stray(f"{stray}oval"), at.stray(f"{stray}oval_45")
    square = zero * zero + other * other
    mean = at[dim] - square / (4.0 * at[dim])
    walls = at[dim] - at[bore] if bore else 0.0
    for degrees, way in zip((0, 60, 120), _DIRECTIONS, strict=True):
        turn = math.radians(2.0 * degrees)
        leans = zero * math.cos(turn) + other * math.sin(turn)
        width = sqrt(mean * mean + square + 2.0 * mean * leans) - walls
        yield _spare(f"{name}_{degrees}", width, f"{where}, {way}", "diameter")


def _thirds(at: _Strayed, dim: str, how: str) -> Iterator[Dim]:
    for degrees, where in zip((0, 120, 240), _THIRDS, strict=True):
        turn = math.radians(degrees)
        slope = at.stray("slope_0") * cos(turn) + at.stray("slope_90") * math.sin(turn)
        yield _spare(f"{dim}_{degrees}", at[dim] + slope, f"{how}, {where}")


def _plate(
    part: Plate, at: _Strayed, values: Mapping[str, Number], *, finished: bool
) -> Iterator[Dim]:
    if part.diameter is not None:
        yield from _round(at, "diameter", "d", "", "across")
        return
    outline = plate_shape(part, values, finished=finished)
    corners = outline.plain()
    if _is_upright(corners):
        yield from _widths(at, "lower", "upper")
    if any(outline.arcs) or len(corners) != 4:
        return
    if all(abs(angle - math.pi / 2.0) < _SQUARE for angle in interior_angles(corners)):
        for letter, sign in zip("ab", (1.0, -1.0), strict=True):
            length = hypot(at["width"] + sign * at.stray("skew"), at["height"])
            way = "lower left to upper right" if sign > 0.0 else "lower right to upper left"
            yield _spare(f"diagonal_{letter}", length, f"corner to corner, {way}; {_MARK}")


def _is_upright(corners: Sequence[tuple[float, float]]) -> bool:
    """Whether an outline is as wide near both its edges as over all, but for its corners."""
    xs, ys = zip(*corners, strict=True)
    low, high = min(ys), max(ys)
    near = _NEAR_EDGE * (high - low)
    for side in (min(xs), max(xs)):
        reached = [y for x, y in corners if abs(x - side) < _ON_SIDE]
        if min(reached) > low + near or max(reached) < high - near:
            return False
    return True


def _widths(at: _Strayed, low: str, high: str) -> Iterator[Dim]:
    half = at.stray("taper") / 2.0
    for end, sign in ((low, -1.0), (high, 1.0)):
        how = f"left to right, near the {end} edge, clear of its corners"
        yield _spare(f"width_{end}", at["width"] + sign * half, how)


def _strip(part: Strip, at: _Strayed) -> Iterator[Dim]:
    half = at.stray("taper") / 2.0
    across = "across the strip" if part.flange is None else "outside of the top, edge to fold"
    for end, sign in (("left", -1.0), ("right", 1.0)):
        yield _spare(f"width_{end}", at["width"] + sign * half, f"{across}, at its {end} end")
    if part.flange is not None:
        a, b = at["width"], at["flange"]
        # interior angle is pi - turn
        square = a * a + b * b + 2.0 * a * b * math.cos(part.turn)
        yield _spare(
            "edge_to_edge",
            sqrt(square) + at.stray("spread"),
            "straight across the angle, from edge to edge",
        )
