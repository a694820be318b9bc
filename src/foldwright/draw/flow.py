"""Text, tables and small drawings set one below the other, in columns and pages.

Room: draw. A *block* is a function of its left edge, top and width that gives
back its items and its bottom. A `Chunk` is a block that is not broken; what
is too long for a column goes on in the next, and when the columns of a page
are full, on the next page, so that nothing runs off the paper.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from foldwright.box import Box
from foldwright.draw.drawing import HAIR, LETTERING, RULE, TEXT, Face, Item, Words, line
from foldwright.draw.fonts import text_width, wrapped
from foldwright.draw.sheet import RUNNING

type Block = Callable[[float, float, float], tuple[list[Item], float]]


@dataclass(frozen=True)
class Chunk:
    """A block that stays whole.

    `keep` holds it together with the next chunk; `again` is set above it when
    it begins a column (the head of a table that goes on); `space` is the room
    above it where it does not begin one [mm].
    """

    block: Block
    keep: bool = False
    again: Block | None = None
    space: float = 0.0


def height_of(block: Block, width: float) -> float:
    """Room that a block takes [mm]."""
    return -block(0.0, 0.0, width)[1]


def flow(
    chunks: Sequence[Chunk],
    columns: Iterator[Box],
    on_column: Callable[[Box], None],
    put: Callable[[list[Item]], None],
) -> None:
    """Set chunks into columns, in order.

    Parameters
    ----------
    chunks : sequence of Chunk
    columns : iterator of Box
        Endless: the room of each column in turn.
    on_column : callable
        Told of each column as it is begun, so that the caller can turn the page.
    put : callable
        Takes the items.
    """
    box = next(columns)
    on_column(box)
    top = box.high
    fresh = True
    for together in _together(chunks):
        need = sum(height_of(c.block, box.width) + c.space for c in together)
        if not fresh and top - need < box.low:
            box = next(columns)
            on_column(box)
            top, fresh = box.high, True
        for chunk in together:
            if fresh:
                if chunk.again is not None:
                    items, top = chunk.again(box.left, top, box.width)
                    put(items)
            else:
                top -= chunk.space
            items, top = chunk.block(box.left, top, box.width)
            put(items)
            fresh = False


def _together(chunks: Sequence[Chunk]) -> list[list[Chunk]]:
    runs: list[list[Chunk]] = []
    open_run = False
    for chunk in chunks:
        if open_run:
            runs[-1].append(chunk)
        else:
            runs.append([chunk])
        open_run = chunk.keep
    return runs


@dataclass(frozen=True)
class Column:
    """One column of a table: its head, share of the width, and side its text stands on."""

    head: str
    share: float
    right: bool = False
    face: Face = LETTERING


def table(
    columns: Sequence[Column], rows: Sequence[Sequence[str]], *, size: float = 3.4
) -> list[Chunk]:
    """Rows of a table as chunks: a rule above, hairlines between, the head set again."""

    def head(x: float, top: float, width: float) -> tuple[list[Item], float]:
        items: list[Item] = []
        base = top - 3.2
        for column, (left, right) in zip(columns, _edges(columns, x, width), strict=True):
            items.append(_cell(column.head, column, left, right, base, 2.8, LETTERING, soft=True))
        items.append(line((x, base - 1.5), (x + width, base - 1.5), RULE))
        return items, base - 1.5

    def row_block(cells: Sequence[str], last: bool) -> Block:
        def block(x: float, top: float, width: float) -> tuple[list[Item], float]:
            items: list[Item] = []
            edges = _edges(columns, x, width)
            texts = [
                [cell] if column.right else wrapped(cell, column.face, size, right - left)
                for cell, column, (left, right) in zip(cells, columns, edges, strict=True)
            ]
            deep = max(len(t) for t in texts)
            for column, lines, (left, right) in zip(columns, texts, edges, strict=True):
                for i, text in enumerate(lines):
                    base = top - size * 1.12 - i * size * 1.2
                    items.append(_cell(text, column, left, right, base, size, column.face))
            bottom = top - size * 1.12 - (deep - 1) * size * 1.2 - size * 0.42
            if not last:
                items.append(line((x, bottom), (x + width, bottom), HAIR))
            return items, bottom

        return block

    chunks = [Chunk(head, keep=True, space=1.0)]
    for i, cells in enumerate(rows):
        block = row_block(cells, i + 1 == len(rows))
        chunks.append(Chunk(block, again=head if i else None))
    return chunks


def _edges(columns: Sequence[Column], x: float, width: float) -> list[tuple[float, float]]:
    total = sum(c.share for c in columns)
    edges = []
    for column in columns:
        w = width * column.share / total
        edges.append((x, x + w - (0.0 if column is columns[-1] else 2.0)))
        x += w
    return edges


def _cell(
    text: str,
    column: Column,
    left: float,
    right: float,
    base: float,
    size: float,
    face: Face,
    soft: bool = False,
) -> Words:
    width = text_width(text, face, size)
    if width > right - left:  # a head or number that is too long is set smaller, never cut
        size *= (right - left) / width
    if column.right:
        return Words((right, base), text, size, face, "end", soft=soft)
    return Words((left, base), text, size, face, soft=soft)


def paragraph(text: str, size: float = RUNNING, face: Face = TEXT) -> Block:
    """Running text as a block."""

    def block(x: float, top: float, width: float) -> tuple[list[Item], float]:
        items: list[Item] = []
        rows = wrapped(text, face, size, width)
        for i, row in enumerate(rows):
            items.append(Words((x, top - size * (0.95 + 1.33 * i)), row, size, face))
        return items, top - size * (0.95 + 1.33 * (len(rows) - 1) + 0.3)

    return block
