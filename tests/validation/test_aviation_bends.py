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

INCH = 25.4
K = 0.0078 / 0.01743
SHEET = boards()["al-1050A-H14"]


def bend(radius, thickness):
    """Right angle with the handbook's K, of a sheet that takes the radius."""
    sheet = SHEET.of_thickness(thickness)
    return choose_section(
        sheet, math.radians(90), FoldRequest(method="bend", radius=radius, k=K), ()
    )


def test_bend_allowance_and_deduction_of_the_workbook():
    """T 0.050 in, R 0.032 in: BA 0.085, BD 0.079 in printed, half a unit is 0.0005.

    The radius is under what our sheet takes, so the bend is worked out at
    R = T, and the tighter radius taken off by theta (R + K T) and 2 (R + T).
    """
    thickness, radius = 0.050 * INCH, 0.032 * INCH
    fold = bend(thickness, thickness)
    tighter = thickness - radius
    allowance = fold.zone_width - fold.turn * tighter
    deduction = fold.deduction - (2.0 - fold.turn) * tighter

    assert allowance / INCH == approx(0.085, abs=0.0005)
    assert deduction / INCH == approx(0.079, abs=0.0005)


def test_developed_width_of_a_u_channel():
    """T 0.040, R 0.16 in, flats 0.80, 1.60 and 0.80 in: printed 3.74 in (memory).

    The page rounds its allowance down to 0.27 in, where its own formula gives
    0.279: two bends make 0.018 in, and half a unit of 3.74 is 0.005.
    """
    fold = bend(0.16 * INCH, 0.040 * INCH)
    outside = [(0.80 * INCH) + fold.setback, 1.60 * INCH + 2.0 * fold.setback]
    width = outside[0] + outside[1] + outside[0] - 2.0 * fold.deduction

    assert width / INCH == approx(3.74, abs=0.018 + 0.005)
    # The tangent point lies R + T from the mould line in a right angle (same handbook).
    assert fold.setback / INCH == approx(0.20, abs=1e-12)
