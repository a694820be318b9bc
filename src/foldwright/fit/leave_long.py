"""Leave long: aim for the side of a window on which a miss is cheap to cure.

Room: fit. A tube that is too long is filed in five minutes, one that is too
short is made again. With a chance of a miss on either side of a window of width
W and a normal scatter sigma, the expected cost::

    C_low Phi((low - m) / sigma) + C_high Phi((m - high) / sigma)

is least where both sides add alike, which is off the middle by
``sigma^2 ln(C_low / C_high) / W``. It is never taken further than 1.5 sigma:
past that the chance itself is no longer known well enough.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from foldwright.fit.cannot_fit import Cure
    from foldwright.fit.network import Belief, Floats, Network

_MOST = 1.5  # sigma
# How often a trim for one clearance is feared to harm another; common practice, no source.
FEARED = 0.5


def shift(sigma: Floats, width: Floats, cost_low: Floats, cost_high: Floats) -> Floats:
    """How far off the middle to aim, positive towards the upper end [mm].

    Parameters
    ----------
    sigma, width : ndarray
        Scatter, and width of the window [mm], above 0.
    cost_low, cost_high : ndarray
        What a miss below and above costs, in any unit, above 0.

    Examples
    --------
    >>> import numpy as np
    >>> one = np.ones(1)
    >>> round(float(shift(one, 4 * one, 60 * one, 6 * one)[0]), 3)
    0.576
    """
    best = sigma**2 * np.log(cost_low / cost_high) / width
    return np.clip(best, -_MOST * sigma, _MOST * sigma)


def rework(
    network: Network,
    belief: Belief,
    minutes: Floats,
    cures: Sequence[Cure],
    harms: float = FEARED,
) -> tuple[Floats, Floats, Floats, Floats, Floats]:
    """What a miss of each window costs, and how far a cure reaches, shapes (m,).

    The cheapest cure on that side; where there is none, or none that takes up so much, the
    cheapest remake among the parts that are not made yet, or of them all. A trim of a dim
    that several clearances know may harm another one, and is no cure then.

    Parameters
    ----------
    network, belief
    minutes : ndarray, shape (number of parts,)
        To make each part.
    cures : sequence of Cure
    harms : float
        How often such a trim harms another clearance, 0 to 1.

    Returns
    -------
    low, high : ndarray
        Minutes of a miss below and above that a cure can take up.
    reach_low, reach_high : ndarray
        How far below and above a window that is [mm]; a remake has no end.
    remake : ndarray
        Minutes of a miss that goes further.
    """
    incidence = abs(network.slopes).tocsr()
    low, high = cheapest_cures(network, cures)
    reach_low, reach_high = _reaches(network, cures)
    remakes = np.zeros(len(low))
    alone_low, alone_high = cheapest_cures(network, [c for c in cures if is_alone(network, c)])
    for row in range(len(low)):
        parts = network.part[incidence.indices[incidence.indptr[row] : incidence.indptr[row + 1]]]
        waiting = parts[~belief.is_made[parts]]
        remake = float(minutes[waiting if waiting.size else parts].min()) if parts.size else 1.0
        remakes[row] = remake
        for side, alone in ((low, alone_low), (high, alone_high)):
            cheap = min(side[row], remake)
            sure = min(alone[row], remake)
            side[row] = min(sure, (1.0 - harms) * cheap + harms * remake)
    return low, high, reach_low, reach_high, remakes


def is_alone(network: Network, cure: Cure) -> bool:
    """Whether a cure changes one clearance only."""
    if cure.clearance >= 0:
        return True
    columns = network.slopes.tocsc()
    return bool(columns.indptr[cure.dim + 1] - columns.indptr[cure.dim] <= 1)


def cheapest_cures(network: Network, cures: Sequence[Cure]) -> tuple[Floats, Floats]:
    """Minutes of the cheapest cure of a miss below and above; infinite where there is none."""
    low, high = np.full(len(network.low), np.inf), np.full(len(network.low), np.inf)
    for cure, row, effect in _effects(network, cures):
        side = low if effect > 0.0 else high
        side[row] = min(side[row], cure.minutes)
    return low, high


def _reaches(network: Network, cures: Sequence[Cure]) -> tuple[Floats, Floats]:
    """How far below and above its window a clearance can be cured [mm]; endless without cures."""
    low, high = np.zeros(len(network.low)), np.zeros(len(network.low))
    for cure, row, effect in _effects(network, cures):
        side = low if effect > 0.0 else high
        side[row] = max(side[row], cure.most * abs(effect))
    return np.where(low > 0.0, low, np.inf), np.where(high > 0.0, high, np.inf)


def _effects(network: Network, cures: Sequence[Cure]) -> Iterator[tuple[Cure, int, float]]:
    """What one millimetre of each cure, remakes left out, does to each clearance that it moves."""
    columns = network.slopes.tocsc()
    for cure in cures:
        if cure.kind == "remake":
            continue
        if cure.clearance >= 0:
            yield cure, cure.clearance, cure.way
            continue
        span = slice(columns.indptr[cure.dim], columns.indptr[cure.dim + 1])
        for row, slope in zip(columns.indices[span], columns.data[span], strict=True):
            yield cure, int(row), float(slope * cure.way)
