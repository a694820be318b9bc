"""How meets of every kind stand, as the command line says them and as programs get them."""

import json

import pytest

from every_meet import every_meet, made_of
from foldwright.cli.meets import meet_json, meet_line


@pytest.fixture(scope="module")
def lines():
    """Line of the first meet of each kind."""
    made = made_of(every_meet())
    return {f.meet.kind: meet_line(made, f) for f in reversed(made.forecasts)}


@pytest.mark.parametrize(
    ("kind", "words"),
    [
        ("slides-into", "0.80 mm a side across the width; 0.80 mm a side across the depth"),
        ("presses-into", "0.15 mm interference expected, 0.08 mm to 0.22 mm wanted; holds"),
        ("drops-between", "between the walls of desk: 3.6 mm in all expected"),
        ("bolts-to", "0.00 mm offset of the holes at holes 1, left to right expected, -0.40 mm"),
        ("wraps", "band round drum: 1.40 mm round the girth expected, 0.00 mm to 2.00 mm"),
        ("reveal", "1.00 mm reveal expected, 0.20 mm to 2.00 mm wanted; 0.00 mm taper from"),
        ("plumb", "desk stands plumb: 0.00 mm lean over 200 mm expected, -0.20 mm to 0.20 mm"),
        ("relation", "stack under the lid: 83.2 mm result expected, 80.0 mm to 86.0 mm"),
    ],
)
def test_a_line_says_what_is_expected_and_wanted(lines, kind, words):
    assert words in lines[kind]


def test_what_is_drilled_in_place_is_said_to_be_safe():
    drilled = ("20], d = 6.4 },", "20], d = 6.4, drilled_in_place = true },")
    made = made_of(every_meet(drilled))
    found = next(f for f in made.forecasts if f.meet.kind == "bolts-to")

    assert found.chance == 1.0
    assert meet_line(made, found) == "  foot bolted to base: the holes cannot miss."


def test_a_program_gets_every_clearance_with_what_it_is():
    made = made_of(every_meet())
    told = json.loads(json.dumps([meet_json(f) for f in made.forecasts]))

    assert {m["kind"] for m in told} == {m.kind for m in made.plan.meets}
    assert all(c["what"] and c["low"] < c["high"] for m in told for c in m["clearances"])
