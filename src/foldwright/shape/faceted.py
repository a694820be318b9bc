"""Faceted parts: blocks cut by planes and joined.

Room: shape. Which faces meet where is found once, for the part as drawn
(`facets`); every corner is then the point where its planes meet, for any
values of the parameters. Finish and board move the planes in.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping
from functools import lru_cache

import numpy as np

from foldwright.errors import CannotMake, offer_names
from foldwright.plan import Faceted, Number
from foldwright.plan.dual import number
from foldwright.shape.blocks import Convex, block_planes, convex, directions, meeting_point
from foldwright.shape.facets import Facets, joined
from foldwright.shape.measured import Dim, Section, Span
from foldwright.shape.planes import Plane, Spot, corner_of, distance, dot, minus
from foldwright.shape.solid import Edge, Face, Solid, Vector

# Faces of one name may turn and lie off each other by this [rad], [mm].
_TURNED, _APART = 1e-9, 1e-6
# Neighbouring faces that turn less than this make no fold.
_IN_PLANE = math.radians(0.5)
# Planes that should meet in one point may miss it by this [mm].
_MISSED = 1e-7
_SQUARE = math.radians(0.1)


def planes_of(part: Faceted, values: Mapping[str, Number]) -> dict[str, Plane]:
    """Planes of all faces as the plan states them, by name.

    Raises
    ------
    CannotMake
        One name for two planes.
    """
    found: dict[str, Plane] = {}
    for block in part.blocks:
        for name, plane in block_planes(block, values):
            _require_same(part, name, found.setdefault(name, plane), plane)
    return found


def _require_same(part: Faceted, name: str, one: Plane, other: Plane) -> None:
    turned = math.sqrt(sum(number(c) ** 2 for c in minus(one.out, other.out)))
    apart = abs(number(one.offset) - number(other.offset))
    if turned > _TURNED or apart > _APART:
        how = f"turned by {math.degrees(turned):.3g} degrees" if turned > _TURNED else ""
        how = how or f"{apart:.3g} mm apart"
        raise CannotMake(
            f'Face "{name}" of {part.name} lies in two planes, {how}.',
            part=part.name,
            field="blocks",
            remedy="Faces with one name become one face, so they need one plane; give one of "
            "them another name.",
        )


@lru_cache(maxsize=256)
def facets_of(part: Faceted) -> Facets:
    """Which faces the part has as drawn, and how they meet.

    Raises
    ------
    CannotMake
        As `facets.joined`; a block without inside, a cut that takes nothing off,
        neighbouring faces in one plane.
    """
    values = part.values()
    planes = planes_of(part, values)
    blocks = [_block(part, i, planes, values) for i in range(len(part.blocks))]
    found = joined(part.name, planes, blocks)
    _require_turns(part, found, planes)
    _corners(part, found, planes)  # refuses planes that miss one another
    return found


def _require_turns(part: Faceted, facets: Facets, planes: Mapping[str, Plane]) -> None:
    """Refuse neighbours in one plane, which make no fold."""
    beside = {
        (a, b): name
        for name, loop in facets.loops.items()
        for a, b in zip(loop, (*loop[1:], loop[0]), strict=True)
    }
    for (a, b), name in beside.items():
        other = beside[(b, a)]
        turned = minus(planes[name].out, planes[other].out)
        if number(dot(turned, turned)) < _IN_PLANE**2:
            raise CannotMake(
                f'Faces "{name}" and "{other}" of {part.name} meet in one plane.',
                part=part.name,
                field="blocks",
                remedy="Give them one name, or turn one of them clearly.",
            )


def _block(
    part: Faceted, i: int, planes: Mapping[str, Plane], values: Mapping[str, Number]
) -> Convex:
    block = part.blocks[i]
    names = [name for name, _ in block_planes(block, values)]
    found = convex({name: planes[name] for name in names})
    if not found.loops:
        raise CannotMake(
            f"The cuts of block {i + 1} of {part.name} leave nothing of it.",
            part=part.name,
            field="blocks",
            remedy="A cut takes off what lies beyond it, where its normal points.",
        )
    for cut in block.cuts:
        if cut.face not in found.loops:
            raise CannotMake(
                f'The cut "{cut.face}" takes nothing off block {i + 1} of {part.name}.',
                part=part.name,
                field="blocks",
                remedy="Move its point into the block, or leave the cut out.",
            )
    return found


def _moved(planes: Mapping[str, Plane], distance: float) -> dict[str, Plane]:
    return {name: plane.moved_in(distance) for name, plane in planes.items()}


def bare_planes(part: Faceted, values: Mapping[str, Number]) -> dict[str, Plane]:
    """Planes of the bare outside."""
    return _moved(planes_of(part, values), 0.0 if part.bare else part.coat_outside)


def outside_planes(
    part: Faceted, values: Mapping[str, Number], *, finished: bool
) -> dict[str, Plane]:
    """Planes of the outside, with the finish on or bare."""
    return _moved(bare_planes(part, values), -part.coat_outside if finished else 0.0)


def _corners(part: Faceted, facets: Facets, planes: Mapping[str, Plane]) -> list[Spot]:
    """Where the planes of each corner meet.

    The normals are fixed, so corners are sums of offsets, exact with duals too.
    """
    found = []
    for names in facets.corners:
        out, offset = directions({name: planes[name] for name in names})
        inverse = meeting_point(out)
        _require_one_point(part, names, out, offset, inverse)
        spot: list[Number] = []
        for row in inverse.tolist():
            total: Number = 0.0
            for share, name in zip(row, names, strict=True):
                total = total + share * planes[name].offset
            spot.append(total)
        found.append((spot[0], spot[1], spot[2]))
    return found


def _require_one_point(
    part: Faceted, names: tuple[str, ...], out: Vector, offset: Vector, inverse: Vector
) -> None:
    missed = float(np.abs(out @ (inverse @ offset) - offset).max())
    if missed > max(_MISSED, 1e-12 * float(np.abs(offset).max())):
        coat = part.finish is not None and not part.bare
        raise CannotMake(
            f"The {len(names)} faces {', '.join(names)} of {part.name} do not meet in one point"
            + (" once the finish is taken off" if coat else "")
            + f": they miss it by {missed:.2g} mm.",
            part=part.name,
            field="blocks",
            remedy=("Write bare = true, or move" if coat else "Move")
            + " a cut a little, so that three faces meet at each corner.",
        )


def _solid(part: Faceted, facets: Facets, corners: list[Spot]) -> Solid:
    vertices = tuple((number(x), number(y), number(z)) for x, y, z in corners)
    faces = tuple(Face(name, loop) for name, loop in facets.loops.items())
    return Solid(vertices, faces, frozenset(part.leave_open))


def solid(part: Faceted) -> Solid:
    """Return the bare solid of the part as drawn.

    Raises
    ------
    CannotMake
        As `facets_of`; corners that the finish pulls apart, an edge that it
        swallows, no room inside.
    """
    values = part.values()
    facets = facets_of(part)
    given = _solid(part, facets, _corners(part, facets, planes_of(part, values)))
    bare = _solid(part, facets, _corners(part, facets, bare_planes(part, values)))
    for edge in given.edges():
        before, after = (
            np.subtract(s.vertices[edge.end], s.vertices[edge.start]) for s in (given, bare)
        )
        if not float(before @ after) > 0.0:
            raise CannotMake(
                f'The edge between "{edge.left}" and "{edge.right}" of {part.name} is shorter '
                "than the finish is thick.",
                part=part.name,
                field="blocks",
                remedy="Make it longer, or let the faces meet in one point.",
            )
    _require_room(part)
    return bare


def finished_solid(part: Faceted) -> Solid:
    """Return the solid with its finish on, as drawn."""
    planes = outside_planes(part, part.values(), finished=True)
    facets = facets_of(part)
    return _solid(part, facets, _corners(part, facets, planes))


def _require_room(part: Faceted) -> None:
    """Refuse a part that has no inside: its boards would run into one another.

    In each block the faces that are left on the outside are moved in by their
    board; one block with something left has an inside.
    """
    values = part.values()
    outer = facets_of(part).loops
    planes = bare_planes(part, values)
    for block in part.blocks:
        within = {}
        for name, _ in block_planes(block, values):
            into = _into(part, name, finished=False) if name in outer else 0.0
            within[name] = planes[name].moved_in(into)
        if convex(within).loops:
            return
    raise CannotMake(
        f"{part.name} has no room inside for {part.thickness:g} mm board.",
        part=part.name,
        field="blocks",
        remedy="Make it larger, or use thinner board.",
    )


def dims(part: Faceted, values: Mapping[str, Number], *, finished: bool) -> dict[str, Dim]:
    """Every dim of a faceted part: over all, across parallel faces, along edges."""
    facets = facets_of(part)
    planes = outside_planes(part, values, finished=finished)
    corners = _corners(part, facets, planes)
    ways = ("left to right", "front to back", "bottom to top")
    found = []
    for axis, name in enumerate(("width", "depth", "height")):
        ordered = sorted((corner[axis] for corner in corners), key=number)
        found.append(Dim(name, ordered[-1] - ordered[0], f"outside, {ways[axis]}, over all"))
    found += _across(facets, planes)
    for name, edge in _edge_names(part).items():
        length = distance(corners[edge.start], corners[edge.end])
        how = f"outside, along the edge between {_said(edge.left)} and {_said(edge.right)}"
        found.append(Dim(f"{name}_length", length, how))
    for face in part.leave_open:
        found += _mouth_dims(part, face, values, finished=finished)
    return {dim.name: dim for dim in found}


def _across(facets: Facets, planes: Mapping[str, Plane]) -> list[Dim]:
    """Distance across each pair of parallel faces that look away from each other."""
    found = []
    names = sorted(facets.loops)
    for i, one in enumerate(names):
        for other in names[i + 1 :]:
            facing = number(dot(planes[one].out, planes[other].out))
            across = planes[one].offset + planes[other].offset
            if facing < -1.0 + 1e-12 and number(across) > 0.0:
                how = f"outside, from {_said(one)} to {_said(other)}, with a caliper"
                found.append(Dim(f"{one}_to_{other}", across, how))
    return found


@lru_cache(maxsize=256)
def _edge_names(part: Faceted) -> Mapping[str, Edge]:
    """Edges by the names of their two faces; numbered where two faces meet more than once."""
    found: dict[str, Edge] = {}
    met: Counter[tuple[str, ...]] = Counter()
    facets = facets_of(part)
    given = _corners(part, facets, planes_of(part, part.values()))
    for edge in _solid(part, facets, given).edges():
        pair = tuple(sorted((edge.left, edge.right)))
        met[pair] += 1
        found["~".join(pair) + (f"-{met[pair]}" if met[pair] > 1 else "")] = edge
    return found


def _rectangle(part: Faceted, face: str) -> tuple[tuple[str, str, str, str], Vector] | None:
    """Neighbours of a rectangular face in the order of its sides, and its corners (4, 3).

    None if it is no rectangle, or a neighbour is not square to it.
    """
    facets = facets_of(part)
    whole = _solid(
        part, facets, _corners(part, facets, outside_planes(part, part.values(), finished=True))
    )
    found = whole.face(face)
    corners = whole.corners(found)
    if len(corners) != 4:
        return None
    neighbours = []
    for a, b in zip(found.loop, (*found.loop[1:], found.loop[0]), strict=True):
        edge = next(e for e in whole.edges() if {e.start, e.end} == {a, b})
        if abs(edge.dihedral - math.pi / 2.0) > _SQUARE:
            return None
        neighbours.append(edge.right if edge.left == face else edge.left)
    runs = np.roll(corners, -1, axis=0) - corners
    runs /= np.linalg.norm(runs, axis=1)[:, None]
    if any(abs(float(runs[i] @ runs[i - 1])) > math.sin(_SQUARE) for i in range(4)):
        return None
    return (neighbours[0], neighbours[1], neighbours[2], neighbours[3]), corners


def _mouth_dims(
    part: Faceted, face: str, values: Mapping[str, Number], *, finished: bool
) -> list[Dim]:
    found = _rectangle(part, face) if face in facets_of(part).loops else None
    if found is None:
        return []
    neighbours, _ = found
    planes = bare_planes(part, values)
    lid = planes[face].moved_in(_into(part, face, finished=finished))
    walls = [planes[name].moved_in(_into(part, name, finished=finished)) for name in neighbours]
    corners = [corner_of(lid, walls[i - 1], walls[i]) for i in range(4)]
    dims = []
    for i, (name, (one, other)) in enumerate(_mouth_pairs(face, neighbours).items()):
        across = distance(corners[i], corners[i + 1])
        how = f"inside, from {_said(one)} to {_said(other)}, in the open {_said(face)}"
        dims.append(Dim(name, across, how))
    return dims


def _said(face: str) -> str:
    """Name of a face as prose has it: "front-2" is "front 2"."""
    return face.replace("_", " ").replace("-", " ")


def _into(part: Faceted, face: str, *, finished: bool) -> float:
    """How far the inside lies in from the bare outside at a face [mm]."""
    if face in part.leave_open:
        return -part.coat_outside if finished else 0.0
    return part.stock_of(face)[1] + (part.coat_inside if finished else 0.0)


def _mouth_pairs(face: str, neighbours: tuple[str, str, str, str]) -> dict[str, tuple[str, str]]:
    """Names of the two inside widths of an open face, and the faces they lie between."""
    pairs = (neighbours[3], neighbours[1]), (neighbours[0], neighbours[2])
    return {f"{face}_mouth_{one}_to_{other}": (one, other) for one, other in pairs}


def section(part: Faceted, face: str, values: Mapping[str, Number], *, mouth: bool) -> Section:
    """Rectangle that a face offers to a meet; see `dims.section_of`."""
    face = _asked_face(part, face, mouth)
    found = _rectangle(part, face)
    if found is None:
        raise CannotMake(
            f'Face "{face}" of {part.name} is no rectangle with all its neighbours square to it.',
            part=part.name,
            field="blocks",
            remedy="Let the meet use a rectangular face with square neighbours.",
        )
    neighbours, corners = found
    all_dims = dims(part, values, finished=True)
    if mouth:
        wanted = list(_mouth_pairs(face, neighbours))
    else:
        edges = _edge_names(part)
        wanted = [
            f"{name}_length"
            for neighbour in neighbours[:2]
            for name, edge in edges.items()
            if {edge.left, edge.right} == {face, neighbour}
        ]
    spans = []
    for name, a, b in zip(wanted, corners[:2], corners[1:3], strict=True):
        x, y, z = (float(c) for c in (b - a) / np.linalg.norm(b - a))
        spans.append(Span(name, all_dims[name].value, (x, y, z)))
    x, y, z = (float(c) for c in corners.mean(axis=0))
    return Section(tuple(spans), (x, y, z))


def _asked_face(part: Faceted, face: str, mouth: bool) -> str:
    """Which face is meant; refuses one that is not there or not open."""
    if not face and mouth and len(part.leave_open) == 1:
        face = part.leave_open[0]
    names = tuple(facets_of(part).loops)
    if face not in names:
        asked = f'face "{face}"' if face else "a face"
        raise CannotMake(
            f"A meet with {part.name} needs {asked} that it has.",
            part=part.name,
            field="",
            remedy=f'Write "{part.name}.FACE". {offer_names(face, names)}',
        )
    if mouth and face not in part.leave_open:
        raise CannotMake(
            f'Nothing can slide into the closed face "{face}" of {part.name}.',
            part=part.name,
            field="leave_open",
            remedy=f'Add "{face}" to leave_open, or name the open face.',
        )
    return face


def finished_corners(part: Faceted, values: Mapping[str, Number]) -> dict[str, tuple[Spot, ...]]:
    """Corners of each face with the finish on, in order round it, floats or duals."""
    facets = facets_of(part)
    corners = _corners(part, facets, outside_planes(part, values, finished=True))
    return {name: tuple(corners[i] for i in loop) for name, loop in facets.loops.items()}
