"""The rack and the layouts: what is there, what is cut from it, what has to be bought.

The rack is shown at once. Layouts take a while, so they are worked out as a job that
draws them too; what is shown stays until it is asked for anew.
"""

from __future__ import annotations

import time
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from foldwright.build_book import purchases_of
from foldwright.draw import (
    SheetInfo,
    ShownSheet,
    cuts_on_screen,
    formers_on_screen,
    lengths_on_screen,
    purchase_rows,
    sheets_on_screen,
    shown_sheets,
    without_place,
)
from foldwright.draw.book_names import money, piece_called
from foldwright.draw.cautions import LARGE_SHEETS
from foldwright.draw.layouts import HOW_TO_READ
from foldwright.draw.rack_picture import nominal
from foldwright.errors import OutOfDomain
from foldwright.make import Made, make, open_build
from foldwright.plan import Stock, in_units
from foldwright.sheet import BarPlan, StockLayout, sheet_in_words
from foldwright.web.jobs import Say, jobs_of
from foldwright.web.pages import form_of, made_of, page

SECONDS = (2.0, 10.0, 60.0)
"""How long to look for a good layout of each stock, to choose from [s]."""


@dataclass(frozen=True)
class RackRow:
    """Equal sheets or lengths of a stock: what, how many, price of one."""

    what: str
    count: str
    price: str


@dataclass(frozen=True)
class OnRack:
    """A stock as the rack shows it."""

    name: str
    called: str
    material: str
    notes: tuple[str, ...]
    picture: str
    rows: tuple[RackRow, ...]


@dataclass(frozen=True)
class SawnRow:
    """One bar: number, what is sawn from it in order, what is left."""

    number: int
    whole: str
    cuts: tuple[tuple[str, str, str], ...]
    left: str


@dataclass(frozen=True)
class SheetsOf:
    """All sheets of a stock as laid out."""

    called: str
    sheets: tuple[ShownSheet, ...]
    without: tuple[tuple[str, str], ...]
    notes: tuple[str, ...]


@dataclass(frozen=True)
class BarsOf:
    """All bars of a stock as they are to be sawn."""

    called: str
    picture: str
    rows: tuple[SawnRow, ...]
    without: tuple[tuple[str, str], ...]
    is_proven: bool
    lost: str


@dataclass(frozen=True)
class LaidOut:
    """What a page shows of all layouts."""

    seconds: float
    sheets: tuple[SheetsOf, ...]
    bars: tuple[BarsOf, ...]
    purchases: Mapping[str, Any]


def rack(request: Request) -> Response:
    """Show the rack, and the layouts as they were last worked out."""
    made = made_of(request)
    job = jobs_of(request).of("layouts")
    info = _words_of(made)
    stocks = tuple(made.plan.stocks.values())
    pictures = sheets_on_screen(stocks, info) | lengths_on_screen(stocks, info)
    formers = made.plan.formers
    return page(
        request,
        "rack.html",
        stocks=[
            _on_rack(made, stock, pictures[stock.name], info)
            for stock in stocks
            if stock.name in pictures
        ],
        bare=[made.called(stock.name) for stock in stocks if stock.name not in pictures],
        formers=formers_on_screen(formers, info) if formers else "",
        former_rows=[(name, nominal(info.length_with_unit(d))) for name, d in formers.items()],
        job=job,
        laid=job.result if job and job.state == "done" else None,
        seconds=SECONDS,
        caution=LARGE_SHEETS.said,
        how_to_read=HOW_TO_READ,
    )


def begin(request: Request) -> Response:
    """Begin to lay out."""
    typed = str(form_of(request).get("seconds", SECONDS[0]))
    if typed not in {f"{s:g}" for s in SECONDS}:
        raise OutOfDomain(
            f'"{typed[:20]}" is none of the times offered. Choose 2, 10 or 60 seconds.',
            name="seconds",
        )
    jobs = jobs_of(request)
    going = jobs.of("layouts")
    if not (going and going.is_going):  # who is late on the button gets what has begun
        jobs.start("layouts", lay_out_all, float(typed), time.time_ns())
    return RedirectResponse("/rack#layouts", status_code=303)


def lay_out_all(folder: Path, seconds: float, asked: int, *, say: Say) -> LaidOut:
    """Lay a build out on its rack and draw it; a job.

    `asked` tells one wish from the next, so that a second look is a new one.
    """
    plan, ledger = open_build(folder)
    with ledger:
        made = make(plan, ledger)
    say(0, 0, "Developing the patterns")
    made.require()
    layouts = made.layouts(seconds, say)
    info = _words_of(made)
    say(len(plan.stocks), len(plan.stocks), "Drawing the sheets")
    return LaidOut(
        seconds,
        tuple(_sheets(made, layout, info) for layout in layouts.sheets.values()),
        tuple(_bars(made, bars, info) for bars in layouts.bars.values()),
        purchase_rows(purchases_of(made, layouts)),
    )


def _words_of(made: Made) -> SheetInfo:
    """How lengths and stocks are said; what `sheet_info` says beside that needs patterns."""
    plan = made.plan
    stocks = {name: made.called(name) for name in plan.stocks}
    return SheetInfo(plan.name, units=plan.units, stocks=stocks)


def _on_rack(made: Made, stock: Stock, picture: str, info: SheetInfo) -> OnRack:
    units = made.plan.units
    rows = [
        RackRow(nominal(in_units(sheet_in_words(sheet), units)), *_there(sheet.count, sheet.price))
        for sheet in stock.sheets
    ]
    rows += [
        RackRow(
            nominal(f"{info.length_with_unit(bar.length)} length"), *_there(bar.count, bar.price)
        )
        for bar in stock.bars
    ]
    notes = []
    if stock.sheets:
        notes.append(
            nominal(
                f"{info.length_with_unit(stock.trim)} is left along every edge, and "
                f"{info.length_with_unit(stock.kerf + stock.gap)} between blanks."
            )
        )
    if stock.grain:
        notes.append("Its grain or film arrow runs up the sheet, and blanks keep to it.")
    return OnRack(
        stock.name, made.called(stock.name), stock.material, tuple(notes), picture, tuple(rows)
    )


def _there(count: int, price: float) -> tuple[str, str]:
    return (str(count) if count else "to be bought", money(price or None))


def _sheets(made: Made, layout: StockLayout, info: SheetInfo) -> SheetsOf:
    return SheetsOf(
        made.called(layout.stock.name),
        shown_sheets(layout, made.pieces, info),
        without_place(layout.left_out, made.plan.units),
        layout.notes,
    )


def _bars(made: Made, plan: BarPlan, info: SheetInfo) -> BarsOf:
    cuts = {cut.id: cut for cut in made.lengths}
    lengths = {id: cut.length for id, cut in cuts.items()}
    rows = tuple(
        SawnRow(
            bar.number,
            nominal(info.length_with_unit(plan.stock.bars[bar.bar_index].length)),
            tuple(
                (piece_called(id), cuts[id].part, info.length(cuts[id].length)) for id in bar.ids
            ),
            info.length_with_unit(bar.offcut),
        )
        for bar in plan.bars
    )
    return BarsOf(
        made.called(plan.stock.name),
        cuts_on_screen(plan, lengths, info) if plan.bars else "",
        rows,
        without_place(plan.left_out, made.plan.units),
        plan.proven,
        f"{info.length_with_unit(plan.stock.kerf)} is lost at each cut and "
        f"{info.length_with_unit(plan.stock.trim)} at each end.",
    )


ROUTES = [
    Route("/rack", rack),
    Route("/rack/layouts", begin, methods=["POST"]),
]
