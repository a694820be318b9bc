"""Straightening: a photo of a flat drawing made true by places that are known on it.

Room: scans. Four places, no three of them in one line, fix a homography. It is
found by the direct linear transformation on shifted and scaled coordinates
(Hartley), and turned into the least squares of the misses on the drawing,
each weighed by what its pick and its known place may be out. Four places
leave no miss, and more show theirs.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from foldwright.errors import OutOfDomain
from foldwright.scans.frame import Frame, Point, Vector, slopes_by_matrix

MOST_PLACES = 16
"""Places that a photo is straightened by, at most; more would tell nothing further."""

_FEWEST = 4
_ROUNDS, _WEIGHINGS = 40, 8
_SETTLED = 1e-13
# A triangle this flat is a line, whatever the picking.
_STRAIGHT = 1e-6
# A point this many deviations off the line of two others is off it.
_OFF_LINE = 3.0


@dataclass(frozen=True, eq=False)
class Straightened:
    """A frame from known places.

    Attributes
    ----------
    frame : Frame
    misses : ndarray, shape (n, 2)
        Where each place comes out, less where it is known to be [mm]; 0 for four.
    standardised : ndarray, shape (n,)
        Length of each miss in units of what it may be; about 1 for an honest place.
    redundancy : int
        Numbers beyond those needed: 2 n - 8.
    factor : float
        How much more the places miss than they should, at least 1; the covariance of the
        frame is enlarged by its square.
    """

    frame: Frame
    misses: Vector
    standardised: Vector
    redundancy: int
    factor: float


def straightened(
    pixels: Sequence[Point], places: Sequence[Point], *, picking: float, sure: float = 0.0
) -> Straightened:
    """Find the frame in which known places lie where they are known to.

    Parameters
    ----------
    pixels : sequence of (x, y)
        Picked points [pixels], 4 to `MOST_PLACES`.
    places : sequence of (x, y)
        Where they are on the drawing [mm].
    picking : float
        One standard deviation of a pick in x and in y [pixels], above 0.
    sure : float
        One standard deviation of a known place in x and in y [mm].

    Raises
    ------
    OutOfDomain
        Too few or too many points, three of four in one line, or points that
        cannot be places of one flat sheet in this order.

    References
    ----------
    R. Hartley and A. Zisserman, Multiple View Geometry in Computer Vision, 2nd
    ed., algorithm 4.2 (normalised direct linear transformation), and result
    5.12 (covariance of a homography, as the pseudo-inverse on the 8 directions
    that are not a mere multiple).

    R. T. Birge, The calculation of errors by the method of least squares,
    Phys. Rev. 40 (1932) 207: the ratio by which deviations are enlarged.
    """
    seen, known = _require_points(pixels, places, picking, sure)
    to_u, to_q = _shrinking(seen), _shrinking(known)
    u = (seen - to_u.middle) / to_u.reach
    q = (known - to_q.middle) / to_q.reach
    matrix = _direct(u, q)
    matrix = _require_one_side(matrix, u)
    weigh = np.zeros((len(u), 2, 2))
    for _ in range(_WEIGHINGS):
        weigh = _weighing(matrix, u, picking / to_u.reach, sure / to_q.reach)
        before = matrix
        matrix = _refined(matrix, u, q, weigh)
        if float(np.abs(matrix - before).max()) <= _SETTLED * 100.0:
            break
    matrix = _require_one_side(matrix, u)
    rows = _weighed_slopes(matrix, u, weigh)
    across = _across(matrix)
    normal = across.T @ rows.T @ rows @ across
    root = np.linalg.inv(normal)
    missed = _missed(matrix, u, q)
    weighed = np.einsum("nij,nj->ni", weigh, missed)
    redundancy = 2 * len(u) - 8
    chi = float(np.sum(weighed**2))
    factor = max(1.0, math.sqrt(chi / redundancy)) if redundancy else 1.0
    frame = Frame(
        matrix,
        np.asarray(factor**2 * across @ root @ across.T),
        to_u.middle,
        to_u.reach,
        to_q.middle,
        to_q.reach,
    )
    return Straightened(
        frame,
        np.asarray(to_q.reach * missed),
        _standardised(weighed, rows @ across, root, redundancy),
        redundancy,
        factor,
    )


@dataclass(frozen=True)
class _Shrinking:
    middle: Point
    reach: float


def _shrinking(points: Vector) -> _Shrinking:
    """Shift to the centroid, and the size that makes the mean distance the root of two."""
    x, y = points.mean(axis=0)
    away = float(np.hypot(points[:, 0] - x, points[:, 1] - y).mean())
    return _Shrinking((float(x), float(y)), away / math.sqrt(2.0))


def _direct(u: Vector, q: Vector) -> Vector:
    rows = np.column_stack([u, np.ones(len(u))])
    none = np.zeros_like(rows)
    system = np.vstack(
        [
            np.hstack([rows, none, -q[:, :1] * rows]),
            np.hstack([none, rows, -q[:, 1:] * rows]),
        ]
    )
    found = np.linalg.svd(system)[2][-1]
    return np.asarray(found.reshape(3, 3))


def _refined(matrix: Vector, u: Vector, q: Vector, weigh: Vector) -> Vector:
    """Gauss-Newton on the weighed misses, along the 8 directions that change the frame."""

    def cost(m: Vector) -> float:
        return float(np.sum(np.einsum("nij,nj->ni", weigh, _missed(m, u, q)) ** 2))

    for _ in range(_ROUNDS):
        across = _across(matrix)
        rows = _weighed_slopes(matrix, u, weigh) @ across
        left = np.einsum("nij,nj->ni", weigh, _missed(matrix, u, q)).ravel()
        step = across @ np.linalg.lstsq(rows, -left, rcond=None)[0]
        now = cost(matrix)
        while cost(_unit(matrix + step.reshape(3, 3))) > now and np.abs(step).max() > _SETTLED:
            step = step / 2.0
        if float(np.abs(step).max()) <= _SETTLED:
            break
        matrix = _unit(matrix + step.reshape(3, 3))
    return matrix


def _unit(matrix: Vector) -> Vector:
    return np.asarray(matrix / np.linalg.norm(matrix))


def _across(matrix: Vector) -> Vector:
    """Directions square to the matrix itself, shape (9, 8)."""
    return np.asarray(np.linalg.svd(matrix.reshape(1, 9))[2][1:].T)


def _missed(matrix: Vector, u: Vector, q: Vector) -> Vector:
    X = np.column_stack([u, np.ones(len(u))]) @ matrix.T
    return np.asarray(X[:, :2] / X[:, 2:] - q)


def _weighing(matrix: Vector, u: Vector, picking: float, sure: float) -> Vector:
    """For each point the matrix that makes its miss of unit covariance."""
    slopes = Frame(matrix, np.zeros((9, 9))).slopes(u)
    own = picking**2 * np.einsum("nij,nkj->nik", slopes, slopes) + sure**2 * np.eye(2)
    return np.asarray(np.linalg.inv(np.linalg.cholesky(own)))


def _weighed_slopes(matrix: Vector, u: Vector, weigh: Vector) -> Vector:
    found = np.einsum("nij,njk->nik", weigh, slopes_by_matrix(matrix, u))
    return np.asarray(found.reshape(-1, 9))


def _standardised(weighed: Vector, rows: Vector, root: Vector, redundancy: int) -> Vector:
    """Length of each miss over its own deviation, given how far it determines the frame."""
    if not redundancy:
        return np.zeros(len(weighed))
    free = 1.0 - np.einsum("ij,jk,ik->i", rows, root, rows).reshape(-1, 2)
    share = np.maximum(free.sum(axis=1), 1e-9)
    return np.asarray(np.sqrt(np.sum(weighed**2, axis=1) / share))


def _require_points(
    pixels: Sequence[Point], places: Sequence[Point], picking: float, sure: float
) -> tuple[Vector, Vector]:
    seen = np.asarray(pixels, dtype=float).reshape(-1, 2)
    known = np.asarray(places, dtype=float).reshape(-1, 2)
    if not _FEWEST <= len(seen) <= MOST_PLACES:
        raise OutOfDomain(
            f"a photo is straightened by 4 to {MOST_PLACES} known places, {len(seen)} were given. "
            "Pick the four corners of something whose sides you know.",
            name="pixels",
        )
    if len(seen) != len(known) or not np.isfinite(seen).all() or not np.isfinite(known).all():
        raise OutOfDomain(
            "each known place has to be a picked point with two numbers, x and y in mm.",
            name="places",
        )
    if not 0.0 < picking < math.inf or not 0.0 <= sure < math.inf:
        raise OutOfDomain(
            f"a pick sure to {picking:g} pixels is none: it has to be above 0. Say 1.",
            name="picking",
        )
    _require_spread(seen, _OFF_LINE * picking, "in the picture")
    _require_spread(known, 0.0, "as their numbers have them")
    return seen, known


def _require_spread(points: Vector, off: float, where: str) -> None:
    """Refuse points among which no four have no three in one line."""
    for i, j in combinations(range(len(points)), 2):
        if float(np.hypot(*(points[i] - points[j]))) <= max(off, 1e-9):
            raise OutOfDomain(
                f"known places {i + 1} and {j + 1} are the same place {where}. Move one.",
                name="places",
            )
    flat = {
        trio
        for trio in combinations(range(len(points)), 3)
        if _height(points[list(trio)]) <= off
        or _height(points[list(trio)]) <= _STRAIGHT * float(np.ptp(points, axis=0).max())
    }
    fours = combinations(range(len(points)), 4)
    if not any(all(trio not in flat for trio in combinations(four, 3)) for four in fours):
        a, b, c = sorted(flat)[0]
        raise OutOfDomain(
            f"known places {a + 1}, {b + 1} and {c + 1} lie in one line {where}. Four are needed "
            "no three of which do: take the corners of a rectangle.",
            name="places",
        )


def _height(triangle: Vector) -> float:
    """Least height of a triangle: how far its flattest corner is off the opposite side."""
    a, b, c = triangle
    twice = abs((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]))
    longest = max(float(np.hypot(*(p - q))) for p, q in ((a, b), (b, c), (c, a)))
    return float(twice / longest)


def _require_one_side(matrix: Vector, u: Vector) -> Vector:
    """Turn the matrix so that all known places lie before the horizon; refuse if they cannot."""
    w = np.column_stack([u, np.ones(len(u))]) @ matrix[2]
    matrix = matrix if w.sum() > 0.0 else -matrix
    if not (w.sum() * w > 0.0).all():
        raise OutOfDomain(
            "the known places cannot be one flat sheet in this order: seen from the camera, "
            "some would lie behind it. Check that each point has its own numbers, and that "
            "none are changed about.",
            name="places",
        )
    return np.asarray(_unit(matrix))
