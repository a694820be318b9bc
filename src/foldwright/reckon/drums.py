"""Reckoners of drums: what to cut, what pull shuts one, what cap goes in.

Room: reckon. All diameters are outside ones, bare, unless they say otherwise.
"""

from __future__ import annotations

import math
from dataclasses import replace

from foldwright.errors import OutOfDomain
from foldwright.ledger import corrected, tool_named
from foldwright.plan.dual import number
from foldwright.reckon.definition import Answer, Input, Line, Reckoner
from foldwright.reckon.sheet_inputs import BOARD, EDGE_CAUTION, THICKNESS, measured
from foldwright.shop import Board, neutral_girth
from foldwright.shop.board_sections import section_of
from foldwright.shop.curls import check_curl
from foldwright.shop.girths import cap_d, inside_girth, lapped_length
from foldwright.shop.physical import require_above_zero, require_between
from foldwright.shop.ties import HAND_STRAP, tie

SPRING_CAUTION = (
    "A curl under load can slip off its pipe and strike: fix the pipe, keep face and fingers out "
    "of its way, and tie it before you let go."
)
STRAP_CAUTION = (
    "A strap or wire under pull can part: eyes covered, nobody in line with it, and no more pull "
    "than its label allows."
)
FREE_SPREAD = 2.0  # mm, of a free curl: mean of three directions; common practice, no source
_TAPE = tool_named("tape")
_WIDEST_GAP = 20.0  # mm, past which a cap is none; common practice, no source
_TAPE_SPREAD = 0.5  # mm, round a drum; common practice, no source

DRUM = Input("outside_d", "outside of the drum, bare", "mm")
FREE = Input(
    "free_d", "outside of the free curl, mean of three directions", "mm", spread=FREE_SPREAD
)


def _tie_shut(
    *,
    board: Board,
    thickness: float | None,
    outside_d: float,
    free_d: float,
    length: float,
    strap: float,
) -> Answer:
    sheet = measured(board, thickness)
    check_curl(sheet, outside_d)
    t = sheet.thickness
    for name, diameter in (("outside_d", outside_d), ("free_d", free_d)):
        require_above_zero(diameter - 2.0 * t, "what is inside of it", name=name)
    rigidity = float(section_of(sheet).rigidity)
    try:
        held = tie(rigidity, (free_d - t) / 2.0, (outside_d - t) / 2.0, length, strap)
    except OutOfDomain as fault:
        names = {"free_radius": "free_d", "strap_force": "strap"}
        raise OutOfDomain(str(fault), name=names.get(fault.name, fault.name)) from fault
    steps: tuple[str, ...] = (
        "It is tighter than the drum: spread the ends until they butt, and rivet them to the "
        "strip so.",
    )
    if held.moment >= 0.0:
        steps = (
            f"Lay {held.straps} straps round it, evenly along the seam, and draw them together in "
            "turn until the ends butt.",
            "Rivet both ends to the strip, then slacken the straps.",
        )
    return Answer(
        lines=(
            Line("gap", "gap; below 0 its ends overlap", held.gap, "mm", 0),
            Line("force", "pull in all, along the seam", held.force, "N", 0),
            Line("per_length", "that is, on each millimetre", held.edge_force, "N/mm", 2),
            Line("straps", "straps", held.straps),
            Line("moment", "seam carries, on each millimetre", held.moment, "N mm", 1),
        ),
        steps=steps,
        remarks=("The strip behind the seam carries that bending for good; glue alone may peel.",),
    )


def _drum_blank(
    *, outside_d: float, thickness: float, seam: str, overlap: float, allowance: float
) -> Answer:
    require_above_zero(thickness, "the thickness", name="thickness")
    require_above_zero(outside_d - 2.0 * thickness, "what is inside the drum", name="outside_d")
    require_between(allowance, 0.0, 500.0, "the allowance", name="allowance")
    girth = number(neutral_girth(outside_d, thickness))
    closed = girth if seam == "butt" else lapped_length(outside_d, thickness, overlap)
    lines = [
        Line("blank", "cut, round the drum", closed + 2.0 * allowance, "mm"),
        Line("trimmed", "between the trim lines", closed, "mm"),
        Line("girth", "outside girth of the drum", math.pi * outside_d, "mm"),
    ]
    if seam == "butt":
        inside = outside_d - 2.0 * thickness
        lines.append(Line("strip_d", "strip behind the seam, outside", inside, "mm"))
    return Answer(lines=tuple(lines))


def _drum_cap(
    *,
    girth: float,
    tape: float,
    thickness: float,
    coat_over: float,
    coat_inside: float,
    gap: float,
    coat_cap: float,
) -> Answer:
    require_above_zero(girth, "the girth", name="girth")
    require_between(tape, 0.0, 2.0, "the thickness of the tape", name="tape")
    for name, coat in (("coat_over", coat_over), ("coat_inside", coat_inside)):
        require_between(coat, 0.0, 20.0, "the coat", name=name)
    require_between(gap, 0.0, _WIDEST_GAP, "the gap", name="gap")
    outside = corrected(girth, "girth", replace(_TAPE, thickness=tape))
    inside = inside_girth(outside, thickness, coat_over + coat_inside)
    diameter = cap_d(inside, gap, coat_cap)
    return Answer(
        lines=(
            Line("cap_d", "cut the cap, bare", diameter, "mm"),
            Line(
                "cap_tape",
                "a tape round the bare cap reads",
                math.pi * (diameter + tape),
                "mm",
            ),
            Line("inside_d", "inside of the finished drum", inside / math.pi, "mm"),
        ),
        remarks=(
            "A drum is pulled round by a stiff cap, so the girth decides, not any one diameter.",
        ),
    )


DRUMS: tuple[Reckoner, ...] = (
    Reckoner(
        name="tie-shut",
        group="Curling",
        title="What pull shuts a curl that stands too wide",
        inputs=(
            BOARD,
            THICKNESS,
            DRUM,
            FREE,
            Input("length", "of the seam", "mm"),
            Input("strap", "pull of one strap", "N", usual=f"{HAND_STRAP:g}"),
        ),
        answer=_tie_shut,
        formula="M = EI (1/R - 1/R_free); F = 2 M/(3 R) on each millimetre; gap = 2 R_free "
        "sin(pi (1 - R/R_free)); radii of the middle",
        source="energy method for thin curved bars, e.g. S. Timoshenko, Strength of Materials; "
        "pull of a strap: common practice, no source",
        domain="free diameter half to twice the drum's; the pull comes out 3 in 100 high where the "
        "curl is a tenth too wide, 13 where it is twice as wide",
        example={"board": "acp-2-0.2", "outside_d": "300", "free_d": "334", "length": "310"},
        cautions=(STRAP_CAUTION, SPRING_CAUTION),
    ),
    Reckoner(
        name="drum-blank",
        group="Curling",
        title="How long to cut the blank of a drum",
        inputs=(
            DRUM,
            Input("thickness", "of the sheet, as measured", "mm", spread=0.03),
            Input(
                "seam", "butted on a strip, or lapped", "word", usual="butt", words=("butt", "lap")
            ),
            Input("overlap", "of a lapped seam", "mm", usual="20"),
            Input("allowance", "for the flat at each end, to trim", "mm", usual="20"),
        ),
        answer=_drum_blank,
        formula="L = pi (D - t); lapped by w: + w + w t/R, R = (D - t)/2",
        source="plane geometry; the middle of gently curled sheet keeps its length",
        domain="curls of ten thicknesses and more, solid sheet or two equal skins",
        example={"outside_d": "300", "thickness": "2"},
        cautions=(EDGE_CAUTION,),
    ),
    Reckoner(
        name="drum-cap",
        group="Curling",
        title="How large a cap goes into a drum that was measured round",
        inputs=(
            Input("girth", "round the outside, as the tape reads", "mm", spread=_TAPE_SPREAD),
            Input("tape", "thickness of the tape", "mm", usual=f"{_TAPE.thickness:g}"),
            Input("thickness", "of the sheet, as measured", "mm", spread=0.03),
            Input("coat_over", "finish under the tape", "mm", usual="0"),
            Input("coat_inside", "finish inside, where the cap goes", "mm", usual="0"),
            Input("gap", "wanted all round, finished", "mm", usual="0.3"),
            Input("coat_cap", "finish on the edge of the cap", "mm", usual="0"),
        ),
        answer=_drum_cap,
        formula="D = G/pi - tape; cap = D - 2 (t + coats) - 2 (gap + its own coat)",
        source="plane geometry; by girth since a stiff cap makes the drum round: common practice, "
        "no source",
        domain="thin drums and stiff round caps",
        example={"girth": "943", "thickness": "2", "coat_inside": "0.1"},
    ),
)
