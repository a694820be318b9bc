"""Check lengths: what proves that a marked blank is square and true.

Room: draw. Two long diagonals between marked corners; a parallelogram that
has the right sides still fails on them.
"""

from __future__ import annotations

import math

from foldwright.draw.blank import Blank
from foldwright.draw.drawing import Point
from foldwright.draw.info import SheetInfo


def check_lengths(blank: Blank, info: SheetInfo) -> tuple[tuple[Point, Point, str], ...]:
    """Two check diagonals between corners, with the words that stand on them.

    The corners farthest apart along each diagonal direction of the blank's
    bounding rectangle. A blank without two such corners (a disc) has none.
    """
    corners = [p.at for p in blank.points if p.kind == "corner"]
    if len(corners) < 3:
        return ()
    box = blank.box
    found: list[tuple[Point, Point, str]] = []
    for sign in (1.0, -1.0):

        def along(p: Point, sign: float = sign) -> float:
            return p[0] * box.width * sign + p[1] * box.height

        low, high = min(corners, key=along), max(corners, key=along)
        pair = {low, high}
        if (
            len(pair) == 2
            and not _runs_along(blank, low, high)
            and all(pair != {a, b} for a, b, _ in found)
        ):
            found.append((low, high, f"check {info.length(math.dist(low, high))}"))
    return tuple(found)


def _runs_along(blank: Blank, a: Point, b: Point) -> bool:
    """Whether a check would lie on the edge of the sheet, where it proves nothing."""
    box = blank.box
    return any(
        abs(a[k] - side) < 0.05 and abs(b[k] - side) < 0.05
        for k, side in ((0, box.left), (0, box.right), (1, box.low), (1, box.high))
    )
