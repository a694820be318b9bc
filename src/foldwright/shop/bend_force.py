"""Bend force: what it takes to fold, in a press or by hand.

Room: shop. Over a V the force depends on its opening; by hand on how far from
the fold one pushes.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from foldwright.shop.physical import require_above_zero

FORCE_FACTORS: Mapping[str, float] = MappingProxyType(
    {
        "vee": 1.33,  # pressed into a V, its opening from shoulder to shoulder
        "edge": 0.33,  # wiped down over an edge, the opening that of the gap to the punch
    }
)
"""K_bf by the way of bending."""


def press_force(
    width: float,
    thickness: float,
    tensile: float,
    opening: float,
    factor: float = FORCE_FACTORS["vee"],
) -> float:
    """Largest force while sheet is bent in a die [N].

    ::

        F = K_bf TS w t^2 / D

    Parameters
    ----------
    width : float
        w, along the fold [mm].
    thickness : float
        t [mm].
    tensile : float
        TS, tensile strength [MPa].
    opening : float
        D, of the die [mm].
    factor : float
        K_bf, one of `FORCE_FACTORS` [-].

    Raises
    ------
    OutOfDomain
        A figure that is not above 0.

    References
    ----------
    M. P. Groover, Fundamentals of Modern Manufacturing, chapter on sheet
    metalworking, bending force.

    Examples
    --------
    >>> round(press_force(44.5, 3.2, 450.0, 25.0))
    10909
    """
    require_above_zero(width, "the width of the fold", name="width")
    require_above_zero(thickness, "the thickness", name="thickness")
    require_above_zero(tensile, "the tensile strength", name="tensile", unit="MPa")
    require_above_zero(opening, "the opening of the die", name="opening")
    require_above_zero(factor, "the factor of the die", name="factor", unit="")
    return factor * tensile * width * thickness**2 / opening


def push_at(moment: float, width: float, lever: float) -> float:
    """Push by hand, square to the flange, that folds it: ``F = M w / a`` [N].

    Parameters
    ----------
    moment : float
        M of what bends [N mm per mm], from `springs.web_moment`.
    width, lever : float
        w, along the fold, and a, from the fold to where one pushes [mm].

    References
    ----------
    Lever.
    """
    require_above_zero(moment, "the moment", name="moment", unit="N")
    require_above_zero(width, "the width of the fold", name="width")
    require_above_zero(lever, "the lever", name="lever")
    return moment * width / lever
