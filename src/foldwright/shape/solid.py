"""Solids: the outside faces of a folded part, in the part's own frame.

Room: shape. A `Solid` is a closed body of named faces, flat or curved (on a
cylinder), bare (without finish). `flat` unfolds any of them; it does not care
which kind of part they came from. A curved face meets its flat neighbours
along straight lines (generatrices) or arcs square to its axis.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

type Vector = NDArray[np.float64]

TANGENT = math.radians(0.02)
"""Curved faces that meet a neighbour within this are tangent to it [rad]."""


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

    def mirrored(self) -> Solid:
        """Return the other hand: reflected in x = 0, loops still anticlockwise from outside."""
        faces = []
        for face in self.faces:
            cylinder = face.cylinder
            if cylinder:
                (x, y, z), (u, v, w) = cylinder.origin, cylinder.axis
                cylinder = replace(cylinder, origin=(-x, y, z), axis=(-u, v, w))
            faces.append(Face(face.name, face.loop[::-1], cylinder))
        vertices = tuple((-x, y, z) for x, y, z in self.vertices)
        return Solid(vertices, tuple(faces), self.open_faces)

    def normal(self, face: Face) -> Vector:
        """Outward unit normal, shape (3,); of a curved face that at its middle.

        By Newell's sum, which is sound for any flat polygon.
        """
        known = self._normals
        if face not in known:
            if face.cylinder:
                bow = _bow(face.cylinder, self.corners(face))
                known[face] = _middle_normal(face.cylinder, *bow)
            else:
                known[face] = _newell([self.vertices[i] for i in face.loop])
        return known[face]

    @cached_property
    def _normals(self) -> dict[Face, Vector]:
        """Normals worked out so far; they are asked for again and again."""
        return {}

    def normal_at(self, face: Face, vertex: int) -> Vector:
        """Outward unit normal of a face at one of its corners, shape (3,)."""
        if not face.cylinder:
            return self.normal(face)
        arm = _arm(face.cylinder, np.array(self.vertices[vertex]))
        return np.asarray(face.cylinder.sense * arm / np.linalg.norm(arm), dtype=np.float64)

    def sweep(self, face: Face) -> float:
        """How far a curved face goes round its axis [rad]; 0 for a flat one."""
        if not face.cylinder:
            return 0.0
        start, end, about = _bow(face.cylinder, self.corners(face))
        return _turn_between(start, end, about)

    def area(self, face: Face) -> float:
        """Area of the outside of a face [mm2]."""
        corners = self.corners(face)
        if face.cylinder:
            reach = np.ptp(corners @ np.array(face.cylinder.axis))
            return float(face.cylinder.radius * self.sweep(face) * reach)
        total = np.cross(corners, np.roll(corners, -1, axis=0)).sum(axis=0)
        bows = sum(
            arc.sense * arc.radius**2 / 2.0 * (arc.sweep - math.sin(arc.sweep))
            for arc in self._arcs(face)
        )
        return float(np.linalg.norm(total)) / 2.0 + bows

    def outline_points(self, face: Face, *directions: Vector) -> Vector:
        """Points that a flat face reaches furthest with, shape (n, 3).

        Its corners, and on each of its arcs the points that lie furthest out
        along each of the `directions`, shape (3,), and against it.
        """
        points = [*self.corners(face)]
        normal = self.normal(face)
        for arc in self._arcs(face):
            for direction in (*directions, *(-d for d in directions)):
                out = direction - normal * float(direction @ normal)
                out = out / np.linalg.norm(out)
                if _turn_between(arc.start, out, arc.sense * normal) < arc.sweep:
                    points.append(arc.centre + arc.radius * out)
        return np.array(points, dtype=np.float64)

    def edges(self) -> tuple[Edge, ...]:
        """Every edge once, in the order of the faces."""
        return self._edges

    @cached_property
    def _edges(self) -> tuple[Edge, ...]:
        """Edges with their dihedrals; joints, openings and proof ask for them, each by itself."""
        faces = {face.name: face for face in self.faces}
        flat = {face.name: self.normal(face) for face in self.faces if not face.cylinder}
        sides = {
            (a, b): face.name
            for face in self.faces
            for a, b in zip(face.loop, (*face.loop[1:], face.loop[0]), strict=True)
        }
        edges = []
        for (a, b), left in sides.items():
            if (a, b) < (b, a):
                right = sides[(b, a)]
                if left in flat and right in flat:
                    dihedral = self._between(flat[left], flat[right], a, b)
                else:
                    dihedral = self._beside_curve(faces[left], faces[right], a, b)
                edges.append(Edge(left, right, a, b, dihedral))
        return tuple(edges)

    def edge_centre(self, edge: Edge) -> tuple[Vector, int] | None:
        """Centre of an edge that is an arc, shape (3,), and the way it runs; None if straight.

        The way is 1 if the edge turns anticlockwise from `start` to `end`, seen
        from outside the flat one of its two faces, and -1 if clockwise.
        """
        left, right = self.face(edge.left), self.face(edge.right)
        return self._arc_centre(left, right, edge.start, edge.end)

    def edge_length(self, edge: Edge) -> float:
        """Length of an edge [mm], along the arc if it is one."""
        if self.edge_centre(edge) is None:
            return math.dist(self.vertices[edge.start], self.vertices[edge.end])
        curved = next(f for n in (edge.left, edge.right) if (f := self.face(n)).cylinder)
        assert curved.cylinder is not None
        return curved.cylinder.radius * self.sweep(curved)

    def _arcs(self, face: Face) -> list[_Arc]:
        """Arcs on the edges of a flat face, as they run in its loop."""
        found = []
        sides = set(zip(face.loop, (*face.loop[1:], face.loop[0]), strict=True))
        for other in self.faces:
            cylinder = other.cylinder
            if not cylinder:
                continue
            for a, b in zip(other.loop, (*other.loop[1:], other.loop[0]), strict=True):
                start, end = np.array(self.vertices[b]), np.array(self.vertices[a])
                if (b, a) in sides and not _is_along(cylinder, start, end):
                    arm = _arm(cylinder, start)
                    found.append(
                        _Arc(start - arm, arm, cylinder.radius, cylinder.sense, self.sweep(other))
                    )
        return found

    def _arc_centre(
        self, left: Face, right: Face, start: int, end: int
    ) -> tuple[Vector, int] | None:
        curved = left if left.cylinder else right
        if curved.cylinder is None:
            return None
        a, b = np.array(self.vertices[start]), np.array(self.vertices[end])
        if _is_along(curved.cylinder, a, b):
            return None
        # In the loop of the flat face an arc that bows out turns anticlockwise.
        way = curved.cylinder.sense if curved is right else -curved.cylinder.sense
        return a - _arm(curved.cylinder, a), way

    def _between(self, left: Vector, right: Vector, start: int, end: int) -> float:
        # Turning from the left normal to the right one about the edge, as it runs
        # in the left loop, is the turn of the fold; interior = pi - turn.
        along = np.subtract(self.vertices[end], self.vertices[start])
        unit = along / np.linalg.norm(along)
        turn = math.atan2(float(np.dot(cross(left, right), unit)), float(np.dot(left, right)))
        return math.pi - turn

    def _beside_curve(self, left: Face, right: Face, start: int, end: int) -> float:
        if self._arc_centre(left, right, start, end) is not None:
            return math.pi / 2.0  # a curved face is square to what ends it
        normals = self.normal_at(left, start), self.normal_at(right, start)
        dihedral = self._between(*normals, start, end)
        return math.pi if abs(dihedral - math.pi) < TANGENT else dihedral


@dataclass(frozen=True)
class _Arc:
    """An arc on the edge of a flat face; `start` is the arm from its centre to where it starts."""

    centre: Vector
    start: Vector
    radius: float
    sense: int
    sweep: float


def cross(a: Vector, b: Vector) -> Vector:
    """Cross product of two vectors, shape (3,); on so few numbers much faster than NumPy's."""
    ax, ay, az = a.tolist()
    bx, by, bz = b.tolist()
    return np.array((ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx))


def _arm(cylinder: Cylinder, point: Vector) -> Vector:
    """From the axis square out to a point, shape (3,)."""
    off, axis = point - np.array(cylinder.origin), np.array(cylinder.axis)
    return np.asarray(off - axis * float(off @ axis), dtype=np.float64)


def _is_along(cylinder: Cylinder, start: Vector, end: Vector) -> bool:
    along = end - start
    return abs(float(along @ np.array(cylinder.axis))) > 0.5 * float(np.linalg.norm(along))


def _turn_between(start: Vector, end: Vector, about: Vector) -> float:
    """Angle from one arm to another anticlockwise about a unit vector [rad], 0 to 2 pi."""
    return math.atan2(float(np.cross(start, end) @ about), float(start @ end)) % math.tau


def _bow(cylinder: Cylinder, corners: Vector) -> tuple[Vector, Vector, Vector]:
    """Arms at both ends of a curved face, and the axis it goes anticlockwise round."""
    for i in range(4):
        start, end, beyond = corners[i], corners[(i + 1) % 4], corners[(i + 2) % 4]
        if not _is_along(cylinder, start, end):
            # Normal, way round and way to the other end are right-handed.
            about = cylinder.sense * (beyond - end) / np.linalg.norm(beyond - end)
            return _arm(cylinder, start), _arm(cylinder, end), about
    raise AssertionError("a curved face has two sides round its axis")


def _middle_normal(cylinder: Cylinder, start: Vector, end: Vector, about: Vector) -> Vector:
    half = _turn_between(start, end, about) / 2.0
    middle = math.cos(half) * start + math.sin(half) * np.cross(about, start)
    return np.asarray(cylinder.sense * middle / np.linalg.norm(middle), dtype=np.float64)


def _newell(corners: Sequence[tuple[float, float, float]]) -> Vector:
    """Unit normal of a flat polygon; by hand, since NumPy is slow on so few numbers."""
    x = y = z = 0.0
    ax, ay, az = corners[-1]
    for bx, by, bz in corners:
        x += ay * bz - az * by
        y += az * bx - ax * bz
        z += ax * by - ay * bx
        ax, ay, az = bx, by, bz
    size = math.sqrt(x * x + y * y + z * z)
    return np.array([x / size, y / size, z / size])


def prism(
    outline: Sequence[tuple[float, float]],
    start: float,
    end: float,
    sides: Sequence[str],
    ends: tuple[str, str],
    open_faces: frozenset[str],
    arcs: Sequence[tuple[tuple[float, float], float, int] | None] = (),
) -> Solid:
    """Push an outline in x-z along y.

    Parameters
    ----------
    outline : sequence of (x, z), length n
        Anticlockwise seen from the front (from -y) [mm].
    start, end : float
        y of the two ends, start below end [mm].
    sides : sequence of str, length n
        Name of the face over each side of the outline.
    ends : (str, str)
        Names of the faces at `start` and `end`.
    open_faces : frozenset of str
    arcs : sequence, length n or 0
        For each curved side its centre (x, z), radius [mm] and sense (1 if it
        bows out, -1 if in); None for a straight one.
    """
    count = len(outline)
    vertices = [(x, start, z) for x, z in outline] + [(x, end, z) for x, z in outline]
    faces = [Face(ends[0], tuple(range(count)))]
    for i, (name, arc) in enumerate(zip(sides, arcs or [None] * count, strict=True)):
        loop = (i, i + count, (i + 1) % count + count, (i + 1) % count)
        cylinder = None
        if arc is not None:
            (x, z), radius, sense = arc
            cylinder = Cylinder((x, start, z), (0.0, 1.0, 0.0), radius, sense)
        faces.append(Face(name, loop, cylinder))
    faces.append(Face(ends[1], tuple(range(2 * count - 1, count - 1, -1))))
    return Solid(tuple(vertices), tuple(faces), open_faces)
