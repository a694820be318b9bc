"""Making order: what to make first, what to leave to suit.

Room: fit. Whatever part of a meet is made last is cut to suit the others, so
that only its own scatter counts: the last one should be able to take up what
the others did, be made precisely, be cheap to make again, or cheap to trim. An
order is judged by the minutes of rework to expect, meet by meet, and searched by
insertion: every part is tried at every place until no move helps.

A *wave* is what can be cut together before the next measuring: parts of one
wave do not decide one another.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from foldwright.fit.leave_long import cheapest_cures, shift
from foldwright.fit.network import shares

if TYPE_CHECKING:
    from foldwright.fit.cannot_fit import Cure
    from foldwright.fit.network import Belief, Floats, Network, Sparse

_ROUNDS = 20
# Variance of what was read once, of that of what was read twice; and a hair.
_READ_ONCE = 2.0 + 1e-6
_LEAST_CHANCE = 1e-3  # that a part suits; it would not be made a thousand times


class Worth:
    """Judges orders: minutes of rework to expect.

    What a part costs depends on which of its neighbours are made before it, and on
    nothing else, so each such case is worked out once. Of the clearances that the part
    completes, its free dims can take up as much of what the neighbours did as they have
    independent effects; what is left over strays with the neighbours' own scatter. A part
    that misses and cannot be cured is made again until it suits, all of it.
    """

    def __init__(
        self,
        network: Network,
        root: Sparse,
        minutes: Floats,
        cures: Sequence[Cure],
    ) -> None:
        self._network, self._minutes = network, minutes
        self._width = network.high - network.low
        self._read = np.asarray(network.slopes.multiply(network.slopes) @ network.reads**2)
        self._cheap_low, self._cheap_high = cheapest_cures(network, cures)
        # effect of every cause on every clearance, part by part
        self._carried = [
            np.asarray((network.slopes[:, mine] @ root[mine]).todense())
            for mine in (np.flatnonzero(network.part == part) for part in range(len(network.parts)))
        ]
        self._of_row = [network.parts_of(row) for row in range(len(network.low))]
        self._rows = [
            [row for row, parts in enumerate(self._of_row) if part in parts]
            for part in range(len(network.parts))
        ]
        self.neighbours = [
            frozenset().union(*(self._of_row[row] for row in rows)) - {part}
            for part, rows in enumerate(self._rows)
        ]
        self._known: dict[tuple[int, frozenset[int]], float] = {}

    def __call__(self, order: Sequence[int]) -> float:
        """Minutes of rework to expect of the whole build."""
        before: set[int] = set()
        total = 0.0
        for part in order:
            total += self.of_part(part, self.neighbours[part] & before)
            before.add(part)
        return total

    def of_part(self, part: int, before: frozenset[int]) -> float:
        """Minutes of rework to expect when a part is made after these of its neighbours."""
        case = part, before
        if case not in self._known:
            self._known[case] = self._worked_out(part, before)
        return self._known[case]

    def _worked_out(self, part: int, before: frozenset[int]) -> float:
        rows = [row for row in self._rows[part] if self._of_row[row] <= before | {part}]
        if not rows:
            return 0.0
        network = self._network
        own = self._carried[part][rows]
        others = np.hstack([own * 0.0, *(self._carried[other][rows] for other in sorted(before))])
        free = np.flatnonzero((network.part == part) & network.is_free)
        if free.size:
            takes = network.slopes[rows][:, free].toarray() * network.give[free]
            scale = 1.0 / self._width[rows][:, None]  # each clearance in units of its window
            scaled = takes * scale
            kept = others * scale
            others = (kept - scaled @ np.linalg.lstsq(scaled, kept, rcond=1e-9)[0]) / scale
        sigma = np.sqrt((own**2).sum(axis=1) + (others**2).sum(axis=1) + self._read[rows])
        again = self._minutes[part]
        low = np.minimum(self._cheap_low[rows], again)
        high = np.minimum(self._cheap_high[rows], again)
        off = shift(sigma, self._width[rows], low, high)
        half = self._width[rows] / 2.0
        below, above = _tail((half + off) / sigma), _tail((half - off) / sigma)
        cured = np.where(low < again, low * below, 0.0) + np.where(high < again, high * above, 0.0)
        missed = np.where(low < again, 0.0, below) + np.where(high < again, 0.0, above)
        holds = max(float(np.prod(1.0 - np.minimum(missed, 1.0))), _LEAST_CHANCE)
        return float(cured.sum()) + float(again) * (1.0 - holds) / holds


def chosen_order(
    network: Network, root: Sparse, minutes: Floats, cures: Sequence[Cure], made: Sequence[int] = ()
) -> tuple[int, ...]:
    """Order of the least rework that insertion finds, from the order drawn.

    Parameters
    ----------
    network, root, minutes, cures
        As in `Works`.
    made : sequence of int
        Parts that are made already; they come first.
    """
    worth = Worth(network, root, minutes, cures)
    first = list(made)
    order = [part for part in range(len(network.parts)) if part not in set(first)]
    best = worth([*first, *order])
    for _ in range(_ROUNDS):
        start = best
        for part in tuple(order):
            rest = [p for p in order if p != part]
            trials = [[*rest[:i], part, *rest[i:]] for i in range(len(order))]
            found = [worth([*first, *trial]) for trial in trials]
            i = int(np.argmin(found))
            if found[i] < best - 1e-9:
                best, order = found[i], trials[i]
        if best > start - 1e-9:
            break
    return tuple(first + order)


def waves(network: Network, belief: Belief, order: Sequence[int]) -> tuple[tuple[int, ...], ...]:
    """Parts that can be cut together, wave by wave.

    A part waits for the wave after the last of those it meets and that come before
    it in the order, if the clearance can be adjusted by its own dims, and if those
    are not as well known by now as what was read once. A part that the order leaves out is
    there already, and nothing waits for it.
    """
    slopes, of = network.slopes, shares(network, belief)
    to_tell: list[set[int]] = [set() for _ in network.low]
    for i in np.flatnonzero(of.variance > _READ_ONCE * of.read):
        to_tell[of.row[i]].add(int(of.part[i]))
    meets: list[set[int]] = [set() for _ in network.parts]
    for row, parts in enumerate(to_tell):
        dims = slopes.indices[slopes.indptr[row] : slopes.indptr[row + 1]]
        for part in set(network.part[dims[network.is_free[dims]]].tolist()):
            meets[part] |= parts - {part}
    wave: dict[int, int] = {}
    for part in order:  # so that those in `wave` are those before it
        before = [wave[other] for other in meets[part] if other in wave]
        wave[part] = max(before, default=-1) + 1
    count = max(wave.values(), default=-1) + 1
    return tuple(tuple(p for p in order if wave[p] == i) for i in range(count))


def _tail(z: Floats) -> Floats:
    from scipy.special import ndtr

    return np.asarray(ndtr(-z))
