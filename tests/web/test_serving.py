"""The command that serves a build: on this machine, at once, until it is told to end."""

import http.client
import re
import signal
import socket
import threading
import time

import pytest
import uvicorn

from foldwright.web import LiveBuild, page_of, serving, whole
from foldwright.web.stands import stands_now
from forked import run
from web.conftest import Browser
from web.server import Server


class Asked(Server):
    """A server that is asked over lines of its own."""

    def __init__(self, folder, *options):
        super().__init__(folder, *options)
        self.lines = []

    def ask(self, path, method="GET", body=None, **headers):
        line = http.client.HTTPConnection("127.0.0.1", self.port, timeout=60)
        self.lines.append(line)
        line.request(
            method, path, body=body, headers={k.replace("_", "-"): v for k, v in headers.items()}
        )
        answer = line.getresponse()
        self.lines.append(answer)
        return answer

    def end(self, how=signal.SIGINT):
        code = super().end(how)
        for line in self.lines:
            line.close()
        return code


@pytest.fixture(scope="module")
def folder(measured_demo, tmp_path_factory):
    import shutil

    return shutil.copytree(measured_demo, tmp_path_factory.mktemp("served") / measured_demo.name)


@pytest.fixture(scope="module")
def server(folder):
    """For what leaves it as it was."""
    server = Asked(folder)
    yield server
    server.end()


def events(response):
    """Events of a line that stays open, as (name, data)."""
    name = ""
    while line := response.readline().decode():
        if line.startswith("event: "):
            name = line[7:].strip()
        elif line.startswith("data: "):
            yield name, line[6:].strip()


def test_it_answers_and_ends_in_good_order_with_browsers_on_the_line(folder):
    server = Asked(folder)
    line = server.ask("/live")
    # else a browser sends its next request down this line, which never ends
    assert line.headers["connection"] == "close"
    assert next(events(line))[0] == "version"

    assert server.end() == 0
    assert "Traceback" not in server.words and "Ended." in server.words


def test_who_still_waits_when_it_ends_is_told_so(folder):
    server = Asked(folder)
    line = socket.create_connection(("127.0.0.1", server.port), timeout=30)
    # the first sheet waits for the build to be read, which takes longer than it is let
    line.sendall(b"GET /parts/lamp HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n")
    time.sleep(0.3)

    assert server.end() == 0
    answer = line.recv(65536)
    line.close()
    assert answer.startswith((b"HTTP/1.1 503", b"HTTP/1.1 200"))
    assert "Traceback" not in server.words and "ERROR" not in server.words, server.words


def test_every_browser_is_told_of_a_change_once(server, folder):
    lines = [events(server.ask("/live")) for _ in range(5)]
    before = {next(line) for line in lines}
    plan = folder / "plan.toml"
    plan.write_text(plan.read_text() + "\n# changed\n")
    after = {next(e for e in line if e[0] == "version" and e not in before) for line in lines}

    assert len(before) == len(after) == 1


def test_only_this_machine_can_reach_it(server):
    """Every other address of the machine refuses; 127.0.0.2 is one that it always has."""
    with pytest.raises(ConnectionRefusedError):
        socket.create_connection(("127.0.0.2", server.port), timeout=5)


def test_200_mb_are_refused_over_a_real_line(server):
    line = socket.create_connection(("127.0.0.1", server.port), timeout=30)
    line.sendall(
        b"POST /drawings HTTP/1.1\r\nHost: 127.0.0.1\r\nAccept: application/json\r\n"
        b"Content-Type: multipart/form-data; boundary=x\r\nContent-Length: 209715200\r\n\r\n"
    )
    answer = line.recv(65536)
    line.close()

    assert answer.startswith(b"HTTP/1.1 413")
    assert server.ask("/jobs/x").status == 404


@pytest.mark.parametrize(
    "sent",
    [
        b"GET / HTTP/1.1\r\n",
        b"POST /jobs/x/stop HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Length: 9\r\n\r\na",
        b"\x16\x03\x01\x02\x00",
        b"\0" * 9000,
    ],
)
def test_half_a_request_leaves_the_server_well(server, sent):
    line = socket.create_connection(("127.0.0.1", server.port), timeout=10)
    line.sendall(sent)
    line.close()

    assert server.ask("/jobs/x").status == 404


def test_no_secret_is_written_down(folder):
    server = Asked(folder, "--other-devices")
    answer = server.ask("/devices")
    page, cookie = answer.read().decode(), answer.headers["set-cookie"].split(";")[0]
    token = re.search(r'data-token="(\w+)"', page)[1]
    form = {"Content_Type": "application/x-www-form-urlencoded", "Cookie": cookie}
    server.ask("/devices/code", "POST", f"token={token}", **form)
    shown = server.ask("/devices", Cookie=cookie).read().decode()
    code = re.search(r'class="reading">([A-Z0-9-]+)<', shown)[1]
    server.ask("/pair", "POST", f"token={token}&code={code}", **form)
    server.end()

    for secret in (code, code.replace("-", ""), token, cookie.split("=")[1]):
        assert secret not in server.words


def refused(*args):
    code, _, err = run("serve", *args)
    assert code == 2 and "Traceback" not in err
    return err


def test_a_folder_that_is_no_build_is_refused(tmp_path):
    assert "is no build" in refused(tmp_path)
    assert "There is no folder" in refused(tmp_path / "none")


def test_a_port_that_is_taken_is_refused(folder):
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        port = other.getsockname()[1]

        assert f"Port {port} is in use" in refused(folder, "--port", port)


def test_the_body_of_an_answer_does_not_wait_for_its_head_to_be_acknowledged():
    """asyncio switches that waiting off only where the socket is said to be TCP."""
    with serving.listen(0, is_open=False) as line:
        assert line.proto == socket.IPPROTO_TCP


def test_a_signal_to_end_waits_for_no_lock_that_it_interrupted(demo):
    """It comes between any two steps of the thread that may just be letting a browser go."""
    app = page_of(LiveBuild(demo))
    server = serving._Server(uvicorn.Config(app), app, lambda: None)

    def interrupted():
        with app.state.bell._lock:
            server.handle_exit(signal.SIGTERM, None)

    thread = threading.Thread(target=interrupted, daemon=True)
    thread.start()
    thread.join(10.0)

    assert not thread.is_alive() and server.should_exit


def test_a_mistake_of_ours_in_the_first_view_ends_in_words(demo, monkeypatch):
    """Whoever looks is told; the terminal shows no trace, and the rest is prepared all the same."""

    def mistakes(*args):
        raise ZeroDivisionError

    monkeypatch.setattr(serving, "drawn", mistakes)
    monkeypatch.setattr(whole, "drawn", mistakes)
    live = LiveBuild(demo)
    serving._prepare(live)
    answer = Browser(page_of(live), raise_server_exceptions=False).get("/")

    assert stands_now(live.state, wait=60.0) is not None
    assert answer.status_code == 500 and "mistake of its own" in answer.text
    assert "Traceback" not in answer.text
