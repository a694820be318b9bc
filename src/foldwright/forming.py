"""Forming: how a part is curled or pressed, from what is on the rack and what was measured.

The mechanics are those of `shop`; here they meet the plan: which pipes there are,
which tube a plug goes into, what its bore was read as. `make` asks for it, the
route sheet prints it, `check` warns by it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from foldwright.errors import OutOfDomain
from foldwright.plan import Drum, Hood, Plug, Tube
from foldwright.plan.dual import number
from foldwright.shape import bare_drum, hood_wall
from foldwright.shop import (
    Board,
    CurlHabit,
    FormerChoice,
    PressPlug,
    choose_former,
    curl_lengths,
    curl_steps,
    plan_press_plug,
    plug_remarks,
    plug_steps,
)

# A named pipe whose free curl is this far from its drum is worth a word, as a share.
_CURLED = ("curl", "let go", "open", "grip", "trim", "strip", "close", "round")
# A plug filed this far from what the tube asks for is worth a word [mm].
_OFF_SIZE = 0.03


@dataclass(frozen=True)
class Forming:
    """How a part is formed.

    Attributes
    ----------
    steps : tuple of (str, str)
        What each step is called, and what to do, in order.
    remarks : tuple of str
        About these very numbers.
    warnings : tuple of str
        Why it does not come out as the plan asks, and the nearest thing that does.
    spare : float
        Sheet to leave on at each end of a curled blank, to trim [mm].
    """

    steps: tuple[tuple[str, str], ...] = ()
    remarks: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()
    spare: float = 0.0


def form_drum(
    drum: Drum, board: Board, formers: Mapping[str, float], habit: CurlHabit | None
) -> Forming:
    """Curl a drum: over the pipe that the plan names, or the best one on the rack.

    Parameters
    ----------
    drum : Drum
    board : Board
        In its thickness.
    formers : Mapping of str to float
        Pipes on the rack by name, outside diameter [mm].
    habit : CurlHabit or None
        From a test curl of this board.

    Raises
    ------
    OutOfDomain
        A drum tighter than the board can be curled.
    """
    outside_d, length = (number(x) for x in bare_drum(drum, drum.values()))
    return _curled(board, outside_d, length, drum.former, formers, habit)


def form_hood(
    hood: Hood, board: Board, formers: Mapping[str, float], habit: CurlHabit | None
) -> Forming:
    """Curl a hood as the drum of the same curvature half-way up its wall.

    A cone bends about the line square to its skin: half-way up, the radius is that of
    the rims' mean over the cosine of the half angle. Towards the narrow rim the bites
    are closer together, towards the wide one further apart.
    """
    wall = hood_wall(hood, hood.values(), finished=False)
    rims = number(wall.bottom_d), number(wall.top_d)
    lean = abs(number(wall.lean))
    middle = (rims[0] + rims[1]) / 2.0 / math.cos(lean)
    found = _curled(board, middle, number(wall.slant), "", formers, habit)
    low, high = sorted(rims)
    fan = (
        "Lay the pipe along the straight lines of the cone, which all point at its tip, and "
        f"press most at the narrow rim: it ends at {low:.0f} mm outside and the wide one at "
        f"{high:.0f}. Diameters named here are half-way up, across the skin."
    )
    return Forming(found.steps, (*found.remarks, fan), found.warnings, found.spare)


def form_plug(
    plug: Plug,
    tube: Tube | None,
    metals: tuple[Board, Board] | None,
    bores: Sequence[float],
) -> Forming:
    """File and press a plug into its tube.

    Parameters
    ----------
    plug : Plug
    tube : Tube or None
        The tube that the plan has it pressed into, if it says so.
    metals : (Board, Board) or None
        What tube and plug are of.
    bores : sequence of float
        Readings of the bore [mm]; as drawn where there are none.
    """
    if tube is None or metals is None:
        return Forming()
    if tube.square:
        return Forming(remarks=("In square tube only the corners hold a plug: glue it.",))
    drawn = tube.across - 2.0 * tube.thickness
    values = plug.values()
    hole = number(plug.bolt_d.value(values)) if plug.bolt_d is not None else 0.0
    try:
        plan = plan_press_plug(
            tuple(bores) or drawn,
            tube.thickness,
            number(plug.length.value(values)),
            tube=metals[0].face,
            plug=metals[1].face,
            hole=hole,
        )
    except OutOfDomain as fault:
        return Forming(warnings=(f"It cannot be pressed in: {fault}",))
    steps = tuple((f"plug {i}", words) for i, words in enumerate(plug_steps(plan), 1))
    return Forming(steps, plug_remarks(plan), _off_size(plug, plan, bool(bores)))


def _off_size(plug: Plug, plan: PressPlug, is_measured: bool) -> tuple[str, ...]:
    asked = number(plug.diameter.value(plug.values()))
    if abs(asked - plan.diameter) <= _OFF_SIZE:
        return ()
    of = "the bore as measured" if is_measured else "the bore as drawn"
    return (
        f"The plan files it to {asked:.2f} mm; {of}, {plan.bore.diameter:.2f} mm, asks for "
        f"{plan.diameter:.2f}.",
    )


def _curled(
    board: Board,
    outside_d: float,
    length: float,
    named: str,
    formers: Mapping[str, float],
    habit: CurlHabit | None,
) -> Forming:
    pipes = [formers[named]] if named else list(formers.values())
    choice = choose_former(board, outside_d, pipes, habit=habit)
    if choice.former_d == 0.0:
        needs_one = choice.buy_from > 0.0
        return Forming(
            steps=(("curl", choice.why),),
            remarks=choice.remarks,
            warnings=(choice.why,) if needs_one else (),
        )
    lengths = curl_lengths(board, outside_d, length, choice, habit)
    steps = curl_steps(outside_d, length, choice, lengths)
    return Forming(
        tuple((step.name, step.words) for step in steps if step.name in _CURLED),
        (choice.why, *choice.remarks, *_unsure(choice, habit)),
        _better_pipe(board, outside_d, named, choice, formers, habit),
        lengths.allowance,
    )


def _unsure(choice: FormerChoice, habit: CurlHabit | None) -> tuple[str, ...]:
    if habit is not None:
        return ()
    return (
        f"The free curl is known to {choice.free_spread:.1f} mm from tables. One test curl over "
        "any pipe makes it four times as sure: see test-curl of the ready reckoner.",
    )


def _better_pipe(
    board: Board,
    outside_d: float,
    named: str,
    choice: FormerChoice,
    formers: Mapping[str, float],
    habit: CurlHabit | None,
) -> tuple[str, ...]:
    """Say so when another pipe on the rack does what the named one does not."""
    if not named or choice.case == "right":
        return ()
    best = choose_former(board, outside_d, list(formers.values()), habit=habit)
    if best.case != "right" or best.former_d == choice.former_d:
        return ()
    other = next(name for name, d in formers.items() if d == best.former_d)
    return (
        f"Over {named} it has to be {_what(choice)}; {other} would spring to "
        f"{best.free_d:.0f} mm by itself.",
    )


def _what(choice: FormerChoice) -> str:
    return "opened again" if choice.case == "open again" else choice.case.replace("tie", "tied")
