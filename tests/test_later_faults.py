"""What cannot be made is said on the line that says it, and once."""

import pytest

from foldwright.errors import PlanFaults
from foldwright.make import make, open_build

PLAN = """
[build]
name = "Stand"

[rack.board3]
material = "acp-3-0.3"
sheets = [{ size = [1220, 2440] }]

[rack.board2]
material = "acp-2-0.2"
sheets = [{ size = [1220, 2440] }]

[part.post]
kind = "tube"
from = "pipe"
length = 300

[rack.pipe]
material = "al-5005-H24"
tube_d = 30
wall = 2
lengths = [{ length = 1000 }]
"""
CHEEK = """
[part.cheek]
kind = "box"
from = "board3"
width = 120
depth = 90
height = 60
holes = [
  { on = "front", at = [30, 30], d = 8 },
  { on = "front", at = [600, 30], d = 8 },
]
"""
COUNTED = """count = 3
place = [{ at = [0, 0] }, { at = [0, 200] }, { at = [0, 400] }]
"""


def faults_of(folder, text):
    (folder / "plan.toml").write_text(PLAN + text)
    plan, ledger = open_build(folder)
    with ledger, pytest.raises(PlanFaults) as told:
        make(plan, ledger).require()
    return told.value.faults


def line_of(text, words):
    return next(i for i, row in enumerate((PLAN + text).splitlines(), 1) if words in row)


def test_a_hole_off_its_face_is_told_on_its_own_line(tmp_path):
    (fault,) = faults_of(tmp_path, CHEEK)

    assert fault.line == line_of(CHEEK, "[600, 30]")
    assert "front" in fault.problem


def test_an_opening_that_nothing_passes_is_told_on_its_own_line(tmp_path):
    text = """
[part.top]
kind = "plate"
from = "board3"
outline = [[0, 0], [200, 0], [200, 100], [0, 100]]
openings = [{ on = "top", through = "post" }]
"""
    text += '[part.lamp]\nkind = "box"\nfrom = "board3"\nwidth = 60\ndepth = 60\nheight = 60\n'
    (fault,) = faults_of(tmp_path, text.replace("post", "lamp") + "place = { at = [900, 900] }\n")

    assert fault.line == line_of(text, "openings")


@pytest.mark.parametrize("count", ["", COUNTED])
def test_what_is_wrong_with_copies_and_with_the_other_hand_is_said_once(tmp_path, count):
    """For the part as it is written, where it is written."""
    original = "cheek-1" if count else "cheek"
    text = f'{CHEEK}{count}\n[part.other]\nmirror_of = "{original}"\n'
    (fault,) = faults_of(tmp_path, text)

    assert fault.line == line_of(text, "[600, 30]")
    assert f" of {original} " in fault.problem


def test_what_is_wrong_with_the_other_hand_alone_is_said_of_it(tmp_path):
    """Its own board is too thin for the web that its other hand can have."""
    text = CHEEK.replace('  { on = "front", at = [600, 30], d = 8 },\n', "")
    text += 'fold = { web = 1.9 }\n\n[part.other]\nmirror_of = "cheek"\nfrom = "board2"\n'
    (fault,) = faults_of(tmp_path, text)

    assert "other" in fault.problem
    assert fault.line == line_of(text, "fold = ")
