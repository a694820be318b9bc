"""Other papers than A4, and a printer that does not print true."""

import math
import re
from dataclasses import replace

import pytest

from draw.hand import INFO, comb, drum, handed, outwards, read_pages, ring, runs
from foldwright.draw import gauges_pdf, marking_out_pdf, paper_named, templates_pdf
from foldwright.errors import OutOfDomain, UnknownName

BAR = 0.35
PIECES = (handed(), outwards(), drum(), ring(), comb())


def bars(page):
    """Lengths of the check bars as they stand in the file: across, up."""
    sides = [
        (abs(b[0] - a[0]), abs(b[1] - a[1])) for line in page.of_width(BAR) for a, b in runs(line)
    ]
    return [x for x, y in sides if y < 1e-6 and 90.0 < x < 110.0], [
        y for x, y in sides if x < 1e-6 and 90.0 < y < 110.0
    ]


@pytest.mark.parametrize(
    ("name", "size"),
    [("A4", (210.0, 297.0)), ("a3", (297.0, 420.0)), ("Letter", (215.9, 279.4))],
)
def test_every_document_comes_on_the_paper_asked_for(name, size):
    """ISO 216; ANSI/ASME Y14.1: Letter is 8 1/2 by 11 in."""
    info = replace(INFO, paper=paper_named(name))
    for make in (templates_pdf, marking_out_pdf, gauges_pdf):
        for page in read_pages(make(PIECES, info)):
            across, up = bars(page)

            assert page.size == pytest.approx(size, abs=1e-3)
            assert across == pytest.approx([100.0], abs=0.001)
            assert up == pytest.approx([100.0], abs=0.001)


def test_a_roll_is_cut_off_where_the_blank_ends():
    """The drum, a plain rectangle, has no template; the comb alone is wider than the roll."""
    info = replace(INFO, paper=paper_named("roll 610"))
    pages = read_pages(templates_pdf(PIECES, info))
    sheets = [page for page in pages if page.size == pytest.approx((210.0, 297.0), abs=1e-3)]
    rolls = [page for page in pages if abs(page.size[0] - 610.0) < 1e-3]
    drawn = [piece for piece in PIECES if piece.part != "lamp"]
    wide = [piece for piece in drawn if width(piece) > 572.0]

    assert [piece.part for piece in wide] == ["comb"]
    assert len(sheets) == 1 + len(wide)  # a list, and a map of what takes several tiles
    assert len(sheets) + len(rolls) == len(pages)
    assert all(page.size[1] >= 297.0 - 1e-3 for page in rolls)
    # outer tiles keep the half of an overlap that nothing joins
    assert len(rolls) == sum(max(1, math.ceil((width(piece) - 4.0) / 568.0)) for piece in drawn)


def width(piece):
    xs = [step.to[0] for step in piece.outline]
    return max(xs) - min(xs)


def test_a_printer_that_prints_small_is_drawn_for_large():
    """A page that comes out at 99.2 across and 100.4 up of 100 is stretched the other way."""
    info = replace(INFO, printed=(99.2, 100.4))
    plain = read_pages(templates_pdf([handed()], INFO))
    for page in read_pages(templates_pdf([handed()], info)):
        across, up = bars(page)

        assert page.size == pytest.approx((210.0, 297.0), abs=1e-3)
        assert across == pytest.approx([100.0 / 0.992], abs=0.001)
        assert up == pytest.approx([100.0 / 1.004], abs=0.001)
        assert "99.2 mm across and 100.4 mm up" in re.sub(r"\s+", " ", page.text)
    assert "99.2" not in plain[0].text


def test_what_is_printed_smaller_gets_tiles_that_still_fit():
    """No line of a corrected page may leave the paper."""
    info = replace(INFO, printed=(97.0, 97.0))
    for page in read_pages(templates_pdf(PIECES, info)):
        for line in page.lines:
            # a clip is in the frame before the stretch
            left, low, right, high = (v / 0.97 for v in line.shows)
            for x, y in filter(None, line.points):
                assert 0.0 < x < 210.0 or not left < x < right
                assert 0.0 < y < 297.0 or not low < y < high


@pytest.mark.parametrize("name", ["a5", "roll", "roll 100", "roll 9000", "roll x"])
def test_a_paper_that_cannot_be_used_is_refused(name):
    with pytest.raises((UnknownName, OutOfDomain), match=r"a4|210"):
        paper_named(name)
