"""At the bench: what is written down from a route sheet, and taken back.

Every form is answered by the sheet itself, so that loading it again sends nothing twice.
"""

from __future__ import annotations

from collections.abc import Callable
from urllib.parse import quote

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from foldwright import progress
from foldwright.errors import FoldwrightError, OutOfDomain, UnknownName
from foldwright.ledger import Ledger
from foldwright.make import Made
from foldwright.readings import Typed, check, take_all
from foldwright.web.history import require_of
from foldwright.web.once import key_of, once
from foldwright.web.pages import form_of, live_of, made_of
from foldwright.web.reading_entry import Typing, note_in, typed_in
from foldwright.web.refusals import refused
from foldwright.web.route_sheet import name_in, sheet_page


class _Refused(Exception):
    """A reading that is not kept, and why."""

    def __init__(self, one: Typed, fault: FoldwrightError) -> None:
        super().__init__(str(fault))
        self.one = one
        self.fault = fault


def read(request: Request) -> Response:
    """Write readings down: all that were typed, or none and why."""
    return once(request, lambda: _read(request))


def _read(request: Request) -> Response:
    made, form = made_of(request), form_of(request)
    name = name_in(made, str(request.path_params["name"]))
    typed = typed_in(form, name, made.plan.units)
    finished, note = form.get("finished", "") == "yes", note_in(form)
    if not typed:
        raise OutOfDomain(
            "No number was typed, so nothing is written down. Go back and type what you read.",
            name="value",
        )
    live = live_of(request)

    def write(made: Made, ledger: Ledger) -> None:
        for one in typed:
            try:
                check(made, one, finished=finished)
            except FoldwrightError as fault:
                raise _Refused(one, fault) from fault
        take_all(made, ledger, typed, finished=finished, note=note)

    try:
        lines = _written_once(request, write)
    except _Refused as refusal:
        if _wants_json(request) or isinstance(refusal.fault, UnknownName):
            return refused(request, refusal.fault)
        dim = refusal.one.name.partition(".")[2]
        typing = Typing(name, typed, finished, note, dim, refusal.fault)
        return sheet_page(request, live.refresh(), name, typing, 422)
    return _back(name, f"?after={','.join(map(str, lines))}#came-out")


def mark(request: Request) -> Response:
    """Write down how far a part is."""

    def act(made: Made, ledger: Ledger, name: str) -> None:
        stage = str(form_of(request).get("stage", ""))[:80]
        progress.mark(made, ledger, name, stage, note_in(form_of(request)))

    return _acted(request, act, "#stands")


def scrap(request: Request) -> Response:
    """Write down that a part is spoiled; only where the maker said so twice."""

    def act(made: Made, ledger: Ledger, name: str) -> None:
        if form_of(request).get("sure", "") != "yes":
            raise OutOfDomain(
                "Nothing was done. To scrap a part, tick that you mean it as well.", name="sure"
            )
        progress.scrap(made, ledger, name, note_in(form_of(request)))

    return _acted(request, act, "#stands")


def take_back(request: Request) -> Response:
    """Take back one entry of a part; it stays in the history."""

    def act(made: Made, ledger: Ledger, name: str) -> None:
        text = str(form_of(request).get("entry", ""))[:20]
        line = int(text) if text.isascii() and text.isdigit() else 0
        require_of(live_of(request).folder, made, name, line)
        ledger.withdraw(line, note_in(form_of(request)))

    return _acted(request, act, "#history")


type _Act = Callable[[Made, Ledger, str], None]


def _acted(request: Request, act: _Act, place: str) -> Response:
    """Act on the part that an address names, once, and show its sheet."""

    def acted() -> Response:
        name = name_in(made_of(request), str(request.path_params["name"]))
        _written_once(request, lambda made, ledger: act(made, ledger, name))
        return _back(name, place)

    return once(request, acted)


def _written_once(request: Request, write: Callable[[Made, Ledger], None]) -> range:
    """Write to the ledger unless it has what was sent; return the lines of it."""
    key = key_of(request)
    return live_of(request).act(lambda made, ledger: ledger.once(key, lambda: write(made, ledger)))


def _back(name: str, place: str) -> Response:
    return RedirectResponse(f"/parts/{quote(name)}{place}", status_code=303)


def _wants_json(request: Request) -> bool:
    return "application/json" in request.headers.get("accept", "")


def to_sheet(request: Request) -> Response:
    """Lead back to the sheet, where a browser loads again what answered a form."""
    name = name_in(made_of(request), str(request.path_params["name"]))
    return RedirectResponse(f"/parts/{quote(name)}", status_code=303)


ROUTES = [
    Route("/parts/{name}/readings", to_sheet, methods=["GET"]),
    Route("/parts/{name}/readings", read, methods=["POST"]),
    Route("/parts/{name}/stage", mark, methods=["POST"]),
    Route("/parts/{name}/scrap", scrap, methods=["POST"]),
    Route("/parts/{name}/back", take_back, methods=["POST"]),
]
