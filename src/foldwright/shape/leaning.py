"""Leaning sides: hoppers and mitred rings of boards, as a saw and a protractor see them.

Room: shape. Both are tapers, built by the very planes and corners that a taper
of a plan is drawn from; here they answer for bare sizes.

*Pitch* is how steep a side stands: 0 lies flat, 90 degrees is upright.
The *mitre* of a mitred side turns the saw's fence away from square, the
*bevel* tilts its blade.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from foldwright.plan.dual import number
from foldwright.shape.outline import Corner
from foldwright.shape.solid import Solid
from foldwright.shape.tapers import Sides, sides_between, slant, taper_solid
from foldwright.shop import mitre
from foldwright.shop.physical import require_above_zero, require_between, require_whole

# Sides that lie flatter than this are one flat frame: no plane of theirs meets another [rad].
_FLAT = 1e-6
_BOARD = 1.0  # mm; two equal boards have the same bevel whatever their thickness
_MOST_SIDES = 360  # of which each turns by a degree; a cone is curled before that
_HOPPER_SIDES = ("front", "right", "back", "left")


@dataclass(frozen=True)
class Hopper:
    """Angles and lengths of a truncated rectangular pyramid; angles between faces are interior.

    Attributes
    ----------
    corner : float
        Between neighbouring walls [rad].
    base_x, base_y : float
        Between base and the walls that end it along x, along y [rad].
    slant_x, slant_y : float
        Up those walls, square to their lower edge [mm].
    edge : float
        Along the corner [mm].
    """

    corner: float
    base_x: float
    base_y: float
    slant_x: float
    slant_y: float
    edge: float

    @property
    def top_x(self) -> float:
        """Between the top and the walls that end it along x [rad]."""
        return math.pi - self.base_x

    @property
    def top_y(self) -> float:
        """Between the top and the walls that end it along y [rad]."""
        return math.pi - self.base_y


@dataclass(frozen=True)
class MitredSide:
    """Saw settings of one side of a ring of equal boards [rad].

    Attributes
    ----------
    mitre : float
        Fence from square.
    bevel : float
        Blade from square.
    dihedral : float
        Interior angle between neighbouring sides, as a sliding bevel takes it off.
    """

    mitre: float
    bevel: float
    dihedral: float


def hopper(base_x: float, base_y: float, top_x: float, top_y: float, height: float) -> Hopper:
    """Angles and lengths of a hopper, top above the middle of the base.

    Parameters
    ----------
    base_x, base_y, top_x, top_y : float
        Outside sizes of base and top [mm]; either may be the larger, and the top may
        be 0: a pyramid, or a roof with a ridge.
    height : float
        Between them, square [mm].

    Returns
    -------
    Hopper

    Raises
    ------
    OutOfDomain
        A base or height that is not above 0, or a negative top.

    References
    ----------
    By coordinates; closed form ``cos(corner) = -cos(ax) cos(ay)``, ax = atan(2 h/(A - a)),
    in texts on sheet-metal pattern drafting.

    Examples
    --------
    >>> found = hopper(300.0, 200.0, 250.0, 100.0, 60.0)
    >>> round(math.degrees(found.corner), 4), round(found.slant_x, 6)
    (104.2542, 65.0)
    >>> round(math.degrees(hopper(100.0, 100.0, 0.0, 0.0, 50.0).corner), 6)
    120.0
    """
    for value, what, name in (
        (base_x, "the base along x", "base_x"),
        (base_y, "the base along y", "base_y"),
        (height, "the height", "height"),
    ):
        require_above_zero(value, what, name=name)
    require_between(top_x, 0.0, math.inf, "the top along x", name="top_x")
    require_between(top_y, 0.0, math.inf, "the top along y", name="top_y")
    if top_x == 0.0 or top_y == 0.0:
        return _pointed(base_x, base_y, top_x, top_y, height)
    sides = sides_between(_rectangle(base_x, base_y), _rectangle(top_x, top_y), height)
    body = taper_solid(_HOPPER_SIDES, sides, frozenset())
    return Hopper(
        corner=_dihedral(body, "front", "right"),
        base_x=_dihedral(body, "bottom", "right"),
        base_y=_dihedral(body, "bottom", "front"),
        slant_x=number(slant(sides, _HOPPER_SIDES.index("right"))),
        slant_y=number(slant(sides, _HOPPER_SIDES.index("front"))),
        edge=_corner_edge(sides),
    )


def _pointed(base_x: float, base_y: float, top_x: float, top_y: float, height: float) -> Hopper:
    """Angles and lengths of a pyramid or a roof, read off its lower half, whose top has edges."""
    half = hopper(base_x, base_y, (base_x + top_x) / 2.0, (base_y + top_y) / 2.0, height / 2.0)
    return replace(
        half, slant_x=2.0 * half.slant_x, slant_y=2.0 * half.slant_y, edge=2.0 * half.edge
    )


def mitred_side(sides: int, pitch: float) -> MitredSide:
    """Saw settings for a ring of equal boards that all lean by the same pitch.

    Parameters
    ----------
    sides : int
        How many, 3 or more.
    pitch : float
        From lying flat to upright [rad], 0 to pi/2. Leaning out or in is the same
        sum, with the board turned over.

    Returns
    -------
    MitredSide

    Raises
    ------
    OutOfDomain
        Fewer than 3 sides or more than 360, or a pitch past upright.

    Notes
    -----
    The mitre is that of the board's face, the bevel is tilted from square to it.

    References
    ----------
    By coordinates; closed form ``M = atan(cos p tan(180/n))``, ``B = asin(sin p sin(180/n))``,
    as in the compound-angle charts of mitre saws.

    Examples
    --------
    >>> found = mitred_side(4, math.radians(45.0))
    >>> round(math.degrees(found.mitre), 2), round(math.degrees(found.bevel), 2)
    (35.26, 30.0)
    """
    count = require_whole(sides, 3, "the number of sides", name="sides", most=_MOST_SIDES)
    require_between(pitch, 0.0, math.pi / 2.0, "the pitch", name="pitch", unit="deg")
    if pitch < _FLAT:
        return MitredSide(math.pi / count, 0.0, math.pi)
    # a board one long up its slope, on a ring that it cannot close
    low, high = 2.0, 2.0 - math.cos(pitch)
    ring = sides_between(_regular(count, low), _regular(count, high), math.sin(pitch))
    names = [str(i) for i in range(count)]
    body = taper_solid(names, ring, frozenset())
    dihedral = _dihedral(body, names[0], names[1])
    loop = body.corners(body.face(names[0]))
    base, leg = loop[1] - loop[0], loop[2] - loop[1]
    along = float(base @ leg) / math.hypot(*base)
    # the fence turns by what the end of the board is off square
    off_square = math.atan2(abs(along), number(slant(ring, 0)))
    return MitredSide(off_square, mitre(_BOARD, _BOARD, dihedral).bevel, dihedral)


def _rectangle(x: float, y: float) -> list[Corner]:
    return [(-x / 2.0, -y / 2.0), (x / 2.0, -y / 2.0), (x / 2.0, y / 2.0), (-x / 2.0, y / 2.0)]


def _regular(count: int, inradius: float) -> list[Corner]:
    """Regular polygon about the origin, anticlockwise."""
    reach, step = inradius / math.cos(math.pi / count), math.tau / count
    return [(reach * math.cos(i * step), reach * math.sin(i * step)) for i in range(count)]


def _dihedral(body: Solid, one: str, other: str) -> float:
    pair = {one, other}
    return next(edge.dihedral for edge in body.edges() if {edge.left, edge.right} == pair)


def _corner_edge(sides: Sides) -> float:
    """Length of the corner between the first two sides [mm]."""
    low, high = (tuple(number(x) for x in ring[1]) for ring in (sides.lower, sides.upper))
    return math.dist(low, high)
