"""Rounds: circles through measured points, and the girth of what is not quite round.

Room: fit. Points on a rim, read with rule and square, give its centre and
radius. `circle_through` looks at the distances from the circle, which is what
a maker sees; the two others are quick and lean towards small circles where
little of the rim was measured.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from foldwright.errors import OutOfDomain
from foldwright.shape import Vector

_ROUNDS = 200
_SETTLED = 1e-13
# Points that lie this straight have no circle through them (share of their extent).
_STRAIGHT = 1e-9


@dataclass(frozen=True)
class Circle:
    """Centre and radius, in the unit of the points."""

    x: float
    y: float
    radius: float


def circle_through(xs: Sequence[float], ys: Sequence[float]) -> Circle:
    """Circle with the least squares of distances to the points.

    Gauss-Newton on ``sum (|p - centre| - r)^2``, steps halved until they
    gain, begun at the algebraic circle.

    Parameters
    ----------
    xs, ys : sequence of float
        At least three points, not in one line.

    Raises
    ------
    OutOfDomain
        Too few points, or all in one line.

    References
    ----------
    W. Gander, G. H. Golub and R. Strebel, Least-squares fitting of circles and
    ellipses, BIT 34 (1994) 558-578, section 3.

    Examples
    --------
    >>> circle = circle_through([1, 2, 5, 7, 9, 3], [7, 6, 8, 7, 5, 7])
    >>> [round(v, 4) for v in (circle.x, circle.y, circle.radius)]
    [4.7398, 2.9835, 4.7142]
    """
    points = _require_points(xs, ys)
    first = algebraic_circle(xs, ys)
    u = np.array([first.x, first.y, first.radius])

    def missed(u: Vector) -> Vector:
        return np.asarray(np.hypot(points[:, 0] - u[0], points[:, 1] - u[1]) - u[2])

    for _ in range(_ROUNDS):
        away = points - u[:2]
        far = np.hypot(away[:, 0], away[:, 1])
        jacobian = np.column_stack([-away / far[:, None], -np.ones(len(points))])
        step = np.linalg.lstsq(jacobian, -missed(u), rcond=None)[0]
        now = float(np.sum(missed(u) ** 2))
        while float(np.sum(missed(u + step) ** 2)) > now and np.abs(step).max() > _SETTLED:
            step = step / 2.0
        u = u + step
        if np.abs(step).max() <= _SETTLED * max(1.0, float(np.abs(u).max())):
            break
    return Circle(float(u[0]), float(u[1]), abs(float(u[2])))


def algebraic_circle(xs: Sequence[float], ys: Sequence[float]) -> Circle:
    """Circle ``a (x^2 + y^2) + b1 x + b2 y + c = 0`` with the least squares of its left side.

    Among all (a, b1, b2, c) of length 1; domain, errors and source as in
    `circle_through`, section 2 there.
    """
    points = _require_points(xs, ys)
    x, y = points.T
    rows = np.column_stack([x * x + y * y, x, y, np.ones(len(x))])
    a, b1, b2, c = np.linalg.svd(rows)[2][-1]
    centre = (-b1 / (2.0 * a), -b2 / (2.0 * a))
    square = centre[0] ** 2 + centre[1] ** 2 - c / a
    return Circle(float(centre[0]), float(centre[1]), math.sqrt(max(0.0, float(square))))


def linear_circle(xs: Sequence[float], ys: Sequence[float]) -> Circle:
    """Circle with the least ``sum (x^2 + y^2 - a x - b y - c)^2``, by linear least squares.

    Domain and errors as in `circle_through`.

    References
    ----------
    I. Kasa, A circle fitting procedure and its error analysis, IEEE Trans.
    Instrumentation and Measurement 25 (1976) 8-14.
    """
    points = _require_points(xs, ys)
    # about their middle, so that squares of large coordinates cost no figures
    middle = points.mean(axis=0)
    x, y = (points - middle).T
    rows = np.column_stack([x, y, np.ones(len(x))])
    a, b, c = np.linalg.lstsq(rows, x * x + y * y, rcond=None)[0]
    radius = math.sqrt(c + (a * a + b * b) / 4.0)
    return Circle(float(middle[0] + a / 2.0), float(middle[1] + b / 2.0), radius)


def oval_girth(widest: float, narrowest: float) -> float:
    """Girth of an ellipse [mm], by the complete elliptic integral.

    ::

        G = 2 D E(1 - (d / D)^2)

    Parameters
    ----------
    widest, narrowest : float
        D, d [mm], above 0 and 0 or more.

    Raises
    ------
    OutOfDomain
        Not 0 <= narrowest <= widest, or nothing.

    Examples
    --------
    >>> round(oval_girth(102.0, 98.0), 4)
    314.1907
    """
    from scipy.special import ellipe

    _require_oval(widest, narrowest)
    return float(2.0 * widest * ellipe(1.0 - (narrowest / widest) ** 2))


def flat_sided_girth(widest: float, narrowest: float) -> float:
    """Girth of two half circles with straight sides between them [mm]; as `oval_girth`."""
    _require_oval(widest, narrowest)
    return math.pi * narrowest + 2.0 * (widest - narrowest)


def _require_oval(widest: float, narrowest: float) -> None:
    if not 0.0 <= narrowest <= widest < math.inf or widest == 0.0:
        raise OutOfDomain(
            f"an oval of {widest:g} by {narrowest:g} mm is none: the widest comes first and is "
            "above 0. Measure both across the middle.",
            name="widest",
        )


def _require_points(xs: Sequence[float], ys: Sequence[float]) -> Vector:
    points = np.column_stack([np.asarray(xs, dtype=float), np.asarray(ys, dtype=float)])
    if len(points) < 3 or not np.isfinite(points).all():
        raise OutOfDomain(
            f"a circle goes through 3 points or more, {len(points)} were given. Measure more.",
            name="xs",
        )
    size = np.linalg.svd(points - points.mean(axis=0), compute_uv=False)
    if not size[1] > _STRAIGHT * size[0]:
        raise OutOfDomain(
            "the points lie in one line, and no circle goes through them. Take one off the line.",
            name="xs",
        )
    return points
