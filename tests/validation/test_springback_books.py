"""Springback and plastic bending against textbooks.

* S. Kalpakjian and S. R. Schmid, Manufacturing Engineering and Technology, chapter
  on sheet metal, example on estimating springback: 20-gage steel, 0.0359 in, bent
  to 0.5 in, Y = 40 000 psi, E = 29e6 psi. Values from memory, unchecked.
* Z. Marciniak, J. L. Duncan and S. J. Hu, Mechanics of Sheet Metal Forming, 2nd ed.,
  section 6.6: a sheet unloaded from fully plastic loses a curvature of 3 S/(E' t)
  (eq. 6.31) and keeps S - 3/2 S at its surface (eq. 6.34).
* F. P. Beer and E. R. Johnston, Mechanics of Materials, examples on elastoplastic
  bending and residual stresses: a beam 50 x 120 mm, E = 200 GPa, yield 240 MPa,
  bent by 36.8 kN m. Values from memory, unchecked.
"""

import pytest
from pytest import approx

from foldwright.shop.springback import rectangle, spring_ratio, sprung_radius

INCH, PSI = 25.4, 0.00689475729


def test_twenty_gage_steel_round_half_an_inch():
    """Printed: ratio 0.942, R_f = 0.531 in; three figures."""
    sheet = (0.0359 * INCH, 29e6 * PSI, 40e3 * PSI)

    assert spring_ratio(0.5 * INCH, *sheet) == approx(0.942, abs=0.0005)
    assert sprung_radius(0.5 * INCH, *sheet) / INCH == approx(0.531, abs=0.0005)


def test_a_fully_plastic_sheet_springs_by_three_s_over_e_t():
    """Bent to 2000 times its yield curvature the elastic core is 1/2000: the form holds to 1e-6."""
    thickness, stiff, flow = 1.0, 78_555.0, 150.0
    bent = 2000.0 * 2.0 * flow / (stiff * thickness)
    sheet = rectangle(bent, thickness, stiff, flow)

    assert bent - sheet.free_curvature == approx(3.0 * flow / (stiff * thickness), rel=1e-6)
    assert sheet.residual_stress == approx(flow - 1.5 * flow, rel=1e-6)


@pytest.fixture
def beam():
    """Bent to the radius that the example prints for 36.8 kN m."""
    core_half = 40.0  # mm, printed: an elastic core 80 mm deep
    return rectangle(240.0 / (200e3 * core_half), 120.0, 200e3, 240.0, width=50.0)


def test_a_beam_with_an_elastic_core_of_80_mm(beam):
    """Printed: M_y = 28.8 kN m for 36.8 kN m and the radius of 33.3 m."""
    assert beam.yield_moment == approx(28.8e6, rel=1e-9)
    assert beam.moment == approx(36.8e6, rel=1e-9)


def test_the_beam_after_it_is_let_go(beam):
    """Printed: -66.7 MPa left at the surface (240 - 306.7), a radius of 225 m left."""
    assert beam.residual_stress == approx(-66.7, abs=0.05)
    assert 1e-3 / beam.free_curvature == approx(225.0, abs=0.5)
