"""Taking off: lengths, angles, outlines and holes from picked points, each with its trust.

Room: scans. Every function takes points with their joint covariance (see
`frame`) and carries it through its own derivatives; trust is one standard
deviation, as everywhere in a plan.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from foldwright.errors import OutOfDomain
from foldwright.scans.frame import Mapped, Point, Vector

_ROUNDS = 100
_SETTLED = 1e-12
_STRAIGHT = 1e-6
# Numbers of one axis that differ by less than this many of their deviations are one.
_ALIKE = 2.0


@dataclass(frozen=True)
class Taken:
    """One number: `value` and `trust`, both in mm or both in degrees."""

    value: float
    trust: float


@dataclass(frozen=True)
class TakenHole:
    """A round hole.

    Attributes
    ----------
    x, y, d : Taken
        Centre and diameter [mm].
    widest_miss : float
        How far the worst of the rim points lies off the circle [mm].
    """

    x: Taken
    y: Taken
    d: Taken
    widest_miss: float


@dataclass(frozen=True)
class TakenOutline:
    """A closed outline of straight sides.

    Attributes
    ----------
    corners : tuple of (x, y)
        [mm], anticlockwise, from the lower left of its extent.
    trust : float
        Of one number of a corner against the lower left, in the mean [mm].
    area : float
        [mm^2]
    datum : (x, y)
        That lower left in the frame of the drawing.
    """

    corners: tuple[Point, ...]
    trust: float
    area: float
    datum: Point


def length_of(ends: Mapped) -> Taken:
    """Length between two points.

    Raises
    ------
    OutOfDomain
        Both are one place.
    """
    a, b = ends.points
    reach = math.dist(a, b)
    if not reach > _STRAIGHT:
        raise OutOfDomain("both ends lie in one place. Move one.", name="ends")
    along = (b - a) / reach
    return _carried(reach, np.concatenate([-along, along]), ends)


def angle_of(three: Mapped) -> Taken:
    """Angle at the second of three points, between the ways to the others [degrees].

    Raises
    ------
    OutOfDomain
        A side without length.
    """
    first, corner, last = three.points
    u, v = first - corner, last - corner
    if not min(math.hypot(*u), math.hypot(*v)) > _STRAIGHT:
        raise OutOfDomain(
            "a side of the angle has no length. Pick a point along the first side, the corner, "
            "and a point along the other side.",
            name="three",
        )
    turn = math.atan2(u[0] * v[1] - u[1] * v[0], float(u @ v))
    # the direction of u turns by (-u_y, u_x) / |u|^2
    by_u = -np.array([-u[1], u[0]]) / float(u @ u)
    by_v = np.array([-v[1], v[0]]) / float(v @ v)
    slope = np.concatenate([by_u, -by_u - by_v, by_v])
    sign = math.copysign(1.0, turn)
    return _carried(math.degrees(abs(turn)), math.degrees(1.0) * sign * slope, three)


def hole_of(rim: Mapped) -> TakenHole:
    """Circle with the least squares of distances to three points of a rim or more.

    Raises
    ------
    OutOfDomain
        Too few points, or all in one line.

    References
    ----------
    W. Gander, G. H. Golub and R. Strebel, Least-squares fitting of circles and
    ellipses, BIT 34 (1994) 558-578, section 3; the slopes by the points follow from
    its Gauss-Newton step: ``du = -(J'J)^-1 J' dr``.
    """
    return _hole(rim, len(rim.points), np.zeros((2, rim.points.size)))


def _hole(all_points: Mapped, count: int, datum: Vector) -> TakenHole:
    """Hole through the first `count` points; `datum` picks what its centre is measured from."""
    numbers = all_points.points.ravel()
    points = all_points.points[:count]
    _require_round(points)
    u = _linear_circle(points)
    for _ in range(_ROUNDS):
        rows, missed = _circle_rows(u, points)
        step = np.linalg.lstsq(rows, -missed, rcond=None)[0]
        u = u + step
        if float(np.abs(step).max()) <= _SETTLED * max(1.0, float(np.abs(u).max())):
            break
    rows, missed = _circle_rows(u, points)
    gain = -np.linalg.pinv(rows)
    slope = np.zeros((3, len(numbers)))
    for i in range(count):
        # a point moved away from the centre is missed by as much
        slope[:, 2 * i : 2 * i + 2] = gain[:, i : i + 1] @ -rows[i : i + 1, :2]
    slope[:2] -= datum
    centre = u[:2] - datum @ numbers
    spread = slope @ all_points.covariance @ slope.T
    trust = np.sqrt(np.maximum(np.diag(spread), 0.0))
    return TakenHole(
        Taken(float(centre[0]), float(trust[0])),
        Taken(float(centre[1]), float(trust[1])),
        Taken(2.0 * float(u[2]), 2.0 * float(trust[2])),
        float(np.abs(missed).max()),
    )


def hole_from(both: Mapped, rim: int) -> TakenHole:
    """Hole measured from the lower left of an outline picked on the same drawing.

    Parameters
    ----------
    both : Mapped
        Rim points, then the corners of the outline.
    rim : int
        How many of the points are of the rim.
    """
    corners = both.points[rim:]
    datum = np.zeros((2, 2 * len(both.points)))
    datum[0, 2 * (rim + int(np.argmin(corners[:, 0])))] = 1.0
    datum[1, 2 * (rim + int(np.argmin(corners[:, 1]))) + 1] = 1.0
    return _hole(both, rim, datum)


def outline_of(corners: Mapped) -> TakenOutline:
    """Outline from its corners, set in line where they agree within their trust.

    Raises
    ------
    OutOfDomain
        Fewer than three corners, sides that cross, or no area.
    """
    points = corners.points
    if len(points) < 3:
        raise OutOfDomain(
            f"an outline has 3 corners or more, {len(points)} were picked. Pick the others.",
            name="corners",
        )
    _require_simple(points)
    i, j = int(np.argmin(points[:, 0])), int(np.argmin(points[:, 1]))
    slope = np.eye(points.size)
    slope[0::2, 2 * i] -= 1.0
    slope[1::2, 2 * j + 1] -= 1.0
    spread = slope @ corners.covariance @ slope.T
    own = np.sqrt(np.maximum(np.diag(spread), 0.0)).reshape(-1, 2)
    datum = np.array([points[i, 0], points[j, 1]])
    flat = np.column_stack(
        [_in_line(points[:, k] - datum[k], k, slope @ corners.covariance @ slope.T) for k in (0, 1)]
    )
    flat -= flat.min(axis=0)
    area = _area(flat)
    if area < 0.0:
        flat = flat[::-1]
    # both numbers of the datum are exact against themselves
    trust = math.sqrt(float(np.sum(own**2)) / (points.size - 2))
    found = tuple((float(x), float(y)) for x, y in flat)
    return TakenOutline(found, trust, abs(area), (float(datum[0]), float(datum[1])))


def _carried(value: float, slope: Vector, points: Mapped) -> Taken:
    return Taken(float(value), math.sqrt(max(0.0, float(slope @ points.covariance @ slope))))


def _in_line(numbers: Vector, axis: int, spread: Vector) -> Vector:
    """Give numbers of one axis that agree within their trust their mean."""
    order = np.argsort(numbers)
    found = numbers.copy()
    group = [int(order[0])]
    for k in map(int, [*order[1:], -1]):
        if k >= 0:
            a, b = 2 * group[0] + axis, 2 * k + axis
            apart = math.sqrt(max(0.0, spread[a, a] + spread[b, b] - 2.0 * spread[a, b]))
            if numbers[k] - numbers[group[0]] <= _ALIKE * apart:
                group.append(k)
                continue
        found[group] = numbers[group].mean()
        group = [k]
    return found


def _area(points: Vector) -> float:
    x, y = points.T
    return float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y)) / 2.0


def _require_simple(points: Vector) -> None:
    n = len(points)
    sides = [(points[i], points[(i + 1) % n]) for i in range(n)]
    for i in range(n):
        if math.dist(*sides[i]) <= _STRAIGHT:
            raise OutOfDomain(
                f"corners {i + 1} and {(i + 1) % n + 1} are one place. Take one away.",
                name="corners",
            )
        for j in range(i + 2, n):
            if (i, j) != (0, n - 1) and _cross(*sides[i], *sides[j]):
                raise OutOfDomain(
                    f"the side after corner {i + 1} crosses the one after corner {j + 1}. Pick "
                    "the corners one after another, all the way round.",
                    name="corners",
                )
    extent = float(np.ptp(points, axis=0).max())
    if not abs(_area(points)) > _STRAIGHT * extent**2:
        raise OutOfDomain("all corners lie in one line. Take one off it.", name="corners")


def _cross(a: Vector, b: Vector, c: Vector, d: Vector) -> bool:
    def side(p: Vector, q: Vector, r: Vector) -> float:
        return float((q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0]))

    return side(a, b, c) * side(a, b, d) < 0.0 and side(c, d, a) * side(c, d, b) < 0.0


def _linear_circle(points: Vector) -> Vector:
    middle = points.mean(axis=0)
    x, y = (points - middle).T
    rows = np.column_stack([x, y, np.ones(len(x))])
    a, b, c = np.linalg.lstsq(rows, x * x + y * y, rcond=None)[0]
    radius = math.sqrt(max(c + (a * a + b * b) / 4.0, 1e-12))
    return np.array([middle[0] + a / 2.0, middle[1] + b / 2.0, radius])


def _circle_rows(u: Vector, points: Vector) -> tuple[Vector, Vector]:
    away = points - u[:2]
    far = np.hypot(away[:, 0], away[:, 1])
    return np.column_stack([-away / far[:, None], -np.ones(len(points))]), far - u[2]


def _require_round(points: Vector) -> None:
    if len(points) < 3:
        raise OutOfDomain(
            f"a hole needs 3 points of its rim or more, {len(points)} were picked. Pick the "
            "others, well round.",
            name="rim",
        )
    size = np.linalg.svd(points - points.mean(axis=0), compute_uv=False)
    if not size[1] > 1e-4 * size[0]:
        raise OutOfDomain(
            "the points of the rim lie in one line, and no circle goes through them. Pick them "
            "well round.",
            name="rim",
        )
