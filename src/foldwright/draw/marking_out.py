"""Marking out: one sheet per piece, to mark a large blank with rule and square.

Room: draw. `marking_out_pdf` makes the document. The sheet shows the blank to
scale on the side that is marked, with running dimensions from its datum
corner and check diagonals; below stand folds, set-ups and seams. What does
not fit below the drawing goes on, on a further sheet, and a drawing that would
come out small beside its lists gets the first sheet to itself. Pieces that
are alike share a sheet, and strips behind seams are a list (see `strips`).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from foldwright.box import Box
from foldwright.draw import cautions
from foldwright.draw.blank import Blank, in_words, is_oblique
from foldwright.draw.drawing import LETTERING_NARROW, TEXT, Item, Page, Words
from foldwright.draw.flow import Chunk, Column, flow, height_of, paragraph, table
from foldwright.draw.info import SheetInfo, degrees, listed
from foldwright.draw.lots import Lot, lots_of, making_of
from foldwright.draw.marking_drawing import drawing_with_scales
from foldwright.draw.set_ups import heading_block, seam_chunks, set_up_chunks
from foldwright.draw.sheet import (
    ADVICE_NUMBERS,
    LEFT,
    NAME,
    RIGHT,
    RUNNING,
    SECOND,
    TITLE,
    caution,
    caution_height,
    check_bars,
    heading,
    title_block,
    title_rows,
)
from foldwright.draw.striking import arc_chunks
from foldwright.draw.strips import reduction, strip_chunks
from foldwright.draw.wording import (
    describe,
    notes_of,
    title_of,
)

if TYPE_CHECKING:
    from foldwright.flat.pattern import Piece

_GAP = 8.0  # between the two columns [mm]
_LEAST_TABLES = 62.0  # room kept for the columns below the drawing [mm]
_MOST_TABLES = 100.0  # more than this and they go on to a further sheet [mm]
_FOOT = 36.0  # upper edge of the title block, and air above it [mm]
_ALL = 230.0  # what a column of a sheet without a drawing holds [mm]
_MUCH = 12  # fewer points and folds can be told apart however small the drawing
_MANY_NOTES = 3  # more than these are set as one paragraph
_STRIPS = "Backing strips"


@dataclass
class _Sheets:
    """Pages of one lot, or of strips, while they are filled."""

    blank: Blank
    name: str
    scale: str
    pages: list[list[Item]]


def marking_out_pdf(pieces: Sequence[Piece], info: SheetInfo) -> bytes:
    """Marking-out sheets of all pieces.

    Parameters
    ----------
    pieces : sequence of Piece
        In the order to print.
    info : SheetInfo

    Returns
    -------
    bytes
        A PDF file; one page for each lot of pieces, more where its lists are
        long, and one for all strips of a stock.
    """
    from foldwright.draw.pdf import pdf_of  # loads reportlab

    return pdf_of(marking_out_pages(pieces, info), f"{info.build}: marking out")


def marking_out_pages(pieces: Sequence[Piece], info: SheetInfo) -> list[Page]:
    """Pages of `marking_out_pdf`."""
    lots = lots_of(pieces)
    filled = [_sheets_of(lot, info) for lot in lots if not lot.blank.is_strip]
    strips: dict[str, list[Lot]] = {}
    for lot in lots:
        if lot.blank.is_strip:
            strips.setdefault(lot.blank.piece.stock, []).append(lot)
    filled += [_strip_sheets(some, info) for some in strips.values()]
    total = sum(len(sheets.pages) for sheets in filled)
    pages: list[Page] = []
    for sheets in filled:
        for items in sheets.pages:
            number = len(pages) + 1
            title = title_of(sheets.blank, info, sheets.scale, number, total, sheets.name)
            foot = [*title_block(title, info.page), *check_bars(info.page, ADVICE_NUMBERS)]
            pages.append(Page(info.page, (*items, *foot)))
    return pages


def _sheets_of(lot: Lot, info: SheetInfo) -> _Sheets:
    blank = lot.blank
    column = (info.page.width - LEFT - RIGHT - _GAP) / 2.0
    items, top = _head(lot, info)
    foot, low = _foot(blank, info)
    items += foot
    left, right = _left_chunks(blank, info), _right_chunks(blank, info)
    streams = _streams(left, right, column)
    tables = _tables_room(streams, _height(left, column), column)
    room = Box(LEFT, low + 4.0 + tables, info.page.width - RIGHT, top - 3.0)
    alone = Box(room.left, low + 4.0, room.right, room.high)
    drawn, beside = drawing_with_scales(blank, info, room), drawing_with_scales(blank, info, alone)
    much = len(blank.points) + len(blank.folds) >= _MUCH
    is_alone = much and beside.is_clearer_than(drawn)
    drawn = beside if is_alone else drawn
    items += drawn.items
    if drawn.crowded:
        streams = [([*left, *right, *_point_table(blank, info)], (0, 1))]
    elif is_alone:
        streams = _streams(left, right, column, _ALL)
    sheets = _Sheets(blank, lot.title, f"1:{drawn.ratio:g}", [items])
    high = drawn.bottom - 3.0
    if is_alone and high - low - 3.0 < max(_LEAST_TABLES, _height(left, column)):
        high = 0.0  # a table of folds is not torn apart
    for chunks, sides in streams:
        xs = [LEFT + side * (column + _GAP) for side in sides]
        first = Box(0.0, low + 3.0, 0.0, high)
        _fill(sheets, info, chunks, xs, column, first)
    return sheets


def _head(lot: Lot, info: SheetInfo) -> tuple[list[Item], float]:
    """Title, what it is, notes, and which side is up; also where they end."""
    blank = lot.blank
    width = info.page.width - LEFT - RIGHT
    items, top = title_rows(lot.title, LEFT, info.page.height - 11.0, width)
    notes = notes_of(blank, info)
    first = f"{making_of(lot, notes)} {describe(blank, info)}".strip()
    first += " All figures run from the datum corner, lower left."
    if len(notes) > _MANY_NOTES:
        notes = (" ".join(notes),)
    for text in (first, *notes):
        block, top = paragraph(text, RUNNING)(LEFT, top - 1.0, width)
        items += block
    items.append(Words((LEFT, top - 6.0), f"THIS SIDE UP: {blank.side_up}", NAME))
    return items, top - 8.5


def _foot(blank: Blank, info: SheetInfo) -> tuple[list[Item], float]:
    """Cautions side by side above the title block; also where they begin."""
    column = (info.page.width - LEFT - RIGHT - _GAP) / 2.0
    said = _cautions(blank)
    low = _FOOT + max(caution_height(*c, column) for c in said)
    items: list[Item] = []
    for i, (hazard, text) in enumerate(said):
        items += caution(hazard, text, LEFT + i * (column + _GAP), low, column)[0]
    return items, low


def _strip_sheets(lots: Sequence[Lot], info: SheetInfo) -> _Sheets:
    """All strips of one stock, as a list."""
    width = info.page.width - LEFT - RIGHT
    items, top = heading(_STRIPS, LEFT, info.page.height - 11.0, TITLE)
    foot, low = _foot(lots[0].blank, info)
    sheets = _Sheets(lots[0].blank, _STRIPS, f"1:{reduction(lots, width):g}", [[*items, *foot]])
    chunks = strip_chunks(lots, info, set_up_chunks)
    _fill(sheets, info, chunks, [LEFT], width, Box(0.0, low + 3.0, 0.0, top))
    return sheets


def _streams(
    left: list[Chunk], right: list[Chunk], column: float, most: float = _MOST_TABLES
) -> list[tuple[list[Chunk], tuple[int, ...]]]:
    """Two columns side by side if each can stand alone, else one text through both."""
    if left and _height(right, column) <= most:
        return [(left, (0,)), (right, (1,))]
    return [([*left, *right], (0, 1))]


def _tables_room(
    streams: list[tuple[list[Chunk], tuple[int, ...]]], folds: float, column: float
) -> float:
    """Room to keep for the columns of the first page.

    All that they need, if it leaves a fair drawing. Where it does not, a
    second page follows anyway, and the drawing is worth more than the lists.
    """
    need = max(
        _height(chunks, column) * (1.15 if len(xs) > 1 else 1.0) / len(xs) for chunks, xs in streams
    )
    if need <= _MOST_TABLES:
        return max(need + 2.0, 20.0)
    return min(max(_LEAST_TABLES, folds + 2.0), 80.0)


def _fill(
    sheets: _Sheets,
    info: SheetInfo,
    chunks: list[Chunk],
    xs: Sequence[float],
    width: float,
    first: Box,
) -> None:
    """Set chunks into the columns at `xs`, page after page; `first` of no height is skipped."""
    skips = first.high <= first.low
    page = 0

    def columns() -> Iterator[Box]:
        if not skips:
            yield from (Box(x, first.low, x + width, first.high) for x in xs)
        while True:
            for x in xs:
                yield Box(x, _FOOT + 1.0, x + width, info.page.height - 28.0)

    count = 0

    def begin(_: Box) -> None:
        nonlocal page, count
        page = count // len(xs) + skips
        count += 1
        if page == len(sheets.pages):
            sheets.pages.append(
                heading(f"{sheets.name}, continued", LEFT, info.page.height - 14.0)[0]
            )

    if chunks:
        flow(chunks, columns(), begin, lambda items: sheets.pages[page].extend(items))


def _height(chunks: Sequence[Chunk], width: float) -> float:
    return sum(height_of(c.block, width) + c.space for c in chunks)


def _cautions(blank: Blank) -> tuple[tuple[str, str], ...]:
    methods = {fold.fold.method for fold in blank.folds if fold.fold.cut_side != "none"}
    if any(fold.fold.method == "hot" for fold in blank.folds):
        return (cautions.EDGES.said, cautions.HOT.said)
    if methods - {"score"}:
        return (cautions.ROUTED_EDGES.said, cautions.ONCE.said)
    if blank.piece.curved:
        return (cautions.EDGES.said, cautions.SPRING.said)
    return (cautions.EDGES.said,)


def _left_chunks(blank: Blank, info: SheetInfo) -> list[Chunk]:
    if not blank.folds:
        return []
    rows = [
        (
            fold.letter,
            _between(blank, fold.fold.panels),
            degrees(fold.inside_angle),
            degrees(fold.fold_to),
            info.length(fold.length),
        )
        for fold in blank.bends
    ]
    columns = (
        Column("", 7.0),
        Column("Between", 35.0, face=TEXT),
        Column("Inside angle", 19.0, right=True),
        Column("Fold to", 15.0, right=True),
        Column("Length", 14.0, right=True)
        if info.units == "mm"
        else Column("Length", 27.0, right=True, face=LETTERING_NARROW),
    )
    text = "Fold each to its gauge, let go, and measure the inside angle."
    outwards = [fold.letter for fold in blank.bends if fold.fold.turn < 0.0]
    if outwards:
        text += f" {listed(outwards)}: fold the other way, so that the inside angle opens."
    return [
        Chunk(heading_block("Folds"), keep=True),
        *table(columns, rows),
        Chunk(paragraph(text, SECOND), space=2.0),
    ]


def _between(blank: Blank, panels: tuple[str, str]) -> str:
    faces = {panel.id: in_words(panel.face) for panel in blank.piece.panels}
    return ", ".join(filter(None, (faces.get(p, p) for p in panels)))


def _right_chunks(blank: Blank, info: SheetInfo) -> list[Chunk]:
    return [*set_up_chunks(blank, info), *seam_chunks(blank, info), *arc_chunks(blank, info)]


def _point_table(blank: Blank, info: SheetInfo) -> list[Chunk]:
    """Where the points are, as a table, for blanks with more points than room for labels."""
    rows = [
        (str(p.number), p.kind, info.length(p.at[0]), info.length(p.at[1])) for p in blank.points
    ]
    for fold in blank.folds:
        if not is_oblique(fold):
            upright = abs(fold.a[0] - fold.b[0]) < abs(fold.a[1] - fold.b[1])
            place = info.length(fold.a[0] if upright else fold.a[1])
            rows.append((fold.letter, "fold", *((place, "") if upright else ("", place))))
    columns = (
        Column("", 8.0),
        Column("Point", 26.0, face=TEXT),
        Column("Across", 20.0, right=True),
        Column("Up", 20.0, right=True),
    )
    title = Chunk(heading_block("Points, from the datum corner"), keep=True, space=5.0)
    text = (
        "Corners run anticlockwise from 1, lower left. The drawing numbers those it has room for."
    )
    return [title, Chunk(paragraph(text, SECOND), keep=True, space=0.6), *table(columns, rows)]
