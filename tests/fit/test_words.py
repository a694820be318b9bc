"""Reasons are said as a maker says them."""

import pytest

from foldwright.fit.words import came_out, dim_in_words, part_in_words
from foldwright.ledger import Reading


def test_names_of_the_plan_lose_what_only_a_file_needs():
    assert part_in_words("leg_plug-1") == "leg plug 1"
    assert part_in_words("leg_plug-1") != part_in_words("leg_plug-2")


def test_directions_round_a_tube_are_told_from_its_seam():
    assert dim_in_words("bore_0") == "bore at the seam"
    assert dim_in_words("bore_120") == "bore 120 degrees from the seam"
    assert dim_in_words("outside_d") == "outside diameter"
    assert dim_in_words("nose~jaw-4_across") == "nose to jaw 4 across"


def test_no_underscore_is_left_of_a_reading():
    reading = Reading(
        id=1, part="leg_plug-1", dim="bore_60", value=26.05, tool="caliper", bare=True,
        when="2026-03-01T14:05:09Z", note="", revision=0, drawn=26.0, sigma=0.05,
    )  # fmt: skip

    assert came_out(reading, "mm") == (
        "leg plug 1 came out 0.05 mm large on the bore 60 degrees from the seam: "
        "26.05 mm by caliper, 26.00 mm as drawn."
    )


@pytest.mark.parametrize(
    ("units", "value", "drawn", "said"),
    [
        ("mm", 694.04, 690.26, "3.7 mm large on the girth: 694.0 mm by rule, 690.3 mm as drawn"),
        ("mm", 690.01, 690.04, "as drawn on the girth: 690.0 mm by rule, 690.0 mm as drawn"),
        ("in", 254.0, 250.825, "1/8 in large on the girth: 10 in by rule, 9 7/8 in as drawn"),
    ],
)
def test_a_sentence_with_three_figures_adds_up(units, value, drawn, said):
    reading = Reading(
        id=1, part="lamp", dim="girth", value=value, tool="rule", bare=True,
        when="2026-03-01T14:05:09Z", note="", revision=0, drawn=drawn, sigma=0.3,
    )  # fmt: skip

    assert came_out(reading, units) == f"lamp came out {said}."


@pytest.mark.parametrize(
    ("name", "said"),
    [("lamp_cap", "lamp cap"), ("leg_plug-3", "leg plug 3"), ("a-b", "a-b"), ("x-2 y", "x 2 y")],
)
def test_names_of_the_plan_are_said_plainly(name, said):
    """As a maker would read them out."""
    assert part_in_words(name) == said
