"""Outlines: closed polygons of floats or duals.

Room: shape. Corners are (x, y), anticlockwise, the first not repeated; side i
runs from corner i to corner i + 1. Written once for plain and dual numbers,
so that whatever is drawn from an outline has exact derivatives.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import atan2, pi

from foldwright.plan.dual import Number, hypot, number

type Corner = tuple[Number, Number]


def area(corners: Sequence[Corner]) -> Number:
    """Signed area [mm2], positive anticlockwise (shoelace formula)."""
    total: Number = 0.0
    for (x0, y0), (x1, y1) in sides_of(corners):
        total = total + (x0 * y1 - x1 * y0) / 2.0
    return total


def sides_of(corners: Sequence[Corner]) -> list[tuple[Corner, Corner]]:
    """Return the sides as pairs of corners, in order."""
    return list(zip(corners, [*corners[1:], corners[0]], strict=True))


def side_lengths(corners: Sequence[Corner]) -> list[Number]:
    """Length of each side [mm]."""
    return [hypot(b[0] - a[0], b[1] - a[1]) for a, b in sides_of(corners)]


def interior_angles(corners: Sequence[tuple[float, float]]) -> list[float]:
    """Interior angle at each corner [rad], 0 to 2 pi."""
    angles = []
    for i, (x, y) in enumerate(corners):
        (px, py), (nx, ny) = corners[i - 1], corners[(i + 1) % len(corners)]
        turn = atan2(
            (x - px) * (ny - y) - (y - py) * (nx - x), (x - px) * (nx - x) + (y - py) * (ny - y)
        )
        angles.append(pi - turn)
    return angles


def move_sides(corners: Sequence[Corner], distances: Sequence[Number]) -> list[Corner]:
    """Move each side inwards by its own distance; negative moves it out.

    Corner i is where the moved sides i - 1 and i cross.

    Parameters
    ----------
    corners : sequence of (x, y), length n
        Anticlockwise; no two neighbouring sides in line.
    distances : sequence, length n
        Of side i [mm].

    Returns
    -------
    list of (x, y)
        The moved corners; sides that vanished come back reversed, which
        `is_same_way_round` tells.
    """
    count = len(corners)
    normals: list[Corner] = []
    for (ax, ay), (bx, by) in sides_of(corners):
        length = hypot(bx - ax, by - ay)
        normals.append(((ay - by) / length, (bx - ax) / length))  # inward of anticlockwise
    moved: list[Corner] = []
    for i in range(count):
        x, y = corners[i]
        (ux, uy), (vx, vy) = normals[i - 1], normals[i]
        d, e = distances[i - 1], distances[i]
        cross = ux * vy - uy * vx
        # Solve u.p = d, v.p = e for the shift p of the corner.
        moved.append((x + (d * vy - e * uy) / cross, y + (e * ux - d * vx) / cross))
    return moved


def is_same_way_round(before: Sequence[Corner], after: Sequence[Corner]) -> list[bool]:
    """For each side: does it still run the way it did, with some length left."""
    return [
        number((b[0] - a[0]) * (d[0] - c[0]) + (b[1] - a[1]) * (d[1] - c[1])) > 0.0
        for (a, b), (c, d) in zip(sides_of(before), sides_of(after), strict=True)
    ]


def extent(corners: Sequence[Corner], axis: int) -> Number:
    """Overall extent along x (axis 0) or y (axis 1) [mm]."""
    ordered = sorted((corner[axis] for corner in corners), key=number)
    return ordered[-1] - ordered[0]
