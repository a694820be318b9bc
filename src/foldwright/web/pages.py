"""Pages: a template filled in, with what every page says of the build."""

from __future__ import annotations

import logging
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from anyio import from_thread
from jinja2 import Environment, FileSystemLoader, StrictUndefined
from starlette.datastructures import FormData
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import HTMLResponse, JSONResponse, Response

from foldwright.errors import FoldwrightError, PlanFaults
from foldwright.fit import dim_in_words, part_in_words
from foldwright.make import Made
from foldwright.web.live import LiveBuild


@dataclass(frozen=True)
class Sheet:
    """One of the sheets that every page leads to."""

    name: str
    address: str


SHEETS = (
    Sheet("The build", "/"),
    Sheet("Route sheets", "/parts"),
    Sheet("What to change", "/changes"),
    Sheet("Sizes", "/sizes"),
    Sheet("Rack and layouts", "/rack"),
    Sheet("Reckoner", "/reckoner"),
    Sheet("Drawings", "/drawings"),
    Sheet("Build book", "/book"),
)

# It would tell the terminal what a form has wrong; whoever sent it is told.
# its level, since whoever configures logging later switches loggers on again
for _name in ("python_multipart", "python_multipart.multipart"):
    logging.getLogger(_name).setLevel(logging.CRITICAL + 1)

_NOT_TAKEN = "What was asked cannot be done as it was typed. The sheet itself says why."

_TEMPLATES = Environment(
    loader=FileSystemLoader(Path(__file__).parent / "templates"),
    autoescape=True,
    undefined=StrictUndefined,
    trim_blocks=True,
    lstrip_blocks=True,
)
_TEMPLATES.filters["plain"] = part_in_words
_TEMPLATES.filters["dim"] = dim_in_words


def live_of(request: Request) -> LiveBuild:
    """The build that a request is about."""
    live: LiveBuild = request.app.state.live
    return live


def made_of(request: Request) -> Made:
    """Build that a request is about, as it stands or as it last could be read.

    Raises
    ------
    FoldwrightError
        It could not be read yet, since the server began.
    """
    state = live_of(request).refresh()
    if state.made is not None:
        return state.made
    if state.faults:
        raise PlanFaults(state.faults)
    raise FoldwrightError(state.trouble)


def form_of(request: Request) -> FormData:
    """Fields of a form that was sent without files, in a plain (not async) view.

    A form with files is read by `upload_of` in an async view; its field ``token``
    comes first.
    """
    form: FormData = request.state.form
    return form


def is_awaited(request: Request) -> bool:
    """Whether whoever asked still waits for the answer, in a plain (not async) view."""
    return not from_thread.run(request.is_disconnected)


@asynccontextmanager
async def upload_of(request: Request) -> AsyncIterator[FormData]:
    """Fields of a form that was sent with one file, in an async view.

    Raises
    ------
    HTTPException
        400: it cannot be read as one.
    """
    try:
        form = await request.form(max_files=1, max_fields=8)
    except HTTPException as fault:  # in the words of the library
        words = "What was sent cannot be read as a form with a file."
        raise HTTPException(fault.status_code, words) from fault
    try:
        yield form
    finally:
        await form.close()


def wants_json(request: Request) -> bool:
    """Whether a script asked, which reads JSON, and not a person."""
    accept = request.headers.get("accept", "")
    return "application/json" in accept and "text/html" not in accept


def page(request: Request, template: str, status: int = 200, **what: Any) -> Response:
    """Fill in a template.

    Parameters
    ----------
    request : Request
    template : str
        Name of a file in ``templates``; it extends ``frame.html``.
    status : int
    **what
        What the template shows, beside ``state`` (a `State`), ``build`` (its name),
        ``sheets`` and ``here`` (the address of the sheet that is open).
    """
    if status >= 400 and wants_json(request):  # a sheet that shows what was typed wrong
        words = str(what.get("trouble") or what.get("words") or _NOT_TAKEN)
        return JSONResponse({"error": {"kind": "NotTaken", "message": words}}, status)
    state = what.pop("state", None) or live_of(request).refresh()
    body = _TEMPLATES.get_template(template).render(
        request=request,
        state=state,
        build=state.made.plan.name if state.made else live_of(request).folder.name,
        sheets=SHEETS,
        here="/" + request.url.path.split("/")[1],
        token=getattr(request.state, "token", ""),
        **what,
    )
    return HTMLResponse(body, status_code=status)


def bare_page(template: str, status: int, **what: Any) -> HTMLResponse:
    """Fill in a template that shows nothing of the build, for whoever may not see it."""
    return HTMLResponse(_TEMPLATES.get_template(template).render(**what), status_code=status)
