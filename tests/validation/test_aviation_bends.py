"""Bends against aviation sheet-metal handbooks.

Sheet Metal Workbook, 6th ed., internet edition 2012, page "90 Degree Bends"::

    BA = (0.0078 T + 0.01743 R) angle;   BD = 2 (R + T) - BA   (90 degrees)

FAA-H-8083-31, Aviation Maintenance Technician Handbook - Airframe, vol. 1,
ch. 4, layout of a U-channel; values from memory, unchecked.

0.01743 stands for pi/180 (0.017453) and 0.0078 for K pi/180, so K = 0.0078/0.01743.
"""

import math

from pytest import approx

from foldwright.shop import FoldRequest, boards, choose_section
from foldwright.shop.bend_allowances import (
    allowance,
    allowance_of_airframes,
    deduction,
    developed_width,
    flat_length,
    flats,
    outside_setback,
)

INCH = 25.4
K = 0.0078 / 0.01743
SQUARE = math.radians(90.0)


def test_bend_allowance_and_deduction_of_the_workbook():
    """T 0.050 in, R 0.032 in: BA 0.085, BD 0.079 in printed, half a unit is 0.0005."""
    sheet = 0.032 * INCH, 0.050 * INCH
    taken = allowance_of_airframes(SQUARE, *sheet)

    assert taken / INCH == approx(0.085, abs=0.0005)
    assert deduction(SQUARE, *sheet, taken) / INCH == approx(0.079, abs=0.0005)
    # the same as an arc with its K, but for pi/180 = 0.01745
    assert allowance(SQUARE, *sheet, K) == approx(taken, rel=0.01745330 / 0.01743 - 1.0 + 1e-9)


def test_developed_width_of_a_u_channel():
    """T 0.040, R 0.16 in, flats 0.80, 1.60 and 0.80 in: printed 3.74 in (memory).

    The page rounds its allowance down to 0.27 in, where its own formula gives
    0.279: two bends make 0.018 in, and half a unit of 3.74 is 0.005.
    """
    sheet = 0.16 * INCH, 0.040 * INCH
    back, taken = outside_setback(SQUARE, *sheet), allowance_of_airframes(SQUARE, *sheet)
    legs = [1.0 * INCH, 2.0 * INCH, 1.0 * INCH]
    straights = flats(legs, [back] * 2)

    # The tangent point lies R + T from the mould line in a right angle (same handbook).
    assert back / INCH == approx(0.20, abs=1e-12)
    assert [flat / INCH for flat in straights] == approx([0.80, 1.60, 0.80], abs=1e-12)
    width = developed_width(straights, [taken] * 2)
    assert width / INCH == approx(3.74, abs=0.018 + 0.005)
    less = deduction(SQUARE, *sheet, taken)
    assert flat_length(legs, [less] * 2) == approx(width, abs=1e-12)


def test_a_fold_of_a_plan_has_the_same_setback_and_allowance():
    """The handbook's K in a fold table of 0.040 in sheet."""
    board = boards()["al-1050A-H14"].of_thickness(0.040 * INCH)
    request = FoldRequest(method="bend", radius=0.16 * INCH, k=K)
    fold = choose_section(board, SQUARE, request, ())

    assert fold.setback / INCH == approx(0.20, abs=1e-12)
    assert fold.zone_width / INCH == approx(0.279, abs=0.0005)
