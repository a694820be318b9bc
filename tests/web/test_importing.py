"""A ledger or a table is taken in by the page: looked at first, then all of it or nothing."""

import re
from html import unescape

import pytest

from foldwright.ledger import Ledger
from web.conftest import DEMO, Browser, page_on

HEADING = "part,dim,value,tool,drawn\n"
TABLE = HEADING + "lid,depth,421.5,rule,420.0\nlid,width,300.25,rule,300.0\n"


def look(browser, content, name="readings.csv", token=None):
    answer = browser.post(
        "/book/import",
        data={"token": browser.token if token is None else token},
        files={"file": (name, content, "application/octet-stream")},
        headers={"Accept": "text/html"},
    )
    if answer.status_code == 303:
        return browser.get(answer.headers["location"], headers={"Accept": "text/html"})
    return answer


def words(answer):
    return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", " ", answer.text)))


def confirmed(browser, page, **more):
    """Send the form that a page asks back with."""
    fields = dict(re.findall(r'name="(once|file)" value="([^"]+)"', page.text))
    return browser.submit("/book/take-in", **(fields | more))


def history(demo):
    with Ledger(demo / "ledger.sqlite") as ledger:
        return ledger.history()


def test_a_table_is_shown_before_it_is_taken_in(browser, demo):
    before = history(demo)
    page = look(browser, TABLE)
    assert page.status_code == 200
    assert "It adds 2 entries to the ledger. Nothing is taken in yet." in words(page)
    assert "421.5" in words(page)
    assert history(demo) == before

    answer = confirmed(browser, page)
    assert answer.status_code == 303
    assert "2 added, 0 were there already." in browser.get(answer.headers["location"]).text
    assert [(e.dim, e.value) for e in history(demo)[len(before) :]] == [
        ("depth", 421.5),
        ("width", 300.25),
    ]


def test_a_history_goes_to_another_copy_of_the_build(browser, demo, tmp_path):
    """What is there already is passed over."""
    lines = (DEMO / "history.jsonl").read_bytes()
    page = look(browser, lines, "history.jsonl")
    assert re.search(r"It adds nothing to the ledger\. \d+ entries of it are there", words(page))
    assert "<button>Take" not in page.text

    copy = tmp_path / "copy"
    copy.mkdir()
    (copy / "plan.toml").write_bytes((demo / "plan.toml").read_bytes())
    with page_on(copy) as app:
        other = Browser(app)
        confirmed(other, look(other, browser.get("/book/history.jsonl").content, "h.jsonl"))
    assert history(copy) == history(demo)


def test_what_is_sent_twice_is_taken_in_once_by_whatever_server(browser, demo):
    page = look(browser, TABLE)
    first = confirmed(browser, page)
    count = len(history(demo))
    again = confirmed(browser, page)
    with page_on(demo) as app:
        later = confirmed(Browser(app), page)

    assert first.headers["location"] == again.headers["location"]
    assert later.headers["location"] == first.headers["location"]
    assert len(history(demo)) == count


@pytest.mark.parametrize(
    ("content", "name", "said"),
    [
        (HEADING + "lid,depth,sheep,rule,420\n", "a.csv", r"Line 2: .*sheep"),
        (b"\xff\xfe" + TABLE.encode(), "a.csv", "not coded in UTF-8"),
        ("", "a.csv", "This file is empty"),
        ("", "a.jsonl", "This file is empty"),
        ("{}\n", "a.jsonl", "no heading of an exported ledger"),
        ("[" * 100_000, "a.jsonl", "Line 1"),
        ('{"foldwright": "ledger", "form": 1, "entries": 3}\n', "a.jsonl", "cut short"),
        (TABLE, "readings.xlsx", "says neither .csv nor .jsonl"),
        (TABLE, "../../../etc/passwd", "passwd says neither"),
    ],
)
def test_what_cannot_be_taken_in_is_said_with_its_line_and_nothing_is(
    browser, demo, content, name, said
):
    before = history(demo)
    answer = look(browser, content, name)

    assert answer.status_code == 422
    assert re.search(said, words(answer))
    assert "/etc" not in answer.text
    assert history(demo) == before


def test_a_ledger_that_went_on_meanwhile_is_held_against_it_again(browser, demo):
    """Two ways parted between the look and the word: nothing is altered."""
    lines = browser.get("/book/history.jsonl").content.decode()
    count = len(lines.splitlines())
    mark = (
        f'{{"kind": "stage", "id": {count}, "part": "lid", "stage": "closed",'
        ' "when": "2026-03-01T12:00:00Z", "note": "", "revision": 0, "making": 1}\n'
    )
    lines = lines.replace(f'"entries": {count - 1}', f'"entries": {count}') + mark
    page = look(browser, lines, "history.jsonl")
    assert "It adds one entry" in words(page)
    browser.submit("/parts/lid/readings", **{"value.depth": "421.5"})
    before = history(demo)
    answer = confirmed(browser, page)

    assert answer.status_code == 422 and "another one in this ledger" in words(answer)
    assert history(demo) == before


def test_a_file_that_is_too_large_or_forged_is_refused(browser, demo):
    assert look(browser, b"x" * 9_000_000).status_code == 413
    assert look(browser, TABLE, token="forged").status_code == 403
    assert browser.submit("/book/take-in", file="0" * 20).status_code == 422
    assert browser.submit("/book/take-in", file="../x").status_code == 422
    assert browser.submit("/book/import", file="no file").status_code == 422
    assert browser.get("/book/import/..%2Fplan.toml").status_code in (404, 422)
    assert browser.get("/book/import").headers["location"] == "/book"


def test_only_the_last_few_files_are_remembered(browser):
    pages = [look(browser, TABLE + "\n" * n) for n in range(6)]

    assert "is not here any more" in words(confirmed(browser, pages[0]))
    assert confirmed(browser, pages[5]).status_code == 303


@pytest.mark.parametrize("told", ["1.2", "1.2.x", "<b>", "1.2.3.4", "-1.2.3", "9" * 30 + ".1.1"])
def test_an_address_says_no_more_than_numbers(browser, told):
    assert "were there already" not in browser.get("/book", params={"taken": told}).text
