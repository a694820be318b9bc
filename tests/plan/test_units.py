"""Quantities: read exactly, shown to what a hand can do.

Factors: NIST Special Publication 811 (2008), appendix B.8: inch 2.54 E-02 m
and foot 3.048 E-01 m, both exact. Value from memory, checked against the
international yard of 1959 (0.9144 m = 36 in).
"""

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from foldwright.errors import QuantityError
from foldwright.plan import in_units, is_quantity, parse_angle, parse_length, show_length


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("12.5", 12.5),
        ("12.5 mm", 12.5),
        ("12.5mm", 12.5),
        (".5 mm", 0.5),
        ("1/2 in", 12.7),
        ("1 1/2 in", 38.1),
        ('1-1/2"', 38.1),
        ("1 - 1/2 in.", 38.1),
        ("12 inches", 304.8),
        ("1 ft", 304.8),
        ("2 cm", 20.0),
        ("1.22 m", 1220.0),
        ("-3 mm", -3.0),
        ("-1 1/2 in", -38.1),
        ("36 in", 914.4),
    ],
)
def test_lengths_are_read_to_the_last_bit(text, mm):
    assert is_quantity(text)
    assert parse_length(text) == mm


@pytest.mark.parametrize(
    ("text", "mm"),
    [("1/64 in", 0.396875), ("37/64 in", 14.684375), ("63/64 in", 25.003125)],
)
def test_rule_fractions_have_their_printed_decimals(text, mm):
    """Fraction, decimal and mm equivalents as on any drill chart; value from memory."""
    assert parse_length(text) == mm


@pytest.mark.parametrize(
    ("text", "rad"),
    [
        ("30 deg", math.pi / 6),
        ("30", math.pi / 6),
        ("90°", math.pi / 2),
        ("0.5 rad", 0.5),
        ("22 1/2 deg", math.pi / 8),
    ],
)
def test_angles_are_read_in_degrees(text, rad):
    assert parse_angle(text) == approx(rad, rel=1e-15)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("0,5 mm", 'Write the decimal point: "0.5 mm"'),
        ("1 , 5 mm", 'Write the decimal point: "1.5 mm"'),
        ("1-1/2", "difference or a mixed fraction.*1 1/2 in"),
        ("3 furlong", 'unit "furlong".*mm, cm, m, in, ft'),
        ("3 mn", "Did you mean m"),
        ("30 deg", "is an angle"),
        ("1/0 in", "divides by 0"),
        ("wide", "is not a length"),
        ("420 - 20 mm", "is not a length"),
        ("", "is not a length"),
        ("9" * 500, "is not a length"),
        ("nan", "is not a length"),
        ("1e3", "is not a length"),
    ],
)
def test_what_is_no_length_is_refused_with_a_hint(text, words):
    with pytest.raises(QuantityError, match=words):
        parse_length(text)


@pytest.mark.parametrize(("text", "words"), [("30 mm", "is a length"), ("1 turn", '"turn"')])
def test_what_is_no_angle_is_refused_with_a_hint(text, words):
    with pytest.raises(QuantityError, match=words):
        parse_angle(text)


@pytest.mark.parametrize("text", ["420 - 20", "lamp_d - 3", "2*thickness", "max(1,5)", "(3)"])
def test_sums_are_not_taken_for_quantities(text):
    assert not is_quantity(text)


@given(st.integers(0, 3000), st.integers(1, 63))
def test_every_graduation_of_an_inch_rule_comes_back(whole, part):
    """Shown, read again, the same to the last bit."""
    length = float((whole + Fraction(part, 64)) * Fraction(254, 10))
    shown = show_length(length, "in")

    assert parse_length(shown) == length


@given(st.floats(-5000, 5000))
def test_inches_full_or_bare_are_within_what_they_say(length):
    """A full 1/64 in is 0.05 mm to half a graduation over, a bare one as much under."""
    shown = show_length(length, "in")
    half = 25.4 / 128
    if "." in shown:  # less than half a graduation, in thousandths
        assert abs(length) <= half
        assert abs(parse_length(shown) - length) <= 0.0127 + 1e-9
        return
    fraction, _, rest = shown.partition(" in")
    over = abs(length) - abs(parse_length(f"{fraction} in"))
    low, high = {"": (-0.05, 0.05), " full": (0.05, half), " bare": (-half, -0.05)}[rest]

    assert low - 1e-9 <= over <= high + 1e-9


@pytest.mark.parametrize(
    ("mm", "units", "fine", "shown"),
    [
        (219.96, "mm", False, "220.0 mm"),
        (0.512, "mm", True, "0.51 mm"),
        (-0.004, "mm", True, "0.00 mm"),
        (38.1, "in", False, "1 1/2 in"),
        (12.7, "in", False, "1/2 in"),
        (25.4, "in", False, "1 in"),
        (0.0, "in", False, "0 in"),
        (-38.1, "in", False, "-1 1/2 in"),
        (0.1, "in", False, "0.004 in"),
        (25.3, "in", False, "1 in bare"),
        (-25.3, "in", False, "-1 in bare"),
        (220.0, "in", False, "8 21/32 in full"),
        (0.8, "in", True, "0.031 in"),
    ],
)
def test_lengths_are_shown_to_what_a_hand_can_do(mm, units, fine, shown):
    assert show_length(mm, units, fine) == shown


@pytest.mark.parametrize(
    ("words", "shown"),
    [
        ("609.6 by 304.8 mm sheet", "24 in by 12 in sheet"),
        ("bites of 12.7 to 25.4 mm", "bites of 1/2 in to 1 in"),
        ("file it to 26.05 mm", "file it to 1.026 in"),
        ("in all 400 mm2 of 3.2 mm board", "in all 400 mm2 of 1/8 in board"),
        ("12 of 25.4 mm", "12 of 1 in"),
        ("no length, 4 bolts", "no length, 4 bolts"),
    ],
)
def test_a_sentence_is_said_in_the_units_of_the_build(words, shown):
    """Both numbers of a pair, hundredths as thousandths of an inch, no areas."""
    assert in_units(words, "in") == shown
    assert in_units(words, "mm") == words


def test_other_units_are_not_shown():
    with pytest.raises(QuantityError, match='Use "mm" or "in"'):
        show_length(1.0, "furlong")


@given(st.text(max_size=70) | st.text(alphabet="0123456789 ./-,in\"'mdeg", max_size=20))
def test_no_text_ends_in_anything_but_a_length_or_words(text):
    for parse in (parse_length, parse_angle):
        try:
            assert math.isfinite(parse(text))
        except QuantityError as error:
            assert error.remedy
