"""The rack and the layouts on the page: what is there, laid out as a job, drawn and said."""

import re
from html import unescape

import pytest

from foldwright.draw.blank import blank_of
from foldwright.make import make, open_build

from .conftest import Browser, page_on

SMALL = """
[build]
name = "Tray"

[rack.board]
material = "acp-3-0.3"
sheets = [{ size = [400, 300] }, { outline = [[0, 0], [300, 0], [300, 100], [0, 200]] }]

[rack.spare]
material = "acp-2-0.2"
sheets = [{ size = [1000, 2000], count = 0, price = 41 }]

[rack.tube]
material = "al-5005-H24"
tube_d = 30
wall = 2
lengths = [{ length = 500, price = 4 }]

[rack.pipe114]
former_d = 114

[part.lid]
kind = "plate"
from = "board"
outline = [[0, 0], [200, 0], [200, 100], [0, 100]]

[part.big]
kind = "plate"
from = "board"
outline = [[0, 0], [900, 0], [900, 800], [0, 800]]

[part.leg]
kind = "tube"
from = "tube"
count = 2
length = 120
place = [{ at = [0, 0] }, { at = [100, 0] }]
"""


def plain(html: str) -> str:
    return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", " ", html)))


@pytest.fixture
def app(tmp_path):
    folder = tmp_path / "tray"
    folder.mkdir()
    (folder / "plan.toml").write_text(SMALL)
    with page_on(folder) as app:
        yield app


def laid_out(app, browser, seconds="2"):
    """Ask for layouts and wait for them."""
    answer = browser.submit("/rack/layouts", seconds=seconds)
    assert answer.status_code == 303, answer.text
    job = app.state.jobs.wait(app.state.jobs.of("layouts").id, 60.0)
    assert job.state == "done", job.words
    return job


def test_rack_says_what_lies_there(browser):
    """Sizes without tenths, counts, prices, what is to be bought, pipes to curl over."""
    page = browser.get("/rack").text
    seen = plain(page)

    for words in (
        "400 by 300 mm sheet 1",
        "odd offcut within 300 by 200 mm 1",
        "1000 by 2000 mm sheet to be bought 41.00",
        "500 mm length 1 4.00",
        "pipe114 114 mm",
    ):
        assert words in seen
    assert page.count("<svg") == 4
    assert page.count('role="img"') == 4
    assert not re.search(r'aria-label=""', page)


def test_sheets_are_drawn_to_one_scale(browser):
    """The large sheet stands as much higher than the small one as it really does."""
    page = browser.get("/rack").text
    heights = {}
    for name, svg in zip(
        ("board", "spare"), re.findall(r"<svg.*?</svg>", page, re.S), strict=False
    ):
        path = re.search(r'<path d="M([^"]+)" fill="none"', svg)
        numbers = [float(n) for n in re.findall(r"-?[\d.]+", path[1])][:8]
        heights[name] = max(numbers[1::2]) - min(numbers[1::2])

    assert heights["spare"] / heights["board"] == pytest.approx(2000 / 300, rel=0.01)


def test_layouts_are_shown_with_words_for_every_blank(app, browser):
    """Picture, side up, what remains, and a table that says where each blank lies."""
    laid_out(app, browser)
    page = browser.get("/rack").text
    seen = plain(page)

    assert "THIS SIDE UP" in seen
    assert 'href="/parts/lid"' in page
    assert 'href="/parts/leg-1"' in page or 'href="/parts/leg"' in page
    assert "Saw in this order, the longest first." in seen
    assert "is lost at each cut" in seen
    assert 'style="' not in page


def test_layouts_are_those_of_the_make_room(app, browser):
    """Places in the table are where the layout puts the blanks."""
    job = laid_out(app, browser)
    plan, ledger = open_build(app.state.live.folder)
    with ledger:
        made = make(plan, ledger)
        layouts = made.layouts(2.0)
    titles = {piece.id: blank_of(piece).title for piece in made.pieces}

    shown = {row.piece: row.across for s in job.result.sheets for t in s.sheets for row in t.rows}
    spots = {
        titles[spot.piece]: f"{spot.x - min(x for x, _ in sheet.sheet.outline):.1f}"
        for layout in layouts.sheets.values()
        for sheet in layout.sheets
        for spot in sheet.spots
    }
    assert shown == spots
    sawn = {id for bars in job.result.bars for bar in bars.rows for id, _, _ in bar.cuts}
    of_bars = {id for plan in layouts.bars.values() for bar in plan.bars for id in bar.ids}
    assert "leg-1-1" in of_bars
    assert sawn == {id.removesuffix("-1").replace("-", " ") for id in of_bars}


def test_what_nothing_is_large_enough_for_is_said(app, browser):
    """By name and with the reason, and above all sheets as well."""
    laid_out(app, browser)
    seen = plain(browser.get("/rack").text)

    assert "Not everything of 3 mm skinned board found a place" in seen
    assert "No place yet Big." in seen


def test_what_to_buy_has_prices(tmp_path):
    """A sheet that is not there is bought, and its price counted."""
    folder = tmp_path / "bought"
    folder.mkdir()
    (folder / "plan.toml").write_text(SMALL.replace('from = "board"', 'from = "spare"'))
    with page_on(folder) as app:
        job = laid_out(app, Browser(app))
        rows = {row[0]: row for row in job.result.purchases["rows"]}
        bought = next(row for row in rows.values() if row[1] == "to buy" and "2000" in row[0])

        assert bought[2:] == ["1", "41.00", "41.00"]
        assert job.result.purchases["total"] == "41.00"
        assert "41.00" in Browser(app).get("/rack").text


def test_layouts_of_an_older_plan_say_so(app, browser):
    """A changed plan makes them old, until they are laid out again."""
    laid_out(app, browser)
    assert "Lay it out again before you cut" not in browser.get("/rack").text
    path = app.state.live.plan_path
    path.write_text(path.read_text().replace("[200, 100]", "[201, 100]"))

    assert "Lay it out again before you cut" in browser.get("/rack").text
    laid_out(app, browser)
    assert "Lay it out again before you cut" not in browser.get("/rack").text


def test_laying_out_can_be_stopped(app, browser):
    """A minute a stock is long; a stop ends it and the page says so."""
    browser.submit("/rack/layouts", seconds="60")
    job = app.state.jobs.of("layouts")
    page = browser.get("/rack").text
    assert f"/jobs/{job.id}/stop" in page
    answer = browser.submit(f"/jobs/{job.id}/stop", back="/rack")

    assert answer.headers["location"] == "/rack"
    assert app.state.jobs.of("layouts").state in ("stopped", "done")


@pytest.mark.parametrize("seconds", ["", "-1", "nan", "1e9", "two", "9" * 400])
def test_a_time_that_is_not_offered_is_refused(app, browser, seconds):
    """In words, and nothing begins."""
    answer = browser.submit("/rack/layouts", seconds=seconds)

    assert answer.status_code == 422
    assert "Choose 2, 10 or 60 seconds" in plain(answer.text)
    assert app.state.jobs.of("layouts") is None


def test_an_empty_rack_says_how_to_fill_it(tmp_path):
    """A plan of bought parts alone has none."""
    folder = tmp_path / "empty"
    folder.mkdir()
    (folder / "plan.toml").write_text(
        '[build]\nname = "Knob"\n\n[part.knob]\nkind = "bought"\nsize = [20, 20, 20]\nmass = 0.1\n'
    )
    with page_on(folder) as app:
        answer = Browser(app).get("/rack")
        assert answer.status_code == 200, plain(answer.text)
        assert "no rack yet" in plain(answer.text)


def test_demo_lays_out(demo):
    """Every board, tube and bar of a real build; wide sheets are drawn for a telephone too."""
    with page_on(demo) as app:
        job = laid_out(app, Browser(app))
        page = Browser(app).get("/rack").text
        sheets = [sheet for stock in job.result.sheets for sheet in stock.sheets]

        assert {b.called for b in job.result.bars} == {"tube 30 x 2", "bar 28"}
        assert any(sheet.wide for sheet in sheets)
        for sheet in sheets:
            assert sheet.narrow in page
            assert sheet.wide in page
            assert "nan" not in sheet.narrow
