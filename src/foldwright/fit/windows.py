"""Windows: where in its wanted range each clearance is aimed, and when it is let be.

Room: fit. A hand that strays by sigma needs room on both sides, so a window is
*leaned on*: the range is made z sigma narrower at each end, with
``z = min(3, W / (2 sigma))`` for a range of width W, and moved towards the side
where a miss is cheap to cure (`leave_long`).

Missing costs minutes, and so does drawing a part anew. What a clearance may cost
where it stands is::

    expected(g) = C_low Phi((low - g) / sigma) + C_high Phi((g - high) / sigma)

and the rest of a remake where it goes further than any trim or shim can take up.
A clearance is let be as long as that is hardly more than at its aim, and a refit
weighs slack by the chords of the same curve, which bends upwards within the range.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from foldwright.fit.least_drift import LEAST_SIGMA, Slacks
from foldwright.fit.leave_long import shift
from foldwright.fit.network import USUAL_REDRAWING

if TYPE_CHECKING:
    from foldwright.fit.network import Flags, Floats, Whole

# How many sigma deep in its range a meet is aimed, if the range is wide enough.
DEEP = 3.0
# Minutes that a drift of one give is worth; a refit drifts rather than risk a remake.
DRIFTING = 0.2
# A meet that holds so often is as good as sure, and a maker redraws nothing for it.
HOLDS = 0.95
# Chords from the aim to the end of the range, and one of this many sigma beyond it.
_CHORDS, _BEYOND = 3, 1.0
# Past the window, where every miss costs alike: the first of the last three steps has no end.
_ONE_PRICE = np.array([[np.inf], [0.0], [0.0]])


@dataclass(frozen=True, eq=False)
class Costs:
    """What a miss costs, and how much of one a trim or a shim takes up.

    Attributes
    ----------
    low, high : ndarray, shape (m,)
        Minutes of a miss below a window, and above it.
    reach_low, reach_high : ndarray, shape (m,), or float
        So far out of a window a miss costs so much [mm]; endless by itself.
    remake : ndarray, shape (m,), or float
        Minutes of one that lies further out.
    """

    low: Floats
    high: Floats
    reach_low: Floats | float = np.inf
    reach_high: Floats | float = np.inf
    remake: Floats | float = 0.0

    def of(self, rows: Whole) -> Costs:
        """Those of some clearances."""
        ends = (self.reach_low, self.reach_high, self.remake)
        return Costs(
            self.low[rows],
            self.high[rows],
            *(np.broadcast_to(end, self.low.shape)[rows] for end in ends),
        )


def aims(
    low: Floats, high: Floats, sigmas: Floats, costs: Costs | None = None
) -> tuple[Floats, Floats]:
    """Range to aim for, within the wanted one, shapes (m,) [mm]."""
    lean = np.minimum(DEEP * sigmas, (high - low) / 2.0)
    moved = np.zeros(len(low))
    if costs is not None:
        moved = shift(np.maximum(sigmas, LEAST_SIGMA), high - low, costs.low, costs.high)
    aim = np.clip(low + lean + moved, low, high), np.clip(high - lean + moved, low, high)
    return np.minimum(*aim), np.maximum(*aim)  # a point, but for the last digit


def expected(values: Floats, low: Floats, high: Floats, sigmas: Floats, costs: Costs) -> Floats:
    """Minutes of rework to expect of each clearance where it stands, shape (m,)."""
    from scipy.special import ndtr

    scale = np.maximum(sigmas, LEAST_SIGMA)
    below, above = (low - values) / scale, (values - high) / scale
    found = costs.low * ndtr(below) + costs.high * ndtr(above)
    found += (costs.remake - costs.low) * ndtr(below - costs.reach_low / scale)
    found += (costs.remake - costs.high) * ndtr(above - costs.reach_high / scale)
    return np.asarray(found)


def misses(values: Floats, low: Floats, high: Floats, sigmas: Floats) -> Floats:
    """Chance that each clearance misses its range where it stands, shape (m,)."""
    one = np.ones(len(values))
    return expected(values, low, high, sigmas, Costs(one, one))


def slacks(
    low: Floats, high: Floats, sigmas: Floats, costs: Costs, aimed: tuple[Floats, Floats]
) -> tuple[Slacks, Slacks]:
    """Cost of lying below and above the aims: chords of `expected`, kept convex."""
    scale = np.maximum(sigmas, LEAST_SIGMA)

    def side(start: Floats, end: Floats, reach: Floats | float, way: float) -> Slacks:
        depth = np.abs(end - start)
        offsets = [depth * k / _CHORDS for k in range(_CHORDS + 1)]
        offsets.append(depth + _BEYOND * scale)
        # what no cure takes up costs a remake, on a chord like that at the end of the window
        is_far = np.isfinite(reach)
        far = np.maximum(offsets[-1], depth + np.where(is_far, reach, 0.0))
        offsets += [far, far + _BEYOND * scale]
        minutes = np.array(
            [expected(start + way * off, low, high, sigmas, costs) for off in offsets]
        )
        lengths = np.diff(offsets, axis=0)
        rise = np.diff(minutes, axis=0) / np.maximum(lengths, LEAST_SIGMA) * scale
        weights = np.maximum.accumulate(np.maximum(rise, 0.0), axis=0) / DRIFTING
        lengths[-1] = np.inf
        lengths[-3:] = np.where(is_far, lengths[-3:], _ONE_PRICE)
        return Slacks(lengths, weights)

    return side(aimed[0], low, costs.reach_low, -1.0), side(aimed[1], high, costs.reach_high, 1.0)


def is_worth_changing(
    values: Floats, low: Floats, high: Floats, sigmas: Floats, costs: Costs
) -> Flags:
    """Whether each clearance may cost so much more than at its aim that a part is redrawn."""
    aim_low, aim_high = aims(low, high, sigmas, costs)
    best = np.clip(values, aim_low, aim_high)
    saved = expected(values, low, high, sigmas, costs) - expected(best, low, high, sigmas, costs)
    return np.asarray(saved > USUAL_REDRAWING)
