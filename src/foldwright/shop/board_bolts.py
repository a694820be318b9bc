"""Bolts in board: how hard a soft core lets you tighten, and what tears through.

Room: shop. A washer on skinned board presses a ring of core; past the core's
yield it sinks in and the bolt is loose. Pulled hard, it shears a disc out of
the skin. A *spreader* is a large washer or plate that makes the ring larger.

The skin spreads the load a little past the rim of the washer. That is not
counted, so all here is on the safe side.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from foldwright.errors import OutOfDomain
from foldwright.shop.materials import Board, Matter
from foldwright.shop.physical import require_above_zero, require_between
from foldwright.shop.preload import tightening_torque

# Of the core's yield: plastics go on giving under a load that stays, and the
# figures scatter. Common practice, no source.
CRUSH_SHARE = 0.5
# How many times the pull a skin has to stand; common practice, no source.
PULL_RESERVE = 2.0
# Shear strength of what is punched, as a share of its tensile strength.
_PUNCH_SHARE = 0.6


def pressed_matter(board: Board) -> Matter:
    """What gives way first under a washer: the core, or solid sheet itself."""
    return board.core or board.face


def washer_ring(washer_d: float, hole_d: float) -> float:
    """Area under a washer round its hole [mm2].

    Raises
    ------
    OutOfDomain
        A washer that falls through its hole.
    """
    require_above_zero(hole_d, "the hole", name="hole_d")
    if not (math.isfinite(washer_d) and washer_d > hole_d):
        raise OutOfDomain(
            f"A washer of {washer_d:g} mm does not cover a hole of {hole_d:g} mm. "
            "Use a larger washer.",
            name="washer_d",
        )
    return math.pi / 4.0 * (washer_d**2 - hole_d**2)


def crushing_load(board: Board, washer_d: float, hole_d: float) -> float:
    """Pull of the bolt at which the core begins to yield [N]: yield times ring."""
    return pressed_matter(board).proof.value * washer_ring(washer_d, hole_d)


def washer_for(board: Board, pull: float, hole_d: float) -> float:
    """Least washer that keeps the core under half its yield [mm].

    ::

        D = sqrt(hole^2 + 4 F / (pi share sigma))
    """
    require_between(pull, 0.0, math.inf, "the pull", name="pull", unit="N")
    require_above_zero(hole_d, "the hole", name="hole_d")
    pressure = CRUSH_SHARE * pressed_matter(board).proof.value
    return math.sqrt(hole_d**2 + 4.0 * pull / (math.pi * pressure))


def pull_through_load(board: Board, washer_d: float) -> float:
    """Pull at which a disc as wide as the washer shears out [N].

    ::

        F = 0.6 pi D t Rm,  t the skin under the washer, or the whole of a solid sheet

    The core and the far skin hold on for longer; they are not counted.

    References
    ----------
    EN 1993-1-8:2005, Table 3.4, punching shear resistance, without partial factor.
    """
    require_above_zero(washer_d, "the washer", name="washer_d")
    thickness = board.skin_thickness if board.is_skinned else board.thickness
    require_above_zero(thickness, "the skin", name="board")
    return _PUNCH_SHARE * math.pi * washer_d * thickness * board.face.tensile.value


def spreader_for(board: Board, pull: float, hole_d: float) -> float:
    """Least spreader for a pull across the board [mm].

    The core stays under half its yield, and the skin shears at twice the pull
    at the earliest.
    """
    sheared = pull / pull_through_load(board, 1.0)
    return max(washer_for(board, pull, hole_d), PULL_RESERVE * sheared)


def spreader_thickness(
    washer_d: float, head_d: float, pressure: float, spreader_yield: float
) -> float:
    """Thickness at which a spreader does not bend up round the head [mm].

    What stands out past the head is a strip that the board bends up by an even
    pressure::

        t = (D - s) / 2 * sqrt(3 p / sigma_y)

    Parameters
    ----------
    washer_d : float
        D [mm].
    head_d : float
        s, of the head that presses on it [mm].
    pressure : float
        p [MPa].
    spreader_yield : float
        sigma_y [MPa].

    Notes
    -----
    A strip bends more than a ring, so this is on the safe side.
    """
    require_above_zero(head_d, "the head", name="head_d")
    require_above_zero(spreader_yield, "the yield", name="spreader_yield", unit="MPa")
    require_between(pressure, 0.0, math.inf, "the pressure", name="pressure", unit="MPa")
    return max(0.0, (washer_d - head_d) / 2.0) * math.sqrt(3.0 * pressure / spreader_yield)


@dataclass(frozen=True)
class BoltInBoard:
    """A bolt through board under a washer: loads [N], torque [N mm], sizes [mm].

    `preload` and `torque` keep the core under half its yield and the bolt to its
    own preload; `crushes` is at the core's yield. `edge` is from the middle of
    the bolt to the edge of the board.
    """

    preload: float
    torque: float
    crushes: float
    pulls_through: float
    edge: float


def bolt_in_board(
    board: Board,
    nominal: float,
    hole_d: float,
    washer_d: float,
    torque_factor: float,
    most_preload: float = math.inf,
) -> BoltInBoard:
    """Work out what a bolt with its washer may do to a board.

    Parameters
    ----------
    board : Board
    nominal, hole_d, washer_d : float
        Of the bolt, its hole and its washer [mm].
    torque_factor : float
        K [-].
    most_preload : float
        What the bolt itself may be tightened to [N].

    Raises
    ------
    OutOfDomain
        Sizes that do not go into one another, or a board without thickness.
    """
    if nominal > hole_d:
        raise OutOfDomain(
            f"A bolt of {nominal:g} mm does not go into a hole of {hole_d:g} mm. "
            "Drill the clearance hole of the table.",
            name="hole_d",
        )
    crushes = crushing_load(board, washer_d, hole_d)
    preload = min(CRUSH_SHARE * crushes, most_preload)
    return BoltInBoard(
        preload=preload,
        torque=tightening_torque(nominal, preload, torque_factor),
        crushes=crushes,
        pulls_through=pull_through_load(board, washer_d),
        # the whole of the ring on board, and a hole's width beyond it
        edge=washer_d / 2.0 + hole_d,
    )
