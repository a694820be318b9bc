"""Least drift: the elastic quadratic programme at the heart of every refit.

Room: fit. Dims would like to be where they are drawn; each clearance would like
to lie in its leaned window. What cannot is off by a slack, and costs so much for
each sigma of it, more the deeper it goes, so that two meets share what one dim
cannot give them both. A drift of more than its give looks wrong, and costs extra::

    least  sum ((x - goal) / give)^2 + PAST_GIVE sum past / give + sum weight_k slack_k / sigma
    with   low <= slopes @ x + sum of slacks below - sum of slacks above <= high
           0 <= slack_k <= length_k
           past >= |x - goal| - give,   past <= (MOST_DRIFT - 1) give

Weights grow from step to step, so the programme is convex, with one least drift;
solved by PIQP.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from foldwright.errors import FoldwrightError

if TYPE_CHECKING:
    from foldwright.fit.network import Floats, Sparse

# Narrower than any tool reads [mm]; keeps a window of things already measured well scaled.
LEAST_SIGMA = 1e-3
# What each give costs past the first, in squares of a give: dearer than making any one part
# again, since what looks wrong stays wrong. And the furthest that a dim is drifted, in
# gives: past that it is another plan.
PAST_GIVE, MOST_DRIFT = 1000.0, 2.5
# Of the solver. Rows that ask the same twice stall it close to its end, and what the coarser
# one leaves, no tool reads.
_PRECISE = (1e-10, 1e-8)
_NO_STEP = 1e-6  # sigma


@dataclass(frozen=True, eq=False)
class Slacks:
    """What it costs to lie outside a leaned window, step by step, on one side of it.

    Attributes
    ----------
    lengths : ndarray, shape (k, m)
        Of each step [mm]; the last of any length is endless.
    weights : ndarray, shape (k, m)
        Cost of one sigma on each step, in squares of a give; growing along the first axis.
    """

    lengths: Floats
    weights: Floats

    @staticmethod
    def even(weight: float, rows: int) -> Slacks:
        """Every sigma costs alike."""
        return Slacks(np.full((1, rows), np.inf), np.full((1, rows), weight))


def drift_cost(x: Floats, goal: Floats, give: Floats) -> float:
    """Cost of a drift, in squares of a give."""
    drift = np.abs(x - goal) / give
    return float((drift**2).sum() + PAST_GIVE * np.maximum(drift - 1.0, 0.0).sum())


def least_drift(
    goal: Floats,
    give: Floats,
    slopes: Sparse,
    low: Floats,
    high: Floats,
    sigmas: Floats,
    below: Slacks,
    above: Slacks,
) -> Floats:
    """Dims of least drift.

    Parameters
    ----------
    goal, give : ndarray, shape (n,)
        Where each dim would like to be, and how far it may drift [mm], above 0.
    slopes : sparse array or ndarray, shape (m, n)
        Derivatives of the clearances.
    low, high : ndarray, shape (m,)
        Leaned window of ``slopes @ x`` [mm].
    sigmas : ndarray, shape (m,)
        Scale of each slack [mm].
    below, above : Slacks
        Cost of lying below and above the leaned window.

    Returns
    -------
    ndarray, shape (n,)

    Raises
    ------
    FoldwrightError
        The solver did not settle.
    """
    import piqp
    from scipy import sparse

    count = len(goal)
    scale = np.maximum(sigmas, LEAST_SIGMA)
    # Drift in units of give and slack in units of sigma keep the programme well scaled.
    scaled = sparse.csc_matrix(slopes) @ sparse.diags_array(give)
    slack = sparse.diags_array(scale)
    sides = [slack] * len(below.weights) + [-slack] * len(above.weights)
    lengths = (np.concatenate([below.lengths, above.lengths]) / scale).ravel()
    used = np.flatnonzero(lengths > _NO_STEP)  # an aim at the end of its range has none within
    lengths = lengths[used]
    weights = np.concatenate([below.weights, above.weights]).ravel()[used]
    g = sparse.hstack(sides).tocsc()[:, used]
    # a window leaned on to a point leaves an inner-point solver no room, so it is an equation
    is_point = np.concatenate([(high - low) / scale < _NO_STEP, np.zeros(count, dtype=bool)])
    # A drift past its give, either way, is the slack of a row of its own: -1 <= drift <= 1.
    one, past = sparse.eye_array(count), 2 * count
    g = sparse.block_array([[scaled, None, g], [one, sparse.hstack([one, -one]), None]]).tocsr()
    cost = np.concatenate([np.zeros(count), np.full(past, PAST_GIVE), weights])
    p = sparse.diags_array(np.concatenate([np.full(count, 2.0), np.zeros(len(cost) - count)]))
    level = slopes @ goal
    below_rows = np.concatenate([low - level, np.full(count, -1.0)])
    above_rows = np.concatenate([high - level, np.full(count, 1.0)])
    programme = (
        sparse.csc_matrix(p),
        cost,
        sparse.csc_matrix(g[is_point]),
        below_rows[is_point],
        sparse.csc_matrix(g[~is_point]),
        below_rows[~is_point],
        above_rows[~is_point],
        np.concatenate([np.full(count, -MOST_DRIFT), np.zeros(len(cost) - count)]),
        np.concatenate([np.full(count, MOST_DRIFT), np.full(past, MOST_DRIFT - 1.0), lengths]),
    )
    for precise in _PRECISE:
        solver = piqp.SparseSolver()
        solver.settings.eps_abs = solver.settings.eps_rel = precise
        solver.settings.eps_duality_gap_abs = solver.settings.eps_duality_gap_rel = precise
        solver.setup(*programme)
        status = solver.solve()
        if status == piqp.PIQP_SOLVED:
            return np.asarray(goal + give * solver.result.x[:count])
    raise FoldwrightError(f"The refit did not settle ({status}); nothing was changed.")
