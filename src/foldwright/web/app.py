"""The app: which address is answered by what, behind one guard."""

from __future__ import annotations

from pathlib import Path

from starlette.applications import Starlette
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles

from foldwright.web import whole
from foldwright.web.live import LiveBuild

_STATIC = Path(__file__).parent / "static"


def page_of(live: LiveBuild) -> Starlette:
    """Make the app that shows one build.

    Parameters
    ----------
    live : LiveBuild
        Kept as ``app.state.live``, where every view finds it.
    """
    app = Starlette(
        routes=[
            *_views(),
            Mount("/static", StaticFiles(directory=_STATIC), name="static"),
        ]
    )
    app.state.live = live
    return app


def _views() -> list[Route]:
    """Addresses of all views, each view's own beside it."""
    return [*whole.ROUTES]
