"""Least drift: the elastic quadratic programme at the heart of every refit.

Room: fit. Dims would like to be where they are drawn; each clearance would like
to lie in its leaned window. What cannot is off by a slack. Slack within the
wanted range costs ten gives for each sigma; beyond the range, where the meet
would really be missed, ten times that, so that two meets are never robbed of
their room to leave a third one out::

    least  sum ((x - goal) / give)^2 + weight * sum (within + 10 beyond) / sigma
    with   low - slack <= slopes @ x <= high + slack
           slack = within + beyond,   0 <= within <= lean,   beyond >= 0

Convex, with one least drift; solved by PIQP.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from foldwright.errors import FoldwrightError

if TYPE_CHECKING:
    from foldwright.fit.network import Floats, Sparse

# One sigma of slack costs as much as a drift of ten gives, a miss ten times that.
SLACK_WEIGHT, MISS_WEIGHT = 100.0, 1000.0
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
    lean: Floats,
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
    lean : ndarray, shape (m,)
        From the leaned window to the end of the wanted range [mm], 0 or more.

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
    g = sparse.csc_matrix(sparse.block_array([[scaled, slack, slack], [scaled, -slack, -slack]]))
    p = sparse.diags_array(np.concatenate([np.full(count, 2.0), np.zeros(2 * rows)]))
    c = np.concatenate([np.zeros(count), np.full(rows, SLACK_WEIGHT), np.full(rows, MISS_WEIGHT)])
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
        np.concatenate([np.full(count, -np.inf), np.zeros(2 * rows)]),
        np.concatenate([np.full(count, np.inf), lean / scale, unbounded]),
    )
    status = solver.solve()
    if status != piqp.PIQP_SOLVED:
        raise FoldwrightError(f"The refit did not settle ({status}); nothing was changed.")
    return np.asarray(goal + give * solver.result.x[:count])
