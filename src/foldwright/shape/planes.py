"""Planes, and the corners where they meet, exact in floats or duals.

Room: shape. The directions of faces are fixed or follow from the outlines;
the offsets follow the parameters. A corner is the solution of three planes by
Cramer's rule, written once for plain and dual numbers.
"""

from __future__ import annotations

from dataclasses import dataclass

from foldwright.plan.dual import Number, sqrt

type Spot = tuple[Number, Number, Number]


@dataclass(frozen=True)
class Plane:
    """Points p with `out` . p = `offset` [mm]; `out` is unit and points out of the part."""

    out: Spot
    offset: Number

    def moved_in(self, distance: Number) -> Plane:
        """Return the plane moved in by a distance [mm]."""
        return Plane(self.out, self.offset - distance)


def plane_through(point: Spot, out: Spot) -> Plane:
    """Plane through a point, square to `out`, which need not be unit."""
    length = sqrt(dot(out, out))
    unit = (out[0] / length, out[1] / length, out[2] / length)
    return Plane(unit, dot(unit, point))


def corner_of(one: Plane, other: Plane, third: Plane) -> Spot:
    """Return the point where three planes meet (Cramer's rule).

    They must not be parallel to one line.
    """
    across = cross(other.out, third.out)
    whole = dot(one.out, across)
    back, forth = cross(third.out, one.out), cross(one.out, other.out)
    x, y, z = (
        (one.offset * across[k] + other.offset * back[k] + third.offset * forth[k]) / whole
        for k in range(3)
    )
    return (x, y, z)


def distance(a: Spot, b: Spot) -> Number:
    """Distance between two points [mm]."""
    step = minus(b, a)
    return sqrt(dot(step, step))


def minus(a: Spot, b: Spot) -> Spot:
    """Step from b to a."""
    return (a[0] - b[0], a[1] - b[1], a[2] - b[2])


def dot(a: Spot, b: Spot) -> Number:
    """Scalar product."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def cross(a: Spot, b: Spot) -> Spot:
    """Vector product."""
    return (
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    )
