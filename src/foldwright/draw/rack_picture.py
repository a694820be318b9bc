"""What lies on the rack, to scale, for a page on a screen: sheets, lengths, formers, saw cuts.

Room: draw. Sheets of all boards share one scale, and so do all lengths, so that a
maker sees at a glance which offcut is which. What a picture shows stands beside it
as a table; its label says it in short.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from foldwright.box import Box
from foldwright.draw.drawing import (
    LETTERING,
    LETTERING_NARROW,
    SHEET,
    Area,
    Group,
    Item,
    Path,
    Pen,
    Stroke,
    Words,
    circle,
    line,
    moved,
    polyline,
    rectangle,
)
from foldwright.draw.fonts import text_width
from foldwright.draw.info import SheetInfo, listed
from foldwright.draw.svg import svg_on_screen

if TYPE_CHECKING:
    from foldwright.plan import Stock
    from foldwright.sheet import BarPlan

_WIDTH = 92.0  # of a picture, as that of a layout [mm]
_HIGHEST_SHEET = 56.0  # [mm]
_LETTERS, _PITCH = 3.4, 4.4  # [mm]
_APART, _ROUND = 4.0, 1.0  # [mm]
_LEAST_BAR = 2.2  # a thin tube is drawn no thinner, or its two edges run together [mm]
_EDGE = Pen("edge", 0.35)


@dataclass(frozen=True)
class _Thing:
    """A shape from its own lower left corner, and the lines of words below it."""

    outline: Path
    width: float
    height: float
    words: tuple[str, ...]
    pen: Pen = _EDGE

    @property
    def room(self) -> float:
        """Width with its words [mm]."""
        return max(self.width, *(text_width(w, LETTERING, _LETTERS) for w in self.words))


def sheets_on_screen(stocks: Sequence[Stock], info: SheetInfo) -> dict[str, str]:
    """Pictures of the sheets and offcuts of each board, all at one scale."""
    boards = [stock for stock in stocks if stock.sheets]
    tallest = max((_extent(s.outline)[3] for b in boards for s in b.sheets), default=0.0)
    widest = max((_extent(s.outline)[2] for b in boards for s in b.sheets), default=0.0)
    scale = min(_HIGHEST_SHEET / tallest, (_WIDTH - 2.0 * _ROUND) / widest) if tallest else 1.0
    return {
        board.name: _set(
            [_sheet(sheet.outline, sheet.count, scale, info) for sheet in board.sheets],
            f"{info.stock_of(board.name, board.thickness)}: the sheets on the rack, to scale",
        )
        for board in boards
    }


def lengths_on_screen(stocks: Sequence[Stock], info: SheetInfo) -> dict[str, str]:
    """Pictures of the lengths of each tube and bar, all at one scale."""
    found = [stock for stock in stocks if stock.bars]
    longest = max((bar.length for stock in found for bar in stock.bars), default=1.0)
    scale = (_WIDTH - 2.0 * _ROUND) / longest
    return {
        stock.name: _set(
            [
                _length(bar.length, stock.across, bar.count, scale, info)
                for bar in sorted(stock.bars, key=lambda b: -b.length)
            ],
            f"{info.stock_of(stock.name, stock.thickness)}: the lengths on the rack, to scale",
        )
        for stock in found
    }


def formers_on_screen(formers: Mapping[str, float], info: SheetInfo) -> str:
    """Picture of the pipes to curl over, seen on their ends, at one scale."""
    largest = max(formers.values())
    scale = 30.0 / largest
    things = [
        _Thing(
            circle((d * scale / 2.0, d * scale / 2.0), d * scale / 2.0),
            d * scale,
            d * scale,
            (name.replace("_", " "), nominal(f"{info.length_with_unit(d)} across")),
        )
        for name, d in sorted(formers.items(), key=lambda f: -f[1])
    ]
    return _set(things, "Pipes to curl over, seen on their ends, to scale")


def cuts_on_screen(plan: BarPlan, lengths: Mapping[str, float], info: SheetInfo) -> str:
    """Picture of each bar with what is sawn from it, in order, and what is left."""
    stock = plan.stock
    longest = max(stock.bars[bar.bar_index].length for bar in plan.bars)
    scale = (_WIDTH - 2.0 * _ROUND) / longest
    high = 6.0
    items: list[Item] = []
    low = 0.0
    for bar in plan.bars:
        low -= high + _PITCH + 3.0
        whole = stock.bars[bar.bar_index].length
        at = _ROUND + stock.trim * scale
        for id in bar.ids:
            end = at + lengths[id] * scale
            items.append(Area(rectangle(Box(at, low, end, low + high)), "wash"))
            items += [line((x, low), (x, low + high), _EDGE) for x in (at, end)]
            shown = f"{info.length(lengths[id])}"
            face = LETTERING
            if text_width(shown, face, _LETTERS) > end - at - 1.0:
                face = LETTERING_NARROW
            if text_width(shown, face, 2.8) <= end - at - 0.6:
                size = _LETTERS if text_width(shown, face, _LETTERS) <= end - at - 1.0 else 2.8
                items.append(
                    Words(
                        ((at + end) / 2.0, low + high / 2.0 - 0.36 * size),
                        shown,
                        size,
                        face,
                        "middle",
                    )
                )
            at = end + stock.kerf * scale
        box = Box(_ROUND, low, _ROUND + whole * scale, low + high)
        items += _edges(box)
        left = f"bar {bar.number}: {info.length_with_unit(bar.offcut)} is left"
        items.append(Words((_ROUND, low + high + 1.6), left, _LETTERS, LETTERING))
    down = low - _ROUND
    sawn = listed([f"{len(bar.ids)} from bar {bar.number}" for bar in plan.bars])
    label = f"{info.stock_of(stock.name, stock.thickness)}, what is sawn from each bar: {sawn}"
    return svg_on_screen(_shifted(items, -down), _WIDTH, -down, label)


def nominal(words: str) -> str:
    """Say sizes of what is bought without their tenths: "1220 by 2440 mm"."""
    return re.sub(r"(\d)\.0(?!\d)", r"\1", words)


def _edges(box: Box) -> Iterator[Item]:
    """Two edges of a bar, and its ends as they come from the shop."""
    for y in (box.low, box.high):
        yield line((box.left, y), (box.right, y), _EDGE)
    for x in (box.left, box.right):
        yield line((x, box.low), (x, box.high), SHEET)


def _sheet(
    outline: Sequence[tuple[float, float]], count: int, scale: float, info: SheetInfo
) -> _Thing:
    left, low, width, height = _extent(outline)
    corners = [((x - left) * scale, (y - low) * scale) for x, y in outline]
    return _Thing(
        polyline(corners, closed=True),
        width * scale,
        height * scale,
        (nominal(info.by(width, height)), _there(count)),
        _EDGE if count else SHEET,
    )


def _length(length: float, across: float, count: int, scale: float, info: SheetInfo) -> _Thing:
    high = max(across * scale, _LEAST_BAR)
    return _Thing(
        rectangle(Box(0.0, 0.0, length * scale, high)),
        length * scale,
        high,
        (nominal(f"{info.length_with_unit(length)}, {_there(count)}"),),
        _EDGE if count else SHEET,
    )


def _there(count: int) -> str:
    return f"{count} there" if count else "to be bought"


def _extent(outline: Sequence[tuple[float, float]]) -> tuple[float, float, float, float]:
    """Lower left corner, width and height of the rectangle round an outline [mm]."""
    xs, ys = zip(*outline, strict=True)
    return min(xs), min(ys), max(xs) - min(xs), max(ys) - min(ys)


def _set(things: Sequence[_Thing], label: str) -> str:
    """Set things side by side, in more rows where they have to be, on a common foot."""
    rows: list[list[_Thing]] = [[]]
    used = 0.0
    for thing in things:
        if rows[-1] and used + thing.room > _WIDTH - 2.0 * _ROUND:
            rows.append([])
            used = 0.0
        rows[-1].append(thing)
        used += thing.room + _APART
    items: list[Item] = []
    foot = 0.0
    for row in rows:
        foot -= max(thing.height for thing in row)
        x = _ROUND
        for thing in row:
            items += _drawn(thing, x, foot)
            x += thing.room + _APART
        foot -= _PITCH * max(len(thing.words) for thing in row) + 4.0
    height = -foot + _ROUND
    return svg_on_screen(_shifted(items, height - _ROUND), _WIDTH, height, label)


def _drawn(thing: _Thing, x: float, foot: float) -> Iterator[Item]:
    path = moved(thing.outline, lambda p: (p[0] + x, p[1] + foot))
    if thing.pen is not SHEET:
        yield Area(path, "wash")
    yield Stroke(path, thing.pen)
    for i, words in enumerate(thing.words, 1):
        yield Words((x, foot - _PITCH * i), words, _LETTERS, LETTERING)


def _shifted(items: Sequence[Item], up: float) -> list[Item]:
    return [Group(tuple(items), shift=(0.0, up))]
