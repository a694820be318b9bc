"""Remaking: which parts a simulated maker makes again, when nothing else cures a miss.

Room: fit. `to_remake` chooses them for a clearance that is missed, by every way of
working; `is_scrap` tells a refit, which looks ahead, that a part just read had better
be made again before others are made to suit it.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from foldwright.fit.aiming import correction_of, left_to_pay_from, redrawn_for
from foldwright.fit.believing import belief_of, deviations_of
from foldwright.fit.bench import REFIT, Bench
from foldwright.fit.cannot_fit import Cure, remedies
from foldwright.fit.chances import within
from foldwright.fit.least_drift import MOST_DRIFT

if TYPE_CHECKING:
    from foldwright.fit.network import Floats

_MEANT_INSIDE = 0.1  # share of the window that what is made again is meant inside its edge
_LEAST_CHANCE = 1e-3
_HOPELESS = 0.3  # chance to suit under which one part is not made again by itself
_WEARY = 2.0  # how much dearer each try in vain makes the next


def to_remake(bench: Bench, row: int) -> tuple[int, ...]:
    """Which parts to make again for a missed clearance.

    The one that is cheapest to make until it suits: its minutes over the chance that
    the next one, corrected, suits everything it meets, each try in vain making the next
    dearer. Where no one part has a chance, the cheapest set of parts that has, whatever
    the way of working: any maker sees that two parts have to go.
    """
    network = bench.works.network
    found = []
    for part in sorted(network.parts_of(row)):
        if bench.way == REFIT:
            after = network.clearances(_put_right(bench, part)) - bench.shimmed
        else:
            after = _unshimmed(bench, (part,)) + network.slopes @ by_last_miss(bench, (part,))
        chance = _chance_to_suit(bench, part, after)
        weary = _WEARY ** (bench.tries[part] - 1)
        minutes = weary * float(bench.works.minutes[part]) / max(chance, _LEAST_CHANCE)
        found.append((minutes, part, chance))
    _, part, chance = min(found, key=lambda f: f[:2])
    return (_set_to_remake(bench) if chance < _HOPELESS else ()) or (part,)


def is_scrap(bench: Bench, part: int) -> bool:
    """Whether a part just read is better made again at once, before others are made to suit it.

    A blunder does less harm while what meets it can still be drawn for another part.
    """
    again = _WEARY ** (bench.tries[part] - 1) * float(bench.works.minutes[part])
    as_is = left_to_pay_from(bench)
    if as_is <= again:
        return False
    bench.is_made[part] = False
    afresh = left_to_pay_from(bench)
    bench.is_made[part] = True
    return bool(as_is - afresh > again)


def by_last_miss(bench: Bench, parts: tuple[int, ...]) -> Floats:
    """How parts that are made again are corrected by what the last ones missed by.

    Nothing for a refit, which draws them anew with all that it knows.
    """
    if bench.way == REFIT:
        return np.zeros(len(bench.true))
    again = list(parts)
    was = bench.is_made[again]
    bench.is_made[again] = True
    found = correction_of(bench, parts, _unshimmed(bench, parts))
    bench.is_made[again] = was
    return found


def _unshimmed(bench: Bench, parts: tuple[int, ...]) -> Floats:
    """Clearances with what was shimmed for these parts taken out, as it is when they are remade."""
    is_theirs = bench.works.touches[:, list(parts)].any(axis=1)
    return bench.clearances() + np.where(is_theirs, bench.shimmed, 0.0)


def _set_to_remake(bench: Bench) -> tuple[int, ...]:
    """Cheapest set of parts that, made again, can all suit; empty if none is found."""
    works, network = bench.works, bench.works.network
    g = bench.clearances()
    inside = _MEANT_INSIDE * (network.high - network.low)
    low, high = network.low + inside, network.high - inside
    met = (g >= network.low) & (g <= network.high)
    belief = belief_of(bench)
    tighter = replace(
        network,
        # gaps are seen where both parts are there, dims are read
        level=network.level + np.where(bench.complete(), g - network.clearances(belief.mean), 0.0),
        low=np.where(met, np.minimum(low, g), low),
        high=np.where(met, np.maximum(high, g), high),
    )
    again = [
        Cure("remake", int(part), float(works.minutes[part]))
        for part in np.flatnonzero(bench.is_made)
    ]
    # a redraw goes past a give only if nothing else helps, and so does the choice of parts
    for most in (1.0, MOST_DRIFT):
        found = remedies(tighter, belief, again, count=1, most_drift=most)
        if found:
            return tuple(cure.part for cure, _ in found[0].cures)
    return ()


def _put_right(bench: Bench, part: int) -> Floats:
    """Where a refit would put all dims if a part were made again."""
    bench.is_made[part] = False
    found = redrawn_for(bench, part, is_sparse=False)
    bench.is_made[part] = True
    return found


def _chance_to_suit(bench: Bench, part: int, after: Floats) -> float:
    """Chance that a part suits all that it meets, if the clearances are meant so."""
    from scipy import sparse

    works, network = bench.works, bench.works.network
    mine = np.flatnonzero(network.part == part)
    own = network.slopes[:, mine].tocsr()
    rows = np.flatnonzero(bench.complete() & (np.diff(own.indptr) > 0))
    carried = own[rows] @ works.root[mine]
    if bench.way == REFIT:  # which knows its own hand by then
        carried = carried @ sparse.diags_array(deviations_of(bench))
    sigma = np.sqrt(np.asarray(carried.multiply(carried).sum(axis=1)).ravel())
    return float(within(after[rows], sigma, network.low[rows], network.high[rows]).prod())
