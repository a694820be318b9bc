"""Least drift: the elastic quadratic programme at the heart of every refit.

Room: fit. Dims would like to be where they are drawn; each window would like
to be met; what cannot be met is missed by a slack, which costs ten gives for
each sigma, so that a window is missed only when nothing within reach meets it::

    least  sum ((x - goal) / give)^2 + weight * sum slack / sigma
    with   low - slack <= slopes @ x <= high + slack,   slack >= 0

Convex, with one least drift; solved by PIQP.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from foldwright.errors import FoldwrightError

if TYPE_CHECKING:
    from foldwright.fit.network import Floats, Sparse

# One sigma of slack costs as much as a drift of ten gives.
SLACK_WEIGHT = 100.0
# Narrower than any tool reads [mm]; keeps a window of things already measured well scaled.
LEAST_SIGMA = 1e-3
_PRECISE = 1e-10


def least_drift(
    goal: Floats,
    give: Floats,
    slopes: Sparse,
    low: Floats,
    high: Floats,
    sigmas: Floats,
) -> Floats:
    """Dims of least drift.

    Parameters
    ----------
    goal, give : ndarray, shape (n,)
        Where each dim would like to be, and how far it may drift [mm], above 0.
    slopes : sparse array or ndarray, shape (m, n)
        Derivatives of the clearances.
    low, high : ndarray, shape (m,)
        Range of ``slopes @ x`` [mm].
    sigmas : ndarray, shape (m,)
        Scale of each slack [mm].

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

    rows, count = slopes.shape
    scale = np.maximum(sigmas, LEAST_SIGMA)
    # Drift in units of give and slack in units of sigma keep the programme well scaled.
    scaled = sparse.csc_matrix(slopes) @ sparse.diags_array(give)
    slack = sparse.diags_array(scale)
    g = sparse.csc_matrix(sparse.block_array([[scaled, slack], [scaled, -slack]]))
    p = sparse.diags_array(np.concatenate([np.full(count, 2.0), np.zeros(rows)]), format="csc")
    c = np.concatenate([np.zeros(count), np.full(rows, SLACK_WEIGHT)])
    level = slopes @ goal
    unbounded = np.full(rows, np.inf)
    solver = piqp.SparseSolver()
    solver.settings.eps_abs = solver.settings.eps_rel = _PRECISE
    solver.settings.eps_duality_gap_abs = solver.settings.eps_duality_gap_rel = _PRECISE
    solver.setup(
        sparse.csc_matrix(p),
        c,
        None,
        None,
        g,
        np.concatenate([low - level, -unbounded]),
        np.concatenate([unbounded, high - level]),
        np.concatenate([np.full(count, -np.inf), np.zeros(rows)]),
        None,
    )
    status = solver.solve()
    if status != piqp.PIQP_SOLVED:
        raise FoldwrightError(f"The refit did not settle ({status}); nothing was changed.")
    return np.asarray(goal + give * solver.result.x[:count])
