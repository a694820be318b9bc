"""The five regular solids: tabled dihedrals, and nets that fold up again.

Dihedrals from tables of the regular polyhedra (encyclopedia article "Dihedral
angle"), printed to 0.01 degree; octahedron and icosahedron from memory, and
confirmed by ``sin(d/2) = cos(pi/q)/sin(pi/p)`` (p sides to a face, q faces at
a corner), H. S. M. Coxeter, Regular Polytopes, sect. 2.4 (memory).

A net of a convex solid keeps one fold fewer than it has faces; every other
edge is a seam, and has two sides (Euler).
"""

import itertools
import json
import math

import numpy as np
import pytest
from pytest import approx

import zoo
from foldwright.flat import patterns_to_json
from foldwright.flat.folded import folded_pieces
from foldwright.shape import Face, Solid
from foldwright.shop import FoldRequest
from oracle.refolder import judge, mould_faces

GOLDEN = (1.0 + math.sqrt(5.0)) / 2.0
SIGNS = (-1.0, 1.0)


def turned(points):
    """Each point with its coordinates moved on one and two places."""
    return [tuple(np.roll(p, i)) for p in points for i in range(3)]


TETRAHEDRON = [(1, 1, 1), (1, -1, -1), (-1, 1, -1), (-1, -1, 1)]
CUBE = list(itertools.product(SIGNS, SIGNS, SIGNS))
OCTAHEDRON = turned([(s, 0.0, 0.0) for s in SIGNS])
ICOSAHEDRON = turned([(0.0, a, b * GOLDEN) for a in SIGNS for b in SIGNS])
DODECAHEDRON = CUBE + turned([(0.0, a * GOLDEN, b / GOLDEN) for a in SIGNS for b in SIGNS])
# Vertices and outward face directions: each solid has the corners of its dual for normals.
SOLIDS = {  # name: vertices, normals, sides of a face p, faces at a corner q, dihedral [deg]
    "tetrahedron": (TETRAHEDRON, [tuple(-x for x in v) for v in TETRAHEDRON], 3, 3, 70.53),
    "cube": (CUBE, OCTAHEDRON, 4, 3, 90.00),
    "octahedron": (OCTAHEDRON, CUBE, 3, 4, 109.47),
    "dodecahedron": (DODECAHEDRON, ICOSAHEDRON, 5, 3, 116.57),
    "icosahedron": (ICOSAHEDRON, DODECAHEDRON, 3, 5, 138.19),
}


def regular(name, edge=120.0):
    """Solid with edges of `edge` [mm]; faces anticlockwise seen from outside."""
    vertices, normals, sides, *_ = SOLIDS[name]
    points = np.array(vertices, dtype=float)
    apart = np.linalg.norm(points[1:] - points[0], axis=1).min()
    points *= edge / apart
    faces = []
    for i, normal in enumerate(np.array(normals, dtype=float)):
        normal = normal / np.linalg.norm(normal)
        height = points @ normal
        loop = np.flatnonzero(height > height.max() - 1e-6)
        assert len(loop) == sides
        middle = points[loop].mean(axis=0)
        right = (points[loop[0]] - middle) / np.linalg.norm(points[loop[0]] - middle)
        across = (points[loop] - middle) @ np.column_stack([right, np.cross(normal, right)])
        faces.append(
            Face(f"face_{i}", tuple(int(v) for v in loop[np.argsort(np.arctan2(*across.T[::-1]))]))
        )
    return Solid(tuple(tuple(map(float, p)) for p in points), tuple(faces))


@pytest.mark.parametrize("name", SOLIDS)
def test_dihedral_of_every_edge(name):
    """Half a unit of the last printed digit is 0.005 degree; the formula is exact."""
    _, _, sides, at_corner, printed = SOLIDS[name]
    found = [math.degrees(edge.dihedral) for edge in regular(name).edges()]
    exact = math.degrees(2.0 * math.asin(math.cos(math.pi / at_corner) / math.sin(math.pi / sides)))

    assert found == approx([printed] * len(found), abs=0.005)
    assert found == approx([exact] * len(found), abs=1e-9)
    assert len(found) == len(SOLIDS[name][1]) * sides // 2


@pytest.mark.parametrize("name", SOLIDS)
def test_net_folds_up_again(name):
    """One piece, faces - 1 folds, two seams for each other edge; corners where they belong."""
    solid = regular(name)
    pieces, *_ = folded_pieces(name, solid, zoo.BOARD, FoldRequest(), zoo.SET_UPS, stock="board3")
    document = json.loads(patterns_to_json("regular solids", pieces))
    verdict = judge(document)
    faces = mould_faces(document)
    (piece,) = document["pieces"]
    edges = len(solid.edges())

    assert len(piece["folds"]) == len(solid.faces) - 1
    assert len(piece["seams"]) == 2 * (edges - len(piece["folds"]))
    assert verdict.deviation < 1e-6, verdict.worst
    for face in solid.faces:
        asked = solid.corners(face)
        off = np.linalg.norm(asked[:, None] - faces[name, face.name][None], axis=2).min(axis=1)

        assert off.max() < 1e-6
