"""Arcs of outlines: sides that bow out and corners that are rounded off, as chords.

Room: plan. An outline is written as its corners. A *rise* makes a side an arc:
how far its middle bows out past its chord. A *round* is the radius that
rounds a corner off, tangent to both sides. `runs` walks round an outline and
gives the chords of each side and of each rounded corner, so that what crosses
can be found. All lengths are mm, angles radians.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

type Point = tuple[float, float]

CLOSEST = 1e-6
"""mm; what lies nearer touches. Far below any cut, far above rounding."""

_CHORD_TURN = math.pi / 32.0  # rad; a chord then lies within 0.12 % of the radius
_FEWEST_CHORDS = 16  # and within 1/256 of the rise


@dataclass(frozen=True)
class Run:
    """One side or one rounded corner as a line of chords; `corner` is where it starts."""

    corner: int
    points: tuple[Point, ...]
    is_round: bool = False


def lean(chord: float, rise: float) -> float:
    """Angle between an arc and its chord at their ends; half of what the arc turns."""
    return 2.0 * math.atan2(2.0 * rise, chord)


def headings(a: Point, b: Point, rise: float, way: int) -> tuple[float, float]:
    """Direction of a side at its start and at its end.

    `way` is 1 if the outline runs anticlockwise, so that outside is on the
    right, and -1 if it runs clockwise.
    """
    along = math.atan2(b[1] - a[1], b[0] - a[0])
    out = way * lean(math.dist(a, b), rise)
    return along - out, along + out


def turn_between(before: float, after: float) -> float:
    """Turn from one direction to the next, from -pi to pi."""
    return math.remainder(after - before, 2.0 * math.pi)


def setback(turn: float, radius: float) -> float:
    """Length that a rounded corner takes from each of its sides."""
    return radius * math.tan(abs(turn) / 2.0)


def bowed(a: Point, b: Point, rise: float, way: int) -> list[Point]:
    """Chords of a side from a to b, both ends included."""
    if not rise:
        return [a, b]
    chord = math.dist(a, b)
    half = way * lean(chord, rise)
    radius = chord / (2.0 * math.sin(half)) if abs(math.sin(half)) > CLOSEST else math.inf
    if not math.isfinite(radius) or abs(rise) < CLOSEST:
        return [a, b]
    along = math.atan2(b[1] - a[1], b[0] - a[0]) - half
    # left of the start, at the radius; a negative radius turns right
    centre = (a[0] - radius * math.sin(along), a[1] + radius * math.cos(along))
    return _arc(a, b, centre, 2.0 * half)


def runs(
    corners: Sequence[Point], rounds: Sequence[float], rises: Sequence[float], way: int
) -> list[Run]:
    """Sides and rounded corners in their order; sides that rounds use up are left out."""
    count = len(corners)
    ends = [_round_ends(corners, i, rounds[i]) for i in range(count)]
    found = []
    for i in range(count):
        if rounds[i]:
            found.append(Run(i, tuple(_rounded(corners, i, ends[i], rounds[i])), is_round=True))
        a, b = ends[i][1], ends[(i + 1) % count][0]
        if math.dist(a, b) > CLOSEST:
            found.append(Run(i, tuple(bowed(a, b, rises[i], way))))
    return found


def _round_ends(corners: Sequence[Point], i: int, radius: float) -> tuple[Point, Point]:
    """Where the round of a corner leaves the side before it and meets the one after it."""
    before, corner, after = corners[i - 1], corners[i], corners[(i + 1) % len(corners)]
    if not radius:
        return corner, corner
    take = setback(_turn(before, corner, after), radius)
    return _towards(corner, before, take), _towards(corner, after, take)


def _rounded(
    corners: Sequence[Point], i: int, ends: tuple[Point, Point], radius: float
) -> list[Point]:
    before, corner, after = corners[i - 1], corners[i], corners[(i + 1) % len(corners)]
    turn = _turn(before, corner, after)
    along = math.atan2(corner[1] - before[1], corner[0] - before[0])
    side = math.copysign(radius, turn)
    centre = (ends[0][0] - side * math.sin(along), ends[0][1] + side * math.cos(along))
    return _arc(*ends, centre, turn)


def _turn(before: Point, corner: Point, after: Point) -> float:
    return turn_between(headings(before, corner, 0.0, 1)[1], headings(corner, after, 0.0, 1)[0])


def _towards(a: Point, b: Point, length: float) -> Point:
    share = length / math.dist(a, b)
    return (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]))


def _arc(a: Point, b: Point, centre: Point, sweep: float) -> list[Point]:
    pieces = max(_FEWEST_CHORDS, math.ceil(abs(sweep) / _CHORD_TURN))
    x, y = a[0] - centre[0], a[1] - centre[1]
    points = [a]
    for i in range(1, pieces):
        c, s = math.cos(sweep * i / pieces), math.sin(sweep * i / pieces)
        points.append((centre[0] + c * x - s * y, centre[1] + s * x + c * y))
    return [*points, b]
