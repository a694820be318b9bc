"""Templates: pieces at 1:1 on tiled pages, with a map of the tiles first.

Room: draw. `templates_pdf` makes the whole document. It begins with a list
(see `template_list`); pieces that are alike come once, what fits on one page
needs no map, and plain rectangles are left out. A tile page is laid out from
the top: part and tile, which side is up, the names of the neighbours round
the window, the lines named in words, title block, check bars.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from foldwright.box import Box
from foldwright.draw.blank import Blank
from foldwright.draw.blank_drawing import draw_blank
from foldwright.draw.drawing import (
    A4,
    DIMENSION,
    JOINT,
    LETTERING,
    TEXT_BOLD,
    Area,
    Item,
    Page,
    Paper,
    Point,
    Stroke,
    Words,
    circle,
    line,
    rectangle,
)
from foldwright.draw.fonts import text_width
from foldwright.draw.info import SheetInfo
from foldwright.draw.lots import Lot, lots_of
from foldwright.draw.placing import Frame
from foldwright.draw.sheet import (
    ADVICE_TRUE_SIZE,
    HEADING,
    LEFT,
    NAME,
    RIGHT,
    SMALL,
    check_bars,
    legend_row,
    title_block,
)
from foldwright.draw.template_list import Entry, list_page, list_pages
from foldwright.draw.template_map import Template, map_page
from foldwright.draw.tiling import MARGIN, OVERLAP, Tile, Tiling, tiling_of
from foldwright.draw.view import Detail, View
from foldwright.draw.wording import (
    drill_names,
    line_names,
    sign_names,
    title_of,
)

if TYPE_CHECKING:
    from foldwright.flat.pattern import Piece

_FOOT = 50.0  # where the drawing may begin, above the legend [mm]
_HEAD = 25.0  # what the heading needs, below the upper edge [mm]
_LONGEST = 5000.0  # a PDF page goes to 14 400 points [mm]
MOST_TILES = 60  # pages of one blank; more are never joined true
_ARM = 4.0  # half the cross of a registration mark [mm]


def templates_pdf(pieces: Sequence[Piece], info: SheetInfo) -> bytes:
    """Pieces at 1:1, ready to print, join and prick through.

    Parameters
    ----------
    pieces : sequence of Piece
        In the order to print.
    info : SheetInfo
        Says the paper, A4 or larger, or a roll. What would take more than
        `MOST_TILES` pages of it is listed, and marked out from numbers.

    Returns
    -------
    bytes
        A PDF file; a list, then for each lot of pieces that are alike a map
        page if it takes several tiles, and its tiles row by row.
    """
    from foldwright.draw.pdf import pdf_of  # loads reportlab

    return pdf_of(template_pages(pieces, info), f"{info.build}: templates", info.printed)


def template_pages(pieces: Sequence[Piece], info: SheetInfo) -> list[Page]:
    """Pages of `templates_pdf`, each in its true size."""
    lots = lots_of(pieces)
    plain = [lot for lot in lots if needs_none(lot.blank) or _is_too_large(lot.blank, info)]
    templates = []
    for lot in lots:
        if lot not in plain:
            paper = paper_for(lot.blank, info)
            templates.append(Template(lot, paper, tiling_of(lot.blank, window_of(paper))))
    map_paper = info.at_true_size(info.page)
    # a single piece that has a map needs no list besides
    listed = plain or len(templates) != 1 or not templates[0].has_map
    heads = _list(templates, plain, info) if listed else []
    sheets = len(heads) + sum(template.sheets for template in templates)
    pages = [list_page(items, map_paper, info, i, sheets) for i, items in enumerate(heads, 1)]
    for template in templates:
        if template.has_map:
            pages.append(map_page(template, info, map_paper, len(pages) + 1, sheets))
        for tile in template.tiling.tiles:
            pages.append(_tile_page(template, tile, info, len(pages) + 1, sheets))
    return pages


def needs_none(blank: Blank) -> bool:
    """Whether a blank is marked out sooner than its template is printed."""
    return blank.is_plain or blank.is_strip


def _is_too_large(blank: Blank, info: SheetInfo) -> bool:
    """Whether a blank would take more pages than anyone joins."""
    room = window_of(paper_for(blank, info))
    return blank.box.width * blank.box.height > MOST_TILES * room.width * room.height


def _list(templates: Sequence[Template], plain: Sequence[Lot], info: SheetInfo) -> list[list[Item]]:
    """Pages that list the templates; how many they are themselves shifts the sheet numbers."""
    heads: list[list[Item]] = [[]]
    for _ in range(2):
        entries, sheet = [], len(heads) + 1
        for template in templates:
            last = sheet + template.sheets - 1
            entries.append(Entry(template.lot, len(template.tiling.tiles), sheet, last))
            sheet = last + 1
        heads = list_pages(entries, plain, info)
    return heads


def paper_for(blank: Blank, info: SheetInfo) -> Paper:
    """Paper of a blank's tiles, as it is once printed: a roll is cut off where the blank ends."""
    paper = info.paper
    if paper.is_roll:
        need = blank.box.height + 2.0 * MARGIN + _FOOT + _HEAD + 1.0
        height = min(max(need * 100.0 / info.printed[1], A4.height), _LONGEST)
        paper = Paper(paper.name, paper.width, height)
    return info.at_true_size(paper)


def window_of(paper: Paper) -> Box:
    """Part of a page that a tile may fill."""
    return Box(LEFT, _FOOT, paper.width - RIGHT, paper.height - _HEAD)


def tile_view(tile: Tile, tiling: Tiling, paper: Paper) -> View:
    """How a tile lies on its page: 1:1, what it prints in the middle of the window."""
    room = window_of(paper)
    half, by, cell = OVERLAP / 2.0, tiling.neighbours(tile), tile.cell
    printed = Box(
        cell.left - (half if "left" in by else 0.0),
        cell.low - (half if "below" in by else 0.0),
        cell.right + (half if "right" in by else 0.0),
        cell.high + (half if "above" in by else 0.0),
    )
    x = room.middle[0] - printed.middle[0]
    y = room.middle[1] - printed.middle[1]
    shown = Box(printed.left + x, printed.low + y, printed.right + x, printed.high + y)
    return View((x, y), 1.0, shown)


def _tile_page(template: Template, tile: Tile, info: SheetInfo, sheet: int, sheets: int) -> Page:
    blank, tiling, paper = template.lot.blank, template.tiling, template.paper
    view = tile_view(tile, tiling, paper)
    marks = [view.at(p) for p in tiling.marks(tile)]
    frames = tuple(Frame(p, (_ARM + 0.5, _ARM + 0.5)) for p in marks)
    fences = tuple(_joint_lines(tiling, tile, view).values())
    picture = draw_blank(blank, view, Detail(zones=True), frames, fences)
    items: list[Item] = [picture.group(view.window)]
    items += _joints(tiling, tile, view)
    for mark in marks:
        items += _registration(mark)
    items += _tile_head(template, tile, info)
    names = [*line_names(blank, zones=True), *drill_names(blank, info), *sign_names(blank)]
    if marks:
        names.append(JOINT)
    items += legend_row(names, LEFT, 37.0, paper.width - RIGHT)
    title = title_of(blank, info, "1:1", sheet, sheets, template.lot.title)
    items += title_block(title, paper)
    items += check_bars(paper, (*ADVICE_TRUE_SIZE, info.correction))
    return Page(paper, tuple(items))


def _tile_head(template: Template, tile: Tile, info: SheetInfo) -> list[Item]:
    lot, tiling, paper = template.lot, template.tiling, template.paper
    top = paper.height - 12.5
    name = f"{lot.title}, tile {tile.name}" if len(tiling.tiles) > 1 else lot.title
    if lot.count > 1:
        name += f". Make {lot.count}"
    key = _key(tiling, tile, paper)
    right = paper.width - RIGHT - (_key_width(tiling) + 6.0 if key else 0.0)
    size = HEADING * 1.15
    while size > 2.4 and text_width(name, TEXT_BOLD, size) > right - LEFT:
        size *= 0.95
    items: list[Item] = [Words((LEFT, top), name, size, TEXT_BOLD), *key]
    side_up = f"THIS SIDE UP: {lot.blank.side_up}"
    items.append(Words((LEFT, top - 6.0), side_up, NAME))
    if right - LEFT > text_width(name, TEXT_BOLD, size) + 45.0:
        items.append(
            Words((right, top), "1:1, print at actual size", SMALL, anchor="end", soft=True)
        )
    if not template.has_map:
        box = lot.blank.box
        sizes = f"on the page {info.by(box.width, box.height)}"
        room = right - LEFT - text_width(side_up, LETTERING, NAME) - 4.0
        if text_width(sizes, LETTERING, SMALL) < room:
            items.append(Words((right, top - 6.0), sizes, SMALL, anchor="end", soft=True))
    return items


def _key_cell(tiling: Tiling) -> tuple[float, float]:
    size = min(3.4, 26.0 / tiling.columns, 12.0 / tiling.rows * 0.8)
    return size, size * 1.25


def _key_width(tiling: Tiling) -> float:
    return _key_cell(tiling)[0] * tiling.columns


def _key(tiling: Tiling, tile: Tile, paper: Paper) -> list[Item]:
    """Small picture of the grid with this tile filled."""
    if len(tiling.tiles) < 2:
        return []
    w, h = _key_cell(tiling)
    left, top = paper.width - RIGHT - w * tiling.columns, paper.height - 7.0
    items: list[Item] = []
    for t in tiling.tiles:
        x, y = left + w * t.column, top - h * (t.row + 1)
        box = rectangle(Box(x, y, x + w, y + h))
        if t == tile:
            items.append(Area(box))
        items.append(Stroke(box, DIMENSION))
    return items


def _joint_lines(tiling: Tiling, tile: Tile, view: View) -> dict[str, tuple[Point, Point]]:
    """Shared edges of a tile on its page, by side."""
    low, high = view.at((tile.cell.left, tile.cell.low)), view.at((tile.cell.right, tile.cell.high))
    shown = view.window
    ends = {
        "left": ((low[0], shown.low), (low[0], shown.high)),
        "right": ((high[0], shown.low), (high[0], shown.high)),
        "below": ((shown.left, low[1]), (shown.right, low[1])),
        "above": ((shown.left, high[1]), (shown.right, high[1])),
    }
    return {side: ends[side] for side in tiling.neighbours(tile)}


def _joints(tiling: Tiling, tile: Tile, view: View) -> list[Item]:
    """Joint lines along shared edges, and beyond them the neighbour's name."""
    ends, shown = _joint_lines(tiling, tile, view), view.window
    items: list[Item] = []
    mid = shown.middle
    places: dict[str, tuple[Point, float]] = {
        "left": ((shown.left - 1.4, mid[1]), math.pi / 2.0),
        "right": ((shown.right + 3.6, mid[1]), math.pi / 2.0),
        "below": ((mid[0], shown.low - 3.4), 0.0),
        "above": ((mid[0], shown.high + 1.4), 0.0),
    }
    for side, other in tiling.neighbours(tile).items():
        items.append(line(*ends[side], JOINT))
        at, turn = places[side]
        items.append(Words(at, f"{other.name} joins here", SMALL, LETTERING, "middle", turn))
    return items


def _registration(at: Point) -> list[Item]:
    x, y = at
    return [
        line((x - _ARM, y), (x + _ARM, y), DIMENSION),
        line((x, y - _ARM), (x, y + _ARM), DIMENSION),
        Stroke(circle(at, _ARM / 2.0), DIMENSION),
    ]
