"""Regular solids against the closed forms of the standard tables.

H. M. Cundy and A. P. Rollett, Mathematical Models, 2nd ed., ch. 3, and E. W.
Weisstein, CRC Concise Encyclopedia of Mathematics, under each solid: counts,
dihedrals and volumes, from memory. Angles are printed to the minute or better,
volumes to six decimals.
"""

import math
from collections import Counter

import pytest
from pytest import approx

from foldwright.errors import OutOfDomain, UnknownName
from foldwright.shape.regular_solids import (
    REGULAR_SOLIDS,
    content,
    dihedrals,
    face_sort,
    regular_named,
    regular_solid,
    rhomb_of,
)

TABLE = {  # faces by sort, dihedrals [deg], volume / a^3
    "tetrahedron": ({"triangle": 4}, {70.5288}, 0.117851),
    "cube": ({"square": 6}, {90.0}, 1.0),
    "octahedron": ({"triangle": 8}, {109.4712}, 0.471405),
    "dodecahedron": ({"pentagon": 12}, {116.5651}, 7.663119),
    "icosahedron": ({"triangle": 20}, {138.1897}, 2.181695),
    "truncated tetrahedron": ({"triangle": 4, "hexagon": 4}, {70.5288, 109.4712}, 2.710576),
    "cuboctahedron": ({"triangle": 8, "square": 6}, {125.2644}, 2.357023),
    "truncated cube": ({"triangle": 8, "octagon": 6}, {90.0, 125.2644}, 13.599663),
    "truncated octahedron": ({"square": 6, "hexagon": 8}, {109.4712, 125.2644}, 11.313708),
    "rhombicuboctahedron": ({"triangle": 8, "square": 18}, {135.0, 144.7356}, 8.714045),
    "truncated cuboctahedron": (
        {"square": 12, "hexagon": 8, "octagon": 6}, {125.2644, 135.0, 144.7356}, 41.798990,
    ),
    "snub cube": ({"triangle": 32, "square": 6}, {142.9834, 153.2346}, 7.889477),
    "icosidodecahedron": ({"triangle": 20, "pentagon": 12}, {142.6226}, 13.835526),
    "truncated dodecahedron": ({"triangle": 20, "decagon": 12}, {116.5651, 142.6226}, 85.039665),
    "truncated icosahedron": ({"pentagon": 12, "hexagon": 20}, {138.1897, 142.6226}, 55.287731),
    "rhombicosidodecahedron": (
        {"triangle": 20, "square": 30, "pentagon": 12}, {148.2825, 159.0948}, 41.615324,
    ),
    "truncated icosidodecahedron": (
        {"square": 30, "hexagon": 20, "decagon": 12}, {142.6226, 148.2825, 159.0948}, 206.803399,
    ),
    "snub dodecahedron": ({"triangle": 80, "pentagon": 12}, {152.9299, 164.1754}, 37.616650),
    "rhombic dodecahedron": ({"rhomb": 12}, {120.0}, 3.079201),
    "rhombic triacontahedron": ({"rhomb": 30}, {144.0}, 12.310734),
}  # fmt: skip


def test_the_table_is_whole():
    assert set(TABLE) == set(REGULAR_SOLIDS)


@pytest.mark.parametrize("name", REGULAR_SOLIDS)
def test_faces_angles_and_volume(name):
    faces, angles, volume = TABLE[name]
    solid = regular_solid(name, 1.0)
    edges = solid.edges()
    found = sorted({round(math.degrees(edge.dihedral), 4) for edge in edges})

    assert Counter(face_sort(face.name) for face in solid.faces) == faces
    assert found == approx(sorted(angles), abs=1e-4)
    assert content(solid) == approx(volume, abs=6e-7)
    assert len(solid.vertices) + len(solid.faces) - len(edges) == 2
    assert [solid.edge_length(edge) for edge in edges] == approx([1.0] * len(edges))


@pytest.mark.parametrize("name", REGULAR_SOLIDS)
def test_an_angle_is_told_by_its_two_faces(name):
    """No two edges between faces of the same sorts differ."""
    solid = regular_solid(name, 75.0)
    told = dihedrals(solid)

    for edge in solid.edges():
        sorts = tuple(sorted((face_sort(edge.left), face_sort(edge.right))))
        assert edge.dihedral == approx(told[sorts], abs=1e-9)


@pytest.mark.parametrize(
    ("name", "sides", "at_corner"),
    [("tetrahedron", 3, 3), ("cube", 4, 3), ("octahedron", 3, 4), ("dodecahedron", 5, 3),
     ("icosahedron", 3, 5)],
)  # fmt: skip
def test_platonic_angles_by_coxeter(name, sides, at_corner):
    """``sin(d/2) = cos(pi/q)/sin(pi/p)``: H. S. M. Coxeter, Regular Polytopes, sect. 2.4."""
    ((_, dihedral),) = dihedrals(regular_solid(name, 1.0)).items()

    assert regular_named(sides, at_corner) == name
    assert math.sin(dihedral / 2.0) == approx(
        math.cos(math.pi / at_corner) / math.sin(math.pi / sides)
    )


def test_rhombs_have_the_diagonals_of_their_solid():
    """Square root of two to one, and the golden ratio."""
    for name, ratio in (
        ("rhombic dodecahedron", math.sqrt(2.0)),
        ("rhombic triacontahedron", (1.0 + math.sqrt(5.0)) / 2.0),
    ):
        solid = regular_solid(name, 40.0)
        rhomb = rhomb_of(solid, solid.faces[0])

        assert rhomb.long / rhomb.short == approx(ratio)
        assert math.hypot(rhomb.long, rhomb.short) == approx(80.0)


def test_what_there_is_not_is_refused():
    with pytest.raises(UnknownName, match="icosahedron"):
        regular_solid("icosahedrom", 10.0)
    with pytest.raises(UnknownName, match="5 sides, 4 at a corner"):
        regular_named(5, 4)
    with pytest.raises(OutOfDomain, match="edge is 0 mm"):
        regular_solid("cube", 0.0)
