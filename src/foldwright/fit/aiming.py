"""Aiming: to what size a simulated maker cuts the next part, by each way of working.

Room: fit. Start at `aim`. A refit asks `redraw_next` with all that was read and
learnt; the other two ways correct a part by what it would miss or has missed.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from foldwright.fit.believing import belief_of
from foldwright.fit.bench import REFIT, SENSIBLE, Bench
from foldwright.fit.leave_long import rework
from foldwright.fit.redraw import left_to_pay, redraw_next
from foldwright.fit.windows import Costs

if TYPE_CHECKING:
    from foldwright.fit.network import Belief, Floats, Network
    from foldwright.fit.works import Works

# How many times its minutes a remake is to be regretted, and how often a trim harms another
# clearance, as simulated builds have it: less than is feared when parts are aimed.
_DEAR, _HARMED = 8.0, 0.1


def aim(bench: Bench, part: int, correction: Floats) -> Floats:
    """What a part is meant to come out as."""
    network = bench.works.network
    mine = network.part == part
    if bench.way == REFIT:
        return _next(bench, part)
    if correction.any():
        return np.where(mine, bench.meant + correction, bench.meant)
    if bench.way == SENSIBLE:
        return network.drawn
    bench.is_made[part] = True  # as if it were there, to see what it would meet
    there = np.where(bench.is_made[network.part], bench.read, network.drawn)
    there = np.where(mine, network.drawn, there)
    found = correction_of(bench, (part,), network.clearances(there) - bench.shimmed)
    bench.is_made[part] = False
    return np.where(mine, network.drawn + found, bench.meant)


def correction_of(bench: Bench, parts: tuple[int, ...], clearances: Floats) -> Floats:
    """Least change of the parts' own dims that brings what they meet to the middle."""
    network = bench.works.network
    rows = np.flatnonzero(bench.complete())
    own = np.flatnonzero(np.isin(network.part, parts) & network.is_free)
    found = np.zeros(len(network.keys))
    if not rows.size or not own.size:
        return found
    matrix = network.slopes[rows][:, own].toarray() * network.give[own]
    rows, matrix = rows[matrix.any(axis=1)], matrix[matrix.any(axis=1)]
    if rows.size:
        middle = (network.low[rows] + network.high[rows]) / 2.0
        least = np.linalg.lstsq(matrix, middle - clearances[rows], rcond=1e-9)[0]
        found[own] = network.give[own] * least
    return found


def redrawn_for(bench: Bench, part: int, *, is_sparse: bool) -> Floats:
    """Where a refit puts all dims when a part is about to be cut, and what was shimmed for it."""
    shimmed = np.where(bench.works.touches[:, part], 0.0, bench.shimmed)
    network, belief, costs = _as_shimmed(bench, shimmed)
    regrets = _regrets(bench.works, network, belief) if is_sparse else None
    return redraw_next(network, belief, costs, part, regrets)


def _regrets(works: Works, network: Network, belief: Belief) -> Costs:
    """What misses are to be regretted: a trim is soon done, a remake costs board and heart too."""
    return Costs(*rework(network, belief, _DEAR * works.minutes, works.cures, _HARMED))


def left_to_pay_from(bench: Bench) -> float:
    """Minutes to expect of a refit from here on."""
    return left_to_pay(*_as_shimmed(bench, bench.shimmed))


def _as_shimmed(bench: Bench, shimmed: Floats) -> tuple[Network, Belief, Costs]:
    """What a refit works on, with so much taken up at each clearance."""
    works = bench.works
    network = replace(works.network, level=works.network.level - shimmed)
    belief = belief_of(bench)
    return network, belief, Costs(*rework(network, belief, works.minutes, works.cures))


def _next(bench: Bench, part: int) -> Floats:
    """Draw the part about to be cut."""
    network = bench.works.network
    is_sparse = bench.is_sparse and not bench.tries[part]
    found = redrawn_for(bench, part, is_sparse=is_sparse)
    mine = (network.part == part) & network.is_free
    return np.where(mine, found, bench.meant)
