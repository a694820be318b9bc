"""Tapers as parts: n sides against a compound-angle chart, and a hopper in closed form.

Chart: compound angle settings in an archived operator's manual for a mitre saw
(brand withheld), side pitch against number of sides, printed to 0.01 degree.
Its closed form, which the printed figures confirm: tan M = cos(pitch) tan(180/n),
sin B = sin(pitch) sin(180/n), dihedral between sides 180 - 2 B.

Hopper (truncated rectangular pyramid): cos(corner) = -cos(ax) cos(ay) with the
slopes of its walls, as in texts on sheet-metal pattern drafting; frustum volume
h (A + sqrt(A a) + a)/3 and lateral area (P + p) s/2, as in the mensuration tables
of Machinery's Handbook (formulas from memory).
"""

import math

import pytest
from pytest import approx

import zoo
from foldwright.shape import dims_of, solid
from validation.test_mitre_chart import CHART

HEIGHT, INRADIUS = 60.0, 80.0


def polygon(sides, inradius):
    """A regular outline, its first side along the front."""
    radius = inradius / math.cos(math.pi / sides)
    angles = [math.pi * (2 * i - 1) / sides - math.pi / 2.0 for i in range(sides)]
    return [(f"{radius * math.cos(a):.17g}", f"{radius * math.sin(a):.17g}") for a in angles]


def regular_taper(sides, pitch):
    """A taper of n like sides that rise inwards at `pitch` [deg]."""
    wider = INRADIUS + HEIGHT / math.tan(math.radians(pitch))
    return zoo.taper(polygon(sides, wider), polygon(sides, INRADIUS), HEIGHT)


@pytest.mark.parametrize(("sides", "pitch", "mitre_deg", "bevel_deg"), CHART)
def test_corner_of_n_sides(sides, pitch, mitre_deg, bevel_deg):
    """Printed to 0.01 degree; the closed form holds to a relative 1e-9."""
    whole = solid(regular_taper(sides, pitch))
    spread = math.pi / sides
    exact = math.asin(math.sin(math.radians(pitch)) * math.sin(spread))
    for edge in whole.edges():
        if edge.left.startswith("side") and edge.right.startswith("side"):
            assert 90.0 - math.degrees(edge.dihedral) / 2.0 == approx(bevel_deg, abs=0.0051)
            assert edge.dihedral == approx(math.pi - 2.0 * exact, rel=1e-9)
        elif "bottom" in (edge.left, edge.right):
            assert math.degrees(edge.dihedral) == approx(pitch, rel=1e-9)


@pytest.mark.parametrize(("sides", "pitch", "mitre_deg", "bevel_deg"), CHART)
def test_mitre_of_a_side(sides, pitch, mitre_deg, bevel_deg):
    """The slanted end of a side leans by the printed mitre from square to its edges."""
    dims = dims_of(regular_taper(sides, pitch), finished=True)
    low, high, slant = (
        dims[f"side_1_{name}"].value for name in ("lower_length", "upper_length", "slant")
    )

    assert math.degrees(math.atan((low - high) / 2.0 / slant)) == approx(mitre_deg, abs=0.0051)


@pytest.mark.parametrize(("sides", "pitch"), [(row[0], row[1]) for row in CHART])
def test_frustum_of_a_regular_pyramid(sides, pitch):
    """Areas and volume by mensuration, to a relative 1e-9."""
    part = regular_taper(sides, pitch)
    whole = solid(part)
    dims = {name: dim.value for name, dim in dims_of(part, finished=True).items()}
    low, high = (whole.area(whole.face(name)) for name in ("bottom", "top"))
    girths = sides * (dims["side_1_lower_length"] + dims["side_1_upper_length"])
    around = sum(whole.area(face) for face in whole.faces) - low - high
    pyramids = sum(
        whole.area(face) * float(whole.normal(face) @ whole.corners(face)[0]) / 3.0
        for face in whole.faces
    )

    assert high == approx(sides * math.tan(math.pi / sides) * INRADIUS**2, rel=1e-9)
    assert around == approx(girths * dims["side_1_slant"] / 2.0, rel=1e-9)
    assert dims["side_1_slant"] == approx(HEIGHT / math.sin(math.radians(pitch)), rel=1e-9)
    assert pyramids == approx(HEIGHT * (low + math.sqrt(low * high) + high) / 3.0, rel=1e-9)


def test_hopper():
    """Base 300 x 200, top 250 x 100, height 60: corner 104.2542253 degrees, evaluated once."""
    whole = solid(zoo.TAPERS["hopper"])
    slopes = math.atan2(60.0, 25.0), math.atan2(60.0, 50.0)
    exact = math.acos(-math.cos(slopes[0]) * math.cos(slopes[1]))
    corners = [
        edge.dihedral for edge in whole.edges() if not {edge.left, edge.right} & {"bottom", "top"}
    ]

    assert corners == approx([exact] * 4, rel=1e-9)
    assert math.degrees(exact) == approx(104.2542253, abs=1e-7)
