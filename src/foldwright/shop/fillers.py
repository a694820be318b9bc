"""Fillers: how much of it open folds, butted seams and corners take.

Room: shop. Volumes reach up to the mould line, where the two outside faces
would meet; what is sanded off again comes on top.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from types import MappingProxyType

from foldwright.errors import OutOfDomain
from foldwright.shop.physical import require_above_zero, require_between
from foldwright.shop.seams import butt
from foldwright.shop.sections import FoldSection

# [kg/m3], mixed. Memory, unchecked; see the tin.
FILLER_DENSITIES: Mapping[str, float] = MappingProxyType(
    {"polyester": 1850.0, "light polyester": 1150.0, "epoxy with hollow beads": 700.0}
)
USUAL_FILLER = "polyester"
# What is spread and sanded off again, as a share of what stays. Common practice, no source.
SANDED_OFF = 0.3


def open_fold_area(section: FoldSection, thickness: float) -> float:
    """Area of the V of an open fold, filled to the mould line [mm2].

    ::

        (r + t)^2 c - (r + w)^2 theta / 2 + h^2 tan(alpha / 2),   c = tan(theta / 2), h = t - w

    the kite between the two faces and the bend's centre, less the sector of the
    web, more the slant of the cutter's two flanks.

    Parameters
    ----------
    section : FoldSection
        Cut from outside.
    thickness : float
        t of the board [mm].

    Raises
    ------
    OutOfDomain
        A fold that has no V on its outside.

    References
    ----------
    Plane geometry; verified by construction in the tests.
    """
    require_above_zero(thickness, "the board", name="thickness")
    if section.method != "open" or section.turn <= 0.0:
        raise OutOfDomain(
            f"A {section.method} fold of {math.degrees(section.turn):.0f} degrees is closed on its "
            'outside. Only a convex "open" fold takes filler there.',
            name="section",
        )
    theta, r, w = section.turn, section.inner_radius, section.web
    kite = (r + thickness) ** 2 * math.tan(theta / 2.0)
    web = (r + w) ** 2 * theta / 2.0
    slants = (thickness - w) ** 2 * math.tan(section.cutter / 2.0)
    return kite - web + slants


def butt_area(thickness: float, mate_thickness: float, dihedral: float) -> float:
    """Area of the V outside a butted seam, both edges square, filled to the mould line [mm2].

    ::

        (t_1 d_1 + t_2 d_2) / 2,  d the trims;  equal boards t^2 cot(phi / 2)

    Parameters
    ----------
    thickness, mate_thickness : float
        [mm].
    dihedral : float
        phi, interior [rad], under pi.

    Raises
    ------
    OutOfDomain
        No V there: flat, or past 180 degrees, where it is inside.

    Examples
    --------
    >>> round(butt_area(3.0, 3.0, math.pi / 2.0), 6)
    9.0
    """
    require_above_zero(thickness, "the board", name="thickness")
    require_above_zero(mate_thickness, "the board", name="mate_thickness")
    if not 0.0 < dihedral < math.pi:
        raise OutOfDomain(
            f"At {math.degrees(dihedral):.0f} degrees inside, a butted seam has no V outside; "
            "under 180 it has. Check which side is the inside.",
            name="dihedral",
        )
    one = butt(thickness, mate_thickness, dihedral)
    other = butt(mate_thickness, thickness, dihedral)
    return square_edge_area(thickness, one.trim) + square_edge_area(mate_thickness, other.trim)


def square_edge_area(thickness: float, trim: float) -> float:
    """Half of a butted seam's V: what one square edge leaves to its outside face [mm2].

    ::

        t d / 2

    the triangle between the edge, the face drawn out to the mould line, and
    the line from there to where the two insides meet.

    Parameters
    ----------
    thickness : float
        t of the board [mm].
    trim : float
        d, how far it stops short of the mould line [mm], 0 or more.

    References
    ----------
    Plane geometry.
    """
    require_above_zero(thickness, "the board", name="thickness")
    require_between(trim, 0.0, math.inf, "the trim", name="trim")
    return thickness * trim / 2.0


def star_volume(width: float, thickness: float) -> float:
    """Filler in a corner that stays open so wide [mm3]: as much as a round hole through the board.

    Common practice, no source.

    Parameters
    ----------
    width : float
        Largest distance across the opening [mm].
    thickness : float
        Of the board [mm].
    """
    require_between(width, 0.0, math.inf, "the opening", name="width")
    require_above_zero(thickness, "the board", name="thickness")
    return math.pi / 4.0 * width**2 * thickness


def filler_mass(volume: float, density: float) -> float:
    """Mass [kg] of a volume [mm3] of filler [kg/m3]."""
    require_between(volume, 0.0, math.inf, "the volume", name="volume", unit="mm3")
    require_above_zero(density, "the density", name="density", unit="kg/m3")
    return volume * 1e-9 * density
