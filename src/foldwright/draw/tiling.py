"""How a blank is cut up into tiles that each fit on one page.

Room: draw. Tiles lie on a regular grid over the blank. Each prints its own
cell and, beyond it, half of the overlap, so that a strip and the registration
marks on the joint appear on both neighbours. Outer cells are larger by that
half, since nothing joins them there. Rows are lettered from the top,
columns numbered from the left. Cells that hold no material are not printed.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

from foldwright.box import Box
from foldwright.draw.blank import Blank, letter_of, outline_points
from foldwright.draw.drawing import Point
from foldwright.draw.placing import clipped, is_inside

OVERLAP = 10.0
_SHARES = (0.5, 0.0, 1.0, 0.25, 0.75)  # of the slack, where the grid is tried; middle first
MARGIN = 3.0  # least air round the blank in the outer tiles [mm]


@dataclass(frozen=True)
class Tile:
    """One tile: its place in the grid, and its cell on the blank [mm]."""

    row: int
    column: int
    cell: Box

    @property
    def name(self) -> str:
        """Row letter and column number."""
        return f"{letter_of(self.row)}{self.column + 1}"


@dataclass(frozen=True)
class Tiling:
    """All printed tiles of one blank, row by row."""

    rows: int
    columns: int
    tiles: tuple[Tile, ...]

    @cached_property
    def by_place(self) -> dict[tuple[int, int], Tile]:
        """Printed tiles by (row, column)."""
        return {(t.row, t.column): t for t in self.tiles}

    def neighbours(self, tile: Tile) -> dict[str, Tile]:
        """Printed tiles that share an edge, by "left", "right", "above", "below"."""
        steps = {"left": (0, -1), "right": (0, 1), "above": (-1, 0), "below": (1, 0)}
        return {
            side: self.by_place[place]
            for side, (dr, dc) in steps.items()
            if (place := (tile.row + dr, tile.column + dc)) in self.by_place
        }

    def marks(self, tile: Tile) -> list[Point]:
        """Registration marks of a tile, on the blank: ends and middles of its joints.

        Both tiles at a joint work them out from the same cell edges, so they
        print the same points.
        """
        c = tile.cell
        x, y = c.middle
        ends = {
            "left": ((c.left, c.low), (c.left, y), (c.left, c.high)),
            "right": ((c.right, c.low), (c.right, y), (c.right, c.high)),
            "above": ((c.left, c.high), (x, c.high), (c.right, c.high)),
            "below": ((c.left, c.low), (x, c.low), (c.right, c.low)),
        }
        return sorted({p for side in self.neighbours(tile) for p in ends[side]})


def tiling_of(blank: Blank, room: Box) -> Tiling:
    """Lay tiles over a blank, shifted so that few of them hold material.

    Parameters
    ----------
    blank : Blank
    room : Box
        What one page can print; only its size counts.
    """
    box, polygon = blank.box, outline_points(blank)
    found = [
        _laid(polygon, _divide(box.width, room.width, x), _divide(box.height, room.height, y))
        for x in _SHARES
        for y in _SHARES
    ]
    return min(found, key=lambda tiling: len(tiling.tiles))


def _laid(polygon: list[Point], xs: list[float], ys: list[float]) -> Tiling:
    """Tiles between grid lines, from one list so that neighbours share edges to the last bit."""
    columns, rows = len(xs) - 1, len(ys) - 1
    tiles = []
    for row in range(rows):
        for column in range(columns):
            cell = Box(xs[column], ys[rows - row - 1], xs[column + 1], ys[rows - row])
            if _holds_material(cell, polygon):
                tiles.append(Tile(row, column, cell))
    return Tiling(rows, columns, tuple(tiles))


def _divide(size: float, room: float, share: float) -> list[float]:
    """Rising edges of the cells over a length from 0; so much of the slack lies before it."""
    if size <= room - 2.0 * MARGIN:
        return [(size - room) / 2.0, (size + room) / 2.0]
    pitch = room - OVERLAP
    count = math.ceil((size + 2.0 * MARGIN - OVERLAP) / pitch)
    slack = count * pitch + OVERLAP - size - 2.0 * MARGIN
    left = -MARGIN - share * slack + OVERLAP / 2.0
    inner = [left + pitch * i for i in range(1, count)]
    return [left - OVERLAP / 2.0, *inner, left + count * pitch + OVERLAP / 2.0]


def _holds_material(cell: Box, polygon: list[Point]) -> bool:
    if is_inside(cell.middle, polygon):
        return True
    return any(
        clipped(a, b, cell) is not None
        for a, b in zip(polygon, [*polygon[1:], polygon[0]], strict=True)
    )
