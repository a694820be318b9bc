"""Outlines: the rim of a whole blank, walked round once.

Room: flat. `tour` strings the rims of all faces of a piece together; `path_of`
makes the arcs of it that its chords stand for. `crossing_sides` and
`doubled_back` find what could not be cut.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np

from foldwright.flat.pattern import Path, Point, Step
from foldwright.flat.rims import Arc, Rim
from foldwright.shape import Edge, Vector

# Corners nearer than this are one; turns less than this are none [mm, rad].
_SAME = 1e-9
# Sides this near to one line are on it [mm]: motions round in the twelfth digit.
_ON_LINE = 1e-6


def tour(
    edges: Sequence[Edge],
    net: frozenset[int],
    rims: Mapping[str, Rim],
    face: str,
    entered: int | None = None,
) -> list[tuple[Point, Arc | None]]:
    """Walk round a face and all that hangs on it, anticlockwise.

    The net has no ring, so one walk meets every free side once; no boolean
    operation, no rounding.

    Parameters
    ----------
    edges : sequence of Edge
    net : frozenset of int
        Those that fold.
    rims : Mapping of str to Rim
        Blank of each face, laid out flat.
    face : str
    entered : int or None
        Edge over which the walk came to this face.

    Returns
    -------
    list of (Point, Arc or None)
        Each corner with the arc that it leads into.
    """
    rim = rims[face]
    count = len(rim.corners)
    numbers = [side.edge if side else None for side in rim.sides]
    first = 0 if entered is None else numbers.index(entered) + 1
    points: list[tuple[Point, Arc | None]] = []
    for step in range(count if entered is None else count - 1):
        i = (first + step) % count
        points.append((rim.corners[i], rim.arcs[i]))
        number = numbers[i]
        if number is not None and number in net:
            edge = edges[number]
            child = edge.right if edge.left == face else edge.left
            points += tour(edges, net, rims, child, number)
    if entered is not None:
        points.append((rim.corners[(first - 1) % count], None))
    return points


def path_of(corners: Sequence[tuple[Point, Arc | None]]) -> Path:
    """Outline of lines and arcs from its corners as `tour` found them.

    Chords of one arc become that arc; corners that repeat the last, or lie on
    a straight line, are left out.
    """
    kept = [
        (point, arc)
        for i, (point, arc) in enumerate(corners)
        if math.dist(point, corners[i - 1][0]) > _SAME or arc or corners[i - 1][1]
    ]
    steps = []
    for i, (point, leading) in enumerate(kept):
        before, arc = kept[i - 1]
        after = kept[(i + 1) % len(kept)][0]
        if arc is None and leading is None:
            if abs(_cross(before, point, after)) > _SAME:
                steps.append(Step(point))
        elif arc is None or arc != leading:
            steps.append(Step(point, arc.centre, arc.sense > 0) if arc else Step(point))
    return tuple(steps)


def doubled_back(corners: Sequence[Point]) -> list[Point]:
    """Ends of every stretch along which an outline runs back on itself.

    Two panels that lie side by side in the flat, each with a cut along their
    common line, would be parted by a slit without width: no part of an outline.

    Parameters
    ----------
    corners : sequence of (x, y)
        Anticlockwise [mm].
    """
    spots = np.array([p for i, p in enumerate(corners) if math.dist(p, corners[i - 1]) > _SAME])
    runs = np.roll(spots, -1, axis=0) - spots
    lengths = np.linalg.norm(runs, axis=1)
    along = runs / lengths[:, None]
    found = []
    for i, (spot, way, length) in enumerate(zip(spots, along, lengths, strict=True)):
        x, y = np.moveaxis(spots - spot, -1, 0)
        off = np.abs(way[0] * y - way[1] * x)
        place = way[0] * x + way[1] * y
        low = np.maximum(0.0, np.roll(place, -1))
        high = np.minimum(length, place)
        is_on = (off < _ON_LINE) & (np.roll(off, -1) < _ON_LINE) & (along @ way < 0.0)
        for j in np.flatnonzero(is_on & (high - low > _ON_LINE)):
            if j > i:
                found += [tuple((spot + run * way).tolist()) for run in (low[j], high[j])]
    return found


def is_indented(corners: Sequence[Point]) -> bool:
    """Whether an outline turns in somewhere, so that two of its sides may close a neck."""
    spots = np.array(corners)
    runs = np.roll(spots, -1, axis=0) - spots
    before = np.roll(runs, 1, axis=0)
    return bool((_cross_of(before, runs) < 0.0).any())


def crossing_sides(corners: Sequence[Point]) -> tuple[int, int] | None:
    """First two sides of an outline that meet, though neither follows on the other; or None.

    Parameters
    ----------
    corners : sequence of (x, y)
        Side i starts at corner i.
    """
    spots = np.array(corners)
    runs = np.roll(spots, -1, axis=0) - spots
    count = len(spots)
    for i in range(count - 2):
        # Side i + 1 follows; so does the first on the last.
        others = np.arange(i + 2, count - (i == 0))
        apart, theirs = spots[others] - spots[i], runs[others]
        slant = _cross_of(runs[i], theirs)
        with np.errstate(divide="ignore", invalid="ignore"):  # side by side: no crossing
            mine, its = _cross_of(apart, theirs) / slant, _cross_of(apart, runs[i]) / slant
        met = (mine >= 0.0) & (mine <= 1.0) & (its >= 0.0) & (its <= 1.0) & (slant != 0.0)
        if met.any():
            return i, int(others[met][0])
    return None


def _cross_of(one: Vector, two: Vector) -> Vector:
    """Cross products of vectors in the plane, shape (n,)."""
    return np.asarray(one[..., 0] * two[..., 1] - one[..., 1] * two[..., 0])


def _cross(a: Point, b: Point, c: Point) -> float:
    u, v = (b[0] - a[0], b[1] - a[1]), (c[0] - b[0], c[1] - b[1])
    return (u[0] * v[1] - u[1] * v[0]) / (math.hypot(*u) * math.hypot(*v))
