"""Sheets made ready for nets, and slow sure ways to judge nets that share no code with the search.

`card` is thin card without set-backs, so that only the shape matters; `board`
is 3 mm board as the shop would fold it.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator, Sequence
from itertools import combinations

import numpy as np
from shapely import Polygon, intersection

from foldwright.flat.develop import Layout, Sheet, TooNarrow, develop
from foldwright.shape import Face, Solid, prism
from foldwright.shop import FoldRequest, FoldSection, SeamSection, choose_section, mitre
from zoo import BOARD, SET_UPS

type Fits = Callable[[Sequence[tuple[float, float]]], bool]

TOUCH = 1e-6  # mm2
# Without a grid, GEOS 3.14 takes two triangles that share a side for one inside the other where
# a corner is a rounding error off zero.
_GRID = 1e-8


def card(solid: Solid) -> Sheet:
    """Card that folds on a line: no set-back, no zone, square edges."""
    edges = _made(solid)
    folds = {
        number: FoldSection(
            turn=edge.turn,
            method="score",
            cut_side="none",
            web=0.0,
            k=0.5,
            inner_radius=0.0,
            zone_width=0.0,
            setback=0.0,
            floor=0.0,
            cutter=0.0,
            cutter_name="",
            shuts_at=9.0,
            over_fold=0.0,
            strain=0.0,
            corner_loss=0.0,
        )
        for number, edge in enumerate(edges)
    }
    square = SeamSection("mitre", 0.0, 0.0, 0.0)
    seams = {(n, name): square for n, e in enumerate(edges) for name in (e.left, e.right)}
    return Sheet(solid, edges, folds, seams)


def board(solid: Solid) -> Sheet:
    """The zoo's 3 mm board, grooved where it can be, mitred elsewhere."""
    edges = _made(solid)
    folds = {
        number: choose_section(BOARD, edge.turn, FoldRequest(), SET_UPS)
        for number, edge in enumerate(edges)
    }
    seams = {
        (number, name): mitre(BOARD.thickness, BOARD.thickness, edge.dihedral)
        for number, edge in enumerate(edges)
        for name in (edge.left, edge.right)
    }
    return Sheet(solid, edges, folds, seams)


def _made(solid: Solid):
    return tuple(
        edge
        for edge in solid.edges()
        if edge.left not in solid.open_faces and edge.right not in solid.open_faces
    )


def lengths(sheet: Sheet) -> list[float]:
    """Length of each edge [mm]."""
    return [sheet.edge_length(number) for number in range(len(sheet.edges))]


def random_weights(sheet: Sheet, seed: int) -> list[float]:
    """Weight of each edge, of no regard to its length."""
    chance = random.Random(seed)
    return [chance.uniform(1.0, 100.0) for _ in sheet.edges]


def prism_of(corners, depth: float, open_faces: Sequence[str] = ()) -> Solid:
    """Prism whose sides are ``s0`` and so on, its ends ``front`` and ``back``."""
    sides = tuple(f"s{i}" for i in range(len(corners)))
    return prism(list(corners), 0.0, depth, sides, ("front", "back"), frozenset(open_faces))


CUBE = prism_of([(0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0)], 100.0)


def octahedron(reach: float = 100.0) -> Solid:
    """Regular octahedron."""
    corners = [(reach, 0, 0), (0, reach, 0), (-reach, 0, 0), (0, -reach, 0)]
    vertices = tuple((float(x), float(y), float(z)) for x, y, z in corners)
    vertices += ((0.0, 0.0, reach), (0.0, 0.0, -reach))
    faces = [Face(f"up{i}", (i, (i + 1) % 4, 4)) for i in range(4)]
    faces += [Face(f"down{i}", ((i + 1) % 4, i, 5)) for i in range(4)]
    return Solid(vertices, tuple(faces))


# --- slow and sure -----------------------------------------------------------------


def forests(sheet: Sheet, pieces: int) -> Iterator[frozenset[int]]:
    """Every net of so many pieces, overlapping or not."""
    names = [face.name for face in sheet.faces]
    for chosen in combinations(sorted(sheet.folds), len(names) - pieces):
        root = {name: name for name in names}

        def find(name: str, root: dict[str, str] = root) -> str:
            while root[name] != name:
                name = root[name]
            return name

        for number in chosen:
            a, b = find(sheet.edges[number].left), find(sheet.edges[number].right)
            if a == b:
                break
            root[a] = b
        else:
            yield frozenset(chosen)


def overlap(layout: Layout) -> float:
    """Largest area that two panels or zones of a piece share [mm2]."""
    patches = [Polygon(layout.blanks[face]) for face in layout.order]
    patches += [zone for points in layout.zones.values() if (zone := Polygon(points)).area > 0.0]
    boxes = np.array([patch.bounds for patch in patches])
    worst = 0.0
    for i, one in enumerate(patches):
        near = (boxes[i + 1 :, :2] < boxes[i, 2:]).all(axis=1)
        near &= (boxes[i + 1 :, 2:] > boxes[i, :2]).all(axis=1)
        for j in np.flatnonzero(near):
            worst = max(worst, intersection(one, patches[i + 1 + int(j)], grid_size=_GRID).area)
    return worst


def seam(weights: Sequence[float], net: frozenset[int]) -> float:
    """Weighted seam of a net."""
    return sum(w for number, w in enumerate(weights) if number not in net)


def net_of(layouts: Sequence[Layout]) -> frozenset[int]:
    """Edges that fold."""
    return frozenset(number for layout in layouts for number in layout.parent.values())


def is_sound(sheet: Sheet, net: frozenset[int], fits: Fits | None = None) -> bool:
    """Wide enough, nothing overlaps, every piece fits."""
    try:
        layouts = develop("part", sheet, net)
    except TooNarrow:
        return False
    return all(fits is None or fits(layout.outline) for layout in layouts) and all(
        overlap(layout) <= TOUCH for layout in layouts
    )


def least_by_trying(
    sheet: Sheet, weights: Sequence[float], fits: Fits | None = None
) -> tuple[int, float]:
    """Fewest pieces and least weighted seam, by trying every net, best first."""
    for pieces in range(1, len(sheet.faces) + 1):
        for net in sorted(forests(sheet, pieces), key=lambda net: seam(weights, net)):
            if is_sound(sheet, net, fits):
                return pieces, seam(weights, net)
    raise AssertionError("not even single faces are sound")


def tree_bound(sheet: Sheet, weights: Sequence[float]) -> float:
    """Seam of the maximum spanning tree (Prim): no net in one piece has less."""
    beside: dict[str, list[tuple[float, str]]] = {}
    for number, edge in enumerate(sheet.edges):
        beside.setdefault(edge.left, []).append((weights[number], edge.right))
        beside.setdefault(edge.right, []).append((weights[number], edge.left))
    start = sheet.faces[0].name
    seen, folds = {start}, 0.0
    while len(seen) < len(sheet.faces):
        weight, name = max((w, far) for face in seen for w, far in beside[face] if far not in seen)
        seen.add(name)
        folds += weight
    return sum(weights) - folds
