"""Telling readings: which one to three dims of a part just made tell most.

Room: fit. Every reading costs a maker's patience, so only those are asked for
that narrow what matters: the clearances of the part's meets, each in units of
half its window, and the biases of the processes that made it, from which later
parts gain. The best reading is taken first, then the best beside it, each by
the exact fall in variance that it brings::

    fall = |S C a|^2 / (a' C a + tool^2)

C what is known, a how the reading sees it, S what matters. It is greedy, and
stops when the next reading would bring little.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from foldwright.fit.beliefs import Belief, reading_sigmas, seen_by
from foldwright.fit.clearance import Clearance, key_of
from foldwright.fit.effects import Causes
from foldwright.fit.learning import usual_habit
from foldwright.ledger import TOOLS, Tool, usual_tool
from foldwright.plan import AnyPart
from foldwright.plan.dual import number
from foldwright.shape import Dim, Vector, dims_of
from foldwright.shop import PROCESSES

MOST = 3
"""Readings asked for at most; more only when the maker wants them."""
# A reading has to bring this share of what there was to know; common practice, no source.
_LEAST = 0.05
# What a bias known for certain is worth, against a clearance half its window wide; habits
# pay later and meets now. Common practice, no source.
_HABIT = 0.02
_REACH = 150.0  # mm; how far a common caliper opens


@dataclass(frozen=True)
class Telling:
    """A reading to ask for.

    Attributes
    ----------
    dim : Dim
        With where the tool goes.
    tool : Tool
    share : float
        Of what there was to know before any reading, 0 to 1, that this one brings.
    """

    dim: Dim
    tool: Tool
    share: float


def telling(
    part: AnyPart,
    causes: Causes,
    known: Belief,
    clearances: Sequence[Clearance],
    *,
    most: int = MOST,
    measured: Sequence[str] = (),
) -> tuple[Telling, ...]:
    """Which dims of a part to read, what tells most first.

    Parameters
    ----------
    part : AnyPart
        Just made.
    causes : Causes
    known : Belief
        Of the part, from what was read of it so far.
    clearances : sequence of Clearance
        Of its meets.
    most : int
        How many readings to ask for at most.
    measured : sequence of str
        Dims that need not be asked for again.

    Returns
    -------
    tuple of Telling
        Empty when nothing that matters is open.
    """
    dims = [d for d in dims_of(part, finished=False).values() if d.name not in measured]
    if not dims:
        return ()
    at = np.array([known.mean.get(name, 0.0) for name in causes.names])
    _, rows = seen_by(part, causes.names, at, [(dim.name, True) for dim in dims])
    tools = [handiest(dim) for dim in dims]
    sigmas = reading_sigmas(part, rows, causes, [tool.sigma for tool in tools])
    matters = matter_of(causes.names, part.name, clearances)
    covariance, biases = known.covariance, np.zeros((0, 0))
    if not known.is_made:  # its first reading tells of the hand too
        covariance, biases = with_biases(causes, known)
    extra = len(biases)
    rows = np.hstack([rows, np.zeros((len(dims), extra))])
    matters = np.block(
        [
            [matters, np.zeros((len(matters), extra))],
            [np.zeros((extra, len(causes.names))), _HABIT**0.5 * np.eye(extra)],
        ]
    )
    before = None
    if known.told_by:  # what its stock tells was there to know, and is known by now
        before = float(np.sum((matters[:, : len(causes.names)] @ causes.matrix) ** 2))
    chosen = most_telling(rows, sigmas, covariance, matters, most=most, before=before)
    return tuple(Telling(dims[i], tools[i], share) for i, share in chosen)


def handiest(dim: Dim) -> Tool:
    """Tool to read a dim with: a caliper where it reaches, else the usual one.

    Diagonals, plumb lines and the like leave a caliper nothing to close on.
    """
    caliper = TOOLS["caliper"]
    closes = dim.kind == "diameter" or (dim.kind in caliper.kinds and not dim.is_spare)
    return caliper if closes and number(dim.value) <= _REACH else usual_tool(dim.kind)


def matter_of(names: Sequence[str], part: str, clearances: Sequence[Clearance]) -> Vector:
    """Rows of what matters: each clearance in units of half its window, shape (m, n)."""
    found = [
        [
            c.slopes.get(key_of(part, name), 0.0) / max((c.high - c.low) / 2.0, 1e-6)
            for name in names
        ]
        for c in clearances
    ]
    return np.array(found).reshape(len(clearances), len(names))


def with_biases(causes: Causes, known: Belief) -> tuple[Vector, Vector]:
    """Joint covariance of a part's dims and of the biases of the processes that made it.

    How a stock comes teaches nothing more once other pieces of it were read.

    Returns
    -------
    covariance : ndarray, shape (n + p, n + p)
    biases : ndarray, shape (p, p)
        Of the biases alone, in usual scatters.
    """
    learnt = {cause.process for cause in causes.causes if known.told_by and cause.set_up}
    processes = [
        name
        for name in dict.fromkeys(cause.process for cause in causes.causes)
        if not PROCESSES[name].is_set_up and name not in learnt
    ]
    biases = np.diag([1.0 / usual_habit(name).kappa for name in processes])
    moves = np.column_stack([causes.response(name) for name in processes])
    beside = moves @ biases
    own = known.covariance + beside @ moves.T
    return np.block([[own, beside], [beside.T, biases]]), biases


def most_telling(
    rows: Vector,
    sigmas: Vector,
    covariance: Vector,
    matters: Vector,
    *,
    most: int = MOST,
    least: float = _LEAST,
    before: float | None = None,
) -> tuple[tuple[int, float], ...]:
    """Choose readings one by one, each by the fall of variance that it brings.

    Parameters
    ----------
    rows : ndarray, shape (k, n)
        How each reading on offer sees the unknowns.
    sigmas : ndarray, shape (k,)
        One standard deviation of each reading.
    covariance : ndarray, shape (n, n)
        Of the unknowns.
    matters : ndarray, shape (m, n)
        What is to be known; the sum of its variances is to fall.
    most : int
    least : float
        Share of that sum that a reading has to bring.
    before : float, optional
        That sum before anything was known; as it is now, if not given.

    Returns
    -------
    tuple of (int, float)
        Which reading, and its share of the variance there was.

    Examples
    --------
    Two lengths, the first less sure and both of them wanted:

    >>> import numpy as np
    >>> wanted = np.eye(2)
    >>> [i for i, _ in most_telling(wanted, np.full(2, 0.1), np.diag([4.0, 1.0]), wanted)]
    [0, 1]
    """
    known = covariance.copy()
    if before is None:
        before = float(np.einsum("ij,jk,ik->", matters, known, matters))
    found: list[tuple[int, float]] = []
    while len(found) < most and before > 0.0:
        seen = known @ rows.T
        variance = np.sum(rows.T * seen, axis=0) + sigmas**2
        falls = np.sum((matters @ seen) ** 2, axis=0) / variance
        best = int(np.argmax(falls))
        share = float(falls[best]) / before
        if share < least:
            break
        found.append((best, share))
        known = known - np.outer(seen[:, best], seen[:, best]) / variance[best]
    return tuple(found)
