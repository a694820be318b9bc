"""Mitres against the compound-angle chart in an archived manual for a mitre saw (brand withheld).

Side pitch against number of sides, printed to 0.01 degree. The dihedral
between neighbouring sides is 180 - 2 B, B the printed bevel; the mitre of two
equal boards at that dihedral is tilted B from square.

The solids that the chart is about are also built here: n sides at the given
pitch, whose dihedrals come out of `Solid.edges`.
"""

import math

import pytest
from pytest import approx

from foldwright.shape import Face, Solid
from foldwright.shape.leaning import mitred_side
from foldwright.shop import mitre

CHART = [  # sides, pitch, mitre, bevel [deg]
    (4, 5.0, 44.89, 3.53),
    (4, 10.0, 44.56, 7.05),
    (5, 15.0, 35.06, 8.75),
    (6, 20.0, 28.48, 9.85),
    (6, 30.0, 26.57, 14.48),
    (8, 30.0, 19.73, 11.03),
    (4, 45.0, 35.26, 30.0),
    (6, 45.0, 22.21, 20.7),
    (10, 25.0, 16.41, 7.5),
]


@pytest.mark.parametrize(("sides", "pitch", "mitre_deg", "bevel_deg"), CHART)
def test_bevel_of_the_chart(sides, pitch, mitre_deg, bevel_deg):
    """The saw tilt for the dihedral that the printed bevel belongs to."""
    section = mitre(12.0, 12.0, math.radians(180.0 - 2.0 * bevel_deg))

    assert math.degrees(section.bevel) == approx(bevel_deg, abs=1e-9)


@pytest.mark.parametrize(("sides", "pitch", "mitre_deg", "bevel_deg"), CHART)
def test_dihedral_and_mitre_of_the_solid(sides, pitch, mitre_deg, bevel_deg):
    """A frustum of n sides at the pitch: bevel and mitre to half a unit, 0.005 degree."""
    solid = frustum(sides, math.radians(pitch))
    corner = next(edge for edge in solid.edges() if {edge.left, edge.right} == {"side_0", "side_1"})
    found = mitre(3.0, 3.0, corner.dihedral)
    loop = solid.corners(solid.face("side_0"))
    base, leg = loop[1] - loop[0], loop[2] - loop[1]
    off_square = math.asin(abs(float(base @ leg)) / math.dist(loop[0], loop[1]) / math.dist(
        loop[1], loop[2]
    ))  # fmt: skip

    assert math.degrees(found.bevel) == approx(bevel_deg, abs=0.0051)
    assert math.degrees(off_square) == approx(mitre_deg, abs=0.0051)


@pytest.mark.parametrize(("sides", "pitch", "mitre_deg", "bevel_deg"), CHART)
def test_saw_settings_of_a_side(sides, pitch, mitre_deg, bevel_deg):
    """What a maker asks: both printed columns, to half a unit of 0.01 degree."""
    found = mitred_side(sides, math.radians(pitch))

    assert math.degrees(found.mitre) == approx(mitre_deg, abs=0.0051)
    assert math.degrees(found.bevel) == approx(bevel_deg, abs=0.0051)


def frustum(sides, pitch):
    """A closed frustum; sides lean in, `pitch` [rad] from lying flat."""
    spread = math.pi / sides
    height = 60.0
    # Inradii of bottom and top, so that each side rises at its pitch.
    low, high = height / math.tan(pitch) + 50.0, 50.0
    vertices, faces = [], []
    for radius, z in ((low, 0.0), (high, height)):
        vertices += [
            (
                radius / math.cos(spread) * math.cos(2 * spread * i),
                radius / math.cos(spread) * math.sin(2 * spread * i),
                z,
            )
            for i in range(sides)
        ]
    faces.append(Face("bottom", tuple(reversed(range(sides)))))
    faces.append(Face("top", tuple(range(sides, 2 * sides))))
    for i in range(sides):
        j = (i + 1) % sides
        faces.append(Face(f"side_{i}", (i, j, j + sides, i + sides)))
    return Solid(tuple(vertices), tuple(faces))
