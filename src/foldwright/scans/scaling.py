"""Scaling: a scan or print made true by lengths that are known on it.

Room: scans. Paper and printers stretch the two directions unequally, so that
each has a scale of its own where the known lengths tell both::

    L^2 = (sx dx)^2 + (sy dy)^2

by least squares, each length weighed by what its two picks and its number may
be out. Where the lengths lie in one direction only, one scale is taken for
both, and what prints usually stretch is allowed for in the other.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from foldwright.errors import OutOfDomain
from foldwright.scans.frame import Frame, Point, Vector

USUAL_STRETCH = 0.003
"""One standard deviation of the ratio of both scales of a scan or print (common practice,
no source)."""

# Both scales are fitted where the lengths tell their ratio better than this; what
# usually happens tells it as well by itself otherwise.
_TELLS = 2.0 * USUAL_STRETCH
_ROUNDS = 60
_SETTLED = 1e-15


@dataclass(frozen=True)
class KnownLength:
    """A length that is known: from `a` to `b` [pixels], `length` [mm]."""

    a: Point
    b: Point
    length: float


@dataclass(frozen=True, eq=False)
class Scaled:
    """A frame from known lengths.

    Attributes
    ----------
    frame : Frame
    across, up : float
        sx, sy [mm per pixel].
    is_separate : bool
        Whether each direction has a scale of its own.
    misses : ndarray, shape (n,)
        What each length comes out as, less what it is known as [mm].
    standardised : ndarray, shape (n,)
        Misses in units of what they may be; 0 where nothing else checks the length.
    redundancy : int
        Lengths beyond those needed.
    factor : float
        How much more the lengths disagree than they should, at least 1; the covariance of
        the frame is enlarged by its square.
    """

    frame: Frame
    across: float
    up: float
    is_separate: bool
    misses: Vector
    standardised: Vector
    redundancy: int
    factor: float


def scaled(lengths: Sequence[KnownLength], *, picking: float, sure: float = 0.0) -> Scaled:
    """Find the scales at which known lengths come out as known.

    Parameters
    ----------
    lengths : sequence of KnownLength
        One or more.
    picking : float
        One standard deviation of a pick in x and in y [pixels], above 0.
    sure : float
        One standard deviation of a known length [mm].

    Raises
    ------
    OutOfDomain
        No length, one that is not above 0, or one whose ends are one place.

    References
    ----------
    C. D. Ghilani, Adjustment Computations, weighted least squares of observation
    equations; redundancy numbers and standardised residuals after W. Baarda.
    """
    d, known = _require_lengths(lengths, picking, sure)
    one = float(known @ np.hypot(d[:, 0], d[:, 1]) / np.sum(d**2))
    scales, rows, left, sigma = _fitted(d, known, np.array([one, one]), picking, sure, False)
    is_separate = _tells_both(rows, scales)
    if not is_separate:
        scales, rows, left, sigma = _fitted(d, known, np.array([one, one]), picking, sure, True)
    root = np.linalg.inv(rows.T @ rows)
    redundancy = len(known) - (2 if is_separate else 1)
    # the usual stretch is a row of its own, after those of the lengths
    free = 1.0 - np.einsum("ij,jk,ik->i", rows, root, rows)
    chi = float(left @ left)
    factor = max(1.0, math.sqrt(chi / redundancy)) if redundancy else 1.0
    own = np.where(free > 1e-6, np.sqrt(np.maximum(free, 1e-12)), np.inf)
    return Scaled(
        _frame(scales, factor**2 * root),
        float(scales[0]),
        float(scales[1]),
        is_separate,
        np.asarray(left[: len(known)] * sigma),
        np.asarray((left / own)[: len(known)]) if redundancy else np.zeros(len(known)),
        redundancy,
        factor,
    )


def by_page(mm_per_pixel: float, *, stretch: float = USUAL_STRETCH) -> Frame:
    """Frame of a page whose file says how large it is.

    Parameters
    ----------
    mm_per_pixel : float
        Above 0.
    stretch : float
        One standard deviation of either scale, as a share: 0 for a page that was drawn by
        a program, `USUAL_STRETCH` for a scan.
    """
    if not 0.0 < mm_per_pixel < math.inf:
        raise OutOfDomain(
            f"{mm_per_pixel:g} mm to a pixel is no scale. Pick known lengths instead.",
            name="mm_per_pixel",
        )
    covariance = np.eye(2) * (stretch * mm_per_pixel) ** 2
    return _frame(np.array([mm_per_pixel, mm_per_pixel]), covariance)


def _fitted(
    d: Vector, known: Vector, scales: Vector, picking: float, sure: float, one: bool
) -> tuple[Vector, Vector, Vector, Vector]:
    """Scales, weighed slopes and misses by Gauss-Newton, and the deviation of each length.

    With `one`, a last row holds the ratio of the scales at 1, as surely as prints keep it.
    """
    usual = np.array([[1.0, -1.0]]) / USUAL_STRETCH
    rows = left = sigma = np.zeros(0)
    for _ in range(_ROUNDS):
        reach = np.hypot(d[:, 0] * scales[0], d[:, 1] * scales[1])
        slopes = d**2 * scales / reach[:, None]
        # a pick moves its end along the length by the scales there; both ends, so twice
        along = d * scales**2 / reach[:, None]
        sigma = np.sqrt(2.0 * picking**2 * np.sum(along**2, axis=1) + sure**2)
        rows, left = slopes / sigma[:, None], (reach - known) / sigma
        if one:
            rows = np.vstack([rows, usual / scales])
            left = np.append(left, math.log(scales[0] / scales[1]) / USUAL_STRETCH)
        step = np.linalg.lstsq(rows, -left, rcond=None)[0]
        if not one:
            # lengths in one direction say nothing of the other; keep within reach of it
            step = np.clip(step, -0.5 * scales, 0.5 * scales)
        scales = scales + step
        if float(np.abs(step / scales).max()) <= _SETTLED:
            break
    return scales, rows, left, sigma


def _tells_both(rows: Vector, scales: Vector) -> bool:
    """Whether lengths tell the ratio of both scales better than usual practice does."""
    relative = rows * scales
    size = np.linalg.svd(relative, compute_uv=False)
    if len(size) < 2 or size[1] <= 1e-9 * size[0]:
        return False
    root = np.linalg.inv(relative.T @ relative)
    return float(root[0, 0] - 2.0 * root[0, 1] + root[1, 1]) <= _TELLS**2


def _frame(scales: Vector, covariance: Vector) -> Frame:
    across, up = float(scales[0]), float(scales[1])
    # y of a picture runs down, y of a drawing up: entries 0 and 4 of the matrix
    entries = np.zeros((9, 2))
    entries[0, 0], entries[4, 1] = 1.0, -1.0
    return Frame(np.diag([across, -up, 1.0]), np.asarray(entries @ covariance @ entries.T))


def _require_lengths(
    lengths: Sequence[KnownLength], picking: float, sure: float
) -> tuple[Vector, Vector]:
    if not lengths:
        raise OutOfDomain("no length is known yet. Pick both ends of one.", name="lengths")
    if not 0.0 < picking < math.inf or not 0.0 <= sure < math.inf:
        raise OutOfDomain(
            f"a pick sure to {picking:g} pixels is none: it has to be above 0. Say 1.",
            name="picking",
        )
    known = np.array([each.length for each in lengths], dtype=float)
    d = np.array([np.subtract(each.b, each.a) for each in lengths], dtype=float)
    for i, (length, reach) in enumerate(zip(known, np.hypot(d[:, 0], d[:, 1]), strict=True)):
        if not 0.0 < length < math.inf:
            raise OutOfDomain(
                f"known length {i + 1} is {length:g} mm; it has to be above 0.", name="lengths"
            )
        if not reach > 2.0 * picking:
            raise OutOfDomain(
                f"both ends of known length {i + 1} are one place. Pick them further apart.",
                name="lengths",
            )
    return d, known
