"""The first view: links, words, the picture for any eye, and what it refuses."""

import json
import math
import re
import struct
from dataclasses import replace
from xml.etree import ElementTree

import numpy as np
import pytest

from foldwright.errors import OutOfDomain
from foldwright.make import make, open_build
from foldwright.readings import take
from foldwright.web import stands
from foldwright.web.eye import HIGHEST, LOWEST, Eye, eye_from
from foldwright.web.jobs import Job

from .conftest import Browser, page_on

SVG = "{http://www.w3.org/2000/svg}"
HTML = {"Accept": "text/html"}


def body_of(browser, address="/?stands=1"):
    answer = browser.get(address, headers=HTML)
    assert answer.status_code == 200, answer.text
    return answer.text


def svg_in(text):
    """The picture of a page, read as XML."""
    picture = text[text.index('id="picture"') :]
    return ElementTree.fromstring(picture[picture.index("<svg") : picture.index("</svg>") + 6])


@pytest.mark.parametrize(
    ("text", "turn", "tilt"),
    [
        ("0,0", 0, 0),
        ("-28,24", -28, 24),
        ("28.9,23.2", 28, 24),
        ("360,10", 0, 10),
        ("-190,10", 170, 10),
        ("180,10", 180, 10),
        ("720020,10", 20, 10),
        (" 12 , 6 ", 12, 6),
        ("0,400", 0, HIGHEST),
        ("0,-400", 0, LOWEST),
    ],
)
def test_an_eye_is_read_onto_its_grid(text, turn, tilt):
    """The same eye, however often round, has one picture."""
    assert eye_from(text) == Eye(turn, tilt)


@pytest.mark.parametrize(
    "text", ["", "left", "1", "1,2,3", "nan,0", "0,inf", "1e400,0", ",", "0;0", "<b>,0", "9" * 5000]
)
def test_a_nonsensical_eye_is_refused_in_words(text):
    """It says how to write one, and does not repeat a page of nonsense."""
    with pytest.raises(OutOfDomain, match="eye=-28,24") as caught:
        eye_from(text)

    assert len(str(caught.value)) < 250


@pytest.mark.parametrize(
    ("eye", "towards"),
    [
        (Eye(0, 0), (0.0, -1.0, 0.0)),  # the front looks along -y
        (Eye(90, 0), (1.0, 0.0, 0.0)),  # the right along +x
        (Eye(180, 0), (0.0, 1.0, 0.0)),
        (Eye(0, 60), (0.0, -0.5, math.sqrt(0.75))),
    ],
)
def test_where_an_eye_stands(eye, towards):
    """Front, right and back of a build are those of its plan."""
    assert eye.towards == pytest.approx(towards, abs=1e-12)


def test_pressing_all_the_way_round_comes_back_and_stops_at_the_top():
    """Twenty degrees, eighteen times; above the highest there is nothing to press."""
    eye = Eye(-28, 24)
    for _ in range(18):
        eye = eye_from(dict(eye.presses())["turn right"])

    assert eye == Eye(-28, 24)
    assert "from higher up" not in dict(Eye(0, HIGHEST).presses())
    assert "from lower down" not in dict(Eye(0, LOWEST).presses())


@pytest.mark.parametrize(
    ("eye", "words"),
    [
        (Eye(-28, 24), "from the front and the left, a little from above"),
        (Eye(90, 0), "from the right"),
        (Eye(170, 60), "from the back, from above"),
        (Eye(0, -20), "from the front, from below"),
    ],
)
def test_an_eye_says_where_it_stands(eye, words):
    """For those who do not see the picture."""
    assert eye.words() == words


def test_the_first_view_says_how_things_stand(still):
    """Counts are those of the plan and the ledger: 25 parts of our own, seven measured."""
    text = body_of(still)

    assert "Seven of twenty-five parts are made." in text
    assert "In danger: pedestal slides into lid" in text
    assert 'href="/changes"' in text
    assert "Last reading: pedestal, height 260.0 mm, by rule, 5 September 2026." in text
    assert "Leave it until the lamp is measured." in text
    assert "measure its girth" in text


def test_every_part_is_in_the_list_and_every_link_of_the_picture_leads_to_one(still):
    """Nothing can be reached by the picture alone."""
    text = body_of(still)
    root = svg_in(text)
    listed = text[text.index('id="every-part"') :]
    names = {a.get("href"): a.get("aria-label") for a in root.iter(f"{SVG}a")}

    assert len(names) == 26
    assert names["/parts/pedestal"] == "pedestal: made, 3.4 large on the depth"
    assert names["/parts/lid"] == "lid: not made yet"
    for href in names:
        first = re.sub(r"-\d+$", "-1", href)  # a set of copies has one line
        assert f'href="{first}"' in listed or f'href="{href}"' in listed


def test_the_picture_is_drawn_by_the_page_alone(still):
    """No style attribute and no script in the page, no colour of its own in the picture."""
    text = body_of(still)

    assert " style=" not in text
    assert not re.search(r"<script(?![^>]*\bsrc=\")", text)
    assert not re.search(r"(?:fill|stroke)=\"(?!none|var\(--)", text)
    ids = re.findall(r'\bid="([^"]+)"', text)
    assert len(ids) == len(set(ids))


def test_an_eye_can_be_asked_for_by_plain_links(still):
    """The presses turn the build without a script."""
    text = body_of(still, "/?eye=-28,24")
    addresses = re.findall(r'<a href="(/\?eye=[^"]+)"', text)
    first, second = svg_in(text), svg_in(body_of(still, addresses[0]))

    assert addresses == ["/?eye=-48,24", "/?eye=-8,24", "/?eye=-28,34", "/?eye=-28,14"]
    assert first.get("viewBox") == second.get("viewBox")  # it is turned, and does not grow
    assert ElementTree.tostring(first) != ElementTree.tostring(second)
    assert second.get("aria-label").endswith("from the left and the front, a little from above")


def test_the_picture_alone_is_that_of_the_page(still):
    """One drawing, whoever asks for it."""
    alone = still.get("/picture?eye=-28,24")

    assert alone.headers["X-Eye"] == "-28,24"
    assert ElementTree.tostring(ElementTree.fromstring(alone.text)) == ElementTree.tostring(
        svg_in(body_of(still, "/?eye=-28,24"))
    )


def test_no_picture_waits_for_forecasts_that_it_has_begun_itself(app, browser, monkeypatch):
    """They are begun once the picture of the page is drawn, never by the picture."""
    begun = []
    submit = stands._AHEAD.submit
    monkeypatch.setattr(stands._AHEAD, "submit", lambda *a: begun.append(1) or submit(*a))
    state = app.state.live.refresh()
    browser.get("/picture?eye=40,24", headers=HTML)
    after_picture = (len(begun), stands.stands_by_now(state))
    body_of(browser)

    assert after_picture == (0, None)
    assert len(begun) == 1 and stands.stands_by_now(state) is not None


@pytest.mark.parametrize("address", ["/?eye=nonsense", "/picture?eye=1,2,3", "/picture?eye="])
def test_nonsense_is_answered_in_words(still, address):
    """Status 422, and no traceback."""
    answer = still.get(address, headers=HTML)

    assert answer.status_code == 422
    assert "no place to look from" in answer.text
    assert "Traceback" not in answer.text


def test_the_scene_is_a_binary_gltf_that_fits_the_picture(still):
    """Header as in glTF 2.0, 4.4.2; one node for each part."""
    data = still.get("/scene.glb").content
    magic, version, length = struct.unpack_from("<4sII", data)
    size, kind = struct.unpack_from("<I4s", data, 12)
    scene = json.loads(data[20 : 20 + size])
    roots = [scene["nodes"][i]["name"] for i in scene["scenes"][0]["nodes"]]

    assert (magic, version, length, kind) == (b"glTF", 2, len(data), b"JSON")
    assert sorted(roots) == sorted(
        a.get("href").removeprefix("/parts/") for a in svg_in(body_of(still)).iter(f"{SVG}a")
    )


def test_a_reading_changes_the_picture_and_the_words(browser, app):
    """A part in pencil is in ink once it is measured."""
    before = svg_in(body_of(browser))
    app.state.live.act(
        lambda made, ledger: take(made, ledger, "lamp.girth", "693.6", None, False, "", True)
    )
    text = body_of(browser)
    after = svg_in(text)
    label = {a.get("href"): a.get("aria-label") for a in after.iter(f"{SVG}a")}

    assert "Eight of twenty-five parts are made." in text
    assert label["/parts/lamp"].startswith("lamp: made")
    for root, fill in ((before, "var(--paper)"), (after, "var(--wash)")):
        (lamp,) = (a for a in root.iter(f"{SVG}a") if a.get("href") == "/parts/lamp")
        assert fill in {p.get("fill") for p in lamp.iter(f"{SVG}path")}


def test_what_waits_for_two_parts_waits_until_they_are_measured(browser, app):
    app.state.live.act(
        lambda made, ledger: take(made, ledger, "lamp.girth", "694.5", "tape", False, "", True)
    )
    text = body_of(browser)

    assert "Leave it until the lamp cap and cowl are measured." in text


def test_a_plan_that_cannot_be_read_yet_has_no_picture(browser, demo):
    """The page says so instead of failing."""
    (demo / "plan.toml").write_text("[build\n")
    answer = browser.get("/", headers=HTML)

    assert answer.status_code == 200
    assert "There is no picture yet" in answer.text


def test_dangers_of_the_picture_are_those_of_the_words(still):
    """As many rings twice drawn, each with its letter and its words."""
    text = body_of(still)
    root = svg_in(text)
    (dangers,) = (g for g in root.iter(f"{SVG}g") if g.get("class") == "dangers")
    words = [t.text for t in dangers.iter(f"{SVG}text")]
    rings = [g for g in dangers.iter(f"{SVG}g") if (g.get("class") or "").startswith("danger-")]

    assert text.count('class="in-danger"') == len(rings) == 3
    assert sum(word.startswith("In danger") for word in words) == 3
    for ring in rings:
        (path,) = ring.iter(f"{SVG}path")
        assert path.get("d").count("M") == 2
        assert path.get("stroke") == "var(--danger)"


def test_odds_come_out_as_words_have_them(still):
    """The refit that was worked out for this build is shown beside, one of another is not."""
    live, jobs = still.app.state.live, still.app.state.jobs
    plan, ledger = open_build(live.folder)
    with ledger:
        outcome = make(plan, ledger).outcome
    assert outcome.shifts
    of = jobs.of
    version = live.state.version
    try:
        done = Job("refit-1", "refit", version, state="done", result=outcome)
        jobs.of = lambda kind: done
        with_refit = body_of(still)
        jobs.of = lambda kind: replace(done, version=version - 1)
        without = body_of(still)
    finally:
        jobs.of = of

    assert re.search(r">1 → (9\d|[5-8]\d)<", with_refit)
    assert "→" not in without


def test_the_first_view_says_how_large_the_whole_is(still, measured_demo):
    """Against the corners of every part, set in their places one by one."""
    plan, ledger = open_build(measured_demo)
    with ledger:
        made = make(plan, ledger)
    corners = []
    for name, body in made.bodies.items():
        frame = np.asarray(made.frames.get(name, np.eye(4)), dtype=float)
        corners += [frame[:3, :3] @ point + frame[:3, 3] for point in np.asarray(body.points())]
    sizes = np.ptp(np.array(corners), axis=0)
    words = ("wide", "deep", "high")
    said = [re.search(rf"([\d.]+) mm {word}", body_of(still))[1] for word in words]

    assert said == [f"{size:.1f}" for size in sizes]


def test_a_missing_plan_is_told_with_its_name(app, browser, demo):
    """On every sheet, and before there was any build to show."""
    (demo / "plan.toml").rename(demo / "away.toml")
    with page_on(demo) as other:
        never_read = Browser(other).get("/")
    app.state.live.refresh()

    for text in (never_read.text, browser.get("/sizes").text):
        told = text[text.index("There is no such file.") - 200 :]
        assert str(demo / "plan.toml") in told[:200]
