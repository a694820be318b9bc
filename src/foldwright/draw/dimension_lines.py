"""Dimension lines beside an edge, and those of a whole picture over all.

Room: draw. Knows edges and boxes on paper, nothing of parts; `measuring` says which
dims stand where.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from itertools import pairwise, product
from typing import TYPE_CHECKING

from foldwright.draw.drawing import DIMENSION, LETTERING, Item, Line, Point, Stroke, Words, line
from foldwright.draw.info import SheetInfo
from foldwright.draw.sheet import READ, arrow

if TYPE_CHECKING:
    from foldwright.shape import Body, Vector

_OFF, _PAST = 4.5, 1.2  # from the part, past the line [mm]
ROOM = _OFF + _PAST + READ + 0.6


def beside(edges: Sequence[tuple[Point, Point]], text: str, along: float = 0.5) -> list[Item]:
    """A dimension along that one of like edges which lies furthest out, below or to the left."""
    a, b = edges[0]
    size = math.dist(a, b)
    if size < 6.0:
        return []
    out = ((a[1] - b[1]) / size, (b[0] - a[0]) / size)
    upright = abs(b[1] - a[1]) > 2.0 * abs(b[0] - a[0])
    if (out[0] if upright else out[1]) > 0.0:
        out = (-out[0], -out[1])
    a, b = max(edges, key=lambda e: dot(between(*e), out))
    return dimension(a, b, out, text, along=along)


def dimension(
    a: Point, b: Point, out: Point, text: str, clear: float = 0.0, along: float = 0.5
) -> list[Item]:
    """A dimension line beside a-b, moved `out`; its figures outside of it, upright to read."""

    def moved(p: Point, by: float) -> Point:
        return (p[0] + by * out[0], p[1] + by * out[1])

    off = clear + _OFF
    c, d = moved(a, off), moved(b, off)
    turn = math.atan2(d[1] - c[1], d[0] - c[0])
    # read from below or from the right
    if turn > math.pi / 2.0 + 0.2:
        turn -= math.pi
    elif turn < -math.pi / 2.0 + 0.2:
        turn += math.pi
    items: list[Item] = [line(moved(p, 1.0), moved(p, off + _PAST), DIMENSION) for p in (a, b)]
    items.append(line(c, d, DIMENSION))
    way = math.atan2(d[1] - c[1], d[0] - c[0])
    items += [arrow(c, way + math.pi, 1.9), arrow(d, way, 1.9)]
    # figures stand on the line where it lies below them, else hang from it
    above = -math.sin(turn) * out[0] + math.cos(turn) * out[1] > 0.0
    spot = (c[0] + along * (d[0] - c[0]), c[1] + along * (d[1] - c[1]))
    at = moved(spot, 0.8 if above else 0.8 + 0.72 * READ)
    items.append(Words(at, text, READ, LETTERING, "middle", turn))
    return items


def between(a: Point, b: Point) -> Point:
    """Middle of two points."""
    return ((a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0)


def dot(a: Point, b: Point) -> float:
    """Scalar product."""
    return a[0] * b[0] + a[1] * b[1]


def box_round(bodies: Sequence[tuple[Body, Vector | None]]) -> Vector:
    """Lowest and highest corner of the box round bodies, shape (2, 3), where they stand [mm]."""
    import numpy as np

    points = [
        body.points() if motion is None else body.points() @ motion[:3, :3].T + motion[:3, 3]
        for body, motion in bodies
    ]
    every = np.concatenate(points)
    return np.array([every.min(axis=0), every.max(axis=0)])


def overall_lines(
    at: Callable[[Sequence[float]], Point],
    box: Vector,
    info: SheetInfo,
    leaders: Sequence[Item] = (),
) -> list[Item]:
    """How wide, deep and high all of a picture is, along the box round it.

    Parameters
    ----------
    at : callable
        Where a point of the build lies on the paper.
    box : ndarray, shape (2, 3)
        As of `box_round`; `ROOM` mm of air round it.
    info : SheetInfo
    leaders : sequence of Item
        Where they cross the upright line its figure stands between them.
    """
    items: list[Item] = []
    for axis in range(3):
        edges = _edges(at, box, axis)
        text = info.length(float(box[1][axis] - box[0][axis]))
        along = 0.5
        if axis == 2:
            (x, foot), (_, head) = min(edges, key=lambda e: e[0][0])
            crossed = [y for y in _crossings(leaders, x - _OFF) if foot < y < head]
            gaps = pairwise(sorted([foot, head, *crossed]))
            widest = max(gaps, key=lambda gap: gap[1] - gap[0])
            along = (sum(widest) / 2.0 - foot) / max(head - foot, 1e-6)
        items += beside(edges, text, along)
    return items


def _edges(
    at: Callable[[Sequence[float]], Point], box: Vector, axis: int
) -> list[tuple[Point, Point]]:
    """Four edges of a box along an axis, each from its low end."""
    found = []
    for sides in product((0, 1), repeat=2):
        ends = []
        for end in (0, 1):
            which = [*sides[:axis], end, *sides[axis:]]
            ends.append(at([float(box[side][i]) for i, side in enumerate(which)]))
        found.append((ends[0], ends[1]))
    return found


def _crossings(items: Sequence[Item], x: float) -> list[float]:
    """Heights at which straight lines come past an upright one."""
    found = []
    for item in items:
        pieces = item.path if isinstance(item, Stroke) else ()
        for piece in (one for one in pieces if isinstance(one, Line)):
            (ax, ay), (bx, by) = piece.a, piece.b
            if min(ax, bx) <= x <= max(ax, bx) and ax != bx:
                found.append(ay + (by - ay) * (x - ax) / (bx - ax))
    return found
