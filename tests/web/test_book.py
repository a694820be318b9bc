"""The build book on the page: drawing as a job, what lies there, and only that handed out."""

import io
import json
import os
import re
import zipfile
from html import unescape
from pathlib import Path
from urllib.parse import quote

import pytest

from foldwright.ledger import Ledger, import_history, import_readings
from foldwright.make import make, open_build
from foldwright.outputs import KINDS, drawn_from, kind_of, write_outputs

from .conftest import Browser, page_on

PLAN = """
[build]
name = "Tray"

[rack.board]
material = "acp-3-0.3"
sheets = [{ size = [400, 300] }]

[part.lid]
kind = "plate"
from = "board"
outline = [[0, 0], [200, 0], [200, 100], [0, 100]]
"""


def plain(html: str) -> str:
    return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", " ", html)))


@pytest.fixture(scope="session")
def drawn_once(tmp_path_factory):
    """A small build with everything drawn; not to be changed."""
    folder = tmp_path_factory.mktemp("book") / "tray"
    folder.mkdir()
    (folder / "plan.toml").write_text(PLAN)
    plan, ledger = open_build(folder)
    with ledger:
        write_outputs(make(plan, ledger), folder / "out", "2026-05-04")
    return folder


@pytest.fixture
def folder(drawn_once, tmp_path):
    """A drawn build of one's own."""
    import shutil

    return Path(shutil.copytree(drawn_once, tmp_path / "tray"))


@pytest.fixture
def app(folder):
    with page_on(folder) as app:
        yield app


def listed(folder: Path) -> list[str]:
    return json.loads((folder / "out" / "manifest.json").read_text())["files"]


def test_page_links_every_file_of_the_manifest(folder, browser):
    """And nothing else."""
    page = browser.get("/book").text

    linked = {unescape(name) for name in re.findall(r'href="/out/([^"]+)"', page)}
    assert linked == set(listed(folder))


def test_every_output_has_a_kind_and_every_kind_an_output(folder):
    """So that nothing is listed as from an older version right after it is drawn."""
    kinds = [kind_of(name) for name in listed(folder)]

    assert None not in kinds
    assert set(kinds) == set(KINDS)
    assert kind_of("parts/lid/pieces/lid-1-r0.svg") is kind_of("pieces/lid-1-r0.svg")


@pytest.mark.parametrize(
    ("name", "kind", "begins"),
    [
        ("build-book.pdf", "application/pdf", b"%PDF-"),
        ("build.glb", "model/gltf-binary", b"glTF"),
        ("patterns.json", "application/json", b"{"),
        ("pieces/lid-1-r0.svg", "image/svg+xml", b"<?xml"),
        ("pieces/lid-1-r0.dxf", "image/vnd.dxf", b"  0"),
    ],
)
def test_a_file_is_handed_out_whole_under_its_name(folder, browser, name, kind, begins):
    """Types as registered with IANA; saved, not run in the page."""
    answer = browser.get(f"/out/{name}")

    assert answer.status_code == 200
    assert answer.headers["content-type"].split(";")[0] == kind
    assert answer.content == (folder / "out" / name).read_bytes()
    assert answer.content.startswith(begins)
    said = answer.headers["content-disposition"]
    assert said.startswith("attachment")
    assert name.replace("/", "-") in said


@pytest.mark.parametrize(
    "path",
    [
        "../plan.toml",
        "%2e%2e/plan.toml",
        "..%2fplan.toml",
        "pieces/../../plan.toml",
        "pieces/..%2f..%2fledger.sqlite",
        "%2fetc%2fpasswd",
        "/etc/passwd",
        "manifest.json",
        "manifest.json%00.pdf",
        "build-book.pdf%00",
        "build-book.pdf/",
        "pieces",
        "pieces/",
        "",
        "..\\plan.toml",
        "C:\\plan.toml",
        "x" * 5000,
        quote("päckchen.pdf"),
    ],
)
def test_no_path_leads_out_of_what_was_drawn(browser, path):
    """Answered like a drawing that is not there, in words."""
    answer = browser.get(f"/out/{path}")

    assert answer.status_code in (404, 303, 307)
    assert "[rack.board]" not in answer.text
    assert "Traceback" not in answer.text


def test_a_deleted_file_is_told_in_words_and_no_longer_listed(folder, browser):
    """The manifest still names it."""
    (folder / "out" / "gauges-a4.pdf").unlink()

    answer = browser.get("/out/gauges-a4.pdf")
    assert answer.status_code == 404
    assert "moved or deleted" in plain(answer.text)
    assert "/out/gauges-a4.pdf" not in browser.get("/book").text


@pytest.mark.parametrize("to", ["plan.toml", "/etc/passwd", "nowhere", "out/gauges-a4.pdf"])
def test_a_link_in_place_of_a_drawing_is_not_followed(folder, browser, to):
    """Wherever it leads: only plain files are ours."""
    path = folder / "out" / "build-book.pdf"
    path.unlink()
    path.symlink_to(folder / to)

    assert browser.get("/out/build-book.pdf").status_code == 404
    archive = zipfile.ZipFile(io.BytesIO(browser.get("/book/everything.zip").content))
    assert "tray/build-book.pdf" not in archive.namelist()


def test_a_link_in_place_of_a_folder_is_not_followed(folder, browser, tmp_path):
    """A file of the right name elsewhere stays there."""
    elsewhere = tmp_path / "elsewhere"
    (folder / "out" / "pieces").rename(elsewhere)
    (folder / "out" / "pieces").symlink_to(elsewhere)

    assert browser.get("/out/pieces/lid-1-r0.svg").status_code == 404


def test_an_out_folder_that_is_a_link_is_told(folder, browser, tmp_path):
    """Nothing of another place is handed out."""
    (folder / "out").rename(tmp_path / "elsewhere")
    (folder / "out").symlink_to(tmp_path / "elsewhere")

    assert browser.get("/out/build-book.pdf").status_code == 404
    assert "is a link to another place" in plain(browser.get("/book").text)
    assert browser.get("/book/everything.zip").status_code == 404


def test_a_manifest_that_names_other_files_hands_none_of_them_out(folder, browser):
    """Somebody wrote into it."""
    path = folder / "out" / "manifest.json"
    body = json.loads(path.read_text())
    body["files"] += ["../plan.toml", "/etc/passwd", "pieces", "a\x00b"]
    path.write_text(json.dumps(body))

    assert browser.get("/out/..%2fplan.toml").status_code == 404
    assert browser.get("/out/%2fetc%2fpasswd").status_code == 404
    assert browser.get("/out/pieces").status_code == 404
    page = browser.get("/book")
    assert page.status_code == 200
    assert "passwd" not in page.text


@pytest.mark.parametrize(
    "text", ["", "[]", "null", "{", '{"files": 3}', '{"files": ["a"], "from": 1}']
)
def test_a_broken_manifest_is_told_in_words(folder, browser, text):
    """The page opens all the same, and a file is refused."""
    (folder / "out" / "manifest.json").write_text(text)
    page = browser.get("/book")

    assert page.status_code == 200
    assert "not a list that Foldwright wrote" in plain(page.text)
    assert browser.get("/out/build-book.pdf").status_code in (404, 422)


def test_an_archive_holds_every_file_as_it_is(folder, browser):
    """Under one folder, named for the build."""
    answer = browser.get("/book/everything.zip")
    archive = zipfile.ZipFile(io.BytesIO(answer.content))

    assert answer.headers["content-type"] == "application/zip"
    assert archive.testzip() is None
    assert {f"tray/{name}" for name in listed(folder)} == set(archive.namelist())
    for name in listed(folder):
        assert archive.read(f"tray/{name}") == (folder / "out" / name).read_bytes()


def test_an_archive_is_bounded(folder, browser, monkeypatch):
    """Past the bound it says so instead of filling the disk of a telephone."""
    monkeypatch.setattr("foldwright.web.downloads._LARGEST_ZIP", 1000)
    answer = browser.get("/book/everything.zip")

    assert answer.status_code == 422
    assert "one by one" in plain(answer.text)


def test_fresh_drawings_are_as_plan_and_ledger_stand(browser):
    """No file is marked as old."""
    page = browser.get("/book").text

    assert "as plan and ledger stand now" in page
    assert "before the last change" not in page


def test_a_changed_plan_makes_every_drawing_old(folder, browser):
    """And putting it back as it was makes them fit again: content tells, not clocks."""
    path = folder / "plan.toml"
    before = path.read_text()
    path.write_text(before.replace("[200, 100]", "[205, 100]"))
    page = browser.get("/book").text
    assert "All of it was drawn before the last change" in plain(page)
    assert page.count("drawn before the last change</em>") == len(listed(folder)) - 1
    path.write_text(before)
    os.utime(path)

    assert "as plan and ledger stand now" in browser.get("/book").text


def test_what_a_later_revision_took_the_place_of_is_told_and_no_reason_to_draw_anew(
    folder, browser
):
    """It stays for those who cut by it."""
    manifest = folder / "out" / "manifest.json"
    told = json.loads(manifest.read_text())
    first = next(name for name in told["files"] if name.endswith("-r0.dxf"))
    second = first.replace("-r0.", "-r1.")
    (folder / "out" / second).write_bytes((folder / "out" / first).read_bytes())
    told["files"].append(second)
    told["from"][second] = told["from"][first]
    told["from"][first] = "of a build before"
    manifest.write_text(json.dumps(told))
    page = browser.get("/book").text

    assert "as plan and ledger stand now, but for 1 file of earlier revisions" in plain(page)
    assert page.count('<span class="soft">of an earlier revision</span>') == 1
    assert "before the last change" not in page


def test_a_step_written_down_makes_drawings_old(app, browser):
    """The book says how parts came out."""
    app.state.live.act(lambda made, ledger: ledger.mark("lid", "cut"))

    assert "drawn before the last change" in browser.get("/book").text


def test_the_same_build_in_another_folder_has_the_same_mark(folder, drawn_once):
    """A copied build keeps its drawings."""
    marks = set()
    for where in (folder, drawn_once):
        plan, ledger = open_build(where)
        with ledger:
            marks.add(drawn_from(make(plan, ledger)))

    assert len(marks) == 1


def test_drawing_from_the_page_writes_what_make_writes(folder, app, browser):
    """After a change: all new, none old, and an earlier name stays listed."""
    path = folder / "plan.toml"
    path.write_text(path.read_text().replace("[200, 100]", "[205, 100]"))
    before = (folder / "out" / "pieces" / "lid-1-r0.svg").read_bytes()
    answer = browser.submit("/book/draw", paper="letter")
    assert answer.status_code == 303
    assert answer.headers["location"] == "/book"
    job = app.state.jobs.wait(app.state.jobs.of("drawing").id, 90.0)

    assert job.state == "done", job.words
    assert (folder / "out" / "templates-letter.pdf").exists()
    assert (folder / "out" / "pieces" / "lid-1-r0.svg").read_bytes() != before
    page = plain(browser.get("/book").text)
    assert "1 of" not in page.split("files were")[0] or "files were drawn before" in page
    assert f"{job.result} files drawn" in page
    plan, ledger = open_build(folder)
    with ledger:
        now = drawn_from(make(plan, ledger))
    states = json.loads((folder / "out" / "manifest.json").read_text())["from"]
    assert states["build-book.pdf"] == states["templates-letter.pdf"] == now
    assert states["templates-a4.pdf"] != now


def test_stopping_leaves_what_was_there(folder, app, browser):
    """No file is half-written, whenever the stop comes."""
    before = {name: (folder / "out" / name).read_bytes() for name in listed(folder)}
    browser.submit("/book/draw")
    job = app.state.jobs.of("drawing")
    assert f"/jobs/{job.id}/stop" in browser.get("/book").text
    browser.submit(f"/jobs/{job.id}/stop", back="/book")
    app.state.jobs.wait(job.id, 10.0)

    assert app.state.jobs.of("drawing").state == "stopped"
    assert {name: (folder / "out" / name).read_bytes() for name in listed(folder)} == before
    assert not list((folder / "out").rglob("*.part"))
    assert "It was stopped" in plain(browser.get("/book").text)


def test_a_paper_that_is_not_there_is_refused(app, browser):
    """Before anything begins."""
    answer = browser.submit("/book/draw", paper="papyrus")

    assert answer.status_code == 422
    assert "papyrus" in plain(answer.text)
    assert app.state.jobs.of("drawing") is None


def test_a_file_in_the_way_is_told_when_drawing(tmp_path):
    """What is not ours is never replaced."""
    folder = tmp_path / "tray"
    (folder / "out").mkdir(parents=True)
    (folder / "plan.toml").write_text(PLAN)
    (folder / "out" / "build-book.pdf").write_text("mine")
    with page_on(folder) as app:
        browser = Browser(app)
        assert "Nothing is drawn yet" in browser.get("/book").text
        browser.submit("/book/draw")
        job = app.state.jobs.wait(app.state.jobs.of("drawing").id, 90.0)
        assert job.state == "refused"
        assert "was not written by Foldwright" in plain(browser.get("/book").text)
        assert (folder / "out" / "build-book.pdf").read_text() == "mine"
        assert browser.get("/out/build-book.pdf").status_code == 404


def test_what_the_printer_measures_is_kept(folder, browser):
    """And makes the templates old, since they follow it."""
    answer = browser.submit("/book/printer", across="99.6", up="99.8")
    assert answer.status_code == 303
    page = plain(browser.get("/book").text)

    assert "99.6 mm across and 99.8 mm up of 100" in page
    assert "drawn before the last change" in page


@pytest.mark.parametrize(
    ("across", "up"), [("", "100"), ("abc", "100"), ("10", "100"), ("1e9", "")]
)
def test_a_printer_that_cannot_be_is_refused(browser, across, up):
    """In words, and nothing is kept."""
    answer = browser.submit("/book/printer", across=across, up=up)

    assert answer.status_code == 422
    assert "printer that is true" in plain(browser.get("/book").text)


def test_the_ledger_goes_out_and_comes_in_again(demo, tmp_path):
    """Both exports are taken in by another ledger without loss."""
    with page_on(demo) as app:
        browser = Browser(app)
        for address, take, kind in (
            ("/book/history.jsonl", import_history, "application/jsonl"),
            ("/book/readings.csv", import_readings, "text/csv"),
        ):
            answer = browser.get(address)
            assert answer.status_code == 200
            assert answer.headers["content-type"].split(";")[0] == kind
            assert "attachment" in answer.headers["content-disposition"]
            path = tmp_path / address.rpartition("/")[2]
            path.write_bytes(answer.content)
            with Ledger(tmp_path / f"{path.stem}.sqlite") as ledger:
                assert take(ledger, path).added
        with Ledger(tmp_path / "history.sqlite") as copy, Ledger(demo / "ledger.sqlite") as own:
            assert copy.history() == own.history()
