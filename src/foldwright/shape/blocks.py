"""Convex blocks: a box cut by planes, and the faces that are left of it.

Room: shape. Corners come from the planes themselves, so that they are as good
as the numbers that the plan gives. `faceted` joins blocks to one part.
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from foldwright.plan import Block, Number
from foldwright.plan.dual import number
from foldwright.shape.planes import Plane, plane_through
from foldwright.shape.solid import Vector

ON_PLANE = 1e-6
"""What lies this near to a plane lies on it [mm]."""

# Planes that meet more slantwise than this have no corner to speak of (determinant).
_SLANT = 1e-4


@dataclass(frozen=True)
class Convex:
    """A convex block: `corners` (n, 3), and by face its loop, anticlockwise from outside."""

    corners: Vector
    loops: Mapping[str, tuple[int, ...]]


def block_planes(block: Block, values: Mapping[str, Number]) -> list[tuple[str, Plane]]:
    """Planes of a block with the names of their faces: those of its box, then its cuts."""
    found: list[tuple[str, Plane]] = []
    for axis in range(3):
        low = block.at[axis].value(values)
        high = low + block.size[axis].value(values)
        out = [0.0, 0.0, 0.0]
        out[axis] = 1.0
        back, forth = (-out[0], -out[1], -out[2]), (out[0], out[1], out[2])
        found.append((block.faces[2 * axis], Plane(back, -low)))
        found.append((block.faces[2 * axis + 1], Plane(forth, high)))
    for cut in block.cuts:
        x, y, z = (length.value(values) for length in cut.point)
        found.append((cut.face, plane_through((x, y, z), cut.out)))
    return found


def directions(planes: Mapping[str, Plane]) -> tuple[Vector, Vector]:
    """Outward normals (n, 3) and offsets (n,) of planes, as floats."""
    out = np.array([[number(x) for x in plane.out] for plane in planes.values()])
    return out.reshape(-1, 3), np.array([number(plane.offset) for plane in planes.values()])


def convex(planes: Mapping[str, Plane]) -> Convex:
    """What lies inside all planes; without loops if nothing does.

    A corner is where three planes or more meet that no other cuts off.
    """
    out, offset = directions(planes)
    triples = np.array(list(itertools.combinations(range(len(out)), 3)))
    one, two, three = (out[triples[:, i]] for i in range(3))
    # Not `det`: it divides by zero, and warns, where three planes share a direction.
    triples = triples[np.abs((np.cross(one, two) * three).sum(axis=1)) > _SLANT]
    spots = np.linalg.solve(out[triples], offset[triples][..., None])[..., 0]
    heights = spots @ out.T - offset
    meeting = {
        tuple(np.flatnonzero(np.abs(height) < ON_PLANE).tolist())
        for height in heights[heights.max(axis=1) < ON_PLANE]
    }
    corners = [meeting_point(out[list(on)]) @ offset[list(on)] for on in sorted(meeting)]
    points = np.array(corners).reshape(-1, 3)
    loops = {}
    for i, name in enumerate(planes):
        loop = _ordered(points, [k for k, on in enumerate(sorted(meeting)) if i in on], out[i])
        if loop:
            loops[name] = loop
    return Convex(points, loops if len(loops) > 3 else {})


def meeting_point(out: Vector) -> Vector:
    """Matrix (3, n) that makes the point where planes meet of their offsets.

    For more than three planes in the least-squares sense.
    """
    inverse = np.linalg.inv(out) if len(out) == 3 else np.linalg.pinv(out)
    return np.asarray(inverse, dtype=np.float64)


def _ordered(points: Vector, on: list[int], out: Vector) -> tuple[int, ...]:
    """Corners of one face in order; empty if they enclose nothing."""
    if len(on) < 3:
        return ()
    arms = points[on] - points[on].mean(axis=0)
    right = arms[np.argmax(np.linalg.norm(arms, axis=1))]
    across = arms @ np.cross(out, right) / np.linalg.norm(right)
    if np.ptp(across) < ON_PLANE:
        return ()
    angles = np.arctan2(across, arms @ right / np.linalg.norm(right))
    return tuple(on[k] for k in np.argsort(angles))
