"""What ties the rooms: copies, openings and ribs follow what is intended now."""

import shutil
import threading
from dataclasses import replace
from pathlib import Path

import pytest

from foldwright.build_book import book_of
from foldwright.calibration import keep_printer, read_calibrations
from foldwright.errors import OutOfDomain, OutputRefused
from foldwright.fit import Assembly
from foldwright.ledger import Change, Reading, Revision
from foldwright.make import Layouts, Made, make, open_build
from foldwright.outputs import sheet_info
from foldwright.plan import Rib
from foldwright.plan.dual import number
from foldwright.shape import dims_of, path_bounds

EXAMPLE = Path(__file__).parents[1] / "examples" / "harbour-signal-lamp"


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    folder = tmp_path_factory.mktemp("lamp")
    shutil.copy(EXAMPLE / "plan.toml", folder)
    plan, ledger = open_build(folder)
    with ledger:
        return make(plan, ledger)


def redrawn(made, part, parameter, after):
    """The build with one kept change."""
    before = made.plan.parts[part].values()[parameter]
    change = Change(part, parameter, before, after, before, ("It was measured so.",))
    revision = Revision(1, "2031-01-02T10:00:00", (change,))
    return Made(made.plan, (), (revision,))


def test_copies_that_are_alike_are_known(made):
    assert made.copies("leg-2") == ("leg-1", "leg-2", "leg-3", "leg-4")
    assert made.copies("lid") == ("lid",)


def test_a_copy_that_a_refit_changed_is_one_of_its_own(made):
    changed = redrawn(made, "leg-2", "length", 121.0)

    assert changed.copies("leg-2") == ("leg-2",)
    assert changed.copies("leg-1") == ("leg-1", "leg-3", "leg-4")
    assert changed.pattern("leg-2").lengths[0].length == pytest.approx(121.0)


def test_copies_that_are_alike_share_one_body(made):
    """One that a refit changed, or that another part passes through, has one of its own."""
    changed = redrawn(made, "leg-2", "length", 121.0)

    assert made.bodies["leg-1"] is made.bodies["leg-2"]
    assert made.bodies["leg-1"] is not made.bodies["lid"]
    assert changed.bodies["leg-1"] is changed.bodies["leg-3"]
    assert changed.bodies["leg-1"] is not changed.bodies["leg-2"]
    assert changed.bodies["leg-1"] == made.body("leg-1")


def test_what_keeps_its_shape_keeps_its_body(made):
    """Also in the build as it is read anew after a reading, a change of another part, a move."""
    reading = Reading(1, "lid", "width", 1.0, "tape", False, "2031-01-02", "", 0, 1.0, 0.5, 1)
    lid = made.plan.parts["lid"]
    moved = replace(lid, place=replace(lid.place, rotate=1.5))
    apart = replace(made, plan=replace(made.plan, parts={**made.plan.parts, "lid": moved}))
    length = redrawn(made, "leg-2", "length", 121.0)

    assert replace(made, all_readings=(reading,)).bodies["lid"] is made.bodies["lid"]
    assert apart.body("lid") is length.bodies["lid"] is made.bodies["lid"]
    assert length.bodies["leg-2"] != made.bodies["leg-2"]


def test_one_reason_for_several_changes_is_said_once(made):
    changes = tuple(
        Change("lid", name, value, value + 1.0, value, ("The pedestal came out 1.0 mm large.",))
        for name, value in list(made.plan.parts["lid"].values().items())[:2]
    )
    notes = Made(made.plan, (), (Revision(1, "2031-01-02T10:00:00", changes),)).notes("lid")

    assert len(changes) == 2
    assert sum(note.startswith("Revision 1:") for note in notes) == 2
    assert notes.count("The pedestal came out 1.0 mm large.") == 1


def test_what_is_made_is_known_before_anything_is_worked_out(made):
    """As the beliefs have it, which take far longer."""
    base = next(iter(made.parts))
    reading = Reading(1, base, "girth", 1.0, "tape", False, "2031-01-02", "", 0, 1.0, 0.5, 1)
    measured = replace(made, all_readings=(reading,))
    said = {name: measured.is_made(name) for name in measured.parts}

    assert "beliefs" not in vars(measured)
    assert said == {name: known.is_made for name, known in measured.beliefs.items()}
    assert said[base] and not all(said.values())


def test_many_who_ask_at_once_have_forecasts_worked_out_once(made, monkeypatch):
    count, found = [], []
    once = Assembly.forecasts

    def counted(assembly, *args):
        count.append(1)
        return once(assembly, *args)

    monkeypatch.setattr(Assembly, "forecasts", counted)
    asked = replace(made)
    threads = [threading.Thread(target=lambda: found.append(asked.forecasts)) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert len(count) == 1
    assert len(found) == 8 and all(one is found[0] for one in found)


def test_a_rib_follows_its_shell(made):
    """A pedestal that is kept 3 mm deeper front to back has wider ribs."""
    wider = redrawn(made, "pedestal", "pedestal_w", 403.0)

    def width(build):
        rib = build.parts["rib_left"]
        assert isinstance(rib, Rib)
        return number(dims_of(rib, finished=True)["width"].value)

    assert width(wider) - width(made) == pytest.approx(3.0, abs=1e-9)


def test_an_opening_follows_what_passes_through(made):
    wider = redrawn(made, "horn", "outside_d", 94.0)

    def across(build):
        (opening,) = build.openings["pedestal"]
        (left, low), (right, high) = path_bounds(opening.path)
        return min(right - left, high - low)

    assert across(wider) - across(made) == pytest.approx(4.0, abs=0.05)


def test_a_blank_that_fits_no_sheet_is_named_with_the_reason(made):
    stock = made.plan.stocks["board3"]
    square = replace(stock.sheets[0], outline=((0, 0), (300, 0), (300, 300), (0, 300)))
    small = replace(stock, sheets=(square,))
    plan = replace(made.plan, stocks=dict(made.plan.stocks) | {"board3": small})
    (said,) = Made(plan).too_large("base")

    assert "base-1 cannot be cut" in said
    assert "300.0 by 300.0 mm" in said


def test_the_book_says_meets_the_way_the_plan_does(made):
    """An overhang is kept as a negative margin and shown as what it is."""
    book = book_of(made, Layouts({}, {}), sheet_info(made, "a day"))
    route = next(r for r in book.routes if r.part == "cap_top")
    (overhang,) = (n for n in route.neighbours if n.parts == ("lamp_cap",))

    assert (overhang.word, overhang.wanted) == ("overhang", (3.0, 12.0))
    assert overhang.expected == pytest.approx(7.75, abs=0.01)
    assert {r.part for r in book.routes} >= {"leg-1", "lid", "gauge"}
    assert "leg-2" not in {r.part for r in book.routes}
    assert next(r for r in book.routes if r.part == "leg-1").same_as == ("leg-2", "leg-3", "leg-4")
    assert next(r for r in book.routes if r.part == "right_cheek").mirror_of == "left_cheek"


def test_what_a_part_needs_comes_out_of_the_book_in_words(made):
    book = book_of(made, Layouts({}, {}), sheet_info(made, "a day"))
    route = next(r for r in book.routes if r.part == "pedestal")
    said = {cut.name: cut.what for cut in route.cut_into}

    assert said["horn"] == "opening for the horn, 1.0 mm all round"
    assert said["gauge"] == "window, 61.3 mm across"
    assert said["hatch"] == "hatch, 120.3 mm by 90.3 mm"
    assert route.finish == "grey, 0.14 mm on each face"
    assert route.mass is not None and 1.0 < route.mass < 4.0


def test_a_hole_is_called_that_of_a_bolt_which_a_shop_has(made):
    """8.7 mm is no hole for anything but M8; 20.3 mm for an axle is not one for M18."""
    book = book_of(made, Layouts({}, {}), sheet_info(made, "a day"))
    said = {(route.part, cut.name): cut.what for route in book.routes for cut in route.cut_into}

    assert said["base", "leg bolt 1"] == "hole, 8.7 mm across, for M8 (fine)"
    assert said["left_cheek", "axle"] == "hole, 20.3 mm across"


def test_a_reading_that_disagrees_is_named_on_the_route_sheet(made):
    """Three directions and a tape make the lamp 219.7; the rule across it read 224."""
    girth = dims_of(made.parts["lamp"], finished=False)["girth"].value
    rows = {"girth": girth, "d_0": 219.8, "d_60": 219.6, "d_120": 219.7, "outside_d": 224.0}
    readings = tuple(
        Reading(
            id=i, part="lamp", dim=dim, value=number(value), tool="rule", bare=True,
            when="2026-03-01T14:05:09Z", note="", revision=0, drawn=number(value), sigma=0.25,
        )
        for i, (dim, value) in enumerate(rows.items(), 1)
    )  # fmt: skip
    notes = Made(made.plan, readings).notes("lamp")

    assert any(
        "The outside diameter of the lamp, read as 224.0 mm" in n and "does not agree" in n
        for n in notes
    )
    assert not any("does not agree" in note for note in Made(made.plan, readings[:4]).notes("lamp"))


def test_a_printer_belongs_to_all_builds_of_a_folder(tmp_path):
    one, other = tmp_path / "one", tmp_path / "other"
    one.mkdir()
    other.mkdir()

    assert read_calibrations(one).printer == (100.0, 100.0)
    keep_printer(one, 99.6, 100.2)
    assert read_calibrations(other).printer == (99.6, 100.2)


def test_a_bar_that_far_off_is_not_the_printer(tmp_path):
    (tmp_path / "one").mkdir()
    with pytest.raises(OutOfDomain, match="fitted to the page"):
        keep_printer(tmp_path / "one", 90.0, 100.0)

    assert not (tmp_path / "maker.json").exists()


def test_a_file_of_someone_else_is_left_alone(tmp_path):
    (tmp_path / "one").mkdir()
    (tmp_path / "maker.json").write_text("my notes")
    with pytest.raises(OutputRefused, match="Move it away"):
        keep_printer(tmp_path / "one", 99.0, 100.0)

    assert (tmp_path / "maker.json").read_text() == "my notes"


def test_a_rib_is_told_to_suit_its_shell_as_measured(made):
    """A pedestal measured 3 mm small front to back: its ribs are cut 3 mm narrower."""
    readings = tuple(
        Reading(
            line,
            "pedestal",
            dim,
            number(dims_of(made.parts["pedestal"], finished=False)[dim].value) + off,
            "rule",
            True,
            "2031-01-01T10:00:00Z",
            "",
            0,
            number(dims_of(made.parts["pedestal"], finished=False)[dim].value),
            0.25,
        )
        for line, (dim, off) in enumerate((("width", -3.0), ("height", 0.0)), 1)
    )
    built = Made(made.plan, readings)
    drawn = number(dims_of(built.parts["rib_left"], finished=False)["width"].value)
    (said,) = (s for s in built.off_its_shell("rib_left") if "width" in s)

    assert f"instead of {drawn:.1f} mm" in said
    assert f"make its cut width {drawn - 3.0:.1f} mm" in said
    assert built.off_its_shell("lid") == () == made.off_its_shell("rib_left")
