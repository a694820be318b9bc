"""What a maker does with the page, by clicking and typing in a real browser.

Waits are those of `expect`: the page has to come to say something.
"""

import json
import re
import time
import tomllib
import zlib

import pypdfium2 as pdfium
import pytest
from playwright.sync_api import expect

from foldwright.scans import Drawings
from web.browser.driving import (
    SIZES,
    command,
    drawing_of_a_plate,
    must_have_browser,
    put_plate_drawing,
    served,
)

expect.set_options(timeout=15_000)  # how long things take is for the bench

EACH_SIZE = pytest.mark.parametrize("size", SIZES)


def readings(bench, part):
    """List the readings of a part in the ledger, asked by another door: the command line."""
    history = bench.folder / "history-so-far.jsonl"
    command("export", bench.folder, history)
    entries = [json.loads(line) for line in history.read_text().splitlines()]
    history.unlink()
    return [e for e in entries if e.get("kind") == "reading" and e["part"] == part]


class Taps:
    """Counts what a thumb does on the phone, where a number is typed on the page's own pad."""

    def __init__(self, page):
        self.page = page
        self.taps = 0
        self.keys = 0

    def on(self, what):
        """Tap something that is no key of the pad."""
        what.tap()
        self.taps += 1

    def number(self, text):
        """Type a number on the pad."""
        for key in text:
            self.page.locator(f'#pad [data-key="{key}"]').tap()
            self.keys += 1


def type_girth(page, size, text):
    """Type a girth into the lamp's route sheet and write it down; return the taps it took."""
    field = page.locator('input[name="value.girth"]')
    if size == "phone":
        thumb = Taps(page)
        thumb.on(field)
        expect(page.locator("#pad")).to_be_visible()
        thumb.number(text)
        expect(field).to_have_value(text)
        thumb.on(page.locator("#pad").get_by_role("button", name="Write it down"))
        return thumb.taps
    field.fill(text)
    field.press("Enter")
    return 2


# --- the whole loop ------------------------------------------------------------------------


@EACH_SIZE
def test_the_lamp_came_out_large_and_the_cap_is_redrawn(fresh, eye, size):
    """See, measure, learn why, refit, keep, find the revision on the sheet of what changes."""
    page = eye(fresh, size).open("/")
    expect(page.locator("#stands")).to_contain_text("Three meets are in danger.")
    page.locator('#every-part a[href="/parts/lamp"]').click()
    expect(page.locator("h1")).to_contain_text("Lamp", ignore_case=True)
    assert type_girth(page, size, "694.5") <= 3
    came_out = page.locator("#came-out")
    expect(came_out).to_contain_text("3.7 mm large on the girth")
    expect(came_out).to_contain_text("Lamp cap slides into lamp: in danger")
    came_out.get_by_role("link", name="See what to change").click()

    keep = page.get_by_role("button", name="Keep it as a revision")
    expect(keep).to_be_visible(timeout=60_000)
    cap = page.locator("article").filter(has=page.locator('h2 a[href="/parts/lamp_cap"]'))
    expect(cap).to_contain_text("Lamp came out 3.7 mm large on the girth")
    keep.click()
    expect(page.locator(".kept")).to_contain_text("Revision 1 is kept")
    page.locator('.kept a[href="/parts/lamp_cap"]').click()
    expect(page.locator(".title-block")).to_contain_text("Revision1")
    if size == "desktop":
        _book_tells_of_it(page)


def _book_tells_of_it(page):
    """Draw everything, take the book along, and read in it what the refit changed."""
    page.get_by_role("navigation", name="Sheets").get_by_role("link", name="Build book").click()
    page.get_by_role("button", name="Draw it all").click()
    book = page.get_by_role("link", name="The build book")
    expect(book).to_be_visible(timeout=120_000)
    with page.expect_download() as coming:
        book.click()
    pages = pdfium.PdfDocument(coming.value.path())
    try:
        words = [sheet.get_textpage().get_text_bounded() for sheet in pages]
    finally:
        pages.close()

    assert any("Lamp cap" in text and "evision 1" in text for text in words)


# --- sizes and the plan --------------------------------------------------------------------


@EACH_SIZE
def test_a_changed_size_is_drawn_as_typed_and_kept_in_the_plan(fresh, eye, size):
    page = eye(fresh, size).open("/sizes")
    field = page.locator('[id="plan.lamp_d"]')
    field.fill("224")

    # the girth of a drum of 224 outside is pi * 224 = 703.7
    expect(page.locator("#drawn")).to_contain_text("703.7")
    assert "plan = 220" in (fresh.folder / "plan.toml").read_text()
    page.get_by_role("button", name="Keep it in the plan").click()
    expect(page.locator("#kept")).to_contain_text("kept in the plan")
    expect(page.locator("#drawn")).to_contain_text("What follows from lamp d")
    plan = (fresh.folder / "plan.toml").read_text()
    assert "lamp_d     = { plan = 224, give = 3 }" in plan
    assert "# as drawn" in plan or "# plan: as drawn" in plan, "the maker's notes stay"


def test_nonsense_in_a_size_is_said_beside_it_and_changes_nothing(fresh, eye):
    before = (fresh.folder / "plan.toml").read_bytes()
    seen = eye(fresh)
    seen.expect("422")
    page = seen.open("/sizes")
    page.locator('[id="plan.lamp_d"]').fill("22o")
    fault = page.locator('[id="fault-plan.lamp_d"]')

    expect(fault).to_contain_text("22o")
    expect(page.locator('[id="plan.lamp_d"]')).to_have_attribute("aria-invalid", "true")
    assert (fresh.folder / "plan.toml").read_bytes() == before


def test_a_fault_made_in_an_editor_is_told_with_its_line_and_goes_when_mended(fresh, eye):
    page = eye(fresh).open("/")
    expect(page.locator("#faults")).to_be_empty()
    fresh.edit('former = "pipe114"', 'former = "pipe411"')
    plan = (fresh.folder / "plan.toml").read_text()
    line = plan[: plan.index("pipe411")].count("\n") + 1

    faults = page.locator("#faults")
    expect(faults).to_contain_text(f"Line {line}")
    expect(faults).to_contain_text("pipe411")
    expect(page.locator("#main")).to_contain_text("Seven of twenty-five parts are made.")
    fresh.edit('former = "pipe411"', 'former = "pipe114"')
    expect(faults).to_be_empty()


# --- readings ------------------------------------------------------------------------------


@EACH_SIZE
def test_a_reading_takes_three_taps_and_a_number_at_most(fresh, eye, size):
    page = eye(fresh, size).open("/parts/lamp")

    assert type_girth(page, size, "694.5") <= 3
    # drawn is pi * 219.72 = 690.3, bare of paint; a tape 0.15 thick reads pi * 0.15 too much
    expect(page.locator("#came-out")).to_contain_text("In danger")
    expect(page.locator("#came-out")).to_contain_text("694.0")
    assert len(readings(fresh, "lamp")) == 1


@EACH_SIZE
def test_a_doubtful_reading_asks_back_before_it_is_kept(fresh, eye, size):
    seen = eye(fresh, size)
    seen.expect("422")
    page = seen.open("/parts/lamp")
    type_girth(page, size, "6945")
    doubt = page.get_by_role("alert")

    expect(doubt).to_contain_text("694.5")
    expect(doubt).to_be_in_viewport(ratio=1.0)
    expect(doubt).to_be_focused()
    expect(doubt.get_by_role("button", name="I am sure")).to_be_visible()
    assert readings(fresh, "lamp") == []
    doubt.get_by_role("button", name="694.5 mm it is").click()
    expect(page.locator("#came-out")).to_contain_text("694.0")
    assert len(readings(fresh, "lamp")) == 1


def test_on_a_desk_a_blank_is_seen_whole(bench, eye):
    page = eye(bench).open("/parts/lamp")
    blank = page.locator("#blank .wide").first

    expect(blank).to_be_visible()
    assert blank.evaluate("box => box.scrollWidth <= box.clientWidth")


def test_two_browsers_see_each_others_readings(fresh, eye):
    here, there = eye(fresh).open("/parts/lamp"), eye(fresh, "phone").open("/parts/lamp")
    expect(there.locator("#history")).not_to_contain_text("694.0")
    type_girth(here, "desktop", "694.5")
    expect(here.locator("#came-out")).to_contain_text("694.0")

    expect(there.locator("#history")).to_contain_text("694.0")


def test_news_does_not_take_a_link_from_under_the_finger(fresh, eye):
    page = eye(fresh).open("/changes")
    expect(page.get_by_role("button", name="Keep it as a revision")).to_be_visible(timeout=60_000)
    version = page.locator("body").get_attribute("data-version")
    link = page.locator('#changes a[href="/parts/lid"]').first
    link.scroll_into_view_if_needed()
    box = link.bounding_box()
    page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    page.mouse.down()
    fresh.edit("[build]", "[build]  # looked over")
    # long enough for the news to come, and for the whole sheet to be fetched anew
    with page.expect_response(lambda answer: answer.url.endswith("/changes")):
        pass
    page.wait_for_timeout(500)
    page.mouse.up()

    expect(page.locator("h1")).to_contain_text("Lid")
    assert page.locator("body").get_attribute("data-version") != version


def test_what_is_typed_without_a_connection_is_sent_once_when_it_is_back(fresh, eye):
    seen = eye(fresh, "phone")
    seen.expect("ERR_INTERNET_DISCONNECTED")
    page = seen.open("/parts/lamp")
    seen.context.set_offline(True)
    type_girth(page, "phone", "694.5")
    expect(page.locator("#unsent")).to_contain_text("694.5")
    expect(page.locator("#pad")).to_be_hidden()  # it would cover those words
    expect(page.locator("#unsent")).to_be_in_viewport(ratio=1.0)
    time.sleep(1.0)

    assert readings(fresh, "lamp") == []
    seen.context.set_offline(False)
    expect(page.locator("#history")).to_contain_text("694.0")
    expect(page.locator("#unsent")).to_be_hidden()
    page.reload()
    time.sleep(1.0)
    assert len(readings(fresh, "lamp")) == 1


@pytest.mark.parametrize("size", ["desktop", "phone"])
def test_without_a_connection_no_sheet_is_left_for_one_that_cannot_be_had(fresh, eye, size):
    """The browser's own page would take away what was typed; a form is held back too."""
    seen = eye(fresh, size)
    seen.expect("ERR_INTERNET_DISCONNECTED")
    page = seen.open("/rack")
    seen.context.set_offline(True)
    for press in (
        page.get_by_role("link", name="Sizes"),
        page.locator("form.begin button"),
    ):
        page.evaluate("document.getElementById('line').textContent = ''")
        press.click()
        expect(page.locator("#line")).to_contain_text("What you typed is kept")
        expect(page.locator("#line")).to_be_in_viewport(ratio=1.0)
        assert page.url == fresh.at("/rack")
    page.wait_for_timeout(2500)  # the line is tried again meanwhile, and says nothing of its own
    expect(page.locator("#line")).to_contain_text("press again when the connection is back")

    # what leads to a place on the sheet itself needs no connection
    page.evaluate("location.hash = ''")
    page.get_by_role("link", name="To the sheet itself").evaluate("link => link.click()")
    assert page.url.endswith("/rack#main")
    seen.context.set_offline(False)
    page.get_by_role("link", name="Sizes").click()
    page.wait_for_url("**/sizes")


# --- sums and drawings ---------------------------------------------------------------------


def test_a_sum_answers_as_one_types(eye, bench):
    page = eye(bench, "phone").open("/reckoner")
    page.locator('a[href="/reckoner/press-plug"]').tap()
    expect(page.locator("#letters")).to_be_visible()  # the script is at work
    page.locator("#bore").fill("46.08,46.12,46.10")
    page.locator("#wall").fill("2")
    answer = page.locator("#answer")

    expect(answer).to_contain_text("File")
    expect(answer.locator(".caution")).to_contain_text("eyes covered")


def test_a_length_is_taken_off_a_picture_that_was_put_in(fresh, eye):
    """One side of 200 mm is known; the other, picked to the pixel, is 100."""
    page = eye(fresh).open("/drawings")
    page.set_input_files(
        "#file", {"name": "plate.png", "mimeType": "image/png", "buffer": drawing_of_a_plate()}
    )
    page.get_by_role("button", name="Put it in").click()
    expect(page.locator("#main")).to_contain_text("plate")
    for kind, points, given, said in (
        ("known", "160 160\n960 160", "200", "known to be 200.0"),
        ("length", "160 160\n160 560", "", "100.0"),
    ):
        put_by_numbers(page, kind, points, given)
        expect(page.locator("#main")).to_contain_text(said)


def on_screen(page, x, y):
    """Where a point of the picture is seen, with the picture shown whole and standing still.

    News of what was kept last may come while one aims, and move what stands on the page.
    """
    page.locator("#view").scroll_into_view_if_needed()
    return page.evaluate(
        """async ([x, y]) => {
          const seen = () => {
            const at = document.getElementById("view").createSVGPoint();
            [at.x, at.y] = [x, y];
            const spot = at.matrixTransform(document.querySelector("#view image").getScreenCTM());
            return [spot.x, spot.y];
          };
          for (let before = null, now = seen(); ; before = now, now = seen()) {
            if (before && Math.hypot(now[0] - before[0], now[1] - before[1]) < 0.01) return now;
            await new Promise((done) => setTimeout(done, 100));
          }
        }""",
        [x, y],
    )


@EACH_SIZE
def test_an_outline_and_a_hole_are_picked_by_hand_and_go_into_a_part(fresh, eye, size):
    """The plate is 200 by 100 mm; the hole of 20 mm lies 50 right and 40 up from its corner."""
    id = Drawings(fresh.folder).put(drawing_of_a_plate(), "plate.png").id
    with (fresh.folder / "plan.toml").open("a") as plan:
        plan.write(
            '\n[part.spare]\nkind = "plate"\nfrom = "board3"\noutline = [[0, 0], [9, 0], [9, 9]]\n'
        )
    seen = eye(fresh, size)
    page = seen.open(f"/drawings/{id}")
    press = page.touchscreen.tap if size == "phone" else page.mouse.click
    for kind, points, given in (
        ("a known length", [(160, 160), (960, 160)], "200"),
        ("a known length", [(160, 160), (160, 560)], "100"),
        ("an outline", [(160, 560), (160, 160), (960, 160), (960, 560)], ""),
        ("a hole", [(400, 400), (360, 440), (320, 400), (360, 360)], ""),
    ):
        page.get_by_role("button", name=kind, exact=True).click()
        for point in points:
            press(*on_screen(page, *point))
        if given:
            page.locator("#keep [name=given]:visible").fill(given)
        page.locator("#keep-it").click()
        expect(page.locator("#now")).to_have_text("Kept.")
    for pick, button in (("#pick-3", "Write this outline"), ("#pick-4", "Write this hole")):
        page.locator(f"{pick} summary", has_text="Into the plan").click()
        page.locator(f"{pick} select[name=part]").select_option("spare")
        page.locator(pick).get_by_role("button", name=button).click()
        expect(page.locator(pick)).to_contain_text("Written to spare.")

    spare = tomllib.loads((fresh.folder / "plan.toml").read_text())["part"]["spare"]
    # a finger or a mouse sets a point to a pixel of the screen: on a phone some 0.8 mm here
    x, y = zip(*spare["outline"], strict=True)
    assert [max(x) - min(x), max(y) - min(y)] == pytest.approx([200.0, 100.0], abs=2.0)
    (hole,) = spare["holes"]
    assert [*hole["at"], hole["d"]] == pytest.approx([50.0, 40.0, 20.0], abs=2.0)


@EACH_SIZE
def test_a_point_is_moved_by_keys_and_by_a_drag(fresh, eye, size):
    """Each is sent by itself once it rests, and the words beside the picture follow."""
    id = put_plate_drawing(fresh.folder)
    page = eye(fresh, size).open(f"/drawings/{id}")
    page.locator('#view [data-spot="3/1"]').focus()
    for _ in range(2):
        page.keyboard.press("Shift+ArrowDown")
    expect(page.locator("#now")).to_have_text("length 1 moved.")
    expect(page.locator("#pick-3")).to_contain_text("105.0")

    x, y = on_screen(page, 160, 580)
    _, up = on_screen(page, 160, 540)
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x, up, steps=4)
    page.mouse.up()
    expect(page.locator("#pick-3")).to_contain_text(re.compile(r"9[456]\.\d "))
    expect(page.locator("#view g g:focus")).to_have_count(0)


def put_by_numbers(page, kind, points, given=""):
    """Pick by numbers, without a pointer."""
    if page.locator("#by-points").is_hidden():
        page.get_by_text("Pick by numbers").click()
    page.locator("#by-kind").select_option(kind)
    page.locator("#by-points").fill(points)
    page.locator("#by-given").fill(given)
    page.get_by_role("button", name="Pick it").click()


def test_two_browsers_on_one_drawing_see_each_others_picks(fresh, eye):
    """What one types stays in its field meanwhile, and so does a point that waits for its word."""
    id = Drawings(fresh.folder).put(drawing_of_a_plate(), "plate.png").id
    one = eye(fresh).open(f"/drawings/{id}")
    other = eye(fresh, "phone").open(f"/drawings/{id}")
    shown = one.locator("#told")
    one.get_by_text("How sure it is").click()
    one.locator("#sure").fill("0.7")
    put_by_numbers(other, "length", "160 160\n160 560")
    expect(other.locator("#words")).to_contain_text("length 1")

    expect(one.locator('#view [data-spot="1/0"]')).to_have_count(1)
    expect(one.locator("#sure")).to_be_focused()
    expect(one.locator("#sure")).to_have_value("0.7")
    one.locator("#sure").blur()
    expect(one.locator("#pick-1")).to_be_visible()
    expect(one.locator("#sure")).to_have_value("0.7")
    expect(one.locator("#sure")).to_be_visible()

    # one is in the middle of a pick of its own; the other's moved point comes all the same
    one.get_by_role("button", name="a known length").click()
    box = one.locator("#view").bounding_box()
    one.mouse.click(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    expect(one.locator("#now")).to_contain_text("1 of 2 set")
    other.locator("#points-1 summary").click()
    other.locator("#x-1-1").fill("300")
    other.get_by_role("button", name="Set it so").first.click()
    expect(shown).to_have_attribute("data-board", re.compile(r"\[300\.0, 160\.0\]"))
    expect(one.locator("#now")).to_contain_text("1 of 2 set")
    expect(one.locator('#view [data-spot="0/0"]')).to_have_count(1)

    # and what one takes away goes from the other's list
    one.get_by_role("button", name="Leave it").click()
    one.get_by_role("button", name="Take the last pick back").click()
    expect(other.locator("#pick-1")).to_have_count(0)


def page_of_many_lines():
    """A PDF page that takes a program half a minute to draw, in some kB."""
    lines = zlib.compress(b"1 1 m 590 840 l 10 800 l S\n" * 1_500_000, 9)
    parts = [
        b"<< /Type /Catalog /Pages 2 0 R >>",
        b"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
        b"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 595 842] /Contents 4 0 R >>",
        b"<< /Filter /FlateDecode /Length %d >>\nstream\n%s\nendstream" % (len(lines), lines),
    ]
    found = b"%PDF-1.4\n"
    for i, part in enumerate(parts, 1):
        found += b"%d 0 obj\n%s\nendobj\n" % (i, part)
    return found + b"trailer << /Root 1 0 R /Size 5 >>\n%%EOF\n"


@EACH_SIZE
def test_a_page_that_takes_long_is_stopped_and_nothing_of_it_is_kept(fresh, eye, size):
    page = eye(fresh, size).open("/drawings")
    page.set_input_files(
        "#file",
        {"name": "many.pdf", "mimeType": "application/pdf", "buffer": page_of_many_lines()},
    )
    page.get_by_role("button", name="Put it in").click()
    expect(page.locator("[data-job-words]")).to_contain_text("Reading the picture")
    page.get_by_role("button", name="Stop it").click()
    expect(page.locator("#coming")).to_contain_text("nothing of it is kept")
    page.get_by_role("link", name="All drawings").click()

    expect(page.locator("#rows")).to_contain_text("None is here yet")
    assert [p.name for p in (fresh.folder / "drawings").iterdir()] == []


# --- readings from elsewhere ---------------------------------------------------------------


@EACH_SIZE
def test_readings_from_a_spreadsheet_are_looked_at_then_taken_in(fresh, eye, size):
    page = eye(fresh, size).open("/book")
    before = len(readings(fresh, "lid"))
    table = b"part,dim,value,tool,drawn\nlid,depth,421.5,rule,420.0\n"
    page.set_input_files(
        "#import-file", {"name": "readings.csv", "mimeType": "text/csv", "buffer": table}
    )
    page.get_by_role("button", name="Look at it").click()
    expect(page.locator("#main")).to_contain_text("It adds one entry to the ledger")
    assert len(readings(fresh, "lid")) == before
    page.get_by_role("button", name="Take it in").click()

    expect(page.locator("#taking-in")).to_contain_text("1 added, 0 were there already.")
    assert len(readings(fresh, "lid")) == before + 1


# --- other devices -------------------------------------------------------------------------


def test_another_device_sees_nothing_until_it_has_shown_the_code(browser, demo, eye):
    with served(demo, "--other-devices") as bench:
        elsewhere = next((line for line in bench.said if "From other devices" in line), None)
        for _ in range(20):
            if elsewhere or any("Ctrl-C" in line for line in bench.said):
                break
            time.sleep(0.1)
            elsewhere = next((line for line in bench.said if "From other devices" in line), None)
        nowhere = "this machine is on no network that another device could be on"
        if elsewhere is None and not must_have_browser():
            pytest.skip(nowhere)
        assert elsewhere, nowhere
        at_home = eye(bench)
        maker = at_home.open("/devices")
        maker.get_by_role("button", name="Show a code").click()
        code = maker.locator("#code .reading").inner_text()
        other = eye(bench.seen_from(elsewhere.split()[-1]), "phone")
        page = other.open("/parts/lamp")
        expect(page.locator("body")).not_to_contain_text("girth")
        page.locator("#code").fill(code)
        page.get_by_role("button", name="Let it in").tap()
        expect(page.locator("nav[aria-label=Sheets]")).to_be_visible()
        expect(maker.locator("#devices")).to_contain_text("just now")
        # both are shut before the server ends, which would be news to them
        other.close()
        at_home.close()
