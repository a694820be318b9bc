"""What fits no sheet at all, found before anything is packed, and why.

Room: sheet. On rectangular sheets the answer is exact: a shape fits if its
bounding rectangle does, in a turn that it may take. A blank without grain that
fits in none of the quarter turns is tried in every other (a long strut lies
corner to corner). On odd offcuts only the bounding rectangles are compared;
what passes here may still be left out by the packer.
"""

from __future__ import annotations

import math

import numpy as np

from foldwright.plan import Sheet, Stock
from foldwright.sheet.blanks import Blank, turned, turns_of
from foldwright.sheet.outlines import ring_extent
from foldwright.sheet.records import sheet_area

_STEP = math.radians(0.25)
_ROUNDING = 1e-7  # mm


def room_on(stock: Stock) -> tuple[tuple[float, float], ...]:
    """What each of its sheets has room for, less the trim, along x and y [mm]."""
    boxes = [ring_extent(sheet.outline) for sheet in stock.sheets]
    rooms = [(b.width - 2.0 * stock.trim, b.height - 2.0 * stock.trim) for b in boxes]
    return tuple(dict.fromkeys(room for room in rooms if min(room) > 0.0))


def fitting_turns(blank: Blank, stock: Stock) -> tuple[float, ...]:
    """Turns [rad] in which a blank fits some sheet of the stock; empty if there is none."""
    allowed = [t for t in turns_of(blank, stock) if _fits_some(blank, t, stock)]
    if allowed or (stock.grain and blank.grain is not None):
        return tuple(allowed)
    skew = _skew_turn(blank, stock)
    return () if skew is None else (skew, skew + math.pi)


def why_not(blank: Blank, stock: Stock) -> str:
    """Say why a blank fits no sheet of its stock, with the numbers."""
    if not stock.sheets:
        return (
            f"There is no sheet of {stock.name} on the rack. "
            f"Add sheets = [{{ size = [1220, 2440] }}] to [rack.{stock.name}]."
        )
    turn = turns_of(blank, stock)[0]
    box = ring_extent(turned(blank.outline, turn))
    sheet = max(stock.sheets, key=sheet_area)
    size = ring_extent(sheet.outline)
    spare = f", {blank.spare:.1f} mm of it to trim at each end" if blank.spare else ""
    text = (
        f"It needs {_by(box.width, box.height)}{spare}; the largest sheet of {stock.name} is "
        f"{_by(size.width, size.height)} less {stock.trim:g} mm trim all round."
    )
    held = stock.grain and blank.grain is not None
    if held and _fits_some(blank, turn + math.pi / 2.0, stock):
        return (
            f"{text} Across the grain it would fit. Put a wider sheet on the rack, or set grain "
            "for the part the other way."
        )
    return f"{text} Put a larger sheet on the rack, or split the part (cut_at cuts a fold apart)."


def _by(width: float, height: float) -> str:
    return f"{width:.1f} by {height:.1f} mm"


def _fits_some(blank: Blank, turn: float, stock: Stock) -> bool:
    box = ring_extent(turned(blank.outline, turn))
    return any(_room(s, stock, box.width, box.height) >= -_ROUNDING for s in stock.sheets)


def _room(sheet: Sheet, stock: Stock, width: float, height: float) -> float:
    """By how much a rectangle is smaller than the sheet's, the tighter way [mm]."""
    size = ring_extent(sheet.outline)
    return min(size.width - width, size.height - height) - 2.0 * stock.trim


def _skew_turn(blank: Blank, stock: Stock) -> float | None:
    """Turn with the most room on any sheet, if there is one with any."""
    points = np.array(blank.outline)
    sides = np.diff(np.vstack([points, points[:1]]), axis=0)
    flush = np.arctan2(sides[:, 1], sides[:, 0])
    angles = np.unique(
        np.concatenate([np.arange(0.0, math.pi, _STEP), -flush, math.pi / 2.0 - flush]) % math.pi
    )
    across = np.cos(angles)[:, None] * points[:, 0] - np.sin(angles)[:, None] * points[:, 1]
    up = np.sin(angles)[:, None] * points[:, 0] + np.cos(angles)[:, None] * points[:, 1]
    best = max(
        (
            (_room(sheet, stock, float(w), float(h)), -i)
            for i, (w, h) in enumerate(zip(np.ptp(across, axis=1), np.ptp(up, axis=1), strict=True))
            for sheet in stock.sheets
        ),
        default=(-1.0, 0),
    )
    return float(angles[-best[1]]) if best[0] >= 0.0 else None


def why_unplaced(stock: Stock) -> str:
    """Say why a blank that would fit a sheet lies on none."""
    if any(sheet.count == 0 for sheet in stock.sheets):
        return (
            f"No place was found for it on the offcuts of {stock.name}, and it fits none of the "
            "sheets that can be bought."
        )
    total = sum(sheet.count for sheet in stock.sheets)
    return (
        f"No sheet is left: the rack has {total} of {stock.name}, and the other blanks fill "
        f"{'it' if total == 1 else 'them'}. Add a sheet to [rack.{stock.name}], or write count = 0 "
        "for sheets that can be bought."
    )
