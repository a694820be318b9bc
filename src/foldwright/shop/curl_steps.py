"""Steps of a curl: from the blank to a drum that is round, with every length.

Room: shop. `curl_lengths` works out what has to be measured or marked: the
flat ends and the allowance for them, the bites, the strip behind the seam, its
rivets and the straps. `curl_steps` puts them in order, in words.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from foldwright.errors import OutOfDomain
from foldwright.plan.dual import number
from foldwright.shop.board_sections import section_of
from foldwright.shop.curl_habits import CurlHabit, table_habit
from foldwright.shop.former_choice import FormerChoice
from foldwright.shop.formers import OPEN_AGAIN, OPENING_SPREAD, RIGHT, TIE_SHUT
from foldwright.shop.girths import neutral_girth
from foldwright.shop.layers import moment
from foldwright.shop.materials import Board
from foldwright.shop.physical import require_above_zero
from foldwright.shop.ties import Tie, rivet_pull, tie

# All of these are common practice, no source.
_HANDS = 300.0  # N that two hands press along an edge
_BATTEN = 20.0  # mm of sheet that a pair of battens grips, as a lever for the end
_BITES = (10.0, 15.0)  # mm, least and most from press to press
_FACET = 0.1  # mm that the flats between bites may stand off the round
_ROUND_UP = 5.0  # mm, to which an allowance is rounded up
_EDGE = 10.0  # mm from rivet to edge: three diameters of a 3.2 rivet
_PITCH = 50.0  # mm between rivets or clamps, at most
_STRAIGHT_EDGE = 300.0  # mm, laid across what is less than half a round
_HALF_ROUND = 2.0  # times the drum: opened further, the blank goes less than half way round


@dataclass(frozen=True)
class CurlLengths:
    """What is measured or marked while a drum is curled.

    Attributes
    ----------
    girth : float
        Blank round the drum, trimmed [mm].
    allowance : float
        Left at each end for the flat that cannot be bent, and trimmed [mm].
    blank : float
        Cut: girth and both allowances [mm].
    battens : bool
        The ends want a pair of battens as a lever; hands alone would leave more flat.
    bite, bites : float, int
        From press to press [mm], and how many.
    strip_width, strip_length, strip_d : float
        Strip behind the seam; curled to this outside diameter [mm].
    edge : float
        From the seam, and from the edge of the strip, to the rivets [mm].
    pitch, rivets : float, int
        Between rivets or clamps [mm]; in each of the two rows.
    rivet_pull : float
        On each rivet by what the seam carries [N].
    tie : Tie or None
        What holds it shut meanwhile; None for a curl that is opened again.
    """

    girth: float
    allowance: float
    blank: float
    battens: bool
    bite: float
    bites: int
    strip_width: float
    strip_length: float
    strip_d: float
    edge: float
    pitch: float
    rivets: int
    rivet_pull: float
    tie: Tie | None


@dataclass(frozen=True)
class CurlStep:
    """One step: `name` for programs, `words` for the maker, `length` that it works to [mm].

    That of "open" may be infinite or below 0; see `FormerChoice.open_to_d`.
    """

    name: str
    words: str
    length: float


def flat_end(board: Board, former_d: float, width: float, habit: CurlHabit | None = None) -> float:
    """Length at the end of a blank that hands cannot bend round a pipe [mm].

    A push P at the very edge bends by ``P x`` at x from it, and reaches the
    moment M over the pipe only at::

        x = M w / P

    Parameters
    ----------
    board : Board
    former_d : float
        Pipe, outside [mm].
    width : float
        w, of the blank along the pipe [mm].
    habit : CurlHabit, optional
        From a test curl.

    References
    ----------
    Statics; the push of two hands, 300 N, is common practice, no source.
    """
    require_above_zero(former_d, "the pipe", name="former_d")
    require_above_zero(width, "the length of the drum", name="length")
    known = table_habit(board) if habit is None else habit
    section = section_of(board, known.factor)
    return float(moment(section, 2.0 / (former_d + board.thickness))) * width / _HANDS


def curl_lengths(
    board: Board,
    outside_d: float,
    length: float,
    choice: FormerChoice,
    habit: CurlHabit | None = None,
) -> CurlLengths:
    """What is measured or marked while a drum is curled.

    Parameters
    ----------
    board : Board
    outside_d, length : float
        Of the drum, bare [mm].
    choice : FormerChoice
        Of `choose_former` for the same drum, with a pipe.
    habit : CurlHabit, optional
        The one that the former was chosen with.

    Raises
    ------
    OutOfDomain
        No former was chosen, or a length that is not above 0.
    """
    require_above_zero(length, "the length of the drum", name="length")
    if choice.former_d == 0.0:
        raise OutOfDomain(f"there is no pipe to curl over. {choice.why}", name="formers")
    t = board.thickness
    girth = number(neutral_girth(outside_d, t))
    flat = flat_end(board, choice.former_d, length, habit)
    allowance = _ROUND_UP * math.ceil(min(flat, _BATTEN) / _ROUND_UP)
    radius = (choice.former_d + t) / 2.0
    bite = min(max(math.sqrt(8.0 * radius * _FACET), _BITES[0]), _BITES[1])
    # between the outermost two; a rim hardly longer than two edges takes one in the middle
    row = length - 2.0 * _EDGE if length >= 3.0 * _EDGE else 0.0
    rivets = math.ceil(row / _PITCH) + 1
    pitch = row / (rivets - 1) if rivets > 1 else length
    shut = None
    if choice.case in (RIGHT, TIE_SHUT):
        known = table_habit(board) if habit is None else habit
        rigidity = float(section_of(board, known.factor).rigidity)
        shut = tie(rigidity, (choice.free_d - t) / 2.0, (outside_d - t) / 2.0, length)
    return CurlLengths(
        girth=girth,
        allowance=allowance,
        blank=girth + 2.0 * allowance,
        battens=flat > _BATTEN,
        bite=math.floor(bite),
        bites=math.ceil(girth / math.floor(bite)),
        strip_width=4.0 * _EDGE,
        strip_length=length,
        strip_d=outside_d - 2.0 * t,
        edge=_EDGE,
        pitch=pitch,
        rivets=rivets,
        rivet_pull=rivet_pull(shut.moment, pitch, _EDGE) if shut else 0.0,
        tie=shut,
    )


def curl_steps(
    outside_d: float, length: float, choice: FormerChoice, lengths: CurlLengths
) -> tuple[CurlStep, ...]:
    """Put the steps of a drum in order, in words.

    Parameters
    ----------
    outside_d, length : float
        Of the drum, bare [mm].
    choice : FormerChoice
    lengths : CurlLengths
        Of `curl_lengths`.
    """
    n = lengths
    ends = f"{n.allowance:.0f} mm at each end"
    grip = (
        f"Clamp the last {n.allowance:.0f} mm of each end between two battens in turn, as a lever; "
        "what they grip stays flat and is trimmed later."
        if n.battens
        else f"The last {n.allowance:.0f} mm of each end cannot be bent by hand and stay flat; "
        "they are trimmed later."
    )
    return (
        CurlStep(
            "cut",
            f"Cut the blank {n.blank:.1f} mm round by {length:.1f} mm: {n.girth:.1f} mm and "
            f"{ends} to trim.",
            n.blank,
        ),
        CurlStep(
            "mark",
            f"Mark the trim lines, {n.girth:.1f} mm apart, square to the rims; from the middle "
            f"mark a line every {n.bite:.0f} mm.",
            n.bite,
        ),
        CurlStep("grip", grip, n.allowance),
        CurlStep(
            "curl",
            f"Curl it over the {choice.former_d:g} mm pipe, line by line from both ends to the "
            f"middle, each bite of {n.bite:.0f} mm pressed until it lies on the pipe."
            f"{_rolled_up(choice, n)}",
            n.bite,
        ),
        CurlStep(
            "let go",
            f"Let it go. Bent evenly it stands near {choice.free_d:.0f} mm outside; measure three "
            "directions between the flat ends.",
            choice.free_d,
        ),
        *_opening(outside_d, choice),
        CurlStep(
            "trim",
            "Trim both ends at their lines, square, and file them.",
            n.girth,
        ),
        _strip(n),
        _closing(outside_d, choice, n),
        CurlStep(
            "round",
            "Round it: press what stands out over the pipe, little by little, until three "
            f"diameters agree within {max(1.0, 0.005 * outside_d):.0f} mm. A tape round the "
            f"outside reads {math.pi * outside_d:.1f} mm and three times its own thickness; a cap "
            "or a rib at each end holds the drum round.",
            outside_d,
        ),
    )


def _rolled_up(choice: FormerChoice, n: CurlLengths) -> str:
    """What to do where half the blank would go round more than once."""
    if n.girth / 2.0 < math.pi * choice.former_d:
        return ""
    return (
        " It would roll up on itself: curl a quarter of the blank at a time, and open that before "
        "the next."
    )


def _rise(chord: float, diameter: float) -> float:
    """Height of an arc over its chord [mm]: Pythagoras."""
    return (diameter - math.sqrt(diameter**2 - chord**2)) / 2.0


def _opening(outside_d: float, choice: FormerChoice) -> tuple[CurlStep, ...]:
    if choice.case != OPEN_AGAIN:
        return ()
    again = (
        "let go and measure; open it a little further each time until it closes to "
        f"{outside_d:.0f} mm. How far differs by {100.0 * OPENING_SPREAD:.0f} in 100 from board to "
        "board, so stay short at first."
    )
    if choice.open_to_d == math.inf:
        to = "until it is flat"
    elif choice.open_to_d < 0.0:
        to = f"past flat, the other way to {-choice.open_to_d:.0f} mm outside"
    elif choice.open_to_d > _HALF_ROUND * outside_d:
        edge = min(_STRAIGHT_EDGE, outside_d)
        to = (
            f"until a straight edge {edge:.0f} mm long across its inside shows "
            f"{_rise(edge, choice.open_to_d):.0f} mm of light in the middle"
        )
    else:
        to = f"to {choice.open_to_d:.0f} mm outside"
    return (
        CurlStep("open", f"Open the curl evenly, bite by bite, {to}, {again}", choice.open_to_d),
    )


def _strip(n: CurlLengths) -> CurlStep:
    return CurlStep(
        "strip",
        f"Curl a strip {n.strip_width:.0f} mm wide and {n.strip_length:.0f} mm long (less where a "
        f"cap goes in) to {n.strip_d:.0f} mm outside, so that it lies close inside the drum, "
        "and fix it behind one end, half its width past it.",
        n.strip_width,
    )


def _closing(outside_d: float, choice: FormerChoice, n: CurlLengths) -> CurlStep:
    row = f"{n.rivets} in each, {n.pitch:.0f} mm apart" if n.rivets > 1 else "one in each"
    rows = (
        "Glue or rivet the other end to the strip: a row on each side, "
        f"{n.edge:.0f} mm from the seam, {row}."
    )
    if n.tie is None or choice.case == RIGHT:
        return CurlStep("close", f"Bring the ends together until they butt. {rows}", 0.0)
    return CurlStep(
        "close",
        f"It gapes by about {max(n.tie.gap, 0.0):.0f} mm. Draw it together with {n.tie.straps} "
        f"straps, {n.tie.force:.0f} N in all, and check that the ends butt. {rows} Each rivet is "
        f"then pulled by {n.rivet_pull:.0f} N; glue alone may peel.",
        max(n.tie.gap, 0.0),
    )
