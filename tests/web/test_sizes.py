"""The sizes sheet: what is typed is drawn, kept or refused, and the plan stays the maker's."""

import asyncio
import gc
import re
from functools import _lru_cache_wrapper
from urllib.parse import urlencode

import pytest

from foldwright import sizing

PLAN = "plan.toml"


def fields(text):
    """Fields of the table as a browser would send them."""
    found = dict(re.findall(r'name="((?:plan|give|trust)\.\w+)" value="([^"]*)"', text))
    found["seen"] = re.search(r'name="seen" value="(\w+)"', text)[1]
    return found


def folder_of(browser):
    return browser.app.state.live.folder


def fault_at(text, field):
    found = re.search(rf'<p id="fault-{re.escape(field)}"[^>]*>(.*?)</p>', text, re.S)
    return found[1].strip()


def typed(browser, act, **changed):
    """Type over some sizes, as plan__lamp_d="224", and press a button."""
    sent = fields(browser.get("/sizes").text)
    sent |= {name.replace("__", "."): value for name, value in changed.items()}
    return browser.submit("/sizes", **{act: "1"}, **sent)


def test_every_size_stands_in_the_table_with_the_parts_that_it_drives(still):
    text = still.get("/sizes").text

    assert fields(text)["plan.lamp_d"] == "220" and fields(text)["give.lamp_d"] == "3"
    assert "lamp, lamp cap, cap top and cowl" in text
    assert fields(text)["trust.lamp_d"] == "" and 'placeholder="0.75"' in text


def test_the_parts_of_a_size_are_drawn_with_it_and_their_formulas_cannot_be_typed_in(still):
    text = still.get("/sizes?of=lamp_d").text

    assert ">220.0</text>" in text  # on the picture of the lamp
    assert '<td class="lettering">lamp_d - 2*thickness - 1.5</td>' in text
    assert text.count('<figure class="blank">') == 4


def test_what_is_tried_is_drawn_and_not_written(still):
    before = (folder_of(still) / PLAN).read_bytes()

    answer = typed(still, "try", plan__lamp_d="224.5")
    assert answer.status_code == 200
    assert "As it would be, not kept" in answer.text and ">224.5</text>" in answer.text
    # the girth of a drum is pi times its diameter
    assert "691.2 &rarr; 705.3" in answer.text
    assert (folder_of(still) / PLAN).read_bytes() == before


def drawn_of(text):
    return re.search(r'<section id="drawn"[^>]*>(.*?)</section>', text, re.S)[1].strip()


def test_while_one_types_the_part_that_changes_most_comes_first_then_the_same_as_on_the_sheet(
    browser,
):
    first = typed(browser, "try", plan__lamp_d="224.5", drawn="first").text
    everything = typed(browser, "try", plan__lamp_d="224.5", drawn="all").text
    sheet = typed(browser, "try", plan__lamp_d="224.5").text

    assert first.count("<article>") == 1 and 'id="more"' in first
    assert everything.count("<article>") == 4
    assert drawn_of(everything).startswith(drawn_of(first).partition("</article>")[0])
    assert drawn_of(everything) == drawn_of(sheet)
    assert "<form" not in everything  # what is typed stands in the fields already


def test_what_was_tried_between_two_answers_does_not_get_into_the_second(browser):
    typed(browser, "try", plan__lamp_d="224.5", drawn="first")
    typed(browser, "try", plan__lamp_d="226", drawn="first")

    assert ">224.5</text>" in typed(browser, "try", plan__lamp_d="224.5", drawn="all").text


def test_for_who_has_gone_on_typing_the_other_parts_are_not_drawn(app, browser, monkeypatch):
    """A browser that lets go of its line after it has asked; one part may be begun by then."""
    names = []

    def drawn(*what):
        names.append(what[2])
        return draw(*what)

    draw = sizing._driven
    monkeypatch.setattr(sizing, "_driven", drawn)
    body = urlencode(fields(browser.get("/sizes").text) | {"plan.lamp_d": "224.5", "try": "1"})
    cookie = "; ".join(f"{name}={value}" for name, value in browser.cookies.items())
    headers = {"host": "127.0.0.1", "cookie": cookie, "x-token": browser.token}
    headers["content-type"] = "application/x-www-form-urlencoded"
    scope = {
        "type": "http",
        "method": "POST",
        "path": "/sizes",
        "scheme": "http",
        "query_string": b"",
        "server": ("127.0.0.1", 80),
        "client": ("127.0.0.1", 50000),
        "headers": [(name.encode(), value.encode()) for name, value in headers.items()],
    }
    said = iter([{"type": "http.request", "body": body.encode()}])

    async def receive():
        return next(said, {"type": "http.disconnect"})

    async def send(message):
        assert message.get("status", 200) == 200

    names.clear()
    asyncio.run(app(scope, receive, send))
    left = len(names)
    assert typed(browser, "try", plan__lamp_d="224.5").text.count("<article>") == 4
    assert left < 2 and len(names) == 4


@pytest.mark.parametrize("drawn", ["first", "all"])
def test_a_fault_is_said_with_the_first_answer_already(still, drawn):
    text = typed(still, "try", plan__lamp_d="20", drawn=drawn).text

    assert "Make outside_d at least" in fault_at(text, "plan.lamp_d")


def test_what_is_kept_changes_that_number_in_the_plan_and_nothing_else(browser, demo):
    before = (demo / PLAN).read_text()

    answer = typed(browser, "keep", plan__lamp_d="224.5", give__lamp_d="3.5")
    assert (answer.status_code, answer.headers["location"]) == (
        303, "/sizes?of=lamp_d&kept=lamp_d",
    )  # fmt: skip
    wanted = before.replace(
        "lamp_d     = { plan = 220, give = 3 }", "lamp_d     = { plan = 224.5, give = 3.5 }"
    )
    assert wanted != before and (demo / PLAN).read_text() == wanted
    assert "is kept in the plan" in browser.get(answer.headers["location"]).text


def forget_everything():
    """Drop all that is kept by content, as in a program that was begun anew."""
    for thing in gc.get_objects():
        if isinstance(thing, _lru_cache_wrapper) and thing.__module__.startswith("foldwright"):
            thing.cache_clear()


def svgs_by_part(text):
    articles = drawn_of(text).split("<article>")[1:]
    return {
        re.search(r'href="/parts/([^"]+)"', article)[1]: re.findall("<svg.*?</svg>", article, re.S)
        for article in articles
    }


@pytest.mark.parametrize("size", ["lamp_d", "horn_d", "pedestal_h"])
def test_what_is_shown_while_one_types_is_what_is_drawn_once_it_is_kept(browser, size):
    """Whatever was tried before it, and by a program that remembers nothing of it."""
    written = fields(browser.get("/sizes").text)

    def tried(act, size, by, **more):
        value = f"{float(written[f'plan.{size}']) + by:.1f}"
        return typed(browser, act, **{f"plan__{size}": value}, **more)

    for other in ("lamp_d", "hood_w", "pedestal_d", "pedestal_h"):
        assert tried("try", other, 0.9, drawn="first").status_code == 200
    tried("try", size, 0.7, drawn="first")
    shown = svgs_by_part(tried("try", size, 0.7, drawn="all").text)
    where = tried("keep", size, 0.7).headers["location"]
    forget_everything()
    kept = svgs_by_part(browser.get(where).text)

    assert kept and all(kept.values())
    assert kept.items() <= shown.items()  # shown is also whose opening alone changes


def test_a_change_of_what_a_made_part_is_drawn_by_is_said(still):
    text = typed(still, "try", plan__pedestal_d="430").text

    assert "This touches what is made" in text
    assert "pedestal is made" in text and "What was measured stands" in text


@pytest.mark.parametrize("act", ["try", "keep"])
@pytest.mark.parametrize(("field", "value", "words"), [
    ("plan.lamp_d", "691,2", "comma"), ("plan.lamp_d", "", "Nothing is typed"),
    ("plan.lamp_d", "-4", "comes to -4"), ("plan.lamp_d", "lamp_d + 1", "depend on themselves"),
    ("plan.lamp_d", "wide", "no size"), ("give.lamp_d", "0", "more than 0"),
    ("trust.lamp_d", "-1", "0 to"), ("give.lamp_d", "much", "not a length"),
    ("plan.lamp_d", "9" * 400, ""), ("plan.lamp_d", '"]\n[x]', ""), ("plan.lamp_d", "\x00", ""),
    ("plan.lamp_d", "20", "Make outside_d at least"),
])  # fmt: skip
def test_nonsense_is_said_at_its_field_and_nothing_is_written(still, act, field, value, words):
    before = (folder_of(still) / PLAN).read_bytes()

    answer = typed(still, act, **{field: value})
    assert answer.status_code == 422
    assert words in fault_at(answer.text, field) and fault_at(answer.text, field)
    assert "Traceback" not in answer.text
    assert (folder_of(still) / PLAN).read_bytes() == before


def test_a_plan_changed_in_an_editor_meanwhile_is_not_written_over(browser, demo):
    sent = fields(browser.get("/sizes").text)
    edited = (demo / PLAN).read_text() + "# by hand\n"
    (demo / PLAN).write_text(edited)

    answer = browser.submit("/sizes", keep="1", **(sent | {"plan.lamp_d": "224"}))
    assert answer.status_code == 422
    assert "changed meanwhile" in fault_at(answer.text, "")
    assert 'name="plan.lamp_d" value="224"' in answer.text  # what was typed is still there
    assert (demo / PLAN).read_text() == edited


def test_with_faults_in_the_plan_the_last_good_sizes_show_and_cannot_be_changed(browser, demo):
    browser.get("/sizes")
    (demo / PLAN).write_text((demo / PLAN).read_text().replace("plan = 220", "plan = 220,,"))

    text = browser.get("/sizes").text
    assert "The plan has 1 fault" in text and 'name="plan.lamp_d" value="220"' in text
    assert re.search(r'name="keep" value="1" disabled', text)


def test_a_size_is_added_to_the_plan(browser, demo):
    seen = fields(browser.get("/sizes").text)["seen"]

    answer = browser.submit("/sizes/new", name="oil_d", plan="lamp_d - 40", give="2", seen=seen)
    assert answer.status_code == 303
    assert 'oil_d      = { plan = "lamp_d - 40", give = 2 }\n' in (demo / PLAN).read_text()
    assert "follows from oil d" in browser.get("/sizes?of=oil_d").text


def test_a_new_size_may_be_named_as_the_page_writes_names(browser, demo):
    """What the page calls the oil d is oil_d in the plan."""
    seen = fields(browser.get("/sizes").text)["seen"]

    answer = browser.submit("/sizes/new", name=" oil d ", plan="180", seen=seen)
    assert answer.status_code == 303
    assert "oil_d" in (demo / PLAN).read_text()
    assert "follows from oil d" in browser.get("/sizes?of=oil_d").text


@pytest.mark.parametrize("typed", ["abc", "1e9"])
def test_what_only_follows_from_nonsense_is_not_said(still, typed):
    """Without the size holes of the base fall away, and the meet that names them is at fault."""
    sent = fields(still.get("/sizes").text) | {"plan.pedestal_d": typed}

    answer = still.submit("/sizes", **sent)
    assert answer.status_code == 422
    assert "abc" in answer.text or "1e+09" in answer.text
    assert "leg bolt" not in answer.text


def test_a_new_size_by_a_name_that_is_none_is_refused(still):
    seen = fields(still.get("/sizes").text)["seen"]
    before = (folder_of(still) / PLAN).read_bytes()

    answer = still.submit("/sizes/new", name="a+b", plan="3", seen=seen)
    assert answer.status_code == 422 and "not a name" in answer.text
    assert (folder_of(still) / PLAN).read_bytes() == before


def test_without_our_token_nothing_is_written(still):
    sent = fields(still.get("/sizes").text) | {"plan.lamp_d": "224"}
    before = (folder_of(still) / PLAN).read_bytes()

    assert still.submit("/sizes", _token="", keep="1", **sent).status_code == 403
    assert (folder_of(still) / PLAN).read_bytes() == before
