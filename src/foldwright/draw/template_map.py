"""The map of a template: how its tiles lie, how to join them, what they measure then.

Room: draw.
"""

from __future__ import annotations

from dataclasses import dataclass

from foldwright.box import Box
from foldwright.draw import cautions
from foldwright.draw.blank import Blank
from foldwright.draw.blank_drawing import draw_blank
from foldwright.draw.checks import check_lengths
from foldwright.draw.drawing import (
    CHECK,
    JOINT,
    LETTERING,
    Item,
    Page,
    Paper,
    Stroke,
    Words,
    rectangle,
)
from foldwright.draw.flow import height_of, paragraph
from foldwright.draw.fonts import text_width
from foldwright.draw.info import SheetInfo
from foldwright.draw.lots import Lot, making_of
from foldwright.draw.placing import Frame, Ground, baseline, label_frame
from foldwright.draw.sheet import (
    ADVICE_TRUE_SIZE,
    LEFT,
    NAME,
    RIGHT,
    SECOND,
    caution,
    check_bars,
    legend_height,
    legend_row,
    title_block,
    title_rows,
)
from foldwright.draw.tiling import Tiling
from foldwright.draw.view import Detail, View, fitting_scale
from foldwright.draw.wording import counted, describe, line_names, notes_of, sign_names, title_of

_MANY_NOTES = 3  # more than these are set as one paragraph


@dataclass(frozen=True)
class Template:
    """A lot with its paper and its tiles."""

    lot: Lot
    paper: Paper
    tiling: Tiling

    @property
    def has_map(self) -> bool:
        """Whether a map page says how its tiles join."""
        return len(self.tiling.tiles) > 1

    @property
    def sheets(self) -> int:
        """How many pages it takes."""
        return len(self.tiling.tiles) + self.has_map


def map_page(template: Template, info: SheetInfo, paper: Paper, sheet: int, sheets: int) -> Page:
    """Map of one lot: how its tiles lie, how to join them, what they must measure then."""
    lot, blank, tiling = template.lot, template.lot.blank, template.tiling
    width = paper.width - LEFT - RIGHT
    items, top = title_rows(lot.title, LEFT, paper.height - 11.0, width)
    notes = notes_of(blank, info)
    said = f"{making_of(lot, notes)} {_tiles_in_words(tiling, sheet)}".strip()
    if len(notes) > _MANY_NOTES:
        notes = (" ".join(notes),)
    for text in (said, describe(blank, info), *notes):
        block, top = paragraph(text)(LEFT, top - 1.2, width)
        items += block
    items.append(Words((LEFT, top - 6.2), f"THIS SIDE UP: {blank.side_up}", NAME))
    top -= 8.0
    half = (width - 8.0) / 2.0
    left, right = paragraph(_how_to_join(blank, info), SECOND), _sharp
    names = [*line_names(blank, zones=False, witnesses=False), *sign_names(blank)]
    if check_lengths(blank, info):
        names.append(CHECK)
    names.append(JOINT)
    items += legend_row(names, LEFT, 36.5, paper.width - RIGHT)
    foot = 40.5 + legend_height(names, width) + max(height_of(left, half), height_of(right, half))
    items += left(LEFT, foot, half)[0] + right(LEFT + half + 8.0, foot, half)[0]
    window = Box(LEFT, foot + 5.0, paper.width - RIGHT, top - 4.0)
    picture, scale = _map(blank, tiling, info, window)
    items += picture
    title = title_of(blank, info, f"1:{scale:g}", sheet, sheets, lot.title)
    items += title_block(title, paper)
    items += check_bars(paper, (*ADVICE_TRUE_SIZE, info.correction))
    return Page(paper, tuple(items))


def _sharp(x: float, top: float, width: float) -> tuple[list[Item], float]:
    return caution(*cautions.EDGES.said, x, top, width)


def _tiles_in_words(tiling: Tiling, sheet: int) -> str:
    count = len(tiling.tiles)
    first, last = tiling.tiles[0].name, tiling.tiles[-1].name
    return (
        f"At 1:1 on {counted(count, 'tile')}, {first} to {last}, row by row: "
        f"sheets {sheet + 1} to {sheet + count}."
    )


def _how_to_join(blank: Blank, info: SheetInfo) -> str:
    box = blank.box
    size = f"{info.length_with_unit(box.width)} across and {info.length_with_unit(box.height)} up"
    start = (
        "Print at actual size and measure both bars. Trim each tile along its dotted joints on "
        "the right and below, lay it on its neighbour until the ringed crosses meet, and tape "
        "it. Joined, "
    )
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
