"""First page of the templates: what is on which sheet, and what needs no template.

Room: draw. A plain rectangle is marked with a rule sooner than its tiles are
joined, and a strip behind a seam is only a row in a list.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from foldwright.box import Box
from foldwright.draw import cautions
from foldwright.draw.drawing import TEXT, Item, Page, Paper
from foldwright.draw.flow import Chunk, Column, flow, paragraph, table
from foldwright.draw.info import SheetInfo
from foldwright.draw.lots import Lot
from foldwright.draw.set_ups import heading_block
from foldwright.draw.sheet import (
    ADVICE_TRUE_SIZE,
    LEFT,
    RIGHT,
    TITLE,
    Title,
    caution,
    caution_height,
    check_bars,
    heading,
    title_block,
)

_FOOT = 36.0  # upper edge of the title block, and air above it [mm]


@dataclass(frozen=True)
class Entry:
    """A lot with its template: how many tiles, on which sheets (the map among them)."""

    lot: Lot
    tiles: int
    first: int
    last: int


def list_pages(entries: Sequence[Entry], plain: Sequence[Lot], info: SheetInfo) -> list[list[Item]]:
    """Items of the pages that list all templates, without their title blocks."""
    paper = info.at_true_size(info.page)
    width = paper.width - LEFT - RIGHT
    low = _FOOT + caution_height(*cautions.EDGES.said, width)
    items, top = heading("Templates", LEFT, paper.height - 11.0, TITLE)
    pages: list[list[Item]] = [[*items, *caution(*cautions.EDGES.said, LEFT, low, width)[0]]]
    count = 0

    def columns() -> Iterator[Box]:
        yield Box(LEFT, low + 3.0, LEFT + width, top)
        while True:
            yield Box(LEFT, _FOOT + 1.0, LEFT + width, paper.height - 28.0)

    def begin(_: Box) -> None:
        nonlocal count
        count += 1
        if count > len(pages):
            pages.append(heading("Templates, continued", LEFT, paper.height - 14.0)[0])

    flow(_chunks(entries, plain, info), columns(), begin, lambda more: pages[-1].extend(more))
    return pages


def list_page(
    items: Sequence[Item], paper: Paper, info: SheetInfo, sheet: int, sheets: int
) -> Page:
    """One of these pages with its title block and bars."""
    title = Title(
        (
            ("Build", info.build),
            ("Part", "list of templates"),
            ("Sizes", info.sizes),
            ("Sheet", f"{sheet} of {sheets}"),
            ("Drawn", info.drawn),
        )
    )
    bars = check_bars(paper, (*ADVICE_TRUE_SIZE, info.correction))
    return Page(paper, (*items, *title_block(title, paper), *bars))


def _chunks(entries: Sequence[Entry], plain: Sequence[Lot], info: SheetInfo) -> list[Chunk]:
    chunks: list[Chunk] = []
    if entries:
        text = (
            "Print at actual size and lay a rule on both bars of every page. A piece that takes "
            "several pages has a map first, which says how to join them; one that takes a single "
            "page stands there by itself. Prick through the corners and the ends of folds, or "
            "glue the sheet on and cut through it."
        )
        head, *rows = _with_templates(entries, info)
        chunks += [Chunk(paragraph(text)), _spaced(head, 3.0), *rows]
    if plain:
        text = (
            "Left out here: plain rectangles and strips behind seams, whose sizes say all, and "
            "what would take too many pages to join true. Mark them with rule and square from the "
            "marking-out sheets."
        )
        head, *rows = _without(plain, info)
        chunks += [
            Chunk(heading_block("Without a template"), keep=True, space=7.0),
            Chunk(paragraph(text), keep=True, space=0.5),
            _spaced(head, 2.0),
            *rows,
        ]
    return chunks


def _spaced(chunk: Chunk, space: float) -> Chunk:
    return Chunk(chunk.block, chunk.keep, chunk.again, space)


def _with_templates(entries: Sequence[Entry], info: SheetInfo) -> list[Chunk]:
    columns = (
        Column("Piece", 62.0, face=TEXT),
        Column("Make", 12.0, right=True),
        Column("Across", 24.0, right=True),
        Column("Up", 24.0, right=True),
        Column("Tiles", 13.0, right=True),
        Column("Sheets", 22.0, right=True),
    )
    rows = [
        (
            entry.lot.title,
            str(entry.lot.count),
            info.length(entry.lot.blank.box.width),
            info.length(entry.lot.blank.box.height),
            str(entry.tiles),
            f"{entry.first}\N{EN DASH}{entry.last}"
            if entry.last > entry.first
            else str(entry.first),
        )
        for entry in entries
    ]
    return table(columns, rows)


def _without(plain: Sequence[Lot], info: SheetInfo) -> list[Chunk]:
    columns = (
        Column("Piece", 62.0, face=TEXT),
        Column("Make", 12.0, right=True),
        Column("Across", 24.0, right=True),
        Column("Up", 24.0, right=True),
        Column("Stock", 35.0, right=True),
    )
    rows = [
        (
            lot.title,
            str(lot.count),
            info.length(lot.blank.box.width),
            info.length(lot.blank.box.height),
            info.stock_of(lot.blank.piece.stock, lot.blank.piece.thickness),
        )
        for lot in plain
    ]
    return table(columns, rows)
