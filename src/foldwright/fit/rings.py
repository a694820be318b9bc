"""Rings: panels folded round and closed, and where their errors go.

Room: fit. A ring of n panels has n fold angles, of which it can keep n - 3: it
has to close, so the angles sum to a full turn and the panels end where they
began. Panels do not stretch; folds give. What the hand turned too far or too
little is taken up by all folds together, by least squares::

    least sum (d_j - e_j)^2 / v_j + sum (s_i - r_i)^2 / w_i
    with  sum d_j = 0,   sum_i (s_i u_i + l_i a_i n_i) = 0,   a_i = d_1 + ... + d_i

d turns kept, e turns as made; s lengths kept, r lengths as made; u, n, l
direction, left normal and length of a side. Side i runs from corner i on, and
turn j is at corner j. In a square, an error e at each fold leaves the one mode
it can keep, a lean of (e_0 - e_1 + e_2 - e_3) / 4.

An open side holds nothing: its length and the turns at its ends are free.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from foldwright.errors import OutOfDomain
from foldwright.shape import Vector

# How little each holds, as variances in units of a fold's: a panel keeps its length, a glued
# seam takes three times what a fold does, an open side any length and any turn.
_FOLD, _PANEL, _SEAM, _OPEN = 1.0, 1e-7, 9.0, 1e4


def closed_ring(
    corners: Vector, is_open: Sequence[bool], is_seam: Sequence[bool]
) -> tuple[Vector, Vector]:
    """How the corners of a closed ring move with its lengths and its turns as made.

    Parameters
    ----------
    corners : ndarray, shape (n, 2)
        Anticlockwise [mm], n at least 3.
    is_open : sequence of bool, length n
        Sides without a panel.
    is_seam : sequence of bool, length n
        Corners that are glued rather than folded.

    Returns
    -------
    lengths : ndarray, shape (2 n, n)
        Derivative of x_0, y_0, x_1, ... by the length of each side [-].
    turns : ndarray, shape (2 n, n)
        Derivative by the turn at each corner [mm/rad].

    Notes
    -----
    Corner 0 stays, and so does the direction of side 0.

    Examples
    --------
    A square of 300 whose first fold is turned 0.04 rad too far leans left by a quarter:

    >>> import numpy as np
    >>> square = np.array([[0, 0], [300, 0], [300, 300], [0, 300]], float)
    >>> _, turns = closed_ring(square, [False] * 4, [False] * 4)
    >>> [round(float(x), 2) for x in turns[4:6, 1] * 0.04]
    [-3.0, 0.0]
    """
    n = len(corners)
    if n < 3:
        raise OutOfDomain(f"a ring of {n} sides does not close; 3 or more do.", name="corners")
    steps = np.roll(corners, -1, axis=0) - corners
    size = np.hypot(steps[:, 0], steps[:, 1])
    if not float(size.min()) > 0.0:
        raise OutOfDomain("two corners of a ring lie on one spot. Take one out.", name="corners")
    along = steps / size[:, None]
    normal = np.column_stack([-along[:, 1], along[:, 0]])
    headings = np.tril(np.ones((n, n)))
    headings[:, 0] = 0.0
    # Lengths in units of the mean side, so that all unknowns are of one size.
    unit = float(size.mean())
    moved = (size / unit)[:, None, None] * normal[:, :, None] * headings[:, None, :]
    closing = np.zeros((3, 2 * n))
    closing[0, :n] = 1.0
    closing[1:, :n] = moved.sum(axis=0)
    closing[1:, n:] = along.T
    beside_open = np.array(is_open) | np.roll(is_open, 1)
    gives = np.concatenate(
        [
            np.where(beside_open, _OPEN, np.where(is_seam, _SEAM, _FOLD)),
            np.where(is_open, _OPEN, _PANEL),
        ]
    )
    spread = gives[:, None] * closing.T
    kept = np.eye(2 * n) - spread @ np.linalg.solve(closing @ spread, closing)
    side = np.concatenate([moved, along[:, :, None] * np.eye(n)[:, None, :]], axis=2) @ kept
    reached = np.concatenate([np.zeros((1, 2, 2 * n)), np.cumsum(side, axis=0)[:-1]])
    found = reached.reshape(2 * n, 2 * n)
    return found[:, n:], found[:, :n] * unit
