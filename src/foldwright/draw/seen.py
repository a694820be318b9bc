"""What is seen of a build from one side: lines and areas, without any style.

Room: draw. `seen_of` takes bodies and where they stand, turns them to the eye,
adds the outlines of what is round, removes what is hidden, and finds the areas
between the lines that are left. `picture` draws them. NumPy and Shapely load
with this module.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from foldwright.draw.drawing import Point
from foldwright.draw.hidden_lines import (
    Array,
    Flags,
    Index,
    Patches,
    foremost,
    patches_of,
    view_axes,
    visible_stretches,
)

if TYPE_CHECKING:
    from foldwright.shape import Body, Generator

# From the upper left, over the draughtsman's shoulder (common practice, no source).
_LIGHT = np.array([-0.6, 0.7, 0.5]) / math.sqrt(1.1)
_AWAY = np.array([0.65, -0.76])

# How far lines are drawn on, to close the cells between them [mm].
_OVER = 0.12
# Shorter than this is a crumb, left where a hidden edge comes up to a seen corner [mm].
_CRUMB = 0.1
# An arc stands no further over its chords than this [mm].
_OVER_CHORD = 0.3

# Where a round part is ruled: shares of its half width on the side away from the light.
_RULED = (0.36, 0.46, 0.55, 0.63, 0.70, 0.765, 0.82, 0.87, 0.91, 0.945, 0.972)


@dataclass(frozen=True)
class SeenLine:
    """A line that is seen, from end to end.

    Attributes
    ----------
    part : str
    faces : (str, str)
        On either side of the edge.
    kind : str
        ``"edge"``, ``"inner"`` (an edge of the inside), ``"outline"`` (where a round
        surface turns away) or ``"ruling"``.
    points : tuple of Point
        In the view [mm].
    heavy : tuple of float
        How much each stretch between two points lies away from the light, 0 to 1.
    whole : (bool, bool)
        Whether its first and last point are ends of the edge itself, not of what is seen of it.
    """

    part: str
    faces: tuple[str, str]
    kind: str
    points: tuple[Point, ...]
    heavy: tuple[float, ...]
    whole: tuple[bool, bool]


@dataclass(frozen=True)
class SeenArea:
    """A region in which one surface is seen: its loops, the outer one first."""

    part: str
    face: str
    is_lit: bool
    loops: tuple[tuple[Point, ...], ...]

    @property
    def polygon(self) -> shapely.Polygon:
        """The region as a polygon."""
        return shapely.Polygon(self.loops[0], self.loops[1:])


@dataclass(frozen=True)
class Seen:
    """All that is seen, in the view [mm]."""

    lines: tuple[SeenLine, ...]
    areas: tuple[SeenArea, ...]


@dataclass(frozen=True)
class _Line:
    part: str
    faces: tuple[str, str]
    kind: str
    points: Array
    closed: bool


@dataclass(frozen=True)
class _Owner:
    part: str
    face: str
    is_round: bool
    is_inside: bool


def box_of(
    bodies: Mapping[str, Body], frames: Mapping[str, Array], eye: Sequence[float]
) -> tuple[Point, Point]:
    """Lower left and upper right corner of all bodies in the view [mm]."""
    axes = view_axes(eye)
    corners = [_turned(body.points(), frames.get(name), axes) for name, body in bodies.items()]
    every = np.concatenate(corners)[:, :2]
    (x0, y0), (x1, y1) = every.min(axis=0), every.max(axis=0)
    return (float(x0), float(y0)), (float(x1), float(y1))


def seen_of(
    bodies: Mapping[str, Body],
    frames: Mapping[str, Array],
    eye: Sequence[float],
    *,
    ruled: Mapping[str, float] | None = None,
    wide: float = 1.0,
) -> Seen:
    """Look at bodies.

    Parameters
    ----------
    bodies : Mapping of str to Body
        By part.
    frames : Mapping of str to ndarray, shape (4, 4)
        Motion into the build frame; who has none stands at the origin.
    eye : sequence of 3 floats
        Direction towards the eye in the build frame.
    ruled : Mapping of str to float, optional
        Parts whose round surfaces are ruled on the side away from the light,
        with the least distance between two rulings [mm].
    wide : float
        Width of a wide line [mm of the build]: what is thinner than two of them
        gets no heavy edges of its own.
    """
    axes = view_axes(eye)
    corners: list[Array] = []
    owners: list[_Owner] = []
    lines: list[_Line] = []
    for name, body in bodies.items():
        motion = frames.get(name)
        found, surfaces = body.patches
        corners.append(_turned(found, motion, axes))
        known = {
            id(s): _Owner(name, s.face, s.generator is not None, s.inside) for s in body.surfaces
        }
        owners += [known[id(s)] for s in surfaces]
        lines += _lines(name, body, motion, axes, (ruled or {}).get(name))
    patches = patches_of(np.concatenate(corners) if corners else np.zeros((0, 4, 3)))
    return _look(lines, patches, owners, wide)


def _turned(points: Array, motion: Array | None, axes: Array) -> Array:
    if motion is not None:
        points = points @ motion[:3, :3].T + motion[:3, 3]
    return np.asarray(points @ axes.T)


def _lines(
    name: str, body: Body, motion: Array | None, axes: Array, spacing: float | None
) -> list[_Line]:
    eye = axes[2] if motion is None else axes[2] @ motion[:3, :3]
    generators = [s.generator for s in body.surfaces if s.generator and s.generator.sense > 0]
    tangents = [
        g.points(np.array([angle]), share)[0]
        for g in generators
        for angle in g.tangents(eye.tolist())
        for share in (0.0, 1.0)
    ]
    found = [
        _Line(
            name,
            ridge.faces,
            "smooth" if ridge.smooth else "inner" if ridge.inside else "edge",
            _turned(_with_tangents(np.array(ridge.points), tangents), motion, axes),
            ridge.points[0] == ridge.points[-1],
        )
        for ridge in body.ridges
    ]
    for surface in body.surfaces:
        generator = surface.generator
        if generator is None or generator.sense < 0:
            continue  # where a hollow surface turns away, something before it hides it
        drawn = [(angle, "outline") for angle in generator.tangents(eye.tolist())]
        if spacing is not None:
            drawn += [(a, "ruling") for a in _rulings(generator, eye, motion, axes, spacing)]
        for angle, kind in drawn:
            for low, high in _free_of_holes(angle, surface.holes):
                ends = [generator.points(np.array([angle]), share)[0] for share in (low, high)]
                faces = (surface.face, surface.face)
                points = _turned(np.array(ends), motion, axes)
                found.append(_Line(name, faces, kind, points, False))
    return found


def _with_tangents(points: Array, tangents: Sequence[Array]) -> Array:
    """A line with the true ends of the outlines put in where they stand over its chords."""
    for tangent in tangents:
        a, along = points[:-1], np.diff(points, axis=0)
        size = np.maximum((along**2).sum(axis=1), 1e-12)
        share = np.clip(((tangent - a) * along).sum(axis=1) / size, 0.0, 1.0)
        away = np.linalg.norm(a + share[:, None] * along - tangent, axis=1)
        i = int(np.argmin(away))
        inside = 1e-9 < share[i] < 1.0 - 1e-9
        if away[i] < _OVER_CHORD and inside:
            points = np.insert(points, i + 1, tangent, axis=0)
    return points


def _rulings(
    generator: Generator, eye: Array, motion: Array | None, axes: Array, spacing: float
) -> list[float]:
    """Angles to rule, denser towards the edge that lies away from the light."""
    tangents = generator.tangents(eye.tolist())
    low, high = generator.sweep
    if len(tangents) != 2 or high - low < math.tau - 1e-6:
        return []
    feet = _turned(generator.points(np.array(tangents), 0.0), motion, axes)[:, :2]
    sides = feet @ _AWAY
    dark, other = (0, 1) if sides[0] > sides[1] else (1, 0)
    half = float(np.linalg.norm(feet[0] - feet[1])) / 2.0
    # angle of the middle of what is seen: between the tangents, on the side of the eye
    half_turn = ((tangents[dark] - tangents[other] + math.pi) % math.tau - math.pi) / 2.0
    middle = tangents[other] + half_turn
    way = generator.points(np.array([middle]), 0.0)[0] - np.array(generator.origin)
    if float(way @ eye) < 0.0:
        half_turn -= math.copysign(math.pi, half_turn)
        middle = tangents[other] + half_turn
    found: list[float] = []
    last = -math.inf
    for share in _RULED:
        if (share - last) * half >= spacing and (1.0 - share) * half >= 0.6 * spacing:
            found.append(
                middle + math.asin(share * math.sin(abs(half_turn))) * math.copysign(1.0, half_turn)
            )
            last = share
    return found


def _free_of_holes(
    angle: float, holes: Sequence[Sequence[tuple[float, float]]]
) -> list[tuple[float, float]]:
    """Shares of the height over which a generatrix runs on material."""
    left: BaseGeometry = shapely.LineString([(angle, 0.0), (angle, 1.0)])
    for hole in holes:
        for turn in (-math.tau, 0.0, math.tau):
            moved = [(a + turn, h) for a, h in hole]
            left = left.difference(shapely.Polygon(moved))
    return [
        (line.coords[0][1], line.coords[-1][1])
        for line in shapely.get_parts(left)
        if isinstance(line, shapely.LineString) and line.length > 1e-9
    ]


def _look(lines: Sequence[_Line], patches: Patches, owners: Sequence[_Owner], wide: float) -> Seen:
    segments = np.concatenate(
        [np.stack([line.points[:-1], line.points[1:]], 1) for line in lines]
        or [np.zeros((0, 2, 3))]
    )
    stretches = visible_stretches(segments, patches)
    runs: list[tuple[_Line, Array, tuple[bool, bool]]] = []
    first = 0
    for line in lines:
        count = len(line.points) - 1
        runs += [(line, *run) for run in _runs(line, stretches[first : first + count])]
        first += count
    bounding = [points for line, points, _ in runs if line.kind != "ruling"]
    areas = _areas(bounding, patches, owners)
    drawn = [run for run in runs if run[0].kind != "smooth"]
    weights = _weights([(line.part, points) for line, points, _ in drawn], patches, owners, wide)
    return Seen(
        tuple(
            SeenLine(
                line.part,
                line.faces,
                line.kind,
                tuple((float(x), float(y)) for x, y, _ in points),
                tuple(weight),
                whole,
            )
            for (line, points, whole), weight in zip(drawn, weights, strict=True)
        ),
        tuple(areas),
    )


def _runs(
    line: _Line, stretches: Sequence[Sequence[tuple[float, float]]]
) -> list[tuple[Array, tuple[bool, bool]]]:
    """Seen stretches of a line's segments, joined where they go on."""
    runs: list[list[Array]] = []
    starts: list[bool] = []
    open_run = False
    for i, seen in enumerate(stretches):
        a, b = line.points[i], line.points[i + 1]
        for low, high in seen:
            p, q = a + low * (b - a), a + high * (b - a)
            if open_run and low == 0.0:
                runs[-1].append(q)
            else:
                starts.append(i == 0 and low == 0.0)
                runs.append([p, q])
            open_run = high == 1.0
        if not seen:
            open_run = False
    if line.closed and len(runs) > 1 and starts[0] and open_run:
        runs[0] = runs.pop() + runs[0][1:]
        starts[0] = False
    last = line.points[-1]
    return [
        (
            np.array(run),
            (
                start and not line.closed,
                not line.closed and bool(run[-1] is last or np.allclose(run[-1], last)),
            ),
        )
        for run, start in zip(runs, starts, strict=False)
        if float(np.abs(np.diff(np.array(run), axis=0)[:, :2]).sum()) > _CRUMB
    ]


def _weights(
    runs: Sequence[tuple[str, Array]],
    patches: Patches,
    owners: Sequence[_Owner],
    wide: float,
) -> list[list[float]]:
    """How heavy each stretch of each run is drawn, by what lies on either side of it."""
    if not runs:
        return []
    a = np.concatenate([run[:-1] for _, run in runs])
    b = np.concatenate([run[1:] for _, run in runs])
    parts = np.array([part for part, run in runs for _ in range(len(run) - 1)])
    along = (b - a)[:, :2]
    length = np.maximum(np.linalg.norm(along, axis=1), 1e-9)[:, None]
    left = np.column_stack([-along[:, 1], along[:, 0]]) / length
    middle = (a + b) / 2.0
    named = np.array([*(owners[i].part for i in patches.which.tolist()), ""])

    def beside(aside: float) -> tuple[list[Flags], list[Flags]]:
        """Whether the part's own surface goes on at either side of the line, and is lit."""
        goes_on, lit = [], []
        for side in (1.0, -1.0):
            index, depth = foremost(middle[:, :2] + side * aside * left, patches)
            # about as deep as the line beside it, unless it is seen very flat
            near = np.abs(depth - middle[:, 2]) < 6.0 * aside
            goes_on.append(near & (named[index] == parts))
            lit.append(_is_lit(index, patches))
        return goes_on, lit

    near, lit = beside(0.4)
    broad, _ = beside(2.0 * wide)
    away = left @ _AWAY
    weight = np.zeros(len(a))
    left_only, right_only = near[0] & ~near[1], near[1] & ~near[0]
    weight[left_only] = np.maximum(0.0, -away[left_only])
    weight[right_only] = np.maximum(0.0, away[right_only])
    weight[near[0] & near[1] & broad[0] & broad[1] & (lit[0] != lit[1])] = 0.8
    out, first = [], 0
    for _, run in runs:
        out.append([float(w) for w in weight[first : first + len(run) - 1]])
        first += len(run) - 1
    return out


def _is_light(owner: _Owner, lit: bool) -> bool:
    """Inside it is dark; what is round has its dark side ruled instead."""
    return not owner.is_inside and (lit or owner.is_round)


def _is_lit(index: Index, patches: Patches) -> Flags:
    if not len(patches.normals):
        return np.zeros(len(index), dtype=bool)
    normals = patches.normals[index]
    normals = normals * np.sign(normals[:, 2:])
    return np.asarray(normals @ _LIGHT > 0.0)


def _areas(runs: Sequence[Array], patches: Patches, owners: Sequence[_Owner]) -> list[SeenArea]:
    """Cells between the seen lines, each with the surface that is seen in it."""
    pieces = []
    for run in runs:
        flat = run[:, :2].copy()
        for end, inner in ((0, 1), (-1, -2)):
            out = flat[end] - flat[inner]
            size = float(np.linalg.norm(out))
            if size < 1e-9:
                continue
            out /= size
            # a little over, so that lines that end on one another really cross
            flat[end] = flat[end] + out * _OVER
        pieces.append(shapely.LineString(flat))
    if not pieces:
        return []
    noded = shapely.unary_union(pieces)
    cells = [
        cell
        for cell in shapely.get_parts(shapely.polygonize([*shapely.get_parts(noded)]))
        if cell.area > 0.05
    ]
    if not cells:
        return []
    spots = np.array([cell.representative_point().coords[0] for cell in cells])
    index, _ = foremost(spots, patches)
    lit = _is_lit(index, patches)
    found = []
    for cell, k, light in zip(cells, index.tolist(), lit.tolist(), strict=True):
        if k < 0:
            continue
        owner = owners[int(patches.which[k])]
        loops = tuple(
            tuple((float(x), float(y)) for x, y in ring.coords[:-1])
            for ring in (cell.exterior, *cell.interiors)
        )
        found.append(SeenArea(owner.part, owner.face, _is_light(owner, light), loops))
    return found
