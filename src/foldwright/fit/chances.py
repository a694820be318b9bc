"""Chances: how likely every clearance, every meet and the whole build hold.

Room: fit. Clearances are jointly normal where they are linear in the dims.
One clearance alone is exact; several of one meet, and all meets together, are
counted over draws of the independent causes, chunk by chunk. Where a clearance
bends with the dims, its second derivatives are carried along::

    g = level + slopes @ d + (d' H d) / 2,   d = root @ z,   z standard normal

H is handed over as weighted squares, ``d' H d = sum weight (direction @ d)^2``,
which is what its eigenvectors give. Beside the chances stand the two sums that
drawings offices use: worst case, and root of the sum of squares.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import Executor, ThreadPoolExecutor
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from foldwright.fit.network import Belief, Floats, Network

_CHUNK = 8192
_SEED = 20_111
# Enough draws for a chance in 100, a third of a hundredth out.
DRAWS = 32_768
# Tolerance of a dim for the two sums: three sigma, as in JCGM 100:2008 and drawing offices.
_TOLERANCE = 3.0


@dataclass(frozen=True, eq=False)
class Bends:
    """Second derivatives of clearances, as weighted squares.

    Attributes
    ----------
    directions : ndarray, shape (r, n)
    weights : ndarray, shape (r,)
    clearance : ndarray of int, shape (r,)
        Which clearance each square belongs to.
    """

    directions: Floats
    weights: Floats
    clearance: Floats


@dataclass(frozen=True, eq=False)
class Chances:
    """How likely things hold.

    Attributes
    ----------
    clearance : ndarray, shape (m,)
        Of each clearance by itself.
    meet : ndarray, shape (number of meets,)
        That all clearances of a meet hold.
    all_hold : float
        That everything does.
    draws : int
        How many were counted; the counted chances stray by sqrt(p (1 - p) / draws).
    """

    clearance: Floats
    meet: Floats
    all_hold: float
    draws: int


def within(mean: Floats, sigma: Floats, low: Floats, high: Floats) -> Floats:
    """Probability that normal variables lie in their ranges; sigma may be 0.

    Examples
    --------
    >>> import numpy as np
    >>> p = within(np.zeros(1), np.ones(1), np.full(1, -2.0), np.full(1, 2.0))
    >>> round(float(p[0]), 4)
    0.9545
    """
    from scipy.special import ndtr

    certain = sigma <= 0.0
    scale = np.where(certain, 1.0, sigma)
    chance = ndtr((high - mean) / scale) - ndtr((low - mean) / scale)
    return np.where(certain, ((low <= mean) & (mean <= high)).astype(float), chance)


def chances(
    network: Network,
    belief: Belief,
    *,
    draws: int = DRAWS,
    bends: Bends | None = None,
    executor: Executor | None = None,
) -> Chances:
    """Chance of each clearance, each meet and all of them.

    Parameters
    ----------
    network : Network
    belief : Belief
    draws : int
        For what has to be counted; the same draws each time.
    bends : Bends, optional
        Second derivatives; without them everything is linear and a single
        clearance is exact.
    executor : Executor, optional
        Runs the chunks; two threads otherwise, since the work is in NumPy.
    """
    level = network.clearances(belief.mean)
    exact = within(level, belief.sigmas(network.slopes), network.low, network.high)
    count = -(-draws // _CHUNK)
    work = _Work(network, belief, level, bends)
    seeds = np.random.SeedSequence(_SEED).spawn(count)
    held = _held_by(work, seeds, executor)
    total = count * _CHUNK
    alone = np.bincount(network.meet, minlength=len(network.meets)) == 1
    counted = held.meet / total
    if bends is None:
        only = np.zeros(len(network.meets))
        only[network.meet] = exact
        counted = np.where(alone, only, counted)
    return Chances(
        exact if bends is None else held.clearance / total, counted, held.all_hold / total, total
    )


def worst_case(network: Network, belief: Belief) -> Floats:
    """Most that each clearance can be off if every dim is at its three sigma, shape (m,) [mm]."""
    spread = np.sqrt(np.asarray(belief.root.multiply(belief.root).sum(axis=1)).ravel())
    return np.asarray(abs(network.slopes) @ (_TOLERANCE * spread))


def root_sum_square(network: Network, belief: Belief) -> Floats:
    """Three sigma of each clearance when every dim strays by itself, shape (m,) [mm]."""
    variance = np.asarray(belief.root.multiply(belief.root).sum(axis=1)).ravel()
    return np.asarray(_TOLERANCE * np.sqrt(network.slopes.multiply(network.slopes) @ variance))


def drivers(network: Network, belief: Belief, clearance: int) -> dict[str, float]:
    """Share that each part has in the variance of a clearance, the largest first.

    Causes that parts share are counted where they enter, so shares can be
    above 1 or below 0 when two parts stray together; they sum to 1.
    """
    row = network.slopes[[clearance]]
    carried = np.asarray((row @ belief.root).todense()).ravel()
    total = float(carried @ carried)
    found: dict[str, float] = {}
    for dim in row.indices:
        own = float(row[0, dim]) * float((belief.root[[dim]] @ carried)[0])
        name = network.parts[network.part[dim]]
        found[name] = found.get(name, 0.0) + (own / total if total else 0.0)
    return dict(sorted(found.items(), key=lambda item: -item[1]))


@dataclass(eq=False)
class _Held:
    """Counts of draws in which things held."""

    clearance: Floats
    meet: Floats
    all_hold: float


class _Work:
    """What one chunk of draws needs, in single precision: draws are coarser than that."""

    def __init__(
        self, network: Network, belief: Belief, level: Floats, bends: Bends | None
    ) -> None:
        from scipy import sparse

        # Sparse products, since a clearance knows few causes, and dense ones would start
        # threads of their own under ours.
        self.carried = (network.slopes @ belief.root).astype(np.float32).tocsr()
        self.low = (network.low - level).astype(np.float32)[:, None]
        self.high = (network.high - level).astype(np.float32)[:, None]
        self.starts = np.flatnonzero(np.diff(network.meet, prepend=-1))
        self.stops = np.append(self.starts[1:], len(network.meet))
        self.meets = network.meet[self.starts]
        self.bends = None
        if bends is not None:
            turned = sparse.csr_array(bends.directions) @ belief.root
            count = len(bends.weights)
            spread = sparse.csr_array(
                (bends.weights / 2.0, (bends.clearance, np.arange(count))),
                shape=(len(network.low), count),
            )
            self.bends = turned.astype(np.float32).tocsr(), spread.astype(np.float32)
        # causes that no clearance sees are not drawn
        seen = self.carried if self.bends is None else sparse.vstack([self.carried, self.bends[0]])
        used = np.unique(seen.tocsr().indices)
        self.carried = self.carried[:, used]
        if self.bends is not None:
            self.bends = self.bends[0][:, used], self.bends[1]

    def count(self, seed: np.random.SeedSequence) -> tuple[Floats, Floats, int]:
        """Count what held in one chunk: by clearance, by meet, all."""
        rng = np.random.Generator(np.random.SFC64(seed))  # the quickest that spawns
        z = rng.standard_normal((self.carried.shape[1], _CHUNK), dtype=np.float32)
        g = self.carried @ z
        if self.bends is not None:
            turned, spread = self.bends
            squares = turned @ z
            g += spread @ np.square(squares, out=squares)
        holds = (g >= self.low) & (g <= self.high)
        by_clearance = np.count_nonzero(holds, axis=1)
        by_meet = by_clearance[self.starts]
        for i in np.flatnonzero(self.stops - self.starts > 1):
            together = holds[self.starts[i] : self.stops[i]].all(axis=0)
            by_meet[i] = np.count_nonzero(together)
        return by_clearance, by_meet, int(np.count_nonzero(holds.all(axis=0)))


def _held_by(
    work: _Work, seeds: Sequence[np.random.SeedSequence], executor: Executor | None
) -> _Held:
    def total(run: Callable[..., object]) -> _Held:
        held: _Held | None = None
        for by_clearance, by_meet, all_hold in run(partial(_Work.count, work), seeds):  # type: ignore[attr-defined]
            if held is None:
                held = _Held(by_clearance.astype(float), by_meet.astype(float), float(all_hold))
            else:
                held.clearance += by_clearance
                held.meet += by_meet
                held.all_hold += all_hold
        assert held is not None
        order = np.zeros(int(work.meets.max()) + 1)
        order[work.meets] = held.meet
        held.meet = order
        return held

    if executor is not None:
        return total(executor.map)
    with ThreadPoolExecutor(2) as threads:
        return total(threads.map)
