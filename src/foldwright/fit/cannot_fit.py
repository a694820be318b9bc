"""Cannot fit: which made parts and meets contradict one another, and what would cure it.

Room: fit. When no dims of the parts not made yet meet every window, some rows
contradict. `contradiction` finds a set of them of which none can be left out:
an irreducible infeasible set. `remedies` finds the cheapest sets of
cures that make everything meet again, by an integer programme in which each
cure is taken or not, and proves each by solving anew with it done.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import numpy as np

from foldwright.errors import OutOfDomain

if TYPE_CHECKING:
    from foldwright.fit.network import Belief, Floats, Network, Sparse, Whole

_TOUCHES = 1e-9
_REMADE_BY = 1e3  # mm; a remake may come out at any dim
# Minutes that a millimetre of any cure costs beyond its start, so that the least is taken.
_MINUTES_PER_MM = 0.1
# So many sets of cures are tried for each that is asked for.
_TRIES = 4
_VERIFIED = 1e-6  # mm


@dataclass(frozen=True)
class Contradiction:
    """Clearances that cannot all be met, none of which can be left out.

    Attributes
    ----------
    clearances : tuple of int
    meets : tuple of str
    made : tuple of str
        Made parts whose dims stand in the way.
    """

    clearances: tuple[int, ...]
    meets: tuple[str, ...]
    made: tuple[str, ...]


@dataclass(frozen=True)
class Cure:
    """Something that can be done to a made part or at a meet.

    Attributes
    ----------
    kind : str
        ``"trim"`` takes off a dim, ``"shim"`` and ``"fill"`` take up a gap, ``"remake"``
        frees a part.
    part : int
        Index of the part that is trimmed or remade, or that carries the shim.
    minutes : float
        What it costs to do at all.
    most : float
        Most that can be done [mm].
    dim : int
        Which dim is trimmed; -1 otherwise.
    clearance : int
        Which clearance is made smaller by a shim or filling; -1 otherwise.
    way : float
        +1: it makes the dim or the clearance larger (a hole that is opened, the low side
        packed up), -1 smaller.
    """

    kind: str
    part: int
    minutes: float
    most: float = 0.0
    dim: int = -1
    clearance: int = -1
    way: float = -1.0


@dataclass(frozen=True)
class Remedy:
    """Cures that together make everything meet: how much of each [mm], and minutes in all.

    The amount of a remake is 0; what it should come out at is in the refit after it.
    """

    cures: tuple[tuple[Cure, float], ...]
    minutes: float


def contradiction(
    network: Network, belief: Belief, *, most_drift: float = math.inf
) -> Contradiction | None:
    """Clearances that contradict one another, or None if all can be met.

    Dims of parts not made yet may drift `most_drift` gives; a contradiction may need that
    limit too, which is not among the clearances it names.
    """
    found = _irreducible(*_rows(network, belief, most_drift))
    if not found:
        return None
    rows = [row for row in found if row < len(network.low)]
    touched = {p for i in rows for p in network.parts_of(i)}
    return Contradiction(
        tuple(rows),
        tuple(dict.fromkeys(network.meets[network.meet[i]] for i in rows)),
        tuple(network.parts[p] for p in sorted(touched) if belief.is_made[p]),
    )


def remedies(
    network: Network,
    belief: Belief,
    cures: Sequence[Cure],
    *,
    count: int = 4,
    most_drift: float = math.inf,
) -> tuple[Remedy, ...]:
    """Cheapest sets of cures, the cheapest first; each is proved to suffice.

    Parameters
    ----------
    network : Network
    belief : Belief
    cures : sequence of Cure
        What may be done.
    count : int
        How many to look for at most.
    most_drift : float
        How many gives the dims of parts not made yet, and of those made again, may drift.

    Returns
    -------
    tuple of Remedy
        Empty when no set of these cures is enough, or none is needed.
    """
    from scipy import sparse

    if not cures:
        return ()
    matrix, low, high = _rows(network, belief, most_drift)
    if not _irreducible(matrix, low, high):
        return ()
    columns, least, reach, owner = _columns(network, belief, cures, most_drift)
    limited = matrix.shape[0] - columns.shape[0]
    columns = sparse.vstack([columns, sparse.csr_array((limited, columns.shape[1]))])
    free, amounts, chosen = matrix.shape[1], len(reach), len(cures)
    wide = sparse.hstack([matrix, columns, sparse.csr_array((matrix.shape[0], chosen))])
    taken_at = np.arange(amounts), free + amounts + np.asarray(owner)
    shape = amounts, free + amounts + chosen
    amount_of = sparse.csr_array(
        (np.ones(amounts), (np.arange(amounts), free + np.arange(amounts))), shape=shape
    )
    cost = np.concatenate(
        [np.zeros(free), np.full(amounts, _MINUTES_PER_MM), [c.minutes for c in cures]]
    )
    whole = np.concatenate([np.zeros(free + amounts), np.ones(chosen)])
    solver = _model(
        sparse.vstack(
            [
                wide,
                amount_of - sparse.csr_array((reach, taken_at), shape=shape),
                amount_of - sparse.csr_array((least, taken_at), shape=shape),
            ]
        ).tocsr(),
        np.concatenate([low, np.full(amounts, -np.inf), np.zeros(amounts)]),
        np.concatenate([high, np.zeros(amounts), np.full(amounts, np.inf)]),
        np.concatenate([np.full(free, -np.inf), np.zeros(amounts + chosen)]),
        np.concatenate([np.full(free, np.inf), reach, np.ones(chosen)]),
    )
    _make_whole(solver, cost, whole)
    found: list[Remedy] = []
    for _ in range(_TRIES * count):
        answer = _solved(solver)
        if answer is None or len(found) == count:
            break
        taken = np.round(answer[free + amounts :]) > 0.5
        amount = np.zeros(chosen)
        np.maximum.at(amount, np.asarray(owner), answer[free : free + amounts])
        remedy = Remedy(
            tuple(
                (cure, 0.0 if cure.kind == "remake" else float(a))
                for cure, a, is_taken in zip(cures, amount, taken, strict=True)
                if is_taken
            ),
            float(sum(c.minutes for c, is_taken in zip(cures, taken, strict=True) if is_taken)),
        )
        # one that is enough by the solver's tolerance alone is none
        if contradiction(*done(network, belief, remedy), most_drift=most_drift) is None:
            found.append(remedy)
        # the next one has to leave out something of this one
        at = (free + amounts + np.flatnonzero(taken)).astype(np.int32)
        solver.addRow(-np.inf, float(len(at)) - 1.0, len(at), at, np.ones(len(at)))
    return tuple(found)


def done(network: Network, belief: Belief, remedy: Remedy) -> tuple[Network, Belief]:
    """Return the build with a remedy done: trimmed dims, shimmed gaps, remade parts free."""
    mean, made = belief.mean.copy(), belief.is_made.copy()
    level = network.level.copy()
    slack = _VERIFIED  # the solver's own tolerance must not read as a contradiction
    for cure, amount in remedy.cures:
        if cure.kind == "remake":
            made[cure.part] = False
        elif cure.dim >= 0:
            mean[cure.dim] += cure.way * amount
        else:
            level[cure.clearance] += cure.way * amount
    return (
        replace(network, level=level, low=network.low - slack, high=network.high + slack),
        replace(belief, mean=mean, is_made=made),
    )


def _rows(network: Network, belief: Belief, most_drift: float) -> tuple[Sparse, Floats, Floats]:
    """Rows of the free dims, and what is left of each window once the others stand.

    Where drift is limited, the limit of every free dim is a row after them.
    """
    from scipy import sparse

    free = np.flatnonzero(network.is_free & ~belief.is_made[network.part])
    matrix = network.slopes[:, free].tocsr()
    held = network.clearances(belief.mean) - matrix @ belief.mean[free]
    low, high = network.low - held, network.high - held
    if math.isfinite(most_drift):
        most = most_drift * network.give[free] + _VERIFIED
        matrix = sparse.vstack([matrix, sparse.eye_array(len(free))]).tocsr()
        low = np.concatenate([low, network.drawn[free] - most])
        high = np.concatenate([high, network.drawn[free] + most])
    return matrix, low, high


def _columns(
    network: Network, belief: Belief, cures: Sequence[Cure], most_drift: float
) -> tuple[Sparse, list[float], list[float], list[int]]:
    """Effect of one mm of each cure on each clearance; least and most of it; whose it is."""
    from scipy import sparse

    columns, least, reach, owner = [], [], [], []
    slopes = network.slopes.tocsc()
    for i, cure in enumerate(cures):
        if cure.kind == "remake":
            for dim in np.flatnonzero((network.part == cure.part) & network.is_free):
                column = slopes[:, [dim]]
                columns += [column, -column]
                most = min(most_drift * network.give[dim], _REMADE_BY)
                off = float(belief.mean[dim] - network.drawn[dim])
                least += [max(0.0, -most - off), max(0.0, off - most)]
                reach += [max(0.0, most - off), max(0.0, most + off)]
                owner += [i] * 2
            continue
        if not cure.most > 0.0:
            raise OutOfDomain(
                f"a {cure.kind} of at most {cure.most:g} mm does nothing. Say how much can be "
                "done.",
                name="most",
            )
        if cure.dim >= 0:
            columns.append(cure.way * slopes[:, [cure.dim]])
        else:
            columns.append(
                sparse.csc_array(([cure.way], ([cure.clearance], [0])), shape=(len(network.low), 1))
            )
        least.append(0.0)
        reach.append(cure.most)
        owner.append(i)
    return sparse.hstack(columns).tocsr(), least, reach, owner


def _irreducible(matrix: Sparse, low: Floats, high: Floats) -> list[int]:
    """Rows that contradict one another, none of which can be left out; empty if none do.

    A proof of contradiction (Farkas: multipliers of the rows whose sum has no free
    dim in it and cannot be met) uses few rows. Of those, each is left out in turn, and
    stays out when the rest still contradict.
    """
    # rows without a free dim contradict by themselves
    bare = np.flatnonzero(np.diff(matrix.indptr) == 0)
    for row in bare:
        if not low[row] - _TOUCHES <= 0.0 <= high[row] + _TOUCHES:
            return [int(row)]
    rows = np.flatnonzero(np.diff(matrix.indptr))
    proof = _proof(matrix[rows], low[rows], high[rows])
    if proof is None:
        return []
    kept = list(rows[proof])
    for row in tuple(kept):
        fewer = [r for r in kept if r != row]
        if fewer and _proof(matrix[fewer], low[fewer], high[fewer]) is not None:
            kept = fewer
    return sorted(int(row) for row in kept)


def _proof(matrix: Sparse, low: Floats, high: Floats) -> Whole | None:
    """Rows of a proof that not all can be met, or None if they can."""
    import highspy

    rows, count = matrix.shape
    solver = _model(matrix, low, high, np.full(count, -np.inf), np.full(count, np.inf))
    solver.setOptionValue("presolve", "off")  # it would find no multipliers
    solver.run()
    if solver.getModelStatus() != highspy.HighsModelStatus.kInfeasible:
        return None
    _, is_there, ray = solver.getDualRay()
    multipliers = np.abs(np.asarray(ray)) if is_there else np.ones(rows)
    return np.flatnonzero(multipliers > _TOUCHES * multipliers.max())


def _model(matrix: Sparse, low: Floats, high: Floats, least: Floats, most: Floats) -> Any:
    """HiGHS model of rows within `low` and `high`, variables within `least` and `most`."""
    import highspy

    # not Highs, which prints a banner before it can be told to be quiet
    solver: Any = highspy._Highs()  # type: ignore[attr-defined]
    solver.setOptionValue("output_flag", False)
    rows, count = matrix.shape
    solver.addVars(count, least, most)
    solver.addRows(
        rows,
        low,
        high,
        matrix.nnz,
        matrix.indptr[:-1].astype(np.int32),
        matrix.indices.astype(np.int32),
        matrix.data,
    )
    return solver


def _make_whole(solver: Any, cost: Floats, whole: Floats) -> None:
    """Give the variables their costs, and keep those to whole numbers that are marked."""
    import highspy

    at = np.arange(len(cost), dtype=np.int32)
    solver.changeColsCost(len(cost), at, cost)
    for column in np.flatnonzero(whole):
        solver.changeColIntegrality(int(column), highspy.HighsVarType.kInteger)
    solver.setOptionValue("mip_rel_gap", 0.0)


def _solved(solver: Any) -> Floats | None:
    """Variables of least cost, or None if there are none."""
    import highspy

    solver.run()
    if solver.getModelStatus() != highspy.HighsModelStatus.kOptimal:
        return None
    return np.asarray(solver.getSolution().col_value)
