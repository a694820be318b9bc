"""What the bench is told: cones, holes, rows of kerfs, laps, rounds, strips and counts."""

import math
import re
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

import round_parts
import zoo
from draw.hand import INFO, comb, fold, handed, lamp, outwards, read_pages, ring, runs
from foldwright.draw import gauges_pdf, marking_out_pdf, paper_named, templates_pdf
from foldwright.draw.blank import blank_of, in_words
from foldwright.draw.drawing import A4
from foldwright.draw.gauges import gauges_of
from foldwright.draw.lots import lots_of
from foldwright.draw.marking_out import marking_out_pages
from foldwright.draw.placing import is_inside
from foldwright.draw.templates import paper_for, template_pages, tile_view, window_of
from foldwright.draw.tiling import tiling_of
from foldwright.flat import pattern_of
from foldwright.flat.pattern import Curved, Cutout, Mark, Panel, Piece, Step
from foldwright.plan import SeamWish

ROLL = replace(INFO, paper=paper_named("roll 610"))


def rectangle(width, height):
    return tuple(Step(p) for p in ((0.0, 0.0), (width, 0.0), (width, height), (0.0, height)))


def plate(name, width=200.0, height=120.0, **more):
    return Piece(f"{name}-1", name, "board3", 3.0, 0, rectangle(width, height), **more)


def circle(x, y, r):
    return (Step((x - r, y), (x, y), False), Step((x + r, y), (x, y), False))


def said(pdf):
    return " ".join(" ".join(page.text.split()) for page in read_pages(pdf))


# --- cones -----------------------------------------------------------------------


def test_a_cone_is_struck_from_its_apex_and_checked_by_its_chords():
    """Right cone of half angle a: its sector takes 360 sin(a) degrees.

    Closed form (development of a right circular cone): the wide arc is as
    long as the neutral line round the wide rim, 2 pi (110 - t/2 cos a), and
    its chord is 2 R sin(sector/2).
    """
    hood = round_parts.hood(220.0, 120.0, 150.0)
    text = said(marking_out_pdf(pattern_of(hood, zoo.BOARD, zoo.CUTTERS).pieces, INFO))
    half = 0.3
    for _ in range(50):  # its height takes in the inside rim, which stands t sin(a) lower
        half = math.atan2(50.0, 150.0 - 3.0 * math.sin(half))
    sector = math.tau * math.sin(half)
    radius = math.tau * (110.0 - 1.5 * math.cos(half)) / sector
    found = re.search(
        r"strike both arcs, radii ([\d.]+) mm and ([\d.]+) mm\. The sector takes ([\d.]+)°.*?"
        r"([\d.]+) mm across the wide arc, ([\d.]+) mm across the narrow arc and ([\d.]+) mm along",
        text,
    )
    wide, narrow, angle, wide_chord, narrow_chord, end = map(float, found.groups())

    assert angle == pytest.approx(math.degrees(sector), abs=0.051)
    assert wide == pytest.approx(radius, abs=0.051)
    assert wide_chord == pytest.approx(2.0 * radius * math.sin(sector / 2.0), abs=0.051)
    assert narrow_chord == pytest.approx(wide_chord * narrow / wide, abs=0.11)
    assert end == pytest.approx(wide - narrow, abs=0.11)
    assert "off the board" in text  # its apex lies above the upper edge


def test_the_apex_of_a_slender_cone_gets_no_tick_off_the_page():
    """3 m above a blank of 0.3 m: words say where, the scale ends with the board."""
    hood = round_parts.hood(220.0, 200.0, 300.0)
    for page in read_pages(marking_out_pdf(pattern_of(hood, zoo.BOARD, zoo.CUTTERS).pieces, INFO)):
        for line in page.lines:
            assert all(0.0 <= p[1] <= 297.0 for p in line.points if p)


# --- marks from the other side, grain, drilled in place ----------------------------


def rings(page, size):
    """Middles of circles of one diameter, of the narrow pen."""
    middles = []
    for line in page.of_width(0.25):
        xs, ys = zip(*(p for p in line.points if p), strict=True)
        if all(abs(max(v) - min(v) - size) < 0.01 for v in (xs, ys)):
            middles.append(((min(xs) + max(xs)) / 2.0, (min(ys) + max(ys)) / 2.0))
    return middles


def test_both_ends_of_a_fold_cut_from_the_other_side_are_pricked_through():
    """The fold lies 180 from the left end seen from outside: 120 on the marked inside."""
    page = read_pages(templates_pdf([outwards()], ROLL))[-1]
    corners = [p for line in page.of_width(0.5) for run in runs(line) for p in run]
    corners = [p for p in corners if p[1] > 45.0]  # not the sample in the legend
    left, low = (min(p[k] for p in corners) for k in (0, 1))
    pricked = [(x - left, y - low) for x, y in rings(page, 2.2) if y > 45.0]

    assert sorted(pricked) == [pytest.approx(p, abs=0.01) for p in ((120.0, 0.0), (120.0, 80.0))]
    assert "prick through to the other side" in page.text


def test_the_grain_arrow_is_turned_over_with_the_blank():
    """30 degrees seen from outside is 150 degrees on the inside that is marked."""
    page = read_pages(templates_pdf([replace(handed(), grain=math.radians(30.0))], ROLL))[-1]
    arrows = [
        math.degrees(math.atan2(b[1] - a[1], b[0] - a[0])) % 180.0
        for line in page.of_width(0.25)
        for a, b in runs(line)
        if abs(math.dist(a, b) - 24.0) < 0.01
    ]

    assert arrows == [pytest.approx(150.0, abs=0.01)]
    assert "grain or film arrow" in page.text


def test_a_hole_drilled_in_place_is_a_centre_and_nothing_more():
    """In the legend and in words, on both papers."""
    piece = plate("cover", 200.0, 119.0, marks=(Mark("centre", (50.0, 40.0), 6.5, "trunnion"),))
    marking = said(marking_out_pdf([piece], INFO))
    template = said(templates_pdf([piece], INFO))

    for text in (marking, template):
        assert "centre only: drill in place, through both parts" in text
    assert "Mark the centre 5 (trunnion) only: drill 6.5 mm in place" in marking


# --- holes, slots, developed curves -------------------------------------------------


def test_small_holes_are_drilled_slots_sawn_between_and_large_ones_struck():
    slot = (
        Step((40.0, 84.0)),
        Step((40.0, 90.0), (40.0, 87.0), False),
        Step((80.0, 90.0)),
        Step((80.0, 84.0), (80.0, 87.0), False),
    )
    piece = plate(
        "cover",
        cutouts=(
            Cutout(circle(30.0, 30.0, 4.2), "leg bolt 1"),
            Cutout(circle(170.0, 30.0, 4.2), "leg bolt 2"),
            Cutout(circle(100.0, 50.0, 25.0), "gauge"),
            Cutout(slot, "vent"),
        ),
    )
    text = said(marking_out_pdf([piece], INFO))

    assert re.search(r"Drill 8\.4 mm at \d+ and \d+: leg bolt\.", text)
    assert re.search(r"strike the cutout \(gauge\): radius 25\.0 mm", text)
    assert re.search(r"Drill 6\.0 mm at \d+ and \d+, then saw from one to the other: vent\.", text)


@given(st.integers(60, 400), st.floats(20.0, 90.0))
def test_a_developed_curve_names_as_many_points_as_a_hand_needs(count, radius):
    """A ring of short lines: twelve points, none more than 60 degrees from the next."""
    corners = [
        (
            150.0 + radius * math.cos(-math.tau * i / count),
            100.0 + radius * math.sin(-math.tau * i / count),
        )
        for i in range(count)
    ]
    piece = plate("wall", 300.0, 200.0, cutouts=(Cutout(tuple(map(Step, corners)), "lens"),))
    named = [p.at for p in blank_of(piece).points if p.kind == "curve"]
    angles = sorted(math.atan2(y - 100.0, x - 150.0) for x, y in named)
    gaps = [(b - a) % math.tau for a, b in zip(angles, angles[1:] + angles[:1], strict=True)]

    assert 10 <= len(named) <= 14
    assert max(gaps) <= math.radians(60.0)
    assert all(math.dist(p, (150.0, 100.0)) == pytest.approx(radius) for p in named)


def test_a_small_hole_in_a_curled_wall_is_drilled_not_drawn_through_twelve_points():
    """An 8 mm hole through a wall of 100 radius: 8.002 round the wall, 8 along it."""
    corners = [
        (150.0 + 100.0 * math.asin(0.04 * math.cos(a)), 100.0 + 4.0 * math.sin(a))
        for a in (-math.tau * i / 60 for i in range(60))
    ]
    piece = plate("wall", 300.0, 200.0, cutouts=(Cutout(tuple(map(Step, corners)), "bolt 1"),))

    assert [p.at for p in blank_of(piece).points][4:] == [pytest.approx((150.0, 100.0))]
    assert "Drill 8.0 mm at 5: bolt." in said(marking_out_pdf([piece], INFO))


def test_words_never_stand_on_what_is_cut_out():
    """A ledge that is mostly window: its name and THIS SIDE UP stand on the rim."""
    from draw.test_sheets import words_of

    window = tuple(map(Step, ((15.0, 15.0), (15.0, 105.0), (155.0, 105.0), (155.0, 15.0))))
    piece = plate("ledge", 170.0, 120.0, cutouts=(Cutout(window, "window"),), grain=0.0)
    page = template_pages([piece], INFO)[-1]
    paper = paper_for(blank_of(piece), INFO)
    tiling = tiling_of(blank_of(piece), window_of(paper))
    view = tile_view(tiling.tiles[0], tiling, paper)
    hole = [view.at(step.to) for step in window]
    inside = [words.text for words, frame in words_of(page) if is_inside(frame.middle, hole)]

    assert not inside


def test_a_corner_that_a_relief_hole_takes_away_is_not_marked():
    """Two edges along the sheet that end in the hole; the oblique one keeps its end."""
    corners = ((0.0, 0.0), (99.5, 0.0), (99.5, 50.5), (200.0, 50.5), (200.0, 120.0), (0.0, 120.0))
    piece = replace(plate("tab"), outline=tuple(map(Step, corners)))
    drilled = replace(piece, marks=(Mark("drill", (100.0, 50.0), 3.0, "relief"),))
    leaning = replace(
        drilled, outline=tuple(map(Step, (*corners[:3], (200.0, 80.5), *corners[4:])))
    )

    def marked(some):
        return [p.at for p in blank_of(some).points if p.kind == "corner"]

    assert (99.5, 50.5) in marked(piece)
    assert (99.5, 50.5) not in marked(drilled)
    assert (99.5, 50.5) in marked(leaning)


# --- folds: rows of kerfs, rounds, laps ----------------------------------------------


def kerfed():
    """Four saw kerfs 6 apart that share a turn of 80 degrees, and a plain groove."""
    kerf = {"method": "kerf", "cutter": 0.0, "floor": 2.2, "shuts_at": math.inf}
    ids = ("top", "top~front 1", "top~front 2", "top~front 3", "front")
    names = {"top": "top", "front": "front"}
    folds = tuple(
        fold((100.0 + 6.0 * i, 0.0), (100.0 + 6.0 * i, 80.0), (ids[i], ids[i + 1]), 20.0, **kerf)
        for i in range(4)
    )
    last = fold((200.0, 0.0), (200.0, 80.0), ("front", "foot"), 90.0)
    flat = ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0))
    still = ((1.0, 0.0, 0.0, 0.0), (0.0, 1.0, 0.0, 0.0), (0.0, 0.0, 1.0, 0.0))
    panels = tuple(Panel(i, names.get(i, ""), flat, still) for i in ids)
    return plate(
        "cowl",
        300.0,
        80.0,
        folds=(*folds, last),
        panels=(*panels, Panel("foot", "foot", flat, still)),
    )


def test_a_row_of_kerfs_is_one_fold_with_its_count_and_pitch():
    blank = blank_of(kerfed())
    text = said(marking_out_pdf([kerfed()], INFO))

    assert [f.letter for f in blank.folds] == ["A1", "A2", "A3", "A4", "B"]
    assert [(f.letter, f.kerfs, round(f.pitch, 9)) for f in blank.bends] == [
        ("A", 4, 6.0),
        ("B", 1, 0.0),
    ]
    assert math.degrees(blank.bends[0].fold.turn) == pytest.approx(80.0)
    assert "one fold, one row of kerfs" in text
    assert "Four kerfs to a row, 6.0 from middle to middle; each turns 20.0°" in text
    assert "Kerf 2.2 wide; leave 0.8" in text
    assert re.search(r"A\s+top, front\s+100\.0°", text)


def test_a_row_of_kerfs_is_held_to_one_gauge():
    """80 degrees in all and 1.5 over for each kerf; not four gauges of 20."""
    assert [g.fold_to for g in gauges_of([kerfed()])] == [88.5, 94.0]
    assert "cowl A, finished 100.0°" in said(gauges_pdf([kerfed()], INFO))


@pytest.mark.parametrize(
    ("method", "side", "words"),
    [
        ("score", "inside", "Score along a rule"),
        ("hot", "none", "Heat a strip 2.0 wide along the middle line"),
        ("bend", "none", "Bend on the middle line, inner radius 0.64"),
        ("open", "inside", "the cut opens as you fold; fill it"),
    ],
)
def test_each_way_to_fold_has_words_of_its_own(method, side, words):
    piece = plate(
        "tray", folds=(fold((80.0, 120.0), (80.0, 0.0), ("a", "b"), method=method, cut_side=side),)
    )

    assert words in said(marking_out_pdf([piece], INFO))


def rounded():
    """Two panels with a round between them, 40 to 71.4 across."""
    still = ((1.0, 0.0, 0.0, 0.0), (0.0, 1.0, 0.0, 0.0), (0.0, 0.0, 1.0, 0.0))

    def across(x0, x1):
        return ((x0, 0.0), (x1, 0.0), (x1, 90.0), (x0, 90.0))

    return plate(
        "tray",
        120.0,
        90.0,
        panels=(
            Panel("floor", "floor", across(0.0, 40.0), still),
            Panel("right", "right", across(71.4, 120.0), still),
        ),
        curved=(
            Curved(
                "floor~right",
                across(40.0, 71.4),
                (0.0, 0.0, 0.0),
                (0.0, 1.0, 0.0),
                (1.0, 0.0, 0.0),
                40.0,
                21.0,
                20.0,
                1,
            ),
        ),
    )


def test_a_round_shows_where_it_begins_and_ends_and_reads_as_prose():
    blank = blank_of(rounded())
    text = said(marking_out_pdf([rounded()], INFO))

    assert in_words("floor~right") == "round between floor and right"
    assert sorted(round(a[0], 6) for a, _ in blank.curls) == [40.0, 71.4]
    assert {p.at for p in blank.points if p.kind == "curl end"} == {
        (40.0, 0.0),
        (40.0, 90.0),
        (71.4, 0.0),
        (71.4, 90.0),
    }
    assert "where a round begins and ends" in text
    assert "Curl the round between floor and right to 21.0 mm radius, outside." in text
    assert "two panels, one round" in text and "~" not in text


def test_notes_speak_of_rounds_and_faces_in_words():
    info = replace(INFO, notes={"tray": ("floor~right may wrinkle.",)})
    text = said(marking_out_pdf([rounded()], info))

    assert "The round between floor and right may wrinkle." in text


def test_a_lap_says_which_board_covers_which():
    box = zoo.box(name="lap", seam=SeamWish("lap", over="front"), leave_open=("top",))
    text = said(marking_out_pdf(pattern_of(box, zoo.BOARD, zoo.CUTTERS).pieces, INFO))

    assert re.search(r"Lap, which covers which: .*front over (left|right)", text)
    assert "(left|right) over front" not in text
    assert "square: lap seam" in text


# --- alike pieces, strips, the list of templates ---------------------------------------


def strip(seam, length=200.0, part="pedestal"):
    number = "abcdefgh".index(seam) + 2
    piece = plate(part, length, 24.0, folds=(fold((length, 12.0), (0.0, 12.0), ("u", "v")),))
    return replace(piece, id=f"{part}-{number}", role=f"backing strip, seam {seam}")


def test_equal_strips_are_one_row_with_their_count():
    """Three of 200 and one of 90: two rows on one sheet, no drawing each, no template."""
    strips = [strip("a"), strip("b"), strip("c", 90.0), strip("d")]
    (page,) = read_pages(marking_out_pdf(strips, INFO))
    text = " ".join(page.text.split())
    (listed,) = read_pages(templates_pdf(strips, INFO))

    assert re.search(r"3 200\.0 24\.0 12\.0 90\.0° 88\.5° pedestal a, b and d", text)
    assert re.search(r"1 90\.0 24\.0 12\.0 90\.0° 88\.5° pedestal c", text)
    assert "Four strips of 3 mm skinned board" in text
    assert "backing strips for seams a, b and d" in listed.text
    assert "Without a template" in listed.text


def test_alike_pieces_are_drawn_once_and_made_several_times():
    """Ribs of one shell; another size, stock or side is another lot."""
    rib = replace(ring(), id="rib_left-1", part="rib_left")
    other = replace(ring(), id="rib_right-1", part="rib_right")
    unlike = replace(ring(), id="rib_thin-1", part="rib_thin", stock="board3")
    lots = lots_of([rib, other, unlike])
    text = said(marking_out_pdf([rib, other], INFO))

    assert [lot.count for lot in lots] == [2, 1]
    assert lots[0].title == "Rib left and rib right"
    assert "Make 2 of these." in text
    assert len(read_pages(marking_out_pdf([rib, other], INFO))) == 1
    assert len(template_pages([rib, other], INFO)) == len(template_pages([rib], INFO))


def test_the_other_hand_is_another_lot():
    """A handed piece and its mirror image share no drawing."""
    from draw.test_true_size import mirror

    other = replace(mirror(handed()), id="other-1", part="other")

    assert len(lots_of([replace(handed(), seams=(), panels=(), marks=()), other])) == 2


def test_the_list_of_templates_gives_the_right_sheets():
    """Every sheet it names is there, and says the piece."""
    pieces = [handed(), lamp(), plate("shelf"), ring(), comb()]
    pages = read_pages(templates_pdf(pieces, INFO))
    rows = re.findall(
        r"^(Cheek|Lamp|Cap top|Comb) 1 [\d. ]+? (\d+) (\d+)(?:\N{EN DASH}(\d+))?\s*$",
        pages[0].text,
        re.MULTILINE,
    )

    assert [name for name, *_ in rows] == ["Cheek", "Lamp", "Cap top", "Comb"]
    for name, tiles, first, last in rows:
        sheets = range(int(first), int(last or first) + 1)
        assert len(sheets) == int(tiles) + (int(tiles) > 1)
        assert all(name in pages[i - 1].text for i in sheets)
    assert int(rows[-1][3]) == len(pages)
    assert "Shelf 1 200.0 120.0 3 mm skinned board" in " ".join(pages[0].text.split())
    assert not any("Shelf" in page.text for page in pages[1:])


@pytest.mark.parametrize("size", [(400.0, 300.0), (172.0, 216.0), (173.0, 217.0), (850.0, 1217.0)])
def test_what_a_tile_prints_fits_its_page(size):
    """Outer cells are larger than inner ones, yet never than the page."""
    blank = blank_of(plate("sheet", *size))
    room = window_of(A4)
    tiling = tiling_of(blank, room)
    for tile in tiling.tiles:
        shown = tile_view(tile, tiling, A4).window

        assert shown.left >= room.left - 1e-9 and shown.right <= room.right + 1e-9
        assert shown.low >= room.low - 1e-9 and shown.high <= room.high + 1e-9
    cells = [tile.cell for tile in tiling.tiles]
    assert min(c.left for c in cells) <= -3.0 + 1e-9
    assert max(c.right for c in cells) >= size[0] + 3.0 - 1e-9


# --- inches ------------------------------------------------------------------------------


@given(st.floats(0.0, 3000.0))
def test_lengths_in_inches_are_the_nearest_64th_in_lowest_terms(mm):
    """1 in is 25.4 mm exactly (international yard and pound agreement, 1959)."""
    shown = replace(INFO, units="in").length(mm)
    parts = [Fraction(word) for word in shown.split()]
    value = sum(parts)

    assert abs(float(value) - mm / 25.4) <= 1.0 / 128.0 + 1e-9
    assert 64 % value.denominator == 0
    assert len(parts) == 1 or (parts[0].denominator == 1 and 0 < parts[1] < 1)
    assert all("/" not in word or str(Fraction(word)) == word for word in shown.split())


def test_copies_of_a_part_share_a_drawing_and_a_gauge():
    """Four folded trays, seams and all: one sheet, which the note has already counted."""
    copies = [
        replace(
            handed(),
            id=f"tray-{i}-1",
            part=f"tray-{i}",
            seams=tuple(replace(s, mate=(f"tray-{i}-1", s.mate[1])) for s in handed().seams),
        )
        for i in range(1, 5)
    ]
    note = "Make 4 of these: tray-1, tray-2, tray-3, tray-4."
    info = replace(INFO, notes={f"tray-{i}": (note,) for i in range(1, 5)})
    (lot,) = lots_of(copies)
    text = said(marking_out_pdf(copies, info))

    assert lot.title == "Tray 1 to 4"
    assert text.count("Make 4 of these") == 1
    assert [serves for g in gauges_of(copies) for _, serves in g.serves] == [
        "tray 1 to 4 A",
        "tray 1 to 4 B",
    ]


def test_drums_of_two_diameters_share_no_drawing():
    """Their blanks may be equal for all that: what they are curled to is not."""
    one = lamp()
    other = replace(one, id="horn-1", part="horn", curved=(replace(one.curved[0], radius=90.0),))

    assert len(lots_of([one, other])) == 2


@pytest.mark.parametrize("name", ["handed", "l_profile", "dart", "closed_box"])
@pytest.mark.parametrize("units", ["mm", "in"])
def test_no_two_words_stand_on_each_other_on_sheets_of_real_patterns(name, units):
    """Crowded corners, short folds, names without room."""
    from draw.test_sheets import words_of

    pieces = pattern_of(zoo.FOLDED[name], zoo.BOARD, zoo.CUTTERS).pieces
    for page in marking_out_pages(pieces, replace(INFO, units=units)):
        placed = words_of(page)
        for i, (words, frame) in enumerate(placed):
            on = [other.text for other, more in placed[i + 1 :] if frame.overlaps(more)]

            assert not on, f"{words.text!r} stands on {on}"
