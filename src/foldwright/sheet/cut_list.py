"""The cut list: every blank and every length, how many, how large, from what.

Room: sheet. Equal pieces of the equal parts of a family share one row.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from foldwright.flat import Path, Pattern
from foldwright.plan import AnyPart
from foldwright.sheet.bars import BarPlan
from foldwright.sheet.outlines import extent
from foldwright.sheet.records import StockLayout

type _Size = tuple[float, ...]

_DIGITS = 2  # decimals of a mm to which two sizes are one; no hand cuts finer


@dataclass(frozen=True)
class CutRow:
    """One row.

    Attributes
    ----------
    part : str
        Part, or the family of its copies.
    what : str
        What the piece is that is not the part's own faces; empty for those.
    stock : str
    count : int
    size : tuple of float
        Bounding rectangle of a blank as cut (width, height); or one length [mm].
    trimmed : tuple of float
        Bounding rectangle once what is curled is trimmed; `size` for all else [mm].
    ids : tuple of str
    places : tuple of str
        "sheet 2", "bar 1"; "nowhere yet" for what was left out.
    """

    part: str
    what: str
    stock: str
    count: int
    size: tuple[float, ...]
    trimmed: tuple[float, ...]
    ids: tuple[str, ...]
    places: tuple[str, ...]


def cut_list(
    patterns: Iterable[Pattern],
    parts: Mapping[str, AnyPart],
    layouts: Iterable[StockLayout] = (),
    bars: Iterable[BarPlan] = (),
) -> tuple[CutRow, ...]:
    """Rows of the cut list, in the order of the patterns.

    Parameters
    ----------
    patterns : iterable of Pattern
    parts : Mapping[str, AnyPart]
        By name; says which parts are copies of one.
    layouts, bars
        Where things lie; without them the rows name no places.
    """
    places = {
        spot.piece: f"sheet {sheet.number}"
        for layout in layouts
        for sheet in layout.sheets
        for spot in sheet.spots
    } | {id: f"bar {bar.number}" for plan in bars for bar in plan.bars for id in bar.ids}
    groups: dict[tuple[str, str, str, _Size, _Size], list[str]] = {}
    for pattern in patterns:
        part = parts.get(pattern.part)
        family = (part.family if part else "") or pattern.part
        for piece in pattern.pieces:
            sizes = _size_of(piece.rough), _size_of(piece.outline)
            groups.setdefault((family, piece.role, piece.stock, *sizes), []).append(piece.id)
        for cut in pattern.lengths:
            size: _Size = (round(cut.length, _DIGITS),)
            groups.setdefault((family, "", cut.stock, size, size), []).append(cut.id)
    rows = []
    for (family, role, stock, size, trimmed), ids in groups.items():
        where = [places.get(id, "nowhere yet") for id in ids] if places else []
        named = tuple(dict.fromkeys(where))
        rows.append(CutRow(family, role, stock, len(ids), size, trimmed, tuple(ids), named))
    return tuple(rows)


def _size_of(path: Path) -> _Size:
    box = extent(path)
    return (round(box.width, _DIGITS), round(box.height, _DIGITS))
