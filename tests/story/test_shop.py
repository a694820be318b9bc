"""What the maker tells of strips, curls and stages, and what follows from it."""

import json
import re

import pytest

from foldwright.make import make, open_build
from story.command import foldwright


def outline_of(folder, name):
    data = json.loads((folder / "out" / "patterns.json").read_text())
    return next(p for p in data["pieces"] if p["part"] == name)["outline"]


def reach(outline):
    """Larger side of the rectangle about an outline."""
    xs, ys = zip(*(step["to"] for step in outline), strict=True)
    return max(max(xs) - min(xs), max(ys) - min(ys))


def test_a_folded_strip_moves_the_fold_lines(lamp):
    """Legs of 50.7 and 50.7 from 100 deduct 1.40 at a fold, where tables have 1.02.

    With floor 2.5, web 0.8 and a right angle, 2 (2.5 2/pi + 0.8 (1 - k)) - 2.5 = 1.40 at
    k = 0.55; the lid has two folds across.
    """
    assert foldwright("make", lamp, "--quick").code == 0
    before = reach(outline_of(lamp, "lid"))
    said = foldwright(
        "strip", lamp, "board3", "100", "50.7", "50.7", "--web", "0.8", "--floor", "2.5", "--json"
    ).json()

    assert said["board"].startswith("acp-3-0.3")
    assert said["k"] == pytest.approx(0.552, abs=0.002)

    assert foldwright("make", lamp, "--quick").code == 0
    after = reach(outline_of(lamp, "lid"))
    assert before - after == pytest.approx(2.0 * (1.40 - 1.02), abs=0.02)

    assert "forgotten" in foldwright("strip", lamp, "board3", "--forget").out
    assert foldwright("make", lamp, "--quick").code == 0
    assert reach(outline_of(lamp, "lid")) == pytest.approx(before, abs=1e-9)


def test_a_strip_that_cannot_be_is_refused(lamp):
    said = foldwright("strip", lamp, "board3", "100", "50.5")

    assert said.code != 0
    assert said.err


def test_a_test_curl_changes_how_a_drum_is_curled(lamp):
    """The curl of this very board sprang further than tables say."""
    said = foldwright("curl", lamp, "board2", "114", "140", "--json").json()

    assert said["board"].startswith("acp-2-0.2")
    assert said["factor"] > 1.0
    assert said["spread"] < 0.1

    again = foldwright("curl", lamp, "board2", "114", "131", "--json").json()
    assert again["factor"] < said["factor"]
    assert "forgotten" in foldwright("curl", lamp, "board2", "--forget").out


def test_an_unknown_board_is_named_with_those_that_there_are(lamp):
    said = foldwright("curl", lamp, "tube30", "114", "140")

    assert said.code != 0
    assert "board2" in said.err and "board3" in said.err


def test_stages_and_scrap_are_written_down_and_taken_back(lamp):
    assert foldwright("mark", lamp, "lamp", "cut").out == "lamp is cut.\n"
    assert foldwright("measure", lamp, "lamp.girth", "690.9", "--with", "tape").code == 0
    assert "lamp is scrap" in foldwright("scrap", lamp, "lamp", "--note", "dented").out

    back = foldwright("undo", lamp)
    assert back.code == 0
    assert back.out.startswith("Taken back: ")
    assert "scrap" in back.out.lower()


def test_a_stage_that_there_is_not_is_refused(lamp):
    said = foldwright("mark", lamp, "lamp", "baked")

    assert said.code != 0
    assert "Did you mean marked or planned?" in said.err


def test_readings_go_out_and_come_in_again(lamp, tmp_path):
    """All of a ledger goes into another, and nothing goes in twice."""
    foldwright("measure", lamp, "lamp.girth", "690.9", "--with", "tape")
    foldwright("mark", lamp, "lid", "cut")
    lines, table = tmp_path / "all.jsonl", tmp_path / "readings.csv"

    assert foldwright("export", lamp, lines, "--json").json()["count"] == 2
    assert foldwright("export", lamp, table, "--json").json()["count"] == 1

    other = tmp_path / "other"
    other.mkdir()
    (other / "plan.toml").write_bytes((lamp / "plan.toml").read_bytes())
    assert foldwright("import", other, lines, "--json").json()["added"] == 2
    found = foldwright("import", other, lines, "--json").json()
    assert (found["added"], found["already"]) == (0, 2)

    assert foldwright("export", lamp, tmp_path / "readings.txt").code != 0


def test_a_sum_at_the_bench_agrees_with_the_route_sheet(lamp):
    """`reckon` and the plan ask the same mechanics: over 114 mm a 2 mm board springs alike."""
    lines = foldwright(
        "reckon", "former", "board=acp-2-0.2", "outside_d=219.72", "formers=114", "--json"
    ).json()
    plan, ledger = open_build(lamp)
    with ledger:
        forming = make(plan, ledger).forming("lamp")
    (stands,) = re.findall(r"stands near (\d+) mm", dict(forming.steps)["let go"])

    assert f"springs to {stands} mm" in json.dumps(lines)


def test_check_names_what_hands_cannot_hold_and_where_no_pipe_will_do(lamp):
    plan = (lamp / "plan.toml").read_text()
    plan = plan.replace("flange = 30", "flange = 12")
    plan = re.sub(r"\[rack\.pipe114\]\nformer_d = 114", "[rack.pipe114]\nformer_d = 320", plan)
    (lamp / "plan.toml").write_text(plan)
    report = foldwright("check", lamp, "--json").json()
    warned = {part["part"]: part["warnings"] for part in report["parts"] if part["warnings"]}
    shown = foldwright("check", lamp).out

    assert any("a bar needs" in words for words in warned["cleat"])
    assert "lamp" in warned
    for warnings in warned.values():
        for words in warnings:
            assert shown.count(words) >= 1
