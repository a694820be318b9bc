"""What the sheets have in common: title block, check bars, legend, text.

Room: draw. Positions in mm from the lower left corner of an A4 page (other
papers move what hangs on their right and upper edges). The left margin is
20 mm for filing, the right one 12; the check bars stand outside of them.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from foldwright.draw.drawing import (
    BAR,
    DIMENSION,
    DRILL,
    LETTERING,
    LETTERING_NARROW,
    RULE_WIDE,
    TEXT,
    TEXT_BOLD,
    Area,
    Face,
    Item,
    Paper,
    Pen,
    Point,
    Stroke,
    Words,
    circle,
    line,
    polyline,
)
from foldwright.draw.fonts import text_width, wrapped

LEFT, RIGHT, TOP = 20.0, 12.0, 12.0
TITLE_BLOCK_TOP = 32.0
BAR_LENGTH = 100.0

# Sizes of type [mm]: 25, 12.5, 10.5 and 10 pt.
TITLE, HEADING, RUNNING, SECOND = 8.82, 4.41, 3.70, 3.53
NAME, DIM, SMALL = 3.5, 2.8, 2.6
# Of what is read at the bench off a drawing: 9 pt.
READ = 3.2

_BAR_X, _BAR_Y, _TICK, _LONG_TICK = 8.5, 8.0, 2.2, 3.4


@dataclass(frozen=True)
class Title:
    """Fields of a title block, left to right: small label, value."""

    fields: tuple[tuple[str, str], ...]


def title_block(title: Title, paper: Paper) -> list[Item]:
    """Title block along the foot: one wide rule, small labels, values below."""
    left, right = LEFT, paper.width - RIGHT
    items: list[Item] = [line((left, TITLE_BLOCK_TOP), (right, TITLE_BLOCK_TOP), RULE_WIDE)]
    for size, face, pad in ((3.88, TEXT, 4.0), (3.53, TEXT, 3.2), (3.0, LETTERING_NARROW, 2.6)):
        widths = _field_widths(title, size, face, pad)
        if sum(widths) <= right - left:
            break
    else:
        return items + _tight_title(title, left, right)
    slack = (right - left - sum(widths)) / max(1, len(widths) - 1)
    x = left
    for i, ((label, value), width) in enumerate(zip(title.fields, widths, strict=True)):
        if i:
            items.append(line((x, TITLE_BLOCK_TOP - 1.2), (x, TITLE_BLOCK_TOP - 10.6), DIMENSION))
            x += 1.6
        items.append(Words((x, TITLE_BLOCK_TOP - 4.2), label, 2.82, soft=True))
        items.append(Words((x, TITLE_BLOCK_TOP - 9.0), value, size, face))
        x += width - (1.6 if i else 0.0) + slack
    return items


def _field_widths(title: Title, size: float, face: Face, pad: float) -> list[float]:
    return [
        max(text_width(label, LETTERING, 2.82), text_width(value, face, size)) + pad
        for label, value in title.fields
    ]


def _tight_title(title: Title, left: float, right: float) -> list[Item]:
    """Small lettering, the longest values in two rows or cut, for names beyond all measure."""
    pad = 2.6
    widths = _field_widths(title, 2.5, LETTERING_NARROW, pad)
    while sum(widths) > right - left + 1e-9:  # the widest shrinks to the next, and so on
        most = max(widths)
        widest = [i for i, w in enumerate(widths) if w > most - 1e-9]
        next_most = max((w for w in widths if w < most - 1e-9), default=0.0)
        over = (sum(widths) - (right - left)) / len(widest)
        for i in widest:
            widths[i] = max(next_most, most - over)
    items: list[Item] = []
    x = left
    for (label, value), width in zip(title.fields, widths, strict=True):
        items.append(Words((x, TITLE_BLOCK_TOP - 3.6), label, 2.4, LETTERING_NARROW, soft=True))
        rows = wrapped(value, LETTERING_NARROW, 2.5, width - pad + 0.1)
        if len(rows) > 2:
            rows = [rows[0], rows[1][:-1] + "…" if len(rows[1]) > 1 else rows[1]]
        for j, row in enumerate(rows):
            items.append(Words((x, TITLE_BLOCK_TOP - 6.9 - 3.0 * j), row, 2.5, LETTERING_NARROW))
        x += width
    return items


def check_bars(paper: Paper, advice: Sequence[str]) -> list[Item]:
    """100 mm along the bottom and along the left, and what to do when they measure wrong."""
    items: list[Item] = []
    low = (paper.height - BAR_LENGTH) / 2.0 + 14.0
    items.append(line((LEFT, _BAR_Y), (LEFT + BAR_LENGTH, _BAR_Y), BAR))
    items.append(line((_BAR_X, low), (_BAR_X, low + BAR_LENGTH), BAR))
    for i in range(11):
        tick = _LONG_TICK if i in (0, 5, 10) else _TICK
        x, y = LEFT + 10.0 * i, low + 10.0 * i
        items.append(line((x, _BAR_Y), (x, _BAR_Y + tick), BAR))
        items.append(line((_BAR_X, y), (_BAR_X + tick, y), BAR))
    items.append(
        Words((_BAR_X - 1.4, low + 50.0), "100 mm", SMALL, anchor="middle", turn=math.pi / 2.0)
    )
    items.append(Words((LEFT + 50.0, _BAR_Y - 3.2), "100 mm", SMALL, anchor="middle"))
    width = paper.width - RIGHT - LEFT - BAR_LENGTH - 4.0
    rows = [row for text in advice if text for row in wrapped(text, LETTERING_NARROW, SMALL, width)]
    top = _BAR_Y + 5.0 + 3.1 * max(0, len(rows) - 3)
    for i, row in enumerate(rows):
        at = (LEFT + BAR_LENGTH + 4.0, top - 3.1 * i)
        items.append(Words(at, row, SMALL, LETTERING_NARROW))
    return items


ADVICE_TRUE_SIZE = (
    "Both bars are 100 mm. If your rule says otherwise, print again at actual size, not fitted "
    "to the page. If it still does, do not cut from this sheet: mark out from the numbers.",
)
ADVICE_NUMBERS = (
    "Both bars are 100 mm. If your rule says otherwise, the numbers above still hold: mark out "
    "from them. Only what is printed at 1:1 must be printed again.",
)

ADVICE_GAUGES = (
    "Both bars are 100 mm. If both read wrong but alike, the angles still hold. If they differ "
    "from each other, print again at actual size, or set a bevel to the numbers instead.",
)


def legend_row(entries: Sequence[Pen | str], x: float, y: float, right: float) -> list[Item]:
    """Name the lines in a row whose baseline is `y`, in more rows above it if it has to be.

    An entry is a pen, or ``"drill ..."`` for the sign of a drilled hole.
    """
    rows = _legend_rows(entries, right - x)
    items: list[Item] = []
    for j, row in enumerate(rows):
        place, level = x, y + _LEGEND_PITCH * (len(rows) - 1 - j)
        for entry in row:
            items.extend(_entry(entry, place, level))
            place += _entry_width(entry)
    return items


def legend_column(
    entries: Sequence[Pen | str], x: float, top: float, width: float
) -> tuple[list[Item], float]:
    """Name the lines one below the other; return the items and where they end."""
    items: list[Item] = []
    for entry in entries:
        name = entry if isinstance(entry, str) else entry.name
        before = _entry_width(entry) - text_width(name, LETTERING, READ) - 4.0
        rows = wrapped(name, LETTERING, READ, width - before)
        level = top - READ
        sign, words = _entry(entry, x, level)[:-1], rows
        items += sign
        for row in words:
            items.append(Words((x + before, level), row, READ))
            level -= READ * 1.2
        top = level + READ * 1.2 - 1.4
    return items, top


def legend_height(entries: Sequence[Pen | str], width: float) -> float:
    """Room that `legend_row` takes above its lowest baseline [mm]."""
    return _LEGEND_PITCH * (len(_legend_rows(entries, width)) - 1) + READ


def _legend_rows(entries: Sequence[Pen | str], width: float) -> list[list[Pen | str]]:
    rows: list[list[Pen | str]] = [[]]
    used = 0.0
    for entry in entries:
        if rows[-1] and used + _entry_width(entry) > width:
            rows.append([])
            used = 0.0
        rows[-1].append(entry)
        used += _entry_width(entry)
    return rows


PRICK_SIGN = "prick through to the other side"
PLACE_SIGN = "centre only: drill in place, through both parts"
GRAIN_SIGN = "grain or film arrow"
_LEGEND_PITCH = 4.4
_SAMPLE = 9.0


def _entry_width(entry: Pen | str) -> float:
    name = entry if isinstance(entry, str) else entry.name
    sample = 3.6 if isinstance(entry, str) else _SAMPLE
    return sample + 1.4 + text_width(name, LETTERING, READ) + 4.0


def _entry(entry: Pen | str, x: float, y: float) -> list[Item]:
    mid = y + READ * 0.35
    if isinstance(entry, str):
        signs = {PRICK_SIGN: prick_sign, PLACE_SIGN: place_sign, GRAIN_SIGN: _short_grain}
        sign = signs.get(entry, drill_sign)
        return [*sign((x + 1.8, mid)), Words((x + 5.0, y), entry, READ)]
    sample = line((x, mid), (x + _SAMPLE, mid), entry)
    return [sample, Words((x + _SAMPLE + 1.4, y), entry.name, READ)]


def drill_sign(at: Point, radius: float = 0.9) -> list[Item]:
    """Sign of a drilled hole: a small ring with a centre cross."""
    x, y = at
    arm = radius + 0.9
    return [
        *(
            line((x + dx, y + dy), (x - dx, y - dy), DIMENSION)
            for dx, dy in ((arm, 0.0), (0.0, arm))
        ),
        Stroke(circle(at, radius), DRILL),
    ]


def prick_sign(at: Point) -> list[Item]:
    """Sign of a point to prick through the board: a small ring with a dot."""
    return [Stroke(circle(at, 1.1), DIMENSION), Area(circle(at, 0.3))]


def place_sign(at: Point) -> list[Item]:
    """Sign of a hole that is drilled in place: a lying cross in a ring."""
    x, y = at
    arm = 1.1
    return [
        line((x - arm, y - arm), (x + arm, y + arm), DIMENSION),
        line((x - arm, y + arm), (x + arm, y - arm), DIMENSION),
        Stroke(circle(at, 1.5), DIMENSION),
    ]


def grain_arrow(at: Point, turn: float, length: float) -> list[Item]:
    """Arrow with two heads along the grain; `at` is its middle."""
    dx, dy = 0.5 * length * math.cos(turn), 0.5 * length * math.sin(turn)
    tip, tail = (at[0] + dx, at[1] + dy), (at[0] - dx, at[1] - dy)
    head = min(2.6, 0.4 * length)
    return [
        line(tail, tip, DIMENSION),
        arrow(tip, turn, head),
        arrow(tail, turn + math.pi, head),
    ]


def _short_grain(at: Point) -> list[Item]:
    return grain_arrow(at, 0.0, 4.4)


def caution(hazard: str, text: str, x: float, top: float, width: float) -> tuple[list[Item], float]:
    """Set a caution: a thick stroke in the margin, the hazard first."""
    size, leading, indent = SECOND, 1.3, 4.0
    lead = text_width(hazard + " ", TEXT_BOLD, size)
    rows = _rows_after_lead(text, lead, width - indent, size)
    items: list[Item] = []
    y = top - size * 0.95
    for i, row in enumerate(rows):
        start = x + indent
        if i == 0:
            items.append(Words((start, y), hazard, size, TEXT_BOLD))
            start += lead
        items.append(Words((start, y), row, size, TEXT))
        y -= size * leading
    bottom = y + size * (leading - 0.3)
    bar = polyline(((x, bottom), (x + 1.0, bottom), (x + 1.0, top), (x, top)), closed=True)
    items.append(Area(bar))
    return items, bottom


def _rows_after_lead(text: str, lead: float, width: float, size: float) -> list[str]:
    """Wrap text whose first row is shorter by `lead`."""
    words = text.split(" ")
    first: list[str] = []
    while words and text_width(" ".join([*first, words[0]]), TEXT, size) <= width - lead:
        first.append(words.pop(0))
    rest = wrapped(" ".join(words), TEXT, size, width) if words else []
    return [" ".join(first), *rest]


def heading(text: str, x: float, top: float, size: float = HEADING) -> tuple[list[Item], float]:
    """Set a heading."""
    return [Words((x, top - size * 0.85), text, size, TEXT_BOLD)], top - size * 1.3


def title_rows(text: str, x: float, top: float, width: float) -> tuple[list[Item], float]:
    """Set the title of a sheet, smaller and in more rows where it is long."""
    size = TITLE
    while size > 0.6 * TITLE and text_width(text, TEXT_BOLD, size) > width:
        size *= 0.92
    items: list[Item] = []
    for row in wrapped(text, TEXT_BOLD, size, width):
        block, top = heading(row, x, top, size)
        items += block
    return items, top


def caution_height(hazard: str, text: str, width: float) -> float:
    """Room that a caution needs [mm]."""
    return -caution(hazard, text, 0.0, 0.0, width)[1]


def arrow(tip: Point, towards: float, length: float = 2.2) -> Area:
    """Filled arrowhead whose tip points in direction `towards` [rad]."""
    cos, sin = math.cos(towards), math.sin(towards)
    back = (tip[0] - length * cos, tip[1] - length * sin)
    half = length * 0.15
    return Area(
        polyline(
            (
                tip,
                (back[0] - half * sin, back[1] + half * cos),
                (back[0] + half * sin, back[1] - half * cos),
            ),
            closed=True,
        )
    )
