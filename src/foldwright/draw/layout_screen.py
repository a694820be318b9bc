"""Sheet layouts for a page on a screen: the picture, and all that it shows as words too.

Room: draw. The same picture and the same sentences as on the printed pages of
`layouts`. A sheet that is wider than high is drawn twice: wide, and narrow with its
letters as large for a telephone.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from foldwright.box import Box
from foldwright.draw.book_names import piece_called
from foldwright.draw.drawing import Group, Pen
from foldwright.draw.info import SheetInfo, degrees, listed
from foldwright.draw.layout_picture import Laid, line_names, sheet_picture, size_of
from foldwright.draw.layouts import (
    by_reason,
    describe_sheet,
    laid_on,
    name_of,
    notes_on,
    side_up,
)
from foldwright.draw.sheet import legend_height, legend_row
from foldwright.draw.svg import svg_on_screen
from foldwright.plan import in_units

if TYPE_CHECKING:
    from foldwright.flat import Piece
    from foldwright.sheet import LeftOut, SheetLayout, StockLayout

# Width of a picture, in mm of its lettering: what a telephone and what a table shows [mm].
_NARROW, _WIDE = 92.0, 152.0
_HIGHEST = 190.0  # of a picture [mm]
_ROUND = 1.5  # air round a picture [mm]


@dataclass(frozen=True)
class LaidRow:
    """A blank on a sheet: number in the picture, blank, part, place of its datum corner, turn."""

    number: int
    piece: str
    part: str
    across: str
    up: str
    turned: str


@dataclass(frozen=True)
class ShownSheet:
    """One sheet as a page shows it.

    Attributes
    ----------
    name : str
        "3 mm skinned board, sheet 1 of 3".
    said : tuple of str
        What it is, what remains, what is marked on the other side.
    side_up : str
        Which side lies up.
    narrow, wide : str
        Pictures as ``<svg>``; `wide` is empty where the narrow one does for all.
    rows : tuple of LaidRow
    """

    name: str
    said: tuple[str, ...]
    side_up: str
    narrow: str
    wide: str
    rows: tuple[LaidRow, ...]


def shown_sheets(
    layout: StockLayout, pieces: Sequence[Piece], info: SheetInfo
) -> tuple[ShownSheet, ...]:
    """All sheets of a stock as a page shows them."""
    by_id = {piece.id: piece for piece in pieces}
    return tuple(_shown(layout, sheet, laid_on(sheet, by_id), info) for sheet in layout.sheets)


def without_place(left_out: Sequence[LeftOut], units: str) -> tuple[tuple[str, str], ...]:
    """What found no place and why, blanks with the same reason together."""
    return tuple(
        (listed([piece_called(id) for id in ids]), in_units(reason, units))
        for reason, ids in by_reason(left_out).items()
    )


def _shown(
    layout: StockLayout, sheet: SheetLayout, laid: Sequence[Laid], info: SheetInfo
) -> ShownSheet:
    width, height = size_of(sheet)
    name = name_of(layout, sheet, info)
    notes = notes_on(laid)  # the first, how to read figures, is said once for all sheets
    return ShownSheet(
        name,
        (describe_sheet(layout, sheet, info), *notes[1:]),
        side_up(laid),
        _picture(sheet, laid, info, name, _NARROW),
        _picture(sheet, laid, info, name, _WIDE) if width > height else "",
        tuple(
            LaidRow(
                spot.number,
                spot.blank.title,
                spot.blank.piece.part,
                info.length(spot.at[0]),
                info.length(spot.at[1]),
                degrees(spot.turn % math.tau).replace(".0°", "°"),
            )
            for spot in laid
        ),
    )


def _picture(
    sheet: SheetLayout, laid: Sequence[Laid], info: SheetInfo, name: str, width: float
) -> str:
    """Sheet with its legend below, as high as it needs."""
    items, scale, bottom = sheet_picture(
        sheet, laid, info, Box(_ROUND, 0.0, width - _ROUND, _HIGHEST)
    )
    names: list[Pen | str] = line_names(sheet, laid)
    legend = legend_height(names, width - 2.0 * _ROUND)
    low = bottom - 3.0 - legend
    items += legend_row(names, _ROUND, low, width - _ROUND)
    down = low - _ROUND
    label = (
        f"{name}, at 1:{scale:g}: {listed([spot.blank.title for spot in laid])}. "
        "The table beside it says where each lies."
    )
    moved = Group(tuple(items), shift=(0.0, -down))
    return svg_on_screen([moved], width, _HIGHEST + _ROUND - down, label)
