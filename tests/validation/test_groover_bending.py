"""Bends against M. P. Groover, Fundamentals of Modern Manufacturing, sheet metalworking.

Worked example of a blank 44.5 mm wide and 3.2 mm thick, bent to 120 degrees
between the legs at an inside radius of 4.75 mm over a V of 25 mm, tensile
strength 450 MPa. Printed values from memory, unchecked.
"""

import math

import pytest
from pytest import approx

from foldwright.shop.bend_allowances import allowance, developed_width, k_of_groover
from foldwright.shop.bend_force import FORCE_FACTORS, press_force

TURN = math.radians(60.0)
RADIUS, THICKNESS = 4.75, 3.2


def test_blank_length():
    """Printed: allowance 6.08 mm, blank 38 + 6.08 + 25 = 69.08 mm; half a unit is 0.005."""
    taken = allowance(TURN, RADIUS, THICKNESS, k_of_groover(RADIUS, THICKNESS))

    assert taken == approx(6.08, abs=0.005)
    assert developed_width([38.0, 25.0], [taken]) == approx(69.08, abs=0.005)


def test_bending_force():
    """Printed: 10 909 N, so half a unit is 0.5."""
    force = press_force(44.5, THICKNESS, 450.0, 25.0, FORCE_FACTORS["vee"])

    assert force == approx(10_909.0, abs=0.5)


@pytest.mark.parametrize(("ratio", "k"), [(0.5, 0.33), (1.99, 0.33), (2.0, 0.50), (10.0, 0.50)])
def test_k_on_either_side_of_two_thicknesses(ratio, k):
    """0.33 under R/t = 2, else 0.50."""
    assert k_of_groover(ratio * 3.0, 3.0) == k
