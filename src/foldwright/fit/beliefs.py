"""Beliefs: what is known of each part's parameters and strays, made or not.

Room: fit. A part that is not made comes out as intended, give or take what its
causes do (`causes`). A part that is made is what was measured, give or take
the tool: readings that say the same thing twice are adjusted by weighted least
squares, what no reading sees keeps the scatter of the hand. A reading that
does not agree with the others is named.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

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
AT_ODDS = 3.0
"""A residual of more deviations than this is named: one in 370 honest readings."""


@dataclass(frozen=True)
class AtOdds:
    """A reading that does not agree with the others of its part.

    Attributes
    ----------
    reading : Reading
    expected : float
        What all readings together make of that dim, or those of the other parts [mm].
    times : float
        The miss in units of what tool and hand explain; of the tool against other parts.
    stock : str
        The readings that it does not agree with are those of the other parts of this stock;
        empty if they are of the part itself.
    """

    reading: Reading
    expected: float
    times: float
    stock: str = ""

    def words(self, units: str) -> str:
        """Return a sentence for the maker: which reading, what the others say, what to do."""
        reading = self.reading
        others, makes, unless = "the other readings", "make", ""
        if self.stock:
            others = f"what was read of other pieces of {self.stock}"
            makes, unless = "makes", "; if it is so, give this piece a stock of its own in the rack"
        read, expected = (
            show_length(x, units, reading.is_fine) for x in (reading.value, self.expected)
        )
        return (
            f"The {dim_of_part(reading.part, reading.dim)}, read as "
            f"{read} by {reading.tool}, does not agree with {others}, which {makes} it {expected}. "
            f"Measure it once more{unless}."
        )


@dataclass(frozen=True)
class Belief:
    """What is known of one part.

    Attributes
    ----------
    part : str
    mean : Mapping of str to float
        Parameters, then strays, by name [mm].
    root : ndarray, shape (n, q)
        In the same order; its covariance is ``root @ root.T`` [mm].
    is_made : bool
    at_odds : tuple of AtOdds
        Readings that do not agree with the others, the worst first.
    redundancy : int
        Readings beyond those that were needed.
    chi_square : float
        Weighted squares of what is left over; about `redundancy` if all is well.
    told_by : str
        Stock of which pieces were read: the columns of `root` are the same in all beliefs
        that name it. Empty if the part's own readings are all there is.
    tells : bool
        Whether this piece's own readings tell of its stock.
    """

    part: str
    mean: Mapping[str, float]
    root: Vector
    is_made: bool
    at_odds: tuple[AtOdds, ...] = ()
    redundancy: int = 0
    chi_square: float = 0.0
    told_by: str = ""
    tells: bool = False

    @property
    def covariance(self) -> Vector:
        """Of parameters and strays, shape (n, n) [mm2]."""
        return np.asarray(self.root @ self.root.T)


@dataclass(frozen=True, eq=False)
class Looked:
    """A part with the readings that look at it.

    Attributes
    ----------
    part : AnyPart
        Its parameters as intended.
    causes : Causes
    start : ndarray, shape (n,)
        What is expected of its parameters and strays without the readings [mm].
    looks : sequence of Reading
        Of dims that it has.
    """

    part: AnyPart
    causes: Causes
    start: Vector
    looks: Sequence[Reading] = field(default_factory=tuple)

    def seen(self, mean: Vector) -> tuple[Vector, Vector, Vector]:
        """What a perfect tool would read, its derivatives, and deviations of the readings."""
        dims = [(r.dim, r.bare) for r in self.looks]
        seen, matrix = seen_by(self.part, self.causes.names, mean, dims)
        tools = [r.sigma for r in self.looks]
        return seen, matrix, reading_sigmas(self.part, matrix, self.causes, tools)

    def known(self, x: Vector) -> dict[str, float]:
        """Values of parameters and strays by name."""
        return dict(zip(self.causes.names, map(float, x), strict=True))


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
    one = looked_at(part, readings, board, practice, off)
    root, made = one.causes.matrix, is_made(part, readings)
    if not one.looks:
        return Belief(part.name, one.known(one.start), root, is_made=made)
    found, seen = adjusted_together((one,), root)
    return Belief(
        part.name,
        one.known(found.x),
        root_of(found.covariance),
        is_made=True,
        at_odds=at_odds(one.looks, found.standardised, seen),
        redundancy=found.redundancy,
        chi_square=found.chi_square,
    )


def looked_at(
    part: AnyPart,
    readings: Sequence[Reading],
    board: Board | None = None,
    practice: Practice = USUAL,
    off: Mapping[str, float] | None = None,
) -> Looked:
    """Put a part and what looks at it together; as in `belief`."""
    causes, habits = causes_of(part, board, practice), off or {}
    start = np.array([part.values().get(n, 0.0) + habits.get(n, 0.0) for n in causes.names])
    dims = dims_of(part, finished=False) if readings else {}
    return Looked(part, causes, start, [r for r in readings if r.dim in dims])


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


def adjusted_together(looked: Sequence[Looked], root: Vector) -> tuple[Adjusted, Vector]:
    """Adjust parts to their readings; also what the tools would read there, reading by reading.

    Parameters
    ----------
    looked : sequence of Looked
        Their parameters and strays stand one after the other in the arrays.
    root : ndarray, shape (n, q)
        How they stray without the readings.
    """
    start = np.concatenate([one.start for one in looked])
    ends = np.cumsum([len(one.start) for one in looked])[:-1]
    values = np.array([r.value for one in looked for r in one.looks])
    mean = start
    for _ in range(_ROUNDS):
        found = [one.seen(own) for one, own in zip(looked, np.split(mean, ends), strict=True)]
        seen, sigmas = (np.concatenate([one[k] for one in found]) for k in (0, 2))
        matrix = _block_diag([matrix for _, matrix, _ in found])
        adjusted = adjusted_from(matrix, values - seen + matrix @ mean, sigmas, start, root)
        moved, mean = adjusted.x - mean, adjusted.x
        if float(np.abs(moved).max()) < _SETTLED:
            break
    return adjusted, seen + matrix @ moved


def root_of(covariance: Vector) -> Vector:
    """Root of a covariance that may be singular, shape (n, n)."""
    values, vectors = np.linalg.eigh(covariance)
    return np.asarray(vectors * np.sqrt(np.clip(values, 0.0, None)))


def at_odds(looks: Sequence[Reading], standardised: Vector, seen: Vector) -> tuple[AtOdds, ...]:
    """Readings whose residual is larger than tool and hand explain, the worst first.

    One wrong reading pulls at the others, so only those that miss nearly as far
    as the worst are named.
    """
    times = np.abs(standardised)
    worst = float(times.max(initial=0.0))
    return tuple(
        AtOdds(reading, float(expected), float(t))
        for reading, expected, t in zip(looks, seen, times, strict=True)
        if t > AT_ODDS and t > worst * (1.0 - 1e-6)
    )


def _block_diag(blocks: Sequence[Vector]) -> Vector:
    """Blocks down the diagonal, zeros beside them; one that has no row still has its columns."""
    found = np.zeros((sum(len(b) for b in blocks), sum(b.shape[1] for b in blocks)))
    row = column = 0
    for block in blocks:
        found[row : row + len(block), column : column + block.shape[1]] = block
        row, column = row + len(block), column + block.shape[1]
    return found
