"""The drawing of a marking-out sheet: a blank with running dimensions along two sides.

Room: draw.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from foldwright.box import Box
from foldwright.draw.blank import Blank
from foldwright.draw.blank_drawing import draw_blank
from foldwright.draw.checks import check_lengths
from foldwright.draw.drawing import CHECK, SHEET, Item, Pen, Stroke, rectangle
from foldwright.draw.info import SheetInfo
from foldwright.draw.running import Reading, band, is_crowded, readings, scale_along
from foldwright.draw.sheet import legend_column, legend_height, legend_row
from foldwright.draw.view import Detail, View, fitting_scale
from foldwright.draw.wording import drill_names, line_names, sign_names

_BESIDE = 34.0  # a column of line names beside a drawing [mm]
_CLEARER = 1.3  # how much larger a drawing has to come out to get a sheet to itself


@dataclass(frozen=True)
class Drawn:
    """A drawing with its scales: reduction, lower end, and if its labels found no room."""

    items: list[Item]
    ratio: float
    bottom: float
    crowded: bool

    def is_clearer_than(self, other: Drawn) -> bool:
        """Whether it is worth a sheet of its own."""
        return self.ratio * _CLEARER <= other.ratio or (other.crowded and not self.crowded)


def largest_with_scales(blank: Blank, info: SheetInfo, room: Box) -> Drawn:
    """Blank with its scales as large as a small room lets it be, to no usual scale.

    Its lines are named below or beside, as leaves more.
    """
    trials = [_drawn(blank, info, room, beside, False) for beside in (False, True)]
    return min(trials, key=lambda drawn: (drawn.crowded, drawn.ratio))


def drawing_with_scales(blank: Blank, info: SheetInfo, room: Box) -> Drawn:
    """Blank with its scales in the room, to a usual scale, its lines named below it."""
    return _drawn(blank, info, room, False, True)


def _drawn(blank: Blank, info: SheetInfo, room: Box, beside: bool, is_usual: bool) -> Drawn:
    across, up = readings(blank, info, 0), readings(blank, info, 1)
    size = blank.box
    checks = check_lengths(blank, info)
    is_bare = not is_usual and _is_crowded(across, up, room)
    if is_bare:  # numbers that no scale explains are in the way
        checks = ()
    names = _legend_names(blank, info, bool(checks))
    legend = 0.0 if beside else legend_height(names, room.width) + 4.5
    right = room.right - (_BESIDE + 3.0 if beside else 0.0)
    full = Box(room.left, room.low + legend, right, room.high)
    crowded = is_bare or _is_crowded(across, up, full)
    left, below = (8.0, 8.0) if crowded else (band(up), band(across))
    air = 5.0  # for numbers outside the corners
    width, height = full.width - left - air, full.height - below - air
    ratio = max(size.width / width, size.height / height)
    if is_usual:
        ratio = fitting_scale(size.width, size.height, width, height)
    scale = 1.0 / ratio
    # labels need their length whatever the scale: the blank hangs from the top, in the middle
    tall = max(size.height * scale, 0.0 if crowded else len(up) * 3.15 - below + 8.0)
    origin = (
        full.left + left + max(0.0, (width - size.width * scale) / 2.0) * 0.5,
        full.high - air - size.height * scale,
    )
    bottom = full.high - air - tall - below
    view = View(origin, scale, Box(full.left, bottom, full.right, full.high + 1.0))
    board = Box(*origin, origin[0] + size.width * scale, origin[1] + size.height * scale)
    items: list[Item] = [Stroke(rectangle(board), SHEET)] if not blank.is_rectangle else []
    if not crowded:
        items += scale_along(
            up, view, size.height, 1, (origin[1] - (tall - size.height * scale) - 2.0, full.high)
        )
        items += scale_along(across, view, size.width, 0, (origin[0] - 4.0, full.right - 1.5))
    detail = Detail(
        wash=True,
        ticks=not is_bare,
        numbers=not is_bare,
        all_numbers=not crowded,
        checks=checks,
        leaders=True,
    )
    around = Box(board.left - 4.0, board.low - 4.2, full.right, full.high + 1.0)
    fences = tuple((s.a, s.b) for s in rectangle(board))
    picture = draw_blank(blank, View(origin, scale, around), detail, fences=fences)
    items.append(picture.group(None))
    if not beside:
        items += legend_row(names, room.left, bottom - legend + 1.0, room.right)
        return Drawn(items, ratio, bottom - legend, crowded)
    named, ends = legend_column(names, room.right - _BESIDE, room.high, _BESIDE)
    return Drawn([*items, *named], ratio, min(bottom, ends), crowded)


def _is_crowded(across: Sequence[Reading], up: Sequence[Reading], room: Box) -> bool:
    return is_crowded(up, room.height - 6.0) or is_crowded(across, room.width - 20.0)


def _legend_names(blank: Blank, info: SheetInfo, any_checks: bool) -> list[Pen | str]:
    names: list[Pen | str] = [*line_names(blank, zones=False), *drill_names(blank, info)]
    names += sign_names(blank)
    names += [] if blank.is_rectangle else [SHEET]
    return names + ([CHECK] if any_checks else [])
