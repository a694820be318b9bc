"""Movement: what heat does where sheets of unlike material are joined.

The mechanics are those of `shop.movement`; here they meet the plan: which
strip is glued behind which board, which parts meet, and over what length.
Moisture is left out: a plan does not know where the build will hang.
"""

from __future__ import annotations

from foldwright.shop import Board
from foldwright.shop.movement import Change, moves_apart

# From the bench to a cold hall or a sunny window [K]; common practice, no source.
SWING = 20.0
# Joints shorter than this, and movement smaller than this, come to nothing [mm].
SHORTEST = 300.0
_LITTLE = 0.1


def backing_moves(board: Board, strip: Board, length: float) -> str:
    """What to know of a strip glued behind a board; empty if nothing.

    Parameters
    ----------
    board, strip : Board
    length : float
        Of the longest strip [mm].
    """
    amount = _apart(board, strip, length)
    if not amount:
        return ""
    return (
        f"The backing strips are of {strip.what}, and the part of {board.what}: over "
        f"{length:.0f} mm the two move {amount:.1f} mm apart for {SWING:.0f} degrees warmer or "
        "colder. Take glue that gives, or strips of the part's own board."
    )


def meeting_moves(other: str, board: Board, theirs: Board, length: float) -> str:
    """What to know of a part that is of another material than one it meets; empty if nothing.

    Parameters
    ----------
    other : str
        The part that it meets, in words.
    board, theirs : Board
    length : float
        Over which the two lie together [mm].
    """
    amount = _apart(board, theirs, length)
    if not amount:
        return ""
    return (
        f"The {other} is of {theirs.what}, and this part of {board.what}: over {length:.0f} mm the "
        f"two move {amount:.1f} mm apart for {SWING:.0f} degrees warmer or colder. Fix them in "
        "one place, and let the rest slide in slots or on glue that gives."
    )


def _apart(one: Board, other: Board, length: float) -> float:
    """How far two boards move apart [mm]; 0 if nobody would notice."""
    if length < SHORTEST:
        return 0.0
    amount = abs(moves_apart(one, other, length, Change(heat=SWING)))
    return amount if amount >= _LITTLE else 0.0
