"""Habits of a board: what one test curl says of its yield.

Room: shop. Of all that decides where a curl springs to, the yield is known
worst: tables give a least or a typical value, and a sheet has its own. One
curl over any pipe, let go and measured, tells it; `CurlHabit` keeps that as a
factor on the yields of the table, and everything about curls takes one.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from foldwright.errors import OutOfDomain
from foldwright.shop.board_sections import section_of
from foldwright.shop.layers import free_curvature, moment, yield_factor
from foldwright.shop.materials import Board
from foldwright.shop.physical import require_above_zero, require_between

# How far the yield strays within a sheet and from sheet to sheet of one lot, one
# standard deviation as a share: common practice, no source.
_WITHIN_LOT = 0.03
# How well a free curl is measured, as a share of its diameter: the mean of three
# directions, and bites that leave it not quite round. Common practice, no source.
FREE_D_SPREAD = 0.008
# Curvature that sheet has before it is curled, one standard deviation [1/mm]: 1 mm of bow in
# half a metre. Common practice, no source.
_BOW = 8.0 * 1.0 / 500.0**2
# A reading that leaves the yield less sure than this share says nothing of it.
_TELLS_NOTHING = 0.5
# A table that is off by more than this is no table of this board.
_LEAST_FACTOR, _MOST_FACTOR = 0.3, 3.0


@dataclass(frozen=True)
class CurlHabit:
    """Yield of a board over that of the table.

    Attributes
    ----------
    factor : float
        On the yield of every layer [-].
    spread : float
        One standard deviation of `factor`, as a share of it [-].
    """

    factor: float
    spread: float


def table_habit(board: Board) -> CurlHabit:
    """Habit of a board that nobody has tried: the table's yield, as sure as the table is."""
    return CurlHabit(1.0, board.face.proof.spread)


def yield_from_test_curl(
    board: Board, former_d: float, free_d: float, free_d_spread: float | None = None
) -> CurlHabit:
    """Yield of a board from one curl that was let go.

    The moment over the former follows from how far the curl sprang; the
    yields are scaled until the section needs that moment::

        M = EI (K_former - K_free)

    Parameters
    ----------
    board : Board
        With a thickness.
    former_d : float
        Outside of the pipe that it was curled over [mm].
    free_d : float
        Outside of the free curl, the mean of three directions [mm].
    free_d_spread : float, optional
        One standard deviation of `free_d` [mm]; 0.8 per cent of it if left out.

    Returns
    -------
    CurlHabit
        Its spread has the reading's and what a lot of sheets strays by.

    Raises
    ------
    OutOfDomain
        A curl that is no wider than its pipe allows, that did not take, or that no
        board like this would give.

    Examples
    --------
    >>> from foldwright.shop import boards
    >>> habit = yield_from_test_curl(boards()["acp-2-0.2"], 230.0, 310.0)
    >>> round(habit.factor, 3), round(habit.spread, 3)
    (1.12, 0.043)
    """
    require_above_zero(former_d, "the pipe", name="former_d")
    require_above_zero(free_d, "the free curl", name="free_d")
    section = section_of(board)
    _refuse_what_no_curl_gives(board, former_d, free_d)
    bent, left = 2.0 / (former_d + board.thickness), 2.0 / (free_d - board.thickness)
    rigidity = float(section.rigidity)
    factor = float(yield_factor(section, bent, rigidity * (bent - left)))
    read = FREE_D_SPREAD * free_d if free_d_spread is None else free_d_spread
    require_between(read, 0.0, math.inf, "the spread of the reading", name="free_d_spread")
    # how far the moment, and with it the factor, moves with the reading
    unsure = math.hypot(left**2 / 2.0 * read, _BOW)
    off = rigidity * unsure / _gain(board, bent, factor)
    if off > _TELLS_NOTHING * factor:
        raise _hardly_taken(board, former_d, free_d)
    return CurlHabit(factor, math.hypot(off / factor, _WITHIN_LOT))


def _refuse_what_no_curl_gives(board: Board, former_d: float, free_d: float) -> None:
    t = board.thickness
    if free_d - 2.0 * t <= former_d:
        raise OutOfDomain(
            f"a curl {free_d:.1f} mm outside is {free_d - 2.0 * t:.1f} mm inside, no wider than "
            f"the {former_d:.1f} mm pipe: every sheet springs open. Measure the curl outside, in "
            "three directions, and the pipe outside.",
            name="free_d",
        )
    bent, left = 2.0 / (former_d + t), 2.0 / (free_d - t)
    elastic = float(free_curvature(section_of(board, _MOST_FACTOR), bent))
    stiffest = float(free_curvature(section_of(board, _LEAST_FACTOR), bent))
    if left <= elastic:
        raise _hardly_taken(board, former_d, free_d)
    if stiffest == 0.0:
        raise OutOfDomain(
            f"over {former_d:.0f} mm no {board.what} like this yields, so a curl over it cannot "
            f"stand at {free_d:.0f} mm. Check pipe and board, or curl over a pipe of "
            f"{_telling_pipe(board):.0f} mm or less.",
            name="former_d",
        )
    if left >= stiffest:
        raise OutOfDomain(
            f"a curl over {former_d:.0f} mm springs further than to {free_d:.1f} mm in any "
            f"{board.what}: {2.0 / stiffest + t:.1f} mm at the least. Measure pipe and curl again, "
            "and check the board.",
            name="free_d",
        )


def _gain(board: Board, curvature: float, factor: float) -> float:
    """Slope of the moment against the factor [N mm per mm]."""
    step = 1e-4 * factor
    high, low = (float(moment(section_of(board, factor + d), curvature)) for d in (step, -step))
    return max((high - low) / (2.0 * step), 1e-9)


def _hardly_taken(board: Board, former_d: float, free_d: float) -> OutOfDomain:
    return OutOfDomain(
        f"a curl over {former_d:.0f} mm that springs to {free_d:.0f} mm has hardly taken, and "
        f"tells nothing of the yield. Curl over a pipe of {_telling_pipe(board):.0f} mm or less.",
        name="free_d",
    )


def _telling_pipe(board: Board) -> float:
    """Pipe over which a board is bent to three times its first yield [mm]."""
    return 2.0 / (3.0 * float(section_of(board).yield_curvature))
