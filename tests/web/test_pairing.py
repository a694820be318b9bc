"""Other devices see nothing until a code from the maker's own screen lets them in."""

import re

import pytest

from foldwright.web import LiveBuild, page_of
from foldwright.web.pairing import ALPHABET, CODE_SECONDS, Devices
from web.conftest import Browser, page_on

HTML = {"Accept": "text/html"}


class Clock:
    now = 1000.0

    def __call__(self):
        return self.now


@pytest.fixture
def clock():
    return Clock()


@pytest.fixture
def devices(clock):
    return Devices(clock)


def try_in(devices, typed, session="s"):
    return devices.let_in(typed, session, kind="phone", address="10.0.0.9")


@pytest.mark.parametrize("how", [str, str.lower, lambda c: f"{c[:4]}-{c[4:]}", lambda c: f" {c} "])
def test_a_code_lets_one_device_in_once_however_it_is_typed(devices, how):
    code = how(devices.new_code().text)

    assert try_in(devices, code, "one") and devices.knows("one")
    assert not try_in(devices, code, "two") and not devices.knows("two")


def test_a_code_ends(devices, clock):
    code = devices.new_code()
    clock.now += CODE_SECONDS

    assert not try_in(devices, code.text)
    assert devices.code is None


def test_guessing_uses_a_code_up(devices):
    code = devices.new_code()
    for _ in range(5):
        assert not try_in(devices, "AAAAAAAA")

    assert not try_in(devices, code.text)


@pytest.mark.parametrize("typed", ["", "-", "é", "\0", "A" * 10_000])
def test_nobody_comes_in_without_a_code(devices, typed):
    assert not try_in(devices, typed)
    devices.new_code()
    assert not try_in(devices, typed)


def test_codes_are_long_enough_and_hold_nothing_to_misread(devices):
    """Five guesses of 26^8 hit once in 4e10."""
    codes = {devices.new_code().text for _ in range(200)}

    assert len(codes) == 200
    assert all(len(code) == 8 for code in codes)
    assert not set("01OIS25ZB8") & set(ALPHABET)


def test_a_device_is_put_out_and_forgotten_when_long_unseen(devices, clock):
    for session in ("one", "two"):
        try_in(devices, devices.new_code().text, session)
    assert devices.put_out(devices.all[0].id)
    assert [devices.knows(s) for s in ("one", "two")].count(True) == 1
    clock.now += 15 * 24 * 3600

    assert not devices.knows("one") and not devices.knows("two")


@pytest.fixture
def app(demo):
    with page_on(demo, is_open=True) as app:
        yield app


@pytest.fixture
def phone(app):
    return Browser(app, host="127.0.0.1", client="10.0.0.9")


@pytest.fixture
def maker(app):
    return Browser(app)


def test_a_stranger_sees_the_page_for_the_code_alone(phone):
    for path in ["/", "/parts", "/live", "/devices", "/nowhere", "/jobs/x", "/book"]:
        assert phone.get(path, headers=HTML).headers.get("location") == "/pair", path
        answer = phone.get(path, headers={"Accept": "application/json"})
        assert (answer.status_code, answer.json()["error"]["kind"]) == (401, "NotPaired")
    assert phone.submit("/jobs/x/stop").status_code == 401

    page = phone.get("/pair", headers=HTML)
    assert page.status_code == 200 and "arbour" not in page.text


def test_a_rule_that_browsers_heed_on_encrypted_lines_alone_is_not_sent_to_others(maker, phone):
    # HTML Living Standard, 7.1.3: it is ignored, with a word on the console, where the
    # context is not secure; the loopback address is (W3C Secure Contexts, 3.1)
    assert "cross-origin-opener-policy" in maker.get("/", headers=HTML).headers
    assert "cross-origin-opener-policy" not in phone.get("/pair", headers=HTML).headers


def test_the_makers_screen_is_told_when_a_device_comes_in_or_goes(app, maker, phone, monkeypatch):
    told = []
    monkeypatch.setattr(app.state.bell, "devices", lambda: told.append("devices"))
    maker.submit("/devices/code")
    shown = re.search(r'class="reading">([A-Z0-9-]+)<', maker.get("/devices").text)[1]
    phone.submit("/pair", code="AAAA-AAAA")
    assert told == []
    phone.submit("/pair", code=shown)
    assert told == ["devices"]
    [device] = app.state.devices.all
    maker.submit(f"/devices/{device.id}/out")
    assert told == ["devices", "devices"]


def test_a_device_comes_in_by_the_code_on_the_makers_screen(maker, phone):
    assert maker.submit("/devices/code").headers["location"] == "/devices"
    shown = re.search(r'class="reading">([A-Z0-9-]+)<', maker.get("/devices").text)[1]
    wrong = phone.submit("/pair", code="AAAA-AAAA")
    right = phone.submit("/pair", code=shown)

    assert wrong.status_code == 403 and "five minutes" in wrong.text
    assert (right.status_code, right.headers["location"]) == (303, "/")
    assert phone.get("/jobs/x", headers=HTML).status_code == 404
    assert phone.get("/devices", headers=HTML).status_code == 403
    assert phone.submit("/devices/code").status_code == 403
    listed = maker.get("/devices").text
    assert "10.0.0.9" in listed and "just now" in listed

    out = re.search(r'action="(/devices/[\w-]+/out)"', listed)[1]
    assert maker.submit(out).status_code == 303
    assert phone.get("/", headers=HTML).headers["location"] == "/pair"


def test_the_picture_holds_the_code_where_no_log_sees_it(maker, monkeypatch):
    """Behind the #: RFC 3986, 3.5, a fragment is not sent to the server."""
    import segno

    made, make = [], segno.make
    monkeypatch.setattr("foldwright.web.others.own_addresses", lambda: ("192.0.2.7",))
    monkeypatch.setattr(
        "foldwright.web.others.segno.make",
        lambda text, **how: made.append(text) or make(text, **how),
    )
    maker.submit("/devices/code")
    page = maker.get("/devices").text

    assert re.fullmatch(r"http://192\.0\.2\.7:80/pair#[A-Z0-9]{8}", made[0])
    assert "<svg" in page and "style=" not in page


def test_a_server_for_this_machine_alone_makes_no_codes(demo):
    alone = Browser(page_of(LiveBuild(demo)))

    assert alone.submit("/devices/code").status_code == 403
    assert "--other-devices" in alone.get("/devices").text


def test_an_open_server_goes_by_its_own_addresses_and_names_only(app):
    """A name may be made to point here; an address in figures cannot."""
    for host, status in [("192.168.7.7", 303), ("evil.example", 421)]:
        browser = Browser(app, host=host, client="10.0.0.9")
        assert browser.get("/", headers=HTML).status_code == status
