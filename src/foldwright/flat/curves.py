"""Curves: where seams and edges lie in space once a piece is folded up.

Room: flat. A seam is straight in the flat, or an arc; a straight one that runs
round a curl becomes an arc too. `refold` compares them with one another and
with the edges of the solid.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from foldwright.flat.pattern import Cone, Curved, Piece, Point, Seam
from foldwright.shape import Edge, Solid, Vector

# A start of a sector read this much short of its start is not a whole turn on [rad].
_HAIR = 1e-9
# Where along a seam it is looked at.
_SHARES = (0.0, 0.25, 0.5, 0.75, 1.0)
# Seams of a curl that run less than this along its axis run round it [mm].
_ROUND = 1e-6


@dataclass(frozen=True)
class Curve:
    """An endless straight line through `point` along `way`, or a circle.

    A circle has its centre at `point`, its axis along `way`, and a `radius`
    above 0 [mm].
    """

    point: Vector
    way: Vector
    radius: float = 0.0

    def off(self, spot: Vector) -> float:
        """Distance of a spot from the curve [mm]."""
        arm = spot - self.point
        along = float(arm @ self.way)
        across = float(np.linalg.norm(arm - along * self.way))
        return math.hypot(across - self.radius, along) if self.radius else across


def seam_points(seam: Seam, piece: Piece, motions: Mapping[str, Vector]) -> list[Vector]:
    """Points of the mould line of a seam in the part's frame.

    Parameters
    ----------
    seam : Seam
        Of `piece`; on the mould line it lies `trim` further out.
    piece : Piece
    motions : Mapping of str to ndarray
        As `refolded` hands them back.
    """
    found = []
    for p in _flat_points(seam):
        curl = _curl(piece, seam.panel)
        if curl is None:
            found.append((motions[seam.panel] @ np.array([*p, 0.0, 1.0]))[:3])
        else:
            found.append(curled(curl, p))
    return found


def curve_of(seam: Seam, piece: Piece, motions: Mapping[str, Vector]) -> Curve:
    """Line or circle that the mould line of a seam lies on in the part's frame."""
    points = seam_points(seam, piece, motions)
    curl = _curl(piece, seam.panel)
    if isinstance(curl, Curved) and abs(seam.b[1] - seam.a[1]) < _ROUND:
        axis = np.array(curl.axis)
        centre = np.array(curl.origin) + axis * float((points[0] - np.array(curl.origin)) @ axis)
        return Curve(centre, axis, curl.radius)
    if seam.centre is not None:
        motion = motions[seam.panel]
        centre = (motion @ np.array([*seam.centre, 0.0, 1.0]))[:3]
        return Curve(centre, motion[:3, 2], float(np.linalg.norm(points[0] - centre)))
    way = points[-1] - points[0]
    return Curve(points[0], way / np.linalg.norm(way))


def boundary(solid: Solid, name: str) -> list[Curve]:
    """Lines and circles that the sides of a face lie on."""
    found = []
    for edge in _sides(solid, name):
        a, b = (np.array(solid.vertices[v]) for v in (edge.start, edge.end))
        arc = solid.edge_centre(edge)
        if arc is None:
            found.append(Curve(a, (b - a) / np.linalg.norm(b - a)))
            continue
        cylinder = next(f for n in (edge.left, edge.right) if (f := solid.face(n).cylinder))
        radius = float(np.linalg.norm(a - arc[0]))
        found.append(Curve(arc[0], np.array(cylinder.axis), radius))
    return found


def _sides(solid: Solid, name: str) -> list[Edge]:
    """Edges of a face as they run in its loop, whether or not the neighbour is made."""
    face = solid.face(name)
    found = []
    for a, b in zip(face.loop, (*face.loop[1:], face.loop[0]), strict=True):
        other = next(
            f.name
            for f in solid.faces
            if (b, a) in zip(f.loop, (*f.loop[1:], f.loop[0]), strict=True)
        )
        found.append(Edge(name, other, a, b, math.pi))
    return found


def _curl(piece: Piece, face: str) -> Curved | Cone | None:
    return next((curved for curved in piece.curved if curved.face == face), None)


def _flat_points(seam: Seam) -> list[Point]:
    """Points along a seam in the flat, moved out to the mould line."""
    a, b = np.array(seam.a), np.array(seam.b)
    if seam.centre is None:
        along = (b - a) / np.linalg.norm(b - a)
        out = seam.trim * np.array([along[1], -along[0]])
        spots = [a + share * (b - a) + out for share in _SHARES]
        return [(float(x), float(y)) for x, y in spots]
    centre, way = np.array(seam.centre), 1.0 if seam.left else -1.0
    arm = a - centre
    radius = float(np.linalg.norm(arm))
    first = math.atan2(arm[1], arm[0])
    last = math.atan2(b[1] - centre[1], b[0] - centre[0])
    sweep = (way * (last - first)) % math.tau
    # Out of the material: away from the centre of an arc that bows out.
    radius += way * seam.trim
    turned = [first + way * share * sweep for share in _SHARES]
    return [
        (float(centre[0] + radius * math.cos(t)), float(centre[1] + radius * math.sin(t)))
        for t in turned
    ]


def curled(curved: Curved | Cone, p: Point) -> Vector:
    """Where a flat point lies on the outside of the curled face, shape (3,)."""
    if isinstance(curved, Cone):
        return _on_cone(curved, p)
    angle = curved.sense * (p[0] - curved.x0) / curved.flat_radius
    axis, start = np.array(curved.axis), np.array(curved.start)
    radial = math.cos(angle) * start + math.sin(angle) * _across(curved.axis, curved.start)
    return np.asarray(np.array(curved.origin) + p[1] * axis + curved.radius * radial)


@lru_cache(maxsize=64)
def _across(axis: tuple[float, float, float], start: tuple[float, float, float]) -> Vector:
    """Third direction of a curl; kept, since every point of it asks."""
    return np.asarray(np.cross(axis, start))


def _on_cone(cone: Cone, p: Point) -> Vector:
    x, y = p[0] - cone.flat_apex[0], p[1] - cone.flat_apex[1]
    slope, rho = math.sin(cone.half_angle), math.hypot(x, y)
    # Into the range after flat_start, so that a whole sector is one run of angles.
    turned = (math.atan2(y, x) - cone.flat_start + _HAIR) % math.tau - _HAIR
    angle = cone.sense * turned / slope
    axis, start = np.array(cone.axis), np.array(cone.start)
    radial = math.cos(angle) * start + math.sin(angle) * _across(cone.axis, cone.start)
    level = math.cos(cone.half_angle)
    outward = level * radial - slope * axis
    return np.asarray(
        np.array(cone.apex) + rho * (level * axis + slope * radial) + cone.offset * outward
    )
