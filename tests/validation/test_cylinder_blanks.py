"""Blanks of rolled cylinders: pi times the mean diameter.

Common practice of plate work, no source: a cylinder is rolled from a blank as
long as its mean circumference. It is also what DIN 6935:1975-10 says of a bend
of 360 degrees: past an inside radius of 5 thicknesses its correction factor is
1, so that the neutral line lies in the middle of the sheet.
"""

import math
from dataclasses import replace

import pytest
from pytest import approx

import zoo
from foldwright.flat import pattern_of
from foldwright.shop import boards, k_din_6935


def blank(outside_d, thickness):
    """Length of the blank round the drum [mm]."""
    part = replace(zoo.drum(outside_d, 40.0), thickness=thickness)
    board = boards()["al-5005-H24"].of_thickness(thickness)
    (piece,) = pattern_of(part, board, zoo.CUTTERS).pieces
    xs = [step.to[0] for step in piece.outline]
    return max(xs) - min(xs)


@pytest.mark.parametrize(("mean_radius", "unrolled"), [(30.0, 188.4955592), (50.0, 314.1592654)])
@pytest.mark.parametrize("thickness", [0.5, 3.0])
def test_a_cylinder_unrolls_to_its_mean_circumference(mean_radius, unrolled, thickness):
    """2 pi R, evaluated to ten figures."""
    found = blank(2.0 * mean_radius + thickness, thickness)

    assert found == approx(unrolled, rel=1e-9)


@pytest.mark.parametrize("times", [5.5, 20.0, 100.0])
def test_it_is_the_bend_allowance_of_the_standard(times):
    """``2 pi (r + k t)`` with k of DIN 6935, r over 5 t."""
    t = 2.0
    r = times * t

    assert k_din_6935(r, t) == 0.5
    assert blank(2.0 * (r + t), t) == approx(2.0 * math.pi * (r + k_din_6935(r, t) * t), rel=1e-12)
