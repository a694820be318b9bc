"""Route sheets asked for as a browser does, over the demo with what was measured of it."""

import re

import pytest

HTML = {"Accept": "text/html"}


def plain(answer):
    """Text of a page without its tags, blanks run together."""
    return " ".join(re.sub(r"<[^>]+>", " ", answer.text).split())


def test_every_part_is_listed_and_has_a_sheet(still):
    """26 sheets, each leads on to the next, and none to nowhere."""
    names = list(still.app.state.live.refresh().made.parts)

    listed = re.findall(r'href="/parts/([^"]+)"', still.get("/parts", headers=HTML).text)

    assert sorted(listed) == sorted(names)
    for name in names:
        answer = still.get(f"/parts/{name}", headers=HTML)
        assert answer.status_code == 200, name
        assert "Steps" in answer.text or name == "gauge"


def test_the_list_says_in_words_what_is_made_and_what_is_in_danger(still):
    """The history of the demo leaves pedestal and lid at odds."""
    said = plain(still.get("/parts", headers=HTML))

    assert "Seven of twenty-five parts are made." in said
    assert "begun: cut" in said and "not made" in said and "bought" in said
    assert "In danger: pedestal into lid" in said


def test_a_part_that_is_not_there_is_answered_with_the_nearest(still):
    """Not found, and the lamp is offered."""
    answer = still.get("/parts/lmap", headers=HTML)

    assert answer.status_code == 404
    assert 'href="/parts/lamp"' in answer.text


def test_page_and_book_say_the_same_steps(still):
    """Each step of the build book stands on the page, letter by letter."""
    from foldwright.build_book import route_of
    from foldwright.draw.book_steps import steps_of
    from foldwright.outputs import sheet_info

    made = still.app.state.live.refresh().made
    said = plain(still.get("/parts/lid", headers=HTML))

    steps = steps_of(route_of(made, "lid"), sheet_info(made, ""))
    assert len(steps) > 5
    for step in steps:
        assert step.text in said
        assert step.caution is None or step.caution.hazard in said


def test_letters_where_a_tool_goes_are_no_larger_for_a_narrow_part(still):
    """A drawing is as wide as its column: one of less than 48 mm would be blown up to it."""
    wide = []
    for part in ("lamp", "horn", "leg_plug-1", "pedestal"):
        text = still.get(f"/parts/{part}", headers=HTML).text
        wide += re.findall(r'<div class="tool"><svg[^>]* viewBox="0 0 ([\d.]+)', text)

    assert len(wide) > 3
    assert min(map(float, wide)) >= 48.0


def test_no_style_and_no_script_stands_in_a_sheet(still):
    """The content security policy would not let either be."""
    text = still.get("/parts/pedestal", headers=HTML).text

    assert not re.search(r"\sstyle=", text)
    assert not re.search(r"<script(?![^>]*src=)", text)


def test_ids_are_each_there_once(still):
    """Regions are swapped by their ids."""
    ids = re.findall(r'\sid="([^"]+)"', still.get("/parts/pedestal", headers=HTML).text)

    assert len(ids) == len(set(ids))


@pytest.mark.parametrize("dim", ["girth", "length"])
def test_any_dim_can_be_asked_for(still, dim):
    """Its field stands there, whatever tells most."""
    answer = still.get(f"/parts/lamp?measure={dim}", headers=HTML)

    assert f'name="value.{dim}"' in answer.text


def test_a_dim_that_is_not_there_is_not_asked_for(still):
    """The sheet asks for what it would have asked for."""
    usual = still.get("/parts/lamp", headers=HTML)
    odd = still.get("/parts/lamp?measure=%F0%9F%92%A1", headers=HTML)

    assert odd.status_code == 200
    assert re.findall(r'name="value\.(\w+)"', odd.text) == re.findall(
        r'name="value\.(\w+)"', usual.text
    )


def test_page_and_book_ask_for_the_same_readings(still):
    """What the fields ask for of a part not made yet is what its step of measuring names."""
    for name in ("lamp", "cowl", "relay_box", "leg_plug-1"):
        told = still.get(f"/parts/{name}", headers=HTML).text
        fields = re.findall(r'<b>([^<]+)</b> <span id="how-', told)
        (step,) = re.findall(r"<span>Measure: (.*?)\. Write it down", told)

        assert fields and {f.lower() for f in fields} == set(re.split(r", | and ", step)), name


def test_a_finished_part_goes_no_further(browser):
    """What is wanted of it is wanted all the same."""
    browser.submit("/parts/lid/stage", stage="closed")
    closed = browser.get("/parts/lid").text
    browser.submit("/parts/lid/stage", stage="finished")
    finished = browser.get("/parts/lid").text

    assert "are wanted before it goes further." in closed
    assert "Finished, not measured yet. Two readings are wanted." in finished
