"""What is said of meets of every kind, held and missed."""

from dataclasses import replace

import pytest

from every_meet import every_meet, made_of
from foldwright.fit import clearances_of, does, others, says, tightest
from foldwright.fit.meet_words import DOES, would_be
from foldwright.fit.standing_in import STANDS_IN
from foldwright.plan import MEETS

# Kind, what, its value and what is said of it.
# fmt: off
SAID = [
    ("slides-into", "gap a side", 0.8, "As drawn, desk in lid would have 0.80 mm a side, across"),
    ("slides-into", "gap a side", -0.2, "would be 0.20 mm a side too large for lid"),
    ("slides-into", "gap a side", -0.2, "It binds."),
    ("slides-into", "gap a side", 2.0, "It rattles"),
    ("rests-on", "margin", 12.0, "base would stand out 12.0 mm"),
    ("rests-on", "margin", -2.0, "desk would stand out 2.0 mm"),
    ("presses-into", "interference", 0.03, "leg_plug-1 would be 0.03 mm over the bore of leg-1."),
    ("presses-into", "interference", -0.03, "0.03 mm under the bore of leg-1. The plug turns"),
    ("presses-into", "interference", 0.30, "The tube may split."),
    ("drops-between", "gap in all", 3.6, "till-1, till-2 and till-3 in desk would have 3.6"),
    ("drops-between", "gap in all", -1.0, "too long to drop into desk. It does not go in."),
    ("bolts-to", "offset of the holes", 0.5, "foot and base would lie 0.50 mm apart, at holes 1"),
    ("bolts-to", "offset of the holes", -0.5, "The bolt does not go in."),
    ("wraps", "gap round the girth", 3.0, "would come short of each other by 3.00 mm. The seam"),
    ("wraps", "gap round the girth", -1.0, "would lap by 1.00 mm. The sheet has to be trimmed."),
    ("level-with", "step", 0.8, "left_post would stand 0.80 mm above lid, at the front. The eye"),
    ("level-with", "step", -0.8, "left_post would stand 0.80 mm below lid"),
    ("reveal", "reveal", 1.0, "the gap between left_post and lid would be 1.00 mm."),
    ("reveal", "reveal", -0.4, "would clash by 0.40 mm. The gap looks closed."),
    ("reveal", "taper", 0.7, "would get 0.70 mm wider from bottom to top. The eye"),
    ("reveal", "taper", -0.7, "would get 0.70 mm narrower from bottom to top."),
    ("plumb", "lean", 0.3, '"front" of desk would lean out by 0.30 mm, over 200 mm. The eye'),
    ("plumb", "lean", -0.3, "would lean in by 0.30 mm"),
    ("pair", "unlike", 1.4, "left_post would be 1.40 mm larger than right_post, in the width."),
    ("pair", "unlike", -1.4, "left_post would be 1.40 mm smaller than right_post"),
    ("relation", "result", -3.0, "stack under the lid would come to -3.0 mm."),
]
# fmt: on


@pytest.fixture(scope="module")
def found():
    """Meets and first clearances of the desk by kind; a reveal has its taper too."""
    made = made_of(every_meet())
    values = {name: part.values() for name, part in made.parts.items()}
    rows = {}
    for meet in made.plan.meets:
        for c in clearances_of(meet, made.plan.parts, values, made.frames, made.boards):
            rows.setdefault((meet.kind, c.what), c)
    return rows


def said(found, kind, what, value):
    """What is said of a clearance that came to so much."""
    return would_be(replace(found[kind, what], value=value), "mm")


def test_every_kind_has_its_words():
    assert set(DOES) == {*MEETS, STANDS_IN}


@pytest.mark.parametrize(("kind", "what", "value", "words"), SAID)
def test_it_says_what_a_meet_would_be_and_what_happens(found, kind, what, value, words):
    assert words in said(found, kind, what, value)


@pytest.mark.parametrize("units", ["mm", "in"])
def test_what_holds_has_no_consequence(found, units):
    """One sentence; its unit as the build has it."""
    for c in found.values():
        text = would_be(c, units)

        assert text.count(". ") == 0 and text.endswith(".")
        assert units in text


def test_a_meet_says_what_its_parts_do():
    meets = {meet.kind: meet for meet in reversed(every_meet().meets)}

    assert says(meets["rests-on"]) == "desk rests on base"
    assert says(meets["plumb"]) == "desk stands plumb"
    assert says(meets["drops-between"], str.upper) == (
        "TILL-1, TILL-2 and TILL-3 drops between the walls of DESK"
    )
    assert says(meets["relation"]) == "stack under the lid"


def test_each_part_sees_a_meet_from_its_own_side():
    meets = {meet.kind: meet for meet in reversed(every_meet().meets)}

    assert (does(meets["rests-on"], "desk"), does(meets["rests-on"], "base")) == (
        "rests on",
        "carries",
    )
    assert others(meets["drops-between"], "till-2") == ("desk",)
    assert others(meets["drops-between"], "desk") == ("till-1", "till-2", "till-3")
    assert others(meets["plumb"], "desk") == ()


def test_the_tightest_is_nearest_to_a_limit_in_scatters(found):
    """0.5 of room at a scatter of 0.5, against 0.4 at 0.1."""
    base = found["pair", "unlike"]
    rows = [replace(base, value=0.5), replace(base, value=-0.6)]

    assert tightest(rows, [0.5, 0.1]) == 0
    assert tightest(rows, [0.1, 0.1]) == 1
