import math
import subprocess
import sys
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

import sheet.hand_made as blanks
import zoo
from foldwright.flat import pattern_of
from foldwright.plan import Sheet
from foldwright.sheet import (
    PackedBoard,
    PackingResult,
    Placed,
    Spot,
    blanks_of,
    corner_packer,
    lay_out,
    layout_faults,
    library_packer,
)
from foldwright.sheet.outlines import moments, ring_outside

L_OFFCUT = Sheet(((0, 0), (600, 0), (600, 420), (380, 420), (380, 600), (0, 600)))


def density(layout):
    """Share of all sheets used that becomes blanks."""
    return sum(s.used for s in layout.sheets) / len(layout.sheets)


def ids(layout):
    return sorted(spot.piece for sheet in layout.sheets for spot in sheet.spots)


# --- what holds for any blanks -------------------------------------------------


@st.composite
def random_pieces(draw):
    kind = draw(st.sampled_from(["rectangle", "triangle", "disc", "frame", "bite"]))
    w = draw(st.floats(20.0, 900.0).map(lambda v: round(v, 2)))
    h = draw(st.floats(20.0, 900.0).map(lambda v: round(v, 2)))
    match kind:
        case "rectangle":
            outline, cutouts = blanks.rectangle(w, h), ()
        case "triangle":
            lean = draw(st.floats(0.0, 1.0))
            outline, cutouts = blanks.loop([(0, 0), (w, 0), (lean * w, h)]), ()
        case "disc":
            outline, cutouts = blanks.disc(w), (blanks.hole(w / 2.0, (0.0, 0.0)),)
        case "frame":
            rim = min(w, h) / 8.0
            inner = blanks.window(w - 2.0 * rim, h - 2.0 * rim, (rim, rim))
            outline, cutouts = blanks.rectangle(w, h), (inner,)
        case _:  # a rectangle with an arc bitten out of its upper edge
            r = min(w, h) / 3.0
            steps = blanks.loop([(0, 0), (w, 0), (w, h), (w / 2 + r, h)])
            centre = (w / 2.0, h)
            outline = (*steps, replace(steps[0], to=(w / 2 - r, h), centre=centre, left=False))
            outline, cutouts = (*outline, *blanks.loop([(0, h)])), ()
    grain = draw(st.sampled_from([None, 0.0, math.pi / 2.0, 0.3]))
    return outline, cutouts, grain, draw(st.booleans())


@given(
    shapes=st.lists(random_pieces(), max_size=9),
    copies=st.integers(1, 3),
    grained=st.booleans(),
    count=st.integers(0, 2),
)
def test_any_blanks_are_laid_soundly_or_named(shapes, copies, grained, count):
    """Nothing lost, nothing twice, nothing out of place, by rectangles alone."""
    pieces = [
        blanks.piece(f"part{i}-{k}", outline, cutouts=cuts, grain=grain, inside=inside)
        for i, (outline, cuts, grain, inside) in enumerate(shapes)
        for k in range(copies)
    ]
    stock = blanks.stock(L_OFFCUT, blanks.whole(800, 1000, count, 60.0), grain=grained)

    layout = lay_out(pieces, stock, seconds=0.0)

    assert layout_faults(layout, pieces) == ()
    told = ids(layout) + [out.id for out in layout.left_out]
    assert sorted(told) == sorted(piece.id for piece in pieces)
    assert all("board3" in out.reason for out in layout.left_out)


@pytest.mark.parametrize("seed", range(3))
def test_the_library_is_proved_too(seed):
    """Mixed shapes on an odd offcut and sheets; none left out where sheets can be bought."""
    import random

    chance = random.Random(seed)
    pieces = []
    for i in range(7):
        w, h = chance.uniform(60, 500), chance.uniform(60, 500)
        pieces.append(blanks.piece(f"a{i}-1", blanks.rectangle(w, h), inside=i % 2 == 0))
        pieces.append(blanks.piece(f"b{i}-1", blanks.loop([(0, 0), (w, 0), (0, h)]), grain=0.0))
        d = chance.uniform(60, 300)
        pieces.append(
            blanks.piece(f"c{i}-1", blanks.disc(d), cutouts=(blanks.hole(d / 2, (0, 0)),))
        )
    stock = blanks.stock(L_OFFCUT, blanks.whole(1220, 2440, 0, 68.0), grain=seed == 1)

    layout = lay_out(pieces, stock, seconds=1.0)
    quick = lay_out(pieces, stock, seconds=0.0)

    assert layout_faults(layout, pieces) == () == layout.left_out
    assert layout.price <= quick.price


def test_parts_of_the_zoo_are_laid_out():
    """Twenty-odd real blanks: at most what rectangles take, however busy the machine."""
    pieces = [
        piece
        for part in zoo.ZOO.values()
        for piece in pattern_of(part, zoo.BOARD, zoo.CUTTERS).pieces
    ]
    stock = blanks.stock(L_OFFCUT, blanks.whole(1220, 2440, 0, 68.0))

    layout = lay_out(pieces, stock, seconds=2.0)

    assert layout_faults(layout, pieces) == () == layout.left_out
    assert layout.price <= 3 * 68.0
    assert density(layout) > 0.4


# --- rules ---------------------------------------------------------------------


def test_a_small_blank_lies_in_the_window_of_another():
    frame = blanks.piece(
        "frame-1", blanks.rectangle(600, 600), cutouts=(blanks.window(400, 400, (100, 100)),)
    )
    inner = blanks.piece("inner-1", blanks.rectangle(380, 380))
    stock = blanks.stock(blanks.whole(610, 610))

    layout = lay_out([frame, inner], stock, seconds=1.0)

    assert layout.left_out == ()
    assert len(layout.sheets) == 1
    assert layout_faults(layout, [frame, inner]) == ()


def test_offcuts_come_before_whole_sheets():
    """Where both would do, the offcut is used and nothing is bought."""
    pieces = [blanks.piece("a-1", blanks.rectangle(300, 300))]
    stock = blanks.stock(blanks.whole(1220, 2440, 0, 68.0), L_OFFCUT)

    layout = lay_out(pieces, stock, seconds=1.0)

    assert [sheet.sheet_index for sheet in layout.sheets] == [1]
    assert layout.price == 0.0


def test_an_offcut_is_used_even_when_it_saves_no_sheet():
    pieces = [
        blanks.piece("large-1", blanks.rectangle(1000, 1000)),
        blanks.piece("small-1", blanks.rectangle(300, 300)),
    ]
    stock = blanks.stock(blanks.whole(1220, 2440, 0, 68.0), L_OFFCUT)

    layout = lay_out(pieces, stock, seconds=1.5)

    assert {s.sheet_index: [p.piece for p in s.spots] for s in layout.sheets} == {
        0: ["large-1"],
        1: ["small-1"],
    }


def test_the_cheaper_sheet_is_taken():
    pieces = [blanks.piece(f"a-{i}", blanks.rectangle(480, 480)) for i in range(4)]
    stock = blanks.stock(blanks.whole(1000, 1000, 0, 50.0), blanks.whole(500, 500, 0, 20.0))

    layout = lay_out(pieces, stock, seconds=1.0)

    assert layout.price == 50.0
    assert [sheet.sheet_index for sheet in layout.sheets] == [0]


@pytest.mark.parametrize("inside", [False, True])
def test_grain_runs_along_the_sheet(inside):
    """A long blank whose grain runs along it has to stand up, though it would rather lie."""
    pieces = [
        blanks.piece(f"a-{i}", blanks.rectangle(900, 100), grain=0.0, inside=inside)
        for i in range(3)
    ]
    layout = lay_out(pieces, blanks.stock(blanks.whole(1000, 1000), grain=True), seconds=0.5)

    turns = [spot.turn % math.pi for sheet in layout.sheets for spot in sheet.spots]
    assert turns == pytest.approx([math.pi / 2.0] * 3)
    assert layout_faults(layout, pieces) == ()


def test_an_oblique_grain_of_a_piece_marked_inside_is_seen_mirrored():
    piece = blanks.piece("a-1", blanks.rectangle(300, 100), grain=math.radians(30.0), inside=True)
    (blank,) = blanks_of([piece], "board3")

    assert blank.grain == pytest.approx(math.radians(150.0))


def test_a_piece_marked_inside_lies_mirrored():
    corner = blanks.loop([(0, 0), (200, 0), (0, 100)])  # right angle lower left
    (blank,) = blanks_of([blanks.piece("a-1", corner, inside=True)], "board3")

    assert set(blank.outline) == {(200.0, 0.0), (0.0, 0.0), (200.0, 100.0)}


def test_equal_pieces_are_one_blank_and_mirrored_ones_are_not():
    handed = blanks.loop([(0, 0), (200, 0), (0, 100)])
    pieces = [
        blanks.piece("a-1", handed),
        blanks.piece("a-2", handed),
        blanks.piece("a-3", handed, inside=True),
    ]
    assert [blank.ids for blank in blanks_of(pieces, "board3")] == [("a-1", "a-2"), ("a-3",)]


def test_a_strut_longer_than_the_sheet_lies_corner_to_corner():
    pieces = [blanks.piece("strut-1", blanks.rectangle(1200, 60))]

    layout = lay_out(pieces, blanks.stock(blanks.whole(1000, 1000)), seconds=0.5)

    assert layout.left_out == ()
    assert layout_faults(layout, pieces) == ()


# --- what does not fit ---------------------------------------------------------


def test_a_blank_too_large_is_named_with_its_numbers():
    pieces = [
        blanks.piece("pedestal-1", blanks.rectangle(1470, 1300)),
        blanks.piece("lid-1", blanks.rectangle(200, 200)),
    ]
    layout = lay_out(pieces, blanks.stock(blanks.whole(1220, 2440)), seconds=0.0)

    (out,) = layout.left_out
    assert out.id == "pedestal-1"
    assert "needs 1470.0 by 1300.0 mm" in out.reason
    assert "1220.0 by 2440.0 mm less 5 mm trim" in out.reason
    assert ids(layout) == ["lid-1"]


def test_trim_may_be_what_a_blank_fails_by():
    pieces = [blanks.piece("a-1", blanks.rectangle(995, 995))]

    assert lay_out(pieces, blanks.stock(blanks.whole(1000, 1000)), seconds=0.0).left_out
    roomy = blanks.stock(blanks.whole(1000, 1000), trim=2.5)
    assert not lay_out(pieces, roomy, seconds=0.0).left_out


def test_grain_may_be_the_reason():
    pieces = [blanks.piece("a-1", blanks.rectangle(1400, 300), grain=math.pi / 2.0)]
    layout = lay_out(pieces, blanks.stock(blanks.whole(1220, 2440), grain=True), seconds=0.0)

    assert "Across the grain it would fit" in layout.left_out[0].reason


def test_too_few_sheets_may_be_the_reason():
    pieces = [blanks.piece(f"a-{i}", blanks.rectangle(600, 900)) for i in range(3)]
    layout = lay_out(pieces, blanks.stock(blanks.whole(1000, 1000, 2)), seconds=0.6)

    assert len(layout.left_out) == 1
    assert "No sheet is left: the rack has 2 of board3" in layout.left_out[0].reason


def test_a_stock_without_sheets_says_so():
    layout = lay_out([blanks.piece("a-1", blanks.rectangle(10, 10))], blanks.stock(), seconds=0.0)

    assert "no sheet of board3 on the rack" in layout.left_out[0].reason


def test_nothing_to_lay_out_is_no_layout():
    assert lay_out([], blanks.stock(blanks.whole(100, 100))).sheets == ()


# --- the proof -----------------------------------------------------------------


@pytest.fixture
def pair():
    """Two squares a kerf and a gap apart, 5 mm from the edges, and the layout of them."""
    pieces = [blanks.piece(f"a-{i}", blanks.rectangle(100, 100)) for i in range(2)]
    layout = lay_out(pieces, blanks.stock(blanks.whole(215, 400)), seconds=0.0)
    assert layout_faults(layout, pieces) == ()
    return pieces, layout


@pytest.mark.parametrize(
    ("x", "turn", "words"),
    [
        (110.0 - 2e-6, 0.0, "apart"),
        (110.0 + 2e-6, 0.0, "edge of its sheet"),
        (50.0, 0.0, "apart"),
        (400.0, 0.0, "edge of its sheet"),
    ],
)
def test_the_proof_sees_two_millionths(pair, x, turn, words):
    pieces, layout = pair
    sheet = layout.sheets[0]
    spots = (Spot("a-0", 5.0, 5.0, 0.0), Spot("a-1", x, 5.0, turn))
    faults = layout_faults(replace(layout, sheets=(replace(sheet, spots=spots),)), pieces)

    assert any(words in fault for fault in faults)


def test_the_proof_sees_a_blank_that_fills_a_window_too_tightly():
    frame = blanks.piece(
        "frame-1", blanks.rectangle(600, 600), cutouts=(blanks.window(400, 400, (100, 100)),)
    )
    inner = blanks.piece("inner-1", blanks.rectangle(392, 392))
    one = lay_out([frame], blanks.stock(blanks.whole(610, 610)), seconds=0.0)
    spots = (*one.sheets[0].spots, Spot("inner-1", 109.0, 109.0, 0.0))
    trial = replace(one, sheets=(replace(one.sheets[0], spots=spots),))

    assert layout_faults(trial, [frame, inner]) == ("frame-1 and inner-1 are 4.0000 mm apart.",)


def test_the_proof_sees_lost_doubled_and_strange_pieces(pair):
    pieces, layout = pair
    sheet = layout.sheets[0]
    doubled = replace(sheet, spots=(sheet.spots[0], sheet.spots[0]))
    faults = layout_faults(replace(layout, sheets=(doubled,)), pieces)
    assert any("laid out 2 times" in fault for fault in faults)
    assert any("lost" in fault for fault in faults)
    assert any("not among" in f for f in layout_faults(layout, pieces[:1]))


def test_the_proof_sees_more_sheets_than_there_are(pair):
    pieces, layout = pair
    a, b = layout.sheets[0].spots
    twice = (replace(layout.sheets[0], spots=(a,)), replace(layout.sheets[0], spots=(b,)))

    assert any("used 2 times" in f for f in layout_faults(replace(layout, sheets=twice), pieces))


def test_the_proof_sees_a_turn_across_the_grain():
    pieces = [blanks.piece("a-1", blanks.rectangle(100, 100), grain=0.0)]
    layout = lay_out(pieces, blanks.stock(blanks.whole(500, 500), grain=True), seconds=0.0)
    spots = (Spot("a-1", 100.0, 100.0, 0.0),)

    faults = layout_faults(
        replace(layout, sheets=(replace(layout.sheets[0], spots=spots),)), pieces
    )

    assert faults == ("a-1 lies across the grain of board3.",)


# --- packers -------------------------------------------------------------------


def test_a_packer_that_lies_is_not_believed():
    """All in one heap: thrown away, and the rectangles stand."""

    def heap(task):
        count = range(len(task.items))
        return PackingResult((PackedBoard(0, tuple(Placed(i, 5.0, 5.0, 0.0) for i in count)),))

    pieces = [blanks.piece(f"a-{i}", blanks.rectangle(100, 100 + i)) for i in range(3)]
    layout = lay_out(pieces, blanks.stock(blanks.whole(500, 500)), packer=heap)

    assert layout_faults(layout, pieces) == () == layout.left_out
    assert "thrown away" in layout.notes[0]


@pytest.mark.parametrize(
    ("code", "words"),
    [
        ("import os; os.abort()", "failed"),
        ("raise SystemExit('no engine')", "no engine"),
        ("print('[]')", "nonsense"),
        ("import time; time.sleep(60)", "did not stop"),
    ],
)
def test_crash_hang_and_nonsense_of_the_library_stay_in_the_child(monkeypatch, code, words):
    monkeypatch.setattr("foldwright.sheet.library._GRACE", 0.5)
    command = (sys.executable, "-c", code)

    def packer(task):
        return library_packer(replace(task, seconds=0.5), command=command)

    pieces = [blanks.piece("a-1", blanks.rectangle(100, 100))]
    layout = lay_out(pieces, blanks.stock(blanks.whole(500, 500)), seconds=1.0, packer=packer)

    assert ids(layout) == ["a-1"]
    assert words in layout.notes[0]


def test_the_engine_stands_alone():
    """It imports nothing of ours, so that it starts at once."""
    code = (
        "import sys, runpy; runpy.run_path(sys.argv[1]); "
        "print([m for m in sys.modules if m.startswith('foldwright')])"
    )
    from foldwright.sheet import library

    done = subprocess.run(
        [sys.executable, "-c", code, str(library._ENGINE)], capture_output=True, text=True
    )
    assert done.stdout.strip() == "[]"


def test_rectangles_alone_take_no_library():
    def never(task):
        raise AssertionError("asked")

    pieces = [blanks.piece("a-1", blanks.rectangle(100, 100))]

    assert lay_out(pieces, blanks.stock(blanks.whole(500, 500)), seconds=0.0, packer=never).sheets


def test_rectangles_are_placed_tightly():
    """25 squares of 195 on a square metre less trim: five rows of five, 5 mm apart."""
    pieces = [blanks.piece(f"a-{i}", blanks.rectangle(194, 194)) for i in range(25)]
    layout = lay_out(
        pieces, blanks.stock(blanks.whole(1000, 1000)), seconds=0.0, packer=corner_packer
    )
    assert layout.left_out == ()
    assert layout.sheets[0].used == pytest.approx(25 * 0.194**2)


def test_the_remainder_is_what_one_saw_cut_frees():
    pieces = [blanks.piece("a-1", blanks.rectangle(990, 300))]
    layout = lay_out(pieces, blanks.stock(blanks.whole(1000, 1000)), seconds=0.0)

    left = layout.sheets[0].remainder
    assert (left.width, left.height) == pytest.approx((1000.0, 1000.0 - 305.0 - 2.0))


# --- outlines ------------------------------------------------------------------


@given(st.floats(5.0, 900.0), st.floats(0.0, 6.2), st.floats(0.05, 6.2), st.booleans())
def test_polygons_err_on_the_side_of_the_material(r, start, sweep, bulges):
    """A round-ended or bitten blank: the polygon holds it and exceeds it by at most 0.05 mm."""
    ends = [(r * math.cos(a), r * math.sin(a)) for a in (start, start + sweep)]
    if not bulges:
        ends.reverse()
    steps = blanks.loop([ends[0]])
    path = (*steps, replace(steps[0], to=ends[1], centre=(0.0, 0.0), left=bulges))
    exact = moments(path).area
    ring = ring_outside(path)
    area = 0.5 * sum(
        a[0] * b[1] - b[0] * a[1] for a, b in zip(ring, (*ring[1:], ring[0]), strict=True)
    )
    assert exact - 1e-6 <= area <= exact + 0.05 * r * sweep
    if bulges:
        assert all(math.hypot(*p) <= r + 0.05 + 1e-9 for p in ring)
