"""Hand-made pieces for the tests of this room."""

from __future__ import annotations

import math
from collections.abc import Sequence

from foldwright.flat import Cutout, Fold, Piece, Point, Step
from foldwright.plan import Sheet, Stock

SQUARE_METRE = ((0.0, 0.0), (1000.0, 0.0), (1000.0, 1000.0), (0.0, 1000.0))


def loop(points: Sequence[Point]) -> tuple[Step, ...]:
    return tuple(Step((float(x), float(y))) for x, y in points)


def rectangle(width: float, height: float, at: Point = (0.0, 0.0)) -> tuple[Step, ...]:
    x, y = at
    return loop([(x, y), (x + width, y), (x + width, y + height), (x, y + height)])


def window(width: float, height: float, at: Point) -> Cutout:
    return Cutout(tuple(reversed(rectangle(width, height, at))), "window")


def disc(d: float, at: Point = (0.0, 0.0)) -> tuple[Step, ...]:
    return (Step((at[0] + d / 2.0, at[1]), at),)


def hole(d: float, at: Point) -> Cutout:
    return Cutout((Step((at[0] + d / 2.0, at[1]), at, left=False),), "bolt")


def piece(
    id: str,
    outline: tuple[Step, ...],
    *,
    cutouts: tuple[Cutout, ...] = (),
    grain: float | None = None,
    inside: bool = False,
    stock: str = "board3",
) -> Piece:
    """A piece without panels; `inside` gives it one groove cut from the inside."""
    folds = ()
    if inside:
        ends = ((0.0, 0.0), (1.0, 0.0))
        folds = (
            Fold(*ends, ("a", "b"), 1.0, "groove", "inside", 2.0, (), 0.8, 0.5, 1.0, 1.5, 2.0,
                 math.inf, 0.0, 0.0),
        )  # fmt: skip
    return Piece(
        id, id.split("-")[0], stock, 3.0, 0, outline, folds=folds, cutouts=cutouts, grain=grain
    )


def stock(*sheets: Sheet, grain: bool = False, trim: float = 5.0) -> Stock:
    return Stock("board3", "acp-3-0.3", 3.0, sheets, grain=grain, trim=trim, kerf=2.0, gap=3.0)


def whole(width: float, height: float, count: int = 1, price: float = 0.0) -> Sheet:
    return Sheet(((0.0, 0.0), (width, 0.0), (width, height), (0.0, height)), count, price)
