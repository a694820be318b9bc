"""Regular and Archimedean solids as faceted parts: dihedrals, areas, volumes.

Closed forms of the standard tables (H. M. Cundy and A. P. Rollett, Mathematical
Models, 2nd ed., ch. 3; E. W. Weisstein, CRC Concise Encyclopedia of
Mathematics, under each solid), values from memory. Dihedrals are printed there
to the arc minute or better; here the tables' closed forms are asserted.

Each solid is a box cut by the planes of its faces, which are placed by the
tabled coordinates of its corners.
"""

import itertools
import math

import numpy as np
import pytest
from pytest import approx

import zoo
from foldwright.plan import Finish, Layer
from foldwright.shape import dims_of, solid

ROOT2, ROOT3, ROOT5 = math.sqrt(2.0), math.sqrt(3.0), math.sqrt(5.0)
GOLDEN = (1.0 + ROOT5) / 2.0
EDGE = 90.0  # mm


def all_signs(points):
    """Each point with every choice of signs."""
    return sorted(
        {
            tuple(s * x for s, x in zip(signs, point, strict=True))
            for point in points
            for signs in itertools.product((1.0, -1.0), repeat=3)
        }
    )


def turned(*points):
    """Every sign, and the coordinates moved on one and two places."""
    return all_signs([tuple(np.roll(p, i)) for p in points for i in range(3)])


def permuted(*points):
    """Every sign and every order."""
    return all_signs([order for p in points for order in itertools.permutations(p)])


def dihedral(cosine):
    """Interior angle [deg] from its cosine."""
    return math.degrees(math.acos(cosine))


AXES, DIAGONALS, SLANTS = permuted((1, 0, 0)), permuted((1, 1, 1)), permuted((1, 1, 0))
FIVES = turned((0.0, 1.0, GOLDEN))  # directions of the corners of an icosahedron
THREES = permuted((1, 1, 1)) + turned((0.0, GOLDEN, 1.0 / GOLDEN))  # of a dodecahedron
STAR = math.sqrt(25.0 + 10.0 * ROOT5)
SOLIDS = {  # corners, their edge, directions of faces, dihedrals [deg], area / a^2, volume / a^3
    "cube": (permuted((1, 1, 1)), 2.0, AXES, {90.0}, 6.0, 1.0),
    "octahedron": (AXES, ROOT2, DIAGONALS, {dihedral(-1 / 3)}, 2 * ROOT3, ROOT2 / 3),
    "tetrahedron": (
        [p for p in DIAGONALS if np.prod(p) > 0], 2 * ROOT2,
        [p for p in DIAGONALS if np.prod(p) < 0], {dihedral(1 / 3)}, ROOT3, ROOT2 / 12,
    ),
    "dodecahedron": (
        THREES, 2.0 / GOLDEN, FIVES, {dihedral(-1 / ROOT5)}, 3 * STAR, (15 + 7 * ROOT5) / 4,
    ),
    "icosahedron": (
        FIVES, 2.0, THREES, {dihedral(-ROOT5 / 3)}, 5 * ROOT3, 5 * (3 + ROOT5) / 12,
    ),
    "cuboctahedron": (
        SLANTS, ROOT2, AXES + DIAGONALS, {dihedral(-1 / ROOT3)}, 6 + 2 * ROOT3, 5 * ROOT2 / 3,
    ),
    "truncated octahedron": (
        permuted((0, 1, 2)), ROOT2, AXES + DIAGONALS,
        {dihedral(-1 / 3), dihedral(-1 / ROOT3)}, 6 + 12 * ROOT3, 8 * ROOT2,
    ),
    "truncated cube": (
        permuted((ROOT2 - 1, 1, 1)), 2 * (ROOT2 - 1), AXES + DIAGONALS,
        {90.0, dihedral(-1 / ROOT3)}, 2 * (6 + 6 * ROOT2 + ROOT3), (21 + 14 * ROOT2) / 3,
    ),
    "rhombicuboctahedron": (
        permuted((1, 1, 1 + ROOT2)), 2.0, AXES + DIAGONALS + SLANTS,
        {135.0, dihedral(-math.sqrt(2 / 3))}, 18 + 2 * ROOT3, (12 + 10 * ROOT2) / 3,
    ),
    "icosidodecahedron": (
        permuted((GOLDEN, 0, 0)) + turned((0.5, GOLDEN**2 / 2, GOLDEN / 2)), 1.0, FIVES + THREES,
        {dihedral(-math.sqrt((5 + 2 * ROOT5) / 15))}, 5 * ROOT3 + 3 * STAR, (45 + 17 * ROOT5) / 6,
    ),
    "truncated icosahedron": (
        turned((0, 1, 3 * GOLDEN), (1, 2 + GOLDEN, 2 * GOLDEN), (GOLDEN, 2, 2 * GOLDEN + 1)),
        2.0, FIVES + THREES,
        {dihedral(-ROOT5 / 3), dihedral(-math.sqrt((5 + 2 * ROOT5) / 15))},
        3 * (10 * ROOT3 + ROOT5 * math.sqrt(5 + 2 * ROOT5)), (125 + 43 * ROOT5) / 4,
    ),
}  # fmt: skip


def faceted(name, **more):
    """The solid with edges of `EDGE`, cut out of a box that is larger all round."""
    corners, edge, normals, *_ = SOLIDS[name]
    points = np.array(corners, dtype=float) * EDGE / edge
    reach = 1.5 * np.abs(points).max()
    cuts = []
    for i, normal in enumerate(np.array(normals, dtype=float)):
        touched = points[np.argmax(points @ normal)]
        cuts.append((f"face_{i}", [f"{x:.17g}" for x in touched], normal))
    outer = [f"{-reach:.17g}"] * 3, [f"{2 * reach:.17g}"] * 3
    return zoo.faceted(zoo.block(*outer, cuts), name="uniform", **more)


@pytest.mark.parametrize("name", SOLIDS)
def test_edges_angles_area_and_volume(name):
    """All to a relative 1e-9."""
    corners, _, normals, dihedrals, area, volume = SOLIDS[name]
    whole = solid(faceted(name))
    edges = whole.edges()
    found = {face.name: whole.area(face) for face in whole.faces}
    pyramids = sum(
        found[face.name] * float(whole.normal(face) @ whole.corners(face)[0]) / 3.0
        for face in whole.faces
    )

    assert (len(whole.vertices), len(whole.faces)) == (len(corners), len(normals))
    assert len(edges) == len(corners) + len(normals) - 2
    assert [whole.edge_length(edge) for edge in edges] == approx([EDGE] * len(edges), rel=1e-9)
    for edge in edges:
        assert any(math.degrees(edge.dihedral) == approx(one, rel=1e-9) for one in dihedrals)
    for one in dihedrals:
        assert any(math.degrees(edge.dihedral) == approx(one, rel=1e-9) for edge in edges)
    assert sum(found.values()) == approx(area * EDGE**2, rel=1e-9)
    assert pyramids == approx(volume * EDGE**3, rel=1e-9)


@pytest.mark.parametrize("name", ["icosahedron", "octahedron", "dodecahedron"])
def test_a_regular_solid_keeps_its_shape_under_its_finish(name):
    """Five or four faces at a corner still meet: it shrinks about its middle by the coat.

    Inradii of the tables: a sqrt(6)/6, a sqrt((25 + 11 sqrt 5)/10)/2, a golden^2/(2 sqrt 3).
    """
    inradius = {
        "octahedron": math.sqrt(6.0) / 6.0,
        "dodecahedron": math.sqrt((25.0 + 11.0 * ROOT5) / 10.0) / 2.0,
        "icosahedron": GOLDEN**2 / (2.0 * ROOT3),
    }[name] * EDGE
    whole = solid(faceted(name, finish=Finish("grey", (Layer("paint", 0.5),))))
    lengths = [whole.edge_length(edge) for edge in whole.edges()]

    assert lengths == approx([EDGE * (inradius - 0.5) / inradius] * len(lengths), rel=1e-9)


def test_across_flats_of_a_dodecahedron():
    """A caliper reads twice the inradius over each of six pairs of faces."""
    dims = dims_of(faceted("dodecahedron"), finished=True)
    across = [dim.value for name, dim in dims.items() if "_to_" in name]

    assert across == approx([EDGE * math.sqrt((25.0 + 11.0 * ROOT5) / 10.0)] * 6, rel=1e-9)
