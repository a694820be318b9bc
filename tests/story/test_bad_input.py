"""Bad input: a clear message that says what to change, exit code 2, nothing half-written."""

import json
import sqlite3

import pytest

from story.command import foldwright


def files(folder):
    """Every file with its content."""
    return {p: p.read_bytes() for p in folder.rglob("*") if p.is_file()}


def edited(folder, old, new):
    """Change the plan of a build."""
    plan = folder / "plan.toml"
    assert old in plan.read_text()
    plan.write_text(plan.read_text().replace(old, new, 1))


CASES = {
    "unknown stock": ('from = "board3"', 'from = "bord3"', "board3"),
    "unknown material": ('"acp-3-0.3"', '"acp-9-0.3"', "acp-3-0.3"),
    "formula loop": (
        "pedestal_d = { plan = 420,",
        'zz = { plan = "yy" }\nyy = { plan = "zz" }\npedestal_d = { plan = 420,',
        "zz -> ",
    ),
    "outline that crosses itself": (
        '["pedestal_w", 0], ["pedestal_w", "pedestal_h"]',
        '["pedestal_w", "pedestal_h"], ["pedestal_w", 0]',
        "cross",
    ),
    "negative size": ("lamp_d     = { plan = 220", "lamp_d     = { plan = -220", "-220"),
    "a syntax fault": ("[part.lid]", "[part.lid", "plan.toml:"),
    "a web thinner than the skin": ("web = 0.8", "web = 0.1", "Leave between"),
}


@pytest.mark.parametrize("case", CASES, ids=str)
def test_a_faulty_plan_is_refused_in_words(lamp, case):
    """Message, exit code 2, and not one file changed or added."""
    old, new, helpful = CASES[case]
    edited(lamp, old, new)
    before = files(lamp)
    done = foldwright("make", lamp, "--quick")

    assert done.code == 2
    assert helpful in done.err
    assert files(lamp) == before


SHARP = """
[build]
name = "Wedge"
[rack.board3]
material = "acp-3-0.3"
[cutter.v90]
angle_deg = 90
floor = 2
widest = 2
[part.wedge]
kind = "profile"
from = "board3"
outline = [[0, 0], [400, 0], [0, 70]]
depth = 200
leave_open = ["front", "back"]
"""


def test_a_fold_sharper_than_any_set_up_is_refused_with_the_way_out(tmp_path):
    """It cannot be folded, but it can be cut apart and seamed."""
    (tmp_path / "plan.toml").write_text(SHARP)
    done = foldwright("make", tmp_path, "--quick")

    assert done.code == 2
    assert "seam" in done.err and "plan.toml:10" in done.err
    assert not (tmp_path / "out").exists()


def test_every_fault_is_reported_at_once(lamp):
    """Three mistakes, three places with line numbers."""
    edited(lamp, 'from = "board3"', 'from = "bord3"')
    edited(lamp, 'place = { on = "base.top"', 'place = { on = "bas.top"')
    edited(lamp, 'former = "pipe114"', 'former = "pipe411"')
    done = foldwright("check", lamp, "--json")
    faults = done.json()["error"]["faults"]

    assert len(faults) >= 3
    assert all(fault["line"] > 0 for fault in faults)


@pytest.mark.parametrize("junk", [b"\x00\xff" * 5_000_000, b"x = [" * 2_000_000, b"", b"\xff\xfe"])
def test_junk_for_a_plan(lamp, junk):
    """Ten megabytes of anything are refused quickly."""
    (lamp / "plan.toml").write_bytes(junk)
    done = foldwright("make", lamp, "--quick")

    assert done.code == 2
    assert "plan.toml" in done.err


def test_no_plan_at_all(tmp_path):
    """Says where it looked."""
    done = foldwright("check", tmp_path / "nothing")

    assert done.code == 2
    assert "plan.toml" in done.err


@pytest.mark.parametrize(
    ("name", "offered"), [("lamp.girt", "girth"), ("lmp.girth", "lamp"), ("girth", "part")]
)
def test_a_reading_of_nothing_offers_the_nearest_names(lamp, name, offered):
    """And keeps nothing."""
    done = foldwright("measure", lamp, name, "694.5")

    assert done.code == 2
    assert offered in done.err
    assert not (lamp / "ledger.sqlite").exists()


@pytest.mark.parametrize("typed", ["6945", "69.45", "27.32"])
def test_a_slip_is_asked_back(lamp, typed):
    """Factor of ten either way; inches."""
    done = foldwright("measure", lamp, "lamp.girth", typed, "--with", "tape")

    assert done.code == 2
    assert "Did you mean 69" in done.err and "--sure" in done.err
    assert not (lamp / "ledger.sqlite").exists()


def test_a_slip_that_is_none_can_be_kept(lamp):
    """With --sure it is the maker's word."""
    assert foldwright("measure", lamp, "lamp.girth", "780", "--with", "tape").code == 2
    assert foldwright("measure", lamp, "lamp.girth", "780", "--with", "tape", "--sure").code == 0


@pytest.mark.parametrize("typed", ["wide", "691,2", "-4", "nan", "1e400", "0", ""])
def test_a_reading_that_is_no_length(lamp, typed):
    """Says how to type one."""
    done = foldwright("measure", lamp, "lamp.girth", "--", typed)

    assert done.code == 2
    assert not (lamp / "ledger.sqlite").exists()


def test_a_file_of_the_makers_is_never_replaced(lamp):
    """A patterns.json that Foldwright did not write stays."""
    out = lamp / "out"
    out.mkdir()
    (out / "patterns.json").write_text("my own notes")
    before = files(lamp)
    done = foldwright("make", lamp, "--quick")

    assert done.code == 2
    assert "was not written by Foldwright" in done.err
    assert files(lamp) == before


def test_a_damaged_ledger_is_said_and_left_alone(lamp):
    """Nothing is written over it."""
    (lamp / "ledger.sqlite").write_bytes(b"not a database at all, not even close" * 100)
    before = files(lamp)
    done = foldwright("measure", lamp, "lamp.girth", "691.0")

    assert done.code == 2
    assert files(lamp) == before


def test_a_ledger_from_a_newer_version_is_refused(lamp):
    """Its user_version is ahead of ours."""
    foldwright("measure", lamp, "lamp.girth", "691.0")
    with sqlite3.connect(lamp / "ledger.sqlite") as file:
        file.execute("PRAGMA user_version = 999")
    done = foldwright("check", lamp)

    assert done.code == 2
    assert "newer" in done.err


def test_errors_have_one_json_shape(lamp):
    """Kind and message, and nothing on the way to break a reader."""
    done = foldwright("measure", lamp, "lamp.girt", "694.5", "--json")
    body = json.loads(done.out)

    assert body["error"]["kind"] == "UnknownName"
    assert "girth" in body["error"]["message"]
