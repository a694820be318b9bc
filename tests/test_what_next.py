"""What to make now, half-way through a build."""

from functools import cache
from pathlib import Path

from foldwright.ledger import Reading
from foldwright.make import Made
from foldwright.plan import read_plan
from foldwright.shop import thicknesses
from foldwright.what_next import what_next

LAMP = Path(__file__).parents[1] / "examples" / "harbour-signal-lamp" / "plan.toml"


@cache
def plan():
    return read_plan(LAMP, thicknesses())


def read(part, dim, value, line=1, tool="tape", sigma=0.5):
    return Reading(line, part, dim, value, tool, True, "2026-01-01T10:00:00Z", "", 0, value, sigma)


def next_after(*readings, **marked):
    """What comes next, with these parts measured and those marked."""
    return what_next(Made(plan(), readings, marked=marked, ever_read=readings))


@cache
def at_first():
    return next_after()


def test_what_waits_says_for_what():
    assert all(at_first().waits.values())
    assert at_first().begun == ()


def test_what_is_measured_holds_up_nothing():
    """The cap waits for the lamp; once that is measured, it is made with the first."""
    found = next_after(read("lamp", "girth", 690.5))

    assert "lamp_cap" in at_first().waits
    assert "lamp_cap" in found.now
    assert "lamp" not in found.now
    assert all(found.waits.values())


def test_what_is_cut_is_not_made_again_but_measured():
    """A lamp that is cut is what it is: its cap waits until somebody measures it."""
    found = next_after(lamp="cut", tray="closed")

    assert set(found.begun) == {"lamp", "tray"}
    assert not {"lamp", "tray"} & set(found.now)
    assert found.waits["lamp_cap"] == ("lamp",)
    assert found.why["lamp"] == "lamp_cap is made to suit it."
    assert "lamp" in found.to_measure


def test_what_is_only_marked_out_can_still_be_drawn_anew():
    found = next_after(tray="marked")

    assert found.begun == ()
    assert "tray" in found.now


def test_a_drum_that_something_slides_into_is_measured_by_its_girth():
    """A tape round it tells its diameter to 0.16 mm, a rule across the bore to 0.25."""
    dims = at_first().to_measure["lamp"]

    assert dims[0] == "girth"
    assert len(set(dims)) == len(dims) <= 3
