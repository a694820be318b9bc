"""Cutting a solid by a plane square to one of its axes.

Room: shape. The section is traced face by face: each face that the plane
passes through gives a side, which starts and ends on edges of the solid, so
that neighbouring sides meet in the very same point. A plane through a corner
counts as just short of it. Written for plain and dual stations, so that what
hangs on the section has exact slopes.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from foldwright.plan.dual import Number, number
from foldwright.shape.arcs import Arc, Outline
from foldwright.shape.outline import Corner
from foldwright.shape.solid import Face, Solid, Vector

type _Crossing = tuple[int, int]


@dataclass(frozen=True)
class CuttingPlane:
    """How a section along one axis is looked at.

    `right` and `up` are the axes (0 x, 1 y, 2 z) that its coordinates run
    along; `along` is the axis it is square to, and `way` 1 if the eye looks at
    it from further out on that axis, -1 if from further in.
    """

    along: int
    right: int
    up: int
    way: int

    def height(self, point: Sequence[float], station: float) -> float:
        """Height of a point over the plane, towards the eye [mm]."""
        return self.way * (point[self.along] - station)


PLANES = {
    "x": CuttingPlane(along=0, right=1, up=2, way=1),
    "y": CuttingPlane(along=1, right=0, up=2, way=-1),  # seen from the front
    "z": CuttingPlane(along=2, right=0, up=1, way=1),
}


def cut_through(solid: Solid, plane: CuttingPlane, station: Number) -> list[Outline]:
    """Outlines of a solid at a station, sides named by face, anticlockwise.

    Parameters
    ----------
    solid : Solid
        Curved faces have to run along the axis that the plane is square to.
    plane : CuttingPlane
    station : float or Dual
        Where the plane stands on its axis [mm].

    Returns
    -------
    list of Outline
        One for each loop; holes run clockwise. Empty where there is nothing.
    """
    sides: dict[_Crossing, tuple[_Crossing, Face]] = {}
    for face in solid.faces:
        for start, end in _sides_on(solid, face, plane, number(station)):
            sides[start] = (end, face)
    outlines = []
    while sides:
        first, (here, face) = next(iter(sides.items()))
        del sides[first]
        loop = [(first, face)]
        while here != first:
            following, face = sides.pop(here)
            loop.append((here, face))
            here = following
        outlines.append(_outline(solid, plane, station, loop))
    return outlines


def _sides_on(
    solid: Solid, face: Face, plane: CuttingPlane, station: float
) -> list[tuple[_Crossing, _Crossing]]:
    """Sides that a face gives the section, each from edge to edge, the solid on the left."""
    found: list[_Crossing] = []
    rising: list[bool] = []
    for a, b in zip(face.loop, (*face.loop[1:], face.loop[0]), strict=True):
        above = [plane.height(solid.vertices[i], station) >= 0.0 for i in (a, b)]
        if above[0] != above[1]:
            found.append((min(a, b), max(a, b)))
            rising.append(above[1])
    if not found:
        return []
    if len(found) == 2:
        return [(found[0], found[1]) if rising[1] else (found[1], found[0])]
    # A face that is not convex is crossed several times: pair the crossings in order.
    towards = np.zeros(3)
    towards[plane.along] = plane.way
    heading = np.cross(towards, solid.normal(face))
    found.sort(key=lambda edge: float(_crossing(solid, plane, station, edge) @ heading))
    return list(zip(found[::2], found[1::2], strict=True))


def _crossing(solid: Solid, plane: CuttingPlane, station: float, edge: _Crossing) -> Vector:
    a, b = (np.array(solid.vertices[i]) for i in edge)
    share = (station - a[plane.along]) / (b[plane.along] - a[plane.along])
    return np.asarray(a + share * (b - a), dtype=np.float64)


def _outline(
    solid: Solid,
    plane: CuttingPlane,
    station: Number,
    loop: Sequence[tuple[_Crossing, Face]],
) -> Outline:
    corners: list[Corner] = []
    for (i, j), _ in loop:
        a, b = solid.vertices[i], solid.vertices[j]
        share = (station - a[plane.along]) / (b[plane.along] - a[plane.along])
        corners.append(
            (
                a[plane.right] + share * (b[plane.right] - a[plane.right]),
                a[plane.up] + share * (b[plane.up] - a[plane.up]),
            )
        )
    return Outline(
        tuple(corners),
        tuple(face.name for _, face in loop),
        tuple(_arc(face, plane) for _, face in loop),
    )


def _arc(face: Face, plane: CuttingPlane) -> Arc | None:
    cylinder = face.cylinder
    if cylinder is None:
        return None
    assert abs(abs(cylinder.axis[plane.along]) - 1.0) < 1e-9, "a curved face is cut square"
    centre = (cylinder.origin[plane.right], cylinder.origin[plane.up])
    return Arc(centre, cylinder.radius, cylinder.sense)
