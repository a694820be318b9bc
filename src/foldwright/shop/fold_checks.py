"""Fold checks: whether a fold that has been worked out can be held, drilled near and trusted.

Room: shop. A fold may be right on paper and still fail at the bench: a flange
too narrow to hold, a hole that the fold pulls oval, a skin near its limit, a
groove that shuts before the fold is where it should be held. Where no
standard speaks, the rules are those that shops print, marked as such.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from foldwright.errors import OutOfDomain
from foldwright.shop.grooves import SHUTTING_MARGIN
from foldwright.shop.materials import Board
from foldwright.shop.physical import require_above_zero, require_between
from foldwright.shop.sections import FoldSection

HOLDS: Mapping[str, float] = MappingProxyType(
    {
        "bar": 10.0,  # clamped under a bar, or between two
        "fingers": 25.0,
    }
)
"""Flat that has to be left of a flange to hold it [mm]; common practice, no source."""
# Sheet left beyond the shoulder of a V when the fold is made, in thicknesses, so that the
# edge does not slip in. Common practice, no source.
_BEYOND_SHOULDER = 1.0
# From where the bend begins to the edge of a hole, in thicknesses: round holes, large ones
# and slots. Shops print 1.5 to 3; common practice, no source.
_SMALL_HOLE, _LARGE_HOLE = 2.0, 3.0
_LARGE_FROM = 25.0  # mm; as above
# From the edge of a groove to the edge of a hole in board, in thicknesses; common practice,
# no source.
_HOLE_IN_BOARD = 1.0
# Share of what a skin takes from which a fold is near its limit.
NEAR = 0.8


def cut_top_width(thickness: float, web: float, cutter: float, floor: float) -> float:
    """Width of a groove or kerf on the face that it is cut from [mm].

    ::

        w = floor + 2 (t - web) tan(alpha/2)

    Parameters
    ----------
    thickness, web : float
        Of the board, and what is left [mm].
    cutter : float
        alpha, included angle [rad]; 0 for a saw.
    floor : float
        Flat of the cut [mm]; 0 for a sharp V.

    References
    ----------
    Plane trigonometry.

    Examples
    --------
    >>> round(cut_top_width(4.0, 0.8, math.radians(90), 0.0), 6)
    6.4
    """
    require_above_zero(thickness, "the thickness", name="thickness")
    require_between(web, 0.0, thickness, "the web", name="web")
    require_between(cutter, 0.0, math.radians(175.0), "the cutter", name="cutter", unit="deg")
    require_between(floor, 0.0, math.inf, "the floor", name="floor")
    return floor + 2.0 * (thickness - web) * math.tan(cutter / 2.0)


def least_flange(board: Board, section: FoldSection, hold: str = "fingers") -> float:
    """Least outside flange that can be held while it is folded by hand [mm].

    From the mould line to the free edge: the setback, what the cut takes of the
    inside face, and a flat to hold it by (`HOLDS`).

    Raises
    ------
    OutOfDomain
        A way of holding that is not known.

    References
    ----------
    Common practice, no source.
    """
    if hold not in HOLDS:
        raise OutOfDomain(
            f'a flange is not held by "{hold}". There are: {", ".join(HOLDS)}.', name="hold"
        )
    return section.setback + _flank(board, section) + HOLDS[hold]


def least_flange_in_vee(thickness: float, opening: float, turn: float) -> float:
    """Least outside flange for a bend that is pressed into a V [mm].

    When the bend is made, the flange still has to lie on the shoulder of the V,
    ``D / (2 cos(theta/2))`` from the mould line; one thickness more keeps the
    edge from slipping in.

    Parameters
    ----------
    thickness, opening : float
        t, and D from shoulder to shoulder [mm].
    turn : float
        theta [rad], 0 to 175 degrees.

    References
    ----------
    Plane trigonometry; for a right angle 0.7 D, as tables for press tools print
    it (value from memory, unchecked). The thickness more is common practice, no source.
    """
    require_above_zero(thickness, "the thickness", name="thickness")
    require_above_zero(opening, "the opening of the V", name="opening")
    require_between(turn, 0.0, math.radians(175.0), "the turn", name="turn", unit="deg")
    return opening / (2.0 * math.cos(turn / 2.0)) + _BEYOND_SHOULDER * thickness


def least_hole_distance(
    board: Board, section: FoldSection, hole: float, is_slot: bool = False
) -> float:
    """Least distance from the outside mould line to the edge of a hole [mm].

    In sheet that is bent, 2 thicknesses from where the bend begins, 3 for holes of
    25 mm and more and for slots along the fold; nearer, the hole is drawn oval. In
    board that is cut, one thickness from the edge of the cut on the inside face;
    nearer, what is left between them breaks out.

    Parameters
    ----------
    board : Board
    section : FoldSection
        Of the fold.
    hole : float
        Diameter, or width of a slot [mm].
    is_slot : bool
        Along the fold.

    References
    ----------
    Common practice, no source: shops print 1.5 to 3 thicknesses.
    """
    require_above_zero(hole, "the hole", name="hole")
    if section.cut_side != "none":
        return section.setback + _flank(board, section) + _HOLE_IN_BOARD * board.thickness
    clear = _LARGE_HOLE if is_slot or hole >= _LARGE_FROM else _SMALL_HOLE
    return section.setback + clear * board.thickness


@dataclass(frozen=True)
class SkinStrain:
    """How hard a fold stretches the skin.

    Attributes
    ----------
    strain : float
        Of the outer fibre [-].
    takes : float
        What the material takes in a fold, by its least bend radius [-].
    elongation : float
        At break in a tensile test, over 50 mm or so [-]; a fold stretches a
        millimetre or two, where metal takes more.
    """

    strain: float
    takes: float
    elongation: float

    @property
    def holds(self) -> bool:
        """Not above what the material takes."""
        return self.strain <= self.takes

    @property
    def verdict(self) -> str:
        """In words."""
        if not self.holds:
            return "the skin is likely to crack"
        if self.strain > NEAR * self.takes:
            return "near what the skin takes"
        if self.strain > self.elongation:
            return "within what the skin takes in a fold, past its elongation in a tensile test"
        return "well within what the skin takes"


def skin_strain(board: Board, section: FoldSection) -> SkinStrain:
    """Strain of the skin of a fold beside what its material takes."""
    return SkinStrain(section.strain, board.face.bend_strain, board.face.elongation.value)


def shutting_room(section: FoldSection) -> float:
    """Angle left between where a fold is held and where its cut shuts [rad].

    Negative if the cut shuts before; infinite if it never does. A degree should
    be left (`SHUTTING_MARGIN`).
    """
    each = section.turn_each
    return section.shuts_at - abs(each) - section.over_fold


def shuts_in_time(section: FoldSection) -> bool:
    """Whether a cut stays a degree open where the fold is held."""
    return shutting_room(section) >= SHUTTING_MARGIN


def _flank(board: Board, section: FoldSection) -> float:
    """How far a cut reaches beyond its zone on the inside face [mm]."""
    if section.cut_side != "inside":
        return 0.0
    top = cut_top_width(board.thickness, section.web, section.cutter, section.floor)
    return (top - section.floor) / 2.0
