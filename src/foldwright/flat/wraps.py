"""Wraps: where a saw meets a tube that is cut at an angle or saddled to another.

Room: flat. A paper wrap laid round a tube carries the cut as a curve: at each
*turn* t round the tube, an *ordinate* along it. Points at even turns are
pricked through and joined.

* `angled_cut`: by a plane, for a mitre.
* `branch_cut`: by the round outside of another tube; `saddle_depth` is how deep
  the square branch is scooped.
* `elbow`: a bend of mitred segments, each end an angled cut.
* `wrap_width`: once round, on the middle of the paper.

All functions take turns in radians, one number or an array of any shape, and
give ordinates [mm] of the same shape. The lines hold for the skin whose
radius is given: the outside for a wrap, the middle for a sheet yet to be curled.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from foldwright.errors import OutOfDomain
from foldwright.shop.physical import require_above_zero, require_between, require_whole

type Ordinates = NDArray[np.float64]

# A branch as wide as the main tube may read this much wider [share].
_ROUNDING = 1e-12
# A cut steeper than this runs along the tube rather than across it [rad].
_STEEPEST = math.radians(89.0)
# Axes nearer to parallel than this never leave one another [rad].
_LEAST_BRANCH = math.radians(1.0)


@dataclass(frozen=True)
class Elbow:
    """Segments of a mitred bend.

    Attributes
    ----------
    half_angle : float
        Each joint tilts the saw by this from square [rad].
    ordinates : ndarray
        Length of a half segment at the turns asked [mm], from its square middle to the
        cut; a full segment is twice that, each of the two ends once.
    throat, back : float
        Shortest and longest of them, on the inside and the outside of the bend [mm].
    """

    half_angle: float
    ordinates: Ordinates
    throat: float
    back: float


def wrap_width(radius: float, thickness: float = 0.0) -> float:
    """Once round a tube on the middle of what is wrapped round it [mm].

    Parameters
    ----------
    radius : float
        Of the tube [mm].
    thickness : float
        Of the paper [mm].

    Examples
    --------
    >>> round(wrap_width(30.0), 1), round(wrap_width(30.0, 0.1), 1)
    (188.5, 188.8)
    """
    require_above_zero(radius, "the radius of the tube", name="radius")
    require_between(thickness, 0.0, math.inf, "the paper", name="thickness")
    return math.tau * (radius + thickness / 2.0)


def angled_cut(radius: float, angle: float, turns: ArrayLike) -> Ordinates:
    """Ordinates of a plane cut through a tube.

    ::

        y = R tan(phi) (1 - cos t)

    Parameters
    ----------
    radius : float
        R [mm].
    angle : float
        phi, between the cut and a square one [rad], 0 to 89 degrees.
    turns : array_like
        t, from the shortest side of the tube [rad].

    Returns
    -------
    ndarray
        y [mm], 0 on the shortest side.

    Raises
    ------
    OutOfDomain
        No tube, or a cut that runs along it.

    References
    ----------
    Development of an obliquely cut cylinder, in any text on descriptive geometry.

    Examples
    --------
    >>> angled_cut(30.0, math.radians(45.0), [0.0, math.pi / 2, math.pi]).round(6).tolist()
    [0.0, 30.0, 60.0]
    """
    require_above_zero(radius, "the radius of the tube", name="radius")
    require_between(angle, 0.0, _STEEPEST, "the cut", name="angle", unit="deg")
    return np.asarray(radius * math.tan(angle) * (1.0 - np.cos(_sound(turns))))


def branch_cut(
    main_radius: float,
    branch_radius: float,
    angle: float,
    turns: ArrayLike,
    *,
    offset: float = 0.0,
) -> Ordinates:
    """Ordinates of a branch that ends on the outside of a main tube.

    ::

        w = (sqrt(R^2 - (r sin t + e)^2) - r cos t cos b) / sin b

    Parameters
    ----------
    main_radius, branch_radius : float
        R, r [mm].
    angle : float
        b, between the axes [rad], 1 to 179 degrees.
    turns : array_like
        t, round the branch [rad]: 0 on the side that faces away from where the branch
        leans (the obtuse side), pi in the crotch.
    offset : float
        e, of the axes from one another, added to r sin t [mm].

    Returns
    -------
    ndarray
        w [mm], along the axis of the branch from the foot of the common perpendicular of
        the axes (where they cross, without offset) to the cut.

    Raises
    ------
    OutOfDomain
        The branch is larger than the main tube, or hangs over its side.

    References
    ----------
    Intersection of two circular cylinders, in any text on descriptive geometry.

    Examples
    --------
    >>> branch_cut(60.0, 40.0, math.pi / 2, [0.0, math.pi / 2]).round(4).tolist()
    [60.0, 44.7214]
    """
    require_between(
        angle, _LEAST_BRANCH, math.pi - _LEAST_BRANCH, "the angle", name="angle", unit="deg"
    )
    t = _sound(turns)
    rise = _height_over(main_radius, branch_radius, t, offset)
    return np.asarray((rise - branch_radius * np.cos(t) * math.cos(angle)) / math.sin(angle))


def saddle_depth(
    main_radius: float, branch_radius: float, turns: ArrayLike, *, offset: float = 0.0
) -> Ordinates:
    """How far a square branch is scooped, from the crown of the main tube [mm].

    ::

        SD = R - sqrt(R^2 - (r sin t + e)^2)

    Parameters and errors as `branch_cut`, axes square to one another.

    Examples
    --------
    >>> round(float(saddle_depth(60.0, 40.0, math.pi / 2)), 4)
    15.2786
    """
    return np.asarray(main_radius - _height_over(main_radius, branch_radius, _sound(turns), offset))


def elbow(
    radius: float, bend_radius: float, bend_angle: float, full_segments: int, turns: ArrayLike
) -> Elbow:
    """Segments of a bend made of mitred lengths of tube.

    Two half segments stand at the ends, whose free ends are square::

        a = bend / (2 (n + 1)),    y = (R_b - r cos t) tan a

    Parameters
    ----------
    radius : float
        r of the tube [mm].
    bend_radius : float
        R_b to the axis of the tube [mm], at least r.
    bend_angle : float
        That the whole bend turns through [rad].
    full_segments : int
        n between the two ends; 0 for a plain mitre.
    turns : array_like
        t, from the throat [rad].

    Returns
    -------
    Elbow

    Raises
    ------
    OutOfDomain
        The tube would run into itself in the throat, or a joint turns by 178 degrees or more.

    References
    ----------
    Segmental bends, in any text on sheet-metal pattern drafting.

    Examples
    --------
    >>> made = elbow(50.0, 120.0, math.pi / 2, 2, 0.0)
    >>> round(math.degrees(made.half_angle), 6), round(made.throat, 4), round(made.back, 4)
    (15.0, 18.7564, 45.5514)
    """
    require_above_zero(radius, "the radius of the tube", name="radius")
    count = require_whole(full_segments, 0, "the count of full segments", name="full_segments")
    require_between(bend_angle, 0.0, math.inf, "the bend", name="bend_angle", unit="deg")
    if not math.isfinite(bend_radius) or bend_radius < radius:
        raise OutOfDomain(
            f"The bend radius is {bend_radius:g} mm to the axis, less than the radius of the tube, "
            f"{radius:g} mm: its throat would run into itself. Make the bend wider.",
            name="bend_radius",
        )
    half = bend_angle / (2.0 * (count + 1))
    if not 0.0 < half < _STEEPEST:
        raise OutOfDomain(
            f"Each joint would tilt the saw by {math.degrees(half):g} degrees; it has to be above "
            f"0, below {math.degrees(_STEEPEST):g}. Use more segments, or a smaller bend.",
            name="bend_angle",
        )
    throat = (bend_radius - radius) * math.tan(half)
    back = throat + float(angled_cut(radius, half, math.pi))
    return Elbow(half, throat + angled_cut(radius, half, turns), throat, back)


def _height_over(
    main_radius: float, branch_radius: float, turns: Ordinates, offset: float
) -> Ordinates:
    """Height of the main tube's skin over its axis under each line of the branch [mm]."""
    require_above_zero(main_radius, "the radius of the main tube", name="main_radius")
    require_above_zero(branch_radius, "the radius of the branch", name="branch_radius")
    reach = branch_radius + abs(offset)
    if not reach <= main_radius * (1.0 + _ROUNDING):
        over = reach - main_radius
        raise OutOfDomain(
            f"The branch of radius {branch_radius:g} mm, {abs(offset):g} mm off the middle, "
            f"reaches {over:g} mm past the side of the main tube of radius {main_radius:g} mm. "
            "Take a thinner branch or a smaller offset; a larger tube is cut to the smaller one.",
            name="offset" if branch_radius <= main_radius else "branch_radius",
        )
    across = branch_radius * np.sin(turns) + offset
    return np.asarray(np.sqrt(np.maximum(main_radius**2 - across**2, 0.0)))


def _sound(turns: ArrayLike) -> Ordinates:
    found = np.asarray(turns, dtype=np.float64)
    if not np.isfinite(found).all():
        raise OutOfDomain("A turn is not a number. Give angles round the tube.", name="turns")
    return found
