"""Templates: every piece at 1:1 on tiled pages, with a map of the tiles first.

Room: draw. `templates_pdf` makes the whole document. A tile page is laid out
from the top: part and tile, which side is up, the names of the neighbours
round the window, the lines named in words, title block, check bars.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from foldwright.draw.blank import Blank, blank_of
from foldwright.draw.blank_drawing import draw_blank
from foldwright.draw.checks import check_lengths
from foldwright.draw.drawing import (
    A4,
    CHECK,
    DIMENSION,
    JOINT,
    LETTERING,
    TEXT_BOLD,
    Area,
    Box,
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
from foldwright.draw.flow import height_of, paragraph
from foldwright.draw.fonts import text_width
from foldwright.draw.info import SheetInfo
from foldwright.draw.placing import Frame, Ground, baseline, label_frame
from foldwright.draw.sheet import (
    ADVICE_TRUE_SIZE,
    HEADING,
    LEFT,
    NAME,
    RIGHT,
    SECOND,
    SMALL,
    TITLE,
    caution,
    check_bars,
    heading,
    legend_height,
    legend_row,
    title_block,
)
from foldwright.draw.tiling import MARGIN, OVERLAP, Tile, Tiling, tiling_of
from foldwright.draw.view import Detail, View, fitting_scale
from foldwright.draw.wording import (
    counted,
    describe,
    drill_names,
    line_names,
    notes_of,
    sign_names,
    title_of,
)

if TYPE_CHECKING:
    from foldwright.flat.pattern import Piece

_FOOT = 50.0  # where the drawing may begin, above the legend [mm]
_HEAD = 25.0  # what the heading needs, below the upper edge [mm]
_LONGEST = 5000.0  # a PDF page goes to 14 400 points [mm]
_ARM = 4.0  # half the cross of a registration mark [mm]


def templates_pdf(pieces: Sequence[Piece], info: SheetInfo) -> bytes:
    """Every piece at 1:1, ready to print, join and prick through.

    Parameters
    ----------
    pieces : sequence of Piece
        In the order to print.
    info : SheetInfo
        Says the paper, A4 or larger, or a roll.

    Returns
    -------
    bytes
        A PDF file; for each piece a map page, then its tiles row by row.
    """
    from foldwright.draw.pdf import pdf_of  # loads reportlab

    return pdf_of(template_pages(pieces, info), f"{info.build}: templates", info.printed)


def template_pages(pieces: Sequence[Piece], info: SheetInfo) -> list[Page]:
    """Pages of `templates_pdf`, each in its true size."""
    blanks = [blank_of(piece, pieces) for piece in pieces]
    papers = [paper_for(blank, info) for blank in blanks]
    tilings = [tiling_of(blank, window_of(p)) for blank, p in zip(blanks, papers, strict=True)]
    sheets = sum(1 + len(tiling.tiles) for tiling in tilings)
    pages: list[Page] = []
    for blank, paper, tiling in zip(blanks, papers, tilings, strict=True):
        first = len(pages) + 1
        map_paper = info.at_true_size(info.page)
        pages.append(_map_page(blank, tiling, info, map_paper, first, sheets))
        for tile in tiling.tiles:
            pages.append(_tile_page(blank, tiling, tile, info, paper, len(pages) + 1, sheets))
    return pages


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
    """How a tile lies on its page: 1:1, its cell in the middle of the window."""
    room = window_of(paper)
    x = room.middle[0] - tile.cell.middle[0]
    y = room.middle[1] - tile.cell.middle[1]
    half = OVERLAP / 2.0
    by = tiling.neighbours(tile)
    shown = Box(
        tile.cell.left - (half if "left" in by else 0.0) + x,
        tile.cell.low - (half if "below" in by else 0.0) + y,
        tile.cell.right + (half if "right" in by else 0.0) + x,
        tile.cell.high + (half if "above" in by else 0.0) + y,
    )
    return View((x, y), 1.0, shown)


def _tile_page(
    blank: Blank,
    tiling: Tiling,
    tile: Tile,
    info: SheetInfo,
    paper: Paper,
    sheet: int,
    sheets: int,
) -> Page:
    view = tile_view(tile, tiling, paper)
    marks = [view.at(p) for p in tiling.marks(tile)]
    frames = tuple(Frame(p, (_ARM + 0.5, _ARM + 0.5)) for p in marks)
    fences = tuple(_joint_lines(tiling, tile, view).values())
    picture = draw_blank(blank, view, Detail(zones=True), frames, fences)
    items: list[Item] = [picture.group(view.window)]
    items += _joints(tiling, tile, view)
    for mark in marks:
        items += _registration(mark)
    items += _tile_head(blank, tiling, tile, paper)
    names = [*line_names(blank, zones=True), *drill_names(blank, info), *sign_names(blank)]
    if marks:
        names.append(JOINT)
    items += legend_row(names, LEFT, 37.0, paper.width - RIGHT)
    items += title_block(title_of(blank, info, "1:1", sheet, sheets), paper)
    items += check_bars(paper, (*ADVICE_TRUE_SIZE, info.correction))
    return Page(paper, tuple(items))


def _tile_head(blank: Blank, tiling: Tiling, tile: Tile, paper: Paper) -> list[Item]:
    top = paper.height - 12.5
    name = f"{blank.title}, tile {tile.name}" if len(tiling.tiles) > 1 else blank.title
    items: list[Item] = [Words((LEFT, top), name, HEADING * 1.15, TEXT_BOLD)]
    key = _key(tiling, tile, paper)
    items += key
    right = paper.width - RIGHT - (_key_width(tiling) + 6.0 if key else 0.0)
    items.append(Words((LEFT, top - 6.0), f"THIS SIDE UP: {blank.side_up}", NAME))
    page = "1:1, print at actual size"
    if right - LEFT > text_width(name, TEXT_BOLD, HEADING * 1.15) + 45.0:
        items.append(Words((right, top), page, SMALL, anchor="end", soft=True))
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


def _map_page(
    blank: Blank, tiling: Tiling, info: SheetInfo, paper: Paper, sheet: int, sheets: int
) -> Page:
    """Map of one piece: how its tiles lie, how to join them, what they must measure then."""
    width = paper.width - LEFT - RIGHT
    items, top = heading(blank.title, LEFT, paper.height - 11.0, TITLE)
    for text in (_tiles_in_words(tiling, sheet), describe(blank, info), *notes_of(blank, info)):
        block, top = paragraph(text)(LEFT, top - 1.2, width)
        items += block
    items.append(Words((LEFT, top - 6.2), f"THIS SIDE UP: {blank.side_up}", NAME))
    top -= 8.0
    half = (width - 8.0) / 2.0
    left, right = paragraph(_how_to_join(blank, tiling, info), SECOND), _sharp
    names = line_names(blank, zones=False, witnesses=False)
    if check_lengths(blank, info):
        names.append(CHECK)
    if len(tiling.tiles) > 1:
        names.append(JOINT)
    items += legend_row(names, LEFT, 36.5, paper.width - RIGHT)
    foot = 40.5 + legend_height(names, width) + max(height_of(left, half), height_of(right, half))
    items += left(LEFT, foot, half)[0] + right(LEFT + half + 8.0, foot, half)[0]
    window = Box(LEFT, foot + 5.0, paper.width - RIGHT, top - 4.0)
    picture, scale = _map(blank, tiling, info, window)
    items += picture
    items += title_block(title_of(blank, info, f"1:{scale:g}", sheet, sheets), paper)
    items += check_bars(paper, (*ADVICE_TRUE_SIZE, info.correction))
    return Page(paper, tuple(items))


def _sharp(x: float, top: float, width: float) -> tuple[list[Item], float]:
    return caution(
        "Sharp edges.",
        "Cut skins are sharp and offcuts spring. Gloves to carry, eyes covered to cut, the sheet "
        "held down. File every edge before folding.",
        x,
        top,
        width,
    )


def _tiles_in_words(tiling: Tiling, sheet: int) -> str:
    count = len(tiling.tiles)
    if count == 1:
        return f"At 1:1 on one page, sheet {sheet + 1}."
    first, last = tiling.tiles[0].name, tiling.tiles[-1].name
    return (
        f"At 1:1 on {counted(count, 'tile')}, {first} to {last}, row by row: "
        f"sheets {sheet + 1} to {sheet + count}."
    )


def _how_to_join(blank: Blank, tiling: Tiling, info: SheetInfo) -> str:
    box = blank.box
    size = f"{info.length_with_unit(box.width)} across and {info.length_with_unit(box.height)} up"
    start = "Print at actual size and measure both bars. "
    if len(tiling.tiles) > 1:
        start += (
            "Trim each tile along its dotted joints on the right and below, lay it on its "
            "neighbour until the ringed crosses meet, and tape it. Joined, "
        )
    else:
        start += "On the page, "
    checks = "Check that, and the diagonals," if check_lengths(blank, info) else "Check that"
    return start + f"the blank measures {size}. {checks} before you cut."


def _map(blank: Blank, tiling: Tiling, info: SheetInfo, window: Box) -> tuple[list[Item], float]:
    """Blank with the grid over it, and its scale as one to so much."""
    left = min(t.cell.left for t in tiling.tiles)
    low = min(t.cell.low for t in tiling.tiles)
    right = max(t.cell.right for t in tiling.tiles)
    high = max(t.cell.high for t in tiling.tiles)
    ratio = fitting_scale(right - left, high - low, window.width, window.height)
    scale = 1.0 / ratio
    origin = (
        window.middle[0] - scale * (left + right) / 2.0,
        window.middle[1] - scale * (low + high) / 2.0,
    )
    view = View(origin, scale, window.grown(0.5))
    many = len(tiling.tiles) > 1
    cells = {
        tile.name: Box(
            *view.at((tile.cell.left, tile.cell.low)), *view.at((tile.cell.right, tile.cell.high))
        )
        for tile in (tiling.tiles if many else ())
    }
    sides = {(s.a, s.b) for c in cells.values() for s in rectangle(c)}
    detail = Detail(
        wash=True, witnesses=False, ticks=False, name_size=3.2, checks=check_lengths(blank, info)
    )
    picture = draw_blank(blank, view, detail, fences=tuple(sorted(sides)))
    names = [_tile_name(name, cell, picture.ground) for name, cell in cells.items()]
    grid = [Stroke(rectangle(cell), JOINT) for cell in cells.values()]
    return [picture.group(view.window), *grid, *names], ratio


def _tile_name(name: str, cell: Box, ground: Ground) -> Item:
    """Name of a tile, in a corner of its cell if one is free."""
    tried: list[tuple[Frame, float]] = []
    for size in (4.0, 3.2, 2.5):
        wide = text_width(name, LETTERING, size)
        w, h = wide / 2.0 + 1.4, 0.36 * size + 1.4
        room = Box(cell.left + w, cell.low + h, cell.right - w, cell.high - h)
        corners = [
            (room.left, room.high),
            (room.right, room.high),
            (room.left, room.low),
            (room.right, room.low),
        ]
        others = [
            (room.left + i * room.width / 8.0, room.low + j * room.height / 10.0)
            for j in range(10, -1, -1)
            for i in range(9)
        ]
        tried += [(label_frame(at, wide, size, 0.7), size) for at in corners + others]
    free = next((t for t in tried if ground.is_free(t[0])), None)
    best, size = free or min(tried, key=lambda t: ground.clashes(t[0]))
    ground.take(best)
    return Words(baseline(best, size), name, size, LETTERING, "middle", soft=True)
