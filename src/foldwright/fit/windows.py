"""Windows: where in its wanted range each clearance is aimed, and when it is let be.

Room: fit. A hand that strays by sigma needs room on both sides, so a window is
*leaned on*: the range is made z sigma narrower at each end, with
``z = min(3, W / (2 sigma))`` for a range of width W, and moved towards the side
where a miss is cheap to cure (`leave_long`).

Missing costs minutes, and so does drawing a part anew. A clearance is let be as
long as what it may cost where it stands is hardly more than what it would cost at
its aim::

    expected(g) = C_low Phi((low - g) / sigma) + C_high Phi((g - high) / sigma)
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from foldwright.fit.leave_long import shift

if TYPE_CHECKING:
    from foldwright.fit.network import Flags, Floats

# How many sigma deep in its range a meet is aimed, if the range is wide enough.
DEEP = 3.0
# Minutes that drawing, printing and pricking through a part anew cost; common practice,
# no source.
REDRAWING = 2.0
_LEAST_SIGMA = 1e-6  # mm


@dataclass(frozen=True, eq=False)
class Costs:
    """What a miss costs, shapes (m,) [min]: below a window, and above it."""

    low: Floats
    high: Floats


def aims(
    low: Floats, high: Floats, sigmas: Floats, costs: Costs | None = None
) -> tuple[Floats, Floats]:
    """Range to aim for, within the wanted one, shapes (m,) [mm]."""
    lean = np.minimum(DEEP * sigmas, (high - low) / 2.0)
    moved = np.zeros(len(low))
    if costs is not None:
        moved = shift(np.maximum(sigmas, _LEAST_SIGMA), high - low, costs.low, costs.high)
    return np.clip(low + lean + moved, low, high), np.clip(high - lean + moved, low, high)


def expected(values: Floats, low: Floats, high: Floats, sigmas: Floats, costs: Costs) -> Floats:
    """Minutes of rework to expect of each clearance where it stands, shape (m,)."""
    from scipy.special import ndtr

    scale = np.maximum(sigmas, _LEAST_SIGMA)
    below, above = ndtr((low - values) / scale), ndtr((values - high) / scale)
    return np.asarray(costs.low * below + costs.high * above)


def is_worth_changing(
    values: Floats, low: Floats, high: Floats, sigmas: Floats, costs: Costs
) -> Flags:
    """Whether each clearance may cost so much more than at its aim that a part is redrawn."""
    aim_low, aim_high = aims(low, high, sigmas, costs)
    best = np.clip(values, aim_low, aim_high)
    saved = expected(values, low, high, sigmas, costs) - expected(best, low, high, sigmas, costs)
    return np.asarray(saved > REDRAWING)
