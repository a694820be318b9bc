"""Strips behind seams: how many of which size, as a list instead of a drawing each.

Room: draw. A strip is a plain rectangle, folded once along its length or not
at all; its two sizes and the place of its fold say all there is to mark.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from foldwright.box import Box
from foldwright.draw.blank import Blank, in_words
from foldwright.draw.drawing import (
    CUT,
    LETTERING,
    MIDDLE,
    TEXT,
    Area,
    Item,
    Stroke,
    Words,
    line,
    rectangle,
)
from foldwright.draw.flow import Block, Chunk, Column, paragraph, table
from foldwright.draw.info import SheetInfo, degrees, listed
from foldwright.draw.lots import Lot
from foldwright.draw.sheet import DIM
from foldwright.draw.view import fitting_scale
from foldwright.draw.wording import counted

_BESIDE = 45.0  # room for the sizes beside the pictures [mm]
_AIR = 4.0  # between two pictures [mm]


def strip_chunks(
    lots: Sequence[Lot], info: SheetInfo, set_ups: Callable[[Blank, SheetInfo], list[Chunk]]
) -> list[Chunk]:
    """Head, list, pictures and set-ups of all strips of one stock."""
    count = counted(sum(lot.count for lot in lots), "strip").capitalize()
    stock = info.stock_of(lots[0].blank.piece.stock, lots[0].blank.piece.thickness)
    ordered = sorted(lots, key=lambda lot: -_sizes(lot.blank)[0])
    text = (
        f"{count} of {stock}, glued behind seams. Rip a length to the width, mark the fold "
        "along it, cut the groove in one go, and only then saw it to lengths."
        if any(lot.blank.folds for lot in lots)
        else f"{count} of {stock}, glued behind seams. Rip a length to the width, then saw "
        "it to lengths."
    )
    sides = {lot.blank.side for lot in lots if lot.blank.folds}
    if len(sides) == 1:
        side = sides.pop()
        text += f" Mark the {side}, film side {'down' if side == 'inside' else 'up'}."
    head, *rows = _list(ordered, info)
    chunks = [Chunk(paragraph(text)), replace(head, space=3.0), *rows]
    chunks.append(Chunk(_pictures(ordered, info), space=6.0))
    seen: set[tuple[float, ...]] = set()
    for lot in ordered:
        for fold in lot.blank.folds:
            f = fold.fold
            key = tuple(round(v, 3) for v in (f.floor, f.web, f.cutter, f.inner_radius))
            if key not in seen:
                seen.add(key)
                chunks += set_ups(lot.blank, info)
    return chunks


def _sizes(blank: Blank) -> tuple[float, float]:
    """Length and width [mm]."""
    return max(blank.box.width, blank.box.height), min(blank.box.width, blank.box.height)


def fold_place(blank: Blank) -> float | None:
    """Distance of the fold from the nearer long edge [mm]; None if there is none."""
    if not blank.folds:
        return None
    lies = blank.box.width >= blank.box.height
    place = blank.folds[0].a[1 if lies else 0]
    return min(place, _sizes(blank)[1] - place)


def _list(lots: Sequence[Lot], info: SheetInfo) -> list[Chunk]:
    rows = []
    for lot in lots:
        blank = lot.blank
        length, width = _sizes(blank)
        place = fold_place(blank)
        folds = [(degrees(f.inside_angle), degrees(f.fold_to)) for f in blank.folds]
        rows.append(
            (
                str(lot.count),
                info.length(length),
                info.length(width),
                info.length(place) if place is not None else "flat",
                *(folds[0] if folds else ("", "")),
                _behind(lot),
            )
        )
    columns = (
        Column("Make", 10.0, right=True),
        Column("Length", 18.0, right=True),
        Column("Width", 16.0, right=True),
        Column("Fold from edge", 22.0, right=True),
        Column("Inside angle", 20.0, right=True),
        Column("Fold to", 16.0, right=True),
        Column("  Behind seams", 60.0, face=TEXT),
    )
    return table(columns, rows)


def _behind(lot: Lot) -> str:
    """Seams by part: "pedestal a and d"."""
    parts: dict[str, list[str]] = {}
    for blank in lot.blanks:
        seam = blank.piece.role.partition(", seam ")[2]
        parts.setdefault(in_words(blank.piece.part), []).append(seam)
    return "  " + "; ".join(
        f"{part} {listed(sorted(filter(None, seams), key=lambda s: (len(s), s)))}".strip()
        for part, seams in parts.items()
    )


def reduction(lots: Sequence[Lot], width: float) -> float:
    """Scale of the pictures, as one to so much."""
    longest = max(_sizes(lot.blank)[0] for lot in lots)
    return fitting_scale(longest, 1.0, width - _BESIDE, 50.0)


def _pictures(lots: Sequence[Lot], info: SheetInfo) -> Block:
    """Each size once, all to one scale, with its fold."""

    def block(x: float, top: float, width: float) -> tuple[list[Item], float]:
        scale = 1.0 / reduction(lots, width)
        items: list[Item] = []
        for lot in lots:
            length, wide = (scale * v for v in _sizes(lot.blank))
            box = Box(x, top - wide, x + length, top)
            items += [Area(rectangle(box), "wash"), Stroke(rectangle(box), CUT)]
            place = fold_place(lot.blank)
            if place is not None:
                y = box.high - scale * place
                items.append(line((box.left, y), (box.right, y), MIDDLE))
            sizes = info.by(*_sizes(lot.blank))
            text = f"{lot.count} of {sizes}" if lot.count > 1 else sizes
            at = (box.right + 3.0, box.middle[1] - 0.36 * DIM)
            items.append(Words(at, text, DIM, LETTERING))
            top = box.low - _AIR
        return items, top + _AIR

    return block
