"""Jobs: long work in a process of its own, told while it goes on, stopped when asked.

A job is a function of a module, so that another process can find it::

    def lay_out(folder: Path, seconds: float, *, say: Say) -> Layouts:
        say(0, 3, "Looking at the sheets")
        ...

It works out the build from the folder by itself and returns something that can be
pickled. Its result is kept until another job of its kind begins.
"""

from __future__ import annotations

import multiprocessing
import os
import signal
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from pathlib import Path
from typing import Any, Protocol

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response
from starlette.routing import Route

from foldwright.errors import FoldwrightError, own_mistake
from foldwright.web.live import LiveBuild
from foldwright.web.pages import form_of

# What a job needs of ours, imported once in the process that all jobs are forked from.
_PRELOAD = ["foldwright.build_book", "foldwright.make", "foldwright.outputs", "foldwright.scans"]
# Two at a time: a maker's laptop has to answer as well.
_AT_ONCE = 2
# Pages go first.
_NICE = 5
# Told at most so often [s].
_TOLD_EVERY = 0.1
# A process that was asked to end is killed after so long [s].
_KILLED_AFTER = 2.0
# Who stopped a job is answered once it has ended, or after so long [s].
_PATIENCE = 5.0
_KEPT = 50


class Say(Protocol):
    """How a job says how far it is."""

    def __call__(self, done: float, of: float, words: str) -> None:
        """Say that `done` of `of` is done, and what comes now; `of` 0 if nobody knows."""


@dataclass(frozen=True)
class Job:
    """A piece of long work, as it stands.

    Attributes
    ----------
    id : str
    kind : str
        What it works out: one word.
    version : int
        Version of the build that it was begun for.
    state : str
        ``waiting``, ``running``, ``done``, ``refused`` or ``stopped``.
    done, of : float
        How far it is; `of` is 0 where nobody knows.
    words : str
        What it is at, or why it was refused.
    result : Any
        What the function returned, once it is done.
    seconds : float
        How long it took, or has taken so far.
    """

    id: str
    kind: str
    version: int
    state: str = "waiting"
    done: float = 0.0
    of: float = 0.0
    words: str = "Waiting for its turn"
    result: Any = None
    seconds: float = 0.0

    @property
    def is_going(self) -> bool:
        """Whether more is to come."""
        return self.state in ("waiting", "running")

    def told(self) -> dict[str, Any]:
        """What a browser is told of it."""
        return {
            "id": self.id,
            "kind": self.kind,
            "state": self.state,
            "done": self.done,
            "of": self.of,
            "words": self.words,
        }


class _Work:
    """A job with the process that does it."""

    def __init__(
        self,
        job: Job,
        function: Callable[..., Any],
        args: tuple[Any, ...],
        clear: Callable[[], None],
    ) -> None:
        self.job = job
        self.function = function
        self.args = args
        self.clear = clear
        self.process: BaseProcess | None = None
        self.is_stopped = False
        self.ended = threading.Event()


class Jobs:
    """All jobs of one build.

    Parameters
    ----------
    live : LiveBuild
    tell : callable
        Called with each job that has moved on, from any thread.
    """

    def __init__(self, live: LiveBuild, tell: Callable[[Job], None] = lambda job: None) -> None:
        self._live = live
        self._tell = tell
        self._context = multiprocessing.get_context("forkserver")
        self._context.set_forkserver_preload(_PRELOAD)
        self._lock = threading.RLock()
        self._turn = threading.Condition(self._lock)
        self._at_work = 0
        self._works: dict[str, _Work] = {}
        self._is_open = True
        self._count = 0

    def start(
        self,
        kind: str,
        function: Callable[..., Any],
        *args: Any,
        clear: Callable[[], None] = lambda: None,
    ) -> Job:
        """Begin a job, unless one of that kind, version and arguments is there already.

        One of that kind that is going on for other arguments or an older build is stopped.

        Parameters
        ----------
        kind : str
        function : callable
            ``function(folder, *args, say=say)``, found in a module by its name.
        *args
            Whatever can be pickled.
        clear : callable
            Called when the job has ended, however it did, and before its end by a stop is
            told; not if such a job was there already.
        """
        version = self._live.refresh().version
        with self._lock:
            if not self._is_open:
                raise FoldwrightError("The server is ending; nothing new is begun.")
            before = self._latest(kind)
            if before is not None:
                same = (before.job.version, before.function, before.args)
                if same == (version, function, args) and (
                    before.job.is_going or before.job.state == "done"
                ):
                    return before.job
                self._end(before)
            self._count += 1
            work = _Work(Job(f"{kind}-{self._count}", kind, version), function, args, clear)
            self._works[work.job.id] = work
            self._forget()
        threading.Thread(target=self._run, args=(work,), name=work.job.id, daemon=True).start()
        return work.job

    def of(self, kind: str) -> Job | None:
        """Job of a kind that was begun last; None if there was none."""
        with self._lock:
            work = self._latest(kind)
            return work.job if work else None

    def get(self, id: str) -> Job | None:
        """One job."""
        with self._lock:
            work = self._works.get(id)
            return work.job if work else None

    def wait(self, id: str, seconds: float) -> Job:
        """Wait until a job has ended, for a time at most; for tests and small jobs."""
        work = self._works[id]
        work.ended.wait(seconds)
        return work.job

    def stop(self, id: str) -> bool:
        """Stop a job at once; False if there is none that goes on.

        Its process ends, and what it leaves is cleared, a moment later: `wait` waits for that.
        """
        with self._lock:
            work = self._works.get(id)
            if work is None or not work.job.is_going:
                return False
            self._end(work)
            return True

    def close(self) -> None:
        """Stop all jobs; nothing is begun after that."""
        with self._lock:
            self._is_open = False
            works = list(self._works.values())
            for work in works:
                self._end(work)
        for work in works:
            work.ended.wait(_KILLED_AFTER)

    def _latest(self, kind: str) -> _Work | None:
        found = [work for work in self._works.values() if work.job.kind == kind]
        return found[-1] if found else None

    def _forget(self) -> None:
        """Drop results of earlier jobs of a kind, and the oldest jobs."""
        latest = {work.job.kind: id for id, work in self._works.items()}
        for id, work in list(self._works.items()):
            if work.job.is_going:
                continue
            if id != latest[work.job.kind]:
                work.job = replace(work.job, result=None)
            if len(self._works) > _KEPT:
                del self._works[id]

    def _end(self, work: _Work) -> None:
        if not work.job.is_going:
            return
        work.is_stopped = True
        if work.process is not None:
            work.process.terminate()
        # told by the thread that waits for its end: what it leaves is cleared by then
        self._move(work, quiet=True, state="stopped", words="Stopped.")
        self._turn.notify_all()

    def _run(self, work: _Work) -> None:
        """Do one job, in a thread that waits for its process; its end is told last."""
        end: dict[str, Any] = {}
        try:
            with self._a_turn(work) as has_turn:
                if has_turn:
                    end = self._watch(work)
        except Exception as fault:
            end = {"state": "refused", "words": own_mistake(fault)}
        finally:
            work.clear()
        with self._lock:  # no stop comes between
            if not work.is_stopped:
                self._move(work, **end)
        if work.is_stopped:
            self._tell(work.job)
        work.ended.set()

    @contextmanager
    def _a_turn(self, work: _Work) -> Iterator[bool]:
        """Wait for one of the places at work; False if it was stopped before it had one."""
        with self._turn:
            self._turn.wait_for(lambda: self._at_work < _AT_ONCE or work.is_stopped)
            has_turn = not work.is_stopped
            self._at_work += has_turn
        try:
            yield has_turn
        finally:
            with self._turn:
                self._at_work -= has_turn
                self._turn.notify_all()

    def _watch(self, work: _Work) -> dict[str, Any]:
        """Have a process do a job, and return how it ended, once that process is no more."""
        ours, theirs = self._context.Pipe(duplex=False)
        with ours:
            with theirs:  # the process has its own
                process = self._context.Process(
                    target=_work,
                    args=(theirs, work.function, self._live.folder, work.args),
                    daemon=True,
                )
                try:
                    process.start()  # not under the lock: it takes a while, and pages ask for jobs
                except (EOFError, OSError) as fault:  # no memory, or too many processes
                    why = fault or "too little memory"
                    return {
                        "state": "refused",
                        "words": f"It could not be begun: {why}. Try it again.",
                    }
            with self._lock:
                work.process = process
                if work.is_stopped:  # while it was begun
                    process.terminate()
            self._move(work, state="running", words="Beginning")
            begun = time.monotonic()
            try:
                end = self._hear(work, ours, begun)
            finally:
                ours.close()  # who still has something to say does not wait for us
                process.join(_KILLED_AFTER)
                if process.is_alive():
                    process.kill()
                    process.join()
            return end | {"seconds": time.monotonic() - begun}

    def _hear(self, work: _Work, line: Connection, begun: float) -> dict[str, Any]:
        """Take what a process says of its job, until it says how it ended."""
        told = 0.0
        try:
            while True:
                what, *said = line.recv()
                if what == "done":
                    return {"state": "done", "words": "Done.", "result": said[0]}
                if what == "refused":
                    return {"state": "refused", "words": said[0]}
                now = time.monotonic()
                done, of, words = said
                quiet = now - told < _TOLD_EVERY
                told = told if quiet else now
                self._move(work, quiet, done=done, of=of, words=words, seconds=now - begun)
        except (EOFError, OSError):  # it was stopped, or the system ended it
            words = "It ended by itself, most likely for want of memory. Try it again."
            return {"state": "refused", "words": words}

    def _move(self, work: _Work, quiet: bool = False, **what: Any) -> None:
        with self._lock:
            if not work.job.is_going:  # what was stopped stays stopped
                return
            work.job = replace(work.job, **what)
            job = work.job
        if not quiet:
            self._tell(job)


def _work(
    line: Connection, function: Callable[..., Any], folder: Path, args: tuple[Any, ...]
) -> None:
    """Do a job, in its own process."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C ends the server, which ends us
    signal.signal(signal.SIGTERM, signal.SIG_DFL)
    os.nice(_NICE)
    threading.Thread(target=_end_with_parent, daemon=True).start()

    def say(done: float, of: float, words: str) -> None:
        line.send(("said", float(done), float(of), words))

    try:
        result = function(folder, *args, say=say)
        line.send(("done", result))
    except FoldwrightError as fault:
        line.send(("refused", str(fault)))
    except Exception as fault:
        line.send(("refused", own_mistake(fault)))


def _end_with_parent() -> None:
    """End this process when the server is no more, however it ended."""
    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)


def jobs_of(request: Request) -> Jobs:
    """All jobs of the build that a request is about."""
    jobs: Jobs = request.app.state.jobs
    return jobs


def _job(request: Request) -> Response:
    """Tell how far a job is."""
    job = jobs_of(request).get(request.path_params["id"])
    if job is None:
        raise HTTPException(404, "There is no such job; it may be long over.")
    return JSONResponse(job.told())


def _stop(request: Request) -> Response:
    """Stop a job, and go back to the page where it was shown."""
    jobs = jobs_of(request)
    if jobs.get(request.path_params["id"]) is None:
        raise HTTPException(404, "There is no such job; it may be long over.")
    if jobs.stop(request.path_params["id"]):
        jobs.wait(request.path_params["id"], _PATIENCE)
    return RedirectResponse(local_path(str(form_of(request).get("back", "/"))), status_code=303)


def local_path(path: str) -> str:
    """Return a path of this page itself; "/" for whatever would lead elsewhere."""
    is_local = path.startswith("/") and not path.startswith(("//", "/\\")) and path.isprintable()
    return path if is_local and "\\" not in path else "/"


ROUTES = [
    Route("/jobs/{id}", _job),
    Route("/jobs/{id}/stop", _stop, methods=["POST"]),
]
