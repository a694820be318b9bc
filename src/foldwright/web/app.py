"""The app: which address is answered by what, behind one guard."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.middleware.gzip import GZipMiddleware
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles

from foldwright.errors import FoldwrightError
from foldwright.scans import Drawings
from foldwright.web import (
    bench,
    book,
    changes,
    downloads,
    drawing_sheet,
    drawings,
    events,
    importing,
    jobs,
    others,
    rack,
    reckoner,
    route_list,
    route_sheet,
    sizes,
    straightening,
    taking_in,
    whole,
)
from foldwright.web.events import Bell
from foldwright.web.guard import Guard
from foldwright.web.importing import Sent
from foldwright.web.jobs import Jobs
from foldwright.web.live import LiveBuild
from foldwright.web.once import Answers
from foldwright.web.pairing import Devices
from foldwright.web.refusals import mistaken, not_answered, refused
from foldwright.web.straightening import Straights

_STATIC = Path(__file__).parent / "static"
# Below this, packing costs more than it saves [bytes]; and not the tightest, as a maker waits.
_WORTH_PACKING, _PACKING = 1500, 5


def page_of(live: LiveBuild, *, is_open: bool = False) -> Starlette:
    """Make the app that shows one build.

    Parameters
    ----------
    live : LiveBuild
        Kept as ``app.state.live``, where every view finds it.
    is_open : bool
        Whether other devices can reach it, once they are paired.
    """
    devices = Devices()
    app = Starlette(
        routes=[
            *_views(),
            Mount("/static", StaticFiles(directory=_STATIC), name="static"),
        ],
        middleware=[
            Middleware(Guard, devices=devices, is_open=is_open),
            Middleware(GZipMiddleware, minimum_size=_WORTH_PACKING, compresslevel=_PACKING),
        ],
        exception_handlers={
            FoldwrightError: refused,
            HTTPException: not_answered,
            Exception: mistaken,
        },
        lifespan=_life,
    )
    bell = Bell()
    app.state.live = live
    app.state.devices = devices
    app.state.is_open = is_open
    app.state.answers = Answers()
    app.state.bell = bell
    app.state.drawings = Drawings(live.folder)
    app.state.straights = Straights()
    app.state.sent = Sent()
    app.state.jobs = Jobs(live, bell.job)
    return app


@asynccontextmanager
async def _life(app: Starlette) -> AsyncIterator[None]:
    """Watch the build while the server runs; end its jobs with it."""
    watch = events.Watch(app.state.live, app.state.bell)
    watch.start()
    try:
        yield
    finally:
        watch.stop()
        app.state.bell.close()
        app.state.jobs.close()


def _views() -> list[Route]:
    """Addresses of all views, each view's own beside it."""
    return [
        *whole.ROUTES,
        *events.ROUTES,
        *jobs.ROUTES,
        *others.ROUTES,
        *route_list.ROUTES,
        *route_sheet.ROUTES,
        *bench.ROUTES,
        *rack.ROUTES,
        *reckoner.ROUTES,
        *drawings.ROUTES,
        *taking_in.ROUTES,
        *straightening.ROUTES,
        *drawing_sheet.ROUTES,
        *downloads.ROUTES,
        *book.ROUTES,
        *importing.ROUTES,
        *sizes.ROUTES,
        *changes.ROUTES,
    ]
