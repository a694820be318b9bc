"""The guard: what every request passes before a view sees it.

* It names this machine, not some foreign name that was made to point here.
* It comes from this machine's own browser, or from a device that was paired.
* What changes something was sent by a page of ours: a token goes with it that no
  other site can know, and it says no foreign origin.
* It is not larger than its address needs, and does not take for ever to come.

Answers leave with headers that let a page load and run nothing but our own files.
"""

from __future__ import annotations

import asyncio
import hashlib
import hmac
import ipaddress
import re
import secrets
import socket
from http.cookies import CookieError, SimpleCookie
from urllib.parse import parse_qsl, urlsplit

from starlette.datastructures import FormData, MutableHeaders
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from foldwright.web.pairing import Devices
from foldwright.web.refusals import refusal

FORM_LIMIT = 64 * 1024
# Addresses that take files, and how large what is sent may be in all. A ledger of 200 parts,
# measured ten times over, has less than a megabyte.
UPLOAD_LIMITS = {"/drawings": 40 * 1024 * 1024, "/book/import": 8 * 1024 * 1024}
# How long a body may take to come, and how long it may pause [s].
_FORM_SECONDS, _UPLOAD_SECONDS, _PAUSE = 20.0, 300.0, 10.0
# What is read and thrown away of a body that was refused, so that a browser which sends
# first and listens later still sees why.
_DRAINED, _DRAIN_SECONDS = 256 * 1024 * 1024, 20.0
_MOST_FIELDS = 500
_SAFE = ("GET", "HEAD", "OPTIONS")
_LOCAL_NAMES = frozenset({"localhost", "127.0.0.1", "[::1]"})
# A page's token is the first field of a form that sends files: it is seen before they come.
_FIRST_FIELD = re.compile(
    rb'\A--[^\r\n]{1,200}\r\ncontent-disposition: form-data; name="token"\r\n\r\n'
    rb"([\w-]{1,200})\r\n",
    re.IGNORECASE,
)
_HEAD_OF_UPLOAD = 1024

_OURS_ONLY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; font-src 'self'; "
    "img-src 'self' blob:; connect-src 'self'; form-action 'self'; frame-ancestors 'none'; "
    "base-uri 'none'"
)
# A drawing that is opened by itself brings its own style, and nothing else.
_DRAWING_ONLY = "default-src 'none'; style-src 'unsafe-inline'; frame-ancestors 'none'; sandbox"
_HEADERS = {
    "X-Content-Type-Options": "nosniff",
    # "no-referrer" would make browsers hide the origin of our own forms from us
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), microphone=(), geolocation=(), usb=(), serial=()",
}


class Guard:
    """The guard, as a layer around the app.

    Parameters
    ----------
    app : ASGIApp
    devices : Devices
        Who else was let in.
    is_open : bool
        Whether other devices can reach the server at all.
    """

    def __init__(self, app: ASGIApp, *, devices: Devices, is_open: bool) -> None:
        self._app = app
        self._devices = devices
        self._is_open = is_open
        self._names = _LOCAL_NAMES | (own_names() if is_open else frozenset())
        self._secret = secrets.token_bytes(32)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request through, or refuse it in words."""
        if scope["type"] == "lifespan":
            await self._app(scope, receive, send)
            return
        if scope["type"] != "http":  # nothing here speaks over web sockets
            await send({"type": "websocket.close", "code": 1008})
            return
        request = Request(scope)
        session, is_new = self._session(request)
        state = scope.setdefault("state", {})
        state["session"] = session
        state["token"] = self._sign("token", session)
        state["is_local"] = _is_local(request)
        state["form"] = FormData()
        cookie = self._cookie(scope, session) if is_new and _sets_cookie(scope) else None
        guarded = _headed(send, cookie, is_local=state["is_local"])
        refused = self._refuse(request)
        if refused is not None:
            await _answer(refused, scope, receive, guarded)
            return
        if scope["method"] in _SAFE:
            await self._app(scope, receive, guarded)
            return
        body, raw = _Body(receive, scope), receive
        try:
            receive = await self._with_token(request, body)
        except HTTPException as fault:
            refused = refusal(request, fault.status_code, str(fault.detail), bare=True)
            await _answer(refused, scope, None if body.has_ended else raw, guarded)
            return
        await self._app(scope, receive, guarded)

    def _refuse(self, request: Request) -> Response | None:
        """Answer to a request that may not come in at all, judged before its body is read."""
        host = _host_of(request)
        own = request.scope.get("server") or ("", 0)
        # an address in figures cannot be made to point elsewhere; a name can
        if host not in self._names and not (self._is_open and _same_address(host, str(own[0]))):
            words = "This is not an address of this machine. Use the one that was printed."
            return refusal(request, 421, words, bare=True)
        if request.method not in _SAFE and not _from_our_page(request):
            words = "This was not sent by a page of this build, so nothing was done."
            return refusal(request, 403, words, bare=True)
        path = request.url.path
        known = request.state.is_local or self._devices.knows(request.state.session)
        if known or path == "/pair" or path.startswith("/static/"):
            return None
        if request.method == "GET" and "text/html" in request.headers.get("accept", ""):
            return RedirectResponse("/pair", status_code=303)
        words = "This device is not paired with the build. Open /pair and type the code."
        return refusal(request, 401, words, bare=True)

    async def _with_token(self, request: Request, body: _Body) -> Receive:
        """Check the token of what was sent; return how a view receives the body after that."""
        kind = request.headers.get("content-type", "").split(";")[0].strip().lower()
        given = request.headers.get("x-token", "")
        if kind == "multipart/form-data":
            head = await body.head(_HEAD_OF_UPLOAD)
            found = _FIRST_FIELD.match(head)
            given = given or (found[1].decode() if found else "")
        else:
            whole = await body.whole()
            if kind == "application/x-www-form-urlencoded":
                form = _form(whole)
                request.state.form = form
                given = given or str(form.get("token", ""))
        if not hmac.compare_digest(given.encode(), request.state.token.encode()):
            raise HTTPException(
                403, "This page is older than the server. Load it again, then send it once more."
            )
        return body.receive

    def _session(self, request: Request) -> tuple[str, bool]:
        """Session that a request belongs to, and whether it is a new one."""
        name = cookie_name(request.scope)
        try:
            jar = SimpleCookie("; ".join(request.headers.getlist("cookie")))
        except CookieError:
            jar = SimpleCookie()
        session, _, signature = (jar[name].value if name in jar else "").partition(".")
        right = self._sign("session", session)
        if session and hmac.compare_digest(signature.encode(), right.encode()):
            return session, False
        return secrets.token_urlsafe(24), True

    def _sign(self, use: str, session: str) -> str:
        made = hmac.new(self._secret, f"{use}:{session}".encode(), hashlib.sha256)
        return made.hexdigest()

    def _cookie(self, scope: Scope, session: str) -> str:
        value = f"{session}.{self._sign('session', session)}"
        return f"{cookie_name(scope)}={value}; Path=/; HttpOnly; SameSite=Strict"


class _Body:
    """The body of a request, counted and timed while it comes.

    `has_ended` says whether all of it is here.
    """

    def __init__(self, receive: Receive, scope: Scope) -> None:
        self._receive = receive
        upload = UPLOAD_LIMITS.get(scope["path"], 0)
        self._most = upload or FORM_LIMIT
        self._until = asyncio.get_running_loop().time() + (
            _UPLOAD_SECONDS if upload else _FORM_SECONDS
        )
        self._count = 0
        self._kept: list[Message] = []
        self.has_ended = False
        for key, value in scope["headers"]:
            if key == b"content-length" and (not value.isdigit() or int(value) > self._most):
                self._count = self._most + 1

    async def receive(self) -> Message:
        """Receive what was kept, then what still comes."""
        if self._kept:
            return self._kept.pop(0)
        return await self._next()

    async def head(self, length: int) -> bytes:
        """Beginning of the body; a view receives it all the same."""
        found = b""
        while len(found) < length and not self.has_ended:
            message = await self._next()
            self._kept.append(message)
            found += message.get("body", b"")
        return found

    async def whole(self) -> bytes:
        """All of the body; a view receives it all the same."""
        found = bytearray()
        while not self.has_ended:
            message = await self._next()
            found += message.get("body", b"")
        self._kept.append({"type": "http.request", "body": bytes(found), "more_body": False})
        return bytes(found)

    async def _next(self) -> Message:
        if self.has_ended:
            return await self._receive()  # now it only tells that the browser has gone
        if self._count > self._most:
            raise self._too_large()
        left = self._until - asyncio.get_running_loop().time()
        try:
            message = await asyncio.wait_for(self._receive(), max(0.01, min(_PAUSE, left)))
        except TimeoutError:
            raise HTTPException(408, "This came too slowly, so nothing was done.") from None
        self._count += len(message.get("body", b""))
        self.has_ended = not message.get("more_body", False)
        if self._count > self._most:
            raise self._too_large()
        return message

    def _too_large(self) -> HTTPException:
        most = self._most // 1024
        size = f"{most // 1024} MB" if most >= 1024 else f"{most} kB"
        return HTTPException(413, f"This is too large: {size} is the most that is taken here.")


def own_names() -> frozenset[str]:
    """Names by which other devices may call this machine."""
    name = socket.gethostname().lower()
    short = name.split(".")[0]
    return frozenset({name, short, f"{short}.local"})


def own_addresses() -> tuple[str, ...]:
    """Addresses of this machine in its networks, the one that leads outside first."""
    found: list[str] = []
    # a datagram socket that is only pointed somewhere sends nothing, but knows its own end
    for family, far in ((socket.AF_INET, "192.0.2.1"), (socket.AF_INET6, "2001:db8::1")):
        try:
            with socket.socket(family, socket.SOCK_DGRAM) as probe:
                probe.connect((far, 9))
                found.append(str(probe.getsockname()[0]))
        except OSError:
            continue
    try:
        infos = socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET)
    except OSError:
        infos = []
    found += [str(info[4][0]) for info in infos]
    outside = (a for a in found if not ipaddress.ip_address(a.split("%")[0]).is_loopback)
    return tuple(dict.fromkeys(a for a in outside if ":" not in a))


def cookie_name(scope: Scope) -> str:
    """Name of the session's cookie; cookies of all ports are one jar, so the port is in it."""
    server = scope.get("server") or ("", 0)
    return f"foldwright-{server[1]}"


def _sets_cookie(scope: Scope) -> bool:
    return not str(scope["path"]).startswith("/static/")


def _host_of(request: Request) -> str:
    """Host that a request names, without its port; empty if it names none, or several."""
    hosts = request.headers.getlist("host")
    found = (
        re.fullmatch(r"(\[[0-9a-f:.]+\]|[a-z0-9.-]+)(:\d{1,5})?", hosts[0].lower())
        if (len(hosts) == 1)
        else None
    )
    return found[1].rstrip(".") if found else ""


def _same_address(host: str, own: str) -> bool:
    try:
        return ipaddress.ip_address(host.strip("[]")) == ipaddress.ip_address(own)
    except ValueError:
        return False


def _is_local(request: Request) -> bool:
    """Whether the other end of the line is this machine itself."""
    try:
        return request.client is not None and ipaddress.ip_address(request.client.host).is_loopback
    except ValueError:
        return False


def _from_our_page(request: Request) -> bool:
    """Whether what the browser says of where this came from speaks for a page of ours."""
    if request.headers.get("sec-fetch-site", "same-origin") not in ("same-origin", "none"):
        return False
    origins = request.headers.getlist("origin")
    if not origins:
        return True
    return len(origins) == 1 and _same_origin(origins[0], request)


def _same_origin(origin: str, request: Request) -> bool:
    try:
        parts = urlsplit(origin)
    except ValueError:
        return False
    host = request.headers.get("host", "").lower()
    return (parts.scheme, parts.netloc.lower()) == (request.url.scheme, host)


def _form(body: bytes) -> FormData:
    """Fields of a form that was sent without files."""
    try:
        pairs = parse_qsl(
            body.decode("ascii"),
            keep_blank_values=True,
            errors="strict",
            max_num_fields=_MOST_FIELDS,
        )
    except ValueError:  # of UnicodeDecodeError too
        raise HTTPException(400, "What was sent cannot be read as a form.") from None
    return FormData([*pairs])


def _headed(send: Send, cookie: str | None, *, is_local: bool) -> Send:
    """Send with the headers that every answer of ours has."""

    async def headed(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            is_drawing = headers.get("content-type", "").startswith("image/svg")
            headers["Content-Security-Policy"] = _DRAWING_ONLY if is_drawing else _OURS_ONLY
            for name, value in _HEADERS.items():
                headers[name] = value
            if is_local:  # over plain http browsers heed it from this machine alone, and complain
                headers["Cross-Origin-Opener-Policy"] = "same-origin"
            headers.setdefault("Cache-Control", "private, no-cache")
            if cookie is not None:
                headers.append("Set-Cookie", cookie)
        await send(message)

    return headed


async def _answer(response: Response, scope: Scope, receive: Receive | None, send: Send) -> None:
    """Answer at once, then throw away what the browser is still sending, so that it looks."""
    headers = MutableHeaders(raw=list(response.raw_headers))
    headers["Connection"] = "close"
    start = {"type": "http.response.start", "status": response.status_code, "headers": headers.raw}
    await send(start)
    body = b"" if scope["method"] == "HEAD" else bytes(response.body)
    await send({"type": "http.response.body", "body": body, "more_body": True})
    if receive is not None and scope["method"] not in _SAFE:
        await _drain(receive)
    await send({"type": "http.response.body", "body": b"", "more_body": False})


async def _drain(receive: Receive) -> None:
    count = 0
    try:
        async with asyncio.timeout(_DRAIN_SECONDS):
            while count < _DRAINED:
                message = await receive()
                count += len(message.get("body", b""))
                if not message.get("more_body", False):
                    return
    except TimeoutError:
        return
