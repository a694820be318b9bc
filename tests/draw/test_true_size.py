"""What is printed measures what it says, read back from the vectors by pypdfium2."""

import math
import re
from dataclasses import replace
from itertools import pairwise

import pytest

from draw.hand import INFO, comb, drum, handed, lamp, outwards, read_pages, ring, runs
from foldwright.draw import Paper, gauges_pdf, marking_out_pdf, templates_pdf
from foldwright.flat.pattern import Step

BAR, CUT, RING = 0.35, 0.5, 0.25
PIECES = (handed(), outwards(), drum(), ring(), comb())


@pytest.fixture(scope="module")
def documents():
    return {
        "templates": read_pages(templates_pdf(PIECES, INFO)),
        "marking out": read_pages(marking_out_pdf(PIECES, INFO)),
        "gauges": read_pages(gauges_pdf(PIECES, INFO)),
    }


@pytest.mark.parametrize("name", ["templates", "marking out", "gauges"])
def test_every_page_is_a4_and_has_a_100_mm_bar_each_way(documents, name):
    """ISO 216: A4 is 210 x 297 mm; the goal for a bar is 100.000 within 0.001."""
    for page in documents[name]:
        sides = [
            (abs(b[0] - a[0]), abs(b[1] - a[1]))
            for line in page.of_width(BAR)
            for a, b in runs(line)
        ]
        along = [x for x, y in sides if y < 1e-6 and 90.0 < x < 110.0]
        up = [y for x, y in sides if x < 1e-6 and y > 90.0]

        assert page.size == pytest.approx((210.0, 297.0), abs=1e-4)
        assert along == pytest.approx([100.0], abs=0.001)
        assert up == pytest.approx([100.0], abs=0.001)
        assert "100 mm" in page.text
        assert "actual size" in page.text or "numbers above still" in page.text


def test_the_library_s_own_bounds_agree_on_the_bars(documents):
    """`get_bounds` grows a stroked path by its pen; the difference of two ticks does not."""
    for page in documents["templates"]:
        ticks = [line.bounds for line in page.of_width(BAR) if line.bounds[3] < 15.0]
        ticks = [b for b in ticks if b[2] - b[0] < 5.0]
        lefts = sorted(b[0] for b in ticks)

        assert len(lefts) == 11
        assert lefts[-1] - lefts[0] == pytest.approx(100.0, abs=0.001)
        gaps = [b - a for a, b in pairwise(lefts)]
        assert gaps == pytest.approx([10.0] * 10, abs=0.001)


def test_no_word_of_any_page_lies_off_the_paper():
    """Text near the edge falls into the part that printers cannot reach: 4 mm are kept."""
    import pypdfium2 as pdfium

    for pdf in (templates_pdf(PIECES, INFO), marking_out_pdf(PIECES, INFO)):
        document = pdfium.PdfDocument(pdf)
        for page in document:
            text = page.get_textpage()
            for i in range(text.count_rects()):
                box = [v * 25.4 / 72.0 for v in text.get_rect(i)]

                assert box[0] > 4.0
                assert box[1] > 3.0
                assert box[2] < 206.0
                assert box[3] < 293.0
            text.close()
        document.close()


# --- tiles, joined as a person joins them --------------------------------------


def tiles_of(pages, title):
    """Tile pages of one piece by (row, column), from what stands on them."""
    found = {}
    for page in pages:
        named = re.search(rf"^{title}, tile ([A-Z]+)(\d+)", page.text, re.MULTILINE)
        if named:
            found[(ord(named[1]) - ord("A"), int(named[2]))] = page
    return found


def rings_of(page):
    """Middles of the registration marks: circles 4 mm across."""
    middles = []
    for line in page.of_width(RING):
        xs, ys = zip(*(p for p in line.points if p), strict=True)
        if all(abs(max(v) - min(v) - 4.0) < 0.001 for v in (xs, ys)):
            middles.append(((min(xs) + max(xs)) / 2.0, (min(ys) + max(ys)) / 2.0))
    return middles


def joined(tiles):
    """Where each tile lies, found by laying its marks on those of a neighbour."""
    start = min(tiles)
    places, open_ends = {start: (0.0, 0.0)}, [start]
    while open_ends:
        here = open_ends.pop()
        for step, axis in (((0, 1), 0), ((0, -1), 0), ((1, 0), 1), ((-1, 0), 1)):
            there = (here[0] + step[0], here[1] + step[1])
            if there not in tiles or there in places:
                continue
            # rows run down the page, so the next row's marks lie on our lower edge
            sign = step[1] if axis == 0 else -step[0]
            ours, theirs = rings_of(tiles[here]), rings_of(tiles[there])
            ours = on_edge(ours, axis, sign)
            theirs = on_edge(theirs, axis, -sign)
            shifts = [(a[0] - b[0], a[1] - b[1]) for a, b in zip(ours, theirs, strict=True)]

            assert len(shifts) == 3
            assert all(math.dist(s, shifts[0]) < 0.001 for s in shifts)

            x, y = places[here]
            places[there] = (x + shifts[0][0], y + shifts[0][1])
            open_ends.append(there)
    return places


def on_edge(marks, axis, sign):
    extreme = max(sign * m[axis] for m in marks)
    return sorted(m for m in marks if extreme - sign * m[axis] < 0.01)


def stretches(tiles, places):
    """Cut lines of all tiles in one frame, with where on it each tile shows them."""
    found = []
    for place, page in tiles.items():
        dx, dy = places[place]
        for line in page.of_width(CUT):
            if line.shows[2] - line.shows[0] > 205.0:
                continue  # the sample in the legend is not cut off at the window
            x0, y0, x1, y1 = line.shows
            shows = (x0 + dx, y0 + dy, x1 + dx, y1 + dy)
            found += [
                ((a[0] + dx, a[1] + dy), (b[0] + dx, b[1] + dy), shows) for a, b in runs(line)
            ]
    return found


def distance_to(p, a, b):
    length2 = (b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2
    t = ((p[0] - a[0]) * (b[0] - a[0]) + (p[1] - a[1]) * (b[1] - a[1])) / (length2 or 1.0)
    t = min(1.0, max(0.0, t))
    return math.dist(p, (a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])))


def largest_miss(corners, found):
    """How far the record's outline, walked in steps, strays from what the tiles show."""
    worst = 0.0
    for a, b in zip(corners, corners[1:] + corners[:1], strict=True):
        steps = max(2, int(math.dist(a, b) / 2.0))
        for i in range(steps + 1):
            p = tuple(a[k] + i / steps * (b[k] - a[k]) for k in (0, 1))
            worst = max(
                worst,
                min(
                    (
                        distance_to(p, q, r)
                        for q, r, s in found
                        if s[0] <= p[0] <= s[2] and s[1] <= p[1] <= s[3]
                    ),
                    default=math.inf,
                ),
            )
    return worst


def read_outside(piece):
    """The piece's cut lines as a person has them in hand: joined, then seen from outside.

    The page says which side lies up; if that is the inside, the blank is
    turned over to look at its outside.
    """
    pages = read_pages(templates_pdf([piece], INFO))
    tiles = tiles_of(pages, piece.part.capitalize())
    assert all(
        f"{side} of the {piece.part}" in page.text
        for page in tiles.values()
        for side in re.findall(r"THIS SIDE UP: (inside|outside)", page.text)
    )
    (side,) = {re.search(r"THIS SIDE UP: (inside|outside)", p.text)[1] for p in tiles.values()}
    found = stretches(tiles, joined(tiles))
    if side == "inside":

        def over(p):
            return (-p[0], p[1])

        found = [(over(a), over(b), (-s[2], s[1], -s[0], s[3])) for a, b, s in found]
    ends = [p for a, b, _ in found for p in (a, b)]
    return found, side, (min(x for x, _ in ends), min(y for _, y in ends))


def at_corner(corners, corner):
    """Corners moved so that their lower left is `corner`."""
    x, y = (min(p[k] for p in corners) for k in (0, 1))
    return [(p[0] - x + corner[0], p[1] - y + corner[1]) for p in corners]


def mirror(piece):
    """The other hand of a piece, as a record."""
    return replace(
        piece,
        outline=tuple(Step((-s.to[0], s.to[1])) for s in reversed(piece.outline)),
        folds=tuple(
            replace(
                f, a=(-f.a[0], f.a[1]), b=(-f.b[0], f.b[1]), zone=tuple((-x, y) for x, y in f.zone)
            )
            for f in piece.folds
        ),
        seams=(),
        panels=(),
        marks=(),
    )


@pytest.mark.parametrize("piece", [handed(), mirror(handed()), outwards()], ids=lambda p: p.id)
def test_joined_tiles_give_the_outline_and_the_right_hand(piece):
    """Within 0.001 mm of the record seen from outside, and nowhere near its mirror image."""
    found, side, corner = read_outside(piece)
    right = [s.to for s in piece.outline]
    wrong = [s.to for s in mirror(piece).outline]

    assert side == "inside"
    assert largest_miss(at_corner(right, corner), found) < 0.001
    if piece.part == "cheek":
        assert largest_miss(at_corner(wrong, corner), found) > 5.0


def test_folds_are_printed_where_the_record_has_them():
    """The middle line of the long fold of a handed piece, on its tile, mirrored with the rest."""
    piece = handed()
    pages = read_pages(templates_pdf([piece], INFO))
    tiles = tiles_of(pages, "Cheek")
    places = joined(tiles)
    drawn = [
        tuple(round(abs(b[k] - a[k]), 3) for k in (0, 1))
        for place in places
        for line in tiles[place].of_width(0.25)
        for a, b in runs(line)
    ]

    assert (260.0, 0.0) in drawn
    assert (0.0, 150.0) in drawn


def test_a_drum_s_sides_come_out_at_their_lengths():
    """684.867 by 310 over its tiles."""
    tiles = tiles_of(read_pages(templates_pdf([lamp()], INFO)), "Lamp")
    found = stretches(tiles, joined(tiles))
    xs = [p[0] for a, b, _ in found for p in (a, b)]
    ys = [p[1] for a, b, _ in found for p in (a, b)]

    assert max(xs) - min(xs) == pytest.approx(math.pi * 218.0, abs=0.001)
    assert max(ys) - min(ys) == pytest.approx(310.0, abs=0.001)


def test_a_ring_is_round_within_a_thousandth():
    """Points of the Bezier curves that stand for its arcs lie on two circles."""
    tiles = tiles_of(read_pages(templates_pdf([ring()], INFO)), "Cap top")
    assert set(tiles) == {(0, 1), (0, 2), (1, 1), (1, 2)}
    places = joined(tiles)
    boxes = []
    for place, page in tiles.items():
        dx, dy = places[place]
        for line in page.of_width(CUT):
            if line.shows[2] - line.shows[0] < 205.0:
                boxes.append((line, dx, dy))
    xs = [p[0] + dx for line, dx, _ in boxes for p in line.points if p]
    ys = [p[1] + dy for line, _, dy in boxes for p in line.points if p]
    middle = ((min(xs) + max(xs)) / 2.0, (min(ys) + max(ys)) / 2.0)
    worst = 0.0
    for line, dx, dy in boxes:
        for curve in curves(line):
            for i in range(9):
                x, y = bezier(curve, i / 8.0)
                radius = math.dist((x + dx, y + dy), middle)
                worst = max(worst, min(abs(radius - 115.0), abs(radius - 30.0)))

    assert worst < 0.001


def curves(line):
    """Cubic curves of a path that holds nothing else after each move."""
    out, run = [], []
    for point in (*line.points, None):
        if point is None:
            out += [run[i : i + 4] for i in range(0, len(run) - 3, 3)]
            run = []
        else:
            run.append(point)
    return out


def bezier(curve, t):
    weights = ((1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3)
    return tuple(sum(w * p[k] for w, p in zip(weights, curve, strict=True)) for k in (0, 1))


def test_a_larger_paper_needs_fewer_tiles():
    """ISO 216: A3 is 297 x 420 mm."""
    a3 = read_pages(templates_pdf([handed()], replace(INFO, paper=Paper("A3", 297.0, 420.0))))

    assert a3[0].size == pytest.approx((297.0, 420.0), abs=1e-4)
    assert len(a3) < len(read_pages(templates_pdf([handed()], INFO)))


@pytest.mark.parametrize("make", [templates_pdf, marking_out_pdf, gauges_pdf])
def test_the_same_input_gives_the_same_file(make):
    """No clock, no random names: files can be compared by their bytes."""
    assert make(PIECES[:2], INFO) == make(PIECES[:2], INFO)
