"""Windows: how deep in its wanted range each clearance is aimed, and when it is let be.

Room: fit. A hand that strays by sigma needs room on both sides, so a window is
*leaned on*: the range is made z sigma narrower at each end, with
``z = min(3, W / (2 sigma))`` for a range of width W. A dim is changed only
when its leaned window is missed by more than 1.5 sigma or 60 % of half the
range, whichever is less: closer than that, redrawing is work for nothing.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from foldwright.fit.network import Flags, Floats

# How many sigma deep in its range a meet is aimed, if the range is wide enough.
DEEP = 3.0
LET_BE_SIGMA, LET_BE_SHARE = 1.5, 0.6


def leaned(low: Floats, high: Floats, sigmas: Floats) -> tuple[Floats, Floats]:
    """Range to aim for: the wanted one, z sigma narrower at each end, shapes (m,) [mm]."""
    lean = np.minimum(DEEP * sigmas, (high - low) / 2.0)
    return low + lean, high - lean


def miss_of(values: Floats, low: Floats, high: Floats, sigmas: Floats) -> Floats:
    """How far each clearance lies outside its leaned window; negative inside, shape (m,) [mm]."""
    aim_low, aim_high = leaned(low, high, sigmas)
    return np.maximum(aim_low - values, values - aim_high)


def is_missed(values: Floats, low: Floats, high: Floats, sigmas: Floats) -> Flags:
    """Whether each leaned window is missed by enough to change a part for, shape (m,)."""
    limit = np.minimum(LET_BE_SIGMA * sigmas, LET_BE_SHARE * (high - low) / 2.0)
    return np.asarray(miss_of(values, low, high, sigmas) > limit)
