"""Events: every browser is told when the build has changed, and how far long jobs are.

One thread looks at the files for all of them. A browser is sent ``version`` when it
begins to listen and at each change, ``drawings`` likewise for what is picked on drawings
(nothing else follows from that until it is written into the plan), ``job`` whenever a job
moves on, and ``devices`` when another device was let in or put out.
"""

from __future__ import annotations

import asyncio
import json
import threading
from collections.abc import AsyncIterator

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response, StreamingResponse
from starlette.routing import Route

from foldwright.scans import Drawings
from foldwright.web.jobs import Job
from foldwright.web.live import LiveBuild
from foldwright.web.pages import live_of

# How often the files are looked at [s].
_LOOK_EVERY = 0.25
# A line that says nothing is sent so often, so that a dead line is noticed [s].
_ALIVE_EVERY = 10.0
# A browser that has not taken so many events is let go; it comes back and is told all.
_MOST_WAITING = 100
# A browser whose line was cut tries again after so long [ms].
_RETRY = 1000


class _Listener:
    """One browser that listens, in its own loop."""

    def __init__(self) -> None:
        self.loop = asyncio.get_running_loop()
        self.waiting: asyncio.Queue[str | None] = asyncio.Queue(_MOST_WAITING)

    def send(self, event: str | None) -> None:
        """Hand an event over; from any thread."""
        try:
            self.loop.call_soon_threadsafe(self._put, event)
        except RuntimeError:  # its loop is closed: nobody listens any more
            return

    def _put(self, event: str | None) -> None:
        if self.waiting.full():
            while not self.waiting.empty():
                self.waiting.get_nowait()
            event = None
        self.waiting.put_nowait(event)


class Bell:
    """Who listens, and how they are told; from any thread."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._listeners: set[_Listener] = set()
        self._is_open = True

    def version(self, version: int) -> None:
        """Tell everyone that the build has changed."""
        self._ring(_event("version", str(version)))

    def job(self, job: Job) -> None:
        """Tell everyone how far a job is."""
        self._ring(_event("job", json.dumps(job.told())))

    def drawings(self, stamp: str) -> None:
        """Tell everyone that a drawing has come or gone, or what is picked on one has changed."""
        self._ring(_event("drawings", stamp))

    def devices(self) -> None:
        """Tell everyone that another device was let in or put out."""
        self._ring(_event("devices", ""))

    def close(self) -> None:
        """Let everyone go; nobody listens after that."""
        with self._lock:
            self._is_open = False
        self._ring(None)

    @property
    def listening(self) -> int:
        """How many listen."""
        with self._lock:
            return len(self._listeners)

    async def listen(self, live: LiveBuild) -> AsyncIterator[str]:
        """Yield events as they are sent over the line."""
        me = _Listener()
        with self._lock:
            if not self._is_open:
                return
            self._listeners.add(me)
        try:
            state = await run_in_threadpool(live.refresh)  # the first may take a second
            yield f"retry: {_RETRY}\n\n{_event('version', str(state.version))}"
            yield _event("drawings", await run_in_threadpool(Drawings(live.folder).stamp))
            while True:
                try:
                    event = await asyncio.wait_for(me.waiting.get(), _ALIVE_EVERY)
                except TimeoutError:
                    yield ": still here\n\n"
                    continue
                if event is None:
                    return
                yield event
        finally:
            with self._lock:
                self._listeners.discard(me)

    def _ring(self, event: str | None) -> None:
        with self._lock:
            listeners = tuple(self._listeners)
        for one in listeners:
            one.send(event)


class Watch:
    """Looks at the files of a build, for all browsers, in a thread of its own."""

    def __init__(self, live: LiveBuild, bell: Bell) -> None:
        self._live = live
        self._bell = bell
        self._ending = threading.Event()
        self._thread = threading.Thread(target=self._look, name="watch", daemon=True)

    def start(self) -> None:
        """Begin to look."""
        self._live.when_changed(self._bell.version)
        self._thread.start()

    def stop(self) -> None:
        """Look no more."""
        self._ending.set()
        self._thread.join(2.0)

    def _look(self) -> None:
        drawings = Drawings(self._live.folder)
        before = drawings.stamp()
        while not self._ending.wait(_LOOK_EVERY):
            self._live.refresh()
            now = drawings.stamp()
            if now != before:
                before = now
                self._bell.drawings(now)


async def _live(request: Request) -> Response:
    """Tell a browser what changes, until it goes."""
    bell: Bell = request.app.state.bell
    stream = bell.listen(live_of(request))
    return StreamingResponse(
        stream,
        media_type="text/event-stream",
        # its own line: a browser may send its next request down one that it has left
        headers={"Cache-Control": "no-store", "Connection": "close"},
    )


def _event(name: str, data: str) -> str:
    return f"event: {name}\ndata: {data}\n\n"


ROUTES = [Route("/live", _live)]
