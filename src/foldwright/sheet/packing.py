"""What a packer is: the one small interface behind which packers can be changed.

Room: sheet. A `Packer` is handed a `PackingTask` and gives back a
`PackingResult`. It need not place everything, and nobody takes its word for
anything: `verify` looks at every layout before it goes on.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from foldwright.sheet.outlines import Ring


@dataclass(frozen=True)
class Item:
    """A shape to place `count` times, in one of `turns` [rad] about (0, 0); [mm]."""

    outline: Ring
    windows: tuple[Ring, ...]
    turns: tuple[float, ...]
    count: int


@dataclass(frozen=True)
class Board:
    """Equal sheets to place on: outline [mm], what one costs, how many there are."""

    outline: Ring
    cost: float
    count: int


@dataclass(frozen=True)
class PackingTask:
    """What to place on what.

    Attributes
    ----------
    items : tuple of Item
    boards : tuple of Board
    trim, spacing : float
        Least distance from a board's edge, and between two items, from the
        edges of windows too [mm].
    seconds : float
        Time to think.
    goal : str
        ``"cheapest"``: place all at least cost. ``"most"``: place as much area
        as there is room for. ``"compact"``: place all on as few of one
        kind of board as can be, so that what is left of the last is large.
    """

    items: tuple[Item, ...]
    boards: tuple[Board, ...]
    trim: float
    spacing: float
    seconds: float
    goal: str = "cheapest"


@dataclass(frozen=True)
class Placed:
    """An item (by its place in the task) turned by `turn` [rad] and moved to (x, y) [mm]."""

    item: int
    x: float
    y: float
    turn: float


@dataclass(frozen=True)
class PackedBoard:
    """One board (by its place in the task) and what lies on it."""

    board: int
    placed: tuple[Placed, ...]


@dataclass(frozen=True)
class PackingResult:
    """Boards used, and in `trouble` what went wrong, in words; empty if nothing did."""

    boards: tuple[PackedBoard, ...]
    trouble: str = ""


type Packer = Callable[[PackingTask], PackingResult]
