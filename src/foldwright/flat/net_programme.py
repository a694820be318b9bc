"""Shortest nets of larger solids, by linear programmes with a row for each overlap met.

Room: flat. A net in one piece is a spanning tree of the faces; what does not
fold is then a spanning tree of the corners. Each face but the first is entered
over one of its edges, each corner but the first over one of its own, and each
edge is crossed by one of the two: these rows alone describe the spanning trees
of a plane graph, so that their linear programme has whole solutions.

Overlaps come on top: of the folds on the way between two panels that overlap
one has to go, which is a row more. `_Ways` finds all such ways in a solution,
also in one with halves of folds; then a branch is made on a fold that is half.
Bounds found so are far closer than those of `net_search`, which knows one
overlap at a time.

Start at `BranchAndCut`.

References
----------
J. C. Williams, A linear-size zero-one programming model for the minimum
spanning tree problem in planar graphs, Networks 39 (2002) 53-60; cited from
memory.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import count
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from foldwright.flat.net_search import Judge, Outcome, Problem
from foldwright.flat.unfolding import (
    Cause,
    Change,
    Complexes,
    Unfolding,
    are_near,
    depths_between,
    is_overlap,
    moved,
    shape_of,
    total,
)

type Shares = NDArray[np.float64]
type Numbers = NDArray[np.intp]

# Shares this near to 0 or 1 are whole.
_WHOLE = 1e-6
# A way is looked at while less than this is missing on it; at 1 it is no overlap any more.
_MISSING = 0.999
# Ways looked at in one solution at most.
_MOST_WAYS = 200_000
# Folds tried both ways before a branch is made.
_TRIED = 4
# Two bounds nearer than this are one [mm].
_SAME = 1e-5


def is_plane(unfolding: Unfolding) -> bool:
    """Whether faces and corners of a solid make a plane graph, as Euler's formula tells."""
    corners, count = _corners(unfolding)
    return count - len(corners) + len(unfolding.names) == 2


def _corners(unfolding: Unfolding) -> tuple[list[tuple[int, int]], int]:
    """Corner at either end of each edge, and how many there are.

    Corners round an open face are one: its rim is cut open from the first.
    """
    sheet = unfolding.sheet
    root = list(range(len(sheet.solid.vertices)))

    def find(corner: int) -> int:
        while root[corner] != corner:
            corner = root[corner]
        return corner

    ends = [(edge.start, edge.end) for edge in sheet.edges]
    made = {frozenset(pair) for pair in ends}
    used = set()
    for face in sheet.faces:
        for a, b in zip(face.loop, (*face.loop[1:], face.loop[0]), strict=True):
            used |= {a, b}
            if frozenset((a, b)) not in made:
                root[find(a)] = find(b)
    number = {corner: i for i, corner in enumerate(sorted({find(corner) for corner in used}))}
    return [(number[find(a)], number[find(b)]) for a, b in ends], len(number)


class _Programme:
    """Linear programme of the nets in one piece; column e tells whether edge e folds."""

    def __init__(self, unfolding: Unfolding, problem: Problem) -> None:
        import highspy

        # not Highs, which prints a banner before it can be told to be quiet
        self.solver: Any = highspy._Highs()  # type: ignore[attr-defined]
        self.solver.setOptionValue("output_flag", False)
        self.optimal = highspy.HighsModelStatus.kOptimal
        self.infeasible = highspy.HighsModelStatus.kInfeasible
        self.infinite = highspy.kHighsInf
        self.has_failed = False  # then nothing is proved any more
        self.edges = len(problem.ends)
        for weight in problem.weights:
            self.solver.addCol(-weight, 0.0, 1.0, 0, [], [])
        for _ in range(4 * self.edges):
            self.solver.addCol(0.0, 0.0, 1.0, 0, [], [])
        self._span(problem.ends, *_corners(unfolding))
        self._known: set[frozenset[Change]] = set()
        self._columns = np.arange(self.edges, dtype=np.int32)

    def _span(
        self,
        faces: Sequence[tuple[int, int]],
        corners: Sequence[tuple[int, int]],
        corner_count: int,
    ) -> None:
        """Rows of the spanning trees. The first face and the first corner touch."""
        into_face: dict[int, list[int]] = {}
        into_corner: dict[int, list[int]] = {i: [] for i in range(corner_count)}
        for edge, (sides, ends) in enumerate(zip(faces, corners, strict=True)):
            arcs = [self.edges + 4 * edge + i for i in range(4)]
            for arc, face in zip(arcs[:2], sides, strict=True):
                into_face.setdefault(face, []).append(arc)
            for arc, corner in zip(arcs[2:], ends, strict=True):
                into_corner[corner].append(arc)
            self._row(0.0, 0.0, [edge, *arcs[:2]], [1.0, -1.0, -1.0])
            self._row(1.0, 1.0, [edge, *arcs[2:]], [1.0, 1.0, 1.0])
        first_face, first_corner = faces[0][0], corners[0][0]
        for face, arcs in into_face.items():
            entered = float(face != first_face)
            self._row(entered, entered, arcs, [1.0] * len(arcs))
        for corner, arcs in into_corner.items():
            entered = float(corner != first_corner)
            self._row(entered, entered, arcs, [1.0] * len(arcs))

    def _row(self, low: float, high: float, columns: list[int], values: list[float]) -> None:
        self.solver.addRow(low, high, len(columns), columns, values)

    def require(self, cause: Cause) -> bool:
        """Ask for one of the changes of a cause; False if it was asked for before."""
        changes = frozenset(cause)
        if changes in self._known:
            return False
        self._known.add(changes)
        signs = [1.0 if change.folds else -1.0 for change in cause]
        least = 1.0 - sum(sign < 0.0 for sign in signs)
        self._row(least, self.infinite, [change.edge for change in cause], signs)
        return True

    def solve(self, low: Shares, high: Shares) -> tuple[float, Shares] | None:
        """Most weight that folds within these bounds, and the share of each edge."""
        self.solver.changeColsBounds(self.edges, self._columns, low, high)
        self.solver.run()
        status = self.solver.getModelStatus()
        if status != self.optimal:
            self.has_failed |= status != self.infeasible
            return None
        shares = np.array(self.solver.getSolution().col_value[: self.edges])
        return -float(self.solver.getInfo().objective_function_value), shares


class _Ends(NamedTuple):
    """First and last panels of ways, and the motion of the last; one row each.

    `at` counts the ways of one length.
    """

    length: Numbers
    at: Numbers
    first: Numbers
    last: Numbers
    turn: Complexes
    shift: Complexes


class _Ways:
    """Finds ways over folds whose first and last panels overlap, whatever else folds."""

    def __init__(self, unfolding: Unfolding) -> None:
        arcs = sorted(
            (face, unfolding.other(edge, face), edge)
            for edge in unfolding.foldable
            for face in unfolding.ends[edge]
        )
        self.face, self.far, self.edge = (np.array(column) for column in zip(*arcs, strict=True))
        motions = [unfolding.hanging(edge, face) for face, _, edge in arcs]
        self.turn, self.shift = (np.array(column) for column in zip(*motions, strict=True))
        count = len(unfolding.names)
        cores = [unfolding.core(face) for face in range(count)]
        most = max([4, *(len(core) for core in cores if core is not None)])
        empty = np.zeros(4, dtype=complex)
        self.shapes = [shape_of(empty if core is None else core, most) for core in cores]
        self.hulls = np.array([shape.hull for shape in self.shapes])
        self.is_sure = np.array([core is not None for core in cores])
        self.count = count

    def overlapping(self, shares: Shares) -> list[Cause]:
        """Causes that a solution breaks, in which each edge folds by a share."""
        missing = 1.0 - shares
        live = missing[self.edge] < _MISSING
        begins = np.searchsorted(self.face[live], np.arange(self.count + 1))
        far, edge = self.far[live], self.edge[live]
        turn, shift = self.turn[live], self.shift[live]
        # One entry for each way, all of one length at a time; its last step and the way before.
        first = now = np.arange(self.count)
        lacks, last = np.zeros(self.count), np.full(self.count, -1)
        turns, shifts = np.ones(self.count, complex), np.zeros(self.count, complex)
        steps: list[tuple[Numbers, Numbers]] = []
        ends = []
        seen = 0
        while len(now) and seen < _MOST_WAYS:
            choices = begins[now + 1] - begins[now]
            before = np.repeat(np.arange(len(now)), choices)
            arc = np.arange(len(before)) - np.repeat(np.cumsum(choices) - choices, choices)
            arc += begins[now[before]]
            lacking = lacks[before] + missing[edge[arc]]
            # A way that comes back to a face lacks 1 at least: the shares span no ring.
            goes_on = (lacking < _MISSING) & (edge[arc] != last[before])
            before, arc, lacks = before[goes_on], arc[goes_on], lacking[goes_on]
            shifts = turns[before] * shift[arc] + shifts[before]
            turns = turns[before] * turn[arc]
            first, now, last = first[before], far[arc], edge[arc]
            steps.append((before, last))
            seen += len(now)
            at = np.flatnonzero((first < now) & self.is_sure[first] & self.is_sure[now])
            ends.append(
                _Ends(np.full(len(at), len(steps)), at, first[at], now[at], turns[at], shifts[at])
            )
        if not ends:
            return []
        whole = _Ends(*(np.concatenate(column) for column in zip(*ends, strict=True)))
        return [_way(steps[: whole.length[i]], int(whole.at[i])) for i in self._overlapping(whole)]

    def _overlapping(self, ends: _Ends) -> list[int]:
        """Which of these ways end in panels that overlap."""
        ones = self.hulls[ends.first]
        others = ends.turn[:, None] * self.hulls[ends.last] + ends.shift[:, None]
        near = np.flatnonzero(are_near(ones, others))
        deep = depths_between(ones, others, np.stack([near, near], axis=1))
        found = []
        for i, depth in zip(near[deep > 0.0].tolist(), deep[deep > 0.0].tolist(), strict=True):
            other = moved(self.shapes[ends.last[i]], ends.turn[i], ends.shift[i])
            if is_overlap(self.shapes[ends.first[i]], other, depth):
                found.append(i)
        return found


def _way(steps: Sequence[tuple[Numbers, Numbers]], last: int) -> Cause:
    """One of the folds on a way has to go."""
    folds = []
    for before, edge in reversed(steps):
        folds.append(Change(int(edge[last]), False))
        last = int(before[last])
    return tuple(folds)


@dataclass(frozen=True)
class _Branch:
    """All nets within bounds: where `low` is 1 an edge folds, where `high` is 0 it does not."""

    low: Shares
    high: Shares
    bound: float

    def held(self, edge: int, share: float, bound: float) -> _Branch:
        """The part of the branch in which an edge folds (1) or does not (0)."""
        low, high = self.low.copy(), self.high.copy()
        low[edge] = high[edge] = share
        return _Branch(low, high, bound)


class BranchAndCut:
    """Branches on folds that are half, until the best net in one piece is found.

    Parameters
    ----------
    unfolding, problem
        Of one solid, for which `is_plane` holds.
    judge : callable
        Causes against a net; empty if it will do.
    """

    def __init__(self, unfolding: Unfolding, problem: Problem, judge: Judge) -> None:
        self.problem, self.judge = problem, judge
        self._programme, self._ways = _Programme(unfolding, problem), _Ways(unfolding)
        self._net: frozenset[int] | None = None
        self._weight = -math.inf  # of the folds of that net
        low, high = np.zeros((2, len(problem.ends)))
        high[sorted(problem.foldable)] = 1.0
        low[sorted(problem.must)] = 1.0
        self._ticket = count()  # settles ties by age
        self._heap = [(-math.inf, next(self._ticket), _Branch(low, high, math.inf))]

    def start_from(self, net: frozenset[int]) -> None:
        """Look for nets that are better than this one, which will do."""
        weight = total(self.problem.weights, net)
        if weight > self._weight:
            self._net, self._weight = net, weight

    def run(self, most_branches: int, close: float = 1.0) -> Outcome:
        """Search on.

        Parameters
        ----------
        most_branches : int
            Branches to look at before giving up.
        close : float
            Stop once the seam is within this factor, 1 or more, of the bound.

        Returns
        -------
        Outcome
            Nets whose seams differ by less than 1e-5 mm count as equal.
        """
        everything = total(self.problem.weights, self.problem.foldable)
        branch: _Branch | None = None
        for _ in range(most_branches):
            bound = max(branch.bound if branch else -math.inf, self._bound_of_others())
            if bound <= self._weight + _SAME:
                return Outcome(self._net, not self._programme.has_failed, self._weight)
            if everything - self._weight <= close * (everything - bound):
                break
            # The branch of the highest bound is taken up, and from it the way down to a net.
            parts = self._parts(branch or heapq.heappop(self._heap)[2])
            branch = parts[0] if parts else None
            for part in parts[1:]:
                self._put_back(part)
        if branch:
            self._put_back(branch)
        return Outcome(self._net, False, max(self._bound_of_others(), self._weight))

    def _bound_of_others(self) -> float:
        return -self._heap[0][0] if self._heap else -math.inf

    def _put_back(self, branch: _Branch) -> None:
        heapq.heappush(self._heap, (-branch.bound, next(self._ticket), branch))

    def _parts(self, branch: _Branch) -> list[_Branch]:
        """What is left to look at of a branch, the more likely part first."""
        solved = self._relaxed(branch)
        if solved is None:
            return []
        weight, shares = solved
        half = np.minimum(shares, 1.0 - shares)
        candidates = sorted(
            np.flatnonzero(half > _WHOLE).tolist(),
            key=lambda edge: (-half[edge] * self.problem.weights[edge], edge),
        )
        # A whole solution against its own rows would be the solver's fault, and the branch is lost.
        self._programme.has_failed |= not candidates
        best: list[_Branch] = []
        best_score = -1.0
        for edge in candidates[:_TRIED]:
            parts = []
            for share in (1.0, 0.0):
                part = branch.held(edge, share, weight)
                tried = self._programme.solve(part.low, part.high)
                if tried is not None and tried[0] > self._weight + _SAME:
                    parts.append(replace(part, bound=min(weight, tried[0])))
            if len(parts) < 2:
                return parts
            score = math.prod(max(weight - part.bound, _SAME) for part in parts)
            if score > best_score:
                best, best_score = parts, score
        return sorted(best, key=lambda part: -part.bound)

    def _relaxed(self, branch: _Branch) -> tuple[float, Shares] | None:
        """Solution of a branch that no way breaks; None if it holds no better net."""
        while True:
            solved = self._programme.solve(branch.low, branch.high)
            if solved is None or solved[0] <= self._weight + _SAME:
                return None
            weight, shares = solved
            causes = self._ways.overlapping(shares)
            if not causes and (np.minimum(shares, 1.0 - shares) < _WHOLE).all():
                net = frozenset(np.flatnonzero(shares > 0.5).tolist())
                causes = self.judge(net)
                if not causes:
                    self._net, self._weight = net, total(self.problem.weights, net)
                    return None
            is_new = [self._programme.require(cause) for cause in causes]
            if not any(is_new):
                return weight, shares
