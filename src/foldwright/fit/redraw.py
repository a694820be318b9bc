"""Redraw: what to change in the parts not made yet, on the whole network.

Room: fit. Sparse on purpose. Dims are set free clearance by clearance: those
that a missed window depends on, then those of windows that their change made
miss, until every window that can be met is. Then each part that was changed is
tried at its old dims with the others held free: if every window can still be
let be, it stands.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from foldwright.fit.least_drift import least_drift
from foldwright.fit.windows import is_missed, leaned, miss_of

if TYPE_CHECKING:
    from foldwright.fit.network import Belief, Flags, Floats, Network

# Changes under this cannot be marked out [mm].
SMALLEST_CHANGE = 0.05
_ROUNDS = 8
_SETTLED = 1e-9  # mm

# The network with its clearances taken afresh where the dims are now.
type Relinearise = Callable[[Floats], Network]


def redraw(
    network: Network,
    belief: Belief,
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
    task = _Task(network, belief, relinearise)
    changeable = network.is_free & ~belief.is_made[network.part]
    if not is_sparse:
        return task.solved(changeable)
    free, x = np.zeros(len(network.keys), dtype=bool), belief.mean
    while True:
        grown = free | (task.dims_behind(task.missed(x)) & changeable)
        if np.array_equal(grown, free):
            break
        free = grown
        x = task.solved(free)
    return _settle(task, free, x)


def _settle(task: _Task, free: Flags, x: Floats) -> Floats:
    """Put each changed part back whose change no window needs, the least changed first."""
    network, start = task.network, task.belief.mean
    missed = int(task.missed(x).sum())
    changed = np.abs(x - start) > SMALLEST_CHANGE
    drift = {
        int(p): float(np.abs((x - start) / network.give)[changed & (network.part == p)].max())
        for p in np.unique(network.part[changed])
    }
    for part in sorted(drift, key=drift.__getitem__):
        fewer = free & (network.part != part)
        trial = task.solved(fewer) if fewer.any() else start
        if int(task.missed(trial).sum()) <= missed and task.worst(trial) <= task.worst(x) + 1e-9:
            free, x = fewer, trial
    return np.where(np.abs(x - start) > SMALLEST_CHANGE, x, start)


class _Task:
    """One refit: solves for any set of free dims."""

    def __init__(self, network: Network, belief: Belief, relinearise: Relinearise | None) -> None:
        self.network, self.belief = network, belief
        self._relinearise = relinearise
        self._sigmas = belief.sigmas(network.slopes)
        self._columns = network.slopes.tocsc()

    def missed(self, x: Floats) -> Flags:
        n = self._near(x)
        return is_missed(n.clearances(x), n.low, n.high, self._sigmas)

    def worst(self, x: Floats) -> float:
        """Sum of misses beyond the leaned windows, in sigma."""
        n = self._near(x)
        miss = miss_of(n.clearances(x), n.low, n.high, self._sigmas)
        beyond = np.where(is_missed(n.clearances(x), n.low, n.high, self._sigmas), miss, 0.0)
        return float(np.sum(beyond / np.maximum(self._sigmas, 1e-3)))

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
            low, high = leaned(n.low[rows], n.high[rows], self._sigmas[rows])
            held = n.clearances(x)[rows] - matrix @ x[index]
            found = least_drift(
                n.drawn[index],
                n.give[index],
                matrix,
                low - held,
                high - held,
                self._sigmas[rows],
            )
            moved = x.copy()
            moved[index] = found
            if np.abs(moved - x).max() < _SETTLED:
                return moved
            x = moved
        return x

    def _near(self, x: Floats) -> Network:
        return self._relinearise(x) if self._relinearise else self.network


def made_at(belief: Belief, x: Floats) -> Belief:
    """Return the belief with the dims of unmade parts meant to come out as `x`."""
    return replace(belief, mean=x)
