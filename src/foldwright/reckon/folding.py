"""Reckoners of folding: grooves and kerfs in board, flanges and holes; `bends` has the rest."""

from __future__ import annotations

import math

from foldwright.errors import OutOfDomain
from foldwright.reckon import bends
from foldwright.reckon.definition import Answer, Input, Line, Reckoner
from foldwright.reckon.sheet_inputs import (
    ANGLE,
    BOARD,
    CUT_CAUTION,
    EDGE_CAUTION,
    FLOOR,
    OWN_K,
    THICKNESS,
    THICKNESS_SIGMA,
    WEB,
    WEB_SIGMA,
    WIDEST_CUTTER,
    in_own_words,
    k_as_given,
    measured,
    require_turn,
)
from foldwright.shop import Board, FoldRequest, FoldSection, SetUp, choose_section
from foldwright.shop.fold_checks import (
    HOLDS,
    cut_top_width,
    least_flange,
    least_flange_in_vee,
    least_hole_distance,
    shuts_in_time,
    shutting_room,
    skin_strain,
)
from foldwright.shop.folds import require_way
from foldwright.shop.grooves import cut_section, web_of, why_not
from foldwright.shop.physical import require_above_zero, require_between
from foldwright.shop.springs import over_fold_spread

_GROUP = "Folding"
# Floor that a cutter leaves in one pass, and the widest worth cutting [mm]; as in a plan
# without cutters of its own.
_USUAL_FLOOR, _WIDEST = 2.0, 12.0
_WIDEST_BY_HAND = 50.0  # mm; wider than that it is a curl; common practice, no source

_CUTTER = Input("cutter", "included angle of the cutter; 0 for a saw", "deg", usual="90")
_CORNER = Input(
    "corner",
    "convex, as on the outside of a box, or re-entrant",
    "word",
    usual="convex",
    words=("convex", "re-entrant"),
)


def _cut(
    board: Board,
    angle: float,
    way: str,
    web: float | None,
    floor: float | None,
    cutter: float,
    k: float | None,
) -> FoldSection:
    """Section of one cut: with the floor asked for, or with one that makes the fold."""
    require_between(cutter, 0.0, WIDEST_CUTTER, "the cutter", name="cutter", unit="deg")
    if floor is None:
        set_up = SetUp("cutter", cutter, _USUAL_FLOOR, _WIDEST)
        return choose_section(board, angle, FoldRequest(way, web=web, k=k), (set_up,))
    require_above_zero(floor, "the floor", name="floor")
    require_between(floor, 0.0, _WIDEST_BY_HAND, "the floor", name="floor")
    require_way(board, way)
    left = web_of(board, FoldRequest(web=web))
    return cut_section(board, angle, way, left, floor, SetUp("cutter", cutter, floor, floor), k)


def _shutting(section: FoldSection, what: str, digits: int) -> Line:
    if math.isinf(section.shuts_at):
        return Line("shuts_at", what, "never")
    return Line("shuts_at", what, math.degrees(section.shuts_at), "deg", digits)


@in_own_words
def _groove(
    board: Board,
    thickness: float | None,
    angle: float,
    web: float | None,
    cutter: float,
    floor: float | None,
    way: str,
    corner: str,
    k: float | None,
) -> Answer:
    sheet = measured(board, thickness)
    require_turn(angle)
    turn = angle if corner == "convex" else -angle
    section = _cut(sheet, turn, way, web, floor, cutter, k_as_given(k))
    top = cut_top_width(sheet.thickness, section.web, section.cutter, section.floor)
    return Answer(
        (
            Line("depth", "set the cut deep", sheet.thickness - section.web, "mm", 2),
            Line("web", "which leaves a web of", section.web, "mm", 2),
            Line("floor", "flat of the cut", section.floor, "mm"),
            Line("top", "width of the cut on the face", top, "mm"),
            Line("side", "cut from", section.cut_side),
            Line(
                "middle",
                "middle of cut short of the leg by",
                section.deduction / 2.0,
                "mm",
                2,
            ),
            Line("deduction", "flat shorter than both legs by", section.deduction, "mm", 2),
            Line("setback", "mould line back to the zone", section.setback, "mm", 2),
            Line("zone", "zone that bends", section.zone_width, "mm", 2),
            Line("k", "neutral line, share of the web", section.k, "-", 2),
            Line("hold_at", "fold to, then let go", math.degrees(angle + section.over_fold), "deg"),
            Line("over_fold", "which is past the angle by", math.degrees(section.over_fold), "deg"),
            _shutting(section, "the cut shuts at", 0),
            Line("strain", "skin stretches by", 100.0 * section.strain, "in 100"),
            Line("corner_loss", "corner rounded inwards by", section.corner_loss, "mm"),
        ),
        steps=_groove_steps(sheet, section, angle),
        remarks=_groove_remarks(sheet, section, k is None),
    )


def _groove_steps(sheet: Board, section: FoldSection, angle: float) -> tuple[str, ...]:
    widen = (
        f" Move the fence to widen the flat to {section.floor:.1f} mm if the cutter's is less."
        if section.cutter > 0.0
        else ""
    )
    return (
        f"Mark the middle of the cut {section.deduction / 2.0:.1f} mm short of the outside length, "
        f"on the {section.cut_side} face.",
        f"Set the depth to {sheet.thickness - section.web:.1f} mm on scrap of the same sheet, "
        f"until {section.web:.1f} mm is left.{widen}",
        "Cut, and clear the chips: one of them holds the fold open.",
        f"Fold to {math.degrees(angle + section.over_fold):.0f} degrees, let go, and check with a "
        f"gauge of {math.degrees(angle):.1f} turned.",
    )


def _groove_remarks(sheet: Board, section: FoldSection, is_reckoned_k: bool) -> tuple[str, ...]:
    said = []
    reason = why_not(sheet, section)
    if reason:
        said.append(
            f"As asked this fold cannot be made: {reason}. Leave floor out to have one chosen, "
            "or take a cutter with a wider angle."
        )
    strain = skin_strain(sheet, section)
    said.append(
        f"Skin: {strain.verdict} ({100 * strain.strain:.0f} of {100 * strain.takes:.0f} in 100)."
    )
    if math.isfinite(section.shuts_at) and shuts_in_time(section):
        room = math.degrees(shutting_room(section))
        said.append(f"Past where it is held, {room:.0f} degrees are left until the cut shuts.")
    spread = over_fold_spread(sheet, section.web, section.zone_width, abs(section.turn_each))
    said.append(
        f"The over-fold is known to {math.degrees(spread):.1f} degrees; a folded strip says more."
    )
    if is_reckoned_k:
        said.append("k is reckoned, not measured: fold a strip and ask test-strip.")
    return tuple(said)


@in_own_words
def _groove_width(thickness: float, web: float, cutter: float, floor: float) -> Answer:
    top = cut_top_width(thickness, web, cutter, floor)
    return Answer(
        (
            Line("top", "width on the face", top, "mm"),
            Line("depth", "depth", thickness - web, "mm", 2),
            Line("from_middle", "each edge from the middle", top / 2.0, "mm"),
        )
    )


@in_own_words
def _kerf_row(
    board: Board,
    thickness: float | None,
    angle: float,
    blade: float,
    web: float | None,
    kerfs: float | None,
    pitch: float | None,
    radius: float | None,
    corner: str,
    k: float | None,
) -> Answer:
    sheet = measured(board, thickness)
    require_turn(angle)
    require_above_zero(blade, "the kerf of the blade", name="blade")
    if kerfs is not None and kerfs != round(kerfs):
        raise OutOfDomain(f"{kerfs:g} kerfs cannot be sawn. Give a whole number.", name="kerfs")
    for name, value in (("pitch", pitch), ("radius", radius)):
        if value is not None:
            require_above_zero(value, f"the {name}", name=name)
    request = FoldRequest(
        "kerf",
        web=web,
        kerfs=None if kerfs is None else round(kerfs),
        pitch=pitch,
        radius=radius,
        k=k_as_given(k),
    )
    turn = angle if corner == "convex" else -angle
    row = choose_section(sheet, turn, request, (SetUp("the blade", 0.0, blade, blade),))
    each = math.degrees(abs(row.turn_each))
    first = row.deduction / 2.0
    return Answer(
        (
            Line("kerfs", "kerfs", row.kerfs),
            Line("pitch", "from kerf to kerf", row.pitch, "mm"),
            Line("depth", "set the saw deep", sheet.thickness - row.web, "mm", 2),
            Line("web", "which leaves a web of", row.web, "mm", 2),
            Line("side", "sawn from", row.cut_side),
            Line("middle", "middle of row short of the leg by", first, "mm", 2),
            Line("deduction", "flat shorter than both legs by", row.deduction, "mm", 2),
            Line("row", "row from first edge to last", row.width, "mm"),
            Line("each", "each kerf turns", each, "deg"),
            _shutting(row, "and shuts at", 1),
            Line("over_fold", "fold each past its angle by", math.degrees(row.over_fold), "deg"),
            Line("corner_loss", "corner rounded inwards by", row.corner_loss, "mm"),
        ),
        steps=(
            f"Mark the middle of the row {first:.1f} mm short of the outside length, on the "
            f"{row.cut_side} face, and {row.kerfs} kerfs evenly about it.",
            f"Set the saw to {sheet.thickness - row.web:.1f} mm on scrap of the same sheet.",
            "Saw against a fence that is moved by the pitch, never by eye.",
            "Fold each kerf a little, then all again; the row closes evenly if none runs ahead.",
        ),
    )


@in_own_words
def _flange(
    board: Board,
    thickness: float | None,
    angle: float,
    web: float | None,
    cutter: float,
    floor: float | None,
    radius: float | None,
    hold: str,
    opening: float | None,
    hole: float | None,
    slot: str,
) -> Answer:
    sheet = measured(board, thickness)
    require_turn(angle)
    if sheet.is_skinned or web is not None or floor is not None:
        way = "groove" if "groove" in sheet.folds else "kerf"
        section = _cut(sheet, angle, way, web, floor, cutter, None)
    else:
        section = choose_section(sheet, angle, FoldRequest(radius=radius), ())
    lines = [Line("flange", "least outside flange", least_flange(sheet, section, hold), "mm", 0)]
    if opening is not None:
        in_vee = least_flange_in_vee(sheet.thickness, opening, angle)
        lines.append(Line("in_vee", "least outside flange in that V", in_vee, "mm"))
    lines.append(Line("setback", "of which the setback is", section.setback, "mm"))
    if hole is not None:
        away = least_hole_distance(sheet, section, hole, slot == "yes")
        lines.append(Line("hole_edge", "hole edge from the mould line", away, "mm"))
        lines.append(Line("hole_middle", "hole middle from it", away + hole / 2.0, "mm"))
    return Answer(
        tuple(lines),
        remarks=("Measured on the outside, from where the two outside faces would meet.",),
    )


RECKONERS: tuple[Reckoner, ...] = (
    Reckoner(
        name="groove",
        group=_GROUP,
        title="Set-up of a groove to fold board over, and what it does to the flat",
        inputs=(
            BOARD,
            THICKNESS,
            ANGLE,
            WEB,
            _CUTTER,
            FLOOR,
            Input(
                "way",
                "groove that closes as it is folded, or cut that opens",
                "word",
                usual="groove",
                words=("groove", "open"),
            ),
            _CORNER,
            OWN_K,
        ),
        answer=_groove,
        formula=(
            "r = g/theta - k w; setback s = (r + w) tan(theta/2); deduction = 2 s - g; "
            "open while r > h (1 - tan(alpha/2)/tan(theta/2)); skin strain z theta/g; "
            "over-fold = zone M/EI of the web"
        ),
        source=(
            "plane trigonometry; rigid-plastic balance of skin and core for k; elastic "
            "unloading of layers for the over-fold"
        ),
        domain=(
            "one cut with a flat floor, from 0.5 to 175 degrees, the web bent evenly over its "
            "floor; k of skinned board is reckoned, a folded strip is better"
        ),
        example={"board": "acp-3-0.3", "angle": "90", "web": "0.8", "floor": "2"},
        cautions=(CUT_CAUTION, EDGE_CAUTION),
    ),
    Reckoner(
        name="groove-width",
        group=_GROUP,
        title="Width of a groove on the face that it is cut from",
        inputs=(
            Input("thickness", "of the board, as measured", "mm", spread=THICKNESS_SIGMA),
            Input("web", "left under the groove", "mm", spread=WEB_SIGMA),
            _CUTTER,
            Input("floor", "flat of the groove; 0 for a sharp V", "mm", usual="0"),
        ),
        answer=_groove_width,
        formula="w = floor + 2 (t - web) tan(alpha/2)",
        source="plane trigonometry",
        domain="a groove with straight flanks, cutters up to 175 degrees",
        example={"thickness": "4", "web": "0.8", "cutter": "90"},
        cautions=(CUT_CAUTION,),
    ),
    Reckoner(
        name="kerf-row",
        group=_GROUP,
        title="Row of saw kerfs that folds board, or follows a round",
        inputs=(
            BOARD,
            THICKNESS,
            ANGLE,
            Input("blade", "kerf that the blade saws, measured in scrap", "mm", spread=0.05),
            WEB,
            Input("kerfs", "how many; as few as do it if left out", "-", usual=""),
            Input("pitch", "from kerf to kerf; a board's thickness between if left out", "mm", ""),
            Input("radius", "inside radius of a round to follow", "mm", usual=""),
            _CORNER,
            OWN_K,
        ),
        answer=_kerf_row,
        formula=(
            "each of n kerfs turns d = theta/n and shuts at g/(h + k w); chord L = p - g + 2 s_d; "
            "mould line to first zone L sin((n-1) d/2)/(2 sin(d/2) cos(theta/2)) + s_d"
        ),
        source="plane trigonometry of a chain of chords",
        domain="equal kerfs that share the turn evenly, 1 to 60 of them",
        example={"board": "acp-4-0.5", "angle": "90", "blade": "3.2", "radius": "40"},
        cautions=(CUT_CAUTION, EDGE_CAUTION),
    ),
    *bends.RECKONERS,
    Reckoner(
        name="flange",
        group=_GROUP,
        title="Least flange that can be folded, and least distance of a hole from a fold",
        inputs=(
            BOARD,
            THICKNESS,
            ANGLE,
            WEB,
            _CUTTER,
            FLOOR,
            Input("radius", "inside radius of a bend; the least if left out", "mm", usual=""),
            Input("hold", "how the flange is held", "word", usual="fingers", words=tuple(HOLDS)),
            Input("opening", "of the V that it is pressed into", "mm", usual=""),
            Input("hole", "diameter of a hole, or width of a slot", "mm", usual=""),
            Input("slot", "along the fold", "word", usual="no", words=("no", "yes")),
        ),
        answer=_flange,
        formula=(
            "flange: setback + what the cut takes of the face + 25 mm for fingers, 10 for a bar; "
            "in a V D/(2 cos(theta/2)) + t; hole: setback + 2 t, 3 t from 25 mm and for slots, "
            "in cut board the edge of the cut + t"
        ),
        source="common practice, no source; the V by plane trigonometry",
        domain="straight folds; shops print 1.5 to 3 thicknesses from a bend to a hole",
        example={"board": "acp-3-0.3", "angle": "90", "hole": "6"},
        cautions=(EDGE_CAUTION,),
    ),
)
