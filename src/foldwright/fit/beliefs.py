"""Beliefs: what is known of each part's parameters and strays, made or not.

Room: fit. A part that is not made comes out as intended, give or take what its
causes do (`causes`). A part that is made is what was measured, give or take
the tool: readings that say the same thing twice are adjusted by weighted least
squares, what no reading sees keeps the scatter of the hand. A reading that
does not agree with the others is named.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from foldwright.fit.causes import causes_of
from foldwright.fit.clearance import key_of
from foldwright.fit.effects import USUAL, Causes, Practice
from foldwright.fit.least_squares import Adjusted, adjusted_from
from foldwright.fit.names import dim_of_part
from foldwright.ledger import Reading
from foldwright.plan import (
    AnyPart,
    Bought,
    Dual,
    Faceted,
    Number,
    Plate,
    Profile,
    Taper,
    show_length,
)
from foldwright.plan.dual import number, slopes
from foldwright.shape import Dim, Vector, dims_of
from foldwright.shop import PROCESSES, Board

_ROUNDS = 5  # Gauss-Newton; dims are nearly linear in the parameters
_SETTLED = 1e-9  # mm
# A residual of more deviations than this is named: one in 370 honest readings.
_AT_ODDS = 3.0


@dataclass(frozen=True)
class AtOdds:
    """A reading that does not agree with the others of its part.

    Attributes
    ----------
    reading : Reading
    expected : float
        What all readings together make of that dim [mm].
    times : float
        The miss in units of what tool and hand explain.
    """

    reading: Reading
    expected: float
    times: float

    def words(self, units: str) -> str:
        """Return a sentence for the maker: which reading, what the others say, what to do."""
        reading = self.reading
        return (
            f"The {dim_of_part(reading.part, reading.dim)}, read as "
            f"{show_length(reading.value, units)} by {reading.tool}, does not agree "
            f"with the other readings, which make it {show_length(self.expected, units)}. "
            "Measure it once more."
        )


@dataclass(frozen=True)
class Belief:
    """What is known of one part.

    Attributes
    ----------
    part : str
    mean : Mapping of str to float
        Parameters, then strays, by name [mm].
    covariance : ndarray, shape (n, n)
        In the same order [mm2].
    is_made : bool
    at_odds : tuple of AtOdds
        Readings that do not agree with the others, the worst first.
    redundancy : int
        Readings beyond those that were needed.
    chi_square : float
        Weighted squares of what is left over; about `redundancy` if all is well.
    """

    part: str
    mean: Mapping[str, float]
    covariance: Vector
    is_made: bool
    at_odds: tuple[AtOdds, ...] = ()
    redundancy: int = 0
    chi_square: float = 0.0


def is_made(part: AnyPart, readings: Sequence[Reading]) -> bool:
    """Whether a part is there: it was measured, or it is bought, as its maker says."""
    return bool(readings) or isinstance(part, Bought)


def scatter(
    part: AnyPart, board: Board | None = None, practice: Practice = USUAL
) -> dict[str, float]:
    """One standard deviation of each parameter when the part is made by hand [mm]."""
    causes = causes_of(part, board, practice)
    sigmas = np.sqrt(np.diag(causes.covariance))
    return {p.name: float(s) for p, s in zip(part.parameters, sigmas, strict=False)}


def belief(
    part: AnyPart,
    readings: Sequence[Reading],
    board: Board | None = None,
    practice: Practice = USUAL,
    off: Mapping[str, float] | None = None,
) -> Belief:
    """What is known of a part.

    Parameters
    ----------
    part : AnyPart
        Its parameters as intended.
    readings : sequence of Reading
        Of this part; none means that it is not made. A reading of a dim that the
        part no longer has is passed over.
    board : Board, optional
        What it is made of.
    practice : Practice
        How the maker works.
    off : Mapping of str to float, optional
        How far each parameter comes out above what is intended by the maker's habits
        [mm]: what no reading sees is expected there.

    Returns
    -------
    Belief

    Notes
    -----
    What the readings see, they decide alone: a maker who reads 694.1 finds 694.1
    in the next pattern. How they share it out between sizes and strays follows
    what strays most, and the covariance follows in Joseph's form.
    """
    causes = causes_of(part, board, practice)
    habits = off or {}
    start = np.array([part.values().get(n, 0.0) + habits.get(n, 0.0) for n in causes.names])
    known = causes.covariance
    dims = dims_of(part, finished=False) if readings else {}
    looks = [r for r in readings if r.dim in dims]
    if not looks:
        mean = dict(zip(causes.names, map(float, start), strict=True))
        return Belief(part.name, mean, known, is_made=is_made(part, readings))
    found, seen = _adjusted(part, causes, start, looks)
    return Belief(
        part.name,
        dict(zip(causes.names, map(float, found.x), strict=True)),
        found.covariance,
        is_made=True,
        at_odds=_at_odds(looks, found, seen),
        redundancy=found.redundancy,
        chi_square=found.chi_square,
    )


def seen_by(
    part: AnyPart, names: Sequence[str], mean: Vector, dims: Sequence[tuple[str, bool]]
) -> tuple[Vector, Vector]:
    """What a perfect tool would read, and its derivatives.

    Parameters
    ----------
    part : AnyPart
    names : sequence of str, length n
        Parameters and strays.
    mean : ndarray, shape (n,)
        Their values [mm].
    dims : sequence of (name, bare), length m

    Returns
    -------
    seen : ndarray, shape (m,)
        [mm].
    matrix : ndarray, shape (m, n)
    """
    values: dict[str, Number] = {
        name: Dual.seed(key_of(part.name, name), float(value))
        for name, value in zip(names, mean, strict=True)
    }
    sides: dict[bool, dict[str, Dim]] = {
        bare: dims_of(part, values, finished=not bare) for bare in {bare for _, bare in dims}
    }
    found = [sides[bare][name].value for name, bare in dims]
    matrix = [[slopes(d).get(key_of(part.name, n), 0.0) for n in names] for d in found]
    return np.array([number(d) for d in found]), np.array(matrix).reshape(len(dims), len(names))


def reading_sigmas(part: AnyPart, matrix: Vector, causes: Causes, tools: Sequence[float]) -> Vector:
    """Deviation of readings against the part's sizes and strays, shape (m,) [mm].

    An edge of an outline that no size holds strays by itself, as far as its cut.

    Parameters
    ----------
    part : AnyPart
    matrix : ndarray, shape (m, n)
        As from `seen_by`.
    causes : Causes
    tools : sequence of float, length m
        One standard deviation of each tool [mm].
    """
    squares = np.asarray(tools, dtype=float) ** 2
    is_outline = isinstance(part, Profile | Taper | Faceted) or (
        isinstance(part, Plate) and part.diameter is None
    )
    if is_outline:
        known = np.sum((matrix @ causes.matrix) ** 2, axis=1)
        squares = squares + np.maximum(0.0, PROCESSES["cut"].scatter ** 2 - known)
    return np.asarray(np.sqrt(squares))


def _adjusted(
    part: AnyPart, causes: Causes, start: Vector, looks: Sequence[Reading]
) -> tuple[Adjusted, Vector]:
    """Adjust a part to its readings; also what the tools would read there."""
    dims = [(r.dim, r.bare) for r in looks]
    values = np.array([r.value for r in looks])
    mean = start
    for _ in range(_ROUNDS):
        seen, matrix = seen_by(part, causes.names, mean, dims)
        sigmas = reading_sigmas(part, matrix, causes, [r.sigma for r in looks])
        found = adjusted_from(matrix, values - seen + matrix @ mean, sigmas, start, causes.matrix)
        moved, mean = found.x - mean, found.x
        if float(np.abs(moved).max()) < _SETTLED:
            break
    return found, seen + matrix @ moved


def _at_odds(looks: Sequence[Reading], found: Adjusted, seen: Vector) -> tuple[AtOdds, ...]:
    """Readings whose residual is larger than tool and hand explain, the worst first.

    One wrong reading pulls at the others, so only those that miss nearly as far
    as the worst are named.
    """
    times = np.abs(found.standardised)
    worst = float(times.max(initial=0.0))
    named = [
        AtOdds(reading, float(expected), float(t))
        for reading, expected, t in zip(looks, seen, times, strict=True)
        if t > _AT_ODDS and t > worst * (1.0 - 1e-6)
    ]
    return tuple(named)
