"""What stands on the sheets, and that it can be read."""

import math
import re
from dataclasses import replace
from itertools import pairwise

import pytest

from draw.hand import INFO, comb, drum, handed, lamp, outwards, read_pages, ring
from foldwright.draw import marking_out_pdf, templates_pdf
from foldwright.draw.drawing import CUT, Group, Stroke, Words, sampled
from foldwright.draw.fonts import CAPITAL, text_width
from foldwright.draw.gauges import gauge_pages
from foldwright.draw.marking_out import marking_out_pages
from foldwright.draw.placing import Frame, clipped
from foldwright.draw.templates import template_pages


def flat_items(items, shift=(0.0, 0.0)):
    for item in items:
        if isinstance(item, Group):
            yield from flat_items(item.items, (shift[0] + item.shift[0], shift[1] + item.shift[1]))
        else:
            yield item, shift


def frame_of(words, shift):
    """Oblong that a line of capitals covers, a hair smaller than the letters."""
    width = text_width(words.text, words.face, words.size)
    along = {"start": width / 2.0, "middle": 0.0, "end": -width / 2.0}[words.anchor]
    up = words.size * CAPITAL / 2.0
    cos, sin = math.cos(words.turn), math.sin(words.turn)
    middle = (
        words.at[0] + shift[0] + along * cos - up * sin,
        words.at[1] + shift[1] + along * sin + up * cos,
    )
    return Frame(middle, (width / 2.0 - 0.05, up - 0.05), words.turn)


def words_of(page):
    return [(w, frame_of(w, s)) for w, s in flat_items(page.items) if isinstance(w, Words)]


def cut_lines(items, shift=(0.0, 0.0), clip=None):
    """Straight stretches of all wide lines, as far as they are shown."""
    for item in items:
        if isinstance(item, Group):
            moved = (shift[0] + item.shift[0], shift[1] + item.shift[1])
            yield from cut_lines(item.items, moved, item.clip or clip)
        elif isinstance(item, Stroke) and item.pen == CUT:
            for segment in item.path:
                run = sampled((segment,))
                for a, b in pairwise([*run, segment.b]):
                    shown = clipped(a, b, clip) if clip else (a, b)
                    if shown and shown[0] != shown[1]:
                        yield tuple((x + shift[0], y + shift[1]) for x, y in shown)


SHEETS = {
    "templates": template_pages,
    "marking out": marking_out_pages,
    "gauges": gauge_pages,
}


@pytest.mark.parametrize("units", ["mm", "in"])
@pytest.mark.parametrize("name", SHEETS)
def test_no_two_words_stand_on_each_other(name, units):
    """On any sheet of the plain pieces."""
    pieces = (handed(), outwards(), drum(), lamp(), ring())
    for page in SHEETS[name](pieces, replace(INFO, units=units)):
        placed = words_of(page)
        for i, (a, frame) in enumerate(placed):
            on = [b.text for b, other in placed[i + 1 :] if frame.overlaps(other)]

            assert not on, f"{a.text!r} stands on {on}"


@pytest.mark.parametrize("name", SHEETS)
def test_no_cut_line_runs_through_words(name):
    """A wide line through a number makes it another number."""
    pages = SHEETS[name]((handed(), outwards(), lamp(), ring()), INFO)
    drawn = pages[1:] if name == "templates" else pages  # the first page of these is a list
    for page in drawn:
        lines = list(cut_lines(page.items))
        assert lines
        for words, frame in words_of(page):
            hit = any(frame.crosses(a, b) for a, b in lines)

            assert not hit, f"a cut line runs through {words.text!r}"


def test_a_marking_out_sheet_gives_every_number_that_the_bench_needs():
    """Running dims, checks, the fold table and the bevels of a handed piece, by hand.

    Seen on the inside, 320 by 270, x counted from the right-hand end of the
    flat frame: the flap's corners lie at 320, the fold A at 260.
    """
    text = read_pages(marking_out_pdf([handed()], INFO))[0].text

    for number in ("320.0", "270.0", "260.0", "150.0", "20.0"):
        assert re.search(rf"(?<![\d.]){re.escape(number)}", text)
    assert f"check {math.hypot(260.0, 270.0):.1f}" in text
    assert f"check {math.hypot(300.0, 250.0):.1f}" in text
    assert re.search(r"A\s+front, left\s+90\.0°\s+88\.5°\s+150\.0", text)
    assert re.search(r"B\s+top, front\s+100\.0°\s+98\.5°\s+260\.0", text)
    assert re.search(r"a\s45\.0°", text)
    assert "THIS SIDE UP: inside of the cheek, film side down" in text
    assert "the flap moved 0.9 out" in text
    assert "datum corner" in text


def test_a_groove_cut_from_the_other_side_is_pricked_through():
    """Said in words, and its middle line dashed and named."""
    text = read_pages(marking_out_pdf([outwards()], INFO))[0].text

    assert re.search(r"Prick the ends\s+of B through", text)
    assert "middle of groove on the other side" in text


def test_long_lists_go_on_further_sheets_and_lose_nothing():
    """29 folds and 92 corners: every fold and every corner is in a table somewhere."""
    pages = read_pages(marking_out_pdf([comb()], INFO))
    text = "\n".join(page.text for page in pages)

    assert len(pages) >= 3
    assert f"1 of {len(pages)}" in pages[0].text
    for i in range(1, 30):
        assert f"panel {i - 1}, panel {i}" in text
    assert len(re.findall(r"^\d+\s*$|^\d+ corner", text, re.MULTILINE)) >= 92
    assert text.count("comb, continued".capitalize()) == len(pages) - 1


def test_a_drum_says_what_it_closes_to():
    """pi 220 = 691.2 round the outside, 216 across the inside of 2 mm board."""
    text = " ".join(read_pages(marking_out_pdf([drum()], INFO))[0].text.split())

    assert "691.2 mm round the outside" in text
    assert "220.0 mm across the outside and 216.0 mm across the inside" in text
    assert "butt seam" in text


def test_a_ring_is_struck_from_its_centre():
    """Centre and both radii."""
    text = " ".join(read_pages(marking_out_pdf([ring()], INFO))[0].text.split())

    assert "From centre 1 strike the edge: radius 115.0 mm." in text
    assert "From centre 1 strike the cutout: radius 30.0 mm." in text


def test_a_build_in_inches_shows_fractions():
    """320 mm is 12.598 in, nearest 12 38/64; 270 mm is 10.630 in, nearest 10 40/64."""
    info = replace(INFO, units="in")
    text = " ".join(read_pages(marking_out_pdf([handed()], info))[0].text.split())

    assert "12 19/32 by 10 5/8 in" in text
    assert "inches, outside: to 1/64, set-ups 0.001" in text
    assert "flat floor 0.079 wide; leave 0.031" in text  # 2.0 and 0.8 mm
    assert " mm" not in text.replace("100 mm", "").replace("3 mm", "")  # but bars, stock, drills


def test_tiles_name_their_neighbours_and_their_lines():
    """A1 of a two by two: A2 to the right, B1 below."""
    pages = read_pages(templates_pdf([handed()], INFO))
    first = next(page for page in pages if "tile A1" in page.text)

    assert "A2 joins here" in first.text
    assert "B1 joins here" in first.text
    for name in (
        "cut outline",
        "middle of groove",
        "edge of groove floor",
        "witness mark",
        "joint between tiles",
        "drill ⌀3",
    ):
        assert name in first.text
    assert "Revision 2: the flap moved" in pages[0].text


def test_names_beyond_all_measure_stay_on_the_sheet():
    """A title block with a build name of two hundred letters."""
    info = replace(INFO, build="The very long name of a build " * 7, drawn="Wednesday 14 May 2025")
    for page in marking_out_pages([handed()], info):
        for words, frame in words_of(page):
            box = frame.box

            assert box.left > 4.0, words.text
            assert box.right < 206.0, words.text


def test_letters_that_a_face_lacks_are_replaced_not_dropped():
    """Lodz with its strokes is printed plain; nothing becomes an empty box."""
    info = replace(INFO, build="Z\u0142ota \u0160kola \u6f22")
    text = read_pages(marking_out_pdf([drum()], info))[0].text

    assert "Skola ?" in text
