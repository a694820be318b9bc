"""What pages and readings both need of one part, worked out once for each state of the build."""

from __future__ import annotations

from foldwright.build_book import route_of
from foldwright.draw import SheetInfo, eye_of
from foldwright.draw.book_records import Route
from foldwright.make import Made
from foldwright.outputs import sheet_info
from foldwright.web.live import State


def info_in(state: State) -> SheetInfo:
    """What every sheet of the build says."""
    return state.once("sheet info", lambda made: sheet_info(made, ""))


def sheet_of(state: State, name: str) -> Route:
    """Record that the sheet of a part is filled in from."""
    return state.once(f"route {name}", lambda made: route_of(made, name))


def eye_on(made: Made) -> tuple[float, float, float]:
    """Where parts are looked at from, as the plan has it for the build."""
    return eye_of(made.plan.seen_from or ("front", "right", "above"))
