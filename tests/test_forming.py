"""How parts are formed: curled over the rack's pipes, pressed into their tubes, folded, filled."""

import math
import re
import shutil
from dataclasses import replace
from pathlib import Path

import pytest

import round_parts
import zoo
from foldwright.build_book import book_of
from foldwright.draw import SheetInfo
from foldwright.errors import OutOfDomain
from foldwright.flat import pattern_of, section_of_fold
from foldwright.forming import form_drum, form_folded, form_hood, form_plug
from foldwright.forming_movement import backing_moves, meeting_moves
from foldwright.make import Layouts, make, open_build
from foldwright.plan import Feature, FoldWish, SeamWish, in_units
from foldwright.sheet import filling, gaps_of
from foldwright.shop import boards, choose_former, curl_lengths, plan_press_plug
from foldwright.shop.fold_checks import shutting_room
from foldwright.shop.grooves import SHUTTING_MARGIN
from foldwright.shop.springs import over_fold_spread

EXAMPLE = Path(__file__).parents[1] / "examples" / "harbour-signal-lamp"
THIN = boards()["acp-2-0.2"]
SHEET = boards()["al-5754-H22"].of_thickness(1.5)
ALU = boards()["al-5005-H24"]
PIPES = {"small": 114.0, "right": 178.0, "large": 186.0}


def names(forming):
    return [name for name, _ in forming.steps]


def words(forming, name):
    return dict(forming.steps)[name]


def folded(part, board=zoo.BOARD, **more):
    """Forming of a folded part."""
    pattern = pattern_of(part, board, zoo.CUTTERS, **more)
    return form_folded(pattern, {"board3": board})


# --- drums ---------------------------------------------------------------------


def drum(former=""):
    return replace(zoo.drum(220.0, 310.0), thickness=2.0, former=former)


def test_a_drum_takes_the_pipe_that_springs_to_it():
    found = form_drum(drum(), THIN, PIPES, None)

    assert "178 mm pipe" in words(found, "curl")
    assert names(found) == ["grip", "curl", "let go", "trim", "strip", "close", "round"]
    assert found.warnings == ()


def test_over_a_pipe_too_small_it_is_opened_again_and_the_better_pipe_is_named():
    found = form_drum(drum("small"), THIN, PIPES, None)

    assert "open" in names(found)
    (warning,) = found.warnings
    assert "Over small it has to be opened again; right would spring to" in warning


def test_over_a_pipe_too_large_it_is_tied():
    found = form_drum(drum("large"), THIN, PIPES, None)

    assert "straps" in words(found, "close")
    (warning,) = found.warnings
    assert "Over large it has to be tied shut; right" in warning


def test_without_a_pipe_it_says_which_to_find():
    found = form_drum(drum(), THIN, {}, None)
    choice = choose_former(THIN, 220.0, [])

    assert names(found) == ["curl"]
    assert found.spare == 0.0
    assert f"between {choice.buy_from:.0f} and {choice.buy_to:.0f} mm" in found.warnings[0]


def test_sheet_is_left_on_as_far_as_it_stays_flat():
    choice = choose_former(THIN, 220.0, list(PIPES.values()))
    lengths = curl_lengths(THIN, 220.0, 310.0, choice)

    assert form_drum(drum(), THIN, PIPES, None).spare == lengths.allowance > 0.0


def test_a_drum_tighter_than_its_board_takes_is_refused():
    with pytest.raises(OutOfDomain, match="mm"):
        form_drum(replace(zoo.drum(12.0, 100.0), thickness=2.0), THIN, PIPES, None)


# --- hoods ---------------------------------------------------------------------


def test_a_hood_is_measured_half_way_up():
    """A fan keeps its slant: curled tighter, its cone gets a sharper tip.

    Oracle: a cone of half angle a has, at a slant s, the radius s tan a square to
    its skin and s sin a straight across.
    """
    hood = round_parts.hood(226.0, 80.0, 70.0, thickness=2.0)
    found = form_hood(hood, THIN, {"pipe": 114.0}, None)
    lean = math.atan2(73.0, 70.0)
    slant = 76.5 / math.sin(lean)
    choice = choose_former(THIN, 2.0 * slant * math.tan(lean), [114.0])
    sharper = math.atan2(choice.free_d / 2.0, slant)

    assert f"stands near {2.0 * slant * math.sin(sharper):.0f} mm" in words(found, "let go")
    assert f"closes to {153:.0f} mm" in words(found, "open")
    assert f"reads {math.pi * 153.0:.1f} mm" in words(found, "round")


def test_a_hood_that_is_nearly_a_drum_is_curled_as_one():
    hood = round_parts.hood(220.002, 219.998, 310.0, thickness=2.0)
    found, like = form_hood(hood, THIN, PIPES, None), form_drum(drum(), THIN, PIPES, None)

    assert dict(found.steps)["let go"] == dict(like.steps)["let go"]
    assert found.spare == like.spare


# --- plugs ---------------------------------------------------------------------


def test_a_plug_is_filed_to_what_its_tube_asks_for():
    """Inside jaws read 0.02 low: 46.15 is 46.17."""
    plug, tube = round_parts.plug(), round_parts.tube()
    found = form_plug(plug, tube, (ALU, ALU), [46.12, 46.18, 46.15])
    plan = plan_press_plug((46.12, 46.18, 46.15), 2.0, 18.0, tube=ALU.face, plug=ALU.face)

    assert f"File it round to {plan.diameter:.2f} mm" in words(found, "plug 3")
    assert found.warnings == (
        f"The plan files it to 46.10 mm; the bore as measured, 46.17 mm, asks for "
        f"{plan.diameter:.2f} mm.",
    )


@pytest.mark.parametrize("off", [-0.02, 0.02])
def test_a_plug_that_suits_as_drawn_is_filed_as_drawn(off):
    """A refit asks a little else than the tube by itself; its sheet says one diameter only."""
    bores = [46.12, 46.18, 46.15]
    reckoned = plan_press_plug(bores, 2.0, 18.0, tube=ALU.face, plug=ALU.face)
    drawn = round(reckoned.diameter + off, 2)
    plug = replace(round_parts.plug(), diameter=zoo.length(f"{drawn}"))
    found = form_plug(plug, round_parts.tube(), (ALU, ALU), bores)
    over = drawn - reckoned.bore.diameter

    assert f"File it round to {drawn:.2f} mm, {over:.2f} mm over" in words(found, "plug 3")
    assert found.warnings == ()


def test_a_hole_of_a_tapping_drill_is_tapped():
    """ISO 2306:1972: 6.8 mm before M8."""
    plug = replace(round_parts.plug(), bolt_d=zoo.length("6.8"))
    found = form_plug(plug, round_parts.tube(), (ALU, ALU), ())

    assert names(found)[-1] == "tap"
    assert "tap its hole M8, right through 18.0 mm" in words(found, "tap")
    assert any("M8, 18.0 mm deep: an 8.8 bolt breaks before its thread" in r for r in found.remarks)


def test_a_shallow_thread_is_said_to_strip_first():
    plug = replace(
        round_parts.plug(), bolt_d=zoo.length("6.8"), length=zoo.length("8")
    )  # fmt: skip
    found = form_plug(plug, None, (ALU, ALU), ())

    assert any("the thread strips before" in remark for remark in found.remarks)


def test_a_hole_that_a_bolt_passes_is_not_tapped():
    """ISO 273:1979: 9.0 mm is the medium hole for M8; that M10x1 is drilled 9.0 is passed over."""
    plug = replace(round_parts.plug(), bolt_d=zoo.length("9"))

    assert "tap" not in names(form_plug(plug, round_parts.tube(), (ALU, ALU), ()))


def test_in_square_tube_a_plug_is_glued():
    found = form_plug(round_parts.plug(), round_parts.tube(square=True), (ALU, ALU), ())

    assert names(found) == ["file", "glue", "tap"]
    assert "File it round to 46.10 mm, and drill it 8.5 mm" in words(found, "file")


def test_a_plug_of_which_no_tube_is_known_is_filed_as_drawn():
    assert names(form_plug(round_parts.plug(), None, None, ())) == ["file", "plug", "tap"]


@pytest.fixture
def pressed(tmp_path):
    """The demo, its leg plugs pressed into its legs, and what was measured."""
    text = (EXAMPLE / "plan.toml").read_text()
    if "presses-into" not in text:
        text += '\n[[meet]]\nkind = "presses-into"\ninner = "leg_plug"\nouter = "leg"\n'
    (tmp_path / "plan.toml").write_text(text)
    plan, ledger = open_build(tmp_path)
    with ledger:
        yield plan, ledger


def test_a_meet_says_which_tube_a_plug_goes_into(pressed):
    plan, ledger = pressed

    drawn = make(plan, ledger).forming("leg_plug-2")
    assert "Reckoned with: 26.00 mm" in words(drawn, "plug 1")
    assert names(drawn)[-1] == "tap"

    # sawn long for the hammer: as the step says, so the cut list
    made = make(plan, ledger)
    assert "Saw the plug 24.0 mm long: 20.0 mm and 2.0 mm at each end" in words(drawn, "plug 2")
    assert [cut.length for cut in made.sawn("leg_plug-2")] == [pytest.approx(24.0)]
    assert [cut.length for cut in made.sawn("leg-2")] == [pytest.approx(120.0)]

    ledger.add_reading("leg-2", "bore", 26.14, tool="caliper", bare=True, drawn=26.0, sigma=0.05)
    assert "Reckoned with: 26.16 mm" in words(make(plan, ledger).forming("leg_plug-2"), "plug 1")


# --- folds ---------------------------------------------------------------------


def test_a_plain_box_needs_no_warning():
    assert folded(zoo.box()).warnings == ()


def test_a_short_flange_is_named_with_what_holds_it():
    """Under a 90 degree cutter 2.2 deep the groove's flank takes 2.2 of the inside face."""
    found = folded(zoo.box(height=20.0, leave_open=("bottom",)))

    (warning,) = found.warnings
    has = float(re.search(r"only ([\d.]+) mm is flat", warning)[1])
    assert 20.0 - 1.6 < has < 20.0
    assert "fingers need 27.2 mm. Clamp it under a bar, which needs 12.2 mm." in warning
    assert warning.startswith("Folds top to ")


def test_a_flange_too_short_for_a_bar_is_left_long():
    found = folded(zoo.box(height=10.0, leave_open=("bottom",)))

    (warning,) = found.warnings
    has = float(re.search(r"only ([\d.]+) mm is flat", warning)[1])
    assert f"Leave {12.2 - has:.1f} mm on for a bar to hold" in warning


def test_bent_sheet_is_held_under_a_bar():
    """Fingers bend no 1.5 mm sheet, so a flange is short only below a bar's 10 mm."""
    strip = replace(round_parts.angle(), thickness=1.5)
    short = replace(strip, flange=zoo.length("11"))

    assert folded(strip, SHEET).warnings == ()
    (warning,) = folded(short, SHEET).warnings
    assert "a bar needs 10.0 mm" in warning


def hole(d, x, y, face="top"):
    return Feature("hole", "eye", face, at=(zoo.length(x), zoo.length(y)), d=zoo.length(d))


@pytest.mark.parametrize(("off", "is_near"), [(10.2, True), (13.0, False)])
def test_a_hole_near_a_groove_is_to_move(off, is_near):
    """Least from the zone: 2.2 of flank and 3.0 of board; a 10 mm hole 10.2 off leaves less."""
    found = folded(zoo.box(features=(hole(10.0, 160.0 - off, 110.0),)))

    said = [w for w in found.warnings if "eye" in w.lower()]
    assert bool(said) is is_near
    if is_near:
        has, least, move = (
            float(x)
            for x in re.search(
                r"is ([\d.]+) mm from the fold .*, and ([\d.]+) mm is the least.* Move it "
                r"([\d.]+) mm away",
                said[0],
            ).groups()
        )
        assert least == 5.2
        assert move == pytest.approx(least - has, abs=0.051)
        assert 10.2 - 5.0 - 1.6 < has < 10.2 - 5.0


def test_a_hole_near_a_bend_is_drawn_oval():
    """Common practice, no source: two thicknesses from where the bend begins."""
    strip = replace(round_parts.angle(), thickness=1.5, features=(hole(6.0, 100.0, 21.0),))

    (warning,) = folded(strip, SHEET).warnings
    assert "3.0 mm is the least, or it is drawn oval" in warning


def test_a_facet_narrower_than_its_two_grooves_is_named():
    """Two turns of 45 degrees 5 mm apart: the mouths of two 90 degree grooves take 4.4."""
    corners = [(0, 0), (200, 0), (200, 120), (196.46, 123.54), (0, 123.54)]
    part = zoo.profile(corners, leave_open=("front", "back", "side_1", "side_5"))
    part = replace(part, fold=FoldWish(method="groove", web=0.8))

    pattern = pattern_of(part, zoo.BOARD, zoo.CUTTERS)
    setback = section_of_fold(pattern.pieces[0].folds[0], zoo.BOARD).setback
    (warning,) = [w for w in folded(part).warnings if w.startswith("Panel")]
    has = float(re.search(r"side 3 is ([\d.]+) mm wide", warning)[1])
    assert has == pytest.approx(5.0 - 2.0 * setback, abs=0.06)
    assert "take 4.4 mm: nothing is left of its inside skin" in warning
    assert f"make it {4.4 - has:.1f} mm wider" in warning


@pytest.mark.parametrize("degrees", range(60, 130, 5))
def test_a_cut_that_may_shut_early_is_named_and_a_wider_floor_keeps_open(degrees):
    """It is named exactly where less is left than a degree and one standard deviation."""
    strip = round_parts.angle(degrees, flange=zoo.length("60"), width=zoo.length("60"))
    pattern = pattern_of(strip, zoo.BOARD, zoo.CUTTERS)
    (fold,) = pattern.pieces[0].folds
    section = section_of_fold(fold, zoo.BOARD)
    doubt = over_fold_spread(zoo.BOARD, section.web, section.zone_width, section.turn)
    said = [w for w in folded(strip).warnings if "shuts" in w]

    assert bool(said) is (shutting_room(section) < SHUTTING_MARGIN + doubt)
    for warning in said:
        floor = float(re.search(r"A floor of ([\d.]+) mm is on the safe side", warning)[1])
        wish = FoldWish(method="groove", floor=floor, cutter=fold.cutter)
        assert not [w for w in folded(replace(strip, fold=wish)).warnings if "shuts" in w]


def test_a_skin_near_its_limit_is_said():
    wish = FoldWish(method="groove", web=0.8, floor=2.0, cutter=math.radians(120))
    strip = round_parts.angle(160.0, flange=zoo.length("60"), width=zoo.length("60"), fold=wish)
    pattern = pattern_of(strip, zoo.BOARD, zoo.CUTTERS)
    section = section_of_fold(pattern.pieces[0].folds[0], zoo.BOARD)
    share = section.strain / zoo.BOARD.face.bend_strain
    said = [r for r in folded(strip).remarks if "near what the skin takes" in r]

    assert bool(said) is (share > 0.8)


def test_kerfs_of_a_row_spring_back_together():
    wish = FoldWish(method="kerf", kerfs=6, pitch=9.0)
    part = zoo.profile(
        [(0, 0), (300, 0), (300, 300)], leave_open=("front", "back", "side_3"), fold=wish
    )
    saw = (replace(zoo.CUTTERS[0], name="saw", angle=0.0, floor=2.2),)
    pattern = pattern_of(part, zoo.BOARD, saw)
    folds = pattern.pieces[0].folds
    over = math.degrees(sum(fold.over_fold for fold in folds))
    found = form_folded(pattern, {"board3": zoo.BOARD})

    assert len(folds) == 6
    assert any(f"spring back by up to {over:.1f} degrees" in remark for remark in found.remarks)


# --- fillers -------------------------------------------------------------------


def test_butted_seams_are_filled_by_their_length():
    """Square edges at a right angle leave a V of t^2 = 9 mm2 along each seam."""
    part = zoo.box(100.0, 100.0, 100.0, leave_open=("bottom",), seam=SeamWish("butt"))
    pattern = pattern_of(part, zoo.BOARD, zoo.CUTTERS)
    (gap,) = [g for g in gaps_of(pattern, {"board3": zoo.BOARD}) if g.what == "butted seam"]
    seams = [s for piece in pattern.pieces for s in piece.seams]
    along = sum(math.dist(s.a, s.b) for s in seams) / 2.0

    assert along > 300.0
    assert gap.volume == pytest.approx(9.0 * along, rel=1e-9)
    assert sorted(gap.names) == sorted({s.letter for s in seams})


def test_a_board_that_runs_through_leaves_no_v():
    part = zoo.box(leave_open=("bottom",), seam=SeamWish("butt", over="front"))
    pattern = pattern_of(part, zoo.BOARD, zoo.CUTTERS)
    gaps = gaps_of(pattern, {"board3": zoo.BOARD})
    through = {
        s.letter for piece in pattern.pieces for s in piece.seams if s.trim == pytest.approx(0.0)
    }

    assert through
    assert not through & {name for gap in gaps for name in gap.names}


def test_mitres_and_grooves_are_not_filled():
    pattern = pattern_of(zoo.box(leave_open=("bottom",)), zoo.BOARD, zoo.CUTTERS)

    assert {gap.what for gap in gaps_of(pattern, {"board3": zoo.BOARD})} <= {"open corner"}


def test_an_open_fold_is_filled_and_said():
    """A convex fold cut open from outside, 240 long; its V is a kite less a sector, and slants."""
    wish = FoldWish(method="open", web=0.8, floor=3.0, cutter=math.radians(90))
    strip = round_parts.angle(90.0, flange=zoo.length("60"), width=zoo.length("60"), fold=wish)
    pattern = pattern_of(strip, zoo.BOARD, zoo.CUTTERS)
    (fold,) = pattern.pieces[0].folds
    r, w, t = fold.inner_radius, 0.8, 3.0
    area = (r + t) ** 2 - (r + w) ** 2 * math.pi / 4.0 + (t - w) ** 2
    (gap,) = gaps_of(pattern, {"board3": zoo.BOARD})
    found = form_folded(pattern, {"board3": zoo.BOARD})

    assert (gap.what, fold.cut_side) == ("open fold", "outside")
    assert gap.volume == pytest.approx(area * 240.0, rel=1e-6)
    assert f"About {filling((gap,)) * 1e-3:.1f} cm³ stay" in words(found, "fill")


def test_a_fold_that_opens_inwards_is_not_filled():
    wish = FoldWish(method="open")
    part = zoo.profile(
        [(0, 0), (300, 0), (300, 200), (200, 200), (200, 100), (0, 100)],
        leave_open=("front", "back", "side_1"),
        fold_at=(),
    )
    pattern = pattern_of(part, zoo.BOARD, zoo.CUTTERS)
    opened = [f for piece in pattern.pieces for f in piece.folds if f.method == wish.method]

    assert opened
    assert all(f.turn < 0.0 for f in opened)
    assert "open fold" not in {g.what for g in gaps_of(pattern, {"board3": zoo.BOARD})}


# --- heat ----------------------------------------------------------------------


def test_strips_of_another_material_move_apart():
    """Handbook figures: acrylic 70, steel 12 in a million; 20 K over 600 mm is 0.7 mm."""
    acrylic = boards()["acrylic"].of_thickness(3.0)
    steel = boards()["steel-DC01"].of_thickness(1.0)

    assert "over 600 mm the two move 0.7 mm apart for 20 degrees" in backing_moves(
        acrylic, steel, 600.0
    )
    assert backing_moves(acrylic, steel, 299.0) == ""
    assert backing_moves(steel, steel, 2000.0) == ""


def test_parts_of_unlike_material_are_told_to_slide():
    acrylic, steel = boards()["acrylic"].of_thickness(3.0), boards()["steel-DC01"].of_thickness(1.0)

    assert "The base plate is of" in meeting_moves("base plate", acrylic, steel, 600.0)


# --- the same everywhere -------------------------------------------------------


def test_the_route_sheet_says_what_check_warns_of(tmp_path):
    """Every warning of forming stands on its route sheet, once, in the build's units."""
    text = (EXAMPLE / "plan.toml").read_text()
    text = text.replace("flange = 30", "flange = 12").replace('former = "pipe114"', "")
    text = text.replace("[build]", '[build]\nunits = "in"', 1)
    (tmp_path / "plan.toml").write_text(
        re.sub(r"\[rack\.pipe(114|60)\]\nformer_d = \d+\n", "", text).replace(
            'former = "pipe60"', ""
        )
    )
    plan, ledger = open_build(tmp_path)
    with ledger:
        made = make(plan, ledger)
        book = book_of(made, Layouts({}, {}), SheetInfo("lamp", units="in"))
    warned = {name: made.forming(name).warnings for name in made.parts}

    assert warned["cleat"] and warned["lamp"]
    for route in book.routes:
        notes = list(route.notes)
        for warning in warned[route.part]:
            assert notes.count(in_units(warning, "in")) == 1
        assert not [n for n in notes if re.search(r"\d mm\b", n) and " in" not in n], route.part


def test_steps_are_short_enough_for_a_route_sheet(tmp_path):
    shutil.copy(EXAMPLE / "plan.toml", tmp_path)
    plan, ledger = open_build(tmp_path)
    with ledger:
        made = make(plan, ledger)
    for name in made.parts:
        for _, step in made.forming(name).steps:
            assert len(step) < 330, (name, step)
