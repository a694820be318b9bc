"""Mould lines: how a fold lies to the corner in which its two outside faces would meet.

Room: shop. The outside skin of a fold turns about a centre, at a distance that
each way of folding has for itself; negative where the skin lies on the near
side of the centre. With turn theta::

    setback      distance tan(theta/2)
    corner loss  |distance| (1/cos(theta/2) - 1)
"""

from __future__ import annotations

import math


def setback(to_outside: float, turn: float) -> float:
    """Distance from the mould line back to where the skin begins to bend [mm].

    Parameters
    ----------
    to_outside : float
        From the centre of the bend to the outside skin [mm], signed.
    turn : float
        [rad], 0 to below pi; its size, whichever way the fold turns.

    References
    ----------
    Tangents of a circle.

    Examples
    --------
    >>> round(setback(4.5, math.radians(90)), 9)
    4.5
    """
    return to_outside * math.tan(turn / 2.0)


def corner_loss(to_outside: float, turn: float) -> float:
    """How far the round of a fold stays inside the mould line [mm]; as `setback`."""
    return abs(to_outside) * (1.0 / math.cos(turn / 2.0) - 1.0)
