"""Bodies of folded parts: a solid with board of some thickness round it.

Room: shape. The outside is the solid's own. Where the part is open or cut
into, the inside skin shows: each corner moves in so that it lies one board
behind every made face that meets in it, and an open face becomes a rim.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import numpy as np

from foldwright.shape.body import (
    Body,
    Builder,
    Facet,
    Generator,
    Surface,
    chords,
    points_of,
    quad_facet,
)
from foldwright.shape.paths import FaceCut, Path, Step
from foldwright.shape.solid import Cylinder, Edge, Face, Solid, Vector

# Faces that turn less than this into one another show no edge [rad].
_SMOOTH = 2e-3

type _Lines = dict[tuple[int, int], Vector]


def shell_of(
    solid: Solid,
    thickness: Callable[[str], float],
    cuts: Sequence[FaceCut] = (),
    frame_of: Callable[[str], Vector] | None = None,
) -> Body:
    """Body of a folded part.

    Parameters
    ----------
    solid : Solid
        Its outside.
    thickness : callable
        Board of a face by its name [mm].
    cuts : sequence of FaceCut
        On flat faces; those on curved ones are not drawn.
    frame_of : callable
        Frame of a face by its name, in which its cuts are given, shape (4, 4).
    """
    shell = _Shell(solid, thickness, cuts if frame_of else ())
    shell.cut(frame_of)
    for face in solid.faces:
        if face.name not in solid.open_faces:
            shell.add_face(face)
    for edge in solid.edges():
        shell.add_edge(edge)
    return shell.builder.body()


def path_points(path: Path) -> list[tuple[float, float]]:
    """Corners of a path, its arcs by chords; the first point is not repeated."""
    return [point for point, _ in path_corners(path)]


def path_corners(path: Path) -> list[tuple[tuple[float, float], bool]]:
    """Corners as `path_points`, each with whether the path runs smoothly through it."""
    found: list[tuple[tuple[float, float], bool]] = []
    last = path[-1].to
    for step, after in zip(path, (*path[1:], path[0]), strict=True):
        found += [(p, True) for p in _arc_points(last, step)]
        ends, starts = _heading(last, step, at_end=True), _heading(step.to, after, at_end=False)
        turn = math.remainder(starts - ends, math.tau)
        found.append((step.to, abs(turn) < _SMOOTH))
        last = step.to
    return found


def _heading(start: tuple[float, float], step: Step, *, at_end: bool) -> float:
    """Direction in which a step leaves its start, or reaches its end [rad]."""
    if step.centre is None:
        return math.atan2(step.to[1] - start[1], step.to[0] - start[0])
    x, y = step.to if at_end else start
    radial = math.atan2(y - step.centre[1], x - step.centre[0])
    return radial + (math.pi / 2.0 if step.left else -math.pi / 2.0)


def _arc_points(a: tuple[float, float], step: Step) -> list[tuple[float, float]]:
    if step.centre is None:
        return []
    (x, y), b = step.centre, step.to
    radius = math.dist(a, step.centre)
    start = math.atan2(a[1] - y, a[0] - x)
    end = math.atan2(b[1] - y, b[0] - x)
    sweep = (end - start) % math.tau if step.left else -((start - end) % math.tau)
    if math.dist(a, b) < 1e-9:
        sweep = math.tau if step.left else -math.tau
    count = chords(radius, sweep)
    angles = (start + sweep * i / count for i in range(1, count))
    return [(x + radius * math.cos(f), y + radius * math.sin(f)) for f in angles]


class _Shell:
    """A folded part's body while it is made."""

    def __init__(
        self, solid: Solid, thickness: Callable[[str], float], cuts: Sequence[FaceCut]
    ) -> None:
        self.solid = solid
        self.thickness = thickness
        self.cuts = [cut for cut in cuts if not cut.drilled_in_place]
        self.builder = Builder()
        self.faces = {face.name: face for face in solid.faces}
        # what is open or cut into shows its thickness
        self.is_thick = bool(solid.open_faces or self.cuts)
        self.holes: dict[str, list[Vector]] = {}
        self.corners = np.array(solid.vertices, dtype=np.float64)
        self.inner = self._inner_corners()
        self.outer_lines, self.inner_lines = self._lines()

    def _inner_corners(self) -> Vector:
        """Each corner one board behind the made faces that meet in it, by least squares."""
        inner = self.corners.copy()
        for i, corner in enumerate(self.corners):
            rows, depths = [], []
            for face in self.solid.faces:
                if i in face.loop:
                    rows.append(self._normal_at(face, corner))
                    is_open = face.name in self.solid.open_faces
                    depths.append(0.0 if is_open else -self.thickness(face.name))
            # corners of more than three faces need not have an exact answer
            inner[i] += np.linalg.lstsq(np.array(rows), np.array(depths), rcond=1e-6)[0]
        return inner

    def _normal_at(self, face: Face, point: Vector) -> Vector:
        if face.cylinder is None:
            return self.solid.normal(face)
        radial = _radial(face.cylinder, point)
        return np.asarray(face.cylinder.sense * radial / np.linalg.norm(radial))

    def _lines(self) -> tuple[_Lines, _Lines]:
        """Outside and inside lines of every edge, both ways round; arcs by chords."""
        outer: _Lines = {}
        inner: _Lines = {}
        for face in self.solid.faces:
            for a, b in _sides(face):
                if (a, b) not in outer:
                    outer[a, b] = self.corners[[a, b]]
                    inner[a, b] = self.inner[[a, b]]
        for face in self.solid.faces:
            if face.cylinder is None:
                continue
            for a, b in _round_sides(self.solid, face):
                pair = self._arc(face, a, b)
                for lines, line in zip((outer, inner), pair, strict=True):
                    lines[a, b], lines[b, a] = line, line[::-1]
        return outer, inner

    def _arc(self, face: Face, a: int, b: int) -> tuple[Vector, Vector]:
        cylinder = face.cylinder
        assert cylinder is not None
        axis = np.array(cylinder.axis)
        first, last = (_radial(cylinder, self.corners[i]) for i in (a, b))
        sweep = math.atan2(float(np.cross(first, last) @ axis), float(first @ last))
        count = chords(cylinder.radius, sweep)
        shares = np.linspace(0.0, 1.0, count + 1)[:, None]
        angles = shares * sweep
        radials = np.cos(angles) * first + np.sin(angles) * np.cross(axis, first)
        foot = self.corners[a] - first
        drift = (self.corners[b] - last) - foot
        outer = foot + shares * drift + radials
        depth = -cylinder.sense * self.thickness(face.name) / cylinder.radius
        ends = [self.inner[i] - line for i, line in ((a, outer[0]), (b, outer[-1]))]
        rest = [end - depth * radial for end, radial in zip(ends, (first, last), strict=True)]
        inner = outer + depth * radials + (1.0 - shares) * rest[0] + shares * rest[1]
        return outer, inner

    def cut(self, frame_of: Callable[[str], Vector] | None) -> None:
        """Note the holes of each flat face, clockwise, on the face itself."""
        for cut in self.cuts:
            face = self.faces.get(cut.face)
            if frame_of is None or face is None or face.cylinder is not None:
                continue
            frame = frame_of(cut.face)
            flat = np.array([(x, y, 0.0) for x, y in path_points(cut.path)])
            hole = flat @ frame[:3, :3].T + frame[:3, 3]
            normal = self.solid.normal(face)
            # the frame is that of the bare face: bring the hole up onto the finish
            depth = (self.solid.corners(face)[0] - hole[0]) @ normal
            self.holes.setdefault(cut.face, []).append(hole + depth * normal)

    def add_face(self, face: Face) -> None:
        """Outside of a made face, and its inside where that can be seen."""
        if face.cylinder is not None:
            self._add_curved(face)
            return
        normal = self.solid.normal(face)
        holes = self.holes.get(face.name, [])
        loop = _joined([self.outer_lines[side] for side in _sides(face)])
        self.builder.flat(face.name, loop, normal, [hole[::-1] for hole in holes])
        if not self.is_thick:
            return
        depth = -self.thickness(face.name) * normal
        back = _joined([self.inner_lines[side] for side in _sides(face)])
        through = [hole + depth for hole in holes]
        self.builder.flat(face.name, back[::-1], -normal, through, inside=True)
        for hole, far in zip(holes, through, strict=True):
            # a hole runs clockwise, so its wall looks into the hole
            self.builder.wall(face.name, hole[::-1], far[::-1], closed=True)
            self.builder.ridge(hole, (face.name, face.name), closed=True)
            self.builder.ridge(far, (face.name, face.name), closed=True, inside=True)

    def _add_curved(self, face: Face) -> None:
        (a, b), (c, d) = _round_sides(self.solid, face)
        lower, upper = self.outer_lines[a, b], self.outer_lines[c, d][::-1]
        facets = _strip(lower, upper)
        self.builder.surfaces.append(
            Surface(face.name, facets, self._generator(face, lower, upper))
        )
        if self.is_thick:
            inner = self.inner_lines[a, b], self.inner_lines[c, d][::-1]
            facets = _strip(inner[1], inner[0])
            self.builder.surfaces.append(Surface(face.name, facets, None, inside=True))

    def _generator(self, face: Face, lower: Vector, upper: Vector) -> Generator:
        cylinder = face.cylinder
        assert cylinder is not None
        first, last = _radial(cylinder, lower[0]), _radial(cylinder, lower[-1])
        foot = lower[0] - first
        along = upper[0] - lower[0]
        height = float(np.linalg.norm(along))
        axis = along / height
        sweep = math.atan2(float(np.cross(first, last) @ axis), float(first @ last))
        start = first / np.linalg.norm(first)
        low, high = sorted((0.0, sweep))
        o, x, s = points_of([foot, axis, start])
        return Generator(
            o, x, s, (cylinder.radius, cylinder.radius), height, (low, high), cylinder.sense
        )

    def add_edge(self, edge: Edge) -> None:
        """Line of an edge, outside, and inside where that can be seen; a rim where it is open."""
        names = (edge.left, edge.right)
        opens = [name in self.solid.open_faces for name in names]
        if all(opens):
            return
        side = (edge.start, edge.end)
        outer, inner = self.outer_lines[side], self.inner_lines[side]
        smooth = not any(opens) and self._is_smooth(edge)
        self.builder.ridge(outer, names, smooth=smooth)
        if not self.is_thick:
            return
        self.builder.ridge(inner, names, smooth=smooth, inside=True)
        if any(opens):
            # in the loop of the open face the board lies left of its edge
            lower, upper = (outer, inner) if opens[0] else (outer[::-1], inner[::-1])
            self.builder.wall(names[opens.index(True)], lower, upper, inside=False)

    def _is_smooth(self, edge: Edge) -> bool:
        faces = [self.faces[name] for name in (edge.left, edge.right)]
        if all(face.cylinder is None for face in faces):
            return abs(edge.turn) < _SMOOTH
        ends = [self.corners[i] for i in (edge.start, edge.end)]
        return all(
            float(self._normal_at(faces[0], p) @ self._normal_at(faces[1], p)) > math.cos(_SMOOTH)
            for p in ends
        )


def _sides(face: Face) -> list[tuple[int, int]]:
    return list(zip(face.loop, (*face.loop[1:], face.loop[0]), strict=True))


def _round_sides(solid: Solid, face: Face) -> list[tuple[int, int]]:
    """Sides of a curved face that run round its axis, in the order of its loop."""
    assert face.cylinder is not None
    axis = np.array(face.cylinder.axis)
    corners = np.array(solid.vertices)

    def lean(side: tuple[int, int]) -> float:
        along = corners[side[1]] - corners[side[0]]
        return abs(float(along @ axis)) / float(np.linalg.norm(along))

    return [side for side in _sides(face) if lean(side) < 0.5]


def _radial(cylinder: Cylinder, point: Vector) -> Vector:
    axis = np.array(cylinder.axis)
    away = point - np.array(cylinder.origin)
    return np.asarray(away - (away @ axis) * axis)


def _joined(lines: Sequence[Vector]) -> Vector:
    return np.concatenate([line[:-1] for line in lines])


def _strip(lower: Vector, upper: Vector) -> tuple[Facet, ...]:
    low, high = points_of(lower), points_of(upper)
    quads = ((low[i], low[i + 1], high[i + 1], high[i]) for i in range(len(low) - 1))
    return tuple(facet for quad in quads if (facet := quad_facet(quad)) is not None)
