"""What a layout is: which blank lies where on which sheet, and what found no place.

Room: sheet. `layout.lay_out` makes these, `verify` judges them, `draw` draws
them.

Sheets are seen from the side that is marked. A blank is turned about its datum
corner (see `blanks`), then that corner is moved to (x, y).
"""

from __future__ import annotations

from dataclasses import dataclass

from foldwright.box import Box
from foldwright.plan import Sheet, Stock
from foldwright.sheet.outlines import is_upright

LEAST_REMAINDER = 50.0
"""A strip narrower than this is not worth a place on the rack [mm]; common practice, no source."""


@dataclass(frozen=True)
class Spot:
    """Where a blank lies: piece id, datum corner on the sheet [mm], turn anticlockwise [rad]."""

    piece: str
    x: float
    y: float
    turn: float


@dataclass(frozen=True)
class LeftOut:
    """A piece, or a length, that found no place, and why, in words."""

    id: str
    reason: str


@dataclass(frozen=True)
class SheetLayout:
    """One sheet and what lies on it.

    Attributes
    ----------
    stock : Stock
    sheet_index : int
        Which entry of `stock.sheets`.
    number : int
        Of the sheets that this layout uses, from 1.
    spots : tuple of Spot
    used : float
        Share of the sheet's area that becomes blanks, windows not counted.
    remainder : Box or None
        Largest straight piece that a single saw cut frees, the whole width or
        height of a rectangular sheet [mm]; None if it is not worth keeping.
    """

    stock: Stock
    sheet_index: int
    number: int
    spots: tuple[Spot, ...]
    used: float
    remainder: Box | None = None

    @property
    def sheet(self) -> Sheet:
        """The sheet on the rack."""
        return self.stock.sheets[self.sheet_index]

    @property
    def waste(self) -> float:
        """Share of the sheet that becomes no blank."""
        return 1.0 - self.used


@dataclass(frozen=True)
class StockLayout:
    """All sheets of one stock.

    Attributes
    ----------
    stock : Stock
    sheets : tuple of SheetLayout
    left_out : tuple of LeftOut
    price : float
        Sum of the prices of the sheets used.
    notes : tuple of str
        What the maker should know about how it was found.
    """

    stock: Stock
    sheets: tuple[SheetLayout, ...]
    left_out: tuple[LeftOut, ...] = ()
    price: float = 0.0
    notes: tuple[str, ...] = ()


def is_rectangle(sheet: Sheet) -> bool:
    """Whether a sheet is an upright rectangle."""
    return is_upright(sheet.outline)


def sheet_area(sheet: Sheet) -> float:
    """Area of a sheet [mm2]."""
    points = sheet.outline
    return 0.5 * sum(
        a[0] * b[1] - b[0] * a[1] for a, b in zip(points, (*points[1:], points[0]), strict=True)
    )


def is_offcut(sheet: Sheet, stock: Stock) -> bool:
    """Whether a sheet is left over from something: there, free, and odd or small."""
    return (
        sheet.count > 0
        and sheet.price == 0.0
        and (
            not is_rectangle(sheet)
            or any(sheet_area(other) > sheet_area(sheet) for other in stock.sheets)
        )
    )
