"""Regular solids: the Platonic and Archimedean ones, and two with rhombic faces.

Room: shape. Each solid is held by the coordinates of its corners; faces,
angles, areas and content all come out of the `Solid` that they span, the same
record that a faceted part of a plan unfolds from.

Start at `regular_solid`; `dihedrals` says what to set on a protractor for
each sort of edge.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

import numpy as np

from foldwright.errors import UnknownName
from foldwright.shape.solid import Face, Solid, Vector
from foldwright.shop.physical import require_above_zero

type Corner3 = tuple[float, float, float]

_ROOT2 = math.sqrt(2.0)
_GOLDEN = (1.0 + math.sqrt(5.0)) / 2.0
_SAME = 1e-6  # of the edge; corners in one plane, edges of one length
_KINDS = MappingProxyType(
    {3: "triangle", 4: "square", 5: "pentagon", 6: "hexagon", 8: "octagon", 10: "decagon"}
)


def _signed(*points: Corner3) -> list[Corner3]:
    """Each point with every choice of signs."""
    signs = list(itertools.product((1.0, -1.0), repeat=3))
    return sorted({(s * x, t * y, u * z) for x, y, z in points for s, t, u in signs})


def _turned(*points: Corner3) -> list[Corner3]:
    """Every sign, and the coordinates moved on one and two places."""
    return _signed(*(q for x, y, z in points for q in ((x, y, z), (y, z, x), (z, x, y))))


def _permuted(*points: Corner3) -> list[Corner3]:
    """Every sign and every order."""
    return _signed(*((p[i], p[j], p[k]) for p in points for i, j, k in _ORDERS))


_ORDERS = tuple(itertools.permutations(range(3)))


def _handed(x: float, y: float, z: float) -> list[Corner3]:
    """Points of one hand: even orders with an even number of minuses, odd orders with an odd."""
    found = []
    for order in _ORDERS:
        swaps = sum(a > b for a, b in itertools.combinations(order, 2)) % 2
        for signs in itertools.product((1.0, -1.0), repeat=3):
            if sum(s < 0.0 for s in signs) % 2 == swaps:
                p = [(x, y, z)[i] * s for i, s in zip(order, signs, strict=True)]
                found.append((p[0], p[1], p[2]))
    return found


def _alternate(points: list[Corner3]) -> list[Corner3]:
    return [p for p in points if p[0] * p[1] * p[2] > 0.0]


def _snub_cube() -> list[Corner3]:
    # the tribonacci constant, real root of t^3 = t^2 + t + 1
    t = (
        1.0 + math.cbrt(19.0 + 3.0 * math.sqrt(33.0)) + math.cbrt(19.0 - 3.0 * math.sqrt(33.0))
    ) / 3.0
    return _handed(1.0, 1.0 / t, t)


def _truncated_tetrahedron() -> list[Corner3]:
    return _alternate(_permuted((3.0, 1.0, 1.0)))


def _snub_dodecahedron() -> list[Corner3]:
    # x is the real root of x^3 - 2 x = golden
    g = _GOLDEN
    inner = math.sqrt(g - 5.0 / 27.0)
    x = math.cbrt((g + inner) / 2.0) + math.cbrt((g - inner) / 2.0)
    a, b = x - 1.0 / x, x * g + g**2 + g / x
    starts = (
        (2.0 * a, 2.0, 2.0 * b),
        (a + b / g + g, -a * g + b + 1.0 / g, a / g + b * g - 1.0),
        (a + b / g - g, a * g - b + 1.0 / g, a / g + b * g + 1.0),
        (-a / g + b * g + 1.0, -a + b / g - g, a * g + b - 1.0 / g),
        (-a / g + b * g - 1.0, a - b / g - g, a * g + b + 1.0 / g),
    )
    found = []
    for x, y, z in starts:
        for p in ((x, y, z), (y, z, x), (z, x, y)):
            for signs in itertools.product((1.0, -1.0), repeat=3):
                if math.prod(signs) > 0.0:
                    found.append((p[0] * signs[0], p[1] * signs[1], p[2] * signs[2]))
    return found


_G, _G2, _G3 = _GOLDEN, _GOLDEN**2, _GOLDEN**3
_DODECAHEDRON = ((1.0, 1.0, 1.0), (0.0, _G, 1.0 / _G))
# Corners as in the standard tables of Cartesian coordinates (Cundy and Rollett,
# Mathematical Models, ch. 3), from memory; the tests hold the dihedrals, areas and
# contents that come out against the closed forms.
_CORNERS: Mapping[str, Callable[[], list[Corner3]]] = MappingProxyType(
    {
        "tetrahedron": lambda: _alternate(_permuted((1, 1, 1))),
        "cube": lambda: _permuted((1, 1, 1)),
        "octahedron": lambda: _permuted((1, 0, 0)),
        "dodecahedron": lambda: _turned(*_DODECAHEDRON),
        "icosahedron": lambda: _turned((0, 1, _G)),
        "truncated tetrahedron": _truncated_tetrahedron,
        "cuboctahedron": lambda: _permuted((1, 1, 0)),
        "truncated cube": lambda: _permuted((_ROOT2 - 1, 1, 1)),
        "truncated octahedron": lambda: _permuted((0, 1, 2)),
        "rhombicuboctahedron": lambda: _permuted((1, 1, 1 + _ROOT2)),
        "truncated cuboctahedron": lambda: _permuted((1, 1 + _ROOT2, 1 + 2 * _ROOT2)),
        "snub cube": _snub_cube,
        "icosidodecahedron": lambda: [
            *_permuted((_G, 0, 0)),
            *_turned((0.5, _G2 / 2, _G / 2)),
        ],
        "truncated dodecahedron": lambda: _turned(
            (0, 1 / _G, 2 + _G), (1 / _G, _G, 2 * _G), (_G, 2, _G + 1)
        ),
        "truncated icosahedron": lambda: _turned((0, 1, 3 * _G), (1, 2 + _G, 2 * _G), (_G, 2, _G3)),
        "rhombicosidodecahedron": lambda: _turned((1, 1, _G3), (_G2, _G, 2 * _G), (2 + _G, 0, _G2)),
        "truncated icosidodecahedron": lambda: _turned(
            (1 / _G, 1 / _G, 3 + _G),
            (2 / _G, _G, 1 + 2 * _G),
            (1 / _G, _G2, 3 * _G - 1),
            (2 * _G - 1, 2, 2 + _G),
            (_G, 3, 2 * _G),
        ),
        "snub dodecahedron": _snub_dodecahedron,
        "rhombic dodecahedron": lambda: [*_permuted((1, 1, 1)), *_permuted((2, 0, 0))],
        "rhombic triacontahedron": lambda: [
            *_turned(*_DODECAHEDRON),
            *_turned((0, 1, _G)),
        ],
    }
)

REGULAR_SOLIDS = tuple(_CORNERS)
"""Names of the solids."""


def regular_solid(name: str, edge: float) -> Solid:
    """Solid with all edges of one length.

    Parameters
    ----------
    name : str
        One of `REGULAR_SOLIDS`.
    edge : float
        [mm].

    Returns
    -------
    Solid
        Its faces named for their sort and counted: ``hexagon-1``.

    Raises
    ------
    UnknownName, OutOfDomain

    Examples
    --------
    >>> ball = regular_solid("truncated icosahedron", 100.0)
    >>> len(ball.faces), len(ball.vertices)
    (32, 60)
    """
    require_above_zero(edge, "the edge", name="edge")
    if name not in _CORNERS:
        raise UnknownName("solid", name, REGULAR_SOLIDS)
    unit = _unit_solid(name)
    vertices = tuple((edge * x, edge * y, edge * z) for x, y, z in unit.vertices)
    return Solid(vertices, unit.faces)


def dihedrals(solid: Solid) -> dict[tuple[str, str], float]:
    """Interior angle [rad] of each sort of edge, by the sorts of its two faces.

    Examples
    --------
    >>> angles = dihedrals(regular_solid("truncated icosahedron", 1.0))
    >>> {" ".join(k): round(math.degrees(v), 2) for k, v in angles.items()}
    {'hexagon hexagon': 138.19, 'hexagon pentagon': 142.62}
    """
    found: dict[tuple[str, str], float] = {}
    for edge in solid.edges():
        one, other = sorted((face_sort(edge.left), face_sort(edge.right)))
        found.setdefault((one, other), edge.dihedral)
    return dict(sorted(found.items()))


def face_sort(name: str) -> str:
    """Sort of a face by its name: ``hexagon-1`` is a ``hexagon``."""
    return name.rpartition("-")[0]


def regular_named(face_sides: int, faces_at_corner: int) -> str:
    """Name of the Platonic solid with so many sides to a face and faces at a corner.

    Raises
    ------
    UnknownName
        There are five, and this is none of them.
    """
    known = {
        (3, 3): "tetrahedron",
        (4, 3): "cube",
        (3, 4): "octahedron",
        (5, 3): "dodecahedron",
        (3, 5): "icosahedron",
    }
    asked = (face_sides, faces_at_corner)
    if asked not in known:
        raise UnknownName(
            "regular solid of faces",
            f"{face_sides} sides, {faces_at_corner} at a corner",
            [f"{p} sides, {q} at a corner" for p, q in known],
        )
    return known[asked]


@dataclass(frozen=True)
class Rhomb:
    """A face with four equal sides: diagonals [mm] and acute angle [rad]."""

    long: float
    short: float
    acute: float


def rhomb_of(solid: Solid, face: Face) -> Rhomb:
    """Diagonals and acute angle of a face with four corners.

    Examples
    --------
    >>> solid = regular_solid("rhombic dodecahedron", 100.0)
    >>> found = rhomb_of(solid, solid.faces[0])
    >>> round(found.long, 3), round(math.degrees(found.acute), 4)
    (163.299, 70.5288)
    """
    a, b, c, d = solid.corners(face)
    short, long = sorted((math.dist(a, c), math.dist(b, d)))
    return Rhomb(long, short, 2.0 * math.atan2(short, long))


def content(solid: Solid) -> float:
    """Volume of a solid about the origin [mm3]: pyramids over its faces."""
    return sum(
        solid.area(face) * float(solid.normal(face) @ solid.corners(face)[0]) / 3.0
        for face in solid.faces
    )


@cache
def _unit_solid(name: str) -> Solid:
    points = np.array(_CORNERS[name](), dtype=np.float64)
    edge = _least_distance(points)
    points = points / edge
    counts: dict[str, int] = {}
    faces = []
    for loop in _loops(points):
        sort = _sort_of(points[list(loop)])
        counts[sort] = counts.get(sort, 0) + 1
        faces.append(Face(f"{sort}-{counts[sort]}", loop))
    vertices = tuple((float(x), float(y), float(z)) for x, y, z in points)
    return Solid(vertices, tuple(faces))


def _least_distance(points: Vector) -> float:
    """Length of an edge: corners that are nearest to one another share one."""
    apart = np.linalg.norm(points[1:] - points[0], axis=1)
    return float(apart.min())


def _loops(points: Vector) -> Iterator[tuple[int, ...]]:
    """Corners of each face, anticlockwise seen from outside: planes with all corners behind."""
    seen: set[frozenset[int]] = set()
    for i, p in enumerate(points):
        apart = np.linalg.norm(points - p, axis=1)
        near = [int(j) for j in np.flatnonzero(apart < 1.0 + _SAME) if j != i]
        for j, k in itertools.combinations(near, 2):
            normal = np.cross(points[j] - p, points[k] - p)
            normal = normal / np.linalg.norm(normal)
            normal = normal if normal @ p > 0.0 else -normal
            height = points @ normal
            flat = frozenset(int(v) for v in np.flatnonzero(height > height[i] - _SAME))
            if height.max() > height[i] + _SAME or flat in seen:
                continue
            seen.add(flat)
            yield _round(points, normal, sorted(flat))


def _round(points: Vector, normal: Vector, flat: list[int]) -> tuple[int, ...]:
    """Order corners of a face anticlockwise about its normal."""
    middle = points[flat].mean(axis=0)
    right = points[flat[0]] - middle
    ahead = np.cross(normal, right)
    off = points[flat] - middle
    return tuple(flat[i] for i in np.argsort(np.arctan2(off @ ahead, off @ right)))


def _sort_of(corners: Vector) -> str:
    """Name of a face: by its sides, a rhomb where four equal ones are not square."""
    if len(corners) == 4:
        one, other = corners[1] - corners[0], corners[2] - corners[1]
        if abs(float(one @ other)) > _SAME:
            return "rhomb"
    return _KINDS[len(corners)]
