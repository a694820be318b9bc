"""Drawings on the page: put in, made true, picked, moved, written into the plan."""

import io
import json
import os
import re
import struct
import zlib
from html import unescape

import numpy as np
import pytest
from PIL import Image
from pytest import approx

from drawn_sheets import CORNERS, HOLE, HOLE_D, PLATE, photo, seen, sheet
from foldwright.plan import read_plan
from foldwright.scans import Drawings
from foldwright.shop import thicknesses
from foldwright.web import straightening, taking_in
from web import slow_work
from web.test_jobs import until


def chunk(kind, content):
    """A part of a PNG file."""
    return (
        struct.pack(">I", len(content))
        + kind
        + content
        + struct.pack(">I", zlib.crc32(kind + content))
    )


SEEN_AT = [(380, 1850), (2700, 1960), (2330, 300), (620, 240)]
SIZE = (3000, 2200)


@pytest.fixture(scope="module")
def shot():
    """A photo of the sheet, and its pixels to mm."""
    image, to_mm = photo(sheet(), SEEN_AT, SIZE)
    out = io.BytesIO()
    image.save(out, "JPEG", quality=85)
    return out.getvalue(), to_mm


def put(browser, content, name="front.jpg", page="1", token=None):
    """Send a file; the answer is that of its drawing once it is there, or why it is not."""
    return once_there(browser, sent(browser, content, name, page, token))


def once_there(browser, answer):
    """What a browser comes to that follows a drawing until it is there, or refused."""
    at = answer.headers.get("location", "")
    if "/coming/" not in at:
        return answer
    jobs = browser.app.state.jobs
    ended = jobs.wait(at.rsplit("/", 1)[1], 60)
    assert not ended.is_going
    return browser.get(at, headers={"Accept": "text/html"})


def sent(browser, content, name="front.jpg", page="1", token=None):
    return browser.post(
        "/drawings",
        data={"token": browser.token if token is None else token, "page": page},
        files={"drawing": (name, content, "application/octet-stream")},
        headers={"Accept": "text/html"},
    )


def pick(browser, at, kind, points, given=(), name=""):
    return browser.submit(
        f"{at}/pick", kind=kind, name=name, given=list(map(str, given)),
        x=[f"{x:.4f}" for x, _ in points], y=[f"{y:.4f}" for _, y in points],
    )  # fmt: skip


@pytest.fixture
def straightened(browser, shot):
    """Address of the photo, straightened by its four corners, and pixels to mm."""
    content, to_mm = shot
    at = put(browser, content).headers["location"]
    for corner, place in zip(SEEN_AT, CORNERS, strict=True):
        assert pick(browser, at, "place", [corner], place).status_code == 303
    return at, to_mm


def straightened_now(browser, at):
    """What the page is told of the picture, once it is straightened."""
    straight = told(browser, at)["straight"]
    job = browser.app.state.jobs.of(f"straightening-{at.rsplit('/', 1)[1]}")
    assert browser.app.state.jobs.wait(job.id, 60).state == "done"
    return told(browser, at)["straight"] or straight


def words(browser, at):
    text = browser.get(at, headers={"Accept": "text/html"}).text
    main = text.split('id="words"')[1]
    return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", " ", main)))


def told(browser, at):
    text = browser.get(at, headers={"Accept": "text/html"}).text
    return json.loads(unescape(re.search(r'data-board="([^"]*)"', text)[1]))


def digest(browser, at):
    text = browser.get(at, headers={"Accept": "text/html"}).text
    return re.search(r'name="seen" value="([0-9a-f]+)"', text)[1]


def test_a_photo_is_kept_beside_the_plan_under_a_name_of_its_content(browser, demo, shot):
    answer = put(browser, shot[0], name="../../evil name.jpg")
    files = sorted(path.name for path in (demo / "drawings").glob("[!.]*"))
    id = answer.headers["location"].rsplit("/", 1)[1]

    assert answer.status_code == 303
    assert files == [f"{id}.jpg", f"{id}.json", f"{id}.small.jpg", f"{id}.source.jpg"]
    assert re.fullmatch("[0-9a-f]{20}", id)
    assert (demo / "drawings" / f"{id}.source.jpg").read_bytes() == shot[0]
    assert not list(demo.parent.glob("*evil*"))
    assert "evil name.jpg" in browser.get("/drawings").text


def test_the_same_photo_twice_is_one_drawing_and_keeps_its_picks(browser, straightened, shot):
    at, _ = straightened

    assert put(browser, shot[0]).headers["location"] == at
    assert len(told(browser, at)["picks"]) == 4


def test_the_page_says_what_is_wanted_next(browser, shot):
    at = put(browser, shot[0]).headers["location"]
    assert "not true yet" in words(browser, at)

    pick(browser, at, "place", [SEEN_AT[0]], CORNERS[0])
    assert "pick 3 more known places" in words(browser, at)


def test_a_length_is_picked_off_a_straightened_photo(browser, straightened):
    at, to_mm = straightened
    pick(browser, at, "length", seen(to_mm, PLATE[:2]), name="plate width")
    said = words(browser, at)

    assert "Straightened by four known places." in said
    value, trust = map(float, re.search(r"plate width ([\d.]+) ± ([\d.]+) mm", said).groups())
    assert value == approx(280.0, abs=0.05)
    assert 0.1 <= trust <= 1.0


def test_a_picked_length_becomes_a_new_size_with_its_trust(browser, straightened, demo):
    at, to_mm = straightened
    pick(browser, at, "length", seen(to_mm, PLATE[:2]))
    answer = browser.submit(f"{at}/write", pick="5", new="plate_w", seen=digest(browser, at))
    size = read_plan(demo / "plan.toml", thicknesses()).sizes["plate_w"]

    assert answer.status_code == 303
    assert size.plan == approx(280.0)
    assert 0.1 <= size.trust <= 1.0
    assert "In the plan as plate w." in words(browser, at)


def test_a_moved_point_moves_the_value_and_the_plan_only_when_asked(browser, straightened, demo):
    at, to_mm = straightened
    pick(browser, at, "length", seen(to_mm, PLATE[:2]))
    browser.submit(f"{at}/write", pick="5", size="leg_h", seen=digest(browser, at))
    ends = seen(to_mm, [(65.0, 50.0), PLATE[1]])
    browser.submit(
        f"{at}/move", pick="5", x=[f"{x:.4f}" for x, _ in ends], y=[f"{y:.4f}" for _, y in ends]
    )

    assert "275.0 ±" in words(browser, at)
    assert "The plan has 280.0 mm for leg h." in words(browser, at)
    assert "{ plan = 280.0" in (demo / "plan.toml").read_text()

    browser.submit(f"{at}/write", pick="5", size="leg_h", seen=digest(browser, at))
    assert "{ plan = 275.0" in (demo / "plan.toml").read_text()


def test_a_moved_known_place_moves_what_was_picked_and_its_trust(browser, straightened):
    at, to_mm = straightened
    pick(browser, at, "length", seen(to_mm, PLATE[:2]))
    before = words(browser, at)
    browser.submit(f"{at}/move", pick="2", x=["2600"], y=["1960"])

    assert "280.0 ±" in before
    assert "280.0 ±" not in words(browser, at)


def test_an_outline_and_a_hole_go_into_a_plate(browser, straightened, demo):
    at, to_mm = straightened
    rim = [
        (HOLE[0] + HOLE_D / 2 * np.cos(a), HOLE[1] + HOLE_D / 2 * np.sin(a))
        for a in (0, 1.5, 3, 4.6)
    ]
    pick(browser, at, "outline", seen(to_mm, PLATE))
    pick(browser, at, "hole", seen(to_mm, rim), name="dial")
    with (demo / "plan.toml").open("a") as plan:
        plan.write(
            '\n[part.spare]\nkind = "plate"\nfrom = "board3"\noutline = [[0, 0], [9, 0], [9, 9]]\n'
        )
    browser.submit(f"{at}/write", pick="5", part="spare", seen=digest(browser, at))
    answer = browser.submit(
        f"{at}/write", pick="6", part="spare", outline="5", face="top", seen=digest(browser, at)
    )
    text = (demo / "plan.toml").read_text()

    assert answer.status_code == 303, answer.text
    assert "outline = [[0, 0], [280, 0], [280, 120], [200, 190], [0, 190]]" in text
    assert '[{ name = "dial", on = "top", at = [70, 100], d = 80 }]' in text


def test_a_plan_that_was_changed_meanwhile_is_not_written(browser, straightened, demo):
    at, to_mm = straightened
    pick(browser, at, "length", seen(to_mm, PLATE[:2]))
    looked_at = digest(browser, at)
    (demo / "plan.toml").write_text((demo / "plan.toml").read_text() + "\n# by hand\n")
    before = (demo / "plan.toml").read_text()
    answer = browser.submit(f"{at}/write", pick="5", new="plate_w", seen=looked_at)

    assert answer.status_code == 422
    assert "changed meanwhile" in answer.text
    assert (demo / "plan.toml").read_text() == before


def test_an_outline_that_the_plan_cannot_use_leaves_it_as_it_was(browser, straightened, demo):
    at, to_mm = straightened
    pick(browser, at, "outline", seen(to_mm, PLATE))
    before = (demo / "plan.toml").read_text()
    answer = browser.submit(f"{at}/write", pick="5", part="nobody", seen=digest(browser, at))

    assert answer.status_code == 422
    assert "nobody" in answer.text
    assert (demo / "plan.toml").read_text() == before


def test_known_lengths_scale_a_scan_and_the_one_that_is_off_is_named(browser):
    out = io.BytesIO()
    sheet().save(out, "PNG")
    at = put(browser, out.getvalue(), "scan.png").headers["location"]
    up = 297 * 4
    ends = [
        ([(240, up - 200), (1360, up - 200)], 280.0),
        ([(240, up - 200), (240, up - 960)], 190.0),
        ([(240, up - 960), (1040, up - 960)], 200.0),
        ([(1360, up - 200), (1360, up - 680)], 124.0),  # 120 in truth
    ]
    for points, length in ends:
        pick(browser, at, "known", points, [length])
    said = words(browser, at)

    assert "Scaled by four known lengths" in said
    assert "One of them is off" in said
    assert re.search(r"known length 4 this one is off 124.0 mm \d\.\d mm short", said)


def test_the_last_pick_is_taken_back(browser, straightened):
    at, to_mm = straightened
    pick(browser, at, "length", seen(to_mm, PLATE[:2]))
    browser.submit(f"{at}/undo")

    assert [p["kind"] for p in told(browser, at)["picks"]] == ["place"] * 4


def test_points_can_be_typed_without_a_script(browser, shot):
    at = put(browser, shot[0]).headers["location"]
    answer = browser.submit(
        f"{at}/pick", kind="known", points="100, 200\r\n900 200", given=["200 mm", ""], name=""
    )

    assert answer.status_code == 303
    assert told(browser, at)["picks"][0]["points"] == [[100.0, 200.0], [900.0, 200.0]]


def test_the_straightened_picture_is_sent_and_never_changes_under_its_name(browser, straightened):
    at, _ = straightened
    board = straightened_now(browser, at)
    answer = browser.get(board["picture"])
    image = Image.open(io.BytesIO(answer.content))

    assert image.size == (board["width"], board["height"])
    assert "immutable" in answer.headers["cache-control"]
    corner = np.linalg.inv(np.array(board["to_mm"])) @ (210.0, 20.0, 1.0)
    assert image.convert("L").getpixel(tuple(map(int, corner[:2]))) > 235  # paper


def test_what_is_picked_outlives_the_server(browser, straightened, demo):
    at, to_mm = straightened
    pick(browser, at, "length", seen(to_mm, PLATE[:2]), name="width")
    kept = Drawings(demo).get(at.rsplit("/", 1)[1])

    assert [p.kind for p in kept.picks] == ["place"] * 4 + ["length"]
    assert kept.picks[4].points[0] == approx(tuple(seen(to_mm, PLATE[:1])[0]), abs=1e-3)


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "empty"),
        (b"just text", "no picture"),
        (b"\x89PNG\r\n\x1a\n" + bytes(40), "no picture|damaged"),
    ],
)
def test_what_is_no_picture_is_refused_and_nothing_is_kept(browser, demo, content, said):
    answer = put(browser, content, "drawing.png")

    assert re.search(said, answer.text)
    assert browser.get("/drawings").text.count("<li>") == 0
    assert not list((demo / "drawings").glob("*"))


def test_an_upload_of_200_megabytes_is_refused_in_words(browser, demo):
    answer = put(browser, bytes(200_000_000), "huge.png")

    assert answer.status_code == 413
    assert "too large" in answer.text
    assert not list((demo / "drawings").glob("*"))


def test_a_forged_upload_is_refused(browser, demo, shot):
    assert put(browser, shot[0], token="forged").status_code == 403
    assert not list((demo / "drawings").glob("*"))


@pytest.mark.parametrize(
    "address",
    [
        "/drawings/0000000000000000000a",
        "/drawings/..%2Fplan.toml",
        "/drawings/..%2F..%2Fetc%2Fpasswd/picture",
        "/drawings/plan/picture",
        "/drawings/0000000000000000000a/straight",
    ],
)
def test_nothing_outside_the_folder_is_named(browser, address):
    assert browser.get(address).status_code == 404


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"kind": "length", "points": "1 2"}, "2 are wanted"),
        ({"kind": "length", "points": "1 2\n99999 4"}, "not on the picture"),
        ({"kind": "length", "points": "1 2\nfoo bar"}, "not a place on the picture"),
        ({"kind": "length", "points": "1 2\nnan 5"}, "not on the picture"),
        ({"kind": "length", "points": "1 2 3"}, "is not a point"),
        ({"kind": "teapot", "points": "1 2"}, "no kind of pick"),
        ({"kind": "known", "points": "1 2\n100 2", "given": "-4"}, "can be known here"),
        ({"kind": "known", "points": "1 2\n100 2", "given": "4 sheep"}, "sheep"),
        ({"kind": "known", "points": "1 2\n100 2"}, "needs its x and y"),
    ],
)
def test_nonsense_is_refused_in_words(browser, shot, fields, said):
    at = put(browser, shot[0]).headers["location"]
    answer = browser.submit(f"{at}/pick", **fields)

    assert answer.status_code == 422
    assert said in unescape(answer.text)
    assert told(browser, at)["picks"] == []


def test_a_damaged_file_of_picks_is_said_and_not_overwritten(browser, straightened, demo):
    at, _ = straightened
    path = demo / "drawings" / f"{at.rsplit('/', 1)[1]}.json"
    path.write_text('{"format": "foldwright-drawing/1", "picks": [')

    assert "is damaged" in browser.get("/drawings").text
    assert browser.get(at).status_code == 422
    assert pick(browser, at, "length", [(1, 1), (9, 9)]).status_code == 422
    assert path.read_text().endswith('"picks": [')


def test_a_drawing_is_put_away_only_when_surely_wanted(browser, straightened, demo):
    at, _ = straightened

    assert browser.submit(f"{at}/away").status_code == 422
    assert browser.submit(f"{at}/away", sure="yes").status_code == 303
    assert not list((demo / "drawings").glob("[!.]*"))


# --- as jobs -------------------------------------------------------------------------------


def test_taking_in_is_stopped_and_leaves_nothing(browser, app, demo, shot, monkeypatch):
    monkeypatch.setattr(taking_in, "take_in", slow_work.takes_for_ever)
    at = sent(browser, shot[0]).headers["location"]
    id = at.rsplit("/", 1)[1]
    until(lambda: app.state.jobs.get(id).words == "Reading the picture")
    page = browser.get(at).text
    assert "Reading the picture" in page and f'action="/jobs/{id}/stop"' in page
    assert "None is here yet" in browser.get("/drawings").text

    assert browser.submit(f"/jobs/{id}/stop", back=at).headers["location"] == at
    assert not list((demo / "drawings").iterdir())
    assert "nothing of it is kept" in browser.get(at).text


def test_two_drawings_that_come_at_a_time_do_not_end_each_other(browser, shot):
    other = io.BytesIO()
    sheet().save(other, "PNG")
    answers = [sent(browser, shot[0]), sent(browser, other.getvalue(), "scan.png")]

    assert {once_there(browser, a).status_code for a in answers} == {303}
    assert browser.get("/drawings").text.count("/small") == 2


def test_what_was_left_of_a_server_that_was_killed_is_cleared_in_time(browser, demo, shot):
    left = demo / "drawings" / ".coming-left"
    left.mkdir(parents=True)
    os.utime(left, (1e9, 1e9))
    (demo / "drawings" / ".coming-new").mkdir()
    put(browser, shot[0])

    assert not left.exists() and (demo / "drawings" / ".coming-new").exists()


def test_nobody_follows_a_job_that_is_no_drawing(browser):
    assert browser.get("/drawings/coming/refit-1").status_code == 404


def test_straightening_is_stopped_and_begun_again(browser, app, straightened, monkeypatch):
    """Meanwhile the picture as it came, or the one before, is picked on."""
    at, _ = straightened
    before = straightened_now(browser, at)
    right = straightening.straighten
    monkeypatch.setattr(straightening, "straighten", slow_work.straightens_for_ever)
    browser.submit(f"{at}/move", pick="2", x=["2600"], y=["1960"])
    assert told(browser, at)["straight"] == before
    id = app.state.jobs.of(f"straightening-{at.rsplit('/', 1)[1]}").id
    browser.submit(f"/jobs/{id}/stop", back=at)
    page = browser.get(at).text
    assert "It was stopped." in page and f'action="{at}/straighten"' in page
    # looking at it begins nothing; asking does
    assert app.state.jobs.of(f"straightening-{at.rsplit('/', 1)[1]}").id == id

    monkeypatch.setattr(straightening, "straighten", right)
    assert browser.submit(f"{at}/straighten").status_code == 303
    after = straightened_now(browser, at)
    assert after["picture"] != before["picture"]
    assert browser.get(after["picture"]).status_code == 200
    assert "It was stopped." not in browser.get(at).text


def test_a_picture_that_was_never_straightened_is_not_begun_by_a_forged_name(browser, straightened):
    at, _ = straightened

    assert browser.get(f"{at}/straight?as=../../plan").status_code == 404


# --- others --------------------------------------------------------------------------------


def test_a_list_shows_small_pictures(browser, demo, shot):
    """As it was kept, and made anew where it is not there."""
    at = put(browser, shot[0]).headers["location"]
    kept = demo / "drawings" / f"{at.rsplit('/', 1)[1]}.small.jpg"
    first = browser.get(f"{at}/small").content
    kept.unlink()
    again = browser.get(f"{at}/small")
    image = Image.open(io.BytesIO(first))

    assert f'src="{at}/small"' in browser.get("/drawings").text
    assert image.format == "JPEG" and max(image.size) <= 520
    assert image.width / image.height == approx(SIZE[0] / SIZE[1], rel=0.01)
    assert len(first) < 60_000 < len(browser.get(f"{at}/picture").content)
    assert again.content == first == kept.read_bytes()


def test_a_change_of_a_drawing_has_another_stamp_and_leaves_the_build_alone(
    browser, app, demo, straightened
):
    """Nothing follows from a pick until it is written into the plan."""
    at, to_mm = straightened
    version, before = app.state.live.refresh().version, Drawings(demo).stamp()
    pick(browser, at, "length", seen(to_mm, PLATE[:2]))
    after = Drawings(demo).stamp()

    assert before != after
    assert f'data-drawings="{after}"' in browser.get(at).text
    assert f'data-drawings="{after}"' in browser.get("/drawings").text
    assert app.state.live.refresh().version == version


def test_one_point_is_moved_and_its_fellows_stay_where_another_hand_put_them(browser, straightened):
    at, to_mm = straightened
    pick(browser, at, "length", seen(to_mm, PLATE[:2]))
    a, b = told(browser, at)["picks"][4]["points"]
    browser.submit(f"{at}/move", pick="5", index="0", x=["100.5"], y=["200"])
    browser.submit(f"{at}/move", pick="5", index="1", x=["900"], y=["210.25"])

    assert told(browser, at)["picks"][4]["points"] == [[100.5, 200.0], [900.0, 210.25]]
    for wrong in ({"index": "2"}, {"index": "x"}, {"index": "0", "points": "1 1\n2 2"}):
        fields = {"pick": "5", "x": ["1"], "y": ["1"], **wrong}
        if "points" in wrong:
            del fields["x"], fields["y"]
        assert browser.submit(f"{at}/move", **fields).status_code == 422
    assert a != b


def test_a_folder_that_went_away_takes_in_nothing_and_is_not_made_anew(browser, demo, shot):
    away = demo.with_name("away")
    assert browser.get("/drawings").status_code == 200
    demo.rename(away)
    answer = put(browser, shot[0])
    assert answer.status_code == 422 and "is gone" in answer.text
    answer = browser.get("/drawings/0000000000000000000a")
    assert answer.status_code == 422 and "is gone" in answer.text
    assert not demo.exists()
    away.rename(demo)

    assert put(browser, shot[0]).status_code == 303


@pytest.mark.parametrize(
    ("kind", "content"),
    [
        ("multipart/form-data; boundary=zz", b"junk"),
        ("multipart/form-data", b"junk"),
        ("multipart/form-data; boundary=zz", b'--zz\r\nContent-Disposition: form-data; x"\r\n\r\n'),
        (
            "multipart/form-data; boundary=zz",
            b'--zz\r\nContent-Disposition: form-data; name="f"\r\n\r\nv\r\n' * 100 + b"--zz--\r\n",
        ),
    ],
)
@pytest.mark.parametrize("address", ["/drawings", "/book/import"])
def test_a_form_that_cannot_be_read_is_refused_in_our_words(
    browser, capfd, caplog, address, kind, content
):
    """And nothing is said on the terminal."""
    headers = {"Content-Type": kind, "X-Token": browser.token, "Accept": "text/html"}
    answer = browser.post(address, content=content, headers=headers)

    assert answer.status_code in (400, 422)
    assert "cannot be read as a form" in answer.text or "No file was sent" in answer.text
    assert capfd.readouterr().err == "" and not caplog.records


@pytest.mark.parametrize(
    "content",
    [
        # a header of 50 000 by 50 000 pixels
        b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", struct.pack(">IIBBBBB", 50000, 50000, 8, 2, 0, 0, 0)),
        # words that unpack to 300 MB
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", struct.pack(">IIBBBBB", 400, 400, 8, 2, 0, 0, 0))
        + chunk(b"zTXt", b"c\0\0" + zlib.compress(bytes(300_000_000), 1)),
    ],
    ids=["pixels", "words"],
)
def test_what_unpacks_to_far_too_much_is_refused(browser, demo, content):
    answer = put(browser, content + chunk(b"IDAT", zlib.compress(bytes(100))), "bomb.png")

    assert re.search("million pixels|damaged", answer.text)
    assert not list((demo / "drawings").glob("*"))


def test_what_is_straightened_is_found_again_when_others_took_its_place(
    browser, app, straightened, shot, monkeypatch
):
    """Few pictures are kept; one that was cleared away is drawn anew when it is looked at."""
    monkeypatch.setattr(straightening, "_KEPT", 1)
    at, _ = straightened
    content, _ = shot
    before = straightened_now(browser, at)
    other = put(browser, content + b" ", "other.jpg").headers["location"]
    for corner, place in zip(SEEN_AT, CORNERS, strict=True):
        pick(browser, other, "place", [corner], place)
    straightened_now(browser, other)

    assert browser.get(before["picture"]).status_code == 404
    after = straightened_now(browser, at)
    assert browser.get(after["picture"]).status_code == 200
