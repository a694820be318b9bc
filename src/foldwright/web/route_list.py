"""All route sheets, in the order to make the parts."""

from __future__ import annotations

from dataclasses import dataclass

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from foldwright.build_book import how_much_is_made
from foldwright.draw.book_names import chance, title
from foldwright.fit import is_in_danger, part_in_words
from foldwright.make import Made
from foldwright.plan import Bought
from foldwright.web.live import State
from foldwright.web.pages import live_of, made_of, page
from foldwright.web.route_sheet import in_the_order
from foldwright.web.stands import stands_now

_PATIENCE = 30.0


@dataclass(frozen=True)
class Row:
    """A part as the list says it.

    Attributes
    ----------
    name, title : str
        As the plan has it, and in words.
    made_from : str
    stands : str
        "made", "cut, not measured", "not made", "bought".
    is_made : bool
    dangers : tuple of str
        Meets in danger that it is part of.
    chance : str
        That all its meets hold: of the one that holds least; empty if it meets nothing.
    revision : int
    """

    name: str
    title: str
    made_from: str
    stands: str
    is_made: bool
    dangers: tuple[str, ...]
    chance: str
    revision: int


def route_list(request: Request) -> Response:
    """List the route sheets."""
    made_of(request)
    state = live_of(request).refresh()
    stands_now(state, _PATIENCE)
    return page(
        request,
        "parts.html",
        state=state,
        rows=state.once("list of parts", lambda made: _rows(state, made)),
        how_much=how_much_is_made(state.made) if state.made else "",
    )


def _rows(state: State, made: Made) -> tuple[Row, ...]:
    return tuple(_row(made, name) for name in in_the_order(state))


def _row(made: Made, name: str) -> Row:
    part = made.parts[name]
    meets = [f for f in made.forecasts if name in f.meet.parts and f.clearances]
    return Row(
        name=name,
        title=title(name),
        made_from=made.called(part.stock) if part.stock else "bought",
        stands=_stands(made, name),
        is_made=made.is_made(name),
        dangers=tuple(part_in_words(f.meet.name) for f in meets if is_in_danger(f)),
        chance=chance(min(f.chance for f in meets)) if meets else "",
        revision=made.revision_of(name),
    )


def _stands(made: Made, name: str) -> str:
    """How far a part is, in a word or two."""
    stage = made.stage(name)
    if isinstance(made.parts[name], Bought):
        return "bought"
    if made.readings[name]:
        return "made" if stage == "closed" else f"made, {stage}"
    if stage == "planned":
        return "not made"
    return f"begun: {stage}"


ROUTES = [Route("/parts", route_list)]
