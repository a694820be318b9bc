"""Measuring a dim again, and thinking better of it."""

from foldwright.ledger import Ledger
from story.command import foldwright


def test_what_was_measured_instead_can_be_taken_back(lamp):
    """The earlier reading stands again, and was never lost."""
    foldwright("measure", lamp, "lamp.girth", "694.5", "--with", "tape")
    again = foldwright("measure", lamp, "lamp.girth", "692.0", "--with", "tape", "--instead")

    assert again.code == 0
    with Ledger(lamp / "ledger.sqlite") as ledger:
        first, second = ledger.history()
        assert ledger.readings() == (second,)
        assert ledger.undo() == second
        assert ledger.readings() == (first,)


def test_a_renamed_part_is_measured_instead_under_its_new_name(lamp):
    """What was read under the old name is withdrawn, since it is another part to the ledger."""
    foldwright("measure", lamp, "lamp.girth", "694.5", "--with", "tape")
    plan = lamp / "plan.toml"
    text = plan.read_text().replace("[part.lamp]", '[part.barrel]\nwas = "lamp"')
    text = text.replace('"lamp.top"', '"barrel.top"').replace('outer = "lamp"', 'outer = "barrel"')
    plan.write_text(text)
    foldwright("measure", lamp, "barrel.girth", "693.0", "--with", "tape")
    done = foldwright("measure", lamp, "barrel.girth", "692.0", "--with", "tape", "--instead")

    assert done.code == 0, done.err
    with Ledger(lamp / "ledger.sqlite") as ledger:
        (reading,) = ledger.readings()
    assert (reading.part, reading.instead) == ("barrel", True)
