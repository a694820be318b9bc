"""Half-way through a build: what is measured, marked and edited while parts lie on the bench."""

import json
import sys

import pytest

from foldwright.cli import main


@pytest.fixture
def told(monkeypatch, capsys):
    """Run a command in this process; gives its code, and what it said to either side."""

    def run(*words):
        monkeypatch.setattr(sys, "argv", ["foldwright", *map(str, words)])
        with pytest.raises(SystemExit) as left:
            main()
        return left.value.code, *capsys.readouterr()

    return run


def edit(folder, *changes):
    """Change the plan, each of these once."""
    text = (folder / "plan.toml").read_text()
    for old, new in changes:
        assert text.count(old) == 1
        text = text.replace(old, new)
    (folder / "plan.toml").write_text(text)


ROUND_BASE = (  # a corner at the slant, whose margins no meet can tell
    '{ at = ["pedestal_d + 40", 0], round = 30 }',
    '{ at = ["pedestal_d + 46", 0], round = 30 }',
)


def test_a_reading_is_kept_and_said_to_be_when_a_meet_cannot_be_told(lamp, told):
    """The reading is in the ledger: a refusal would have it typed once more."""
    edit(lamp, ROUND_BASE)
    code, out, _ = told("measure", lamp, "vent.height", "60.5")

    assert code == 0
    assert out.startswith("Kept. vent came out")
    assert "cannot be told yet" in out and "base is no upright rectangle" in out

    code, out, _ = told("measure", lamp, "vent.height", "60.4", "--json")
    body = json.loads(out)

    assert code == 0
    assert body["in_danger"] == [] and "base is no upright rectangle" in body["untold"]


def test_a_reading_tells_of_the_meets_it_bears_on(lamp, told):
    """A meet that was in danger before is named, no more."""
    told("measure", lamp, "pedestal.depth", "424.5")
    _, out, _ = told("measure", lamp, "lamp.girth", "694.5")
    here, _, others = out.partition("In danger without it:")

    assert "lamp_cap into lamp:" in here and "expected" in here
    assert "pedestal into lid" not in here
    assert "pedestal into lid" in others


def test_a_reading_of_a_part_alone_asks_for_the_dim(lamp, told):
    code, _, err = told("measure", lamp, "lamp", "694.5")

    assert code == 2
    assert "Write both, like lamp.girth" in err


def test_a_bore_by_caliper_is_said_to_the_hundredth(lamp, told):
    _, out, _ = told("measure", lamp, "leg-1.bore", "26.04", "--with", "caliper")

    assert "0.04 mm large on the bore: 26.04 mm by caliper, 26.00 mm as drawn" in out
