"""Sectors: what a cone unrolls to.

Room: flat. A right cone frustum unrolls to the sector of a ring about the tip
of the cone; `rounds` draws hoods with it, and a maker may ask for the bare
numbers (`cone_blank`). Board has a thickness: the sector is that of the cone
through its middle, which neither stretches nor shrinks.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from foldwright.errors import OutOfDomain
from foldwright.plan.dual import number
from foldwright.shape.hoods import lean_and_slant
from foldwright.shop.physical import require_above_zero, require_between

# Rims that differ by less than this make no cone that anyone could measure, and
# its sector would be struck from a centre kilometres away [mm].
HARDLY_A_CONE = 0.02


@dataclass(frozen=True)
class RingSector:
    """Sector of a ring: `outer` and `inner` radius [mm], `angle` [rad], below a full turn."""

    outer: float
    inner: float
    angle: float

    @property
    def area(self) -> float:
        """Area [mm2]."""
        return self.angle / 2.0 * (self.outer**2 - self.inner**2)

    @property
    def outer_chord(self) -> float:
        """Straight across between the ends of the outer arc [mm]; sets the angle by rule."""
        return 2.0 * self.outer * math.sin(self.angle / 2.0)


@dataclass(frozen=True)
class ConeBlank:
    """Blank of a cone: its sector, half angle of the cone [rad], length along the outside [mm]."""

    sector: RingSector
    half_angle: float
    slant: float


def ring_sector(large_radius: float, small_radius: float, half_angle: float) -> RingSector:
    """Sector that the frustum between two circles of a cone unrolls to.

    ::

        rho = r / sin b       r a rim's radius on the cone, b the half angle
        sector = 2 pi sin b   always under a full turn, since b is under 90 degrees

    Parameters
    ----------
    large_radius, small_radius : float
        r of both rims [mm]; the small one may be 0.
    half_angle : float
        b [rad], above 0, below pi/2.

    References
    ----------
    Plane geometry, in any text on sheet-metal pattern drafting.
    """
    slope = math.sin(half_angle)
    return RingSector(large_radius / slope, small_radius / slope, math.tau * slope)


def sector_angle(apex_angle: float) -> float:
    """Angle of the sector that a full cone unrolls to [rad].

    Parameters
    ----------
    apex_angle : float
        Between opposite sides at the tip [rad], above 0, below pi.

    Raises
    ------
    OutOfDomain
        No cone.

    Examples
    --------
    >>> round(math.degrees(sector_angle(math.radians(60.0))), 9)
    180.0
    """
    require_between(apex_angle, 0.0, math.pi, "the apex angle", name="apex_angle", unit="deg")
    if apex_angle in (0.0, math.pi):
        raise OutOfDomain(
            "At 0 degrees a cone is a line, at 180 a disc. Give an apex angle between.",
            name="apex_angle",
        )
    return ring_sector(1.0, 0.0, apex_angle / 2.0).angle


def middle_radius(outside_d: float, thickness: float, lean: float) -> float:
    """Radius at which the middle of a board ends [mm], at a rim of `outside_d` cut square."""
    return outside_d / 2.0 - thickness / 2.0 * math.cos(lean)


def cone_blank(
    large_d: float, small_d: float, height: float, *, thickness: float = 0.0
) -> ConeBlank:
    """Blank of a right cone or frustum, ends cut square to the sheet.

    Parameters
    ----------
    large_d, small_d : float
        Outside diameters of the rims [mm]; small_d 0 for a full cone of thin stuff.
    height : float
        Over all, rim to rim [mm], more than `thickness`.
    thickness : float
        Of the sheet [mm]; 0 for paper and for surfaces.

    Returns
    -------
    ConeBlank

    Raises
    ------
    OutOfDomain
        No height, equal rims, or a rim narrower than the sheet is thick.

    References
    ----------
    As `ring_sector`; the lean of a wall with thickness as in `foldwright.shape.hoods`.

    Examples
    --------
    A reducer between pipes of 8 and 5 in, 4 in long:

    >>> blank = cone_blank(203.2, 127.0, 101.6)
    >>> round(blank.sector.outer, 1), round(math.degrees(blank.sector.angle), 1)
    (289.4, 126.4)
    """
    require_above_zero(large_d, "the large diameter", name="large_d")
    require_between(small_d, 0.0, math.inf, "the small diameter", name="small_d")
    require_between(thickness, 0.0, math.inf, "the thickness", name="thickness")
    require_above_zero(height, "the height", name="height")
    if not height > thickness:
        raise OutOfDomain(
            f"The cone is {height:g} mm high, no more than its sheet is thick. "
            "Cut a flat ring instead, or make it higher.",
            name="height",
        )
    if large_d - small_d < HARDLY_A_CONE:
        raise OutOfDomain(
            f"The large diameter is {large_d:g} mm and the small one {small_d:g}; a cone needs a "
            "large one that is larger. Equal ones make a cylinder, whose blank is a rectangle "
            "pi times the mean diameter long.",
            name="small_d",
        )
    lean, slant = (number(x) for x in lean_and_slant(large_d, small_d, height, thickness))
    large, small = (middle_radius(d, thickness, lean) for d in (large_d, small_d))
    if small < 0.0:
        raise OutOfDomain(
            f"The small rim is {small_d:g} mm across, less than the sheet of {thickness:g} mm "
            "closes at. Make it wider, or take thinner sheet.",
            name="small_d",
        )
    return ConeBlank(ring_sector(large, small, lean), lean, slant)
