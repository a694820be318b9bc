"""Facets: which faces are left of blocks joined to one, and how they hang together.

Room: shape. On each plane the faces of the blocks are joined and what other
blocks cover is taken away, in the plane; that says which corners and edges
there are. Where they lie is then worked out from the planes alone.

Start at `joined`.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import MultiPoint, Polygon
from shapely.geometry.polygon import orient

from foldwright.errors import CannotMake
from foldwright.shape.blocks import ON_PLANE, Convex, directions
from foldwright.shape.planes import Plane
from foldwright.shape.solid import Vector

# Regions are joined on a grid this fine [mm], which closes gaps between equal edges.
_GRID = 1e-8
# Corners nearer than this are one [mm]: well above the grid, well below any mark.
_SAME = 1e-5
# Shortest edge that can be marked out [mm].
_SHORTEST = 0.1


@dataclass(frozen=True)
class Facets:
    """Faces of joined blocks: `loops` by name, and for each corner the faces that meet there."""

    loops: Mapping[str, tuple[int, ...]]
    corners: tuple[tuple[str, ...], ...]


def joined(part: str, planes: Mapping[str, Plane], blocks: Sequence[Convex]) -> Facets:
    """Join blocks to one.

    Parameters
    ----------
    part : str
        Name of the part, for messages.
    planes : Mapping
        By name of the face.
    blocks : sequence of Convex

    Raises
    ------
    CannotMake
        A face with a hole, or in two regions; blocks that only touch, or hang
        apart; an edge too short to mark.
    """
    out, offset = directions(planes)
    points: list[Vector] = []
    loops: dict[str, list[int]] = {}
    for name, normal, height in zip(planes, out, offset, strict=True):
        region = _region(part, name, normal, float(height), blocks)
        if region is not None:
            ring = [_numbered(points, spot) for spot in region]
            loops[name] = [a for a, b in zip(ring, [*ring[1:], ring[0]], strict=True) if a != b]
    spots = np.array(points).reshape(-1, 3)
    loops = {name: _with_corners_between(loop, spots) for name, loop in loops.items()}
    loops = _without_straight_corners(loops, spots)
    _require_two_faces(part, loops)
    _require_one_piece(part, loops)
    _require_lengths(part, loops, spots)
    kept = sorted({corner for loop in loops.values() for corner in loop})
    number = {corner: i for i, corner in enumerate(kept)}
    faces = {name: tuple(number[corner] for corner in loop) for name, loop in loops.items()}
    meeting = [tuple(n for n, loop in faces.items() if i in loop) for i in range(len(kept))]
    return Facets(faces, tuple(meeting))


def _region(
    part: str, name: str, normal: Vector, height: float, blocks: Sequence[Convex]
) -> Vector | None:
    """Corners of what is left of a face, shape (n, 3); None if it is covered."""
    right = np.cross(normal, np.eye(3)[np.argmin(np.abs(normal))])
    right /= np.linalg.norm(right)
    axes = np.column_stack([right, np.cross(normal, right)])
    own = [Polygon(b.corners[list(b.loops[name])] @ axes) for b in blocks if name in b.loops]
    covers = [c for b in blocks if (c := _cover(b, normal, height, axes)) is not None]
    left = shapely.difference(
        shapely.union_all(own, grid_size=_GRID),
        shapely.union_all(covers, grid_size=_GRID),
        grid_size=_GRID,
    )
    # Rounding may leave threads along edges that two blocks share.
    regions = [
        region
        for region in shapely.get_parts(left)
        if isinstance(region, Polygon) and region.area > _SAME * region.length
    ]
    if not regions:
        return None
    _require_one_region(part, name, regions)
    ring = np.array(orient(regions[0], 1.0).exterior.coords[:-1], dtype=np.float64)
    return np.asarray(ring @ axes.T + height * normal, dtype=np.float64)


def _require_one_region(part: str, name: str, regions: Sequence[Polygon]) -> None:
    if len(regions) > 1:
        raise CannotMake(
            f'Face "{name}" of {part} is in {len(regions)} regions apart.',
            part=part,
            field="blocks",
            remedy="Build it of more blocks, so that each region is a face with its own name.",
        )
    if regions[0].interiors:
        raise CannotMake(
            f'Another block stands in the middle of face "{name}" of {part}, which makes a '
            "hole in it.",
            part=part,
            field="blocks",
            remedy="Move it to an edge, make the two parts of their own, or build the face of "
            "more blocks with names of their own.",
        )


def _cover(block: Convex, normal: Vector, height: float, axes: Vector) -> Polygon | None:
    """Where a block stands on the outside of a plane, in that plane."""
    above = block.corners @ normal - height
    if above.max() <= ON_PLANE or above.min() > ON_PLANE:
        return None
    spots = [*block.corners[np.abs(above) <= ON_PLANE]]
    for loop in block.loops.values():
        for a, b in zip(loop, (*loop[1:], loop[0]), strict=True):
            if above[a] < -ON_PLANE and above[b] > ON_PLANE:
                share = above[a] / (above[a] - above[b])
                spots.append(block.corners[a] + share * (block.corners[b] - block.corners[a]))
    hull = MultiPoint([spot @ axes for spot in spots]).convex_hull
    return hull if isinstance(hull, Polygon) else None


def _numbered(points: list[Vector], spot: Vector) -> int:
    """Number of a corner; a new one if there is none here yet."""
    for i, point in enumerate(points):
        if np.abs(point - spot).max() < _SAME:
            return i
    points.append(spot)
    return len(points) - 1


def _with_corners_between(loop: list[int], spots: Vector) -> list[int]:
    """Loop with the corners of other faces that lie on its edges."""
    found = []
    for a, b in zip(loop, [*loop[1:], loop[0]], strict=True):
        along = spots[b] - spots[a]
        length = np.linalg.norm(along)
        share = (spots - spots[a]) @ along / length**2
        off = np.linalg.norm(spots - spots[a] - share[:, None] * along, axis=1)
        margin = _SAME / length
        between = np.flatnonzero((off < _SAME) & (share > margin) & (share < 1.0 - margin))
        found += [a, *(int(i) for i in between[np.argsort(share[between])])]
    return found


def _without_straight_corners(
    loops: Mapping[str, list[int]], spots: Vector
) -> dict[str, list[int]]:
    """Leave out corners where every face runs straight on."""
    bent = set()
    for loop in loops.values():
        for before, at, after in zip(loop[-1:] + loop[:-1], loop, loop[1:] + loop[:1], strict=True):
            one, other = spots[at] - spots[before], spots[after] - spots[at]
            off = np.linalg.norm(np.cross(one, other)) / np.linalg.norm(one + other)
            if off > _SAME or one @ other < 0.0:
                bent.add(at)
    return {name: [corner for corner in loop if corner in bent] for name, loop in loops.items()}


def _sides(loops: Mapping[str, list[int]]) -> list[tuple[int, int, str]]:
    return [
        (a, b, name)
        for name, loop in loops.items()
        for a, b in zip(loop, [*loop[1:], loop[0]], strict=True)
    ]


def _require_two_faces(part: str, loops: Mapping[str, list[int]]) -> None:
    """Every edge joins two faces, and round every corner the faces make one ring."""
    sides = _sides(loops)
    count = Counter((a, b) for a, b, _ in sides)
    for a, b, name in sides:
        if count[(a, b)] != 1 or count[(b, a)] != 1:
            raise _only_touching(part, name)
    for corner in {a for a, _, _ in sides}:
        # One face leaves the corner for b, its neighbour comes back from there.
        after = {
            loop[(loop.index(corner) + 1) % len(loop)]: loop[loop.index(corner) - 1]
            for loop in loops.values()
            if corner in loop
        }
        start = at = next(iter(after))
        steps = 0
        while steps == 0 or at != start:
            at, steps = after[at], steps + 1
        if steps != len(after):
            raise _only_touching(part, next(name for a, _, name in sides if a == corner))


def _only_touching(part: str, name: str) -> CannotMake:
    return CannotMake(
        f'Two blocks of {part} only touch along an edge or at a corner of "{name}".',
        part=part,
        field="blocks",
        remedy="Move one of them, so that they overlap, share a face, or stand apart.",
    )


def _require_one_piece(part: str, loops: Mapping[str, list[int]]) -> None:
    """All faces can be reached from the first across edges."""
    of = {(a, b): name for a, b, name in _sides(loops)}
    reached, ahead = set(), [next(iter(loops))]
    while ahead:
        name = ahead.pop()
        if name not in reached:
            reached.add(name)
            loop = loops[name]
            ahead += [of[(b, a)] for a, b in zip(loop, [*loop[1:], loop[0]], strict=True)]
    apart = [name for name in loops if name not in reached]
    if apart:
        raise CannotMake(
            f'The blocks of {part} do not make one body: "{apart[0]}" is not joined to '
            f'"{next(iter(loops))}".',
            part=part,
            field="blocks",
            remedy="Move the blocks until they touch face to face, or make them parts of their "
            "own; a closed hollow cannot be made.",
        )


def _require_lengths(part: str, loops: Mapping[str, list[int]], spots: Vector) -> None:
    of = {(a, b): name for a, b, name in _sides(loops)}
    for (a, b), name in of.items():
        length = float(np.linalg.norm(spots[b] - spots[a]))
        if length < _SHORTEST:
            raise CannotMake(
                f'The edge between "{name}" and "{of[(b, a)]}" of {part} would be '
                f"{length:.2g} mm long.",
                part=part,
                field="blocks",
                remedy="Move a cut: let the faces meet in one point, or clearly apart.",
            )
