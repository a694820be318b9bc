"""The ready reckoner on the page: every sum opens, and answers as the room below does."""

import re
from html import unescape
from urllib.parse import urlencode

import pytest

from foldwright import reckon as room
from foldwright.reckon import RECKONERS, Reckoner
from foldwright.web import LiveBuild, page_of

from .conftest import Browser

PLAN = """
[build]
name = "Tray"

[rack.board]
material = "acp-3-0.3"
sheets = [{ size = [1000, 1000] }]

[part.lid]
kind = "plate"
from = "board"
outline = [[0, 0], [200, 0], [200, 100], [0, 100]]
"""


@pytest.fixture(scope="module")
def client(tmp_path_factory: pytest.TempPathFactory) -> Browser:
    folder = tmp_path_factory.mktemp("tray")
    (folder / "plan.toml").write_text(PLAN)
    return Browser(page_of(LiveBuild(folder)))


def plain(html: str) -> str:
    """What a reader sees of a page."""
    return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", " ", html)))


def answers(html: str) -> list[tuple[str, str]]:
    """Rows of the answer: what, and value with its spread."""
    table = re.search(r'<table class="lines">(.*?)</table>', html, re.S)
    assert table, "no answer on the page"
    rows = re.findall(r"<th[^>]*>(.*?)</th><td[^>]*>(.*?)</td>", table[1], re.S)
    return [
        (unescape(what), unescape(re.sub(r'<span class="spread">', ", ", value)[:200]))
        for what, value in ((w, re.sub(r"</span>", "", v)) for w, v in rows)
    ]


@pytest.mark.parametrize("reckoner", RECKONERS, ids=lambda r: r.name)
def test_every_sum_opens_and_asks_all_its_inputs(client: Browser, reckoner: Reckoner) -> None:
    """An empty form has a labelled field for each input, and no complaint."""
    answer = client.get(f"/reckoner/{reckoner.name}")

    assert answer.status_code == 200
    for asked in reckoner.inputs:
        assert f'<label for="{asked.name}">' in answer.text
        assert f'name="{asked.name}"' in answer.text
    assert not re.search(r'<p class="fault danger"[^>]*>[^<]', answer.text)


@pytest.mark.parametrize("reckoner", RECKONERS, ids=lambda r: r.name)
def test_every_sum_answers_its_example_as_the_room_does(
    client: Browser, reckoner: Reckoner
) -> None:
    """Lines with spread, steps, remarks, cautions, formula, source and domain are all there."""
    reckoned = room.reckon(reckoner, reckoner.example)
    page = client.get(f"/reckoner/{reckoner.name}", params=dict(reckoner.example))

    assert page.status_code == 200
    assert [(w.lower(), v) for w, v in answers(page.text)] == [
        (line.what.lower(), room.shown(line)) for line in reckoned.answer.lines
    ]
    assert page.text.count('<tr class="chief">') == 1
    assert "&#34;chief" not in page.text
    seen = plain(page.text)
    said = (*reckoned.answer.steps, *reckoned.answer.remarks, *reckoned.answer.cautions)
    for words in (*said, reckoner.formula, reckoner.source, reckoner.domain):
        assert re.sub(r"\s+", " ", words) in seen


def test_list_leads_to_every_sum(client: Browser) -> None:
    """All of them, by topic, each with a link."""
    page = client.get("/reckoner").text

    linked = set(re.findall(r'href="/reckoner/([\w-]+)"', page))
    assert linked == {r.name for r in RECKONERS}
    for group in {r.group for r in RECKONERS}:
        assert f"<h2>{group}</h2>" in page


def test_search_keeps_what_has_every_word(client: Browser) -> None:
    """Without script: the list that comes back is the shorter one."""
    page = client.get("/reckoner", params={"q": "PLUG tube"}).text

    linked = set(re.findall(r'href="/reckoner/([\w-]+)"', page))
    assert "press-plug" in linked
    assert "hood" not in linked
    assert 'value="PLUG tube"' in page


def test_search_without_a_find_says_so(client: Browser) -> None:
    """And does not print what was typed as markup."""
    page = client.get("/reckoner", params={"q": "<b>zyx"}).text

    assert "No sum speaks of" in page
    assert "<b>zyx" not in page


def test_nonsense_is_refused_at_its_field_and_kept(client: Browser) -> None:
    """The other fields stay as typed, and nothing is answered."""
    answer = client.get(
        "/reckoner/press-plug", params={"bore": "46,1o", "wall": "2", "length": "30"}
    )

    assert answer.status_code == 422
    note = re.search(r'id="note-bore"[^>]*>([^<]+)<', answer.text)
    assert note
    assert "46" in unescape(note[1]) or "1o" in unescape(note[1])
    assert 'value="46,1o"' in answer.text
    assert re.search(r'id="note-wall"[^>]*></p>', answer.text)
    assert 'class="lines"' not in answer.text


def test_a_value_outside_the_formula_is_refused_at_its_field(client: Browser) -> None:
    """A wall of nothing is refused by the formula itself."""
    answer = client.get(
        "/reckoner/press-plug", params={"bore": "46.1", "wall": "0", "length": "30"}
    )

    assert answer.status_code == 422
    assert re.search(r'id="note-wall"[^>]*>[^<]+<', answer.text)


def test_what_is_still_wanted_is_said_without_blame(client: Browser) -> None:
    """Halfway through typing nothing is marked as wrong."""
    answer = client.get("/reckoner/press-plug", params={"bore": "46.1"})

    assert answer.status_code == 200
    assert "Still wanted: wall" in plain(answer.text)
    assert 'aria-invalid="true"' not in answer.text


def test_inches_are_taken_as_typed(client: Browser) -> None:
    """Twelve inches and a half are 317.5 mm (international yard and pound agreement, 1959)."""
    sheet = {"thickness": "2"}
    inches = client.get("/reckoner/drum-blank", params={"outside_d": "12 1/2 in", **sheet})
    mm = client.get("/reckoner/drum-blank", params={"outside_d": "317.5", **sheet})
    other = client.get("/reckoner/drum-blank", params={"outside_d": "12.5", **sheet})

    assert answers(inches.text) == answers(mm.text) != answers(other.text)
    assert 'value="12 1/2 in"' in inches.text


def test_a_figure_of_the_makers_own_counts(client: Browser) -> None:
    """As the command line takes tube.proof=120, so does the form."""
    example = {**room.reckoner_named("press-plug").example, "tube.proof": "120"}
    page = client.get("/reckoner/press-plug", params=example)

    expected = room.reckon(room.reckoner_named("press-plug"), example)
    assert [v for _, v in answers(page.text)] == [room.shown(x) for x in expected.answer.lines]
    assert [v for _, v in answers(page.text)] != [
        room.shown(x)
        for x in room.reckon(
            room.reckoner_named("press-plug"), room.reckoner_named("press-plug").example
        ).answer.lines
    ]
    assert re.search(r'name="tube.proof"[^>]*value="120"', page.text)


@pytest.mark.parametrize("figure", ["proof", "poisson", "modulus"])
def test_a_figure_with_nonsense_is_refused_at_its_field(client: Browser, figure: str) -> None:
    """Not only at the material that it belongs to."""
    example = {**room.reckoner_named("press-plug").example, f"tube.{figure}": "-3"}
    answer = client.get("/reckoner/press-plug", params=example)

    assert answer.status_code == 422
    assert 'aria-invalid="true"' in answer.text


def test_a_sum_has_a_permanent_address(client: Browser) -> None:
    """The link on the page answers the same again."""
    example = room.reckoner_named("press-plug").example
    page = client.get("/reckoner/press-plug", params=dict(example)).text
    own = re.search(r'<a href="(/reckoner/press-plug\?[^"]+)">an address', page)

    assert own
    assert unescape(own[1]) == f"/reckoner/press-plug?{urlencode(example)}"
    assert answers(client.get(unescape(own[1])).text) == answers(page)


def test_an_unknown_sum_offers_the_nearest(client: Browser) -> None:
    """With the whole list below."""
    answer = client.get("/reckoner/pres-plug")

    assert answer.status_code == 404
    assert "press-plug" in plain(answer.text)


@pytest.mark.parametrize(
    "query",
    ["nosuch=1", "bore=" + "9" * 5000, "bore=1&bore=2", "=3", "bore=%00", "bore=%FF", "a%3Db=1"],
)
def test_odd_addresses_are_answered_in_words(client: Browser, query: str) -> None:
    """No address makes the program stumble."""
    answer = client.get(f"/reckoner/press-plug?{query}")

    assert answer.status_code in (200, 422)
    assert "Traceback" not in answer.text


def test_too_many_readings_are_refused_in_words(client: Browser) -> None:
    """One more than the hundred that a sum takes."""
    many = ",".join(["46.1"] * 101)
    answer = client.get("/reckoner/press-plug", params={"bore": many, "wall": "2", "length": "30"})

    assert answer.status_code == 422
    assert "101 values" in plain(answer.text)
