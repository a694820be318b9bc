"""Pages: a template filled in, with what every page says of the build."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from starlette.requests import Request
from starlette.responses import HTMLResponse

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

_TEMPLATES = Environment(
    loader=FileSystemLoader(Path(__file__).parent / "templates"),
    autoescape=True,
    undefined=StrictUndefined,
    trim_blocks=True,
    lstrip_blocks=True,
)
_TEMPLATES.filters["plain"] = lambda name: str(name).replace("_", " ")


def live_of(request: Request) -> LiveBuild:
    """The build that a request is about."""
    live: LiveBuild = request.app.state.live
    return live


def page(request: Request, template: str, status: int = 200, **what: Any) -> HTMLResponse:
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
