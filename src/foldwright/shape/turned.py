"""Bodies of what is round: drums, hoods, tubes and plugs.

Room: shape. Walls are turned about z in chords; where something is cut into a
wall, its chords are cut in the unrolled plane of angle and height.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from shapely import Polygon
from shapely.affinity import translate
from shapely.geometry import box
from shapely.geometry.base import BaseGeometry

from foldwright.plan import Drum, Hood
from foldwright.plan.dual import cos, number, sin
from foldwright.shape.body import (
    Body,
    Builder,
    Facet,
    Generator,
    Surface,
    chords,
    points_of,
    polygons_of,
    quad_facet,
)
from foldwright.shape.features import wall_seam
from foldwright.shape.hoods import hood_wall
from foldwright.shape.paths import FaceCut
from foldwright.shape.rounds import bare_drum, drum_dims
from foldwright.shape.shells import path_points
from foldwright.shape.solid import Vector

_AXIS = (0.0, 0.0, 1.0)


def curled(part: Drum | Hood, cuts: Sequence[FaceCut] = ()) -> Body:
    """Body of a drum or hood, with its wall's cutouts."""
    seam = wall_seam(part)
    start = (math.cos(seam), math.sin(seam), 0.0)
    values = part.values()
    if isinstance(part, Drum):
        dims = drum_dims(part, values, finished=True)
        outer, bore = (number(dims[name].value) / 2.0 for name in ("outside_d", "bore"))
        height = number(dims["length"].value)
        foot = (0.0, 0.0, number(part.length.value(values)) - height if not part.bare else 0.0)
        outside = Generator(foot, _AXIS, start, (outer, outer), height)
        inside = replace(outside, radii=(bore, bore), sense=-1)
        girth = number(bare_drum(part, values)[0]) / 2.0
    else:
        wall = hood_wall(part, values, finished=True)
        ends = tuple(number(d) / 2.0 for d in (wall.bottom_d, wall.top_d))
        shrunk = wall.through * number(cos(wall.lean))
        low, high = number(wall.bottom_z), number(wall.top_z)
        sunk = wall.through * number(sin(wall.lean))
        outside = Generator((0.0, 0.0, low), _AXIS, start, (ends[0], ends[1]), high - low)
        inside = replace(
            outside,
            origin=(0.0, 0.0, low - sunk),
            radii=(max(0.0, ends[0] - shrunk), max(0.0, ends[1] - shrunk)),
            sense=-1,
        )
        girth = (ends[0] + ends[1]) / 2.0
    return _turned(outside, inside, cuts, girth)


def pipe(outside_d: float, bore: float, length: float) -> Body:
    """Body of a round tube, or of a rod where `bore` is 0."""
    radius = outside_d / 2.0
    outside = Generator((0.0, 0.0, 0.0), _AXIS, (1.0, 0.0, 0.0), (radius, radius), length)
    inside = replace(outside, radii=(bore / 2.0, bore / 2.0), sense=-1)
    return _turned(outside, inside, (), radius)


def _turned(outside: Generator, inside: Generator, cuts: Sequence[FaceCut], girth: float) -> Body:
    """A wall between two surfaces turned about one axis; no hole inside makes it solid."""
    build = Builder()
    count = max(12, chords(max(outside.radii), math.tau))
    angles = np.linspace(0.0, math.tau, count + 1)
    step = math.tau / count
    holes = [_unrolled(c, girth, outside.height, step) for c in cuts if c.face == "wall"]
    hollow = max(inside.radii) > 1e-6
    build.surfaces.append(_curved(outside, angles, holes))
    if hollow:
        build.surfaces.append(_curved(inside, angles, holes, turned_in=True))
    for share, face in ((0.0, "bottom"), (1.0, "top")):
        ring = outside.points(angles[:-1], share)
        bore = inside.points(angles[:-1], share)
        _end(build, face, ring, bore if hollow else None)
    for hole in holes:
        _hole_in_wall(build, hole, step, outside, inside if hollow else None)
    return build.body()


def _end(build: Builder, face: str, ring: Vector, bore: Vector | None) -> None:
    """One end of a wall: a disc, a flat ring, or the leaning edge of a hood."""
    up = 1 if face == "top" else -1
    if np.ptp(ring, axis=0).max() > 1e-6:
        build.ridge(ring, ("wall", face), closed=True)
    if bore is not None and np.ptp(bore, axis=0).max() > 1e-6:
        build.ridge(bore, ("wall", face), closed=True, inside=True)
    if bore is None:
        build.flat(face, ring[::up], np.array([0.0, 0.0, float(up)]))
    else:
        build.wall(face, ring[::up], bore[::up], closed=True, inside=False)


def _unrolled(cut: FaceCut, girth: float, height: float, step: float) -> Vector:
    """Cutout of a wall as (angle, share of the height), shape (n, 2).

    Its sides are cut short at every chord of the wall, `step` [rad] apart. On a
    cylinder x runs round the bare outside; on a cone it is taken at the mean radius.
    """
    run = [(x / girth, y / height) for x, y in path_points(cut.path)]
    found = []
    for (ax, ay), (bx, by) in zip(run, [*run[1:], run[0]], strict=True):
        first, last = sorted((ax / step, bx / step))
        crossed = [n * step for n in range(math.ceil(first + 1e-9), math.ceil(last - 1e-9))]
        shares = sorted((angle - ax) / (bx - ax) for angle in crossed)
        found += [(ax + (bx - ax) * t, ay + (by - ay) * t) for t in (0.0, *shares)]
    return np.array(found)


def _curved(
    wall: Generator, angles: Vector, holes: Sequence[Vector], *, turned_in: bool = False
) -> Surface:
    """Strip of chords between the ends of a wall, without its holes."""
    low, high = (wall.points(angles, share) for share in (0.0, 1.0))
    cutters = [Polygon(hole) for hole in holes]
    # a hole over the seam shows on either end of the sweep
    cutters += [translate(c, xoff=turn) for c in cutters for turn in (-math.tau, math.tau)]
    facets: list[Facet] = []
    for i in range(len(angles) - 1):
        quad = np.array([low[i], low[i + 1], high[i + 1], high[i]])
        facet = quad_facet(points_of(quad[::-1] if turned_in else quad))
        if facet is None:
            continue
        strip = box(angles[i], 0.0, angles[i + 1], 1.0)
        met = [c for c in cutters if c.intersects(strip)]
        if not met:
            facets.append(facet)
            continue
        left: BaseGeometry = strip
        for cutter in met:
            left = left.difference(cutter)
        for polygon in polygons_of(left):
            loops = [
                _on_quad(np.array(ring.coords)[:-1], quad, float(angles[i]), float(angles[i + 1]))
                for ring in (polygon.exterior, *polygon.interiors)
            ]
            found = tuple(points_of(p[::-1] if turned_in else p) for p in loops)
            facets.append(Facet(found, facet.normal))
    shown = tuple(tuple((float(a), float(h)) for a, h in hole) for hole in holes)
    return Surface("wall", tuple(facets), wall, turned_in, shown)


def _on_quad(places: Vector, quad: Vector, first: float, last: float) -> Vector:
    """Points of a chord quad at (angle, share of the height)."""
    u = ((places[:, 0] - first) / (last - first))[:, None]
    v = places[:, 1][:, None]
    return np.asarray(
        (1.0 - v) * ((1.0 - u) * quad[0] + u * quad[1]) + v * ((1.0 - u) * quad[3] + u * quad[2])
    )


def _hole_in_wall(
    build: Builder, hole: Vector, step: float, outside: Generator, inside: Generator | None
) -> None:
    """Edges of a hole in a wall, and the thickness of the board in it."""

    def on(wall: Generator) -> Vector:
        """The hole on the chords of a wall."""
        first = np.floor(hole[:, 0] / step)
        share = (hole[:, 0] / step - first)[:, None]
        ends = [wall.points(at * step, hole[:, 1]) for at in (first, first + 1.0)]
        return np.asarray((1.0 - share) * ends[0] + share * ends[1])

    near = on(outside)
    build.ridge(near, ("wall", "wall"), closed=True)
    if inside is not None:
        far = on(inside)
        build.ridge(far, ("wall", "wall"), closed=True, inside=True)
        build.wall("wall", near[::-1], far[::-1], closed=True)
