"""Bends against Machinery's Handbook, 31st ed., Industrial Press, p. 1421.

Lengths of straight stock required for bends, formulas (32) to (34)::

    L = (c T + 1.57 R) angle/90

with c 0.55 (soft brass and copper), 0.64 (half-hard copper and brass, soft
steel, aluminium), 0.71 (bronze, hard copper, cold-rolled and spring steel).
The bend allowance is ``theta (R + K T)``, so the K of a coefficient is
``c / (pi/2)``. The handbook rounds pi/2 to 1.57, which is 0.05 per cent.

K by radius and thickness: a reference table that attributes its rows to the
26th ed. of the handbook (seen as a reprint).
"""

import math

import pytest
from pytest import approx

from foldwright.shop import FoldRequest, boards, choose_section
from foldwright.shop.bend_allowances import (
    HARDNESS,
    allowance,
    allowance_by_hardness,
    developed_width,
    k_by_table,
    k_of_hardness,
)

INCH = 25.4
# 1.57 for pi/2, and nothing else, parts the handbook's sums from an arc with its K.
PI_ROUNDED = math.pi / 2.0 / 1.57 - 1.0


@pytest.mark.parametrize(
    ("hardness", "coefficient"), [("soft", 0.55), ("half-hard", 0.64), ("hard", 0.71)]
)
def test_coefficients_as_printed(hardness, coefficient):
    assert HARDNESS[hardness] == coefficient


@pytest.mark.parametrize(
    ("hardness", "thickness", "radius", "angle_deg", "length"),
    [
        ("soft", 1.0, 2.0, 90.0, 3.69),
        ("half-hard", 1.5, 3.0, 90.0, 5.67),
        ("half-hard", 1.0, 1.0, 60.0, 1.47333),
        ("hard", 0.8, 1.2, 120.0, 3.26933),
    ],
)
def test_length_by_hardness(hardness, thickness, radius, angle_deg, length):
    """Evaluated from the printed formula to six figures; an arc with its K is 0.05 % longer."""
    turn, coefficient = math.radians(angle_deg), HARDNESS[hardness]
    arc = allowance(turn, radius, thickness, k_of_hardness(coefficient))

    assert allowance_by_hardness(turn, radius, thickness, coefficient) == approx(length, rel=5e-6)
    assert arc == approx(length, rel=PI_ROUNDED + 5e-6)


@pytest.mark.parametrize(
    ("hardness", "k"), [("soft", 0.35014), ("half-hard", 0.40744), ("hard", 0.45200)]
)
def test_k_of_each_hardness(hardness, k):
    """c / (pi/2), evaluated to five figures."""
    assert k_of_hardness(HARDNESS[hardness]) == approx(k, abs=5e-6)


def test_worked_example_two_bends():
    """Strip 1/8 in: R 3/8 in by 180 degrees and R 5/8 in by 60, straight 3.5 in.

    Printed: 1.338 in for the first bend, 5.545 in overall; half a unit is
    0.0005 in (the first is 1.3375 in full). The page rounds each bend before it
    adds, so two of them.
    """
    thickness, soft_steel = 0.125 * INCH, HARDNESS["half-hard"]
    first = allowance_by_hardness(math.pi, 0.375 * INCH, thickness, soft_steel)
    second = allowance_by_hardness(math.radians(60), 0.625 * INCH, thickness, soft_steel)

    assert first / INCH == approx(1.338, abs=0.0005 + 1e-9)
    assert developed_width([3.5 * INCH], [first, second]) / INCH == approx(5.545, abs=0.001)


@pytest.mark.parametrize(
    ("metal", "k", "radius", "thickness", "length"),
    [
        ("aluminium", 0.402, 1.524, 1.6002, 3.40436),
        ("stainless-steel", 0.446, 3.048, 1.9812, 6.17577),
    ],
)
def test_allowance_by_tabled_k(metal, k, radius, thickness, length):
    """K as printed; allowance evaluated with it to six figures."""
    assert k_by_table(radius, thickness, metal) == approx(k, abs=1e-9)
    assert allowance(math.pi / 2.0, radius, thickness, k) == approx(length, rel=2e-6)


def test_a_fold_of_a_plan_takes_the_same():
    """K of the handbook in a fold table gives the handbook's length, but for 1.57."""
    board = boards()["al-1050A-H14"].of_thickness(1.5)
    request = FoldRequest(method="bend", radius=3.0, k=k_of_hardness(HARDNESS["half-hard"]))
    fold = choose_section(board, math.pi / 2.0, request, ())

    assert fold.zone_width == approx(5.67, rel=PI_ROUNDED + 5e-6)
