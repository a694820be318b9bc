"""What readings mean, and which of them are asked about."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from foldwright.errors import DoubtfulReading, OutOfDomain, UnknownName
from foldwright.ledger import (
    KINDS,
    TOOLS,
    corrected,
    doubt,
    is_far,
    question,
    tool_named,
    usual_tool,
)

TAPE = TOOLS["tape"]
DEGREE = math.pi / 180.0


def test_a_tape_reads_the_girth_of_its_own_middle():
    """A drum of 220.0, and the tape's middle on a circle of 220.15, summed as a polygon."""
    corners = 100_000
    side = 2.0 * (110.0 + TAPE.thickness / 2.0) * math.sin(math.pi / corners)

    assert corrected(corners * side, "girth", TAPE) == approx(math.pi * 220.0, abs=1e-6)


def test_a_steel_tape_reads_half_a_millimetre_long():
    """By hand: 694.5 - 3.1416 x 0.15 = 694.03."""
    assert corrected(694.5, "girth", TAPE) == approx(694.03, abs=0.005)


def test_a_tape_laid_straight_reads_true():
    assert corrected(694.5, "length", TAPE) == 694.5


@pytest.mark.parametrize("grading", [0.5, 1.0])
def test_the_rule_is_as_sure_as_its_graduations(grading):
    """JCGM 100:2008 (GUM), F.2.2.1: a resolution of x has a standard uncertainty of 0.29 x.

    Value from memory, unchecked; it is 1/sqrt(12). A rule read at both ends
    carries it twice, in quadrature, so 0.25 has to lie near half-millimetre
    reading (0.20) and below whole-millimetre reading (0.41).
    """
    both_ends = 0.29 * grading * math.sqrt(2.0)

    if grading == 0.5:
        assert both_ends < TOOLS["rule"].sigma
    else:
        assert both_ends > TOOLS["rule"].sigma


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_of_dim_has_a_tool_that_reads_it(kind):
    assert kind in usual_tool(kind).kinds


def test_a_tool_that_cannot_read_a_dim_is_refused_with_one_that_can():
    with pytest.raises(OutOfDomain, match="caliper cannot read a girth. Read it with: tape"):
        corrected(694.5, "girth", TOOLS["caliper"])
    with pytest.raises(OutOfDomain, match="tape cannot read an angle. Read it with: protractor"):
        corrected(1.5, "angle", TAPE)


def test_an_unknown_tool_offers_the_nearest():
    with pytest.raises(UnknownName, match="Did you mean caliper"):
        tool_named("calliper")


@pytest.mark.parametrize(
    ("typed", "drawn", "kind", "meant"),
    [
        (2214.0, 220.0, "diameter", 221.4),
        (22.14, 220.0, "diameter", 221.4),
        (8.72, 220.0, "length", 8.72 * 25.4),  # read off the inch side
        (5623.56, 220.0, "length", 221.4),  # millimetres typed where inches are expected
        (0.2214, 220.0, "length", 221.4),
        (110.7, 220.0, "diameter", 221.4),  # a radius
        (695.5, 220.0, "diameter", 695.5 / math.pi),  # a girth
        (221.4, 691.2, "girth", 221.4 * math.pi),
        (30.0, 3.1, "length", 3.0),
        (0.15, 1.5, "length", 1.5),  # near in millimetres, yet ten times off
        (39.0 * DEGREE, 140.8 * DEGREE, "angle", 141.0 * DEGREE),  # the other side of the fold
        (14.1 * DEGREE, 140.8 * DEGREE, "angle", 141.0 * DEGREE),
    ],
)
def test_a_slip_is_recognised(typed, drawn, kind, meant):
    assert doubt(typed, drawn, kind) == approx(meant, abs=1e-9)


@pytest.mark.parametrize(
    ("typed", "drawn", "kind"),
    [
        (221.4, 220.0, "diameter"),
        (3.4, 3.0, "length"),  # a bad day, no slip
        (260.0, 220.0, "length"),  # far off, but no slip would explain it
        (10_500.0, 1000.0, "length"),  # 1050 would be doubtful too
        (110.7, 220.0, "length"),  # half: only a diameter has a radius
        (0.0, 0.0, "angle"),
    ],
)
def test_no_slip_is_made_up(typed, drawn, kind):
    assert doubt(typed, drawn, kind) is None


@given(
    drawn=st.floats(20.0, 3000.0),
    share=st.floats(-1.0, 1.0),
    factor=st.sampled_from([10.0, 0.1]),
    kind=st.sampled_from(["diameter", "girth", "length"]),
)
def test_any_slip_of_the_point_is_led_back_to_what_was_read(drawn, share, factor, kind):
    """Read up to 2 % and 10 mm off the drawing, then typed ten times off."""
    read = drawn + share * min(0.02 * drawn, 10.0)

    assert doubt(read, drawn, kind) is None
    assert doubt(read * factor, drawn, kind) == approx(read)


@given(value=st.floats(1e-3, 1e5), drawn=st.floats(1e-3, 1e4), kind=st.sampled_from(KINDS))
def test_what_is_offered_is_never_doubtful_itself(value, drawn, kind):
    meant = doubt(value, drawn, kind)

    if meant is not None:
        assert not is_far(meant, drawn, kind)
        assert abs(meant - drawn) < abs(value - drawn)
        assert doubt(meant, drawn, kind) is None


def test_a_slip_is_asked_back_in_words():
    with pytest.raises(DoubtfulReading) as caught:
        question("The outside diameter of the lamp", 2214.0, 220.0, "diameter")

    assert str(caught.value) == (
        "The outside diameter of the lamp is drawn 220.0 and was typed 2214.0: "
        "a decimal point has likely slipped. Did you mean 221.4?"
    )
    assert caught.value.value == 2214.0
    assert caught.value.suggestion == approx(221.4)


def test_what_is_far_off_without_a_story_is_asked_back_too():
    with pytest.raises(DoubtfulReading, match="40.0 short. Measure it once more") as caught:
        question("lid.width", 180.0, 220.0, "length")
    assert caught.value.suggestion is None


@pytest.mark.parametrize(
    ("drawn", "off", "far"),
    [
        (500.0, 14.9, False),
        (500.0, 15.1, True),  # 15 mm, whatever the length
        (100.0, 9.9, False),
        (100.0, -10.1, True),  # a tenth
        (5.0, 1.9, False),
        (5.0, 2.1, True),  # 2 mm, however small the dim
    ],
)
def test_how_far_a_reading_may_be(drawn, off, far):
    assert is_far(drawn + off, drawn) is far


def test_an_angle_is_shown_in_degrees_and_judged_in_them():
    question("pedestal.brow", 144.0 * DEGREE, 140.8 * DEGREE, "angle")
    with pytest.raises(DoubtfulReading, match=r"drawn 140.8° and was typed 147.0°, 6.2° large"):
        question("pedestal.brow", 147.0 * DEGREE, 140.8 * DEGREE, "angle")


def test_values_are_shown_as_the_build_shows_them():
    with pytest.raises(DoubtfulReading, match="drawn 10.00 in and was typed 100.00 in"):
        question("lid.width", 2540.0, 254.0, "length", lambda v: f"{v / 25.4:.2f} in")


@pytest.mark.parametrize("value", [0.0, -221.4, math.nan, math.inf])
def test_what_is_no_length_is_refused(value):
    with pytest.raises(OutOfDomain, match="is not a length"):
        question("lid.width", value, 220.0, "length")
