"""The run of reference cases: our own copy holds, and the runner sees a miss."""

import sys
from pathlib import Path

import pytest

from foldwright.reference import runner

CASES = Path(__file__).parent / "cases"
CASE = {
    "id": "one",
    "topic": "bending",
    "model": "bend_k",
    "atol": 0.01,
    "given": {
        "thickness_mm": 2.0,
        "inside_radius_mm": 2.0,
        "bend_angle_deg": 90.0,
        "k_factor": 0.5,
    },
    "expect": [{"name": "bend_allowance", "value": 4.712}],
}


def test_our_own_cases_hold():
    outcomes = runner.run(CASES)

    assert len(outcomes) > 150
    assert [o for o in outcomes if o.state != runner.HOLDS] == []


def test_a_case_within_its_tolerance_holds():
    """(pi/2) (2 + 0.5 x 2) = 4.7124."""
    assert runner.check(CASE).state == runner.HOLDS


@pytest.mark.parametrize(
    ("change", "state", "words"),
    [
        ({"expect": [{"name": "bend_allowance", "value": 4.8}]}, runner.MISSES, "expected 4.8"),
        ({"expect": [{"name": "sheen", "value": 4.8}]}, runner.NOT_COVERED, "sheen"),
        ({"model": "bend_by_ear"}, runner.NOT_COVERED, "bend_by_ear"),
        ({"given": {}}, runner.REFUSED, "KeyError"),
        ({"expect": [{"name": "bend_allowance", "value": [4.7]}]}, runner.REFUSED, ""),
    ],
)
def test_anything_else_is_told_apart(change, state, words):
    outcome = runner.check({**CASE, **change})

    assert outcome.state == state
    assert words in outcome.detail


def test_a_tolerance_of_its_own_takes_the_place_of_the_cases():
    tight = {"name": "bend_allowance", "value": 4.712, "atol": 1e-6}

    assert runner.check({**CASE, "expect": [tight]}).state == runner.MISSES


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("[[case]]\nid='a'\ntopic='x'\nmodel='y'\nexpect=[]\n", 0),
        ("[[case]]\nid='a'\n", 1),
        ("nonsense", 1),
        ("", 2),
    ],
)
def test_the_exit_code_tells(tmp_path, monkeypatch, capsys, text, code):
    (tmp_path / "some.toml").write_text(text)
    monkeypatch.setattr(sys, "argv", ["foldwright-check-reference", str(tmp_path)])

    with pytest.raises(SystemExit) as left:
        runner.main()

    assert left.value.code == code
    assert capsys.readouterr().out or code == 2


def test_a_folder_that_is_none_is_said(monkeypatch, capsys):
    monkeypatch.setattr(sys, "argv", ["foldwright-check-reference", "/no/such/place"])

    with pytest.raises(SystemExit):
        runner.main()

    assert "no folder" in capsys.readouterr().err
