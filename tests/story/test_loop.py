"""The whole loop: plan, patterns, paper, a reading, a refit, patterns again."""

import json

import jsonschema
import pytest

from foldwright.flat import schema
from story.command import foldwright


def piece(folder, name):
    """One piece of the patterns that were drawn."""
    data = json.loads((folder / "out" / "patterns.json").read_text())
    jsonschema.validate(data, schema())
    return next(p for p in data["pieces"] if p["part"] == name)


def test_the_demo_can_be_made(lamp):
    """Every part has a proved pattern, every meet holds well."""
    report = foldwright("check", lamp, "--json").json()

    assert len(report["parts"]) == 26
    assert all(part["largest_deviation_mm"] < 1e-6 for part in report["parts"])
    for meet in report["meets"]:
        assert meet["chance"] > 0.4  # a tube's bore is not known before it is measured
        assert all(c["low"] <= c["expected"] <= c["high"] for c in meet["clearances"])


def test_a_reading_of_the_drum_redraws_its_cap(lamp):
    """The lamp comes out large on the girth; only its cap changes, by girth, and is redrawn."""
    assert foldwright("make", lamp, "--quick").code == 0
    before = piece(lamp, "lamp_cap")
    said = foldwright("measure", lamp, "lamp.girth", "694.5", "--with", "tape")

    assert said.code == 0
    assert "In danger" in said.out and "lamp_cap" in said.out

    shown = foldwright("refit", lamp, "--json").json()
    (change,) = shown["changes"]

    assert (change["part"], change["parameter"]) == ("lamp_cap", "outside_d")
    # The drum reads 694.5 less pi * 0.15 of tape, so its diameter is 694.03/pi = 220.92
    # bare: 1.2 more than the 219.72 drawn. The cap follows it, less what this maker is
    # now believed to curl large: of one reading, less than half of its miss.
    assert 0.6 < change["after"] - change["before"] < 1.2
    assert any("large on the girth" in sentence for sentence in change["why"])
    assert any("You curl" in sentence for sentence in change["why"])
    assert shown["revision"] is None

    kept = foldwright("refit", lamp, "--keep", "--json").json()
    assert kept["revision"] == 1
    chance = {m["meet"]: (m["chance_before"], m["chance"]) for m in kept["meets"]}
    name = next(n for n in chance if "lamp_cap" in n and "lamp" in n and "into" in n)
    assert chance[name][0] < 0.5 < chance[name][1]

    assert foldwright("make", lamp, "--quick").code == 0
    after = piece(lamp, "lamp_cap")
    assert after["revision"] == 1
    longer = after["outline"][2]["to"][0] - before["outline"][2]["to"][0]
    assert longer == pytest.approx(3.14159 * (change["after"] - change["before"]), abs=1e-3)
    assert piece(lamp, "pedestal")["revision"] == 0
    assert foldwright("refit", lamp, "--json").json()["changes"] == []


def test_a_reading_of_the_pedestal_redraws_the_lid(lamp):
    """A wide pedestal needs a deeper lid; the lid's fold lines move, nothing else does."""
    foldwright("make", lamp, "--quick")
    foldwright("measure", lamp, "pedestal.depth", "422.4", "--with", "rule")
    shown = foldwright("refit", lamp, "--json").json()
    changed = {(c["part"], c["parameter"]): c["after"] - c["before"] for c in shown["changes"]}

    assert ("lid", "depth") in changed
    # less what this maker is now believed to fold long
    assert 1.34 < changed[("lid", "depth")] < 422.4 - 419.72
    assert not any(part == "lamp_cap" for part, _ in changed)


def test_a_reading_as_drawn_changes_nothing(lamp):
    """A part that suits is left alone."""
    drawn = foldwright("measure", lamp, "lamp.girth", "690.8", "--with", "tape", "--json").json()
    assert drawn["in_danger"] == []

    assert "no part changes" in foldwright("refit", lamp).out


def test_each_revision_of_a_pattern_is_kept(lamp):
    """The drawing of revision 0 stays beside that of revision 1."""
    foldwright("make", lamp, "--quick")
    foldwright("measure", lamp, "lamp.girth", "694.5", "--with", "tape")
    foldwright("refit", lamp, "--keep")
    foldwright("make", lamp, "--quick")
    names = {path.name for path in (lamp / "out").rglob("*") if path.is_file()}

    assert {"patterns-r0.json", "patterns-r1.json"} <= names
    assert {"lamp_cap-1-r0.svg", "lamp_cap-1-r1.svg"} <= names


def test_a_plan_edit_after_a_refit_is_said(lamp):
    """The refit still holds; the maker hears of it."""
    foldwright("measure", lamp, "lamp.girth", "694.5", "--with", "tape")
    foldwright("refit", lamp, "--keep")
    plan = lamp / "plan.toml"
    plan.write_text(plan.read_text().replace("2*thickness - 1.5", "2*thickness - 2"))

    assert "when the refit was kept" in foldwright("check", lamp).out


def test_a_renamed_part_keeps_its_readings(lamp):
    """was = "lamp" lets the readings follow."""
    foldwright("measure", lamp, "lamp.girth", "694.5", "--with", "tape")
    plan = lamp / "plan.toml"
    text = plan.read_text().replace("[part.lamp]", '[part.barrel]\nwas = "lamp"')
    text = text.replace('"lamp.top"', '"barrel.top"').replace('outer = "lamp"', 'outer = "barrel"')
    plan.write_text(text)
    shown = foldwright("refit", lamp, "--json").json()

    assert [c["part"] for c in shown["changes"]] == ["lamp_cap"]
    assert "barrel came out 3.7 mm large on the girth" in foldwright("refit", lamp).out


def test_start_draws_one_folded_part(tmp_path):
    """With options it asks nothing; the plan it writes reads clean."""
    folder = tmp_path / "first"
    done = foldwright(
        "start", folder, "--outline", "0,0 300,0 300,200 0,120", "--depth", "250",
        "--board", "acp-3-0.3", "--open", "side-1",
    )  # fmt: skip

    assert done.code == 0, done.err
    assert (folder / "out" / "templates-a4.pdf").read_bytes().startswith(b"%PDF")
    assert foldwright("check", folder).code == 0


def test_start_asks_when_told_nothing(tmp_path):
    """Four answers, inches welcome."""
    folder = tmp_path / "asked"
    typed = "0,0 12in,0 12in,8in 0,5in\n10 in\nacp-3-0.3\nside-1\n"
    done = foldwright("start", folder, typed=typed)

    assert done.code == 0, done.err
    data = json.loads((folder / "out" / "patterns.json").read_text())
    assert data["pieces"][0]["folds"]


def test_start_never_writes_over_a_plan(lamp):
    """A plan that is there is the maker's."""
    before = (lamp / "plan.toml").read_text()
    done = foldwright(
        "start", lamp, "--outline", "0,0 300,0 300,200", "--depth", "250", "--board", "acp-3-0.3"
    )

    assert done.code == 2
    assert "is there already" in done.err
    assert (lamp / "plan.toml").read_text() == before


def test_a_reading_at_odds_with_the_others_is_asked_back(lamp):
    """Girth and diameter that disagree by 2 mm; --instead takes the first one back."""
    assert foldwright("measure", lamp, "lamp.girth", "694.5", "--with", "tape").code == 0
    odd = foldwright("measure", lamp, "lamp.outside_d", "218.0", "--with", "caliper")

    assert odd.code == 2
    assert "does not agree" in odd.err
    assert foldwright("measure", lamp, "lamp.girth", "690.8", "--instead").code == 0
    assert "no part changes" in foldwright("refit", lamp).out


def test_reasons_name_only_the_readings_that_bear_on_a_change(lamp):
    """The pedestal's height has nothing to do with the lid's depth."""
    foldwright("measure", lamp, "pedestal.height", "262")
    foldwright("measure", lamp, "pedestal.depth", "422.4")
    changes = foldwright("refit", lamp, "--json").json()["changes"]
    (change,) = (c for c in changes if not c["part"].startswith("rib"))  # ribs follow the height

    assert any("on the depth" in sentence for sentence in change["why"])
    assert not any("on the height" in sentence for sentence in change["why"])


def test_a_part_that_left_the_plan_is_asked_after(lamp):
    """Its readings would be lost without a word."""
    foldwright("measure", lamp, "lamp.girth", "694.5", "--with", "tape")
    plan = lamp / "plan.toml"
    text = plan.read_text().replace("[part.lamp]", "[part.barrel]")
    plan.write_text(text.replace('"lamp.top"', '"barrel.top"').replace('"lamp"', '"barrel"'))

    assert 'was = "lamp"' in foldwright("check", lamp).out
