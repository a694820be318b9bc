"""Cut list and purchase list, by cases that can be added up in the head."""

from dataclasses import replace

import pytest

import zoo
from foldwright.flat import CutLength, Pattern
from foldwright.plan import Bar, Bought, Sheet, Stock
from foldwright.sheet import cut_bars, cut_list, lay_out, masses, purchase_list
from sheet import hand_made


@pytest.fixture
def laid():
    """Four squares, two to a sheet: one sheet on the rack and one bought."""
    pieces = tuple(hand_made.piece(f"a-{i}", hand_made.rectangle(480, 900)) for i in range(4))
    stock = hand_made.stock(
        hand_made.whole(1000, 1000, 1, 50.0), hand_made.whole(1000, 1000, 0, 60.0)
    )
    return pieces, lay_out(pieces, stock, seconds=0.0)


def dial(name, family=""):
    common = zoo.box(name=name)
    return Bought(
        name=name, stock="", thickness=0.0, parameters=common.parameters, mass=0.4, family=family,
        width=zoo.length("60"), depth=zoo.length("40"), height=zoo.length("20"),
    )  # fmt: skip


def test_what_is_on_the_rack_is_not_bought_again(laid):
    found = purchase_list([laid[1]], [])

    assert [(x.from_rack, x.to_buy, x.price) for x in found.lines] == [(1, 0, 50.0), (0, 1, 60.0)]
    assert found.lines[0].what == "1000.0 by 1000.0 mm sheet"
    assert found.cost == 60.0
    assert found.unpriced == ()


def test_bars_are_counted_and_priced():
    stock = Stock("pipe", "x", 2.0, form="tube", across=30.0, bars=(Bar(1000.0, 0, 8.0),))
    cuts = [CutLength(f"leg-{i}", "leg", "pipe", 600.0) for i in range(3)]
    found = purchase_list([], [cut_bars([*cuts, replace(cuts[0], id="x", length=2e3)], stock)])

    (row,) = found.lines
    assert (row.to_buy, row.cost, found.cost) == (3, 24.0, 24.0)
    assert [out.id for out in found.unplaced] == ["x"]


def test_bought_parts_are_counted_by_family_and_have_no_price():
    parts = [dial("dial-1", "dial"), dial("dial-2", "dial"), dial("lamp"), zoo.box()]
    found = purchase_list([], [], parts)

    assert [(x.what, x.to_buy) for x in found.lines] == [("dial", 2), ("lamp", 1)]
    assert found.unpriced == ("dial", "lamp")


def test_a_bought_part_weighs_what_it_says_in_the_middle_of_its_envelope():
    found = masses([dial("dial")], {}, {}, {}, {})

    assert found.mass == 0.4
    assert found.centre == (30.0, 20.0, 10.0)


def test_an_odd_offcut_is_called_so():
    pieces = (hand_made.piece("a-1", hand_made.rectangle(100, 100)),)
    offcut = Sheet(((0, 0), (600, 0), (0, 500)))
    found = purchase_list([lay_out(pieces, hand_made.stock(offcut), seconds=0.0)], [])

    assert found.lines[0].what == "odd offcut within 600.0 by 500.0 mm"


def test_copies_share_a_row_and_say_where_they_lie(laid):
    pieces, layout = laid
    patterns = [
        Pattern(f"a-{i}", (replace(piece, part=f"a-{i}"),)) for i, piece in enumerate(pieces)
    ]
    parts = {f"a-{i}": zoo.box(name=f"a-{i}", family="a") for i in range(4)}
    (row,) = cut_list(patterns, parts, [layout])

    assert (row.part, row.count, row.size) == ("a", 4, (480.0, 900.0))
    assert row.ids == ("a-0", "a-1", "a-2", "a-3")
    assert set(row.places) == {"sheet 1", "sheet 2"}


def test_strips_and_lengths_have_rows_of_their_own():
    face = hand_made.piece("box-1", hand_made.rectangle(200, 100))
    strip = replace(hand_made.piece("box-2", hand_made.rectangle(200, 30)), role="backing strip")
    patterns = [Pattern("box", (face, strip), lengths=(CutLength("box-3", "box", "pipe", 87.654),))]
    rows = cut_list(patterns, {"box": zoo.box()})

    assert [(r.what, r.stock, r.size, r.places) for r in rows] == [
        ("", "board3", (200.0, 100.0), ()),
        ("backing strip", "board3", (200.0, 30.0), ()),
        ("", "pipe", (87.65,), ()),
    ]


def test_what_found_no_place_is_nowhere_yet(laid):
    pieces, layout = laid
    giant = hand_made.piece("giant-1", hand_made.rectangle(3000, 900))
    rows = cut_list([Pattern("giant", (giant,)), Pattern("a", pieces)], {}, [layout])

    assert rows[0].places == ("nowhere yet",)
