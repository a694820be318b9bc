"""What was learnt of the hand is shown, and can be taken back."""

import shutil
from pathlib import Path

import pytest

from story.command import foldwright

DEMO = Path(__file__).parents[2] / "examples" / "harbour-signal-lamp"


@pytest.fixture
def half_made(tmp_path):
    shutil.copy(DEMO / "plan.toml", tmp_path)
    assert foldwright("import", tmp_path, DEMO / "history.jsonl").code == 0
    return tmp_path


def learnt(build):
    found = foldwright("habits", build, "--json").json()
    return {h["process"]: h["bias"] for h in found["habits"] if h["stock"] is None}


def test_a_habit_is_forgotten_and_the_forgetting_taken_back(half_made):
    before = learnt(half_made)
    said = foldwright("habits", half_made, "--forget", "cut", "--note", "a new knife")
    after = learnt(half_made)

    assert before["cut"] != 0.0
    assert "What was learnt of cut is forgotten" in said.out
    assert after["cut"] == pytest.approx(0.0, abs=1e-9)
    assert after["file"] == pytest.approx(before["file"], abs=0.05)

    assert "a new knife" in foldwright("undo", half_made).out
    assert learnt(half_made) == pytest.approx(before)


def test_it_says_them_as_one_says_them(half_made):
    assert "You cut 0.1 mm long, seen 4 times over." in foldwright("habits", half_made).out


def test_a_process_that_nobody_uses_is_refused_with_the_nearest(half_made):
    said = foldwright("habits", half_made, "--forget", "cutt")

    assert said.code == 2
    assert "Did you mean cut?" in said.err


def test_nothing_is_known_before_the_first_reading(tmp_path):
    shutil.copy(DEMO / "plan.toml", tmp_path)

    assert "Nothing is known of your hand yet" in foldwright("habits", tmp_path).out
