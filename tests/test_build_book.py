"""The build book filled in: what a small build says in its pages, in mm and in inches."""

import re

import pytest
from click.testing import CliRunner

from foldwright.build_book import book_of
from foldwright.cli import cli
from foldwright.draw.book_names import measured_name
from foldwright.make import make, open_build
from foldwright.outputs import sheet_info

PLAN = """
[build]
name = "Stand"
units = "UNITS"

[rack.board3]
material = "acp-3-0.3"
sheets = [{ size = [300, 300] }]

[rack.tube30]
material = "al-5005-H24"
tube_d = 30
wall = 2
lengths = [{ length = 500, count = 2 }]

[rack.bar28]
material = "al-5005-H24"
bar_d = 28
lengths = [{ length = 300 }]

[part.top]
kind = "plate"
from = "board3"
outline = [[0, 0], [420, 0], [420, 100], [0, 100]]

[part.leg]
kind = "tube"
from = "tube30"
length = 120

[part.leg_plug]
kind = "plug"
from = "bar28"
diameter = 26.1
bolt_d = 6.8
length = 20
"""


def book(units, where):
    (where / "plan.toml").write_text(PLAN.replace("UNITS", units))
    plan, ledger = open_build(where)
    with ledger:
        made = make(plan, ledger)
    return book_of(made, made.layouts(0.1), sheet_info(made, "14 May 2025"))


def test_each_copy_on_the_cover_and_each_stage_is_as_it_stands(tmp_path):
    """Two of four legs are measured and one is cut; one sheet in the book serves all four."""
    (tmp_path / "plan.toml").write_text(
        PLAN.replace("UNITS", "mm").replace("length = 120", "length = 120\ncount = 4")
    )
    run = CliRunner()
    for words in (
        ["measure", str(tmp_path), "leg-1.length", "120.2"],
        ["measure", str(tmp_path), "leg-2.length", "120.2"],
        ["mark", str(tmp_path), "top", "cut"],
    ):
        assert run.invoke(cli, words).exit_code == 0
    plan, ledger = open_build(tmp_path)
    with ledger:
        made = make(plan, ledger)
    found = book_of(made, made.layouts(0.1), sheet_info(made, "14 May 2025"))

    assert found.made == {"leg-1", "leg-2"}
    stages = {route.part: route.stage for route in found.routes}
    assert stages["top"] == "cut"
    assert stages["leg_plug"] == "planned"


def sentences(found):
    """Everything that the book says in words."""
    yield from found.how_things_stand
    for route in found.routes:
        yield from route.notes
        yield from (words for _, words in route.forming)
        yield from (cut.what for cut in route.cut_into)
    yield from (row for rows in found.unplaced for row in rows)
    yield from (purchase.what for purchase in found.purchases)


def test_a_book_in_inches_says_no_millimetre(tmp_path):
    """But for what stock is called: that is its name."""
    said = list(sentences(book("in", tmp_path)))

    assert any("11 13/16 in by 11 13/16 in" in words for words in said)  # the sheet, 300 by 300
    for words in said:
        assert not re.search(r"\bmm\b", words.replace("3 mm skinned board", "")), words


@pytest.mark.parametrize("units", ["mm", "in"])
def test_what_a_plug_is_filed_to_is_said_finely(tmp_path, units):
    """And the bore that it goes into, but no other dim."""
    fine = {
        (route.part, dim.dim)
        for route in book(units, tmp_path).routes
        for dim in route.to_measure
        if dim.is_fine
    }

    assert ("leg_plug", "diameter") in fine
    assert ("leg", "bore") in fine
    assert not {"length", "outside_d", "width"} & {dim for _, dim in fine}


@pytest.mark.parametrize(
    ("dim", "said"),
    [
        ("outside_d", "Outside diameter"),
        ("brow~front-2_length", "Edge of brow and front 2"),
        ("back-2_to_front", "Back 2 to front"),
        ("lower_diagonal_a", "Lower diagonal a"),
    ],
)
def test_dims_are_called_as_prose_calls_them(dim, said):
    assert measured_name(dim) == said
