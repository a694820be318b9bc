"""Aiming: to what size a simulated maker cuts the next part, by each way of working.

Room: fit. Start at `aim`. A refit asks `redraw_next` with all that was read and
learnt; the other two ways correct a part by what it would miss or has missed.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from foldwright.fit.bench import REFIT, SENSIBLE, Bench
from foldwright.fit.leave_long import rework
from foldwright.fit.network import Belief
from foldwright.fit.redraw import left_to_pay, redraw_next
from foldwright.fit.windows import Costs

if TYPE_CHECKING:
    from foldwright.fit.network import Floats, Network
    from foldwright.fit.works import Works

# How many times its minutes a remake is to be regretted, and how often a trim harms another
# clearance, as simulated builds have it: less than is feared when parts are aimed.
_DEAR, _HARMED = 8.0, 0.1
_BLUNDER = 4.0  # usual scatters; more is none


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


def belief_of(bench: Bench) -> Belief:
    """What the maker knows: readings of what is made, the learnt hand for the rest."""
    from scipy import sparse

    works, network = bench.works, bench.works.network
    made = bench.is_made[network.part]
    strays_by = np.array([habit.deviation for habit in bench.habits])[works.process]
    ahead = sparse.diags_array((~made).astype(float)) @ works.root @ sparse.diags_array(strays_by)
    # what no tool sees keeps its scatter; what is read has the tool's
    known = sparse.diags_array(np.where(made, network.reads, 0.0))
    mean = np.where(made, bench.read, bench.meant)
    return Belief(mean, sparse.hstack([ahead, known]).tocsr(), bench.is_made.copy())


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


def bias_of(bench: Bench) -> Floats:
    """What the learnt hand adds to every dim by itself [mm]."""
    return np.asarray(bench.works.biases @ np.array([h.mean for h in bench.habits]))


def learn(bench: Bench, part: int, deviations: Floats) -> None:
    """Learn each process from a part, from every dim that it alone, or it most, makes."""
    works, network = bench.works, bench.works.network
    mine = np.flatnonzero((network.part == part) & network.is_free)
    effects = works.biases[mine].toarray()
    root = works.root[mine].toarray()
    main = np.abs(effects).argmax(axis=1)
    for process in np.unique(main[np.abs(effects).max(axis=1, initial=0.0) > 0.0]):
        effect = effects[:, process]
        seen = deviations[mine] / np.where(effect, effect, 1.0)
        # a blunder tells nothing of the habit
        rows = (main == process) & (effect != 0.0) & (np.abs(seen) < _BLUNDER)
        if rows.any():
            covariance = root[rows] @ root[rows].T + np.diag(network.reads[mine][rows] ** 2)
            bench.habits[process] = bench.habits[process].learned_together(
                deviations[mine][rows], effect[rows], covariance
            )
