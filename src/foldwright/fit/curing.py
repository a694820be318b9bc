"""Curing: how a simulated maker trims and shims what parts that are made miss.

Room: fit. The same for every way of working: the cheapest cure that harms nothing
else, until all is met or nothing helps. Start at `cure_all`.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from foldwright.fit.bench import Bench
from foldwright.fit.cannot_fit import Cure

if TYPE_CHECKING:
    from foldwright.fit.network import Floats

_PASSES = 12  # of curing what a part misses
_INSIDE = 0.25  # share of the window that a cure aims inside its edge
_TOUCHES = 1e-9


def cure_all(bench: Bench) -> int | None:
    """Trim and shim what is missed; the clearance that cannot be cured, or None if all is met."""
    network = bench.works.network
    for _ in range(_PASSES):
        g = bench.clearances()
        missed = np.flatnonzero(
            bench.complete() & ((g < network.low - _TOUCHES) | (g > network.high + _TOUCHES))
        )
        if not missed.size:
            return None
        if not _one_cure(bench, int(missed[0]), g):
            break
    return int(missed[0])


def _one_cure(bench: Bench, row: int, g: Floats) -> bool:
    """Cure one missed clearance by the cheapest cure that harms no other."""
    network = bench.works.network
    low, high = network.low[row], network.high[row]
    inside = _INSIDE * (high - low)
    wanted = low + inside if g[row] < low else high - inside
    for cure in bench.works.cures_of[row]:
        if cure.clearance == row:
            amount = cure.way * (wanted - g[row])
            if not 0.0 < amount <= cure.most:
                continue
            bench.shimmed[row] -= cure.way * amount
            bench.tally.shims += 1
            bench.tally.filler += float(amount)
        else:
            if not bench.is_made[cure.part]:
                continue
            effect = cure.way * network.slopes[[row], [cure.dim]].item()
            amount = (wanted - g[row]) / effect
            if not 0.0 < amount <= cure.most or _harms(bench, cure, row, amount, g):
                continue
            rng = np.random.default_rng([bench.hands.seed, 5, cure.dim, bench.tally.trims])
            done = max(0.0, amount + bench.works.trimmed[cure.dim] * rng.standard_normal())
            bench.true[cure.dim] += cure.way * done
            bench.read[cure.dim] += cure.way * done
            bench.tally.trims += 1
        bench.tally.minutes += cure.minutes
        return True
    return False


def _harms(bench: Bench, cure: Cure, row: int, amount: float, g: Floats) -> bool:
    """Whether trimming for one clearance makes another miss that is met now."""
    network = bench.works.network
    column = network.slopes[:, [cure.dim]].toarray().ravel()
    after = g + column * cure.way * amount
    met = (g >= network.low) & (g <= network.high)
    missed = (after < network.low) | (after > network.high)
    missed[row] = False
    return bool(np.any(bench.complete() & met & missed))
