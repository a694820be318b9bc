"""A curled blank is drawn as it is cut, with the lines to trim it at, at their true lengths."""

import io
import math
import re
from dataclasses import replace
from xml.etree import ElementTree

import ezdxf
import pytest
from pytest import approx

import zoo
from draw.hand import INFO, drum, lamp, read_pages, runs
from draw.test_dxf import area, on_layer, read
from draw.test_true_size import joined, stretches, tiles_of
from foldwright.draw import laid_blanks, laid_out_dxf, marking_out_pdf, piece_dxf, piece_svg
from foldwright.draw.blank import blank_of
from foldwright.draw.book_lists import describe_short
from foldwright.draw.checks import check_lengths
from foldwright.draw.drawing import SHEET, TRIM_LINE
from foldwright.draw.layouts import layout_pages
from foldwright.draw.lots import lots_of
from foldwright.draw.marking_out import marking_out_pages
from foldwright.draw.pdf import pdf_of
from foldwright.draw.running import readings
from foldwright.draw.templates import needs_none, templates_pdf
from foldwright.draw.wording import describe
from foldwright.flat import pattern_of
from foldwright.sheet import lay_out
from round_parts import hood
from sheet import hand_made

SPARE = 40.0
AROUND = math.pi * 218.0
TRIM_WORDS = "trim here once it is curled"
SVG = "{http://www.w3.org/2000/svg}"


def cowl(spare=SPARE):
    """A hood of the demo's kind, 220 and 120 across, 60 high, in 3 mm board."""
    (piece,) = pattern_of(
        hood(height=60.0, name="cowl"), zoo.BOARD, zoo.CUTTERS, spare=spare
    ).pieces
    return piece


def longer(piece):
    return replace(piece, spare=SPARE)


def slant(piece):
    return math.dist(piece.seams[0].a, piece.seams[0].b)


def in_one_frame(piece, length):
    """Narrow lines of about a length, and all cut lines, of a template whose tiles are joined."""
    tiles = tiles_of(read_pages(templates_pdf([piece], INFO)), piece.part.capitalize())
    places = joined(tiles)
    found = [
        ((a[0] + dx, a[1] + dy), (b[0] + dx, b[1] + dy))
        for place, (dx, dy) in places.items()
        for line in tiles[place].of_width(TRIM_LINE.width)
        for a, b in runs(line)
        if abs(math.dist(a, b) - length) < 0.5
    ]
    return once(found), [(a, b) for a, b, _ in stretches(tiles, places)]


def once(lines):
    """Each line once, although neighbouring tiles both print it."""
    kept = []
    for a, b in lines:
        if all(
            min(math.dist(a, p) + math.dist(b, q), math.dist(a, q) + math.dist(b, p)) > 0.01
            for p, q in kept
        ):
            kept.append((a, b))
    return kept


# --- true size ---------------------------------------------------------------


def test_a_drum_s_template_has_the_rough_rectangle_and_its_trim_lines():
    """Cut 764.9 by 310; two narrow lines 310 long, 684.9 apart, 40 from each end."""
    trims, cuts = in_one_frame(longer(lamp()), 310.0)
    left = min(p[0] for a, b in cuts for p in (a, b))
    right = max(p[0] for a, b in cuts for p in (a, b))
    places = sorted(a[0] for a, b in trims)

    assert right - left == approx(AROUND + 2.0 * SPARE, abs=0.001)
    assert [math.dist(a, b) for a, b in trims] == approx([310.0, 310.0], abs=0.001)
    assert places == approx([left + SPARE, right - SPARE], abs=0.001)
    assert places[1] - places[0] == approx(AROUND, abs=0.001)


def test_a_hood_s_template_has_its_flaps_and_its_trim_lines():
    """Trim lines as long as the slant; 40 further out the edges to cut, parallel and as long."""
    long = slant(cowl())
    trims, cuts = in_one_frame(cowl(), long)
    ends = once([(a, b) for a, b in cuts if abs(math.dist(a, b) - long) < 0.001])

    assert [math.dist(a, b) for a, b in trims] == approx([long, long], abs=0.001)
    assert len(ends) == 2
    for a, b in trims:
        away = [sorted(math.dist(p, q) for p in (a, b) for q in end) for end in ends]

        assert min(away)[:2] == approx([SPARE, SPARE], abs=0.001)


# --- words and figures -------------------------------------------------------


def test_the_marking_out_sheet_of_a_drum_has_both_sizes():
    text = " ".join(read_pages(marking_out_pdf([longer(lamp())], INFO))[0].text.split())

    assert "A blank 764.9 by 310.0 mm, to be curled." in text
    assert (
        "Leave 40.0 mm on at each end while you curl it, and trim both off at their lines, "
        "684.9 mm apart, afterwards." in text
    )
    assert text.count(TRIM_WORDS) == 3  # on both lines, and in the legend


def test_a_short_trim_line_is_named_in_fewer_words():
    """60 mm high at 1:5 leave 12 mm: two words on each line, all of them in the legend."""
    (cap,) = pattern_of(zoo.drum(214.0, 60.0), zoo.BOARD, zoo.CUTTERS, spare=15.0).pieces
    text = " ".join(read_pages(marking_out_pdf([cap], INFO))[0].text.split())

    assert text.count("trim here") == 3
    assert text.count(TRIM_WORDS) == 1


def test_running_dimensions_include_both_outlines():
    """0, 40, then 724.9 and 764.9; nothing more along a drum without openings."""
    found = readings(blank_of(longer(drum())), INFO, 0)

    assert [r.value for r in found] == approx([0.0, 40.0, AROUND + 40.0, AROUND + 80.0])
    assert [r.shown for r in found] == ["0.0", "40.0", "724.9", "764.9"]


def test_the_check_diagonals_run_between_the_trim_lines():
    """The seam has to be square, the end that is cut off does not: root of 684.9^2 + 310^2."""
    found = check_lengths(blank_of(longer(drum())), INFO)

    assert [round(math.dist(a, b), 3) for a, b, _ in found] == [
        round(math.hypot(AROUND, 310.0), 3)
    ] * 2
    assert {words for _, _, words in found} == {"check 751.8"}


def test_the_chord_of_a_hood_is_that_of_its_arc():
    """2 R sin(angle / 2), not what lies between its flaps."""
    cone = cowl().curved[0]
    radius = max(math.dist(p, cone.flat_apex) for p in cone.flat)
    chord = 2.0 * radius * math.sin(math.pi * math.sin(cone.half_angle))
    ((a, b, words),) = check_lengths(blank_of(cowl()), INFO)

    assert math.dist(a, b) == approx(chord)
    assert words == f"check {chord:.1f}"


def test_a_hood_s_sheet_says_how_to_mark_its_flaps():
    text = " ".join(read_pages(marking_out_pdf([cowl()], INFO))[0].text.split())

    assert "The straight ends are its trim lines. Square to each, 40.0 mm further out" in text


def test_a_blank_without_anything_left_on_says_nothing_of_it():
    text = " ".join(read_pages(marking_out_pdf([lamp(), cowl(0.0)], INFO))[0].text.split())

    assert "trim" not in text
    assert "Leave" not in describe(blank_of(lamp()), INFO)


def test_a_drum_with_an_opening_is_a_rectangle_still():
    """Its outline is the sheet before cutting; no second line is drawn on it."""
    names = {
        item.pen.name
        for page in marking_out_pages([longer(lamp())], INFO)
        for item in page.items
        if hasattr(item, "pen")
    }

    assert blank_of(lamp()).is_rectangle
    assert SHEET.name not in names
    assert not blank_of(cowl()).is_rectangle


def test_a_plain_drum_still_needs_no_template():
    """Four lines by rule and square are there sooner than eight tiles."""
    assert needs_none(blank_of(longer(drum())))
    assert not needs_none(blank_of(longer(lamp())))


def test_drums_with_more_left_on_are_another_lot():
    """The same outline to cut, if by chance, but trimmed elsewhere."""
    narrower = replace(
        drum(),
        id="other-1",
        outline=tuple(
            replace(s, to=(min(s.to[0], AROUND - 20.0), s.to[1])) for s in drum().outline
        ),
        seams=tuple(
            replace(
                s,
                a=(min(s.a[0], AROUND - 20.0), s.a[1]),
                b=(min(s.b[0], AROUND - 20.0), s.b[1]),
            )
            for s in drum().seams
        ),
        spare=SPARE + 10.0,
    )
    widths = {round(blank_of(p).box.width, 6) for p in (longer(drum()), narrower)}

    assert len(widths) == 1
    assert len(lots_of([longer(drum()), narrower])) == 2


def test_the_cut_list_of_the_book_has_the_trimmed_size():
    assert describe_short(longer(drum()), INFO) == "curled, trimmed to 684.9 by 310.0"
    assert describe_short(drum(), INFO) == "curled"


# --- files -------------------------------------------------------------------


@pytest.mark.parametrize("piece", [longer(lamp()), cowl()], ids=lambda p: p.part)
def test_the_dxf_has_the_rough_outline_and_a_layer_of_trim_lines(piece):
    document = read(piece_dxf(piece, INFO))
    (outline,) = on_layer(document, "cut outline")
    trims = on_layer(document, TRIM_WORDS)
    bare = area(on_layer(read(piece_dxf(replace(piece, spare=0.0), INFO)), "cut outline")[0])
    layer = document.layers.get(TRIM_WORDS)

    assert area(outline) == approx(bare + 2.0 * SPARE * slant(piece), rel=1e-9)
    assert [(t.dxf.end - t.dxf.start).magnitude for t in trims] == approx([slant(piece)] * 2)
    assert layer.dxf.linetype == document.layers.get(SHEET.name).dxf.linetype != "CONTINUOUS"


def test_the_svg_has_a_group_of_trim_lines_at_their_true_length():
    root = ElementTree.fromstring(piece_svg(longer(lamp()), INFO))
    groups = {g.get("id"): g for g in root.iter(f"{SVG}g") if g.get("id")}
    numbers = [
        [float(n) for n in re.findall(r"-?[\d.]+", path.get("d"))]
        for path in groups["trim-here-once-it-is-curled"]
    ]
    (cut, _window) = groups["cut-outline"]
    xs = [float(n) for n in re.findall(r"[ML](-?[\d.]+)", cut.get("d"))]

    assert [math.dist(n[:2], n[2:4]) for n in numbers] == approx([310.0, 310.0])
    assert max(xs) - min(xs) == approx(AROUND + 2.0 * SPARE)


@pytest.fixture
def laid():
    pieces = [
        pattern_of(part, zoo.BOARD, zoo.CUTTERS, spare=SPARE).pieces[0]
        for part in (zoo.drum(160.0, 120.0), hood(height=60.0, name="cowl"))
    ]
    stock = hand_made.stock(hand_made.whole(1000, 800))
    return pieces, lay_out(pieces, stock, seconds=0.0)


def test_the_dxf_of_a_layout_has_the_blanks_as_they_are_cut(laid):
    pieces, layout = laid
    (sheet,) = layout.sheets
    data = laid_out_dxf(laid_blanks(sheet, pieces), sheet.sheet.outline, "sheet 1")
    document = ezdxf.read(io.StringIO(data.decode("utf-8")))
    areas = sorted(area(p) for p in on_layer(document, "cut outline"))
    lengths = sorted((e.dxf.end - e.dxf.start).magnitude for e in on_layer(document, TRIM_WORDS))

    assert sum(areas) / (1000.0 * 800.0) == approx(sheet.used)
    assert lengths == approx(sorted([120.0, 120.0, slant(pieces[1]), slant(pieces[1])]))


def test_a_printed_layout_names_the_trim_lines(laid):
    pieces, layout = laid
    (page,) = read_pages(pdf_of(layout_pages([layout], pieces, INFO), "layouts"))

    assert TRIM_WORDS in page.text
