"""Redraw: what to change in the parts not made yet, on the whole network.

Room: fit. Sparse on purpose. Dims are set free clearance by clearance: those
behind a clearance that may cost more than redrawing, then those behind the ones
that their change put at risk, until none is left that changing would help. Then
each part that was changed is tried at its old dims with the others free: if that
costs less than redrawing it, it stands.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

import numpy as np

from foldwright.fit.least_drift import drift_cost, least_drift
from foldwright.fit.network import shares
from foldwright.fit.windows import (
    DRIFTING,
    HOLDS,
    Costs,
    aims,
    expected,
    is_worth_changing,
    misses,
    slacks,
)

if TYPE_CHECKING:
    from foldwright.fit.network import Belief, Flags, Floats, Network

# How many times what it costs a drawing has to save when a part is about to be cut.
SPARED = 4.5
# A part that it meets will be weighed again when its turn comes; its drawing counts by so much.
_LATER = 0.5
# Parts in a row that could not be put back, the least changed first, before the rest stand.
_IN_VAIN = 3
_ROUNDS = 8
_SETTLED = 1e-9  # mm

# The network with its clearances taken afresh where the dims are now.
type Relinearise = Callable[[Floats], Network]


def redraw(
    network: Network,
    belief: Belief,
    costs: Costs,
    relinearise: Relinearise | None = None,
    *,
    is_sparse: bool = True,
) -> Floats:
    """Dims after a refit.

    Parameters
    ----------
    network : Network
    belief : Belief
        Made parts stay at their mean, unmade ones start there.
    costs : Costs
        What a miss of each clearance costs.
    relinearise : callable, optional
        Takes the clearances afresh at given dims, for builds whose clearances
        are not quite linear.
    is_sparse : bool
        Leave alone what can be let be; False sets every unmade dim free.

    Returns
    -------
    ndarray, shape (n,)
        Equal to the mean of the belief for every dim that stands.
    """
    task = _Task(network, belief, costs, relinearise)
    changeable = network.is_free & ~belief.is_made[network.part]
    if not is_sparse:
        return task.solved(changeable)
    free, x = np.zeros(len(network.keys), dtype=bool), belief.mean
    while True:
        grown = free | (task.dims_behind(task.to_change(x)) & changeable)
        if np.array_equal(grown, free):
            break
        free = grown
        x = task.solved(free)
    return _settle(task, free, x)


def redraw_next(
    network: Network, belief: Belief, costs: Costs, part: int, regrets: Costs | None = None
) -> Floats:
    """Dims of the part about to be cut, with a look ahead to all that are to come.

    Sparse, if it is told what misses are to be regretted: nothing is drawn anew, or the
    part alone, or what is to come alone, or all. Whichever loses least against the last of
    these, in minutes or in regret as either is worse, with the drawing anew of the part
    counted in, and half of that of those that it meets.

    Parameters
    ----------
    network, belief, costs
        As in `redraw`.
    part : int
    regrets : Costs, optional
        What a miss is worth avoiding by a drawing; without it all are drawn anew.

    Returns
    -------
    ndarray, shape (n,)
        All dims, of which those of the part are to be drawn now.
    """
    task = _Task(network, belief, costs, None)
    free = network.is_free & ~belief.is_made[network.part]
    if regrets is None:
        return task.solved(free)
    mine, touched = network.part == part, network.part[task.dims_behind(task.behind(part))]
    drawings = [belief.mean, *(task.solved(some) for some in (free & mine, free & ~mine, free))]

    best = drawings[-1]

    def price(x: Floats) -> float:
        changed = network.part[free & (np.abs(x - belief.mean) > network.steps)]
        anew = np.intersect1d(changed, touched)
        lost = max(task.minutes(x, c) - task.minutes(best, c) for c in (costs, regrets))
        now = np.where(anew == part, 1.0, _LATER)
        return lost + SPARED * float(now @ network.redrawings[anew])

    return min(drawings, key=price)


def left_to_pay(network: Network, belief: Belief, costs: Costs) -> float:
    """Minutes of rework to expect, and what drifts are worth, once the rest is drawn its best.

    Parameters
    ----------
    network, belief, costs
        As in `redraw`.
    """
    task = _Task(network, belief, costs, None)
    free = network.is_free & ~belief.is_made[network.part]
    x = task.solved(free)
    return task.minutes(x) + DRIFTING * drift_cost(x[free], network.drawn[free], network.give[free])


def sigmas_when_cut(network: Network, belief: Belief) -> Floats:
    """One standard deviation of each clearance when its last part is about to be cut [mm].

    By then the others are made and measured, so that only the last one strays, which a
    good order makes the one that strays least.
    """
    of = shares(network, belief)
    is_made = belief.is_made[of.part]
    all_read = np.bincount(of.row, of.read, len(network.low))
    # whether the last one meets its neighbours does not depend on how well it is read itself
    last = np.full(len(network.low), np.inf)
    np.minimum.at(last, of.row[~is_made], (of.variance - of.read)[~is_made])
    return np.sqrt(np.where(np.isfinite(last), last, 0.0) + all_read)


def _settle(task: _Task, free: Flags, x: Floats) -> Floats:
    """Put each changed part back whose change saves less than redrawing it, the least first."""
    network, start = task.network, task.belief.mean
    changed = np.abs(x - start) > network.steps
    drift = {
        int(p): float(np.abs((x - start) / network.give)[changed & (network.part == p)].max())
        for p in np.unique(network.part[changed])
    }
    minutes, in_vain = task.minutes(x), 0
    for part in sorted(drift, key=drift.__getitem__):
        fewer = free & (network.part != part)
        trial = task.solved(fewer) if fewer.any() else start
        if task.minutes(trial) < minutes + network.redrawings[part]:
            free, x, minutes, in_vain = fewer, trial, task.minutes(trial), 0
        else:
            in_vain += 1
            if in_vain == _IN_VAIN:
                break
    return np.where(np.abs(x - start) > network.steps, x, start)


def _is_new(network: Network) -> Flags:
    """Whether each clearance says something that none before it in its meet says."""
    slopes, seen, found = network.slopes, set(), []
    for row, meet in enumerate(network.meet):
        span = slice(slopes.indptr[row], slopes.indptr[row + 1])
        dims = frozenset(zip(slopes.indices[span], slopes.data[span].round(6), strict=True))
        found.append((meet, dims) not in seen)
        seen.add((meet, dims))
    return np.array(found, dtype=bool)


class _Task:
    """One refit: solves for any set of free dims."""

    def __init__(
        self, network: Network, belief: Belief, costs: Costs, relinearise: Relinearise | None
    ) -> None:
        self.network, self.belief, self._costs = network, belief, costs
        self._relinearise = relinearise
        self._sigmas = sigmas_when_cut(network, belief)
        self._columns = network.slopes.tocsc()
        self._is_new = _is_new(network)

    def to_change(self, x: Floats) -> Flags:
        """Clearances that are worth changing a part for."""
        n = self._near(x)
        found = is_worth_changing(n.clearances(x), n.low, n.high, self._sigmas, self._costs)
        return np.asarray(found & ~self.is_sure(x))

    def is_sure(self, x: Floats) -> Flags:
        """Whether each clearance belongs to a meet that is as good as sure to hold."""
        n = self._near(x)
        missed = self._is_new * misses(n.clearances(x), n.low, n.high, self._sigmas)
        # the sum of what clearances miss is never too hopeful of their meet
        return np.asarray(np.bincount(n.meet, missed)[n.meet] <= 1.0 - HOLDS)

    def minutes(self, x: Floats, costs: Costs | None = None) -> float:
        """Minutes of rework to expect of all clearances, or what else a miss is said to cost."""
        n = self._near(x)
        costs = costs or self._costs
        return float(expected(n.clearances(x), n.low, n.high, self._sigmas, costs).sum())

    def behind(self, part: int) -> Flags:
        """Clearances that depend on a part."""
        own = self._columns[:, np.flatnonzero(self.network.part == part)].tocsr()
        return np.asarray(np.diff(own.indptr) > 0)

    def dims_behind(self, rows: Flags) -> Flags:
        found = np.zeros(len(self.network.keys), dtype=bool)
        found[self.network.slopes[np.flatnonzero(rows)].indices] = True
        return found

    def solved(self, free: Flags) -> Floats:
        """Least drift with these dims free, the others at the mean of the belief."""
        x, index = self.belief.mean, np.flatnonzero(free)
        if not index.size:
            return x
        for _ in range(_ROUNDS if self._relinearise else 1):
            n = self._near(x)
            columns = n.slopes[:, index] if self._relinearise else self._columns[:, index]
            rows = np.unique(columns.tocsc().indices)
            matrix = columns.tocsr()[rows]
            costs = self._costs.of(rows)
            sigmas, window = self._sigmas[rows], (n.low[rows], n.high[rows])
            low, high = aims(*window, sigmas, costs)
            below, above = slacks(*window, sigmas, costs, (low, high))
            held = n.clearances(x)[rows] - matrix @ x[index]
            found = least_drift(
                n.drawn[index],
                n.give[index],
                matrix,
                low - held,
                high - held,
                sigmas,
                below,
                above,
            )
            moved = x.copy()
            moved[index] = found
            if np.abs(moved - x).max() < _SETTLED:
                return moved
            x = moved
        return x

    def _near(self, x: Floats) -> Network:
        return self._relinearise(x) if self._relinearise else self.network
