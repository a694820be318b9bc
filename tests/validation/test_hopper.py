"""Corners of a hopper (truncated rectangular pyramid), closed form.

``cos(corner dihedral) = -cos(ax) cos(ay)``, ax = atan(2 h/(A - a)) the slope
of a wall: plane trigonometry, as in texts on sheet-metal pattern drafting.
Evaluated once, by coordinates, for base 300 x 200, top 250 x 100, height 60;
ten figures were kept, so 1e-7 is ample.
"""

import math

import pytest
from pytest import approx

from foldwright.shape import Face, Solid

HOPPER = Solid(
    vertices=(
        (0, 0, 0), (300, 0, 0), (300, 200, 0), (0, 200, 0),
        (25, 50, 60), (275, 50, 60), (275, 150, 60), (25, 150, 60),
    ),
    faces=(
        Face("base", (3, 2, 1, 0)),
        Face("top", (4, 5, 6, 7)),
        Face("front", (0, 1, 5, 4)),
        Face("right", (1, 2, 6, 5)),
        Face("back", (2, 3, 7, 6)),
        Face("left", (3, 0, 4, 7)),
    ),
)  # fmt: skip


@pytest.mark.parametrize(
    ("one", "other", "dihedral_deg"),
    [
        ("front", "right", 104.2542253),
        ("back", "left", 104.2542253),
        ("base", "right", 67.38013505),
        ("base", "front", 50.19442891),
        ("top", "right", 180.0 - 67.38013505),
    ],
)
def test_dihedrals(one, other, dihedral_deg):
    """Interior angles between the walls and at the base."""
    edge = next(edge for edge in HOPPER.edges() if {edge.left, edge.right} == {one, other})

    assert math.degrees(edge.dihedral) == approx(dihedral_deg, abs=1e-7)
