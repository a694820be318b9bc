"""Drawings: the list of those that sizes are taken from, and where new ones are dropped in."""

from __future__ import annotations

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import UploadFile
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from foldwright.errors import NoPicture, UnknownName
from foldwright.scans import MOST_BYTES, Drawing, Drawings, stand
from foldwright.scans.words import said_standing
from foldwright.web.pages import form_of, live_of, page

_PIECE = 1 << 20


def drawings_of(request: Request) -> Drawings:
    """Drawings of the build that a request is about; one keeper, so that changes queue up."""
    state = request.app.state
    if not hasattr(state, "drawings"):
        state.drawings = Drawings(live_of(request).folder)
    found: Drawings = state.drawings
    return found


def drawing_of(request: Request) -> Drawing:
    """Drawing that an address names.

    Raises
    ------
    HTTPException
        404: there is none.
    """
    try:
        return drawings_of(request).get(request.path_params["id"])
    except UnknownName as fault:
        raise HTTPException(404, "There is no such drawing in this build.") from fault


def units_of(request: Request) -> str:
    """How lengths are shown in this build."""
    made = live_of(request).refresh().made
    return made.plan.units if made else "mm"


def drawings(request: Request) -> Response:
    """All drawings of the build."""
    units = units_of(request)
    rows = []
    for each in drawings_of(request).all():
        said = said_standing(each, stand(each), units)[0] if isinstance(each, Drawing) else each.why
        rows.append({"drawing": each, "said": said, "is_whole": isinstance(each, Drawing)})
    return page(request, "drawings.html", rows=rows, most=MOST_BYTES // 1_000_000)


async def put(request: Request) -> Response:
    """Take in a drawing that was dropped in."""
    async with request.form(max_files=1, max_fields=8) as form:
        file, number = form.get("drawing"), str(form.get("page") or "1")
        if not isinstance(file, UploadFile):
            raise NoPicture("No file was sent. Choose a scan, a photo or a PDF file.")
        content = await _content(file)
        name = file.filename or ""
    drawing = await run_in_threadpool(
        lambda: drawings_of(request).put(content, name, _page_number(number))
    )
    return RedirectResponse(f"/drawings/{drawing.id}", status_code=303)


def other_page(request: Request) -> Response:
    """Take another page of a file that is here already."""
    drawing = drawing_of(request)
    keeper = drawings_of(request)
    number = _page_number(str(form_of(request).get("page", "")))
    other = keeper.put(keeper.source(drawing), drawing.name, number)
    return RedirectResponse(f"/drawings/{other.id}", status_code=303)


def put_away(request: Request) -> Response:
    """Take a drawing away with all its picks, once that is wanted surely."""
    drawing = drawing_of(request)
    if form_of(request).get("sure") != "yes":
        raise NoPicture(
            f"{drawing.name} is still here with its {len(drawing.picks)} picks. Tick that you "
            "want to lose them, then send it again."
        )
    drawings_of(request).put_away(drawing.id)
    return RedirectResponse("/drawings", status_code=303)


async def _content(file: UploadFile) -> bytes:
    """Content of a file, no more of it than is taken."""
    found = bytearray()
    while piece := await file.read(_PIECE):
        found += piece
        if len(found) > MOST_BYTES:
            raise NoPicture(
                f"The file has more than {MOST_BYTES // 1_000_000} MB. Scan at 300 dots to the "
                "inch, or save the picture as JPEG."
            )
    return bytes(found)


def _page_number(typed: str) -> int:
    if not (typed.strip().isascii() and typed.strip().isdigit() and len(typed.strip()) <= 4):
        raise NoPicture(f'"{typed[:20]}" is no number of a page. Type one like 1.')
    return int(typed)


ROUTES = [
    Route("/drawings", drawings, methods=["GET"]),
    Route("/drawings", put, methods=["POST"]),
    Route("/drawings/{id}/page", other_page, methods=["POST"]),
    Route("/drawings/{id}/away", put_away, methods=["POST"]),
]
