"""The demo as a real build of many parts, and what is written for it."""

import json
import math
import shutil
from itertools import pairwise
from pathlib import Path

import ezdxf
import jsonschema
import pytest

from foldwright.flat import schema
from foldwright.make import make, open_build
from foldwright.plan.parts import KINDS
from foldwright.shape import frames
from oracle.refolder import judge
from story.command import foldwright

EXAMPLE = Path(__file__).parents[2] / "examples" / "harbour-signal-lamp"


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    folder = tmp_path_factory.mktemp("lamp")
    shutil.copy(EXAMPLE / "plan.toml", folder)
    plan, ledger = open_build(folder)
    with ledger:
        return make(plan, ledger)


@pytest.fixture(scope="module")
def drawn(tmp_path_factory):
    """The whole build, drawn by the command."""
    folder = tmp_path_factory.mktemp("drawn")
    shutil.copy(EXAMPLE / "plan.toml", folder)
    answer = foldwright("make", folder, "--seconds", "1")

    assert answer.code == 0, answer.err
    return folder / "out"


def folds_of(made, part):
    return [fold for piece in made.pattern(part).pieces if not piece.role for fold in piece.folds]


def test_the_demo_has_twenty_parts_and_every_kind(made):
    assert len(made.parts) >= 20
    assert {part.kind for part in made.parts.values()} == set(KINDS)


def test_one_part_has_nine_faces_and_no_two_folds_alike(made):
    turns = sorted(math.degrees(fold.turn) for fold in folds_of(made, "console"))
    panels = [p for piece in made.pattern("console").pieces for p in piece.panels]

    assert len(panels) >= 9
    assert all(b - a > 0.3 for a, b in pairwise(turns))


def test_one_fold_is_re_entrant_and_two_boards_are_used(made):
    assert any(fold.turn < 0.0 for fold in folds_of(made, "pedestal"))
    assert len({piece.stock for piece in made.pieces}) >= 2
    assert len({piece.stock for piece in made.pattern("vent").pieces}) == 2
    assert sum(bool(part.finish) for part in made.parts.values()) > 5
    assert any(len(sheet.outline) > 4 for sheet in made.plan.stocks["board3"].sheets)


def test_the_handed_pair_is_a_pair(made):
    left, right = made.bodies["left_cheek"], made.bodies["right_cheek"]

    assert left.area == pytest.approx(right.area, rel=1e-12)
    assert left != right


def test_the_horn_passes_through_the_sloping_face(made):
    (opening,) = made.openings["pedestal"]
    (piece, *_) = made.pattern("pedestal").pieces

    assert opening.face == "slope"
    assert any("horn" in cutout.why for cutout in piece.cutouts)
    # A cylinder of d through a plane that leans by a: the ellipse is d by d / cos a, finished
    # 1 mm larger all round, and the board's thickness adds t tan a along the slope.
    along = frames(made.plan)["pedestal"][:3, :3]
    assert along.shape == (3, 3)
    lean = math.atan2(90.0, 160.0)
    bare_d = 90.0
    xs, ys = zip(*((s.to[0], s.to[1]) for s in opening.path), strict=True)
    spans = sorted((max(xs) - min(xs), max(ys) - min(ys)))
    assert spans[0] == pytest.approx(bare_d + 2.0 * (1.0 + 0.14), abs=0.05)
    assert spans[1] > bare_d / math.cos(lean) + 3.0 * math.tan(lean)


def test_every_pattern_of_the_demo_refolds_by_a_second_refolder(drawn):
    document = json.loads((drawn / "patterns.json").read_text())
    jsonschema.validate(document, schema())
    verdict = judge(document)

    assert verdict.deviation < 1e-6, verdict.worst


def test_everything_that_the_book_promises_is_written(drawn):
    names = {str(p.relative_to(drawn)) for p in drawn.rglob("*") if p.is_file()}

    assert {
        "patterns.json",
        "templates-a4.pdf",
        "marking-out-a4.pdf",
        "gauges-a4.pdf",
        "layouts-a4.pdf",
        "build-book.pdf",
        "build.glb",
    } <= names
    assert names == set(json.loads((drawn / "manifest.json").read_text())["files"]) | {
        "manifest.json"
    }


def test_every_dxf_passes_the_audit(drawn):
    files = sorted(drawn.rglob("*.dxf"))

    assert len(files) > 20
    for file in files:
        document = ezdxf.readfile(file)
        audit = document.audit()

        assert not audit.errors and not audit.fixes
        assert document.header["$INSUNITS"] == 4


def test_every_blank_lies_on_a_sheet(made):
    layouts = made.layouts(1.0)
    placed = [
        spot.piece for plan in layouts.sheets.values() for s in plan.sheets for spot in s.spots
    ]
    left = [one for plan in layouts.sheets.values() for one in plan.left_out]

    assert not left
    assert sorted(placed) == sorted(piece.id for piece in made.pieces)
    assert sorted(i for plan in layouts.bars.values() for b in plan.bars for i in b.ids) == sorted(
        cut.id for cut in made.lengths
    )


def test_one_part_can_be_drawn_by_itself(lamp):
    answer = foldwright("make", lamp, "--part", "vent", "--json")
    names = answer.json()["files"]

    assert answer.code == 0
    assert names and all(name.startswith("parts/vent/") for name in names)
    document = json.loads((lamp / "out" / "parts" / "vent" / "patterns.json").read_text())
    assert {piece["part"] for piece in document["pieces"]} == {"vent"}
    assert not (lamp / "out" / "patterns.json").exists()


def test_a_part_that_is_not_there_is_asked_back(lamp):
    answer = foldwright("make", lamp, "--part", "vnet")

    assert answer.code == 2
    assert "vent" in answer.err
    assert not (lamp / "out").exists()


def test_another_paper_and_a_measured_printer(lamp):
    assert foldwright("printer", lamp, "99.2", "100.4").code == 0
    answer = foldwright("make", lamp, "--part", "vent", "--paper", "letter", "--json")

    assert answer.code == 0
    assert any(name.endswith("templates-letter.pdf") for name in answer.json()["files"])
    assert json.loads((lamp.parent / "maker.json").read_text())["printer"] == {
        "across": 99.2,
        "up": 100.4,
    }


@pytest.mark.parametrize("words", [("80", "100"), ("100", "x"), ("0", "0")])
def test_a_printer_that_far_off_is_not_corrected(lamp, words):
    answer = foldwright("printer", lamp, *words)

    assert answer.code == 2
    assert not (lamp.parent / "maker.json").exists()


def test_a_paper_that_is_not_known_is_asked_back(lamp):
    answer = foldwright("make", lamp, "--paper", "a5")

    assert answer.code == 2
    assert "a4" in answer.err


def test_quick_draws_no_paper(lamp):
    answer = foldwright("make", lamp, "--quick", "--json")
    names = answer.json()["files"]

    assert answer.code == 0
    assert "patterns.json" in names
    assert not any(name.endswith(".pdf") for name in names)


def plan_of(folder, text):
    folder.mkdir(exist_ok=True)
    (folder / "plan.toml").write_text(text)
    return folder


RACK = """
[build]
name = "Trial"
[rack.b3]
material = "acp-3-0.3"
sheets = [{ size = [1220, 2440] }]
[rack.tube]
material = "al-5005-H24"
tube_d = 30
wall = 2
lengths = [{ length = 2000 }]
"""


def test_what_the_rack_is_too_small_for_is_said_at_once(tmp_path):
    text = """
[part.hall]
kind = "box"
from = "b3"
width = 8000
depth = 4000
height = 500
[part.mast]
kind = "tube"
from = "tube"
length = 3000
"""
    folder = plan_of(tmp_path / "big", RACK + text)
    said = foldwright("check", folder)

    assert said.code == 0
    assert "the rack is too small for 2 of them" in said.out
    assert "mast-1 cannot be cut: it needs 3000.0 mm" in said.out
    assert foldwright("make", folder, "--seconds", "0.5").code == 0


def test_a_sheet_smaller_than_its_trim_is_no_sheet(tmp_path):
    text = '[part.a]\nkind = "box"\nfrom = "b3"\nwidth = 100\ndepth = 90\nheight = 40\n'
    folder = plan_of(tmp_path / "small", RACK.replace("[1220, 2440]", "[8, 8]") + text)
    said = foldwright("check", folder)

    assert said.code == 0
    assert not said.err
    assert "a-1 cannot be cut" in said.out


def test_a_web_that_leaves_a_skin_uncut_is_refused(tmp_path):
    text = '[part.a]\nkind = "box"\nfrom = "b3"\nwidth = 100\ndepth = 90\nheight = 40\n'
    folder = plan_of(tmp_path / "web", RACK + text + "fold = { web = 2.8 }\n")
    said = foldwright("check", folder)

    assert said.code == 2
    assert "Leave between 0.3 and 2.7 mm" in said.err
