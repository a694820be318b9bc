"""Ties: what it takes to hold a curl shut that has sprung open.

Room: shop. A curl whose free radius is larger than wanted gapes. Pulled
together it bends elastically: the ring stays true only if its seam carries the
same bending moment as the rest, and the strip behind the seam has to. Straps
round it carry the force until then.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from foldwright.errors import OutOfDomain
from foldwright.shop.layers import Array, Numbers
from foldwright.shop.physical import require_above_zero

# Pull of a strap or of wire twisted by hand [N]; common practice, no source.
HAND_STRAP = 200.0
# Straps stand no further apart than this [mm]; common practice, no source.
_STRAP_PITCH = 150.0
# Free radius over the one wanted; above it the curl was not one.
_WIDEST = 2.0


@dataclass(frozen=True)
class Tie:
    """What holds a curl shut.

    Attributes
    ----------
    gap : float
        Between its ends when free, straight across [mm]; below 0 they overlap by so much.
    moment : float
        That the seam has to carry so that the ring is true [N mm per mm of seam];
        below 0 it holds the ring open.
    edge_force : float
        That pulls the ends together, along the skin, or the pull of straps all
        round [N per mm of seam].
    force : float
        The same for all of the seam [N].
    straps : int
        That carry `force`, at least two.
    """

    gap: float
    moment: float
    edge_force: float
    force: float
    straps: int


def closing_moment(rigidity: Numbers, free: Numbers, wanted: Numbers) -> Array:
    """Moment that brings a curl elastically from one curvature to another [N mm per mm].

    ::

        M = EI (K_wanted - K_free)
    """
    return np.asarray(rigidity * (np.asarray(wanted) - np.asarray(free)), dtype=float)


def edge_force(moment: Numbers, radius: Numbers) -> Array:
    """Force along the skin that shuts a curl, with nothing else to bend it [N per mm].

    With phi from the point opposite the seam, a force F at the ends bends the
    ring by ``F R (1 + cos phi)``. It shuts the gap that the even moment M
    would::

        3 pi F R^3 / EI = 2 pi R^2 M / EI,   F = 2 M / (3 R)

    A strap all round with a pull of F does the same. Opposite the seam the ring
    is then bent by 4/3 M.

    Parameters
    ----------
    moment : float or Array
        M, see `closing_moment` [N mm per mm].
    radius : float or Array
        R of the middle, shut [mm].

    Notes
    -----
    For small gaps. Large ones take less: 3 % less where the free radius is a
    tenth larger, 8 % where it is 1.4 times as large (integrated numerically).

    References
    ----------
    Energy method for thin curved bars, e.g. S. Timoshenko, Strength of Materials.
    """
    return np.asarray(2.0 * np.asarray(moment) / (3.0 * np.asarray(radius)), dtype=float)


def tie(
    rigidity: float,
    free_radius: float,
    wanted_radius: float,
    length: float,
    strap_force: float = HAND_STRAP,
) -> Tie:
    """What holds a curl shut.

    Parameters
    ----------
    rigidity : float
        EI [N mm2 per mm].
    free_radius, wanted_radius : float
        Of the middle [mm].
    length : float
        Of the seam [mm].
    strap_force : float
        Pull of one strap [N].

    Raises
    ------
    OutOfDomain
        A figure that is not above 0, or a curl more than twice as wide as wanted.

    Examples
    --------
    >>> shut = tie(25_600.0, 165.0, 149.0, 310.0)
    >>> round(shut.gap, 1), round(shut.force, 1), shut.straps
    (99.0, 23.1, 3)
    """
    require_above_zero(rigidity, "the rigidity", name="rigidity", unit="N mm")
    require_above_zero(free_radius, "the free radius", name="free_radius")
    require_above_zero(wanted_radius, "the wanted radius", name="wanted_radius")
    require_above_zero(length, "the length of the seam", name="length")
    require_above_zero(strap_force, "the pull of a strap", name="strap_force", unit="N")
    ratio = wanted_radius / free_radius
    if not 1.0 / _WIDEST <= ratio <= _WIDEST:
        raise OutOfDomain(
            f"a curl that is free at a radius of {free_radius:.0f} mm is too far from "
            f"{wanted_radius:.0f} mm to be tied; half to twice as wide can be. "
            "Curl it again over another pipe.",
            name="free_radius",
        )
    held = float(closing_moment(rigidity, 1.0 / free_radius, 1.0 / wanted_radius))
    pull = float(edge_force(abs(held), wanted_radius))
    # past one turn the ends pass each other, and what overlaps lies along the ring
    missing = math.pi * (1.0 - ratio)
    gap = 2.0 * free_radius * (math.sin(missing) if missing >= 0.0 else missing)
    straps = max(2, math.ceil(pull * length / strap_force), math.ceil(length / _STRAP_PITCH))
    return Tie(gap, held, pull, pull * length, straps)


def rivet_pull(moment: float, pitch: float, edge: float) -> float:
    """Pull on each rivet of a row beside a seam that carries a moment [N].

    The strip prys: it leans on its own edge and pulls on the rivet::

        P = M p / e

    Parameters
    ----------
    moment : float
        M that the seam carries [N mm per mm].
    pitch, edge : float
        p between rivets; e from rivet to the edge of the strip [mm].

    Raises
    ------
    OutOfDomain
        A distance that is not above 0.

    References
    ----------
    Lever, statics.
    """
    require_above_zero(pitch, "the pitch", name="pitch")
    require_above_zero(edge, "the edge distance", name="edge")
    return abs(moment) * pitch / edge
