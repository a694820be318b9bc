"""Movement: how sheet grows with heat and moisture, and what that does to a joint.

Room: shop. A length L grows by ``L (alpha dT + beta dm)``, with alpha the
expansion, beta the swelling, dT the change of temperature [K] and dm that of
moisture [per cent of the dry weight]. Two unlike sheets joined over a length
move apart unless something gives: a slot lets them slide (`slot`), a stiff
joint holds them level and strains both (`held`), and one glued all over bows
them (`bow`).

Start at `moves_apart`. Figures are those of a free, evenly warm sheet; thick
wood takes weeks to follow the air.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from foldwright.errors import OutOfDomain
from foldwright.shop.materials import Board, Matter
from foldwright.shop.physical import require_above_zero, require_between

# Further than this from the bench, figures of a handbook no longer hold [K], and
# sheet takes up no more moisture than this [%].
_WIDEST_SWING, _MOST_MOISTURE = 100.0, 30.0


@dataclass(frozen=True)
class Change:
    """A change of surroundings since a thing was made.

    Attributes
    ----------
    heat : float
        [K], negative when colder.
    moisture : float
        Taken up, in per cent of the dry weight; negative when given off.
    """

    heat: float = 0.0
    moisture: float = 0.0


@dataclass(frozen=True)
class Slot:
    """A slotted hole for a bolt that has to slide.

    Attributes
    ----------
    length : float
        Over the round ends [mm].
    width : float
        [mm]: the hole that the bolt would have otherwise.
    off_middle : float
        How far the bolt stands from the middle of the slot when the thing is
        made [mm], along the sheet from its fixed end; see `slot`.
    """

    length: float
    width: float
    off_middle: float


@dataclass(frozen=True)
class Held:
    """Two sheets of which each holds the other level.

    Attributes
    ----------
    force : float
        Per mm of width [N/mm]; pulls the first and presses the second if positive.
    first, second : float
        Stress in what is stiff of each (the skins of skinned board) [MPa], pull positive.
    """

    force: float
    first: float
    second: float


def expansion(board: Board) -> float:
    """Expansion of a board along itself [1/K]; in skinned board the skins pull the core.

    ::

        alpha = sum(E t alpha) / sum(E t)

    References
    ----------
    Balance of forces of layers that keep one length; any text on laminates.

    Examples
    --------
    >>> from foldwright.shop import boards
    >>> round(expansion(boards()["acp-3-0.5"]) * 1e6, 1)
    24.5
    """
    return _shared(board, expansion=True)


def swelling(board: Board) -> float:
    """Growth of a board along itself, as a share per per cent of moisture; as `expansion`."""
    return _shared(board, expansion=False)


def stretch_stiffness(board: Board) -> float:
    """Force per mm of width that stretches a board by its own length [N/mm]: sum(E t)."""
    require_above_zero(board.thickness, "the thickness", name="thickness")
    return sum(matter.modulus.value * t for matter, t in _layers(board))


def growth(board: Board, length: float, change: Change) -> float:
    """How much a board grows over a length when its surroundings change [mm].

    Parameters
    ----------
    board : Board
    length : float
        [mm], 0 or more.
    change : Change

    Raises
    ------
    OutOfDomain
        A length under 0, over 100 K, or over 30 per cent of moisture.

    Examples
    --------
    >>> from foldwright.shop import boards
    >>> round(growth(boards()["al-5754-H22"], 1000.0, Change(heat=30.0)), 3)
    0.711
    """
    require_between(length, 0.0, math.inf, "the length", name="length")
    return length * _strain(board, change)


def moves_apart(
    first: Board, second: Board, length: float, change: Change, second_change: Change | None = None
) -> float:
    """How much more the first grows than the second over a length [mm], by sign.

    Parameters
    ----------
    first, second : Board
    length : float
        From where they are fixed to one another [mm].
    change : Change
        Of the first; of the second too unless it has its own.
    second_change : Change, optional

    Raises
    ------
    OutOfDomain
        As `growth`.

    Examples
    --------
    >>> from foldwright.shop import boards
    >>> acrylic, steel = boards()["acrylic"], boards()["steel-DC01"]
    >>> round(moves_apart(acrylic, steel, 1000.0, Change(heat=20.0)), 2)
    1.16
    """
    other = change if second_change is None else second_change
    return growth(first, length, change) - growth(second, length, other)


def slot(hole: float, least: float, most: float) -> Slot:
    """Slotted hole that lets two sheets slide by all that they move apart.

    Parameters
    ----------
    hole : float
        Hole that the bolt would have otherwise [mm].
    least, most : float
        What they move apart at one extreme and at the other, by sign [mm],
        as they are on the day they are made 0: `least` 0 or less, `most` 0
        or more. The slot is in the sheet that grows more when positive; what it
        needs towards the fixed point is `most`, and away from it ``-least``.

    Raises
    ------
    OutOfDomain
        A hole that is none, or extremes on one side of 0.

    Examples
    --------
    >>> slot(5.5, -0.5, 1.5)
    Slot(length=7.5, width=5.5, off_middle=0.5)
    """
    require_above_zero(hole, "the hole", name="hole")
    require_between(least, -math.inf, 0.0, "the least movement", name="least")
    require_between(most, 0.0, math.inf, "the most movement", name="most")
    return Slot(hole + most - least, hole, (most + least) / 2.0)


def held(first: Board, second: Board, difference: float) -> Held:
    """Force and stress when two sheets cannot slide, and are kept from bowing.

    With the difference e of their free strains, first less second::

        N = -e / (1/(E t)_1 + 1/(E t)_2)

    Parameters
    ----------
    first, second : Board
        With their thicknesses.
    difference : float
        e [-].

    Raises
    ------
    OutOfDomain
        A board without a thickness.

    Notes
    -----
    Elastic, one way along the sheet. Thin sheet that is pressed buckles
    between its fastenings instead, and glue peels from its ends first.

    References
    ----------
    Two bars in parallel between rigid ends, elementary mechanics.
    """
    stiff, other = stretch_stiffness(first), stretch_stiffness(second)
    force = -difference / (1.0 / stiff + 1.0 / other)
    return Held(
        force=force,
        first=force / stiff * first.face.modulus.value,
        second=-force / other * second.face.modulus.value,
    )


def bow(first: Board, second: Board, length: float, difference: float) -> float:
    """How far two solid sheets glued all over bow out of a straight line [mm].

    With m and n the ratios of thickness and modulus of first to second, h both
    thicknesses and e the difference of their free strains::

        curvature = 6 e (1 + m)^2 / (h (3 (1 + m)^2 + (1 + m n)(m^2 + 1/(m n))))
        bow = curvature L^2 / 8

    Parameters
    ----------
    first, second : Board
        Solid, with their thicknesses.
    length : float
        L [mm].
    difference : float
        e, first less second [-]; the first is on the outside of the bow if positive.

    Raises
    ------
    OutOfDomain
        Skinned board, no thickness, or a length under 0.

    References
    ----------
    S. Timoshenko, Analysis of bi-metal thermostats, J. Opt. Soc. Am. 11
    (1925), pp. 233-255, eq. (4).
    """
    require_between(length, 0.0, math.inf, "the length", name="length")
    for board in (first, second):
        require_above_zero(board.thickness, "the thickness", name="thickness")
        if board.is_skinned:
            raise OutOfDomain(
                f"{board.what} has skins, and the bow of two layers is asked. Give solid sheet.",
                name="board",
            )
    m = first.thickness / second.thickness
    n = first.face.modulus.value / second.face.modulus.value
    both = first.thickness + second.thickness
    shape = 3.0 * (1.0 + m) ** 2 + (1.0 + m * n) * (m**2 + 1.0 / (m * n))
    return 6.0 * difference * (1.0 + m) ** 2 / (both * shape) * length**2 / 8.0


def _strain(board: Board, change: Change) -> float:
    require_between(
        change.heat, -_WIDEST_SWING, _WIDEST_SWING, "the change of temperature",
        name="heat", unit="K",
    )  # fmt: skip
    require_between(
        change.moisture, -_MOST_MOISTURE, _MOST_MOISTURE, "the change of moisture",
        name="moisture", unit="%",
    )  # fmt: skip
    return expansion(board) * change.heat + swelling(board) * change.moisture


def _shared(board: Board, *, expansion: bool) -> float:
    """Growth that the layers share, each pulling by its stiffness."""
    face = board.face.expansion if expansion else board.face.swelling
    if board.core is None:
        return face.value
    layers = _layers(board)
    pulls = [matter.modulus.value * t for matter, t in layers]
    growths = [(m.expansion if expansion else m.swelling).value for m, _ in layers]
    return math.fsum(p * g for p, g in zip(pulls, growths, strict=True)) / math.fsum(pulls)


def _layers(board: Board) -> tuple[tuple[Matter, float], ...]:
    if board.core is None:
        return ((board.face, board.thickness),)
    skins = 2.0 * board.skin_thickness
    return (board.face, skins), (board.core, board.thickness - skins)
