"""Importing: a ledger or a table of readings is looked at, then taken in.

What was sent is kept in memory between the two, so that what is taken in is what was
looked at. It is checked again when it is taken in: all of it, or nothing.
"""

from __future__ import annotations

import hashlib
import secrets
import threading
from collections import OrderedDict
from pathlib import Path

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import UploadFile
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from foldwright.errors import OutOfDomain
from foldwright.ledger import Imported, Ledger, described, import_file
from foldwright.web.once import key_of, once
from foldwright.web.pages import form_of, live_of, page, upload_of

_KEPT = 4  # files that wait to be taken in
_SHOWN = 12
_LONGEST_NAME = 80


class Sent:
    """Files that were looked at and wait to be taken in; the oldest goes first."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._files: OrderedDict[str, tuple[str, bytes]] = OrderedDict()

    def keep(self, name: str, content: bytes) -> str:
        """Keep a file; return what it is known by."""
        id = hashlib.sha256(name.encode() + b"\0" + content).hexdigest()[:20]
        with self._lock:
            self._files[id] = (name, content)
            self._files.move_to_end(id)
            while len(self._files) > _KEPT:
                self._files.popitem(last=False)
        return id

    def get(self, id: str) -> tuple[str, bytes]:
        """Name and content of a file.

        Raises
        ------
        OutOfDomain
            It is not kept any more.
        """
        with self._lock:
            if id not in self._files:
                raise OutOfDomain(
                    "This file is not here any more. Nothing was taken in; choose it once more.",
                    name="file",
                )
            return self._files[id]


async def send(request: Request) -> Response:
    """Keep a file that can be taken in, and lead to what it would add; nothing is taken in."""
    async with upload_of(request) as form:
        file = form.get("file")
        if not isinstance(file, UploadFile) or not file.filename:
            raise OutOfDomain(
                "No file was sent. Choose a history.jsonl or a readings.csv.", name="file"
            )
        name, content = _plain(file.filename), await file.read()
    await run_in_threadpool(lambda: _look(request, name, content))  # refused here, if it is
    return RedirectResponse(f"/book/import/{_sent(request).keep(name, content)}", status_code=303)


def show(request: Request) -> Response:
    """Say what a file would add to the ledger as it stands now."""
    id = request.path_params["file"]
    name, content = _sent(request).get(id)
    found = _look(request, name, content)
    return page(
        request,
        "importing.html",
        name=name,
        file=id,
        found=found,
        key=secrets.token_hex(16),
        first=[described(entry) for entry in found.added[:_SHOWN]],
        more=max(0, len(found.added) - _SHOWN),
    )


def _look(request: Request, name: str, content: bytes) -> Imported:
    return live_of(request).act(
        lambda made, ledger: import_file(ledger, Path(name), content, only_look=True)
    )


def to_book(request: Request) -> Response:
    """Lead back, where a browser loads again what answered a form."""
    return RedirectResponse("/book", status_code=303)


def take_in(request: Request) -> Response:
    """Take in the file that was looked at, and say what came of it."""
    found: list[Imported] = []

    def write(ledger: Ledger) -> None:
        name, content = _sent(request).get(str(form_of(request).get("file", "")))
        found.append(import_file(ledger, Path(name), content))

    def taken() -> Response:
        key = key_of(request)
        lines = live_of(request).act(lambda made, ledger: ledger.once(key, lambda: write(ledger)))
        more = (found[-1].already, found[-1].passed_over) if found else (0, 0)
        told = ".".join(map(str, (len(lines), *more)))
        return RedirectResponse(f"/book?taken={told}#taking-in", status_code=303)

    return once(request, taken)


def _sent(request: Request) -> Sent:
    found: Sent = request.app.state.sent
    return found


def _plain(name: str) -> str:
    """Last part of the name of a file, as far as it can be shown."""
    last = name.replace("\\", "/").rsplit("/", 1)[-1]
    shown = "".join(c for c in last if c.isprintable())
    return shown[-_LONGEST_NAME:]


ROUTES = [
    Route("/book/import", send, methods=["POST"]),
    Route("/book/import", to_book, methods=["GET"]),
    Route("/book/import/{file}", show, methods=["GET"]),
    Route("/book/take-in", take_in, methods=["POST"]),
    Route("/book/take-in", to_book, methods=["GET"]),
]
