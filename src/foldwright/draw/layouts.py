"""Sheet layouts: each sheet to scale, with what is cut from it and where.

Room: draw. `layouts_pdf` makes the document. A sheet lies as its blanks are
marked; each blank carries its number and name, and the running dimensions up
the side and along the foot say how far its datum corner lies from the sheet's
lower left corner. The list beside or below the drawing says the same once
more, with the turn.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from foldwright.box import Box
from foldwright.draw.blank import Blank, blank_of
from foldwright.draw.book_names import piece_called
from foldwright.draw.cautions import LARGE_SHEETS
from foldwright.draw.drawing import TEXT, Item, Page, Paper, Point, Words
from foldwright.draw.flow import Chunk, Column, flow, height_of, paragraph, table
from foldwright.draw.info import SheetInfo, degrees, listed
from foldwright.draw.layout_picture import (
    Laid,
    corner_of,
    fitted,
    line_names,
    sheet_picture,
    size_of,
)
from foldwright.draw.set_ups import heading_block
from foldwright.draw.sheet import (
    ADVICE_NUMBERS,
    LEFT,
    NAME,
    RIGHT,
    RUNNING,
    SECOND,
    TITLE,
    Title,
    caution,
    caution_height,
    check_bars,
    heading,
    legend_height,
    legend_row,
    title_block,
)
from foldwright.draw.wording import counted
from foldwright.plan import in_units

if TYPE_CHECKING:
    from foldwright.flat import Piece
    from foldwright.sheet import LeftOut, SheetLayout, StockLayout

_FOOT = 36.0  # upper edge of the title block, and air above it [mm]
_LIST = 58.0  # width of the list beside a tall sheet [mm]
_GAP = 4.0
HOW_TO_READ = (
    "Figures run from the sheet's lower left corner to the ringed datum corner of each blank; "
    "it is turned anticlockwise about that."
)


def layouts_pdf(
    layouts: Sequence[StockLayout],
    pieces: Sequence[Piece],
    info: SheetInfo,
    paper: Paper | None = None,
) -> bytes:
    """Layouts of all sheets.

    Parameters
    ----------
    layouts : sequence of StockLayout
        In the order to print.
    pieces : sequence of Piece
        All that lie on them.
    info : SheetInfo
    paper : Paper, optional
        `info.page` unless another is given.

    Returns
    -------
    bytes
        A PDF file; one page for each sheet, more where its list is long.
    """
    from foldwright.draw.pdf import pdf_of  # loads reportlab

    return pdf_of(layout_pages(layouts, pieces, info, paper), f"{info.build}: sheet layouts")


def layout_pages(
    layouts: Sequence[StockLayout],
    pieces: Sequence[Piece],
    info: SheetInfo,
    paper: Paper | None = None,
    *,
    is_bound: bool = False,
) -> list[Page]:
    """Pages of `layouts_pdf`, none if nothing is laid out.

    One that `is_bound` into a book leaves it the title block.
    """
    paper = paper or info.page
    by_id = {piece.id: piece for piece in pieces}
    drawn: list[tuple[StockLayout, str, list[list[Item]]]] = []
    for layout in layouts:
        for sheet in layout.sheets:
            scale, filled = _sheet_pages(layout, sheet, by_id, info, paper)
            drawn.append((layout, scale, filled))
        if layout.left_out:
            drawn.append((layout, "", _left_out_pages(layout, info, paper)))
    total = sum(len(filled) for _, _, filled in drawn)
    pages: list[Page] = []
    for layout, scale, filled in drawn:
        for items in filled:
            fields = (
                ("Build", info.build),
                ("Stock", info.stock_of(layout.stock.name, layout.stock.thickness)),
                ("Sizes", "mm" if info.units == "mm" else "inches"),
                ("Scale", scale or "none"),
            )
            number = ("Page", f"{len(pages) + 1} of {total}")
            title = Title((*fields, number, ("Drawn", info.drawn)))
            foot = [*([] if is_bound else title_block(title, paper))]
            foot += check_bars(paper, ADVICE_NUMBERS)
            pages.append(Page(paper, (*items, *foot), fields))
    return pages


def laid_blanks(
    sheet: SheetLayout, pieces: Sequence[Piece]
) -> list[tuple[Blank, Callable[[Point], Point]]]:
    """Blanks of a sheet, each with the motion from its own frame to the sheet's.

    What `laid_out_dxf` draws; the sheet's own frame is that of its outline on the rack.
    """
    by_id = {piece.id: piece for piece in pieces}
    left, low = corner_of(sheet)

    def motion(spot: Laid) -> Callable[[Point], Point]:
        def onto(p: Point) -> Point:
            x, y = spot.on_sheet(p)
            return (x + left, y + low)

        return onto

    return [(spot.blank, motion(spot)) for spot in laid_on(sheet, by_id)]


def _sheet_pages(
    layout: StockLayout,
    sheet: SheetLayout,
    by_id: Mapping[str, Piece],
    info: SheetInfo,
    paper: Paper,
) -> tuple[str, list[list[Item]]]:
    """Scale and pages of one sheet."""
    laid = laid_on(sheet, by_id)
    width = paper.width - LEFT - RIGHT
    items, top = heading(name_of(layout, sheet, info), LEFT, paper.height - 11.0, TITLE)
    for text in (describe_sheet(layout, sheet, info), *notes_on(laid)):
        block, top = paragraph(text, RUNNING)(LEFT, top - 1.0, width)
        items += block
    items.append(Words((LEFT, top - 6.0), f"THIS SIDE UP: {side_up(laid)}", NAME))
    chunks = _list(laid, info)
    beside, below = _arrangements(sheet, laid, chunks, Box(LEFT, _FOOT, LEFT + width, top - 9.5))
    ratios = [fitted(sheet, laid, info, a.picture)[0] for a in (beside, below)]
    chosen = beside if ratios[0] <= ratios[1] else below
    picture, scale, bottom = sheet_picture(sheet, laid, info, chosen.picture)
    items += picture
    if chosen is below:
        chosen = _moved_up(below, bottom - chosen.picture.low)
    side = chosen.list
    items += legend_row(line_names(sheet, laid), *chosen.legend, side.right)
    items += caution(*LARGE_SHEETS.said, *chosen.caution, side.right - chosen.caution[0])[0]
    name = f"{name_of(layout, sheet, info)}, continued"
    return f"1:{scale:g}", _filled(items, chunks, side, name, paper)


@dataclass(frozen=True)
class _Arrangement:
    """Where picture and list stand, and where legend (baseline) and caution (top) begin."""

    picture: Box
    list: Box
    legend: Point
    caution: Point


def _arrangements(
    sheet: SheetLayout, laid: Sequence[Laid], chunks: Sequence[Chunk], room: Box
) -> tuple[_Arrangement, _Arrangement]:
    """List, legend and caution beside the picture, or below it."""
    names = line_names(sheet, laid)
    left = room.right - _LIST
    hazard = room.low + caution_height(*LARGE_SHEETS.said, _LIST)
    legend = hazard + 4.0
    low = legend + legend_height(names, _LIST) + 4.0
    beside = _Arrangement(
        Box(room.left, room.low, left - _GAP, room.high),
        Box(left, low, room.right, room.high),
        (left, legend),
        (left, hazard),
    )
    hazard = room.low + caution_height(*LARGE_SHEETS.said, room.width)
    need = sum(height_of(c.block, room.width) + c.space for c in chunks) + 6.0
    top = hazard + 3.0 + min(need, 0.4 * (room.high - hazard))
    high = top + legend_height(names, room.width) + 4.0
    below = _Arrangement(
        Box(room.left, high, room.right, room.high),
        Box(room.left, hazard + 3.0, room.right, top - 2.0),
        (room.left, top + 1.0),
        (room.left, hazard),
    )
    return beside, below


def _moved_up(below: _Arrangement, by: float) -> _Arrangement:
    """Legend and list follow a picture that leaves some of its room [mm]."""
    room = below.list
    higher = Box(room.left, room.low, room.right, room.high + by)
    return replace(below, list=higher, legend=(below.legend[0], below.legend[1] + by))


def _filled(
    items: list[Item], chunks: Sequence[Chunk], first: Box, name: str, paper: Paper
) -> list[list[Item]]:
    """Pages with the chunks set from the `first` room on, headed by `name` where they go on."""
    pages = [items]

    def columns() -> Iterator[Box]:
        yield first
        while True:
            yield Box(LEFT, _FOOT + 1.0, paper.width - RIGHT, paper.height - 28.0)

    count = 0

    def begin(_: Box) -> None:
        nonlocal count
        if count:
            pages.append(heading(name, LEFT, paper.height - 14.0)[0])
        count += 1

    if chunks:
        flow(chunks, columns(), begin, lambda more: pages[-1].extend(more))
    return pages


def laid_on(sheet: SheetLayout, by_id: Mapping[str, Piece]) -> list[Laid]:
    """Blanks of a sheet, numbered from its lower left corner, row by row."""
    left, low = corner_of(sheet)
    spots = sorted(sheet.spots, key=lambda s: (round(s.y / 10.0), s.x, s.piece))
    return [
        Laid(i, blank_of(by_id[spot.piece]), (spot.x - left, spot.y - low), spot.turn)
        for i, spot in enumerate(spots, 1)
    ]


# --- words ---------------------------------------------------------------------


def name_of(layout: StockLayout, sheet: SheetLayout, info: SheetInfo) -> str:
    """Name a sheet: "3 mm skinned board, sheet 1 of 3"."""
    stock = info.stock_of(layout.stock.name, layout.stock.thickness)
    return f"{stock}, sheet {sheet.number} of {len(layout.sheets)}"


def describe_sheet(layout: StockLayout, sheet: SheetLayout, info: SheetInfo) -> str:
    """Say what the sheet is, how much of it is used, and what remains."""
    width, height = size_of(sheet)
    from foldwright.sheet import is_rectangle  # loads NumPy and Shapely

    what = "A sheet" if is_rectangle(sheet.sheet) else "An odd offcut within"
    where = "from the rack" if sheet.sheet.count else "to be bought"
    text = (
        f"{what} {info.by(width, height)}, {where}. "
        f"{counted(len(sheet.spots), 'blank').capitalize()}, "
        f"from {100.0 * sheet.used:.0f} in 100 of it."
    )
    if sheet.remainder:
        size = info.by(sheet.remainder.width, sheet.remainder.height)
        text += f" A piece {size} remains: mark it and put it back on the rack."
    stock = layout.stock
    return (
        f"{text} {info.length_with_unit(stock.trim)} is left along every edge and "
        f"{info.length_with_unit(stock.kerf + stock.gap)} between blanks, "
        f"{info.length_with_unit(stock.kerf)} of it for the cut."
    )


def notes_on(laid: Sequence[Laid]) -> list[str]:
    """Say how to read the figures, and which blanks are marked on the other side."""
    notes = [HOW_TO_READ]
    odd = _other_side(laid)
    if odd:
        numbers = listed([str(spot.number) for spot in odd])
        verb = "is" if len(odd) == 1 else "are"
        notes.append(
            f"{numbers} {verb} marked on the {odd[0].blank.side} and shown so. If the two faces "
            "of the board differ, cut what is marked on one side from a sheet of its own."
        )
    return notes


def _other_side(laid: Sequence[Laid]) -> list[Laid]:
    """Blanks that are marked on the side that fewer of them are."""
    inside = [spot for spot in laid if spot.blank.side == "inside"]
    outside = [spot for spot in laid if spot.blank.side != "inside"]
    return outside if len(inside) >= len(outside) else inside if outside else []


def side_up(laid: Sequence[Laid]) -> str:
    """Say which side of a sheet lies up, as its blanks are marked."""
    sides = {spot.blank.side for spot in laid}
    odd = {spot.number for spot in _other_side(laid)} if len(sides) > 1 else set()
    side = next((s.blank.side for s in laid if s.number not in odd), "outside")
    film = "down" if side == "inside" else "up"
    return f"{side} of the parts, film side {film}"


def _list(laid: Sequence[Laid], info: SheetInfo) -> list[Chunk]:
    """Numbers, names, places and turns as a table."""
    rows = [
        (
            str(spot.number),
            spot.blank.title,
            info.length(spot.at[0]),
            info.length(spot.at[1]),
            degrees(spot.turn % math.tau).replace(".0°", "°"),
        )
        for spot in laid
    ]
    columns = (
        Column("", 8.0),
        Column("Blank", 24.0, face=TEXT),
        Column("Across", 13.0, right=True),
        Column("Up", 13.0, right=True),
        Column("Turned", 11.0, right=True),
    )
    return table(columns, rows, size=2.9)


def _left_out_pages(layout: StockLayout, info: SheetInfo, paper: Paper) -> list[list[Item]]:
    """What found no place, and why."""
    stock = info.stock_of(layout.stock.name, layout.stock.thickness)
    name = f"{stock}: no place yet"
    items, top = heading(name, LEFT, paper.height - 11.0, TITLE)
    chunks: list[Chunk] = []
    for reason, ids in by_reason(layout.left_out).items():
        names = listed([piece_called(id) for id in ids])
        names = names[:1].upper() + names[1:]
        chunks.append(Chunk(heading_block(names), keep=True, space=4.0))
        chunks.append(Chunk(paragraph(in_units(reason, info.units), SECOND)))
    first = Box(LEFT, _FOOT + 1.0, paper.width - RIGHT, top - 4.0)
    return _filled(items, chunks, first, f"{name}, continued", paper)


def by_reason(left_out: Sequence[LeftOut]) -> dict[str, list[str]]:
    """Blanks that found no place, by the reason."""
    found: dict[str, list[str]] = {}
    for out in left_out:
        found.setdefault(out.reason, []).append(out.id)
    return found
