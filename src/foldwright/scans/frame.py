"""Frames: from a place in a picture to a place in the drawing, and how sure that is.

Room: scans. A picture is measured in *pixels*, x right, y down, a whole number
being the corner between four pixels. A drawing is measured in mm, x right, y
up. A `Frame` is a homography between the two: it covers a straightened photo
and a scaled scan alike. It carries the covariance of its own numbers, so that
what is picked knows both the hand that picked and the frame it was picked in::

    (X, Y, W) = M (u, v, 1),   u = (p - middle) / reach
    mm = mm_middle + mm_reach (X / W, Y / W)
    C = J_M S_M J_M' + diag(J_p s^2 J_p')

S_M is the covariance of M, s the deviation of a picked point in x and in y,
each point picked by itself (JCGM 102:2011, section 6.2: the law of propagation
for several output quantities, ``U_y = C_x U_x C_x'``).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from foldwright.errors import OutOfDomain

type Vector = NDArray[np.float64]
type Point = tuple[float, float]


@dataclass(frozen=True, eq=False)
class Mapped:
    """Picked points in mm.

    Attributes
    ----------
    points : ndarray, shape (n, 2)
        [mm], x right, y up.
    covariance : ndarray, shape (2 n, 2 n)
        In the order x0, y0, x1, y1 and so on [mm^2].
    """

    points: Vector
    covariance: Vector


@dataclass(frozen=True, eq=False)
class Frame:
    """A homography from the picture to the drawing.

    Attributes
    ----------
    matrix : ndarray, shape (3, 3)
        M of the module's text.
    covariance : ndarray, shape (9, 9)
        Of the entries of M, row by row; of rank 8 at most, since a multiple of M is the
        same frame.
    middle, reach, mm_middle, mm_reach
        Shift and size that keep the numbers of M near 1.
    """

    matrix: Vector
    covariance: Vector
    middle: Point = (0.0, 0.0)
    reach: float = 1.0
    mm_middle: Point = (0.0, 0.0)
    mm_reach: float = 1.0

    @property
    def whole(self) -> Vector:
        """The same homography for (x, y, 1) in pixels to mm, largest entry of the last row 1."""
        n, (x, y), (a, b) = self.reach, self.middle, self.mm_middle
        to_u = np.array([[1.0 / n, 0.0, -x / n], [0.0, 1.0 / n, -y / n], [0.0, 0.0, 1.0]])
        m = self.mm_reach
        to_mm = np.array([[m, 0.0, a], [0.0, m, b], [0.0, 0.0, 1.0]])
        found = to_mm @ self.matrix @ to_u
        return np.asarray(found / found[2, np.argmax(np.abs(found[2]))])

    def at(self, pixels: Sequence[Point] | Vector) -> Vector:
        """Places in the drawing [mm], shape (n, 2).

        Raises
        ------
        OutOfDomain
            A point at or beyond the horizon of a straightened photo.
        """
        homogeneous = self._homogeneous(pixels)
        _require_before_horizon(homogeneous[:, 2])
        flat = homogeneous[:, :2] / homogeneous[:, 2:]
        return np.asarray(np.array(self.mm_middle) + self.mm_reach * flat)

    def back(self, places: Sequence[Point] | Vector) -> Vector:
        """Pixels of places in the drawing, shape (n, 2)."""
        rows = np.column_stack([np.asarray(places, dtype=float), np.ones(len(places))])
        found = rows @ np.linalg.inv(self.whole).T
        return np.asarray(found[:, :2] / found[:, 2:])

    def slopes(self, pixels: Sequence[Point] | Vector) -> Vector:
        """Derivatives of the places by the pixels, shape (n, 2, 2) [mm per pixel]."""
        X = self._homogeneous(pixels)
        flat = X[:, :2] / X[:, 2:]
        M = self.matrix
        top = M[None, :2, :2] - flat[:, :, None] * M[None, 2:, :2]
        return np.asarray(self.mm_reach / self.reach * top / X[:, 2, None, None])

    def mapped(self, pixels: Sequence[Point] | Vector, picking: float) -> Mapped:
        """Places with their joint covariance.

        Parameters
        ----------
        pixels : sequence of (x, y)
        picking : float
            s [pixels], one standard deviation in x and in y of a picked point.

        Raises
        ------
        OutOfDomain
            As `at`.
        """
        places = self.at(pixels)
        by_matrix = self.mm_reach * slopes_by_matrix(self.matrix, self._inner(pixels))
        by_matrix = by_matrix.reshape(-1, 9)
        covariance = by_matrix @ self.covariance @ by_matrix.T
        for i, slope in enumerate(self.slopes(pixels)):
            covariance[2 * i : 2 * i + 2, 2 * i : 2 * i + 2] += picking**2 * slope @ slope.T
        return Mapped(places, np.asarray(covariance))

    def _inner(self, pixels: Sequence[Point] | Vector) -> Vector:
        found = (np.asarray(pixels, dtype=float).reshape(-1, 2) - self.middle) / self.reach
        return np.asarray(found)

    def _homogeneous(self, pixels: Sequence[Point] | Vector) -> Vector:
        inner = self._inner(pixels)
        return np.asarray(np.column_stack([inner, np.ones(len(inner))]) @ self.matrix.T)


def slopes_by_matrix(matrix: Vector, inner: Vector) -> Vector:
    """Derivatives of ``(X / W, Y / W)`` by the entries of M, shape (n, 2, 9)."""
    rows = np.column_stack([inner, np.ones(len(inner))])
    X = rows @ matrix.T
    unit = rows / X[:, 2:]
    found = np.zeros((len(inner), 2, 9))
    found[:, 0, 0:3] = unit
    found[:, 1, 3:6] = unit
    found[:, :, 6:9] = -(X[:, :2] / X[:, 2:])[:, :, None] * unit[:, None, :]
    return found


def _require_before_horizon(w: Vector) -> None:
    # straightening turns M so that W is positive on the known places
    if not (w > 1e-6 * max(1e-300, float(np.abs(w).max(initial=0.0)))).all():
        raise OutOfDomain(
            "a point lies beyond the horizon of the straightened sheet, where the photo shows "
            "nothing of it. Pick it on the sheet, or set the known places right.",
            name="pixels",
        )
