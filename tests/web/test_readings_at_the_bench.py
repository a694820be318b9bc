"""Readings, stages and scraps written down from a route sheet."""

import re

import pytest

from foldwright.ledger import Ledger
from web.conftest import Browser, page_on

HTML = {"Accept": "text/html"}


def readings(app, part):
    """Dim and value of what stands of a part."""
    made = app.state.live.refresh().made
    return [(r.dim, round(r.value, 2)) for r in made.readings[part]]


def test_a_reading_is_written_down_and_the_sheet_says_what_came_out(browser, app):
    """A comma is a point; the page after it is reached by GET."""
    answer = browser.submit("/parts/lid/readings", **{"value.depth": "429,1", "tool.depth": "rule"})

    assert answer.status_code == 303
    assert readings(app, "lid") == [("depth", 429.1)]
    after = browser.get(answer.headers["location"].partition("#")[0], headers=HTML).text
    assert "0.8 mm large on the depth" in after
    assert "rib left in pedestal" in after
    assert 'href="/changes"' in after


def test_two_readings_are_kept_together_or_not_at_all(browser, app):
    """The second is a slip by ten: the first is not kept either, and both stay typed."""
    answer = browser.submit(
        "/parts/lid/readings",
        _headers=HTML,
        **{"value.depth": "428.9", "value.width": "2489"},
    )

    assert answer.status_code == 422
    assert readings(app, "lid") == []
    assert 'value="428.9 mm"' in answer.text
    assert "248.9 mm it is" in answer.text
    assert "I am sure: 2489 mm" in answer.text


def test_what_was_meant_is_kept_by_one_more_tap(browser, app):
    """The button under the question sends the number that it names."""
    browser.submit("/parts/lid/readings", **{"value.width": "2489", "meant.width": "248.9 mm"})

    assert readings(app, "lid") == [("width", 248.9)]


def test_who_is_sure_is_believed(browser, app):
    """A number far off is kept once the maker says so."""
    far = {"value.width": "280"}
    assert browser.submit("/parts/lid/readings", **far).status_code == 422

    assert browser.submit("/parts/lid/readings", **far, **{"sure.width": "yes"}).status_code == 303
    assert readings(app, "lid") == [("width", 280.0)]


def test_a_reading_can_stand_instead_of_the_earlier_one(browser, app):
    """Both stay in the history, one stands."""
    browser.submit("/parts/lid/readings", **{"value.depth": "429.1"})

    browser.submit("/parts/lid/readings", **{"value.depth": "428.6", "instead.depth": "yes"})

    assert readings(app, "lid") == [("depth", 428.6)]


@pytest.mark.parametrize(
    "typed",
    ["x", "-5", "0", "nan", "1e400", "9" * 39, "9" * 5000, "💡", "1.234,5", "' OR 1=1", "30 deg"],
)
def test_nonsense_is_refused_in_words_and_nothing_is_kept(still, typed):
    """The sheet comes back with what was typed."""
    answer = still.submit("/parts/lid/readings", _headers=HTML, **{"value.depth": typed})

    assert answer.status_code == 422
    assert "Traceback" not in answer.text
    assert 'role="alert"' in answer.text
    assert readings(still.app, "lid") == []


def test_nothing_typed_is_said(still):
    """An empty form is no reading."""
    answer = still.submit("/parts/lid/readings", **{"value.depth": "  "})

    assert answer.status_code == 422
    assert "No number was typed" in answer.text


def test_a_dim_that_is_not_there_is_refused_with_the_nearest(still):
    """Nothing is kept under a name that the part does not have."""
    answer = still.submit("/parts/lid/readings", **{"value.dpeth": "428"})

    assert answer.status_code == 422
    assert "depth" in answer.text


def test_a_script_is_answered_in_one_shape(still):
    """What kind of refusal it is stands beside the words."""
    answer = still.submit(
        "/parts/lid/readings", _headers={"Accept": "application/json"}, **{"value.width": "2489"}
    )

    assert answer.json()["error"]["kind"] == "DoubtfulReading"


def test_a_stage_is_marked_and_taken_back(browser, app):
    """The history offers the entry, and the part is where it was before."""
    assert browser.submit("/parts/lid/stage", stage="cut").status_code == 303
    assert app.state.live.refresh().made.stage("lid") == "cut"
    text = browser.get("/parts/lid", headers=HTML).text
    line = re.search(r'name="entry" value="(\d+)"', text)[1]

    assert browser.submit("/parts/lid/back", entry=line).status_code == 303
    assert app.state.live.refresh().made.stage("lid") == "planned"
    assert "taken back" in browser.get("/parts/lid", headers=HTML).text


def test_nothing_of_another_part_is_taken_back(still):
    """Line 1 of the ledger is not the lid's."""
    answer = still.submit("/parts/lid/back", entry="1")

    assert answer.status_code == 422
    assert len(readings(still.app, "base")) == 2


def test_scrap_is_asked_twice(browser, app):
    """Without the tick nothing is done; with it the readings no longer stand."""
    assert browser.submit("/parts/base/scrap", note="split").status_code == 422
    assert len(readings(app, "base")) == 2

    assert browser.submit("/parts/base/scrap", note="split", sure="yes").status_code == 303
    assert readings(app, "base") == []
    assert "split" in browser.get("/parts/base", headers=HTML).text


def test_what_is_sent_again_is_done_once(browser, app):
    """A form that came twice, because its answer was lost, writes one reading."""
    for _ in range(2):
        browser.submit("/parts/lid/readings", once="k1", **{"value.depth": "429.1"})

    assert readings(app, "lid") == [("depth", 429.1)]


def test_what_is_sent_again_to_another_server_is_done_once(browser, app, demo):
    """The server was begun anew between the two, and has nothing of it in its memory."""
    sent = {
        "/parts/lid/readings": {"once": "k1", "value.depth": "429.1"},
        "/parts/lid/stage": {"once": "k2", "stage": "closed"},
        "/parts/base/scrap": {"once": "k3", "sure": "yes"},
    }
    first = [browser.submit(at, **fields) for at, fields in sent.items()]
    with page_on(demo) as other:
        again = [Browser(other).submit(at, **fields) for at, fields in sent.items()]
    with Ledger(demo / "ledger.sqlite") as ledger:
        count = len(ledger.history())

    assert [a.status_code for a in first + again] == [303] * 6
    assert [a.headers["location"] for a in again] == [a.headers["location"] for a in first]
    assert readings(app, "lid") == [("depth", 429.1)]
    with page_on(demo) as third:
        Browser(third).submit("/parts/lid/readings", once="k1", **{"value.depth": "429.1"})
    with Ledger(demo / "ledger.sqlite") as ledger:
        assert len(ledger.history()) == count


def test_a_refused_reading_may_come_again_under_its_key(browser, app):
    """It is asked back about, and then sent surely."""
    doubtful = {"value.depth": "42.9", "once": "k1"}

    assert browser.submit("/parts/lid/readings", **doubtful).status_code == 422
    assert browser.submit("/parts/lid/readings", sure="yes", **doubtful).status_code == 303
    assert readings(app, "lid") == [("depth", 42.9)]


def test_only_stages_that_a_part_goes_through_are_offered(still):
    """A tube is not folded; a box is."""

    def offered(part):
        text = still.get(f"/parts/{part}", headers=HTML).text
        return re.findall(r'name="stage" value="(\w+)"', text)

    assert "folded" in offered("lid")
    assert offered("leg_plug-1") == ["marked", "cut", "finished"]
