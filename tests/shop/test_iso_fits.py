"""ISO fits: rules that tie holes to shafts, and what is refused."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from foldwright.errors import OutOfDomain
from foldwright.reckon.fits import RECKONERS
from foldwright.shop.general_tolerances import (
    angular_tolerances,
    edge_tolerances,
    linear_tolerances,
)
from foldwright.shop.iso_fits import (
    GRADES,
    SHAFT_LETTERS,
    inch_limits,
    iso_fit,
    iso_tolerance,
    size_limits,
    tolerance_factor,
    worked_out_tolerance,
)

ANSWER = {reckoner.name: reckoner.answer for reckoner in RECKONERS}


@given(
    size=st.floats(3.01, 500),
    letter=st.sampled_from(["p", "r", "s", "u", "x", "z", "zc"]),
    grade=st.integers(4, 7),
)
def test_a_fit_and_its_twin_leave_the_same(size, letter, grade):
    """H7/p6 and P7/h6: that is what delta is for (ISO 286-1)."""
    hole_basis = iso_fit(size, f"H{grade}", f"{letter}{grade - 1}")
    shaft_basis = iso_fit(size, f"{letter.upper()}{grade}", f"h{grade - 1}")

    assert hole_basis.least_clearance == approx(shaft_basis.least_clearance, abs=1e-12)
    assert hole_basis.most_clearance == approx(shaft_basis.most_clearance, abs=1e-12)


@given(
    size=st.floats(0.01, 3150),
    letters=st.sampled_from(SHAFT_LETTERS),
    grade=st.sampled_from(GRADES),
    hole=st.booleans(),
)
def test_every_class_is_as_wide_as_its_grade_or_refused(size, letters, grade, hole):
    """Never nan, never upside down."""
    try:
        limits = size_limits(size, f"{letters.upper() if hole else letters}{grade}")
    except OutOfDomain as refused:
        assert refused.name in ("tolerance_class", "grade", "size")
        return

    assert limits.upper - limits.lower == approx(iso_tolerance(size, grade), abs=1e-12)
    assert limits.smallest <= limits.largest


@given(size=st.floats(0.01, 500), grade=st.sampled_from(GRADES[:-1]))
def test_a_coarser_grade_is_wider(size, grade):
    if size <= 1.0 and grade >= "13" and len(grade) == 2:
        return  # the standard has none so coarse
    coarser = GRADES[GRADES.index(grade) + 1]

    assert iso_tolerance(size, coarser) > iso_tolerance(size, grade)


def test_a_step_belongs_to_the_range_that_it_ends():
    """Over 18 up to and including 30 (ISO 286-1, Table 1)."""
    assert iso_tolerance(30.0, "7") == 0.021
    assert iso_tolerance(30.001, "7") == 0.025


@pytest.mark.parametrize(
    ("size", "tolerance_class", "words"),
    [
        (25.0, "H19", "is no tolerance class"),
        (25.0, "I7", "letters i, l, o, q and w"),
        (25.0, "Hg7", "is no tolerance class"),
        (25.0, "", "is no tolerance class"),
        (0.0, "H7", "outside the tables"),
        (-3.0, "H7", "outside the tables"),
        (math.nan, "H7", "outside the tables"),
        (math.inf, "H7", "outside the tables"),
        (3151.0, "H7", "outside the tables"),
        (1.0, "H14", "1 mm or less"),
        (1.0, "a9", "has no value"),
        (600.0, "a9", "has no value"),
        (600.0, "H01", "up to 500 mm only"),
        (12.0, "t6", "has no value"),
        (12.0, "K9", "has no value"),
        (12.0, "P2", "has no value"),
        (12.0, "j9", "has no value"),
        (12.0, "J9", "has no value"),
    ],
)
def test_what_the_standard_does_not_have_is_refused(size, tolerance_class, words):
    with pytest.raises(OutOfDomain, match=words):
        size_limits(size, tolerance_class)


def test_a_hole_in_small_letters_is_refused_with_the_right_one():
    with pytest.raises(OutOfDomain, match='Write "H7"') as refused:
        iso_fit(25.0, "h7", "g6")

    assert refused.value.name == "hole"


def test_grades_and_ranges_that_have_no_formula_are_refused():
    with pytest.raises(OutOfDomain, match="Look it up"):
        worked_out_tolerance(30.0, 50.0, "4")
    with pytest.raises(OutOfDomain, match="no range"):
        tolerance_factor(50.0, 30.0)
    with pytest.raises(OutOfDomain, match="There is no grade"):
        iso_tolerance(20.0, "x")


@given(size=st.floats(0.2, 400), tolerance_class=st.sampled_from(["H7", "f7", "s6", "JS9"]))
def test_inch_limits_are_whole_parts_of_an_inch(size, tolerance_class):
    limits = inch_limits(size, tolerance_class)

    for deviation in (limits.upper, limits.lower):
        parts = deviation / 25.4 * 1e4
        assert parts == approx(round(parts), abs=1e-6)


@pytest.mark.parametrize("look_up", [linear_tolerances, edge_tolerances, angular_tolerances])
@pytest.mark.parametrize("size", [0.0, -1.0, math.nan, math.inf])
def test_sizes_outside_the_general_tolerances_are_refused(look_up, size):
    with pytest.raises(OutOfDomain):
        look_up(size)


def test_each_table_ends_where_the_standard_says():
    with pytest.raises(OutOfDomain, match="begins at 0.5 mm"):
        linear_tolerances(0.4)
    with pytest.raises(OutOfDomain, match="longer than the 4000 mm"):
        linear_tolerances(4000.1)
    assert "f" not in linear_tolerances(4000.0)
    assert edge_tolerances(5000.0)["m"] == 1.0


@given(size=st.floats(0.5, 4000))
def test_coarser_classes_allow_no_less(size):
    for look_up in (linear_tolerances, edge_tolerances, angular_tolerances):
        allowed = list(look_up(size).values())
        assert allowed == sorted(allowed)


def test_the_reckoner_of_limits_answers_for_one_and_for_both():
    """ISO 286-2: 25 H7 +21/0, g6 -7/-20, so 7 to 41 micrometres."""
    both = {line.name: line.value for line in ANSWER["limits"](25.0, "H7", "g6", "mm").lines}
    one = {line.name: line.value for line in ANSWER["limits"](25.0, None, "g6", "mm").lines}

    assert both["least_clearance"] == approx(0.007)
    assert both["most_clearance"] == approx(0.041)
    assert both["kind"] == "a clearance fit"
    assert one["shaft_largest"] == approx(24.993)
    with pytest.raises(OutOfDomain, match="Give hole=H7"):
        ANSWER["limits"](25.0, None, None, "mm")


def test_the_reckoner_of_general_tolerances():
    """ISO 2768-1: 300 mm medium 0.5 mm; half a degree at 40 mm is 0.35 mm; fine ends at 2 m."""
    ask = ANSWER["general-tolerance"]

    assert ask(300.0, "length", "m").lines[0].value == 0.5
    assert ask(40.0, "angle", "m").lines[1].value == approx(0.349, abs=5e-4)
    with pytest.raises(OutOfDomain, match="There are m, c, v"):
        ask(3000.0, "length", "f")
