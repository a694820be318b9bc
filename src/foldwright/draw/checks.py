"""Check lengths: what proves that a marked blank is square and true.

Room: draw. Two long diagonals between marked corners; a parallelogram that
has the right sides still fails on them.
"""

from __future__ import annotations

import math

from foldwright.draw.blank import Blank
from foldwright.draw.drawing import Arc, Line, Point
from foldwright.draw.info import SheetInfo

_NEAR = 0.05  # mm


def check_lengths(blank: Blank, info: SheetInfo) -> tuple[tuple[Point, Point, str], ...]:
    """Two check diagonals between corners, with the words that stand on them.

    The corners farthest apart along each diagonal direction of the blank's
    bounding rectangle; of what is trimmed once it is curled, ends of the trim
    lines, since those have to be square. A blank without two such corners (a
    disc) has none; a cone has the chord of its wide arc.
    """
    corners = [p for trim in blank.trims for p in trim]
    corners = corners or [p.at for p in blank.points if p.kind == "corner"]
    if any(curve.kind == "cone" for curve in blank.piece.curved):
        return _chord(blank, corners, info)
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
    """Whether a check would lie on an edge of the sheet or of the blank, where it proves little."""
    box = blank.box
    on_sheet = any(
        abs(a[k] - side) < _NEAR and abs(b[k] - side) < _NEAR
        for k, side in ((0, box.left), (0, box.right), (1, box.low), (1, box.high))
    )
    return on_sheet or any(
        isinstance(s, Line)
        and {True} == {min(math.dist(s.a, p), math.dist(s.b, p)) < _NEAR for p in (a, b)}
        for s in blank.outline
    )


def _chord(
    blank: Blank, corners: list[Point], info: SheetInfo
) -> tuple[tuple[Point, Point, str], ...]:
    """Straight line between the ends of the wide arc of a cone."""
    apex = next((s.centre for s in blank.outline if isinstance(s, Arc)), None)
    if apex is None or len(corners) < 2:
        return ()
    a, b = sorted(corners, key=lambda p: -math.dist(p, apex))[:2]
    if _runs_along(blank, a, b):
        return ()
    return ((a, b, f"check {info.length(math.dist(a, b))}"),)
