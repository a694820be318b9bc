"""The build book, read back as a person reads it: its words, its pages, its sizes."""

import dataclasses
import itertools
import math
import re
from functools import cache

import numpy as np
import pypdfium2 as pdfium
import pytest

from draw import hand
from draw.hand import INFO, comb, drum, handed, ring
from foldwright.draw.book import book_pdf
from foldwright.draw.book_drawings import turned_in_words
from foldwright.draw.book_lists import weight
from foldwright.draw.book_names import chance, expected, mass, span
from foldwright.draw.book_records import (
    Book,
    Changed,
    CutInto,
    Layout,
    Neighbour,
    Purchase,
    Route,
    Standing,
    ToMeasure,
    Weight,
)
from foldwright.draw.book_steps import steps_of
from foldwright.draw.book_words import Pages
from foldwright.draw.drawing import A4, CUT, Page, Paper, line
from foldwright.draw.gauges import gauges_pdf
from foldwright.flat import CutLength
from foldwright.shape import body_of
from zoo import box
from zoo import drum as zoo_drum

HOSTILE = '#[x] *_@$ <a> \\ "q" `c` // /* = - 1. $x^2$ größer'


def routes():
    cheek = Route(
        "cheek",
        "box",
        body_of(box()),
        "3 mm skinned board",
        (handed(),),
        to_measure=(ToMeasure("width", 260.0, "outside, over the middle", worth=True),),
        neighbours=(
            Neighbour(("lamp", "leg-2"), "carries", (0.2, 0.8), 0.51, 0.1, 0.94, "gap a side"),
        ),
        cut_into=(CutInto("eye", "front", "hole ⌀8", drilled_in_place=True),),
        notes=("Revision 2: the flap moved 0.9 out.",),
        is_made=True,
        stage="closed",
        revision=2,
        mass=0.85,
        finish="grey, 0.14 mm on each face",
    )
    lamp = Route(
        "lamp",
        "drum",
        body_of(zoo_drum()),
        "2 mm skinned board",
        (drum(),),
        to_measure=(ToMeasure("girth", 691.2, "tape once round", "girth", measured=693.8),),
        forming=(("curl", "Curl it over the 114 mm pipe."),),
        mass=1.2,
    )
    leg = Route(
        "leg-1",
        "tube",
        body_of(box(30.0, 30.0, 120.0)),
        "30 tube",
        lengths=(CutLength("leg-1-1", "leg-1", "tube30", 120.0),),
        same_as=("leg-2", "leg-3"),
        is_last=True,
    )
    return cheek, lamp, leg


def book(**changed):
    parts = routes()
    filled = Book(
        routes=parts,
        bodies={route.part: route.body for route in parts},
        frames={},
        how_things_stand=("One of five parts is made.", "Nothing is in danger."),
        meets=(Standing("Lamp stands on cheek", (0.2, 0.8), 0.51, 0.1, 0.94, 0.97),),
        purchases=(
            Purchase("3 mm skinned board, 1220 by 2440", 2, 68.0, 136.0, "13 blanks"),
            Purchase("M5 screws", 24, None, None, "bezel"),
        ),
        weight=Weight(14.3, (221.0, 170.2, 301.8), (("cheek", 0.85), ("lamp", 1.2))),
        unplaced=(("comb-1", "longer than every sheet on the rack"),),
        layouts=(Layout("board3, sheet 1", Page(A4, (line((30.0, 50.0), (180.0, 50.0), CUT),))),),
        parts_count=5,
    )
    return dataclasses.replace(filled, **changed)


def test_a_page_says_what_a_refit_changes_and_why():
    """Before, after, by how much, why, and how much better it then suits."""
    lid = Changed(
        "leg-2",
        (("length", 120.0, 117.4),),
        ("cheek came out 2.6 mm large on the width.",),
        (("leg under cheek", 0.07, 0.91),),
    )
    kept = Changed("lamp", (("lamp_d", 220.0, 221.0),), revision=3)
    pages = texts(book_pdf(book(changes=(lid, kept)), INFO))

    said = page_with("Leg 2: what changes", pages)
    for words in ("120.0 117.4 2.6 smaller", "Cheek came out", "7 in 100 91 in 100", "not kept"):
        assert words in said
    assert "kept as revision 3" in page_with("Lamp: what changes", pages)


def test_copies_that_change_together_share_a_page():
    """Two legs shorter by different amounts: one heading, a row and a reason for each.

    What is a reason for both is said once.
    """
    legs = tuple(
        Changed(
            f"leg-{i}",
            (("outside_d", 30.0, 30.0 - i),),
            (f"base came out {i}.0 mm large.", "you saw long."),
            ((f"leg {i} on base", None, 0.5 + i / 10.0),),
            revision=2,
            family="leg",
        )
        for i in (1, 2)
    )
    pages = texts(book_pdf(book(changes=legs), INFO))

    said = page_with("Legs 1 and 2: what changes", pages)
    assert "Leg 1, outside diameter 30.0 29.0 1.0 smaller" in said
    assert "Leg 2: why Base came out 2.0 mm large." in said
    assert "All of them: why You saw long." in said and said.count("You saw long") == 1
    assert "Leg 1 on base 60 in 100" in said
    assert not any("Leg 2: what changes" in page for page in pages)


def test_copies_that_are_cut_differently_have_a_page_each():
    """A page shows one blank as redrawn, and it has to be theirs."""
    cheek, lamp, leg = routes()
    left, right = (dataclasses.replace(cheek, part=f"cheek-{i}") for i in (1, 2))
    parts = (left, right, lamp, leg)
    bodies = {route.part: route.body for route in parts}
    changes = tuple(
        Changed(f"cheek-{i}", (("width", 300.0, 300.0 + i),), revision=2, family="cheek")
        for i in (1, 2)
    )
    pages = texts(book_pdf(book(routes=parts, bodies=bodies, changes=changes), INFO))

    for i in (1, 2):
        assert f"30{i}.0 {i}.0 larger" in page_with(f"Cheek {i}: what changes", pages)


def test_what_a_hundredth_decides_is_told_to_the_hundredth():
    """A plug is filed 0.06 larger: in tenths that would be 26.1 to 26.2, by 0.1."""
    plug = Changed("lamp", (("diameter", 26.11, 26.17),), revision=1, fine=("diameter",))
    said = page_with("Lamp: what changes", texts(book_pdf(book(changes=(plug,)), INFO)))

    assert "26.11" in said and "26.17" in said and "0.06 larger" in said


def texts(pdf):
    document = pdfium.PdfDocument(pdf)
    try:
        found = []
        for i in range(len(document)):
            text = document[i].get_textpage()
            said = " ".join(text.get_text_bounded().split())
            # the check bars lie behind the page, so their words come first
            found.append(re.sub(r"^100 m ?m 100 mm Both .*?printed again\. ", "", said))
            text.close()
        return found
    finally:
        document.close()


@cache
def whole():
    return book_pdf(book(), INFO)


def page_with(title, pages=None):
    """The page that opens with a title."""
    return next(p for p in pages or texts(whole()) if p.startswith(title))


def pixels(pdf, number, dpi=60):
    document = pdfium.PdfDocument(pdf)
    try:
        picture = document[number].render(scale=dpi / 72).to_numpy()
        return picture[:, :, :3].mean(axis=2) / 255.0
    finally:
        document.close()


def test_the_cover_says_what_the_build_is():
    cover = texts(whole())[0]

    for words in ("Harbour signal lamp", "14 May 2025", "14.3 kg", "in ink: made"):
        assert words in cover
    assert re.search(r"\b5\b", cover)  # parts, copies counted
    assert "cheek" in cover  # the picture names its parts


def test_a_meet_in_danger_is_ringed_on_the_cover():
    bad = Standing(
        "Lid over pedestal", (0.5, 1.5), 0.1, 0.2, 0.04, in_danger=True, at=(100.0, 0.0, 90.0)
    )
    pages = texts(book_pdf(book(meets=(bad,)), INFO))

    assert "In danger: 0.10 expected, 0.50 to 1.50 wanted" in pages[0]
    assert "In danger: lid over pedestal 0.50 to 1.50 0.10 4 in 100" in page_with("How", pages)


def test_every_part_has_its_route_sheet_on_one_page():
    pages = texts(whole())
    for title in ("Cheek", "Lamp", "Leg 1"):
        assert sum(page.startswith(title) for page in pages) == 1
    assert sum("Part Cheek" in page for page in pages) == 1


def test_the_contents_name_pages_that_open_with_what_they_say():
    pages = texts(whole())
    contents = page_with("Contents", pages)
    entries = re.findall(r"(How things stand|Cheek|Lamp|Leg 1|Cut list|Cautions) (\d+)", contents)

    assert len(entries) == 6
    for title, number in entries:
        assert pages[int(number) - 1].startswith(title)


def test_a_route_sheet_says_what_its_maker_needs():
    sheet = page_with("Cheek")
    for words in (
        "Revision 2: the flap moved 0.9 out.",
        "front, left 90.0° 88.5°",  # finished, and to fold to
        "Plane the inside back",
        "eye front hole ⌀8, in place",
        "Carries the lamp and leg 2, gap a side 0.20 to 0.80",
        "94 in 100",
        "outside, over the middle",
        "section 5:1",
        "850 g",
    ):
        assert words in sheet, words


def test_what_was_measured_stands_beside_what_was_drawn():
    assert "691.2 693.8" in page_with("Lamp")


def test_copies_and_what_is_made_last_are_said():
    sheet = page_with("Leg 1")

    assert "Make 3 alike: this one, leg 2 and leg 3." in sheet
    assert "made to suit" in sheet
    assert "Saw 120.0 mm of 30 tube, square." in sheet


def test_cautions_stand_at_the_steps_where_they_bite():
    cheek, lamp, leg = (steps_of(route, INFO) for route in routes())

    def hazards(steps):
        return [step.caution.hazard for step in steps if step.caution]

    assert hazards(cheek) == [
        "Sharp skins.",
        "Router, saw and dust.",
        "One fold, once.",
        "Glue and paint fumes.",
        "Drills that snatch.",
    ]
    assert hazards(lamp) == ["Sharp skins.", "Sheet that springs.", "Glue and paint fumes."]
    assert hazards(leg) == ["Saw and burrs."]
    groove = next(s for s in cheek if s.caution and s.caution.hazard.startswith("Router"))
    assert groove.text.startswith("Groove A, B")


def test_hanging_and_mains_are_left_to_qualified_people():
    cautions = page_with("Cautions")

    assert cautions.count("qualified person") >= 3
    assert "rules of the place" in cautions


def test_the_cut_list_has_every_blank_and_length():
    """By the rectangle that holds it, longest side first."""
    listed = page_with("Cut list")

    assert "Cheek two folds 1 320.0 270.0" in listed
    assert "Lamp curled 1 684.9 310.0" in listed
    assert "Leg 1 sawn square 3 120.0" in listed


def test_the_set_ups_of_the_build_are_gathered():
    said = Pages(
        book(routes=(*routes(), Route("comb", "box", body_of(box()), "", (comb(),)))), INFO
    )
    set_ups = said.said()["set_ups"]
    floors = [re.search(r"floor ([\d.]+) wide", s["text"])[1] for s in set_ups]

    # the cheek's 2.0 is the comb's too: one set-up, two blanks
    assert sorted(floors) == ["2.0", "2.5", "3.0", "3.5", "4.0"]
    assert [row[0] for row in set_ups[0]["rows"]] == ["Cheek", "Comb"]


def test_strips_alike_stand_in_one_row_of_a_set_up():
    strips = tuple(
        dataclasses.replace(
            handed(), id=f"cheek-{i}", role=f"backing strip, seam {seam}", marks=(), seams=()
        )
        for i, seam in ((2, "a"), (3, "b"))
    )
    route = dataclasses.replace(routes()[0], pieces=(handed(), *strips))
    rows = Pages(book(routes=(route,)), INFO).said()["set_ups"][0]["rows"]

    assert [row[0] for row in rows] == ["Cheek", "Cheek, 2 backing strips"]


def test_prices_are_added_up_and_gaps_in_them_said():
    page = page_with("What to buy")

    assert "68.00 136.00" in page
    assert "Together 136.00" in page
    assert "One price is not known and is not counted." in page
    assert "longer than every sheet" in page


def test_weight_says_where_its_centre_lies():
    page = page_with("Weight and centre of gravity")

    assert "14.3 kg" in page
    assert "221.0 right, 170.2 back and 301.8 up" in page


def test_words_carry_the_sign_of_where_the_centre_lies():
    """A maker looks for it left of the origin, not at minus so much to the right."""
    found = weight(book(weight=Weight(7.7, (-232.0, -1.0, 279.5), ())), INFO)

    assert found["centre"] == [["left", "232.0"], ["to the front", "1.0"], ["up", "279.5"]]


def test_how_things_stand_opens_with_the_first_sentence():
    page = page_with("How things stand")

    assert "One of five parts is made." in page
    assert "0.20 to 0.80 0.51 94 in 100 97 in 100" in page
    assert "3 Leg 1 30 tube last, to suit" in page


def test_names_are_text_whatever_they_are():
    """Nothing a plan says is taken for markup of the pages or of the drawings."""
    cheek, *_ = routes()
    named = dataclasses.replace(
        cheek,
        part=HOSTILE,
        made_from=HOSTILE,
        notes=(HOSTILE, '#panic("no")', '#import "x": y', "[", "]", "*", "$", "a~b", "<script>"),
        cut_into=(CutInto(HOSTILE, HOSTILE, HOSTILE),),
    )
    info = dataclasses.replace(INFO, build=HOSTILE, drawn=HOSTILE)
    pdf = book_pdf(
        book(
            routes=(named,),
            bodies={HOSTILE: named.body},
            how_things_stand=(HOSTILE,),
            purchases=(Purchase(HOSTILE, 1, None, None, HOSTILE),),
        ),
        info,
    )
    pages = texts(pdf)
    squeezed = HOSTILE.replace(" ", "").replace("_", "")
    bare = [page.replace(" ", "").replace("_", "") for page in pages]

    assert squeezed in bare[0]
    assert any('#panic("no")' in page for page in bare)
    assert any("a~b" in page and "<script>" in page for page in bare)
    assert any(page.startswith(squeezed) for page in bare[2:])


def test_a_build_of_nothing_is_still_a_book():
    empty = Book(routes=(), bodies={}, frames={})
    pages = texts(book_pdf(empty, INFO))

    assert "Harbour signal lamp" in pages[0]
    assert pages[-1].startswith("Cautions")
    assert not any(p.startswith(("Cut list", "Gauges", "What to buy", "Weight")) for p in pages)


def test_the_same_book_is_the_same_file():
    assert book_pdf(book(), INFO) == whole()


def test_gauges_in_the_book_are_the_printed_gauges_true_to_size():
    """Typst from SVG against reportlab from the same page: the same picture, point by point."""
    pieces = tuple(piece for route in routes() for piece in route.pieces)
    ours = texts(whole())
    number = next(i for i, page in enumerate(ours) if "all, by fold angle" in page)
    mine, theirs = pixels(whole(), number), pixels(gauges_pdf(pieces, INFO), 0)

    assert mine.shape == theirs.shape
    assert (theirs < 0.5).sum() > 500  # there is something on it
    # smoothing and letters differ a little; an offset of half a millimetre doubles every line
    assert np.abs(mine - theirs).mean() < 0.006
    assert np.abs(np.roll(mine, 2, axis=1) - theirs).mean() > 0.012


def test_check_bars_are_100_mm():
    """Along the foot of a page at 300 dpi: from the first tick to the last."""
    page = pixels(whole(), 1, dpi=300)
    dpmm = 300 / 25.4
    row = page[round((297.0 - 8.0) * dpmm) - 3 : round((297.0 - 8.0) * dpmm) + 4].min(axis=0)
    dark = np.flatnonzero(row < 0.5) / dpmm

    assert dark.min() == pytest.approx(20.0, abs=0.3)
    assert dark.max() - dark.min() == pytest.approx(100.0, abs=0.35 + 0.1)


@pytest.mark.parametrize(("paper", "size"), [("a4", (210.0, 297.0)), ("us-letter", (215.9, 279.4))])
def test_pages_are_as_large_as_their_paper(paper, size):
    document = pdfium.PdfDocument(book_pdf(book(paper=paper, layouts=()), INFO))
    sizes = [[v * hand.MM for v in document[i].get_size()] for i in range(3)]
    document.close()

    assert sizes == [pytest.approx(size, abs=0.05)] * 3


def test_a_layout_keeps_its_own_sheet():
    """A layout may be drawn on a larger paper than the book."""
    broad = Layout("sheet", Page(Paper("A3", 420.0, 297.0), ()))
    document = pdfium.PdfDocument(book_pdf(book(layouts=(broad,)), INFO))
    sizes = [
        tuple(round(v * hand.MM) for v in document[i].get_size()) for i in range(len(document))
    ]
    document.close()

    assert sizes.count((420, 297)) == 1


def test_nothing_runs_off_a_page():
    """The margins hold: right of 204 mm and above 287 mm all is white, but for full sheets."""
    document = pdfium.PdfDocument(whole())
    dpmm = 60 / 25.4
    for i, text in enumerate(texts(whole())):
        if "all, by fold angle" in text or not text:
            continue
        page = document[i].render(scale=60 / 72).to_numpy()[:, :, :3].min(axis=2)

        assert page[:, round(204 * dpmm) :].min() > 200, text[:40]
        assert page[: round(9 * dpmm)].min() > 200, text[:40]
    document.close()


def test_what_is_spare_is_left_out_where_it_would_cost_a_page():
    """Dims that have no row stand in a sentence, if the sheet has room for it."""
    dims = tuple(ToMeasure(f"side_{i}", 10.0 + i, "along it", worth=i < 4) for i in range(9))
    for lines in range(12):  # more and more stands above the lists
        route = dataclasses.replace(
            routes()[0],
            to_measure=dims,
            neighbours=(),
            cut_into=(),
            notes=("A note of one line.",) * lines,
        )
        pages = texts(book_pdf(Book((route,), {"cheek": route.body}, {}), INFO))
        sheets = [page for page in pages if "Part Cheek" in page]
        if "Also as drawn: side 4 14.0" not in sheets[0]:
            break

    assert lines > 0
    assert len(sheets) == 1
    assert "Side 3: along it. 13.0" in sheets[0]


def test_a_part_with_much_to_say_parts_what_it_is_from_what_to_do():
    """Two sheets: drawing, folds and set-ups on the first, all steps on the second."""
    route = dataclasses.replace(
        routes()[0],
        to_measure=tuple(ToMeasure(f"side_{i}", 10.0, "along it", worth=True) for i in range(4)),
        notes=("A note of one line.",) * 20,
    )
    pages = texts(book_pdf(Book((route,), {"cheek": route.body}, {}), INFO))
    first, second = (page for page in pages if "Part Cheek" in page)

    assert first.startswith("Cheek")
    assert "Folds" in first
    assert "Mark the blank" not in first
    assert second.startswith("Cheek, continued")
    for words in ("Steps", "Finish: grey", "Carries the lamp", "Side 3: along it."):
        assert words in second, words


def test_steps_stay_together_where_there_is_room():
    """They go to the other column only where that saves a sheet."""
    cap = Route("cap_top", "plate", body_of(box()), "2 mm board", (ring(),), finish="grey")
    pdf = book_pdf(Book((cap,), {"cap_top": cap.body}, {}), INFO)
    number = next(i for i, page in enumerate(texts(pdf)) if page.startswith("Cap top"))
    document = pdfium.PdfDocument(pdf)
    text = document[number].get_textpage()
    said = text.get_text_range()
    lefts = [
        text.get_charbox(said.index(words))[0]
        for words in ("Mark the blank", "Cut the outline", "Finish: grey")
    ]
    text.close()
    document.close()

    assert max(lefts) - min(lefts) < 3.0  # pt


def test_every_sheet_after_the_cover_has_one_number():
    """Gauges and layouts are numbered by the book that they are bound into."""
    pages = texts(whole())

    for number, page in enumerate(pages[1:], 2):
        if "board3" not in page and page:  # the layout of this book has no title block of its own
            assert re.findall(r"\b(\d+) of \d+\b", page) == [str(number)], page[:60]


def test_a_title_block_in_inches_keeps_its_values_apart():
    """Long values are set smaller; no two of them overlap."""
    pdf = book_pdf(book(), dataclasses.replace(INFO, units="in"))
    document = pdfium.PdfDocument(pdf)
    number = next(i for i, page in enumerate(texts(pdf)) if page.startswith("Cheek"))
    text = document[number].get_textpage()
    low, high = 22.0 / hand.MM, 32.0 / hand.MM  # the band of the values
    boxes = [text.get_rect(i) for i in range(text.count_rects())]
    band = sorted(b for b in boxes if low < (b[1] + b[3]) / 2 < high and b[0] > 18.0 / hand.MM)
    text.close()
    document.close()

    assert len(band) >= 12  # labels and values
    rows = {}
    for left, bottom, right, _ in band:
        rows.setdefault(round(bottom / 6.0), []).append((left, right))
    for row in rows.values():
        assert all(a[1] <= b[0] for a, b in itertools.pairwise(row))


def test_a_picture_says_how_its_part_stands_in_the_build():
    """It stands as its own words have it, whatever the build does with it."""
    quarter = np.array([[0, -1, 0, 0], [1, 0, 0, 0], [0, 0, 1, 0], [0, 0, 0, 1]], float)
    on_its_back = np.array([[1, 0, 0, 0], [0, 0, -1, 0], [0, 1, 0, 0], [0, 0, 0, 1]], float)
    slant = math.radians(40.0)
    leaning = np.array(
        [
            [1, 0, 0, 0],
            [0, math.cos(slant), -math.sin(slant), 0],
            [0, math.sin(slant), math.cos(slant), 0],
            [0, 0, 0, 1],
        ]
    )

    assert turned_in_words(np.eye(4)) == ""
    # anticlockwise from above: what looked to the front, along -y, looks along +x
    assert turned_in_words(quarter) == "in the build its front looks right, its top up"
    assert turned_in_words(on_its_back) == (
        "in the build its front looks down, its top to the front"
    )
    assert turned_in_words(leaning) == "in the build it stands aslant"
    sheet = page_with("Cheek", texts(book_pdf(book(frames={"cheek": quarter}), INFO)))
    assert "in the build its front looks right, its top up" in sheet


def test_long_lists_go_on_to_a_further_page():
    long = Route("comb", "box", body_of(box()), "3 mm board", (comb(),))
    pages = texts(book_pdf(book(routes=(long,), bodies={"comb": long.body}), INFO))
    sheets = [page for page in pages if "Part Comb" in page]

    assert len(sheets) > 1
    # 29 folds between 30 panels
    assert all(f"panel {i}, panel {i + 1}" in " ".join(sheets) for i in range(29))
    assert "Write it down" not in " ".join(sheets)  # nothing was handed in to measure
    assert "Steps" in " ".join(sheets)


def test_rings_and_plates_have_sheets_without_folds():
    plain = Route("cap_top", "plate", body_of(box()), "2 mm board", (ring(),))
    pages = texts(book_pdf(book(routes=(plain,), bodies={"cap_top": plain.body}), INFO))
    sheet = page_with("Cap top", pages)

    assert "a disc 230.0 mm across with a hole 60.0 mm across" in sheet
    assert "Folds" not in sheet
    assert "Groove" not in sheet


def test_numbers_read_as_people_say_them():
    assert chance(0.999) == "99 in 100"
    assert chance(0.0) == "1 in 100"
    assert chance(None) == "\N{EN DASH}"
    assert mass(0.0456) == "46\N{NO-BREAK SPACE}g"
    assert mass(12.34) == "12.3\N{NO-BREAK SPACE}kg"
    # an overhang is a margin below nothing, and is said by its size
    assert span((-12.0, -3.0), INFO) == "3.0 to 12.0"
    assert expected(-7.75, (-12.0, -3.0), INFO) == "7.8"
    assert expected(0.5, (0.2, 0.8), INFO) == "0.50"
