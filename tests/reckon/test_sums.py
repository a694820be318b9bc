"""Asking a reckoner: what was typed, the answer with its spread, words and JSON."""

import json
import math

import pytest

from foldwright.errors import OutOfDomain, QuantityError
from foldwright.reckon.quantities import UNITS, parse_quantity, show_number
from foldwright.reckon.reading import ReckonerFaults, split_pairs
from foldwright.reckon.sums import as_json, asked, in_words, listing, page, reckon, shown
from reckon.dummy import WEIGHT


def lines(typed):
    return {line.name: line for line in reckon(WEIGHT, typed).answer.lines}


def test_inches_and_fractions_are_read_exactly():
    assert parse_quantity("1 1/2 in", "mm") == 38.1


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [
        ("70 GPa", "MPa", 70_000.0),
        ("1 ksi", "MPa", 6.894757293168361),  # NIST SP 811, B.8: 6.894 757 E+00
        ("1 lbf", "N", 4.4482216152605),  # NIST SP 811, B.8: 4.448 222 E+00
        ("1 lbf ft", "N mm", 1355.8179483314004),  # NIST SP 811, B.8: 1.355 818 E+00 N m
        ("12 %", "-", 0.12),
        ("1/4", "-", 0.25),
        ("23e-6", "1/K", 23e-6),
        ("23 um/m/K", "1/K", 23e-6),
        ("180 deg", "deg", math.pi),
    ],
)
def test_units_of_the_trade_are_read(text, unit, value):
    assert parse_quantity(text, unit) == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize("unit", UNITS)
@pytest.mark.parametrize("text", ["", "nan", "inf", "1e999", "two", "3 bananas", "1/0", "x" * 99])
def test_nonsense_is_refused_in_words(text, unit):
    with pytest.raises(QuantityError, match="."):
        parse_quantity(text, unit)


def test_the_wrong_unit_offers_the_right_ones():
    with pytest.raises(QuantityError, match="MPa"):
        parse_quantity("70 kg", "MPa")


def test_an_answer_comes_from_the_values_typed():
    """One square metre of 2.1 mm at 2700 kg/m3 is 5.67 kg."""
    assert lines({"side": "1 m", "thickness": "2, 2.2"})["mass"].value == pytest.approx(5.67)


def test_spread_adds_each_uncertain_input_as_squares():
    """Two readings of 0.1 each, density 0.3 per cent: JCGM 100:2008, equation (10)."""
    mass = lines({"side": "1 m", "thickness": "2,2.2"})["mass"]
    by_reading, by_density = 0.1 / 2 / 2.1 * 5.67, 0.003 * 5.67

    assert mass.spread == pytest.approx(math.hypot(math.hypot(by_reading, by_reading), by_density))


def test_spread_of_an_angle_is_given_in_degrees():
    found = lines({"side": "1 m", "thickness": "2"})["tilt"]

    assert found.spread == pytest.approx(math.radians(1.0))


def test_a_figure_of_a_material_can_be_given_apart():
    found = lines({"side": "1 m", "thickness": "1", "matter.density": "8 g/cm3"})

    assert found["mass"].value == pytest.approx(8.0)


def test_every_fault_is_said_at_once():
    with pytest.raises(ReckonerFaults) as found:
        reckon(WEIGHT, {"sidee": "3", "finish": "gold", "matter": "al-5005", "matter.grit": "2"})

    said = str(found.value)
    for words in ("side is missing", 'no input "sidee"', "Did you mean side", "gold", "al-5005"):
        assert words in said


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"matter.poisson": "0.6"}, "0 to 0.5"),
        ({"matter.modulus": "-3"}, "not above 0"),
        ({"matter.grit": "3"}, "figure"),
        ({"side.modulus": "3"}, "no material"),
        ({"side": "-4"}, "more than 0"),
        ({"side": "0,5"}, "comma"),
        ({"thickness": ",".join("1" * 101)}, "more than"),
    ],
)
def test_what_cannot_be_is_refused(typed, words):
    with pytest.raises(ReckonerFaults, match=words):
        reckon(WEIGHT, {"side": "100", "thickness": "2", **typed})


def test_arguments_are_name_equals_value():
    assert split_pairs(["bore=46.1,46.2", "tube-end = square"]) == {
        "bore": "46.1,46.2",
        "tube_end": "square",
    }


@pytest.mark.parametrize("typed", [["46.12"], ["=3"], ["a=1", "a=2"]])
def test_anything_else_says_how_to_write_it(typed):
    with pytest.raises(OutOfDomain, match="name=value|once"):
        split_pairs(typed)


def test_words_hold_everything_a_maker_needs():
    said = in_words(reckon(WEIGHT, {"side": "1 m", "thickness": "2"}))

    for words in (
        "5.40 kg, give or take 0.27",
        "1. Cut it.",
        "Note: Light.",
        "Take care: Edges are sharp.",
        "Take care: Gloves.",
        "Source: common practice, no source",
        "Formula: mass",
        "Holds: any sheet",
    ):
        assert words in said


def test_json_says_the_same():
    reckoned = reckon(WEIGHT, {"side": "1 m", "thickness": "2"})
    found = json.loads(json.dumps(as_json(reckoned), allow_nan=False))

    assert found["answer"][0]["value"] == reckoned.answer.lines[0].value
    assert found["answer"][0]["spread"] == reckoned.answer.lines[0].spread
    assert found["cautions"] == ["Edges are sharp.", "Gloves."]


def test_listing_questions_and_page_name_every_input():
    assert "square-weight  how heavy" in listing([WEIGHT])
    for i in WEIGHT.inputs:
        assert i.name in asked(WEIGHT)
        assert f"`{i.name}`" in page([WEIGHT])


def test_numbers_never_show_a_sign_on_nothing():
    assert show_number(-1e-17 * 0.0, 2) == "0.00"
    assert shown(lines({"side": "1 m", "thickness": "2"})["count"]) == "1"
