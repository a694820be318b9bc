"""What does not come from the maker's own page is refused, in words, and nothing is done."""

import asyncio
import json
import threading
from http.cookies import SimpleCookie

import pytest
from starlette.routing import Route

from foldwright.web import LiveBuild, guard, page_of
from web.conftest import Browser

JSON = {"Accept": "application/json"}


def routes_of(app):
    """Address and methods of every view."""
    return [(route.path, route.methods) for route in app.routes if isinstance(route, Route)]


def filled(path, value="nonsense"):
    """An address with nonsense in every place."""
    return "/".join(value if part.startswith("{") else part for part in path.split("/"))


def is_refusal(response):
    """Whether an answer has the one shape of a refusal, in words."""
    if "json" not in response.headers["content-type"]:
        return False
    error = response.json()["error"]
    return (
        set(error) <= {"kind", "message", "faults"}
        and error["kind"].isidentifier()
        and not error["message"][0].islower()  # it may begin with what was typed
        and error["message"].rstrip()[-1] in ".?!)"
        and "Traceback" not in error["message"]
    )


def test_there_are_routes(app):
    assert len(routes_of(app)) > 5


def test_every_route_refuses_a_wrong_method_in_one_shape(app, browser):
    for path, _ in routes_of(app):
        response = browser.request(
            "DELETE", filled(path), headers={**JSON, "X-Token": browser.token}
        )

        assert response.status_code == 405, path
        assert is_refusal(response), path


def test_every_route_refuses_a_post_without_token(app, browser):
    for path, _ in routes_of(app):
        response = browser.post(filled(path), data={"value": "1"}, headers=JSON)

        assert response.status_code == 403, path
        assert is_refusal(response), path


def test_every_route_refuses_another_sessions_token(app, browser):
    stranger = Browser(app).token
    for path, _ in routes_of(app):
        response = browser.post(filled(path), data={"token": stranger}, headers=JSON)

        assert response.status_code == 403, path


@pytest.mark.parametrize(
    "origin", ["http://evil.example", "null", "http://127.0.0.1:9", "https://127.0.0.1", "http://["]
)
def test_every_route_refuses_a_forged_origin(app, browser, origin):
    for path, _ in routes_of(app):
        headers = {**JSON, "Origin": origin, "X-Token": browser.token}
        response = browser.post(filled(path), headers=headers)

        assert response.status_code == 403, path
        assert is_refusal(response), path


@pytest.mark.parametrize("site", ["cross-site", "same-site"])
def test_what_a_browser_says_came_from_another_site_is_refused(browser, site):
    headers = {**JSON, "Sec-Fetch-Site": site, "X-Token": browser.token}

    assert browser.post("/jobs/x/stop", headers=headers).status_code == 403


@pytest.mark.parametrize(
    "host",
    [
        "evil.example",
        "127.0.0.1.evil.example",
        "localhost.evil.example",
        "127.0.0.2.nip.example",
        "192.168.1.5",
        "127.0.0.1:80:80",
        "127.0.0.1@evil.example",
        "",
    ],
)
def test_every_route_refuses_a_foreign_host(app, browser, host):
    for path, _ in routes_of(app):
        response = browser.get(filled(path), headers={**JSON, "Host": host})

        assert response.status_code == 421, path
        assert is_refusal(response), path


def test_a_foreign_host_learns_nothing_of_the_build(browser):
    response = browser.get("/", headers={"Host": "evil.example", "Accept": "text/html"})

    assert "arbour" not in response.text


@pytest.mark.parametrize("host", ["localhost", "127.0.0.1:8734", "LOCALHOST", "[::1]:80"])
def test_this_machine_goes_by_several_names(browser, host):
    assert browser.get("/jobs/x", headers={**JSON, "Host": host}).status_code == 404


def test_every_post_refuses_nonsense_in_one_shape(app, browser):
    """Every field a view could ask for is nonsense, and so is the address."""
    nonsense = ["\0", "١٢", "nan", "1e999", "<script>", "../../etc/passwd", "a" * 2000, "-", ""]
    names = ("part", "dim", "value", "tool", "name", "size", "stage", "id", "back", "seconds")
    for path, methods in routes_of(app):
        if "POST" not in methods:
            continue
        for value in nonsense:
            fields = dict.fromkeys(names, value)
            response = browser.submit(filled(path), _headers=JSON, **fields)

            assert response.status_code < 500, (path, value)
            if response.status_code >= 400 and path != "/pair":
                assert is_refusal(response), (path, value)


def test_every_get_answers_nonsense_in_one_shape(app, browser):
    for path, methods in routes_of(app):
        if "GET" not in methods or path == "/live":
            continue
        for value in ["nonsense", "%00", "..%2f..%2fetc%2fpasswd", "%ff%fe", "x" * 3000, "%3Cb%3E"]:
            response = browser.get(
                filled(path, value) + "?part=%00&view=nan&width=-1&at=1e999", headers=JSON
            )

            assert response.status_code < 500, (path, value)
            if response.status_code >= 400:
                assert is_refusal(response), (path, value)


@pytest.mark.parametrize(
    "path",
    [
        "/static/../../make.py",
        "/static/..%2f..%2fmake.py",
        "/static/%2e%2e/%2e%2e/make.py",
        "/static//etc/passwd",
        "/static/..\\..\\make.py",
        "/static/page.css%00.js",
        "/static/",
        "/etc/passwd",
        "//etc/passwd",
    ],
)
def test_no_path_leads_out_of_the_package(browser, path):
    response = browser.get(path, headers=JSON)

    assert response.status_code in (404, 405), path
    assert is_refusal(response)


def test_every_answer_keeps_foreign_things_out(app, browser):
    for path in ["/", "/nowhere", "/static/page.css", "/static/page.js"]:
        headers = browser.get(path, headers={"Accept": "text/html"}).headers
        rules = dict(
            rule.strip().split(" ", 1) for rule in headers["content-security-policy"].split(";")
        )

        assert rules["default-src"] == rules["frame-ancestors"] == rules["base-uri"] == "'none'"
        assert rules["script-src"] == rules["style-src"] == rules["form-action"] == "'self'"
        assert "unsafe" not in headers["content-security-policy"]
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["cross-origin-opener-policy"] == "same-origin"
        assert headers["cross-origin-resource-policy"] == "same-origin"


def test_the_cookie_is_for_this_site_and_no_script(app):
    jar = SimpleCookie(Browser(app).get("/").headers["set-cookie"])
    (morsel,) = jar.values()

    assert morsel["httponly"] and morsel["samesite"] == "Strict" and morsel["path"] == "/"


def test_a_made_up_cookie_is_replaced(app):
    browser = Browser(app)
    browser.cookies.set("foldwright-80", "chosen.0000")

    assert "foldwright-80=" in browser.get("/").headers["set-cookie"]
    assert "chosen" not in browser.get("/").headers.get("set-cookie", "")


FILES = "multipart/form-data; boundary=x"


class Line:
    """A client that speaks to the app piece by piece, and counts what is taken from it."""

    def __init__(
        self, browser, path, pieces, *, length=None, kind="multipart/form-data; boundary=x"
    ):
        self.pieces = iter(pieces)
        self.taken = 0
        self.taken_before_answer = None
        self.status = 0
        self.body = b""
        headers = [
            (b"host", b"127.0.0.1"),
            (b"accept", b"application/json"),
            (b"content-type", kind.encode()),
            (b"x-token", browser.token.encode()),
            (b"cookie", "; ".join(f"{k}={v}" for k, v in browser.cookies.items()).encode()),
        ]
        if length is not None:
            headers.append((b"content-length", str(length).encode()))
        self.scope = {
            "type": "http",
            "asgi": {"version": "3.0"},
            "http_version": "1.1",
            "method": "POST",
            "path": path,
            "raw_path": path.encode(),
            "root_path": "",
            "scheme": "http",
            "query_string": b"",
            "headers": headers,
            "client": ("127.0.0.1", 50000),
            "server": ("127.0.0.1", 80),
        }

    async def receive(self):
        piece = next(self.pieces, None)
        if piece is None:
            return {"type": "http.request", "body": b"", "more_body": False}
        if isinstance(piece, float):
            await asyncio.sleep(piece)
            piece = b"x"
        self.taken += len(piece)
        return {"type": "http.request", "body": piece, "more_body": True}

    async def send(self, message):
        if message["type"] == "http.response.start":
            self.taken_before_answer = self.taken
            self.status = message["status"]
        else:
            self.body += message["body"]

    @property
    def error(self):
        return json.loads(self.body)["error"]

    def ask(self, app):
        asyncio.run(app(self.scope, self.receive, self.send))
        return self


MB = bytes(1024 * 1024)


def test_a_file_of_200_mb_is_refused_before_any_of_it_is_read(app, browser):
    line = Line(browser, "/drawings", [MB] * 200, length=200 * len(MB)).ask(app)

    assert (line.status, line.error["kind"]) == (413, "TooLarge")
    assert "40 MB" in line.error["message"]
    assert line.taken_before_answer == 0


def test_a_file_that_does_not_say_how_large_it_is_is_counted(app, browser):
    head = b'--x\r\nContent-Disposition: form-data; name="file"; filename="a"\r\n\r\n'
    line = Line(browser, "/drawings", [head] + [MB] * 200).ask(app)

    assert line.status == 413
    assert line.taken_before_answer <= 42 * len(MB)


def test_a_form_is_small(app, browser):
    line = Line(browser, "/jobs/x/stop", [MB] * 3, kind="application/x-www-form-urlencoded")
    line.ask(app)

    assert (line.status, line.taken_before_answer) == (413, len(MB))
    assert "64 kB" in line.error["message"]


@pytest.mark.parametrize("length", ["-1", "1e3", "٣", ""])
def test_a_length_that_is_none_is_refused(app, browser, length):
    assert Line(browser, "/jobs/x/stop", [b"a=1"], length=length).ask(app).status == 413


def test_a_body_that_does_not_come_is_not_waited_for(app, browser, monkeypatch):
    monkeypatch.setattr(guard, "_PAUSE", 0.1)
    line = Line(browser, "/jobs/x/stop", [0.5], kind="application/x-www-form-urlencoded").ask(app)

    assert (line.status, line.error["kind"]) == (408, "TooSlow")


def test_a_body_that_drips_is_not_waited_for(app, browser, monkeypatch):
    monkeypatch.setattr(guard, "_FORM_SECONDS", 0.3)
    drops = [0.05] * 40
    line = Line(browser, "/jobs/x/stop", drops, kind="application/x-www-form-urlencoded").ask(app)

    assert line.status == 408
    assert line.taken_before_answer < 10


@pytest.mark.parametrize(
    "body", [b"%ff%fe=1", b"a=%zz&" * 600, b"\xff\xfe", b"&".join([b"a=1"] * 501)]
)
def test_a_form_that_cannot_be_read_is_refused(app, browser, body):
    line = Line(browser, "/jobs/x/stop", [body], kind="application/x-www-form-urlencoded").ask(app)

    assert line.status == 400


def test_the_token_of_a_form_with_files_comes_first(app, browser):
    fields = {"token": browser.token}
    first = browser.post("/jobs/x/stop", data=fields, files={"f": b"x"}, headers=JSON)
    without = browser.post("/jobs/x/stop", data={}, files={"f": b"x"}, headers=JSON)

    assert (first.status_code, without.status_code) == (404, 403)


def test_our_own_mistake_is_said_in_words_and_written_in_a_file(demo, tmp_path, monkeypatch):
    monkeypatch.setenv("TMPDIR", str(tmp_path))
    monkeypatch.setattr("tempfile.tempdir", None)
    app = page_of(LiveBuild(demo))
    app.router.routes.insert(0, Route("/mistake", lambda request: 1 / 0))
    response = Browser(app, raise_server_exceptions=False).get("/mistake", headers=JSON)
    (trace,) = tmp_path.glob("foldwright-mistake-*.txt")

    assert response.status_code == 500
    assert is_refusal(response)
    assert trace.name in response.text and "ZeroDivisionError" in trace.read_text()


def test_twenty_at_once_are_answered(app, browser):
    browser.get("/")
    wrong = []

    def ask():
        for path in ["/", "/jobs/x", "/static/page.css", "/nowhere"] * 3:
            status = Browser(app).get(path, headers=JSON).status_code
            if status not in (200, 404):
                wrong.append((path, status))

    threads = [threading.Thread(target=ask) for _ in range(20)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert wrong == []
