"""Right cone frusta: radii and angle of the sector they unroll to.

``slant = sqrt(h^2 + (R - r)^2)``, radii of the sector ``R slant/(R - r)`` and
``r slant/(R - r)``, angle ``360 (R - r)/slant``: plane geometry, in any text on
sheet-metal pattern drafting. The first case is the worked example of a web
geometry textbook, page "The Net of a Frustum": a reducer between ducts of 5
and 8 in, 4 in long, printed to 0.01 in and 0.1 degree. The others were
evaluated from the formulas once, to ten figures.

These are surfaces without thickness. Here a board of 2 mm has its middle on
them: outside diameters ``2 t/2 cos b`` larger, height ``t sin b`` larger over
the square ends.
"""

import math

import pytest
from pytest import approx

import zoo
from foldwright.flat import pattern_of
from foldwright.flat.sectors import cone_blank
from foldwright.shop import boards
from round_parts import hood

THICKNESS = 2.0
INCH = 25.4
BOARD = boards()["al-5005-H24"].of_thickness(THICKNESS)


def sector(large, small, height, *, upside_down=False):
    """Outer radius, inner radius [mm] and angle [deg] of the blank; diameters on the middle."""
    lean = math.atan2((large - small) / 2.0, height)
    ends = [d + THICKNESS * math.cos(lean) for d in (large, small)]
    if upside_down:
        ends.reverse()
    part = hood(*ends, height + THICKNESS * math.sin(lean), thickness=THICKNESS)
    (piece,) = pattern_of(part, BOARD, zoo.CUTTERS).pieces
    (cone,) = piece.curved
    corners = [step.to for step in piece.outline]
    radii = [math.dist(p, cone.flat_apex) for p in corners]
    ways = [math.atan2(p[1] - cone.flat_apex[1], p[0] - cone.flat_apex[0]) for p in corners]
    return max(radii), min(radii), math.degrees((ways[0] - ways[3]) % math.tau)


@pytest.mark.parametrize("upside_down", [False, True])
def test_a_reducer_between_ducts(upside_down):
    """Printed: 7.12 in, 11.39 in, 126.4 degrees; half a unit is 0.13 mm and 0.05 degree."""
    outer, inner, angle = sector(8 * INCH, 5 * INCH, 4 * INCH, upside_down=upside_down)

    assert inner / INCH == approx(7.12, abs=0.0051)
    assert outer / INCH == approx(11.39, abs=0.0051)
    assert angle == approx(126.4, abs=0.05)


@pytest.mark.parametrize(
    ("large", "small", "height", "outer", "inner", "angle_deg"),
    [
        (120.0, 60.0, 80.0, 170.8800749, 85.44003745, 126.404439),
        (90.0, 20.0, 25.0, 55.30066243, 12.2890361, 292.9440496),
    ],
)
def test_frusta_in_closed_form(large, small, height, outer, inner, angle_deg):
    """Ten figures were kept, so 1e-8 is what they hold."""
    found = sector(large, small, height)

    assert found == approx((outer, inner, angle_deg), rel=1e-8)


def test_a_cone_of_sixty_degrees_unrolls_to_half_a_turn():
    """Angle 360 sin(apex/2), apex 60 degrees: 180, known to anyone who rolled half a disc."""
    height = 100.0
    _, _, angle = sector(50.0 + 2 * height * math.tan(math.radians(30.0)), 50.0, height)

    assert angle == approx(180.0, abs=1e-9)


def test_the_lateral_area_is_that_of_the_frustum():
    """``pi (R + r) slant`` of the second case: 24157.60146, evaluated once."""
    outer, inner, angle = sector(120.0, 60.0, 80.0)

    assert math.radians(angle) / 2.0 * (outer**2 - inner**2) == approx(24157.60146, rel=1e-9)


@pytest.mark.parametrize("thickness", [0.0, THICKNESS])
def test_bare_numbers_are_those_of_the_hood(thickness):
    """What a maker asks without a plan is what the hood's blank is drawn from."""
    lean = math.atan2(30.0, 80.0)
    rims = [d + thickness * math.cos(lean) for d in (120.0, 60.0)]
    blank = cone_blank(*rims, 80.0 + thickness * math.sin(lean), thickness=thickness)
    found = (blank.sector.outer, blank.sector.inner, math.degrees(blank.sector.angle))

    assert found == approx(sector(120.0, 60.0, 80.0), rel=1e-12)
