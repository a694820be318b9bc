"""Bends of solid sheet against DIN 6935, Cold bending of flat rolled steel.

k for half the thickness, ``k = 0.65 + 0.5 lg(r/s)``, at most 1, as given in a
2019 article on blank lengths that cites the standard. Compensation value v,
so that flat length = sum of the outside legs + v (negative: shorter)::

    opening angle beta up to 90:   v = arc - 2 (r + s)
    90 to 165:                     v = arc - 2 (r + s) tan((180 - beta)/2)
    165 to 180:                    v = 0

Table entries of v for 90 degrees (supplement 2 to the standard, and pocket
tables that reprint it) are from memory, unchecked; they are printed to 0.1 mm.
"""

import math

import pytest
from pytest import approx

from foldwright.errors import OutOfDomain
from foldwright.shop import FoldRequest, boards, choose_section, k_din_6935
from foldwright.shop.bend_allowances import compensation_din_6935, flat_length

SHEET = boards()["al-1050A-H14"]


def bend(radius, thickness, opening_deg):
    """Section of one bend in sheet that takes the radius."""
    board = SHEET.of_thickness(thickness)
    turn = math.radians(180.0 - opening_deg)
    return choose_section(board, turn, FoldRequest(method="bend", radius=radius), ())


@pytest.mark.parametrize(
    ("radius", "thickness", "shortening"),
    [
        (1.0, 1.0, 1.9),
        (1.6, 1.0, 2.1),
        (2.5, 1.0, 2.4),
        (4.0, 2.0, 4.5),
        (4.0, 3.0, 6.0),
        (10.0, 1.0, 5.5),
    ],
)
def test_compensation_values_for_a_right_angle(radius, thickness, shortening):
    """Printed to 0.1 mm, so half a unit is 0.05. Entries from memory, unchecked."""
    fold = bend(radius, thickness, 90.0)
    v = compensation_din_6935(math.radians(90.0), radius, thickness)

    assert -v == approx(shortening, abs=0.0501)
    assert fold.deduction == approx(-v, abs=1e-12)


def test_obtuse_opening_angle():
    """r = 1.6, s = 1, beta = 135: k = 0.75206, v = -0.60194, evaluated from the printed formulas.

    Five figures were kept, so half a unit is 5e-6.
    """
    fold = bend(1.6, 1.0, 135.0)

    assert 2.0 * k_din_6935(1.6, 1.0) == approx(0.75206, abs=5e-6)
    assert fold.k == approx(0.37603, abs=5e-6)
    v = compensation_din_6935(math.radians(135.0), 1.6, 1.0)

    assert v == approx(-0.60194, abs=5e-6)
    assert -fold.deduction == approx(v, abs=1e-12)


def test_acute_opening_angle_counts_from_tangents_in_the_standard():
    """Under 90 degrees DIN measures legs to the tangents, not to the mould line.

    r = 2, s = 1, beta = 60: v = arc - 2 (r + s). Our legs run to the mould
    line, further out by (r + s)(tan(theta/2) - 1) each, so v follows from ours.
    """
    fold = bend(2.0, 1.0, 60.0)
    v = compensation_din_6935(math.radians(60.0), 2.0, 1.0)

    # k = 0.65 + 0.5 lg 2 = 0.80051, arc = 2.09440 (2 + 0.40026) = 5.02708, v = -0.97292
    assert v == approx(-0.97292, abs=1e-5)
    assert fold.zone_width - 2.0 * 3.0 == approx(v, abs=1e-12)
    assert fold.setback == approx(3.0 * math.tan(math.radians(60.0)), abs=1e-12)


@pytest.mark.parametrize("opening_deg", [165.001, 170.0, 180.0])
def test_nearly_flat_bends_need_no_compensation(opening_deg):
    """v is 0 from 165 to 180 degrees (standard, as reprinted)."""
    assert compensation_din_6935(math.radians(opening_deg), 2.0, 1.0) == 0.0


def test_what_leaving_off_v_above_165_degrees_costs():
    """At the limit, r = 2, s = 1: arc 0.62838 less 6 tan(7.5) = 0.78991 is -0.16 mm."""
    at_the_limit = compensation_din_6935(math.radians(165.0), 2.0, 1.0)

    assert at_the_limit == approx(0.62838 - 0.78991, abs=1e-5)


def test_flat_length_of_an_angle():
    """Legs 50 and 40, r 4, s 2: v = -4.5 in the table, so 85.5; entry from memory, unchecked."""
    v = compensation_din_6935(math.radians(90.0), 4.0, 2.0)

    assert flat_length([50.0, 40.0], [-v]) == approx(85.5, abs=0.0501)


@pytest.mark.parametrize(("ratio", "k"), [(1.0, 0.65), (5.1, 1.0), (100.0, 1.0)])
def test_k_at_its_landmarks(ratio, k):
    """k is 0.65 at r = s and at most 1, which is reached just past r/s = 5 (formula)."""
    assert 2.0 * k_din_6935(3.0 * ratio, 3.0) == approx(k, abs=1e-12)


def test_k_just_below_its_cap():
    """0.65 + 0.5 lg 5 = 0.99949; five figures, so half a unit is 5e-6."""
    assert 2.0 * k_din_6935(5.0, 1.0) == approx(0.99949, abs=5e-6)


def test_a_radius_of_nothing_has_no_k():
    """The logarithm has no value there."""
    with pytest.raises(OutOfDomain, match="above 0"):
        k_din_6935(0.0, 1.0)
