"""Works: a build with everything that a simulated maker needs to know of it.

Room: fit. To the network of dims and clearances come the hands: which cause
strays which dim by how much, which process a cause belongs to, what can be
trimmed or shimmed afterwards, and how many minutes each thing takes.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from foldwright.fit.leave_long import cheapest_cures
from foldwright.shop import BLUNDER, BLUNDER_SIZE

if TYPE_CHECKING:
    from foldwright.fit.cannot_fit import Cure
    from foldwright.fit.network import Flags, Floats, Network, Sparse, Whole


@dataclass(frozen=True, eq=False)
class Works:
    """A build to be made.

    Attributes
    ----------
    network : Network
        Its parts are in the order in which the plan draws them.
    root : sparse array, shape (n, q)
        How each cause strays the dims at the usual scatter: one standard
        deviation [mm].
    process : ndarray of int, shape (q,)
        Which process a cause belongs to.
    processes : tuple of str
    is_shared : ndarray of bool, shape (q,)
        One setting for the whole build, not one for each part.
    minutes : ndarray, shape (number of parts,)
        To make each part.
    cures : tuple of Cure
        What can be trimmed, shimmed or filled once parts are made.
    """

    network: Network
    root: Sparse
    process: Whole
    processes: tuple[str, ...]
    is_shared: Flags
    minutes: Floats
    cures: tuple[Cure, ...]

    @cached_property
    def biases(self) -> Sparse:
        """How a bias of one usual scatter in each process moves the dims, shape (n, p) [mm].

        A process strays a dim by all its causes together; its bias goes the way in which
        they go.
        """
        from scipy import sparse

        count = len(self.process)
        which = sparse.csr_array(
            (np.ones(count), (np.arange(count), self.process)), shape=(count, len(self.processes))
        )
        size = np.sqrt(self.root.multiply(self.root) @ which)
        return (size.multiply((self.root @ which).sign())).tocsr()

    @cached_property
    def trimmed(self) -> Floats:
        """What trimming each dim to a line strays by, shape (n,) [mm].

        No trim is cruder than the hand that made the dim: a plug is filed as it was made.
        """
        sigma = np.sqrt(np.asarray(self.root.multiply(self.root).sum(axis=1)).ravel())
        return np.asarray(np.minimum(_TRIMMED, sigma))

    @cached_property
    def is_as_it_comes(self) -> Flags:
        """Whether each dim is as its stock comes, whoever cuts it, shape (n,)."""
        moved = abs(self.root)
        own = np.asarray(moved[:, ~self.is_shared].sum(axis=1)).ravel()
        shared = np.asarray(moved[:, self.is_shared].sum(axis=1)).ravel()
        return np.asarray((own <= 0.0) & (shared > 0.0))

    @cached_property
    def touches(self) -> Flags:
        """Whether each clearance depends on each part, shape (m, number of parts)."""
        network = self.network
        found = np.zeros((len(network.low), len(network.parts)), dtype=bool)
        rows = np.repeat(np.arange(len(network.low)), np.diff(network.slopes.indptr))
        found[rows, network.part[network.slopes.indices]] = True
        return found

    @cached_property
    def cheapest_cures(self) -> tuple[Floats, Floats]:
        """Minutes of the cheapest cure of a miss below and above; infinite where there is none."""
        return cheapest_cures(self.network, self.cures)

    @cached_property
    def cures_of(self) -> tuple[tuple[Cure, ...], ...]:
        """Cures that reach each clearance, the cheapest first."""
        slopes = self.network.slopes
        found: list[tuple[Cure, ...]] = []
        for row in range(len(self.network.low)):
            dims = set(slopes.indices[slopes.indptr[row] : slopes.indptr[row + 1]].tolist())
            reach = [c for c in self.cures if c.clearance == row or c.dim in dims]
            found.append(tuple(sorted(reach, key=lambda cure: cure.minutes)))
        return tuple(found)


@dataclass(frozen=True, eq=False)
class Hands:
    """The hands that make one simulated build, true and unknown to the maker.

    Attributes
    ----------
    bias, scatter : ndarray, shape (number of processes,)
        In units of the usual scatter.
    blunder : float
        Share of parts in which one dim is cut or folded wrong.
    seed : int
        Of every stray: the same part made at the same try strays alike, whatever way
        of working made it.
    """

    bias: Floats
    scatter: Floats
    blunder: float
    seed: int


# How makers differ: biases by half a usual scatter, scatters as if each had been
# seen ten times. Common practice, no source.
BIAS, WORTH = 0.5, 10.0
_TRIMMED = 0.2  # mm; of what is left after filing to a line; common practice, no source


def hands_drawn(works: Works, seed: int, *, stress: Stress | None = None) -> Hands:
    """Hands drawn from what is usual, or strained past what the model assumes."""
    rng = np.random.default_rng([seed, 1])
    count = len(works.processes)
    alpha = WORTH / 2.0
    scatter = np.sqrt((alpha - 1.0) / rng.gamma(alpha, size=count))
    bias = rng.standard_normal(count) * BIAS * scatter
    strain = stress or Stress()
    return Hands(bias * strain.bias, scatter * strain.scatter, BLUNDER * strain.blunder, seed)


@dataclass(frozen=True)
class Stress:
    """How much worse hands are than the model assumes: factors."""

    scatter: float = 1.0
    bias: float = 1.0
    blunder: float = 1.0


def strays(works: Works, hands: Hands, part: int, attempt: int) -> Floats:
    """How far the dims of a part come out from what they were cut to, shape (n,) [mm].

    Zero for dims of other parts. A blunder puts one dim wrong by 4 to 10 usual
    scatters of its own.
    """
    network = works.network
    shared = np.random.default_rng([hands.seed, 2]).standard_normal(len(works.process))
    rng = np.random.default_rng([hands.seed, 3, part, attempt])
    own = rng.standard_normal(len(works.process))
    z = hands.scatter[works.process] * np.where(works.is_shared, shared, own)
    found = works.root @ z + works.biases @ hands.bias
    mine = np.flatnonzero(network.part == part)
    if rng.random() < hands.blunder and mine.size:
        dim = rng.choice(mine)
        sigma = float(np.sqrt((works.root[[dim]].multiply(works.root[[dim]])).sum()))
        found[dim] += rng.choice([-1.0, 1.0]) * rng.uniform(*BLUNDER_SIZE) * sigma
    return np.where(network.part == part, found, 0.0)


def order_drawn(works: Works) -> Sequence[int]:
    """Parts in the order in which the plan draws them."""
    return range(len(works.network.parts))
