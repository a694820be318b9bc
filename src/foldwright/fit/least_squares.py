"""Least squares: one estimate out of readings that say the same thing twice.

Room: fit. Readings y of known deviation see unknowns x through a matrix A.
Those x are best for which the weighted squares of what is left are least::

    least  sum ((y - A x) / sigma)^2

Without anything known beforehand the readings have to determine every unknown
(`adjusted`). With a *root* R of what is known (covariance R R'), what the
readings see is theirs alone, and of all x that suit them equally well the
likeliest is taken (`adjusted_from`)::

    x = start + R z,   least |z| among the least squares

Either way each reading has its *standardised residual*, its miss in units of
what it may miss by, given how far it determines its own answer.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from foldwright.errors import OutOfDomain
from foldwright.shape import Vector

# A combination that is seen this much less than the best seen one is left as it is known.
_SEEN = 0.02
_RANK = 1e-10


@dataclass(frozen=True, eq=False)
class Adjusted:
    """Unknowns adjusted to readings.

    Attributes
    ----------
    x : ndarray, shape (n,)
    covariance : ndarray, shape (n, n)
        By the deviations of the readings, as given.
    residuals : ndarray, shape (m,)
        Adjusted less read, what is to be added to each reading.
    standardised : ndarray, shape (m,)
        Residuals over their own deviations; 0 where a reading is not checked by others.
    redundancy : int
        Readings beyond those that were needed.
    chi_square : float
        Weighted squares of the residuals; about `redundancy` if the deviations are true.
    """

    x: Vector
    covariance: Vector
    residuals: Vector
    standardised: Vector
    redundancy: int
    chi_square: float

    @property
    def factor(self) -> float:
        """Deviation of the readings as it shows, over what was given; 1 if nothing shows it."""
        return float(np.sqrt(self.chi_square / self.redundancy)) if self.redundancy else 1.0


def adjusted(matrix: Vector, values: Vector, sigmas: Vector) -> Adjusted:
    """Adjust unknowns to readings that determine them all.

    Parameters
    ----------
    matrix : ndarray, shape (m, n)
        A.
    values, sigmas : ndarray, shape (m,)
        y, and one standard deviation of each, above 0.

    Raises
    ------
    OutOfDomain
        Too few readings, or a deviation that is none.

    References
    ----------
    C. D. Ghilani, Adjustment Computations, observation equations with weights
    ``W = 1 / sigma^2``: ``X = (A' W A)^-1 A' W L``, ``V = A X - L``; the redundancy
    numbers and standardised residuals after W. Baarda.

    Examples
    --------
    >>> import numpy as np
    >>> found = adjusted(np.ones((2, 1)), np.array([60.12, 60.05]), np.array([0.05, 0.10]))
    >>> round(float(found.x[0]), 3), round(float(found.covariance[0, 0]) ** 0.5, 4)
    (60.106, 0.0447)
    """
    n = matrix.shape[1]
    _require_deviations(values, sigmas)
    if np.linalg.matrix_rank(matrix / sigmas[:, None], tol=None) < n:
        raise OutOfDomain(
            f"{len(values)} readings do not determine {n} unknowns. Measure more.", name="values"
        )
    return _adjusted(matrix, values, sigmas, np.zeros(n), np.eye(n), _RANK, np.zeros((n, n)))


def adjusted_from(
    matrix: Vector, values: Vector, sigmas: Vector, start: Vector, root: Vector
) -> Adjusted:
    """Adjust what is known to readings that may see only part of it.

    Parameters
    ----------
    matrix, values, sigmas
        As in `adjusted`.
    start : ndarray, shape (n,)
        What is expected without the readings.
    root : ndarray, shape (n, q)
        Its covariance is ``root @ root.T``.

    Notes
    -----
    The covariance is that of this estimate under what was known, in Joseph's
    form, so that what no reading sees is neither narrowed nor widened.
    """
    _require_deviations(values, sigmas)
    return _adjusted(matrix, values, sigmas, start, root, _SEEN, root @ root.T)


def _adjusted(
    matrix: Vector,
    values: Vector,
    sigmas: Vector,
    start: Vector,
    root: Vector,
    least: float,
    known: Vector,
) -> Adjusted:
    m, n = matrix.shape
    left, size, right = np.linalg.svd((matrix @ root) / sigmas[:, None], full_matrices=False)
    seen = size > max(least * float(size.max(initial=0.0)), np.finfo(float).tiny)
    gain = (root @ right[seen].T / size[seen]) @ left[:, seen].T / sigmas
    x = start + gain @ (values - matrix @ start)
    hat = matrix @ gain
    kept, missed = np.eye(n) - gain @ matrix, np.eye(m) - hat
    noise = np.diag(sigmas**2)
    covariance = kept @ known @ kept.T + gain @ noise @ gain.T
    residuals = matrix @ x - values
    spread = missed @ (matrix @ known @ matrix.T + noise) @ missed.T
    own = np.sqrt(np.maximum(np.diag(spread), 0.0))
    checked = own > 1e-6 * sigmas
    return Adjusted(
        x,
        covariance,
        residuals,
        np.where(checked, residuals / np.where(checked, own, 1.0), 0.0),
        m - int(seen.sum()),
        float(np.sum((residuals / sigmas) ** 2)),
    )


def levelled(
    known: Mapping[str, float],
    lines: Sequence[tuple[str, str, float]],
    sigmas: Sequence[float],
) -> tuple[dict[str, float], Adjusted]:
    """Heights of points from rises between them, some known beforehand.

    Parameters
    ----------
    known : Mapping of str to float
        Heights that are certain.
    lines : sequence of (from, to, rise)
        Rise is positive upwards.
    sigmas : sequence of float
        One standard deviation of each rise, in its unit.

    Returns
    -------
    heights : dict of str to float
        Of the points that were not known, in the order of the first line to each.
    adjusted : Adjusted
        Its unknowns in that order.

    Raises
    ------
    OutOfDomain
        A point that no line ties to a known one.
    """
    points = [p for start, end, _ in lines for p in (start, end) if p not in known]
    names = list(dict.fromkeys(points))
    matrix, values = np.zeros((len(lines), len(names))), np.zeros(len(lines))
    for i, (start, end, rise) in enumerate(lines):
        values[i] = rise
        for point, sign in ((end, 1.0), (start, -1.0)):
            if point in known:
                values[i] -= sign * known[point]
            else:
                matrix[i, names.index(point)] += sign
    found = adjusted(matrix, values, np.asarray(sigmas, dtype=float))
    return dict(zip(names, map(float, found.x), strict=True)), found


def _require_deviations(values: Vector, sigmas: Vector) -> None:
    if not (np.all(np.isfinite(values)) and np.all(sigmas > 0.0) and np.all(np.isfinite(sigmas))):
        raise OutOfDomain(
            "a reading is no number, or its deviation is not above 0. Give both.", name="sigmas"
        )
