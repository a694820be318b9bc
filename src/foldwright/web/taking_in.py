"""Taking in: a scan, photo or page becomes a drawing beside the page, and can be stopped.

The file is laid aside as it comes, read in a job, and is a drawing once all of it is
there: what is stopped leaves nothing.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path
from typing import BinaryIO

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import UploadFile
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from foldwright.errors import NoPicture
from foldwright.scans import MOST_BYTES, Drawings, too_large
from foldwright.web.drawings import drawing_of, drawings_of
from foldwright.web.jobs import Say, jobs_of
from foldwright.web.pages import form_of, page, upload_of

_KIND = "taking-in"
_CAME = "came"
_STEPS = 2
_PIECE = 1 << 20


async def put(request: Request) -> Response:
    """Lay aside a drawing that was dropped in, and begin to read it."""
    async with upload_of(request) as form:
        file, number = form.get("drawing"), _page_number(str(form.get("page") or "1"))
        if not isinstance(file, UploadFile):
            raise NoPicture("No file was sent. Choose a scan, a photo or a PDF file.")
        aside = await run_in_threadpool(_laid_aside, drawings_of(request), file.file)
        name = file.filename or ""
    return await run_in_threadpool(
        lambda: _begun(request, aside, take_in, str(aside), name, number)
    )


def other_page(request: Request) -> Response:
    """Take another page of a file that is here already."""
    drawing = drawing_of(request)
    number = _page_number(str(form_of(request).get("page", "")))
    drawings_of(request).source(drawing)  # refused here if it is gone
    aside = drawings_of(request).aside()
    return _begun(request, aside, take_page, str(aside), drawing.id, number)


def coming(request: Request) -> Response:
    """Show how far a drawing is, and lead to it once it is there."""
    job = jobs_of(request).get(request.path_params["job"])
    if job is None or not job.kind.startswith(_KIND):
        raise HTTPException(404, "There is no such drawing on its way. Look for it in the list.")
    if job.state == "done":
        return RedirectResponse(f"/drawings/{job.result}", status_code=303)
    return page(request, "coming.html", job=job)


def take_in(folder: Path, aside: str, name: str, number: int, *, say: Say) -> str:
    """Make a drawing of the file that was laid aside, and return its id; a job."""
    return _taken(folder, Path(aside), (Path(aside) / _CAME).read_bytes, name, number, say)


def take_page(folder: Path, aside: str, id: str, number: int, *, say: Say) -> str:
    """Make a drawing of another page of one, and return its id; a job."""
    keeper = Drawings(folder)
    drawing = keeper.get(id)
    return _taken(folder, Path(aside), lambda: keeper.source(drawing), drawing.name, number, say)


def _taken(
    folder: Path, aside: Path, content: Callable[[], bytes], name: str, number: int, say: Say
) -> str:
    step = iter(range(_STEPS))
    return (
        Drawings(folder)
        .put(
            content(),
            name,
            number,
            aside=aside,
            told=lambda words: say(next(step), _STEPS, words),
        )
        .id
    )


def _begun(request: Request, aside: Path, take: Callable[..., str], *args: str | int) -> Response:
    def clear() -> None:
        shutil.rmtree(aside, ignore_errors=True)

    try:
        # each by itself: one that comes does not end another
        job = jobs_of(request).start(f"{_KIND}-{aside.name}", take, *args, clear=clear)
    except BaseException:
        clear()
        raise
    return RedirectResponse(f"/drawings/coming/{job.id}", status_code=303)


def _laid_aside(keeper: Drawings, file: BinaryIO) -> Path:
    aside = keeper.aside()
    count = 0
    try:
        with open(aside / _CAME, "wb") as kept:
            while piece := file.read(_PIECE):
                count += len(piece)
                if count > MOST_BYTES:
                    raise too_large(count)
                kept.write(piece)
    except BaseException:
        shutil.rmtree(aside, ignore_errors=True)
        raise
    return aside


def _page_number(typed: str) -> int:
    if not (typed.strip().isascii() and typed.strip().isdigit() and len(typed.strip()) <= 4):
        raise NoPicture(f'"{typed[:20]}" is no number of a page. Type one like 1.')
    return int(typed)


ROUTES = [
    Route("/drawings", put, methods=["POST"]),
    Route("/drawings/coming/{job}", coming, methods=["GET"]),
    Route("/drawings/{id}/page", other_page, methods=["POST"]),
]
