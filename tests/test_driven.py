"""Which parts have a size in their formulas, whatever they are read from."""

import pytest

from foldwright.driven import driven_by, named_by
from foldwright.make import Made
from foldwright.plan import parse_plan

PLAN = """
[build]
name = "Feet"
[size]
across = 60
deep = 400
reach = "across + 10"
[rack.board3]
material = "acp-3-0.3"
sheets = [{ size = [1220, 2440] }]
[part.foot]
kind = "plate"
from = "board3"
diameter = "reach"
count = 2
place = { at = [0, 0], step = [100, 0] }
[part.other]
mirror_of = "foot-1"
place = { at = [300, 0] }
[part.third]
mirror_of = "other"
place = { at = [400, 0] }
[part.body]
kind = "box"
from = "board3"
width = 300
depth = "deep"
height = 200
leave_open = ["front"]
[part.frame]
kind = "rib"
from = "board3"
of = "body"
station = 120
"""


@pytest.fixture(scope="module")
def feet(tmp_path_factory):
    path = tmp_path_factory.mktemp("feet") / "plan.toml"
    return Made(parse_plan(PLAN, str(path), {"acp-3-0.3": 3.0}))


def test_a_size_drives_copies_and_other_hands_however_far_they_are_from_its_formula(feet):
    assert driven_by(feet, PLAN, ["across"]) == ("foot-1", "foot-2", "other", "third")


def test_a_size_drives_the_ribs_of_the_shells_that_it_drives(feet):
    assert driven_by(feet, PLAN, ["deep"]) == ("body", "frame")


def test_another_hand_has_the_formulas_of_the_first(feet):
    assert named_by(feet.plan.parts["third"], PLAN)["diameter"] == {"reach"}
