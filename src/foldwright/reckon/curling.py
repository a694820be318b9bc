"""Reckoners of curling: which pipe, where it springs to, what a test curl says.

Room: reckon. All diameters are outside ones, bare, unless they say otherwise. What
a drum is cut from, tied with and closed by is in `drums`, and listed here too.
"""

from __future__ import annotations

import math
from dataclasses import replace

from foldwright.errors import OutOfDomain
from foldwright.reckon.definition import Answer, Input, Line, Reckoner
from foldwright.reckon.drums import DRUM, DRUMS, FREE, FREE_SPREAD, SPRING_CAUTION, STRAP_CAUTION
from foldwright.reckon.sheet_inputs import BOARD, EDGE_CAUTION, THICKNESS, measured
from foldwright.shop import Board, Matter
from foldwright.shop.board_sections import section_of
from foldwright.shop.curl_habits import CurlHabit, table_habit, yield_from_test_curl
from foldwright.shop.curl_steps import curl_lengths, curl_steps
from foldwright.shop.former_choice import choose_former
from foldwright.shop.formers import OPEN_AGAIN, OPENING_SPREAD, former_for, sprung_d
from foldwright.shop.layers import (
    PLANE_STRAIN_YIELD,
    Layers,
    loaded_curvature,
    stress_at,
)
from foldwright.shop.physical import require_above_zero, require_between
from foldwright.shop.springback import sprung_angle

# Yield of a lot over that of another of the same board: past these a figure is mistyped.
# Common practice, no source.
_LOTS = (0.3, 3.0)
_NEARLY_FLAT = 20.0  # times the pipe; nobody measures such a curl across
_MOMENT = (
    "M = sum of 2 [E K (c^3 - a^3)/3 + (1 - E_t/E) Y (b^2 - c^2)/2 + E_t K (b^3 - c^3)/3] over "
    "layers a to b from the middle, c = clip(Y/(E K), a, b); K_free = K - M/EI"
)
_MOMENT_SOURCE = (
    "plane sections, elastic layers that yield and harden: texts on plastic bending, e.g. Gere and "
    "Goodno, Mechanics of Materials; plane strain as Hosford and Caddell, Metal Forming"
)
_MOMENT_DOMAIN = (
    "metal and skinned board much wider than thick, bent evenly; the yield decides, and a test "
    "curl tells it better than any table. Plastics, wood and card creep: curl those warm or damp"
)


def _former(
    *,
    board: Board,
    thickness: float | None,
    outside_d: float,
    formers: tuple[float, ...] | None,
    length: float,
    test_former: float | None,
    test_free: float | None,
    lot: float,
) -> Answer:
    sheet = measured(board, thickness)
    habit = _habit(sheet, test_former, test_free, lot)
    rack = formers or ()
    choice = choose_former(sheet, outside_d, rack, habit=habit)
    section = section_of(sheet, habit.factor)
    lines = [
        Line("case", "the pipe is", _CASES[choice.case]),
        Line(
            "pipe_wanted",
            "pipe that would do by itself",
            float(former_for(section, sheet.thickness, outside_d)),
            "mm",
        ),
    ]
    if choice.former_d > 0.0:
        lines.insert(0, Line("use", "curl it over the pipe of", f"{choice.former_d:g} mm"))
    # each pipe has its own line, so that its spread is that of one pipe and not of the choice
    for i, pipe in enumerate(rack):
        sprung = float(sprung_d(section, sheet.thickness, pipe))
        what = f"over {pipe:g} mm it springs to"
        name = f"free_d_{i + 1}"
        if sprung <= _NEARLY_FLAT * pipe:
            lines.append(Line(name, what, sprung, "mm", 0))
        else:
            lines.append(Line(name, what, "flat" if math.isinf(sprung) else "nearly flat"))
    if choice.case == OPEN_AGAIN and 0.0 < choice.open_to_d < math.inf:
        lines.append(Line("open_to", "open it to, before you let go", choice.open_to_d, "mm", 0))
    if choice.former_d == 0.0:
        return Answer(tuple(lines), remarks=(choice.why, *choice.remarks))
    lengths = curl_lengths(sheet, outside_d, length, choice, habit)
    lines.append(Line("blank", "cut the blank, round", lengths.blank, "mm"))
    lines.append(Line("allowance", "of it to trim at each end", lengths.allowance, "mm", 0))
    untried = () if test_former else (_UNTRIED,)
    steps = curl_steps(outside_d, length, choice, lengths)
    return Answer(
        lines=tuple(lines),
        steps=tuple(step.words for step in steps),
        remarks=(choice.why, *choice.remarks, *untried),
        cautions=(STRAP_CAUTION,) if "strap" in " ".join(step.words for step in steps) else (),
    )


_CASES = {
    "right": "right",
    "open again": "too small: open the curl again",
    "tie shut": "too large: tie the curl shut",
    "none": "not on the rack",
    "no pipe needed": "not needed",
}
_UNTRIED = (
    "By the table's yield. Curl one offcut over any pipe and add test_former= and test_free=: the "
    "answer is then two or three times as sure."
)


def _habit(board: Board, former_d: float | None, free: float | None, lot: float = 1.0) -> CurlHabit:
    """Habit by the readings of a test curl, if there are any, times that of the lot."""
    require_between(lot, *_LOTS, "the yield over that of the test piece", name="lot", unit="")
    if (former_d is None) != (free is None):
        raise OutOfDomain(
            "a test curl has two readings, its pipe and its free diameter, and one is missing. "
            "Give both, or neither.",
            name="test_former" if former_d is None else "test_free",
        )
    if former_d is None or free is None:
        known = table_habit(board)
    else:
        try:
            known = yield_from_test_curl(board, former_d, free)
        except OutOfDomain as fault:
            names = {"former_d": "test_former", "free_d": "test_free"}
            raise OutOfDomain(str(fault), name=names.get(fault.name, fault.name)) from fault
    return replace(known, factor=known.factor * lot)


def _test_curl(*, board: Board, thickness: float | None, former_d: float, free_d: float) -> Answer:
    sheet = measured(board, thickness)
    habit = yield_from_test_curl(sheet, former_d, free_d)
    table = sheet.face.proof
    own = habit.factor * table.value
    remarks = [
        f"Keep both readings, and give them to `former` for each drum of this sheet: "
        f"test_former={former_d:g} test_free={free_d:g}. Other sums take board.proof={own:.0f}."
    ]
    off = abs(habit.factor - 1.0) / math.hypot(table.spread, habit.spread)
    if off > 3.0:
        remarks.append(
            f"That is {off:.0f} times as far from the table as the table is unsure: check that "
            "board and thickness are those of this sheet."
        )
    return Answer(
        lines=(
            Line("proof", "yield of the skin or sheet", own, "MPa", 0),
            # in words: its spread would be the table's, which the yield itself is free of
            Line("factor", "that is, times the table's", f"{habit.factor:.3f}"),
        ),
        steps=(
            "Cut a strip about 100 mm wide and three times as long as the pipe is thick.",
            "Curl it in bites of 10 mm over the pipe until it lies close, and let go.",
            "Measure the pipe, and the free curl outside in three directions where it is round; "
            "where it is not a full round, fit a circle drawn on card to it.",
        ),
        remarks=tuple(remarks),
    )


def _springback(
    *,
    matter: Matter,
    thickness: float,
    bent: float | None,
    wanted: float | None,
    angle: float | None,
) -> Answer:
    require_above_zero(thickness, "the thickness", name="thickness")
    section = section_of(Board("sheet", matter.what, thickness, 0.0, matter, None, ""))
    half = thickness / 2.0
    if bent is not None and wanted is None:
        require_above_zero(bent, "the radius", name="bent")
        sprung = float(sprung_d(section, thickness, 2.0 * bent)) / 2.0 - thickness
        line = Line("free", "inside radius that it springs to", sprung, "mm")
    elif wanted is not None and bent is None:
        require_above_zero(wanted, "the radius", name="wanted")
        sprung, bent = wanted, _bent_for(section, wanted, thickness)
        line = Line("bend_to", "bend it to an inside radius of", bent, "mm")
    else:
        raise OutOfDomain(
            "one radius is asked: the one that it is bent to, or the one that is wanted. "
            "Give bent= or wanted=.",
            name="bent",
        )
    if math.isinf(sprung):
        largest = 1.0 / float(section.yield_curvature) - half
        return Answer(
            (Line("left", "let go, it is left", "flat"),),
            remarks=(f"It yields below an inside radius of {largest:.1f} mm.",),
        )
    lines = [line]
    if angle is not None:
        require_between(angle, 0.0, math.tau, "the angle", name="angle", unit="deg")
        left = sprung_angle(angle, bent, sprung, thickness)
        lines.append(Line("angle_left", "of the angle is left", math.degrees(left), "deg"))
    hardened = float(stress_at(section, 1.0 / (bent + half)))
    past = hardened > PLANE_STRAIN_YIELD * matter.tensile.value
    return Answer(tuple(lines), remarks=(_TOO_TIGHT,) if past else ())


_TOO_TIGHT = (
    "Bent so tight its surface passes the tensile strength of the table, and it springs back less "
    "than this says: try an offcut."
)


def _bent_for(section: Layers, wanted: float, thickness: float) -> float:
    """Inside radius to bend solid sheet to [mm]."""
    half = thickness / 2.0
    bent = float(1.0 / loaded_curvature(section, 1.0 / (wanted + half))) - half
    if bent <= 0.0:
        raise OutOfDomain(
            f"to keep an inside radius of {wanted:g} mm, {thickness:g} mm sheet would have to be "
            "bent sharper than sharp. Fold it, and turn it further.",
            name="wanted",
        )
    return bent


RECKONERS: tuple[Reckoner, ...] = (
    Reckoner(
        name="former",
        group="Curling",
        title="Which pipe to curl a drum over, and what to do when it is let go",
        inputs=(
            BOARD,
            THICKNESS,
            DRUM,
            Input("formers", "pipes on hand, outside, with commas", "mm", usual="", several=True),
            Input("length", "of the drum along its axis", "mm", usual="300"),
            Input("test_former", "pipe of a test curl of this board", "mm", usual=""),
            Input(
                "test_free",
                "outside of that test curl, let go, mean of three directions",
                "mm",
                usual="",
                spread=FREE_SPREAD,
            ),
            Input("lot", "yield of this sheet over that of the test piece", "-", "1", spread=0.03),
        ),
        answer=_former,
        formula=f"{_MOMENT}; opened again from K_1 to K_2: K_free(K_1) - K_free = 2 K_free(h), "
        "h = (K_1 - K_2)/2",
        source=f"{_MOMENT_SOURCE}; Masing's rule for bending back",
        domain=f"{_MOMENT_DOMAIN}. Opening again is {100.0 * OPENING_SPREAD:.0f} in 100 unsure.",
        example={
            "board": "acp-2-0.2",
            "outside_d": "300",
            "formers": "114.3, 168.3, 219.1, 250",
            "length": "310",
        },
        cautions=(SPRING_CAUTION, EDGE_CAUTION),
    ),
    Reckoner(
        name="test-curl",
        group="Curling",
        title="What one curl that was let go says of the yield of a sheet",
        inputs=(
            BOARD,
            THICKNESS,
            Input("former_d", "outside of the pipe that it was curled over", "mm", spread=0.2),
            FREE,
        ),
        answer=_test_curl,
        formula=f"M = EI (K_former - K_free), solved for a factor on Y in: {_MOMENT}",
        source=_MOMENT_SOURCE,
        domain=_MOMENT_DOMAIN,
        example={"board": "acp-2-0.2", "former_d": "168.3", "free_d": "211"},
        cautions=(SPRING_CAUTION, EDGE_CAUTION),
    ),
    Reckoner(
        name="springback",
        group="Curling",
        title="Where bent sheet springs to, or what to bend it to",
        inputs=(
            Input("matter", "what the sheet is", "matter"),
            Input("thickness", "as measured", "mm", spread=0.03),
            Input("bent", "inside radius that it is bent to", "mm", usual=""),
            Input("wanted", "inside radius that is wanted when it is let go", "mm", usual=""),
            Input("angle", "turned through under load", "deg", usual=""),
        ),
        answer=_springback,
        formula="without hardening R_i/R_f = 4 x^3 - 3 x + 1, x = R_i Y/(E t), radii of the "
        f"middle; with it: {_MOMENT}",
        source="Kalpakjian and Schmid, Manufacturing Engineering and Technology, sheet metal; "
        + _MOMENT_SOURCE,
        domain=_MOMENT_DOMAIN,
        example={"matter": "al-5005-H24", "thickness": "1.5", "wanted": "100"},
        cautions=(SPRING_CAUTION,),
    ),
    *DRUMS,
)
