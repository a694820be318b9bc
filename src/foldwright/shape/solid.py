"""Solids: the outside faces of a folded part, in the part's own frame.

Room: shape. A `Solid` is a closed polyhedron of named flat faces, bare (without
finish). `flat` unfolds any of them; it does not care which kind of part they
came from.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

type Vector = NDArray[np.float64]


@dataclass(frozen=True)
class Cylinder:
    """What a curved face lies on.

    `origin` on the axis, `axis` unit, `radius` [mm] of the outside skin;
    `sense` is 1 if the outside looks away from the axis, -1 if towards it.
    """

    origin: tuple[float, float, float]
    axis: tuple[float, float, float]
    radius: float
    sense: int


@dataclass(frozen=True)
class Face:
    """A face: its name and its corners, anticlockwise seen from outside.

    A face with a `cylinder` has four corners; two of its sides run along the
    axis, two round it, and those are arcs on its neighbours too.
    """

    name: str
    loop: tuple[int, ...]
    cylinder: Cylinder | None = None


@dataclass(frozen=True)
class Edge:
    """An edge between two faces.

    `start` -> `end` are vertex numbers, in the order of the loop of `left`;
    the loop of `right` runs the other way. `dihedral` is interior [rad].
    """

    left: str
    right: str
    start: int
    end: int
    dihedral: float

    @property
    def turn(self) -> float:
        """Turn of a fold along this edge [rad]: positive convex, negative re-entrant."""
        return math.pi - self.dihedral


@dataclass(frozen=True)
class Solid:
    """A closed polyhedron; `vertices` are (x, y, z) [mm], `open_faces` are not made."""

    vertices: tuple[tuple[float, float, float], ...]
    faces: tuple[Face, ...]
    open_faces: frozenset[str] = frozenset()

    def face(self, name: str) -> Face:
        """Return the face called `name`."""
        return next(face for face in self.faces if face.name == name)

    def made_faces(self) -> tuple[Face, ...]:
        """Return the faces that are cut from board."""
        return tuple(face for face in self.faces if face.name not in self.open_faces)

    def corners(self, face: Face) -> Vector:
        """Corners of a face, shape (n, 3), anticlockwise seen from outside."""
        return np.array([self.vertices[i] for i in face.loop], dtype=np.float64)

    def normal(self, face: Face) -> Vector:
        """Outward unit normal, shape (3,), by Newell's sum (sound for any flat polygon)."""
        corners = self.corners(face)
        total = np.cross(corners, np.roll(corners, -1, axis=0)).sum(axis=0)
        return np.asarray(total / np.linalg.norm(total), dtype=np.float64)

    def edges(self) -> tuple[Edge, ...]:
        """Every edge once, in the order of the faces."""
        sides = {
            (a, b): face.name
            for face in self.faces
            for a, b in zip(face.loop, (*face.loop[1:], face.loop[0]), strict=True)
        }
        normals = {face.name: self.normal(face) for face in self.faces}
        edges = []
        for (a, b), left in sides.items():
            right = sides[(b, a)]
            if (a, b) < (b, a):
                along = np.subtract(self.vertices[b], self.vertices[a])
                edges.append(
                    Edge(left, right, a, b, _dihedral(normals[left], normals[right], along))
                )
        return tuple(edges)


def _dihedral(left: Vector, right: Vector, along: Vector) -> float:
    # Turning from the left normal to the right one about the edge, as it runs
    # in the left loop, is the turn of the fold; interior = pi - turn.
    unit = along / np.linalg.norm(along)
    turn = math.atan2(float(np.dot(np.cross(left, right), unit)), float(np.dot(left, right)))
    return math.pi - turn


def prism(
    outline: list[tuple[float, float]],
    start: float,
    end: float,
    sides: tuple[str, ...],
    ends: tuple[str, str],
    open_faces: frozenset[str],
) -> Solid:
    """Push an outline in x-z along y.

    Parameters
    ----------
    outline : list of (x, z), length n
        Anticlockwise seen from the front (from -y) [mm].
    start, end : float
        y of the two ends, start below end [mm].
    sides : tuple of str, length n
        Name of the face over each side of the outline.
    ends : (str, str)
        Names of the faces at `start` and `end`.
    open_faces : frozenset of str
    """
    count = len(outline)
    vertices = [(x, start, z) for x, z in outline] + [(x, end, z) for x, z in outline]
    faces = [Face(ends[0], tuple(range(count)))]
    faces += [
        Face(name, (i, i + count, (i + 1) % count + count, (i + 1) % count))
        for i, name in enumerate(sides)
    ]
    faces.append(Face(ends[1], tuple(range(2 * count - 1, count - 1, -1))))
    return Solid(tuple(vertices), tuple(faces), open_faces)
