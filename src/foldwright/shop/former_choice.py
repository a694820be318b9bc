"""Choice of a former for one drum, in words.

Room: shop. `choose_former` says which pipe of the rack to curl a drum over,
why, what to do when it is let go, how sure that is, and which pipe to look for
where none will do. The mechanics are those of `formers`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from foldwright.errors import OutOfDomain
from foldwright.shop.board_sections import section_of
from foldwright.shop.curl_habits import CurlHabit, table_habit
from foldwright.shop.curls import check_curl, may_tear, may_wrinkle, tightest_curl
from foldwright.shop.formers import (
    CASES,
    NEAR_ENOUGH,
    NO_PIPE,
    NONE,
    OPEN_AGAIN,
    RIGHT,
    TIE_SHUT,
    Choices,
    choose_formers,
    former_for,
    sprung_d,
)
from foldwright.shop.layers import Layers, moment
from foldwright.shop.materials import Board
from foldwright.shop.physical import require_above_zero

# Tied with straps alone a ring is bent by this times the even moment opposite its seam.
_OPPOSITE = 4.0 / 3.0
_FAR_TOO_WIDE = 1e3


@dataclass(frozen=True)
class FormerChoice:
    """Which pipe to curl one drum over, and what to do then.

    Attributes
    ----------
    case : str
        One of `CASES`.
    former_d : float
        Pipe [mm]; 0 for "none" and "no pipe needed", as are the next three.
    free_d, free_spread : float
        Outside of the free curl, and one standard deviation of it by the yield
        alone [mm].
    open_to_d : float
        Outside diameter to open the curl to before it is let go again [mm]; 0 in the
        other cases. Infinite: open it flat. Below 0: past flat, to so much the other way.
    buy_from, buy_to : float
        Pipes between these spring to the drum as they are, near enough [mm]; 0 if none
        is needed.
    why : str
        One sentence: why this pipe.
    remarks : tuple of str
        What the board will not like, and which pipes were left out.
    """

    case: str
    former_d: float
    free_d: float
    free_spread: float
    open_to_d: float
    buy_from: float
    buy_to: float
    why: str
    remarks: tuple[str, ...]


def choose_former(
    board: Board,
    outside_d: float,
    formers: Sequence[float] = (),
    *,
    habit: CurlHabit | None = None,
    near_enough: float = NEAR_ENOUGH,
) -> FormerChoice:
    """Which pipe to curl a drum over, and what to do then.

    Parameters
    ----------
    board : Board
        With a thickness.
    outside_d : float
        Of the drum, bare [mm].
    formers : sequence of float
        Pipes on hand, outside [mm]; may be empty: then it says what to buy.
    habit : CurlHabit, optional
        From a test curl; the table's yield if left out.
    near_enough : float
        How far a free curl may be from its drum and still closes by hand, as a
        share of the diameter.

    Raises
    ------
    OutOfDomain
        A drum tighter than the board can be curled, or a pipe that is none.

    Examples
    --------
    >>> from foldwright.shop import boards
    >>> choice = choose_former(boards()["acp-2-0.2"], 220.0, [114.3, 160.0, 180.0])
    >>> choice.case, choice.former_d, round(choice.free_d)
    ('right', 180.0, 224)
    """
    _refuse_what_is_none(outside_d, formers, near_enough)
    known = table_habit(board) if habit is None else habit
    section = section_of(board, known.factor)
    check_curl(board, outside_d)
    t, tightest = board.thickness, tightest_curl(board)
    wanted = 2.0 / (outside_d - t)
    least = 2.0 * tightest - t
    span = (outside_d - t) * np.array([1.0 - near_enough, 1.0 + near_enough]) + t
    buy_from, buy_to = (max(float(pipe), least) for pipe in former_for(section, t, span))
    remarks = _left_out(board, formers, least)
    # an empty rack stands as one pipe so wide that nothing is curled over it
    rack = formers or [_FAR_TOO_WIDE * outside_d]
    chosen = choose_formers(section, t, outside_d, rack, tightest=tightest, near_enough=near_enough)
    case = CASES[int(chosen.case)]
    if case == NO_PIPE:
        why = _no_pipe_why(section, outside_d, wanted)
        return FormerChoice(NO_PIPE, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, why, ())
    if case == NONE:
        why = _none_why(board, section, formers, buy_from, buy_to)
        return FormerChoice(NONE, 0.0, 0.0, 0.0, 0.0, buy_from, buy_to, why, remarks)
    pipe = float(formers[int(chosen.pick)])
    sprung = 2.0 / float(chosen.free) + t
    return FormerChoice(
        case,
        pipe,
        sprung,
        free_spread(board, pipe, known),
        _opened_d(float(chosen.open_to), t) if case == OPEN_AGAIN else 0.0,
        buy_from,
        buy_to,
        former_why(case, pipe, sprung, outside_d),
        (*remarks, *_strained(board, (pipe + t) / 2.0), *_uneven(section, chosen, wanted)),
    )


def _refuse_what_is_none(outside_d: float, formers: Sequence[float], near_enough: float) -> None:
    require_above_zero(outside_d, "the drum", name="outside_d")
    for pipe in formers:
        require_above_zero(pipe, "a pipe", name="formers")
    if not 0.0 < near_enough < 1.0:
        raise OutOfDomain(
            f"near enough is {near_enough:g}; it is a share above 0 and below 1. Take 0.02.",
            name="near_enough",
        )


def _opened_d(curvature: float, thickness: float) -> float:
    """Outside diameter of an opened curl [mm]; below 0 it is curled the other way."""
    if curvature == 0.0:
        return math.inf
    return 2.0 / curvature + math.copysign(thickness, curvature)


def free_spread(board: Board, former_d: float, habit: CurlHabit) -> float:
    """One standard deviation of the diameter that a curl springs to, by its yield alone [mm].

    Half the difference between a yield one standard deviation up and one down.
    Infinite where the upper one leaves it flat.
    """
    yields = habit.factor * (1.0 + habit.spread * np.array([-1.0, 1.0]))
    section = section_of(board, np.maximum(yields, 1e-3 * habit.factor))
    low, high = (float(d) for d in sprung_d(section, board.thickness, former_d))
    return (high - low) / 2.0


def former_why(case: str, pipe: float, sprung: float, drum: float) -> str:
    """One sentence on why a pipe was chosen: pipe, free curl and drum, outside [mm]."""
    if case == RIGHT:
        return f"Over {pipe:g} mm it springs to {sprung:.0f} mm, near enough to {drum:.1f} mm."
    if case == TIE_SHUT:
        return (
            f"Over {pipe:g} mm it springs to {sprung:.0f} mm, wider than {drum:.1f} mm by "
            f"{100.0 * (sprung / drum - 1.0):.0f} in 100: tie it shut and rivet it so."
        )
    return (
        f"Over {pipe:g} mm, the best on hand, it springs to {sprung:.0f} mm only. Open the curl "
        f"again to reach {drum:.1f} mm."
    )


def _no_pipe_why(section: Layers, drum: float, wanted: float) -> str:
    held = float(moment(section, wanted))
    return (
        f"At {drum:.1f} mm this board does not yield: no pipe is needed. Pull it round its caps or "
        f"ribs; the seam has to carry {held:.0f} N mm on each millimetre."
    )


def _none_why(
    board: Board, section: Layers, formers: Sequence[float], buy_from: float, buy_to: float
) -> str:
    wanted = f"a pipe between {buy_from:.0f} and {buy_to:.0f} mm outside"
    if not formers:
        return f"No pipe is on the rack: find {wanted}."
    takes = 2.0 / float(section.yield_curvature) - board.thickness
    if min(formers) >= takes:
        return (
            f"Over {min(formers):g} mm and more this board springs back flat; it takes a curl "
            f"below {takes:.0f} mm. Find {wanted}."
        )
    return f"Over none of the pipes does it curl so far that it could be tied shut: find {wanted}."


def _left_out(board: Board, formers: Sequence[float], least: float) -> tuple[str, ...]:
    """Which pipes are smaller than the least that the board takes."""
    small = [f"{pipe:g}" for pipe in formers if pipe < least * (1.0 - 1e-12)]
    if not small:
        return ()
    return (
        f"Over {', '.join(small)} mm the skin would tear: this board takes {least:.0f} mm or more.",
    )


def _uneven(section: Layers, chosen: Choices, wanted: float) -> tuple[str, ...]:
    """Whether straps alone would bend the ring further than the pipe did, opposite its seam."""
    lack = max(wanted - float(chosen.free), 0.0)
    if _OPPOSITE * float(section.rigidity) * lack <= float(moment(section, chosen.bent)):
        return ()
    return (
        "Straps alone would bend it opposite the seam further than the pipe did, and leave it "
        "egg-shaped: tie it round its cap or a rib at each end.",
    )


def _strained(board: Board, radius: float) -> tuple[str, ...]:
    """What the board will not like over a pipe, by the radius of its middle."""
    said = []
    if may_tear(board, radius):
        said.append(
            f"Over that pipe the skin is stretched by {50.0 * board.thickness / radius:.1f} in "
            "100, past what its table is sure of: curl an offcut first."
        )
    if may_wrinkle(board, radius):
        said.append(
            "So tight, the inner skin may wrinkle, and creases first at the free edges: small "
            "bites, a batten along each rim, an offcut first."
        )
    return tuple(said)
