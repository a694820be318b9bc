"""Girths: what a drum measures round, along its middle, inside it and round its cap.

Room: shop. A curl is never quite round, but its girth is what it is. All
girths are true ones, as a tape without thickness would read them.
"""

from __future__ import annotations

import math

from foldwright.errors import OutOfDomain
from foldwright.plan.dual import Number


def neutral_girth(outside_d: Number, thickness: float) -> Number:
    """Length of sheet that closes to a drum end to end [mm].

    ::

        L = pi (D - t)

    Sheet curled far more gently than its thickness bends about its middle,
    and equal skins share the strain.

    Parameters
    ----------
    outside_d : float or Dual
        D, bare [mm].
    thickness : float
        t [mm].

    Examples
    --------
    >>> round(neutral_girth(220.0, 2.0), 2)
    684.87
    """
    return math.pi * (outside_d - thickness)


def lapped_length(outside_d: float, thickness: float, overlap: float) -> float:
    """Length of sheet that closes to a drum with its ends one over the other [mm].

    The outer end lies a thickness further out, all along the overlap, and the
    sheet climbs there from where it passes the inner end. The drum is as wide
    as asked where it is single::

        L = pi (D - t) + w + w t / R,   R = (D - t) / 2

    Parameters
    ----------
    outside_d, thickness : float
        D, t [mm].
    overlap : float
        w, along the middle of the inner end [mm], 0 or more.

    Raises
    ------
    OutOfDomain
        An overlap that is negative or goes half round.
    """
    radius = (outside_d - thickness) / 2.0
    if not 0.0 <= overlap < math.pi * radius:
        raise OutOfDomain(
            f"an overlap of {overlap:g} mm does not suit a drum of {outside_d:g} mm: 0 to "
            f"{math.pi * radius:.0f} mm, half round, can be lapped. Take about 20 mm.",
            name="overlap",
        )
    return math.tau * radius + overlap * (1.0 + thickness / radius)


def inside_girth(girth: float, thickness: float, coats: float = 0.0) -> float:
    """Girth of the inside of a drum [mm], from that of its outside.

    ::

        G_inside = G - 2 pi (t + c)

    Parameters
    ----------
    girth : float
        G, outside [mm].
    thickness : float
        t of the sheet [mm].
    coats : float
        c, thickness of all coats between where G was measured and the inside
        surface that counts: those inside, and those outside if G was measured over
        them [mm].

    Raises
    ------
    OutOfDomain
        Nothing is left inside, or a negative thickness.
    """
    if not (thickness >= 0.0 and coats >= 0.0):
        raise OutOfDomain(
            f"thickness {thickness:g} and coats {coats:g} mm have to be 0 or more. "
            "Check the readings.",
            name="thickness",
        )
    inside = girth - 2.0 * math.pi * (thickness + coats)
    if not 0.0 < inside < math.inf:
        raise OutOfDomain(
            f"a girth of {girth:g} mm round {thickness + coats:g} mm of wall leaves "
            "nothing inside. Check that it is a girth and no diameter.",
            name="girth",
        )
    return inside


def cap_d(inside_girth: float, gap: float, coat: float = 0.0) -> float:
    """Bare diameter of a round cap that slips into a drum of that inside girth [mm].

    A drum gives its shape to a stiff cap but not its girth::

        d = G_inside / pi - 2 (gap + coat)

    Parameters
    ----------
    inside_girth : float
        G_inside, finished [mm].
    gap : float
        Wanted between cap and drum, each side [mm]; negative for a press fit.
    coat : float
        That the cap will get on its edge [mm].

    Raises
    ------
    OutOfDomain
        A gap that leaves no cap, or a negative coat.
    """
    diameter = inside_girth / math.pi - 2.0 * (gap + coat)
    if not (coat >= 0.0 and 0.0 < diameter < math.inf):
        raise OutOfDomain(
            f"a gap of {gap:g} mm and a coat of {coat:g} mm leave no cap in a drum of "
            f"{inside_girth / math.pi:.1f} mm inside. Make them smaller.",
            name="gap",
        )
    return diameter
