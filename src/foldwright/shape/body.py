"""Bodies: the outside of a part as it is seen, for pictures and the 3-D scene.

Room: shape. A `Body` is in its part's own frame, with the finish on. Its
surfaces are bounded by plain polygons, curved ones by strips of chords that
keep their generator beside them, so that a picture can find the true tangent
lines. Where a part is open or cut into, its board shows its thickness: then
the body has an inside skin too, rims and the walls of its holes.

`bodies.body_of` makes them; `Builder` below is what it makes them with.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike
from shapely import (
    MultiPolygon,
    Polygon,
    constrained_delaunay_triangles,
    get_coordinates,
    get_parts,
    make_valid,
)
from shapely.geometry.base import BaseGeometry
from shapely.geometry.polygon import orient

from foldwright.shape.solid import Vector

type Point3 = tuple[float, float, float]
type Loop = tuple[Point3, ...]

# How far a chord may leave its arc [mm]: a third of a narrow line at 1:2.
CHORD_ERROR = 0.15
# Two sides that turn by less (sine) go on in one line.
_IN_LINE = 1e-9


@dataclass(frozen=True)
class Facet:
    """A flat bit of a surface.

    `loops` are the outer one, anticlockwise seen from outside, then its
    holes, clockwise; `normal` is unit and points out.
    """

    loops: tuple[Loop, ...]
    normal: Point3

    @property
    def area(self) -> float:
        """Area without the holes [mm2]."""
        return sum(
            float(np.cross(p, np.roll(p, -1, axis=0)).sum(axis=0) @ np.array(self.normal)) / 2.0
            for p in (np.array(loop) for loop in self.loops)
        )

    def triangles(self) -> Vector:
        """The facet in triangles, shape (k, 3, 3), anticlockwise seen from outside."""
        outer = np.array(self.loops[0])
        if len(self.loops) == 1 and self._is_convex:
            return np.stack([np.broadcast_to(outer[0], outer[2:].shape), outer[1:-1], outer[2:]], 1)
        u, v = plane_axes(np.array(self.normal))
        base = outer[0]
        rings = [(np.array(loop) - base) @ np.column_stack([u, v]) for loop in self.loops]
        flat = Polygon(rings[0], rings[1:])
        whole = flat if flat.is_valid else make_valid(flat)
        triangles = get_parts(constrained_delaunay_triangles(whole))
        xy = get_coordinates(triangles).reshape(-1, 4, 2)[:, :3]
        a, b = xy[:, 1] - xy[:, 0], xy[:, 2] - xy[:, 0]
        turned = a[:, 0] * b[:, 1] < a[:, 1] * b[:, 0]
        xy[turned] = xy[turned, ::-1]
        return np.asarray(base + xy[:, :, :1] * u + xy[:, :, 1:] * v)

    @property
    def _is_convex(self) -> bool:
        """Whether the outer loop turns left at each corner, with none in line."""
        loop = self.loops[0]
        if len(loop) == 3:
            return True
        sides = [_less(loop[i], loop[i - 1]) for i in range(len(loop))]
        return all(
            math.sumprod(_cross(sides[i - 1], sides[i]), self.normal)
            > _IN_LINE * math.hypot(*sides[i - 1]) * math.hypot(*sides[i])
            for i in range(len(sides))
        )


@dataclass(frozen=True)
class Generator:
    """Cylinder or right cone that a surface lies on.

    The point at angle f and share h of the height is
    ``origin + h height axis + r (cos f start + sin f axis x start)``, with r
    running from ``radii[0]`` to ``radii[1]``; f runs over `sweep` [rad].
    `sense` is 1 where the outside looks away from the axis, else -1.
    """

    origin: Point3
    axis: Point3
    start: Point3
    radii: tuple[float, float]
    height: float
    sweep: tuple[float, float] = (0.0, math.tau)
    sense: int = 1

    def points(self, angles: Vector, share: float | Vector) -> Vector:
        """Points at these angles and this share of the height, or one each, shape (n, 3)."""
        axis, start = np.array(self.axis), np.array(self.start)
        across = np.array(_cross(self.axis, self.start))
        share = np.asarray(share)[..., None]
        radius = self.radii[0] + share * (self.radii[1] - self.radii[0])
        ring = np.cos(angles)[:, None] * start + np.sin(angles)[:, None] * across
        return np.asarray(np.array(self.origin) + share * self.height * axis + radius * ring)

    def tangents(self, eye: Sequence[float]) -> tuple[float, ...]:
        """Angles where the surface is seen edge-on along `eye` [rad], none or two.

        The normal is ``cos f start + sin f (axis x start) + s axis`` with
        ``s = (r0 - r1) / height``; it is square to the eye where
        ``A cos f + B sin f = -s C``.
        """
        a, b = math.sumprod(eye, self.start), math.sumprod(eye, _cross(self.axis, self.start))
        slope = (self.radii[0] - self.radii[1]) / self.height
        size, wanted = math.hypot(a, b), -slope * math.sumprod(eye, self.axis)
        if size < 1e-12 or abs(wanted) >= size:
            return ()
        middle, half = math.atan2(b, a), math.acos(wanted / size)
        low, high = self.sweep
        found = []
        for angle in (middle - half, middle + half):
            turned = low + (angle - low) % math.tau
            if turned <= high + 1e-9:
                found.append(turned)
        return tuple(found)


@dataclass(frozen=True)
class Surface:
    """A face of a body: its facets, and what it lies on if it is curved.

    `inside` marks what only shows through an opening: the inside skin, and
    the walls of holes. `holes` are cutouts of a curved surface, corners as
    (angle, share of the height).
    """

    face: str
    facets: tuple[Facet, ...]
    generator: Generator | None = None
    inside: bool = False
    holes: tuple[tuple[tuple[float, float], ...], ...] = ()


@dataclass(frozen=True)
class Ridge:
    """A line of a body where two surfaces meet.

    `points` in order; `faces` on either side; a `smooth` one is no edge to
    the eye (a curve runs into its tangent) and is not drawn.
    """

    points: Loop
    faces: tuple[str, str]
    smooth: bool = False
    inside: bool = False


@dataclass(frozen=True)
class Body:
    """A part as it is seen, in its own frame [mm]."""

    surfaces: tuple[Surface, ...]
    ridges: tuple[Ridge, ...] = ()

    @property
    def area(self) -> float:
        """Area of all facets [mm2]."""
        return sum(facet.area for surface in self.surfaces for facet in surface.facets)

    @cached_property
    def patches(self) -> tuple[Vector, tuple[Surface, ...]]:
        """All facets in convex patches, shape (k, 4, 3), and the surface of each.

        Four-cornered facets stay whole if they are convex, all else goes in
        triangles, whose last corner is repeated.
        """
        owned = [(f, s) for s in self.surfaces for f in s.facets]
        quads = [(f, s) for f, s in owned if len(f.loops) == 1 and len(f.loops[0]) == 4]
        corners = np.array([f.loops[0] for f, _ in quads]).reshape(-1, 4, 3)
        normals = np.array([f.normal for f, _ in quads]).reshape(-1, 1, 3)
        along = np.roll(corners, -1, axis=1) - corners
        turns = (np.cross(along, np.roll(along, -1, axis=1)) * normals).sum(axis=2)
        convex = (turns > -1e-9).all(axis=1)
        found = [corners[convex]]
        surfaces = [s for (_, s), whole in zip(quads, convex, strict=True) if whole]
        split = [q for q, whole in zip(quads, convex, strict=True) if not whole]
        split += [(f, s) for f, s in owned if len(f.loops) > 1 or len(f.loops[0]) != 4]
        for facet, surface in split:
            triangles = facet.triangles()
            found.append(triangles[:, [0, 1, 2, 2]])
            surfaces += [surface] * len(triangles)
        return np.concatenate(found), tuple(surfaces)

    def points(self) -> Vector:
        """Corners of all facets, shape (n, 3)."""
        return np.array(
            [p for s in self.surfaces for f in s.facets for loop in f.loops for p in loop]
        )


def chords(radius: float, sweep: float) -> int:
    """How many chords stay within `CHORD_ERROR` of an arc."""
    if radius <= CHORD_ERROR:
        return 3
    most = 2.0 * math.acos(1.0 - CHORD_ERROR / radius)
    # at least one for 30 degrees, so that a small bolt hole still looks round
    return max(2, math.ceil(abs(sweep) / min(most, math.pi / 6.0)))


def points_of(array: ArrayLike) -> Loop:
    """Rows of an array as points."""
    return tuple((x, y, z) for x, y, z in np.asarray(array, dtype=np.float64).tolist())


@dataclass
class Builder:
    """A body while it is put together."""

    surfaces: list[Surface] = field(default_factory=list)
    ridges: list[Ridge] = field(default_factory=list)

    def body(self) -> Body:
        """What has been put together."""
        return Body(tuple(self.surfaces), tuple(self.ridges))

    def ridge(
        self,
        points: Vector,
        faces: tuple[str, str],
        *,
        smooth: bool = False,
        inside: bool = False,
        closed: bool = False,
    ) -> None:
        """Add a line, shape (n, 3); `closed` returns to its first point."""
        run = points_of(points)
        if closed:
            run = (*run, run[0])
        if math.dist(run[0], run[-1]) > 1e-9 or len(run) > 2:
            self.ridges.append(Ridge(run, faces, smooth, inside))

    def flat(
        self,
        face: str,
        corners: Vector,
        normal: Vector,
        holes: Sequence[Vector] = (),
        *,
        inside: bool = False,
    ) -> None:
        """Add a flat surface: corners (n, 3) anticlockwise from outside, holes likewise."""
        facets = flat_facets(corners, normal, holes)
        if facets:
            self.surfaces.append(Surface(face, facets, None, inside))

    def wall(
        self, face: str, lower: Vector, upper: Vector, *, closed: bool = False, inside: bool = True
    ) -> None:
        """Add quads between two lines of equal length, shape (n, 3).

        Anticlockwise from outside is: along `lower`, then back along `upper`.
        """
        quads: list[Loop] = []
        first, second = points_of(lower), points_of(upper)
        count = len(first)
        for i in range(count if closed else count - 1):
            j = (i + 1) % count
            a, b, c, d = first[i], first[j], second[j], second[i]
            quads += [(a, b, c, d)] if _is_flat(a, b, c, d) else [(a, b, c), (a, c, d)]
        facets = tuple(facet for quad in quads if (facet := quad_facet(quad)) is not None)
        if facets:
            self.surfaces.append(Surface(face, facets, None, inside))


# Facets are many and small: plain floats are ten times as fast on them as arrays.


def _less(a: Point3, b: Point3) -> Point3:
    return (a[0] - b[0], a[1] - b[1], a[2] - b[2])


def _cross(a: Point3, b: Point3) -> Point3:
    return (
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    )


def _is_flat(a: Point3, b: Point3, c: Point3, d: Point3) -> bool:
    sides = [_less(p, a) for p in (b, c, d)]
    volume = sum(x * y for x, y in zip(_cross(sides[0], sides[1]), sides[2], strict=True))
    return abs(volume) < 1e-9 * max(abs(x) for side in sides for x in side) ** 3


def quad_facet(corners: Sequence[Point3]) -> Facet | None:
    """Facet of three or four corners, repeated ones dropped; None if it has no area."""
    kept = [p for i, p in enumerate(corners) if math.dist(p, corners[i - 1]) > 1e-9]
    if len(kept) < 3:
        return None
    first = kept[0]
    total = (0.0, 0.0, 0.0)
    for p, q in pairwise(kept[1:]):
        x, y, z = _cross(_less(p, first), _less(q, first))
        total = (total[0] + x, total[1] + y, total[2] + z)
    size = math.hypot(*total)
    if size < 1e-9:
        return None
    return Facet((tuple(kept),), (total[0] / size, total[1] / size, total[2] / size))


def plane_axes(normal: Vector) -> tuple[Vector, Vector]:
    """Two unit vectors across a normal, right-handed with it."""
    x, y, z = (float(along) for along in normal)
    thin = min(range(3), key=lambda i: abs((x, y, z)[i]))
    u = ((0.0, -z, y), (z, 0.0, -x), (-y, x, 0.0))[thin]
    size = math.hypot(*u)
    u = (u[0] / size, u[1] / size, u[2] / size)
    return np.array(u), np.array(_cross((x, y, z), u))


def flat_facets(corners: Vector, normal: Vector, holes: Sequence[Vector]) -> tuple[Facet, ...]:
    """Facets of a flat polygon without its holes, which may run over its edge."""
    out = points_of([normal])[0]
    if not holes:
        return (Facet((points_of(corners),), out),)
    u, v = plane_axes(normal)
    base = np.array(corners[0])

    def dropped(points: Vector) -> Polygon:
        away = np.asarray(points) - base
        return Polygon(np.column_stack([away @ u, away @ v]))

    left: BaseGeometry = dropped(corners)
    for hole in holes:
        left = left.difference(dropped(hole))
    return tuple(
        Facet(
            tuple(
                points_of(base + np.outer(xy[:, 0], u) + np.outer(xy[:, 1], v))
                for ring in (polygon.exterior, *polygon.interiors)
                for xy in [np.array(ring.coords)[:-1]]
            ),
            out,
        )
        for polygon in polygons_of(left)
    )


def polygons_of(shape: object) -> tuple[Polygon, ...]:
    """Polygons of a shape, outer loops anticlockwise, holes clockwise; slivers left out."""
    if isinstance(shape, Polygon):
        found = [shape]
    elif isinstance(shape, MultiPolygon):
        found = list(shape.geoms)
    else:
        found = [p for p in getattr(shape, "geoms", ()) if isinstance(p, Polygon)]
    return tuple(orient(p, 1.0) for p in found if p.area > 1e-6)
