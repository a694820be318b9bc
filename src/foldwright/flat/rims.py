"""Rims: the sides of a face in its own frame, straight or arcs, moved in.

Room: flat. Nets and overlaps look at polygons, so an arc stands for chords,
always as many as it has when nothing is moved. The arcs themselves are kept
beside, and are what is written down. Start at `moved_rim`.

Where a side that folds runs into its neighbour with a blunt corner, or into an
arc without one, the panel is cut square to the fold at its end: where the two
moved sides cross, the fold would reach many times the setback past its end (or
the arc lose as much). The panel gets short sides there that lie on no edge. In
the flat the mould lines of both faces of a fold overlap by its deduction; so
beyond the fold the panel starts at least that far in, on a *ledge*, to leave
the board to what the other face runs on into.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from foldwright.flat.pattern import Point

# Chords stray from their arc by no more than this [mm], which only overlaps notice.
_CHORD_ERROR = 0.02
_FEWEST_CHORDS = 10
# Width of the slot beside a fold, and room between a ledge and what lies before it [mm];
# common practice, no source.
_SLOT = 0.5
# Corners that turn less than this are cut square to the side that moves further [rad].
_BLUNT = math.radians(60.0)
# Sides whose directions differ by less are tangent [rad]; distances by less are one [mm].
_TANGENT, _SAME = 1e-7, 1e-9


@dataclass(frozen=True)
class Arc:
    """What a curved side lies on; `sense` is 1 if it bows out of its face, -1 if into it."""

    centre: Point
    radius: float
    sense: int


@dataclass(frozen=True)
class Side:
    """One side of a face.

    Attributes
    ----------
    edge : int or None
        Edge number; None where the neighbour is open.
    first, count : int
        Corner of the outline that it starts at, and how many chords it has.
    arc : Arc or None
        None if straight.
    """

    edge: int | None
    first: int
    count: int = 1
    arc: Arc | None = None


@dataclass(frozen=True)
class Rim:
    """Corners of a panel, and what each leads into.

    Attributes
    ----------
    corners : list of Point
    arcs : list of (Arc or None)
        None where it is straight.
    sides : list of (Side or None)
        Side of the face; None along a square cut.
    """

    corners: list[Point]
    arcs: list[Arc | None]
    sides: list[Side | None]

    def ends(self, edge: int) -> tuple[Point, Point]:
        """Where the straight side on an edge starts and ends."""
        i = next(i for i, side in enumerate(self.sides) if side and side.edge == edge)
        return self.corners[i], self.corners[(i + 1) % len(self.corners)]


class Vanished(Exception):
    """A side has no length left; `side` is its place among the sides of its face."""

    def __init__(self, side: int) -> None:
        super().__init__(f"side {side} vanished")
        self.side = side


def chords(arc: Arc, start: Point, end: Point, count: int | None = None) -> list[Point]:
    """Points on an arc between its ends, without them: ends of `count` chords."""
    first, sweep = _span(arc, start, end)
    if count is None:
        most = 2.0 * math.acos(max(0.0, 1.0 - _CHORD_ERROR / arc.radius))
        count = max(_FEWEST_CHORDS, math.ceil(sweep / most))
    return [_on(arc, first + arc.sense * sweep * i / count) for i in range(1, count)]


def moved_rim(
    corners: Sequence[Point],
    sides: Sequence[Side],
    inwards: Sequence[float],
    deductions: Sequence[float | None] = (),
    outside: Sequence[float] = (),
) -> Rim:
    """Move each side of a face inwards by its own distance.

    Parameters
    ----------
    corners : sequence of (x, y)
        Outline, arcs as chords, anticlockwise [mm].
    sides : sequence of Side, length n
    inwards : sequence of float, length n
        [mm]; negative moves out.
    deductions : sequence of (float or None), length n
        Of the sides that fold, by how much the mould lines of both faces
        overlap in the flat [mm]; None for other sides. Empty if none folds.
    outside : sequence of float, length n
        How far the outside skin moves in [mm], which says where a panel is cut
        square: a blank is cut there with it, whatever its inside skin does.
        Empty if that is what is moved.

    Returns
    -------
    Rim

    Raises
    ------
    Vanished
    """
    arcs = moved_arcs(sides, inwards)
    met = [
        meeting(corners, sides, inwards, arcs, i, deductions, outside) for i in range(len(sides))
    ]
    rim = Rim([], [], [])
    for i, side in enumerate(sides):
        here, arc = met[i], arcs[i]
        start, end = here[-1], met[(i + 1) % len(sides)][0]
        run = [start]
        if arc is None or side.arc is None:
            _require_forward(corners, side, start, end, i)
        else:
            _require_arc_left(corners, side, arc, start, end, i)
            run += chords(arc, start, end, side.count)
        cut = len(here) - 1
        rim.corners.extend([*here[:-1], *run])
        rim.arcs.extend([None] * cut + [arc] * len(run))
        rim.sides.extend([None] * cut + [side] * len(run))
    return rim


def moved_arcs(sides: Sequence[Side], inwards: Sequence[float]) -> list[Arc | None]:
    """What the curved sides of a face lie on once moved in; None for straight ones.

    Raises
    ------
    Vanished
    """
    return [
        _moved_arc(side, inward, i)
        for i, (side, inward) in enumerate(zip(sides, inwards, strict=True))
    ]


def _moved_arc(side: Side, inward: float, i: int) -> Arc | None:
    if side.arc is None:
        return None
    radius = side.arc.radius - side.arc.sense * inward
    if radius <= 0.0:
        raise Vanished(i)
    return Arc(side.arc.centre, radius, side.arc.sense)


def meeting(
    corners: Sequence[Point],
    sides: Sequence[Side],
    inwards: Sequence[float],
    arcs: Sequence[Arc | None],
    i: int,
    deductions: Sequence[float | None] = (),
    outside: Sequence[float] = (),
) -> list[Point]:
    """Where side i - 1 ends and side i begins, once moved: one point, or those of a square cut."""
    before, after = sides[i - 1], sides[i]
    d, e = inwards[i - 1], inwards[i]
    at = corners[after.first]
    one = heading(corners, before, at, ends=True)
    two = heading(corners, after, at, ends=False)
    turn = _turn(one, two)
    if before.arc is None and after.arc is None:
        both = (deductions[i - 1], deductions[i]) if deductions else (None, None)
        skin = (outside[i - 1], outside[i]) if outside else (d, e)
        return _straight_meeting(at, one, two, (d, e), turn, both, skin)
    straight = one if before.arc is None else two
    normal = (-straight[1], straight[0])
    if abs(turn) < _TANGENT and abs(d - e) < _SAME:
        return [_along(at, normal, d)]
    if abs(turn) < _TANGENT or (0.0 < turn < _BLUNT and abs(d - e) > _SAME):
        first = _along(at, normal, d) if before.arc is None else _ray(at, normal, arcs[i - 1], d)
        last = _along(at, normal, e) if after.arc is None else _ray(at, normal, arcs[i], e)
        fold = max(deductions[i - 1] or 0.0, deductions[i] or 0.0) if deductions else 0.0
        ledge = ledge_of(fold)
        # An arc that bows in leaves the fold's own side of the line at once.
        bows_out = all(arc.sense > 0 for arc in (before.arc, after.arc) if arc)
        if fold <= 0.0 or not bows_out or (before.arc and after.arc):
            return [first, last]
        away = two if before.arc is None else (-one[0], -one[1])
        slot = [_along(p, away, _SLOT) for p in (first if before.arc is None else last, at)]
        arc, inward = (arcs[i], e) if before.arc is None else (arcs[i - 1], d)
        if inward >= ledge:  # the arc itself lies further in than the ledge would
            rest = [slot[0], _ray(slot[1], normal, arc, inward)]
        else:
            low = _along(slot[1], normal, ledge)
            rest = [slot[0], low, _ahead(low, away, arc, i)]
        return [first, *rest] if before.arc is None else [*rest[::-1], last]
    return [_cross(at, one, two, d, e, arcs[i - 1], arcs[i], i)]


def _straight_meeting(
    at: Point,
    one: Point,
    two: Point,
    inwards: tuple[float, float],
    turn: float,
    deductions: tuple[float | None, float | None],
    outside: tuple[float, float],
) -> list[Point]:
    """Where two moved straight sides meet.

    A fold that would run out past a blunt corner is cut square there, if it
    would on the outside skin; an inside skin that stands out takes it along.
    """
    d, e = inwards
    whole = _lines_cross(at, one, two, d, e)
    if not 0.0 < turn < _BLUNT:
        return [whole]
    for k, inward, other, along in ((0, d, outside[1], one), (1, e, outside[0], two)):
        deduction = deductions[k]
        if deduction is None or inward * math.cos(turn) - other <= _SAME:
            continue
        normal = (-along[1], along[0])
        found = [_along(at, normal, inward), whole]
        if deduction > inward:  # else the panel itself starts further in than its ledge would
            ledge = ledge_of(deduction)
            far = _lines_cross(at, one, two, *((ledge, e) if k == 0 else (d, ledge)))
            found[1:] = [_along(at, normal, ledge), far]
        return found if k == 0 else found[::-1]
    return [whole]


def blunt_corners(corners: Sequence[Point], sides: Sequence[Side]) -> list[int]:
    """Sides that start at a corner at which a panel may be cut square."""
    found = []
    for i, side in enumerate(sides):
        at = corners[side.first]
        one = heading(corners, sides[i - 1], at, ends=True)
        two = heading(corners, side, at, ends=False)
        if -_TANGENT < _turn(one, two) < _BLUNT:
            found.append(i)
    return found


def ledge_of(deduction: float) -> float:
    """How far inside the mould line a panel starts beyond the end of its fold [mm]."""
    return deduction + _SLOT


def _turn(one: Point, two: Point) -> float:
    return math.atan2(one[0] * two[1] - one[1] * two[0], one[0] * two[0] + one[1] * two[1])


def heading(corners: Sequence[Point], side: Side, at: Point, *, ends: bool) -> Point:
    """Direction in which a side leaves, or reaches, one of its ends."""
    if side.arc is not None:
        x, y = at[0] - side.arc.centre[0], at[1] - side.arc.centre[1]
        length, sense = math.hypot(x, y), side.arc.sense
        return (-sense * y / length, sense * x / length)
    last = (side.first + side.count) % len(corners)
    a, b = (corners[side.first], at) if ends else (at, corners[last])
    length = math.dist(a, b)
    return ((b[0] - a[0]) / length, (b[1] - a[1]) / length)


def _along(at: Point, way: Point, run: float) -> Point:
    return (at[0] + run * way[0], at[1] + run * way[1])


def _lines_cross(at: Point, one: Point, two: Point, d: float, e: float) -> Point:
    (ux, uy), (vx, vy) = (-one[1], one[0]), (-two[1], two[0])
    cross = ux * vy - uy * vx
    return (at[0] + (d * vy - e * uy) / cross, at[1] + (e * ux - d * vx) / cross)


def _ray(at: Point, way: Point, arc: Arc | None, run: float) -> Point:
    """Where the line through `at` along `way` meets an arc, nearest to `run` along it."""
    assert arc is not None
    x, y = at[0] - arc.centre[0], at[1] - arc.centre[1]
    middle = -(x * way[0] + y * way[1])
    square = arc.radius**2 - (x * x + y * y) + middle * middle
    half = math.sqrt(max(0.0, square))
    return _along(at, way, min((middle - half, middle + half), key=lambda s: abs(s - run)))


def _ahead(at: Point, way: Point, arc: Arc | None, i: int) -> Point:
    """Where the line from `at` along `way` leaves its face over an arc."""
    assert arc is not None
    x, y = at[0] - arc.centre[0], at[1] - arc.centre[1]
    middle = -(x * way[0] + y * way[1])
    square = arc.radius**2 - (x * x + y * y) + middle * middle
    if square < 0.0:
        raise Vanished(i)
    half = math.sqrt(square)
    ahead = [run for run in (middle - half, middle + half) if run > _SAME]
    if not ahead:
        raise Vanished(i)
    return _along(at, way, min(ahead))


def _cross(
    at: Point,
    one: Point,
    two: Point,
    d: float,
    e: float,
    before: Arc | None,
    after: Arc | None,
    i: int,
) -> Point:
    """Where a moved line and arc, or two moved arcs, cross nearest to a corner."""
    if before is not None and after is not None:
        dx, dy = after.centre[0] - before.centre[0], after.centre[1] - before.centre[1]
        apart = math.hypot(dx, dy)
        run = (apart**2 + before.radius**2 - after.radius**2) / (2.0 * apart)
        foot, way = _along(before.centre, (dx / apart, dy / apart), run), (-dy / apart, dx / apart)
        square = before.radius**2 - run**2
    else:
        arc = before or after
        assert arc is not None
        way, inward = (two, e) if before is not None else (one, d)
        on_line = _along(at, (-way[1], way[0]), inward)
        run = (arc.centre[0] - on_line[0]) * way[0] + (arc.centre[1] - on_line[1]) * way[1]
        foot = _along(on_line, way, run)
        square = arc.radius**2 - math.dist(foot, arc.centre) ** 2
    if square < 0.0:
        raise Vanished(i)
    half = math.sqrt(square)
    return min((_along(foot, way, s) for s in (-half, half)), key=lambda p: math.dist(p, at))


def _require_forward(
    corners: Sequence[Point], side: Side, start: Point, end: Point, i: int
) -> None:
    a, b = corners[side.first], corners[(side.first + 1) % len(corners)]
    if (b[0] - a[0]) * (end[0] - start[0]) + (b[1] - a[1]) * (end[1] - start[1]) <= 0.0:
        raise Vanished(i)


def _require_arc_left(
    corners: Sequence[Point], side: Side, arc: Arc, start: Point, end: Point, i: int
) -> None:
    """An arc that shrank past nothing comes back as nearly a whole turn."""
    assert side.arc is not None
    whole = _span(side.arc, corners[side.first], corners[(side.first + side.count) % len(corners)])[
        1
    ]
    if _span(arc, start, end)[1] > whole + 1.0:
        raise Vanished(i)


def _span(arc: Arc, start: Point, end: Point) -> tuple[float, float]:
    """Angle at which an arc starts, and how far it goes round from there [rad]."""
    first = math.atan2(start[1] - arc.centre[1], start[0] - arc.centre[0])
    last = math.atan2(end[1] - arc.centre[1], end[0] - arc.centre[0])
    return first, (arc.sense * (last - first)) % math.tau


def _on(arc: Arc, angle: float) -> Point:
    return (
        arc.centre[0] + arc.radius * math.cos(angle),
        arc.centre[1] + arc.radius * math.sin(angle),
    )
