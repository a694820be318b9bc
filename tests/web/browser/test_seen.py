"""Every page at both sizes, light and dark: drawn, without a fault, fit for every reader.

The audit is axe (rules of WCAG 2.0 to 2.2, A and AA); what it cannot see is checked
here: size of what is touched, sideways scrolling, the keyboard, the printed sheet.
"""

import io
import math
from importlib.resources import files

import numpy as np
import pypdfium2 as pdfium
import pytest
from PIL import Image
from playwright.sync_api import expect

from foldwright.web.pages import SHEETS
from web.browser.driving import SCHEMES, SCREENSHOTS, SIZES, plate_id, served

# every sheet that the frame leads to is held to be here by a test below
PAGES = {
    "the-build": "/",
    "route-sheets": "/parts",
    "route-sheet-of-a-drum": "/parts/lamp",
    "route-sheet-of-a-box": "/parts/pedestal",
    "changes": "/changes",
    "sizes": "/sizes",
    "rack": "/rack",
    "reckoner": "/reckoner",
    "sum": "/reckoner/press-plug",
    "route-sheet-of-a-made-part": "/parts/lid",
    "route-sheet-of-a-plug": "/parts/leg_plug-1",
    "drawings": "/drawings",
    "drawing": f"/drawings/{plate_id()}",
    "devices": "/devices",
    "pairing": "/pair",
    "book": "/book",
}
EACH = pytest.mark.parametrize("address", PAGES.values(), ids=PAGES.keys())
STANDARDS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
AXE = (files("axe_playwright_python") / "axe.min.js").read_text()

NAMES = {address: name for name, address in PAGES.items()}


def _opened(seen, address):
    """Open a page, and wait for what is worked out meanwhile: it takes the place of something."""
    page = seen.open(address)
    if address == "/":
        expect(page.locator("#main")).to_contain_text("The order of work", timeout=60_000)
    expect(page.locator("[data-job]")).to_have_count(0, timeout=60_000)
    return page


@EACH
def test_a_page_on_a_desk_is_fit_for_every_reader_and_prints_in_ink_on_white(bench, eye, address):
    page = _opened(eye(bench), address)
    _is_fit_for_all(page, NAMES[address], "desktop")
    page.emulate_media(color_scheme="dark")  # a sheet of paper is white all the same
    _prints(page, address)


@EACH
def test_a_page_on_a_phone_is_fit_for_every_reader_and_for_a_thumb(bench, eye, address):
    page = _opened(eye(bench, "phone"), address)
    _is_fit_for_all(page, NAMES[address], "phone")
    page.set_viewport_size({"width": 360, "height": 740})  # the narrowest
    page.reload()
    assert _sideways(page) == []


def _is_fit_for_all(page, name, size):
    """Both schemes in one browser, since only colours differ: the light one is audited whole."""
    for scheme in SCHEMES:
        page.emulate_media(color_scheme=scheme)
        folder = SCREENSHOTS / size / scheme
        folder.mkdir(parents=True, exist_ok=True)
        shot = page.screenshot(path=folder / f"{name}.png", full_page=True, scale="css")

        assert _is_drawn(shot, scheme)
    assert _sideways(page) == []
    assert _unfit(page, {"type": "tag", "values": STANDARDS}) == []  # still dark
    page.emulate_media(color_scheme="light")
    assert _unfit(page, {"type": "rule", "values": ["color-contrast"]}) == []
    if size == "phone":
        assert page.evaluate(_SMALL) == []


def _prints(page, address):
    """A page is printed in ink on white, a route sheet on one sheet."""
    sheets = pdfium.PdfDocument(page.pdf(format="A4", prefer_css_page_size=True))
    try:
        first = sheets[0].render(scale=1).to_numpy()
        words = sheets[0].get_textpage().get_text_bounded()
        count = len(sheets)
    finally:
        sheets.close()

    assert np.median(first) == 255
    assert len(words.split()) > 3
    assert count == 1 or "/parts/" not in address, "a route sheet goes with its part, on one page"


def _is_drawn(png, scheme):
    """Whether a picture shows ink on paper: mostly the one, but enough of the other."""
    grey = np.asarray(Image.open(io.BytesIO(png)).convert("L"), dtype=float)
    paper = np.median(grey)
    is_light = paper > 128
    marked = np.abs(grey - paper) > 100
    return is_light == (scheme == "light") and 0.002 < marked.mean() < 0.5


def _unfit(page, what):
    """What the audit finds, in words."""
    if not page.evaluate("typeof window.axe === 'object'"):
        page.evaluate(AXE + "; null")
    found = page.evaluate(
        "async (what) => (await axe.run(document, {runOnly: what, resultTypes: ['violations']}))"
        ".violations",
        what,
    )
    return [
        f"{rule['id']}: {rule['help']}: {node['html'][:160]} {node['failureSummary'][:300]}"
        for rule in found
        for node in rule["nodes"]
    ]


_WIDER = """() => {
  const wide = document.documentElement.clientWidth;
  if (document.documentElement.scrollWidth <= wide) return [];
  return [...document.body.querySelectorAll("*")]
    .filter((e) => e.getBoundingClientRect().right > wide + 1)
    .map((e) => `${e.tagName} ${e.id || e.className} to ${e.getBoundingClientRect().right}`)
    .concat("the page scrolls sideways");
}"""


def _sideways(page):
    """What makes the page scroll sideways."""
    return page.evaluate(_WIDER)


# What is touched: all that takes a tap. A link in running text is as high as its line
# (WCAG 2.2, 2.5.8 lets those be); part of a picture is as large as the part.
_SMALL = """() => {
  const found = [];
  for (const e of document.querySelectorAll("a, button, input, select, textarea, summary")) {
    if (e.closest("svg, [aria-hidden=true]") || e.matches("[type=hidden]")) continue;
    let box = e.getBoundingClientRect();
    if (box.width === 0 || box.bottom < 0 || box.right < 0) continue;
    if (e.matches("a") && getComputedStyle(e).display === "inline") continue;
    if (e.matches("[type=radio], [type=checkbox], [type=file]") && e.closest("label"))
      box = e.closest("label").getBoundingClientRect();
    const size = `${box.width.toFixed(0)} x ${box.height.toFixed(0)}`;
    if (box.height < 43.5 || (box.width < 43.5 && !e.matches("a")))
      found.push(`${size}: ${e.outerHTML.slice(0, 120)}`);
  }
  return found;
}"""


_REACHED = """() => {
  const e = document.activeElement;
  if (!e || e === document.body) return null;
  const style = getComputedStyle(e);
  const box = e.getBoundingClientRect();
  const outlined = style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 2;
  // in a drawing, which is in mm, the thinnest outline is a bar that hides words
  const inked = [...e.querySelectorAll("path, text")].map((part) => getComputedStyle(part))
    .some((s) => s.textDecorationLine === "underline" || parseFloat(s.strokeWidth) >= 1.3);
  const drawn = e.matches("svg a") ? inked && style.outlineStyle === "none" : outlined;
  if (!e.dataset.reached) e.dataset.reached = "yes"; else return "again";
  return {
    what: e.outerHTML.slice(0, 120), drawn: drawn || style.boxShadow !== "none",
    waiting: document.querySelector(".waiting") !== null,
    inside: box.bottom > 0 && box.top < innerHeight && box.right > 0 && box.left < innerWidth,
  };
}"""
_UNREACHED = """() => [...document.querySelectorAll(
    "a[href], button, input:not([type=hidden]), select, textarea, summary")]
  .filter((e) => e.tabIndex >= 0 && !e.disabled && e.checkVisibility({visibilityProperty: true}))
  .filter((e) => !e.dataset.reached)
  // one of a group of choices is reached by tab, its fellows by arrow
  .filter((e) => !(e.type === "radio" &&
    document.querySelector(`input[name="${e.name}"][data-reached]`)))
  .map((e) => e.outerHTML.slice(0, 120))"""


@EACH
def test_the_keyboard_alone_reaches_everything_and_shows_where_it_is(bench, eye, address):
    page = _opened(eye(bench), address)
    page.evaluate(_REACHED)  # a page may begin in its field
    faults = []
    for _ in range(600):
        page.keyboard.press("Tab")
        where = page.evaluate(_REACHED)
        if where is None or where == "again":
            break
        if not (where["drawn"] and where["inside"]):
            faults.append(where)
        if where["waiting"]:  # coming to a size draws what follows from it: one looks first
            expect(page.locator(".waiting")).to_have_count(0)
    else:
        faults.append("the tab key never comes round")

    assert faults == []
    assert page.evaluate(_UNREACHED) == []


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("part", ["pedestal", "relay_box", "lamp", "vent", "leg_plug-1"])
def test_a_route_sheet_is_read_off_one_page_at_the_bench(bench, eye, part, paper):
    """Type of 9 points, whatever there is to say: the sheet is set anew, not made smaller."""
    page = eye(bench).open(f"/parts/{part}")
    sheets = pdfium.PdfDocument(page.pdf(format=paper, prefer_css_page_size=True))
    try:
        count, text = len(sheets), sheets[0].get_textpage()
        last = text.search("Local rules and qualified people").get_next()[0]
        size = _points(text, last)
        low = text.get_charbox(text.search("Revision").get_next()[0])[1]
        said = text.get_text_bounded()
        letters = [i for i in range(text.count_chars()) if text.get_text_range(i, 1).strip()]
        sizes = np.array([_points(text, i) for i in letters])
    finally:
        sheets.close()

    assert count == 1
    assert "What it has to suit" in said or part in ("relay_box", "vent")  # which nothing meets
    # narrow words in narrow places of a drawing come a point smaller, all others do not
    assert np.mean(sizes >= 8.95) > 0.97
    assert sizes.min() > 7.9
    assert size == pytest.approx(9.0, abs=0.05)
    assert low > 20.0, "the title block stands on the page"


def _points(text, index):
    """Size of a letter as it comes on the page [pt]."""
    matrix = pdfium.raw.FS_MATRIX()
    assert pdfium.raw.FPDFText_GetMatrix(text, index, matrix)
    return pdfium.raw.FPDFText_GetFontSize(text, index) * math.hypot(matrix.b, matrix.d)


@pytest.mark.parametrize("size", SIZES)
def test_the_code_for_another_device_can_be_read_by_all(browser, demo, eye, size):
    with served(demo, "--other-devices") as bench:
        seen = eye(bench, size)
        page = seen.open("/devices")
        page.get_by_role("button", name="Show a code").click()
        expect(page.locator("#code .reading")).to_be_visible()
        _is_fit_for_all(page, "devices-code", size)
        seen.close()


@pytest.mark.parametrize("size", SIZES)
def test_a_drawing_that_is_picked_on_shuts_nobody_out(bench, eye, size):
    """With everything folded out, and in the middle of a pick."""
    page = eye(bench, size).open(PAGES["drawing"])
    for summary in page.locator("#words summary").all():
        if summary.locator("xpath=..").get_attribute("open") is None:
            summary.click()
    page.get_by_role("button", name="a known place").click()
    expect(page.locator("#keep")).to_be_visible()
    _is_fit_for_all(page, "drawing-picking", size)


@pytest.mark.parametrize("size", SIZES)
def test_what_a_table_would_add_and_what_is_wrong_with_one_can_be_read_by_all(bench, eye, size):
    seen = eye(bench, size)
    seen.expect("422")
    for name, row in (("importing", "421.5"), ("importing-refused", "sheep")):
        page = seen.open("/book")
        table = f"part,dim,value,tool,drawn\nlid,depth,{row},rule,420.0\n".encode()
        page.set_input_files(
            "#import-file", {"name": "readings.csv", "mimeType": "text/csv", "buffer": table}
        )
        page.get_by_role("button", name="Look at it").click()
        expect(page.locator("h1")).not_to_have_text("Build book")
        _is_fit_for_all(page, name, size)


def test_every_sheet_that_the_frame_leads_to_is_looked_at():
    assert {sheet.address for sheet in SHEETS} <= set(PAGES.values())
