"""What is seen of a build from one side: lines and areas, without any style.

Room: draw. `seen_of` takes bodies and where they stand, turns them to the eye, removes
what is hidden of their lines (`body_lines`), and finds the areas between the lines that
are left. `picture` draws them. Copies of one body that are turned alike are turned once.
NumPy and Shapely load with this module.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import shapely

from foldwright.draw.body_lines import BodyLine, lines_of
from foldwright.draw.drawing import Point
from foldwright.draw.hidden_lines import (
    Array,
    Index,
    Patches,
    foremost,
    patches_of,
    view_axes,
    visible_stretches,
)
from foldwright.draw.line_weights import is_lit, weights

if TYPE_CHECKING:
    from foldwright.shape import Body, Surface

# How far lines are drawn on, to close the cells between them [mm].
_OVER = 0.12
# Shorter than this is a crumb, left where a hidden edge comes up to a seen corner [mm].
_CRUMB = 0.1
# Smaller than this is a crumb between two lines that all but meet [mm2].
_SPECK = 0.05


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
class _Turned:
    """A body turned to the eye, its own origin in the origin of the view."""

    corners: Array
    surfaces: tuple[Surface, ...]
    lines: list[BodyLine]


@dataclass(frozen=True)
class _Line:
    """A line of a part, with its points where they are in the view."""

    part: str
    number: int
    line: BodyLine
    points: Array


@dataclass(frozen=True)
class _Run:
    """What is seen of a line without a gap."""

    of: _Line
    points: Array
    whole: tuple[bool, bool]


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
    alike: dict[tuple[int, bytes, float | None], _Turned] = {}
    corners: list[Array] = []
    owners: list[tuple[str, Surface]] = []
    numbers: list[int] = []
    lines: list[_Line] = []
    for number, (name, body) in enumerate(bodies.items()):
        motion = frames.get(name, np.eye(4))
        turn, shift = axes @ motion[:3, :3], axes @ motion[:3, 3]
        spacing = (ruled or {}).get(name)
        key = (id(body), turn.tobytes(), spacing)
        if key not in alike:
            flat, surfaces = body.patches
            alike[key] = _Turned(flat @ turn.T, surfaces, lines_of(body, turn, spacing))
        turned = alike[key]
        corners.append(turned.corners + shift)
        owners += [(name, surface) for surface in turned.surfaces]
        numbers += [number] * len(turned.surfaces)
        lines += [_Line(name, number, line, line.points + shift) for line in turned.lines]
    patches = patches_of(np.concatenate(corners) if corners else np.zeros((0, 4, 3)))
    runs = _runs(lines, patches)
    areas = _areas([run.points for run in runs if run.of.line.kind != "ruling"], patches, owners)
    drawn = [run for run in runs if run.of.line.kind != "smooth"]
    heavy = _heavy(drawn, patches, np.array(numbers, dtype=np.int64)[patches.which], wide)
    return Seen(
        tuple(
            SeenLine(
                run.of.part,
                run.of.line.faces,
                run.of.line.kind,
                tuple((x, y) for x, y, _ in run.points.tolist()),
                tuple(weight),
                run.whole,
            )
            for run, weight in zip(drawn, heavy, strict=True)
        ),
        tuple(areas),
    )


def _turned(points: Array, motion: Array | None, axes: Array) -> Array:
    if motion is not None:
        points = points @ motion[:3, :3].T + motion[:3, 3]
    return np.asarray(points @ axes.T)


def _runs(lines: Sequence[_Line], patches: Patches) -> list[_Run]:
    """Seen stretches of the segments of lines, joined where they go on."""
    counts = np.array([len(line.points) - 1 for line in lines], dtype=np.int64)
    firsts = np.cumsum(counts) - counts
    segments = np.concatenate(
        [np.stack([line.points[:-1], line.points[1:]], 1) for line in lines]
        or [np.zeros((0, 2, 3))]
    )
    which, low, high = visible_stretches(segments, patches)
    if not len(which):
        return []
    a, along = segments[which, 0], segments[which, 1] - segments[which, 0]
    starts, ends = a + low[:, None] * along, a + high[:, None] * along
    owner = np.repeat(np.arange(len(lines)), counts)[which]
    goes_on = np.zeros(len(which), dtype=bool)
    goes_on[1:] = (owner[1:] == owner[:-1]) & (which[1:] == which[:-1] + 1)
    goes_on[1:] &= (high[:-1] == 1.0) & (low[1:] == 0.0)
    begins = np.flatnonzero(~goes_on)
    stops = np.append(begins[1:], len(which))
    from_end = (which == firsts[owner]) & (low == 0.0)
    to_end = (which == (firsts + counts - 1)[owner]) & (high == 1.0)
    found: list[_Run] = []
    open_at: dict[int, int] = {}  # a closed line whose first point is seen, and its first run
    for begin, stop in zip(begins.tolist(), stops.tolist(), strict=True):
        number = int(owner[begin])
        line = lines[number]
        points = np.concatenate([starts[begin : begin + 1], ends[begin:stop]])
        whole = (bool(from_end[begin]), bool(to_end[stop - 1]))
        if not line.line.closed:
            found.append(_Run(line, points, whole))
        elif whole[1] and number in open_at and not whole[0]:
            first = found[open_at[number]]
            joined = np.concatenate([points, first.points[1:]])
            found[open_at[number]] = _Run(line, joined, (False, False))
        else:
            if whole[0]:
                open_at[number] = len(found)
            found.append(_Run(line, points, (False, False)))
    return [run for run in found if np.abs(np.diff(run.points[:, :2], axis=0)).sum() > _CRUMB]


def _heavy(runs: Sequence[_Run], patches: Patches, owners: Index, wide: float) -> list[list[float]]:
    """How heavy each stretch of each run is drawn."""
    if not runs:
        return []
    starts = np.concatenate([run.points[:-1] for run in runs])
    ends = np.concatenate([run.points[1:] for run in runs])
    counts = [len(run.points) - 1 for run in runs]
    parts = np.repeat([run.of.number for run in runs], counts)
    every = weights(starts, ends, parts, patches, owners, wide).tolist()
    lasts = np.cumsum(counts).tolist()
    return [every[last - count : last] for last, count in zip(lasts, counts, strict=True)]


def _is_light(surface: Surface, lit: bool) -> bool:
    """Inside it is dark; what is round has its dark side ruled instead."""
    return not surface.inside and (lit or surface.generator is not None)


def _areas(
    runs: Sequence[Array], patches: Patches, owners: Sequence[tuple[str, Surface]]
) -> list[SeenArea]:
    """Cells between the seen lines, each with the surface that is seen in it."""
    if not runs:
        return []
    pieces = shapely.linestrings(
        np.concatenate([_drawn_on(run) for run in runs]),
        indices=np.repeat(np.arange(len(runs)), [len(run) for run in runs]),
    )
    noded = shapely.get_parts(shapely.union_all(pieces))
    cells = shapely.get_parts(shapely.polygonize(noded))
    cells = cells[shapely.area(cells) > _SPECK]
    spots = shapely.get_coordinates(shapely.point_on_surface(cells))
    index, _ = foremost(spots, patches)
    seen = index >= 0
    cells, index = cells[seen], index[seen]
    found = []
    lit = is_lit(index, patches)
    for cell, k, light in zip(cells, patches.which[index].tolist(), lit.tolist(), strict=True):
        part, surface = owners[k]
        loops = tuple(
            tuple((x, y) for x, y in shapely.get_coordinates(ring)[:-1].tolist())
            for ring in (cell.exterior, *cell.interiors)
        )
        found.append(SeenArea(part, surface.face, _is_light(surface, light), loops))
    return found


def _drawn_on(run: Array) -> Array:
    """A run with its ends a little over, so that lines that end on one another really cross."""
    flat = run[:, :2].copy()
    for end, inner in ((0, 1), (-1, -2)):
        out = flat[end] - flat[inner]
        size = float(np.linalg.norm(out))
        if size >= 1e-9:
            flat[end] += out / size * _OVER
    return flat
