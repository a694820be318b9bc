"""Bend allowances: what holds between the rules, and what is refused."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from foldwright.errors import OutOfDomain
from foldwright.shop.bend_allowances import (
    HARDNESS,
    METALS,
    allowance,
    allowance_by_hardness,
    allowance_of_airframes,
    compensation_din_6935,
    deduction,
    developed_width,
    flat_length,
    flats,
    k_by_ratio,
    k_by_table,
    k_din_6935,
    k_of_hardness,
    outside_setback,
    rules_of_k,
    shortening_linear,
)

RADII, SHEETS = st.floats(0.2, 30.0), st.floats(0.2, 5.0)
TURNS = st.floats(0.01, 3.1)
SQUARE = math.pi / 2.0


@given(turn=TURNS, radius=RADII, thickness=SHEETS, k=st.floats(0.0, 1.0))
def test_a_bend_made_in_two_takes_as_much(turn, radius, thickness, k):
    """Allowance adds up over the turn; so do the rules that count degrees."""
    half = turn / 2.0

    assert 2.0 * allowance(half, radius, thickness, k) == approx(
        allowance(turn, radius, thickness, k)
    )
    for rule in (allowance_of_airframes, lambda *a: allowance_by_hardness(*a, 0.64)):
        assert 2.0 * rule(half, radius, thickness) == approx(rule(turn, radius, thickness))


@given(turn=TURNS, radius=RADII, thickness=SHEETS, k=st.floats(0.0, 1.0))
def test_the_neutral_line_is_never_longer_than_the_mould_lines(turn, radius, thickness, k):
    """An arc inside two tangents: the flat is shorter than the outside legs."""
    taken = allowance(turn, radius, thickness, k)

    assert deduction(turn, radius, thickness, taken) > 0.0


@given(radius=RADII, thickness=SHEETS, degrees=st.floats(91.0, 164.0))
def test_v_of_obtuse_openings_is_the_deduction_the_other_way(radius, thickness, degrees):
    """Legs to the mould line, in the standard as here."""
    opening = math.radians(degrees)
    turn = math.pi - opening
    if radius / thickness < 0.1:
        return
    taken = allowance(turn, radius, thickness, k_din_6935(radius, thickness))

    assert compensation_din_6935(opening, radius, thickness) == approx(
        -deduction(turn, radius, thickness, taken)
    )


@given(radius=st.floats(0.5, 30.0), thickness=st.floats(0.2, 5.0))
def test_v_has_no_step_at_a_right_angle(radius, thickness):
    """Both ways of measuring legs agree there."""
    below = compensation_din_6935(SQUARE - 1e-9, radius, thickness)
    above = compensation_din_6935(SQUARE + 1e-9, radius, thickness)

    assert below == approx(above, abs=1e-6)


def test_the_linear_rule_is_a_k_of_a_third():
    """v = 0.43 r + 1.48 s against 2 (r + s) - pi/2 (r + K s); its figures have two decimals."""
    rule = {r.name: r for r in rules_of_k(3.0, 1.5, "half-hard")}["linear"]
    exact = deduction(SQUARE, 3.0, 1.5, allowance(SQUARE, 3.0, 1.5, rule.k))

    assert rule.k == approx(0.33, abs=0.002)
    assert shortening_linear(3.0, 1.5) == approx(exact, abs=0.005 * 3.0)


@pytest.mark.parametrize("metal", METALS)
def test_the_table_of_k_is_met_at_its_corners_and_left_outside(metal):
    """0.030 to 0.188 in of radius; beyond it the table says nothing."""
    inch = 25.4

    assert k_by_table(0.030 * inch, 0.060 * inch, metal) is not None
    assert k_by_table(0.188 * inch, 0.060 * inch, metal) is not None
    assert k_by_table(0.2 * inch, 0.060 * inch, metal) is None
    assert k_by_table(0.1 * inch, 0.3 * inch, metal) is None


def test_between_rows_and_columns_the_table_goes_straight():
    """Halfway between 0.402 and 0.401: aluminium 0.063 in, radius 0.075 in."""
    assert k_by_table(0.075 * 25.4, 0.063 * 25.4, "aluminium") == approx(0.4015, abs=1e-9)


@given(radius=RADII, thickness=SHEETS, hardness=st.sampled_from(sorted(HARDNESS)))
def test_all_rules_leave_the_neutral_line_in_the_inner_half(radius, thickness, hardness):
    """A bend never moves it outwards; each rule has a name of its own."""
    rules = rules_of_k(radius, thickness, hardness, "aluminium")

    assert len({rule.name for rule in rules}) == len(rules) >= 5
    assert all(0.0 < rule.k <= 0.5 for rule in rules)
    assert all(rule.holds and rule.source for rule in rules)


def test_a_radius_too_sharp_for_the_standard_leaves_the_other_rules():
    """r/s of 0.01."""
    names = [rule.name for rule in rules_of_k(0.01, 1.0, "soft")]

    assert "din-6935" not in names
    assert "hardness" in names


@given(
    legs=st.lists(st.floats(40.0, 200.0), min_size=2, max_size=6),
    radius=st.floats(0.5, 5.0),
    turn=st.floats(0.1, 2.0),
)
def test_flats_and_allowances_make_the_length_that_legs_and_deductions_make(legs, radius, turn):
    """Two ways to one strip."""
    taken, back = allowance(turn, radius, 1.0, 0.4), outside_setback(turn, radius, 1.0)
    bends = len(legs) - 1
    straights = flats(legs, [back] * bends)

    assert developed_width(straights, [taken] * bends) == approx(
        flat_length(legs, [deduction(turn, radius, 1.0, taken)] * bends)
    )


@pytest.mark.parametrize(
    ("call", "name"),
    [
        (lambda: allowance(-0.1, 1.0, 1.0, 0.4), "turn"),
        (lambda: allowance(4.0, 1.0, 1.0, 0.4), "turn"),
        (lambda: allowance(1.0, -1.0, 1.0, 0.4), "radius"),
        (lambda: allowance(1.0, 1.0, 0.0, 0.4), "thickness"),
        (lambda: allowance(1.0, math.nan, 1.0, 0.4), "radius"),
        (lambda: allowance(1.0, 1.0, math.inf, 0.4), "thickness"),
        (lambda: allowance(1.0, 1.0, 1.0, 1.2), "k"),
        (lambda: outside_setback(math.pi, 1.0, 1.0), "turn"),
        (lambda: k_of_hardness(2.0), "coefficient"),
        (lambda: k_by_ratio(1.0, 1.0, "brittle"), "hardness"),
        (lambda: k_by_table(1.0, 1.0, "lead"), "metal"),
        (lambda: rules_of_k(1.0, -1.0, "soft"), "thickness"),
        (lambda: compensation_din_6935(-0.1, 1.0, 1.0), "opening"),
        (lambda: compensation_din_6935(SQUARE, 0.01, 1.0), "radius"),
        (lambda: flat_length([50.0], [1.0]), "legs"),
        (lambda: flat_length([1.0, 1.0], [5.0]), "legs"),
        (lambda: flats([10.0, 3.0, 10.0], [2.0, 2.0]), "legs"),
        (lambda: developed_width([], []), "flats"),
        (lambda: developed_width([-1.0], [3.0]), "flats"),
    ],
)
def test_what_is_no_bend_is_refused(call, name):
    """The refusal names the argument; nothing comes out as nan."""
    with pytest.raises(OutOfDomain) as refused:
        call()

    assert refused.value.name == name
