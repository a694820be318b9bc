"""Serving: the page is answered on the maker's own machine until it is told to end."""

from __future__ import annotations

import asyncio
import errno
import gc
import socket
import threading
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

import uvicorn
from starlette.applications import Starlette
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from foldwright.errors import FoldwrightError
from foldwright.web.app import page_of
from foldwright.web.eye import first_eye
from foldwright.web.guard import own_addresses
from foldwright.web.live import LiveBuild
from foldwright.web.picture_view import drawn
from foldwright.web.stands import stands_now

# Browsers that still wait when the server ends are let go after so long [s].
_LAST_ANSWERS = 2
_WAITING = 128


def listen(port: int, *, is_open: bool) -> socket.socket:
    """Take a port, so that whoever asks from now on is answered.

    Parameters
    ----------
    port : int
        0 for any that is free.
    is_open : bool
        Listen to the networks of this machine too, and not to this machine alone.

    Raises
    ------
    FoldwrightError
        The port is taken, or is not ours to take.
    """
    # named TCP, asyncio sends the body of an answer at once; else it waits 40 ms behind the head
    line = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    line.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        line.bind(("0.0.0.0" if is_open else "127.0.0.1", port))
        line.listen(_WAITING)
    except OSError as fault:
        line.close()
        if fault.errno == errno.EADDRINUSE:
            why = "is in use by another program, or by a build that is served already"
        elif fault.errno == errno.EACCES:
            why = "is kept for the system"
        else:
            why = f"cannot be taken ({fault.strerror or fault})"
        raise FoldwrightError(
            f"Port {port} {why}. Choose another with --port, or --port 0 for any that is free."
        ) from fault
    return line


def serve(folder: Path, line: socket.socket, *, is_open: bool, ready: Callable[[], None]) -> None:
    """Answer on a line until Ctrl-C, or until the process is told to end.

    Parameters
    ----------
    folder : Path
        The build folder.
    line : socket
        From `listen`.
    is_open : bool
        As given to `listen`.
    ready : callable
        Called once the page is answered.
    """
    live = LiveBuild(folder)
    app = page_of(live, is_open=is_open)
    app.state.port = line.getsockname()[1]
    config = uvicorn.Config(
        _letting_go(app),
        access_log=False,  # nothing that a browser sends is written down
        log_level="critical",  # what goes wrong is told on the page, and our mistakes in a file
        proxy_headers=False,  # nobody stands between: what a header says of who asks is hearsay
        server_header=False,
        timeout_graceful_shutdown=_LAST_ANSWERS,
        timeout_keep_alive=30,
        ws="none",
        lifespan="on",
    )
    # what was loaded stays: whoever looks for garbage need not go through it each time
    gc.freeze()
    with suppress(KeyboardInterrupt):  # it has ended in good order by then
        live.refresh()  # nothing is served before it is read, faults and all
        # while the server gets up: whoever is first finds most of it done
        threading.Thread(target=_prepare, args=(live,), name="first view", daemon=True).start()
        _Server(config, app, ready).run(sockets=[line])


def _prepare(live: LiveBuild) -> None:
    """Draw the first picture of the build, then work out how it stands.

    What fails here fails again for whoever looks, and is told there, our own mistakes too.
    """
    state = live.refresh()
    if state.made is not None:
        with suppress(Exception):
            drawn(state, state.made, first_eye(state.made))
        stands_now(state)


def addresses(port: int, *, is_open: bool) -> tuple[str, ...]:
    """Addresses to type into a browser, the one for this machine first."""
    others = own_addresses() if is_open else ()
    return tuple(f"http://{address}:{port}/" for address in ("127.0.0.1", *others))


def _letting_go(app: ASGIApp) -> ASGIApp:
    """Have whoever still waits when the server ends told so, and nothing said on the terminal."""

    async def answered(scope: Scope, receive: Receive, send: Send) -> None:
        is_begun = False

        async def sent(message: Message) -> None:
            nonlocal is_begun
            is_begun = True
            await send(message)

        try:
            await app(scope, receive, sent)
        except asyncio.CancelledError:
            if scope["type"] != "http":
                raise
            if not is_begun:
                words = "The server has ended. Begin it again, then look once more."
                await PlainTextResponse(words, 503)(scope, receive, send)

    return answered


class _Server(uvicorn.Server):
    """A server that lets go of browsers that listen for changes, when it is to end."""

    def __init__(self, config: uvicorn.Config, app: Starlette, ready: Callable[[], None]) -> None:
        super().__init__(config)
        self._page = app
        self._ready = ready

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        """Begin to answer."""
        await super().startup(sockets)
        if self.started:
            self._ready()

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        """End, once a signal has said so."""
        # not in the signal's own handler: that would wait for a lock which it interrupted
        self._page.state.bell.close()
        await super().shutdown(sockets)
