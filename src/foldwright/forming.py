"""Forming: how a part is curled, pressed or folded, from the rack and what was measured.

The mechanics are those of `shop`; here they meet the plan: which pipes there are,
which tube a plug goes into, what its bore was read as. `make` asks for it, the
route sheet prints it, `check` warns by it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial

from foldwright.errors import OutOfDomain
from foldwright.flat import Pattern
from foldwright.forming_folds import form_folds
from foldwright.plan import Drum, Hood, Plug, Tube
from foldwright.plan.dual import number
from foldwright.shape import bare_drum, hood_wall
from foldwright.sheet import Gap, filling, filling_mass, gaps_of, mixed
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
from foldwright.shop.bolts import engagement_to_break
from foldwright.shop.former_choice import former_why
from foldwright.shop.plug_bores import JAWS_READ_LOW
from foldwright.shop.threads import property_class, thread_after_drill

# A named pipe whose free curl is this far from its drum is worth a word, as a share.
_CURLED = ("curl", "let go", "open", "grip", "trim", "strip", "close", "round")
# Filler that needs no measuring [mm3].
_DAB = 300.0
# Class of the bolts that are at hand; common practice, no source.
_BOLT = "8.8"
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
        What to leave on at each end, to trim: of a curled blank, of a plug [mm].
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
    lean, mean = abs(number(wall.lean)), sum(rims) / 2.0

    def across(outside_d: float) -> float:
        """Diameter half-way up of a sheet curled to another one square to its skin [mm].

        The sheet stays the same fan: its middle stays as far from the tip, at s, and
        ``r = s sin(atan(R / s))`` with R the radius square to the skin.
        """
        return outside_d / math.hypot(1.0, outside_d * math.sin(lean) / mean)

    found = _curled(board, mean / math.cos(lean), number(wall.slant), "", formers, habit, across)
    low, high = sorted(rims)
    fan = (
        "Lay the pipe along the straight lines of the cone, which all point at its tip, and "
        f"press most at the narrow rim: it ends at {low:.0f} mm outside and the wide one at "
        f"{high:.0f} mm. What is named beside is half-way up, straight across; the strip alone "
        "is measured square to its skin."
    )
    return Forming(found.steps, (*found.remarks, fan), found.warnings, found.spare)


def form_folded(pattern: Pattern, boards: Mapping[str, Board]) -> Forming:
    """Fold a part, and fill what its folds, seams and corners leave open.

    Parameters
    ----------
    pattern : Pattern
    boards : Mapping of str to Board
        By name of the stock, each in its thickness.
    """
    warnings, remarks = form_folds(pattern.pieces, boards)
    return Forming(_filled(gaps_of(pattern, boards)), remarks, warnings)


def _filled(gaps: tuple[Gap, ...]) -> tuple[tuple[str, str], ...]:
    """Step of filling, if there is anything to fill."""
    if not gaps:
        return ()
    stays = filling(gaps)
    what = " and ".join(_gap_in_words(gap) for gap in gaps)
    mix = mixed(stays)
    much = (
        f"About {stays * 1e-3:.1f} cm³ stay; mix {mix * 1e-3:.1f} cm³ "
        f"({1e3 * filling_mass(mix):.0f} g)."
        if stays > _DAB
        else "A dab does it."
    )
    words = f"Fill {what}, a little proud, in layers of 3 mm at most; sand level when hard. {much}"
    return (("fill", words),)


def _gap_in_words(gap: Gap) -> str:
    names = sorted(gap.names, key=lambda name: (len(name), name))
    match gap.what:
        case "open fold":
            said = "the open folds" if len(names) > 1 else "the open fold"
            return f"{said} {', '.join(name.replace('_', ' ') for name in names)}"
        case "butted seam":
            said = "the V of seams" if len(names) > 1 else "the V of seam"
            return f"{said} {', '.join(names)}"
        case _:
            return "the open corners"


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
    values = plug.values()
    length = number(plug.length.value(values))
    hole = number(plug.bolt_d.value(values)) if plug.bolt_d is not None else 0.0
    tap, hold = _tapped(hole, length, metals[1] if metals else None)
    by_hand = _filed(plug, hole)
    if tube is None or metals is None:
        press = ("plug", "Press it in square, a soft block between.")
        return Forming((by_hand, press, *tap), hold)
    if tube.square:
        glue = ("glue", "Glue it in: in square tube only its corners touch.")
        return Forming((by_hand, glue, *tap), hold)
    drawn = tube.across - 2.0 * tube.thickness
    planned = partial(
        plan_press_plug,
        tuple(bores) or drawn,
        tube.thickness,
        length,
        tube=metals[0].face,
        plug=metals[1].face,
        hole=hole,
        jaws_low=JAWS_READ_LOW if bores else 0.0,  # a drawing is not read by jaws
    )
    asked = number(plug.diameter.value(values))
    try:
        plan = planned()
        if _is_on_size(asked, plan):  # one sheet, one diameter: the one that it is measured by
            plan = planned(over_bore=asked - plan.bore.diameter)
    except OutOfDomain as fault:
        return Forming((by_hand, *tap), hold, (f"It cannot be pressed in: {fault}",))
    steps = tuple((f"plug {i}", words) for i, words in enumerate(plug_steps(plan), 1))
    remarks, off = (*plug_remarks(plan), *hold), _off_size(asked, plan, bool(bores))
    return Forming((*steps, *tap), remarks, off, plan.trim)


def _filed(plug: Plug, hole: float) -> tuple[str, str]:
    """Step of making a plug to the plan's diameter."""
    drilled = f", and drill it {hole:g} mm along its axis" if hole else ""
    return (
        "file",
        f"File it round to {number(plug.diameter.value(plug.values())):.2f} mm{drilled}.",
    )


def _tapped(
    hole: float, length: float, metal: Board | None
) -> tuple[tuple[tuple[str, str], ...], tuple[str, ...]]:
    """Step of tapping a plug whose hole is a tapping drill, and how well that holds."""
    thread = thread_after_drill(hole) if hole > 0.0 else None
    if thread is None:
        return (), ()
    steps = (
        (
            "tap",
            f"Once the plug is in, tap its hole {thread.name}, right through {length:.1f} mm: "
            "square to the end, oil, half a turn back for every turn.",
        ),
    )
    if metal is None:
        return steps, ()
    steel = property_class(_BOLT, thread.nominal)
    needed = engagement_to_break(thread, steel.tensile, metal.face.tensile.value)
    if needed <= length:
        holds = f"an {_BOLT} bolt breaks before its thread strips, which takes {needed:.1f} mm"
    else:
        holds = (
            f"the thread strips before an {_BOLT} bolt breaks, which would take {needed:.1f} mm; "
            "tighten gently"
        )
    return steps, (f"{thread.name}, {length:.1f} mm deep: {holds}.",)


def _is_on_size(asked: float, plan: PressPlug) -> bool:
    return abs(asked - plan.diameter) <= _OFF_SIZE


def _off_size(asked: float, plan: PressPlug, is_measured: bool) -> tuple[str, ...]:
    if _is_on_size(asked, plan):
        return ()
    of = "the bore as measured" if is_measured else "the bore as drawn"
    return (
        f"The plan files it to {asked:.2f} mm; {of}, {plan.bore.diameter:.2f} mm, asks for "
        f"{plan.diameter:.2f} mm.",
    )


def _curled(
    board: Board,
    outside_d: float,
    length: float,
    named: str,
    formers: Mapping[str, float],
    habit: CurlHabit | None,
    across: Callable[[float], float] | None = None,
) -> Forming:
    """Curl to a diameter; `across` makes of it what is measured, where that is another."""
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
    better = _better_pipe(board, outside_d, named, choice, formers, habit)
    if across is not None:
        choice, outside_d = _measured(choice, outside_d, across), across(outside_d)
    steps = curl_steps(outside_d, length, choice, lengths)
    return Forming(
        tuple((step.name, step.words) for step in steps if step.name in _CURLED),
        (choice.why, *choice.remarks, *_unsure(choice, habit)),
        better,
        lengths.allowance,
    )


def _measured(
    choice: FormerChoice, outside_d: float, across: Callable[[float], float]
) -> FormerChoice:
    """Choice in diameters as they are measured."""
    free, opened = across(choice.free_d), choice.open_to_d
    if math.isfinite(opened):
        opened = math.copysign(across(abs(opened)), opened)
    return replace(
        choice,
        free_d=free,
        # across(d) = d / (1 + (d/2s)^2)^(1/2), whose slope is its ratio cubed
        free_spread=choice.free_spread * (free / choice.free_d) ** 3,
        open_to_d=opened,
        why=former_why(choice.case, choice.former_d, free, across(outside_d)),
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
