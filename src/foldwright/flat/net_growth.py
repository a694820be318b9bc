"""Growing nets of large solids: short seams, though not proved the shortest.

Room: flat. Folds are made heaviest first, as for a maximum spanning tree, but
one that would bring panels over one another is left out. What is then still
in pieces is cut loose around its edges and grown again in a slightly other
order, many times over; the better net stays. Where chance decides it is
seeded, so that the same plan gives the same net.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from foldwright.flat.develop import TooNarrow
from foldwright.flat.net_search import Judge, Problem
from foldwright.flat.pattern import Point
from foldwright.flat.unfolding import (
    Cause,
    Complexes,
    Unfolding,
    depths_between,
    hull_of_points,
    is_overlap,
    moved,
    near_between,
    total,
)

type Fits = Callable[[Sequence[Point]], bool]

# How far the weights are shaken when a place is grown again (standard deviation of the logarithm).
_SHAKE = 0.15
# A place reaches at most this many faces out.
_FARTHEST = 3
# How much worse a net may be at first and still lead on, as a share of its folds.
_SLACK = 0.002
# So many rounds lie between two polishings, which try so many folds against each seam.
_POLISHED = 30
_EXCHANGED = 8
# How often a collision shows what to cut loose.
_GUIDED = 0.6
# Keeps a chance for seams of no weight [mm2].
_GRAIN = 1e-9


class _Growth:
    """Pieces as they grow; each has its own flat frame."""

    def __init__(self, unfolding: Unfolding, fits: Fits | None) -> None:
        self.unfolding, self.fits = unfolding, fits
        self.hit: tuple[int, int] | None = None  # the faces that collided last
        self.load(frozenset())

    def load(self, net: frozenset[int]) -> None:
        """Start from a net that is known to be sound."""
        laid = self.unfolding.lay(net)
        self.net = set(net)
        self.piece = list(laid.piece)
        self.members: dict[int, list[int]] = {}
        for face, piece in enumerate(self.piece):
            self.members.setdefault(piece, []).append(face)
        self.turn, self.shift = np.array(laid.turn), np.array(laid.shift)
        self.beside: list[set[int]] = [set() for _ in self.piece]
        for edge in net:
            for face in self.unfolding.ends[edge]:
                self.beside[face].add(edge)
        self.panels = [self.unfolding.sound(face, net) for face in range(len(self.piece))]
        self.hulls = np.array([panel.hull for panel in self.panels])
        self.hulls = self.turn[:, None] * self.hulls + self.shift[:, None]

    def join(self, edge: int) -> bool:
        """Fold an edge if that joins two pieces soundly."""
        face, child = self.unfolding.ends[edge]
        if self.piece[face] == self.piece[child]:
            return False
        if len(self.members[self.piece[face]]) < len(self.members[self.piece[child]]):
            face, child = child, face
        now = frozenset(self.beside[face] | self.beside[child] | {edge})
        mine, its = self.unfolding.panel(face, now), self.unfolding.panel(child, now)
        if isinstance(mine, TooNarrow) or isinstance(its, TooNarrow):
            return False
        before = self.panels[face], self.panels[child]
        self.panels[face], self.panels[child] = mine, its
        if not self._bring(edge, face, child):
            self.panels[face], self.panels[child] = before
            return False
        self.net.add(edge)
        for end in (face, child):
            self.beside[end].add(edge)
        return True

    def _bring(self, edge: int, face: int, child: int) -> bool:
        """Move the child's piece to where it hangs on `face`, if it has room there."""
        stay, come = self.members[self.piece[face]], self.members[self.piece[child]]
        turn, shift = self._motion(edge, face, child)
        turns, shifts = turn * self.turn[come], turn * self.shift[come] + shift
        staying, coming = self.hulls[stay], turn * self.hulls[come] + shift
        i, j = stay.index(face), come.index(child)
        staying[i] = self.turn[face] * self.panels[face].hull + self.shift[face]
        coming[j] = turns[j] * self.panels[child].hull + shifts[j]
        if self._collide(staying, coming, stay, come, turns, shifts):
            return False
        if not self._fit(staying, coming):
            return False
        self.hulls[stay], self.hulls[come] = staying, coming
        self.turn[come], self.shift[come] = turns, shifts
        del self.members[self.piece[child]]
        for other in come:
            self.piece[other] = self.piece[face]
        stay += come
        return True

    def way(self, a: int, b: int) -> list[int]:
        """Folds on the way between two faces; none if they are in two pieces."""
        came = {a: -1}
        queue = [a]
        for face in queue:
            for edge in self.beside[face]:
                far = self.unfolding.other(edge, face)
                if far not in came:
                    came[far] = edge
                    queue.append(far)
        found = []
        while came.get(b, -1) >= 0:
            found.append(came[b])
            b = self.unfolding.other(came[b], b)
        return found

    def exchange(self, out: int, into: int) -> bool:
        """Cut one fold and fold another instead, if that is sound."""
        self.hit = None
        ends = self.unfolding.ends[out]
        before = [(self.panels[face], self.hulls[face].copy()) for face in ends]
        label, new = self.piece[ends[0]], max(self.members) + 1
        whole = self.members[label]
        self._cut(out, label, new)
        if all(self._reshape(face) for face in ends) and self.join(into):
            return True
        for face, (panel, outer) in zip(ends, before, strict=True):
            self.panels[face], self.hulls[face] = panel, outer
            self.beside[face].add(out)
        for face in self.members.pop(new):
            self.piece[face] = label
        self.members[label] = whole
        self.net.add(out)
        return False

    def _cut(self, out: int, label: int, new: int) -> None:
        """Cut a fold; what lies beyond it becomes a piece of its own."""
        near, far = self.unfolding.ends[out]
        self.net.discard(out)
        self.beside[near].discard(out)
        self.beside[far].discard(out)
        beyond = {far: None}
        queue = [far]
        for face in queue:
            for edge in self.beside[face]:
                other = self.unfolding.other(edge, face)
                if other not in beyond:
                    beyond[other] = None
                    queue.append(other)
        for face in beyond:
            self.piece[face] = new
        self.members[label] = [face for face in self.members[label] if face not in beyond]
        self.members[new] = list(beyond)

    def _reshape(self, face: int) -> bool:
        """Shape a panel as its folds now ask; False if it gets too narrow."""
        panel = self.unfolding.panel(face, frozenset(self.beside[face]))
        if isinstance(panel, TooNarrow):
            return False
        self.panels[face] = panel
        self.hulls[face] = self.turn[face] * panel.hull + self.shift[face]
        return True

    def _motion(self, edge: int, face: int, child: int) -> tuple[complex, complex]:
        """Motion that brings the child's piece to the place where it hangs on `face`."""
        turn, shift = self.unfolding.hanging(edge, face)
        at = complex(self.turn[face])
        back = at * turn / complex(self.turn[child])
        place = at * shift + complex(self.shift[face])
        return back, place - back * complex(self.shift[child])

    def _collide(
        self,
        staying: Complexes,
        coming: Complexes,
        stay: Sequence[int],
        come: Sequence[int],
        turns: Complexes,
        shifts: Complexes,
    ) -> bool:
        pairs = near_between(staying, coming)
        deep = depths_between(staying, coming, pairs)
        for k in np.flatnonzero(deep > 0.0):
            i, j = pairs[k]
            a, b = stay[i], come[j]
            one = moved(self.panels[a], self.turn[a], self.shift[a])
            other = moved(self.panels[b], turns[j], shifts[j])
            if is_overlap(one, other, float(deep[k])):
                self.hit = a, b
                return True
        return False

    def _fit(self, staying: Complexes, coming: Complexes) -> bool:
        if self.fits is None:
            return True
        outline = hull_of_points(np.concatenate([staying.ravel(), coming.ravel()]))
        return self.fits([(float(z.real), float(z.imag)) for z in outline])


@dataclass(frozen=True)
class _Try:
    """A net, what is against it, and how good it is: the less the better."""

    net: frozenset[int]
    causes: Sequence[Cause]
    folds: float
    rank: tuple[int, int, float]


def grown(
    unfolding: Unfolding,
    problem: Problem,
    judge: Judge,
    fits: Fits | None,
    *,
    fewest: int,
    enough: float,
    rounds: int,
    seed: int = 0,
    start: frozenset[int] | None = None,
) -> frozenset[int] | None:
    """Grow a net in as few pieces as chance finds, heavy folds first.

    Parameters
    ----------
    unfolding, problem
        Of one solid.
    judge : callable
        Causes against a finished net.
    fits : callable or None
        Whether an outline fits the rack; asked with convex hulls.
    fewest : int
        Pieces that cannot be undercut.
    enough : float
        Folds of this weight are good enough to stop [mm].
    rounds : int
        Places to cut loose and grow again at most.
    seed : int
        Another seed takes other chances.
    start : frozenset of int or None
        A sound net to go on from.

    Returns
    -------
    frozenset of int or None
        None if chance found nothing sound.
    """
    chance = random.Random(seed)
    growth = _Growth(unfolding, fits)
    if not all(growth.join(edge) for edge in sorted(problem.must)):
        return None
    forced = frozenset(growth.net)
    if start is not None:
        growth.load(start)
    first = _attempt(growth, problem, judge, problem.heaviest_first, None)
    assert first is not None  # there is no limit
    best = now = first
    for round_ in range(rounds):
        is_whole = len(unfolding.names) - len(best.net) == fewest
        if is_whole and not best.causes and best.folds >= enough:
            break
        slack = _SLACK * (1.0 - round_ / rounds) ** 2
        now = _regrown(growth, problem, judge, now, forced, slack, chance)
        if now.rank < best.rank:
            best = now
        if round_ % _POLISHED == _POLISHED - 1 and not best.causes:
            best = now = _polished(growth, problem, judge, best)
    return None if best.causes else best.net


def _regrown(
    growth: _Growth,
    problem: Problem,
    judge: Judge,
    now: _Try,
    forced: frozenset[int],
    slack: float,
    chance: random.Random,
) -> _Try:
    """Cut a place loose and grow it in another order; the net as it was if that is worse.

    `slack` is how much worse it may be, as a share of its folds.
    """
    lead, loose = _place(growth, problem, now, chance)
    weights = {edge: problem.weights[edge] for edge in problem.foldable}
    for edge in sorted(loose):
        weights[edge] *= math.exp(chance.gauss(0.0, _SHAKE))
    order = sorted(weights, key=lambda n: (n != lead, -weights[n], n))
    growth.load((now.net - loose) | forced)
    # A little worse is taken too, less and less: that leads out of corners.
    limit = (*now.rank[:2], chance.random() * slack * now.folds - now.folds)
    tried = _attempt(growth, problem, judge, order, limit)
    return tried if tried is not None and tried.rank <= limit else now


def _polished(growth: _Growth, problem: Problem, judge: Judge, best: _Try) -> _Try:
    """Exchange light folds for heavier seams, one for one, until no exchange is sound."""
    growth.load(best.net)
    weights = problem.weights
    is_better = True
    while is_better:
        is_better = False
        for into in problem.heaviest_first:
            if into in growth.net:
                continue
            way = growth.way(*growth.unfolding.ends[into])
            lighter = [f for f in way if weights[f] < weights[into] and f not in problem.must]
            for out in sorted(lighter, key=lambda n: (weights[n], n))[:_EXCHANGED]:
                if growth.exchange(out, into):
                    is_better = True
                    break
    tried = _attempt(growth, problem, judge, (), None)
    return tried if tried is not None and tried.rank < best.rank else best


def _attempt(
    growth: _Growth,
    problem: Problem,
    judge: Judge,
    order: Sequence[int],
    limit: tuple[int, int, float] | None,
) -> _Try | None:
    """Grow on in this order; None if even without causes it is not within the limit."""
    for edge in order:
        growth.join(edge)
    net = frozenset(growth.net)
    pieces, folds = len(growth.members), total(problem.weights, net)
    if limit is not None and (0, pieces, -folds) > limit:
        return None  # judging takes longer than growing
    causes = judge(net)
    return _Try(net, causes, folds, (len(causes), pieces, -folds))


def _place(
    growth: _Growth, problem: Problem, now: _Try, chance: random.Random
) -> tuple[int, frozenset[int]]:
    """Where to grow anew: the seam to fold first, and the edges to cut loose for it.

    Where the net is in pieces, a seam between two of them; else a heavy one.
    What is cut loose lies around it, or on the way between the two panels that
    would collide.
    """
    unfolding = growth.unfolding
    laid = unfolding.lay(now.net)
    seams = sorted(problem.foldable - now.net)
    between = [e for e in seams if len({laid.piece[face] for face in unfolding.ends[e]}) == 2]
    if now.causes:
        lead = chance.choice(sorted({change.edge for cause in now.causes for change in cause}))
    elif between:
        lead = chance.choice(between)
    elif seams:
        lead = chance.choices(seams, [problem.weights[edge] ** 2 + _GRAIN for edge in seams])[0]
    else:
        lead = min(problem.foldable)
    in_the_way: frozenset[int] = frozenset()
    if not now.causes and not between and chance.random() < _GUIDED:
        in_the_way = _in_the_way(growth, problem, now.net, lead, chance)
    reach = chance.randint(0, 1) if in_the_way else chance.randint(1, _FARTHEST)
    ring = set(unfolding.ends[lead])
    reached = set(ring)
    for _ in range(reach):
        ring = {unfolding.other(e, f) for f in ring for e in unfolding.edges_of[f]} - reached
        reached |= ring
    around = {edge for face in reached for edge in unfolding.edges_of[face]}
    return lead, (in_the_way | around) & problem.foldable


def _in_the_way(
    growth: _Growth, problem: Problem, net: frozenset[int], lead: int, chance: random.Random
) -> frozenset[int]:
    """Folds that keep a seam from folding: a light one of its ring, those of a collision."""
    growth.load(net)
    ring = sorted(set(growth.way(*growth.unfolding.ends[lead])) - problem.must)
    if lead in net or not ring:
        return frozenset()
    out = min(ring, key=lambda n: problem.weights[n] * math.exp(chance.gauss(0.0, 2.0 * _SHAKE)))
    if growth.exchange(out, lead) or growth.hit is None:
        return frozenset((out,))
    laid = growth.unfolding.lay((net - {out}) | {lead})
    return frozenset((out, *growth.unfolding.way(laid, *growth.hit)))
