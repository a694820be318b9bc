"""Sheet layouts, judged by what stands on the page."""

import math
from io import BytesIO

import pypdfium2
import pytest
import shapely

from draw.hand import handed, outwards
from foldwright.draw import SheetInfo, laid_out_dxf, paper_named
from foldwright.draw.blank import blank_of
from foldwright.draw.drawing import Group, Stroke, Words, sampled
from foldwright.draw.fonts import text_width
from foldwright.draw.layouts import laid_blanks, layout_pages, layouts_pdf
from foldwright.plan import Sheet
from foldwright.sheet import blanks_of, lay_out
from foldwright.sheet.blanks import turned
from sheet import hand_made

INFO = SheetInfo(build="Harbour signal lamp", stocks={"board3": "3 mm skinned board"})


def items_of(page):
    todo = list(page.items)
    while todo:
        item = todo.pop()
        if isinstance(item, Group):
            todo += item.items
        else:
            yield item


def words_of(page):
    return [item.text for item in items_of(page) if isinstance(item, Words)]


def said(pages):
    """All words of the pages, in order of lines; wrapped lines joined by spaces."""
    lines = [
        item
        for page in pages
        for item in sorted(
            (i for i in items_of(page) if isinstance(i, Words)), key=lambda w: (-w.at[1], w.at[0])
        )
    ]
    return " ".join(line.text for line in lines)


def strokes(page, name):
    return [i for i in items_of(page) if isinstance(i, Stroke) and i.pen.name == name]


def closed(page, name):
    """Strokes of a pen that go round something; what the legend shows is a bare line."""
    return [s for s in strokes(page, name) if len(s.path) > 2 or s.path[0].a == s.path[-1].b]


def laid_out(pieces, stock, seconds=0.0):
    layout = lay_out(pieces, stock, seconds=seconds)
    return layout, layout_pages([layout], pieces, INFO)


@pytest.fixture(scope="module")
def mixed():
    """Pieces marked on both sides, one in a window of another, and one too large."""
    pieces = [
        *(hand_made.piece(f"arm-{i}", hand_made.rectangle(300, 90 + i), inside=i > 1)
          for i in range(5)),
        hand_made.piece("frame-1", hand_made.rectangle(500, 400),
                        cutouts=(hand_made.window(300, 200, (100, 100)),)),
        hand_made.piece("ring-1", hand_made.disc(160), cutouts=(hand_made.hole(80, (0, 0)),)),
        hand_made.piece("giant-1", hand_made.rectangle(5000, 90)),
    ]  # fmt: skip
    return pieces, *laid_out(pieces, hand_made.stock(hand_made.whole(1220, 800)), 1.0)


def test_blanks_are_drawn_where_they_lie_and_as_they_are_marked():
    """A handed blank cut from the inside: not mirrored twice, nor not at all; two turns."""
    pieces = [handed(), outwards()]
    stock = hand_made.stock(hand_made.whole(700, 900))
    layout, (page,) = laid_out(pieces, stock)
    (board,) = closed(page, "sheet before cutting")
    corner, scale = board.path[0].a, math.dist(board.path[0].a, board.path[0].b) / 700.0
    drawn = [shapely.Polygon(sampled(s.path, 1e-4)) for s in closed(page, "cut outline")]
    blanks = {id: blank for blank in blanks_of(pieces, "board3") for id in blank.ids}

    assert len(layout.sheets[0].spots) == 2
    for spot in layout.sheets[0].spots:
        ring = turned(blanks[spot.piece].outline, spot.turn, (spot.x, spot.y))
        wanted = shapely.Polygon([(corner[0] + scale * x, corner[1] + scale * y) for x, y in ring])
        assert min(wanted.symmetric_difference(d).area for d in drawn) < 1e-3


def test_everything_cut_lies_on_the_sheet_and_keeps_its_distance(mixed):
    _, layout, (page, _) = mixed
    board = shapely.Polygon(sampled(closed(page, "sheet before cutting")[0].path))
    scale = math.sqrt(board.area / (1220.0 * 800.0))
    outlines = [shapely.LinearRing(sampled(s.path, 1e-4)) for s in closed(page, "cut outline")]

    assert len(outlines) == len(layout.sheets[0].spots) + 2  # a window and a hole
    assert all(board.buffer(-4.99 * scale, join_style="mitre").contains(o) for o in outlines)
    assert shapely.STRtree(outlines).query(outlines, "dwithin", distance=4.99 * scale).shape[
        1
    ] == len(outlines)


def test_each_blank_is_named_and_measured(mixed):
    pieces, layout, (page, _) = mixed
    texts = words_of(page)
    spots = layout.sheets[0].spots
    titles = {piece.id: blank_of(piece).title for piece in pieces}

    assert titles["arm-3"] == "Arm, piece 3" and titles["ring-1"] == "Ring"
    for spot in spots:
        assert any(titles[spot.piece] in text for text in texts)
        assert f"{spot.x:.1f}" in texts
        assert f"{spot.y:.1f}" in texts


def test_the_side_that_is_marked_is_said_and_who_differs(mixed):
    text = said(mixed[2])

    assert "THIS SIDE UP: outside of the parts, film side up" in text
    assert "are marked on the inside and shown so" in text


def test_sheets_of_parts_marked_inside_lie_film_down():
    pieces = [hand_made.piece("a-1", hand_made.rectangle(100, 100), inside=True)]
    _, pages = laid_out(pieces, hand_made.stock(hand_made.whole(300, 300)))

    assert "inside of the parts, film side down" in said(pages)


def test_what_is_left_out_has_its_reason(mixed):
    text = said(mixed[2][-1:])

    assert "no place yet" in text
    assert "Giant" in text and "giant-1" not in text
    assert "needs 5000.0 by 90.0 mm" in text


def test_lines_are_named_in_words_and_use_and_remainder_said():
    pieces = [hand_made.piece("a-1", hand_made.rectangle(280, 100), grain=math.pi / 2)]
    stock = hand_made.stock(hand_made.whole(300, 600, 0), grain=True)
    _, pages = laid_out([pieces[0], handed()], stock)
    text = said(pages)

    for name in ("cut outline", "sheet before cutting", "edge trim", "grain or film arrow"):
        assert name in text
    assert "to be bought" in text
    _, (page,) = laid_out(
        [hand_made.piece("a-1", hand_made.rectangle(990, 300))],
        hand_made.stock(hand_made.whole(1000, 1000)),
    )
    assert "30 in 100 of it" in said([page])
    assert "remains 1000.0 by 693.0 mm" in words_of(page)
    assert strokes(page, "saw cut that frees the remainder")


@pytest.mark.parametrize("paper", ["A4", "A3", "letter"])
@pytest.mark.parametrize("size", [(1220, 2440), (2440, 1220), (1000, 1000), (600, 120)])
def test_nothing_runs_off_the_paper(paper, size):
    """Forty blanks: the list goes on to a further page where it must."""
    pieces = [
        hand_made.piece(f"some_rather_long_name-{i}", hand_made.rectangle(60 + i, 30 + i % 9))
        for i in range(40)
    ]
    layout = lay_out(pieces, hand_made.stock(hand_made.whole(*size, 0)), seconds=0.0)
    sheet = paper_named(paper)
    pages = layout_pages([layout], pieces, INFO, sheet)

    assert layout.left_out == ()
    for page in pages:
        assert page.paper == sheet
        for item in items_of(page):
            if isinstance(item, Words):
                reach = text_width(item.text, item.face, item.size)
                back = {"start": 0.0, "middle": 0.5, "end": 1.0}[item.anchor] * reach
                for along in (-back, reach - back):
                    x = item.at[0] + along * math.cos(item.turn)
                    y = item.at[1] + along * math.sin(item.turn)
                    assert 0.0 < x < sheet.width, item.text
                    assert 0.0 < y < sheet.height, item.text
    listed = [text for page in pages for text in words_of(page)]
    assert all(str(n) in listed for n in range(1, len(layout.sheets[0].spots) + 1))


def test_the_file_can_be_read_and_is_the_same_each_time(mixed):
    pieces, layout, pages = mixed
    pdf = layouts_pdf([layout], pieces, INFO)
    document = pypdfium2.PdfDocument(BytesIO(pdf))

    assert pdf == layouts_pdf([layout], pieces, INFO)
    assert len(document) == len(pages) == 2
    assert "sheet 1 of 1" in document[0].get_textpage().get_text_range()


def test_a_sheet_goes_to_dxf_as_it_is_drawn():
    """Blanks carried by their motions cover what the layout says, on a sheet off the origin."""
    pieces = [handed(), outwards()]
    offcut = Sheet(((50.0, 70.0), (800.0, 70.0), (800.0, 1000.0), (50.0, 900.0)))
    layout = lay_out(pieces, hand_made.stock(offcut), seconds=0.0)
    (sheet,) = layout.sheets
    blanks = {id: blank for blank in blanks_of(pieces, "board3") for id in blank.ids}
    carried = {
        blank.piece.id: shapely.Polygon([onto(p) for p in sampled(blank.outline)])
        for blank, onto in laid_blanks(sheet, pieces)
    }

    assert len(sheet.spots) == 2
    for spot in sheet.spots:
        ring = turned(blanks[spot.piece].outline, spot.turn, (spot.x, spot.y))
        assert carried[spot.piece].symmetric_difference(shapely.Polygon(ring)).area < 1e-3
    assert laid_out_dxf(laid_blanks(sheet, pieces), offcut.outline, "offcut").startswith(b"  0")
