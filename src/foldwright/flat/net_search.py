"""Exact search for the net with the least weighted seam.

Room: flat. Without overlaps the best net is a maximum spanning forest of the
faces, each edge weighted by its seam. When a net will not do, its judge names
*causes*: lists of changes of which at least one has to be made. The search
branches on the first change of a cause that is made, so the branches share no
net and lose none; each branch's best net is one exchange of folds away. The
first net without a cause is optimal.

Of several causes the search takes the one that costs most whichever change is
made: that lifts the bound fastest.
"""

from __future__ import annotations

import heapq
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import count

from foldwright.flat.unfolding import Cause, Change, total

# Causes that are weighed against one another at one net.
_WEIGHED = 6

type Judge = Callable[[frozenset[int]], list[Cause]]


class Forest:
    """Faces joined so far (union-find)."""

    def __init__(self, size: int) -> None:
        self.root = list(range(size))
        self.pieces = size

    def find(self, face: int) -> int:
        """Face that stands for all that `face` is joined to."""
        while self.root[face] != face:
            self.root[face] = self.root[self.root[face]]
            face = self.root[face]
        return face

    def join(self, a: int, b: int) -> bool:
        """Join two faces; False if they were joined before."""
        a, b = self.find(a), self.find(b)
        if a == b:
            return False
        self.root[a] = b
        self.pieces -= 1
        return True


@dataclass(frozen=True)
class Problem:
    """What to search: `ends` are the two faces of each edge, `weights` [mm] 0 or more."""

    faces: int
    ends: Sequence[tuple[int, int]]
    weights: Sequence[float]
    foldable: frozenset[int]
    must: frozenset[int]

    @property
    def heaviest_first(self) -> list[int]:
        """Foldable edges, heaviest first; ties by number, so that the same plan gives one net."""
        return sorted(self.foldable, key=lambda n: (-self.weights[n], n))

    def fewest_pieces(self) -> int:
        """Pieces that are left when every foldable edge folds."""
        whole = Forest(self.faces)
        for edge in self.foldable:
            whole.join(*self.ends[edge])
        return whole.pieces


@dataclass(frozen=True)
class Outcome:
    """What a search came to.

    Attributes
    ----------
    net : frozenset of int or None
        The best net found; None if there is none (`is_exhausted`), or the
        search was too long.
    is_exhausted : bool
        Every net that folds more than `net` was looked at or ruled out.
    bound : float
        No net that will do folds more than this weight [mm].
    """

    net: frozenset[int] | None
    is_exhausted: bool
    bound: float


@dataclass(frozen=True)
class _Branch:
    """All nets that hold `include` and none of `exclude`; `net` is the heaviest of them."""

    net: frozenset[int]
    include: frozenset[int]
    exclude: frozenset[int]
    weight: float


def search(problem: Problem, pieces: int, judge: Judge, most_nets: int) -> Outcome:
    """Find the heaviest net of so many pieces that has no cause against it.

    Parameters
    ----------
    problem : Problem
    pieces : int
        1 or more.
    judge : callable
        Causes against a net; empty if it will do. A cause without a change
        that can still be made rules the branch out.
    most_nets : int
        Nets to look at before giving up.
    """
    first = _heaviest(problem, pieces)
    if first is None:
        return Outcome(None, True, 0.0)
    ticket = count()  # settles ties by age
    heap = [(-first.weight, next(ticket), first)]
    for _ in range(most_nets):
        if not heap:
            return Outcome(None, True, 0.0)
        _, _, branch = heapq.heappop(heap)
        causes = judge(branch.net)
        if not causes:
            return Outcome(branch.net, True, branch.weight)
        for child in _split(problem, branch, causes):
            heapq.heappush(heap, (-child.weight, next(ticket), child))
    return Outcome(None, not heap, -heap[0][0] if heap else 0.0)


def _heaviest(problem: Problem, pieces: int) -> _Branch | None:
    """Kruskal's maximum spanning forest of so many pieces, forced folds first."""
    forest, chosen = Forest(problem.faces), []
    for edge in sorted(problem.must):
        if edge not in problem.foldable or not forest.join(*problem.ends[edge]):
            return None
        chosen.append(edge)
    if forest.pieces < pieces:
        return None
    for edge in problem.heaviest_first:
        if forest.pieces == pieces:
            break
        if forest.join(*problem.ends[edge]):
            chosen.append(edge)
    if forest.pieces != pieces:
        return None
    net = frozenset(chosen)
    return _Branch(net, problem.must, frozenset(), total(problem.weights, net))


def heaviest_net(problem: Problem, pieces: int) -> frozenset[int] | None:
    """Heaviest net of so many pieces, overlapping or not; None if there is none."""
    first = _heaviest(problem, pieces)
    return None if first is None else first.net


def _split(problem: Problem, branch: _Branch, causes: Iterable[Cause]) -> list[_Branch]:
    """Branches of the cause that costs most; none if one cause cannot be mended."""
    best: list[_Branch] = []
    best_score = (-1.0, 0)
    for cause in sorted(causes, key=len)[:_WEIGHED]:
        children = _children(problem, branch, cause)
        if not children:
            return []
        loss = branch.weight - max(child.weight for child in children)
        score = (loss, -len(children))
        if score > best_score:
            best, best_score = children, score
    return best


def _children(problem: Problem, branch: _Branch, cause: Cause) -> list[_Branch]:
    """One branch for each change that is the first of the cause to be made."""
    children = []
    include, exclude = branch.include, branch.exclude
    for change in cause:
        child = _changed(problem, branch, include, exclude, change)
        if child is not None:
            children.append(child)
        if change.folds:
            exclude |= {change.edge}
        else:
            include |= {change.edge}
    return children


def _changed(
    problem: Problem,
    branch: _Branch,
    include: frozenset[int],
    exclude: frozenset[int],
    change: Change,
) -> _Branch | None:
    """Heaviest net after one change: one exchange away, by the exchange law of matroids."""
    edge = change.edge
    if change.folds:
        if edge in exclude:
            return None
        out = _lightest_to_leave(problem, branch.net, include, edge)
        if out is None:
            return None
        net, include = (branch.net - {out}) | {edge}, include | {edge}
    else:
        if edge in include:
            return None
        exclude |= {edge}
        into = heaviest_to_join(problem, branch.net - {edge}, exclude)
        if into is None:
            return None
        net = (branch.net - {edge}) | {into}
    return _Branch(net, include, exclude, total(problem.weights, net))


def heaviest_to_join(problem: Problem, net: frozenset[int], exclude: frozenset[int]) -> int | None:
    """Heaviest edge that joins two pieces of a net; None if there is none."""
    forest = Forest(problem.faces)
    for edge in net:
        forest.join(*problem.ends[edge])
    best = None
    for edge in problem.foldable - exclude:
        a, b = problem.ends[edge]
        if forest.find(a) != forest.find(b) and (
            best is None or (-problem.weights[edge], edge) < (-problem.weights[best], best)
        ):
            best = edge
    return best


def _lightest_to_leave(
    problem: Problem, net: frozenset[int], include: frozenset[int], edge: int
) -> int | None:
    """Lightest fold that makes room for `edge`; None if all that could leave are held.

    Within one piece the new fold closes a ring, and one of the ring leaves;
    between two pieces any fold may leave, which keeps the number of pieces.
    """
    a, b = problem.ends[edge]
    beside: dict[int, list[int]] = {}
    for fold in net:
        for face in problem.ends[fold]:
            beside.setdefault(face, []).append(fold)
    came: dict[int, int | None] = {a: None}
    queue = [a]
    for face in queue:
        for fold in beside.get(face, []):
            left, right = problem.ends[fold]
            far = right if face == left else left
            if far not in came:
                came[far] = fold
                queue.append(far)
    ring = list(net)
    if b in came:
        ring = []
        face = b
        while (fold_back := came[face]) is not None:
            ring.append(fold_back)
            left, right = problem.ends[fold_back]
            face = right if face == left else left
    free = [fold for fold in ring if fold not in include]
    return min(free, key=lambda n: (problem.weights[n], -n), default=None)
