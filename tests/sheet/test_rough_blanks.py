"""What is curled is laid out as it is cut: longer than its part, and never over another blank."""

import math
from itertools import combinations

import pytest
from hypothesis import given, reject
from hypothesis import strategies as st
from pytest import approx
from shapely import Polygon, union_all

import zoo
from foldwright.errors import CannotMake
from foldwright.flat import Pattern, pattern_of
from foldwright.shape import path_chords
from foldwright.sheet import (
    blanks_of,
    cut_list,
    fitting_turns,
    lay_out,
    layout_faults,
    net_area,
    piece_mass,
    why_not,
)
from round_parts import hood
from sheet import hand_made

AROUND = math.pi * 217.0  # a drum 220 across in 3 mm board, on the middle of the board


def piece_of(part, spare=40.0):
    (piece,) = pattern_of(part, zoo.BOARD, zoo.CUTTERS, spare=spare).pieces
    return piece


def on_sheet(piece, spot):
    """Trimmed blank and its flaps where they lie, by the record's outline and seams alone."""
    flaps = []
    for a, b in ((seam.a, seam.b) for seam in piece.seams):
        share = piece.spare / math.dist(a, b)
        x, y = share * (b[1] - a[1]), -share * (b[0] - a[0])
        flaps.append(Polygon([a, (a[0] + x, a[1] + y), (b[0] + x, b[1] + y), b]))
    whole = union_all([Polygon(path_chords(piece.outline)), *flaps])
    left, low, _, _ = whole.bounds
    cos, sin = math.cos(spot.turn), math.sin(spot.turn)
    return Polygon(
        [
            (
                spot.x + (x - left) * cos - (y - low) * sin,
                spot.y + (x - left) * sin + (y - low) * cos,
            )
            for x, y in whole.exterior.coords
        ]
    )


@st.composite
def some_curled(draw):
    """Up to five drums and hoods, some alike, with what is left on at their ends."""
    found = []
    for number in range(draw(st.integers(1, 5))):
        name = f"part{number}"
        across, long = draw(st.floats(120.0, 260.0)), draw(st.floats(30.0, 300.0))
        if draw(st.booleans()):
            part = zoo.drum(across, long, name=name)
        else:
            narrow = draw(st.floats(0.4, 0.9)) * across
            part = hood(max(across, 140.0), max(narrow, 100.0), long, name=name)
        found.append((part, draw(st.sampled_from([0.0, 15.0, 20.0, 40.0]))))
    return found


@given(parts=some_curled(), count=st.integers(0, 1))
def test_blanks_with_something_left_on_never_overlap(parts, count):
    """Apart by kerf and gap, within the trim, none lost: by polygons built anew."""
    try:
        pieces = [piece_of(part, spare) for part, spare in parts]
    except CannotMake:  # tighter than its board takes
        reject()
    stock = hand_made.stock(hand_made.whole(1000, 1000, count, 40.0))
    layout = lay_out(pieces, stock, seconds=0.0)
    by_id = {piece.id: piece for piece in pieces}
    told = [s.piece for sheet in layout.sheets for s in sheet.spots]

    assert layout_faults(layout, pieces) == ()
    assert sorted(told + [out.id for out in layout.left_out]) == sorted(by_id)
    for sheet in layout.sheets:
        shapes = [on_sheet(by_id[s.piece], s) for s in sheet.spots]
        board = Polygon(sheet.sheet.outline).buffer(-stock.trim + 0.02)

        assert all(board.contains(shape) for shape in shapes)
        for one, other in combinations(shapes, 2):
            assert one.distance(other) > stock.kerf + stock.gap - 0.03


def test_the_library_lays_them_soundly_too():
    pieces = [piece_of(zoo.drum(160.0, 90.0, name=f"drum{i}")) for i in range(3)]
    pieces += [piece_of(hood(name=f"hood{i}"), 20.0) for i in range(2)]
    stock = hand_made.stock(hand_made.whole(1220, 2440, 0, 68.0))

    layout = lay_out(pieces, stock, seconds=1.0)

    assert layout_faults(layout, pieces) == () == layout.left_out


def test_a_layout_of_the_trimmed_sizes_would_be_found_out():
    """Two drums laid as if nothing were left on overlap where they are cut."""
    pieces = [piece_of(zoo.drum(100.0, 60.0, name=name)) for name in ("one", "two")]
    trimmed = [piece_of(zoo.drum(100.0, 60.0, name=name), 0.0) for name in ("one", "two")]
    stock = hand_made.stock(hand_made.whole(680, 75))
    layout = lay_out(trimmed, stock, seconds=0.0)

    assert layout_faults(layout, trimmed) == ()
    assert any("apart" in fault or "edge" in fault for fault in layout_faults(layout, pieces))


def test_a_blank_that_fits_a_sheet_only_once_trimmed_does_not_fit():
    """681.7 round and 80 to trim on a sheet of 720 less 10: the words have both numbers."""
    stock = hand_made.stock(hand_made.whole(720, 400))
    (bare,), (longer,) = (blanks_of([piece_of(zoo.drum(), s)], "board3") for s in (0.0, 40.0))

    assert fitting_turns(bare, stock)
    assert fitting_turns(longer, stock) == ()
    assert "It needs 761.7 by 310.0 mm, 40.0 mm of it to trim at each end;" in why_not(
        longer, stock
    )


def test_the_sheet_gives_up_what_is_cut_and_the_part_weighs_what_is_kept():
    """A share of the sheet with 80 mm more; mass of pi 217 by 310 alone."""
    piece = piece_of(zoo.drum())
    stock = hand_made.stock(hand_made.whole(1000, 1000))
    layout = lay_out([piece], stock, seconds=0.0)

    assert layout.sheets[0].used == approx((AROUND + 80.0) * 310.0 / 1e6)
    assert net_area(piece) == approx(AROUND * 310.0)
    assert piece_mass(piece, zoo.BOARD) == piece_mass(piece_of(zoo.drum(), 0.0), zoo.BOARD)


def test_the_cut_list_has_both_sizes():
    part = zoo.drum()
    (row,) = cut_list([Pattern(part.name, (piece_of(part),))], {part.name: part})
    plain = hand_made.piece("a-1", hand_made.rectangle(100, 50))
    (other,) = cut_list([Pattern("a", (plain,))], {})

    assert row.size == approx((AROUND + 80.0, 310.0), abs=0.005)
    assert row.trimmed == approx((AROUND, 310.0), abs=0.005)
    assert other.size == other.trimmed == (100.0, 50.0)


@pytest.mark.parametrize("spare", [0.0, 25.0])
def test_a_blank_lies_with_its_datum_corner_on_what_is_cut(spare):
    """Lower left of the rough outline at (0, 0), so that draw and sheet mean one corner."""
    (blank,) = blanks_of([piece_of(zoo.drum(), spare)], "board3")

    assert min(x for x, _ in blank.outline) == 0.0
    assert blank.width == approx(AROUND + 2.0 * spare)
    assert blank.spare == spare
