"""Reckoners of bends in solid sheet, of test strips, and of the force of a fold."""

from __future__ import annotations

import math
from collections.abc import Sequence

from foldwright.errors import OutOfDomain
from foldwright.reckon.definition import Answer, Input, Line, Reckoner
from foldwright.reckon.sheet_inputs import (
    BOARD,
    EDGE_CAUTION,
    OWN_K,
    PRESS_CAUTION,
    THICKNESS,
    THICKNESS_SIGMA,
    in_own_words,
    k_as_given,
    measured,
)
from foldwright.shop import Board, FoldRequest, Matter, SetUp
from foldwright.shop.bend_allowances import (
    HARDNESS,
    METALS,
    allowance,
    compensation_din_6935,
    deduction,
    flat_length,
    flats,
    k_din_6935,
    outside_setback,
    rules_of_k,
)
from foldwright.shop.bend_force import press_force, push_at
from foldwright.shop.grooves import cut_section, web_of
from foldwright.shop.least_radii import least_bend_radius
from foldwright.shop.physical import require_between
from foldwright.shop.springs import over_fold, web_moment
from foldwright.shop.strips import METHODS, k_from_strip

_GROUP = "Folding"
_GRAVITY = 9.80665  # m/s2, standard
# More push than this [N] wants a bar, a clamp or a second pair of hands; common practice,
# no source.
_HARD_PUSH = 300.0


def _each_bend(values: Sequence[float], bends: int, name: str) -> list[float]:
    """One value for all bends, or one for each."""
    if len(values) == 1:
        return list(values) * bends
    if len(values) != bends:
        raise OutOfDomain(
            f"{len(values)} values do not suit {bends} bends. Give one for all, or one for each.",
            name=name,
        )
    return list(values)


@in_own_words
def _bend(
    thickness: float,
    radius: Sequence[float],
    angle: Sequence[float],
    legs: Sequence[float] | None,
    k: float | None,
    hardness: str,
    metal: str | None,
    sheet: Matter | None,
) -> Answer:
    k_as_given(k)
    count = max(len(radius), len(angle)) if legs is None else len(legs) - 1
    if count < 1:
        raise OutOfDomain("one leg has no bend. Give all outside legs, end to end.", name="legs")
    radii, turns = _each_bend(radius, count, "radius"), _each_bend(angle, count, "angle")
    shares = [k if k is not None else k_din_6935(r, thickness) for r in radii]
    taken = [_deduction(*bend, thickness) for bend in zip(turns, radii, shares, strict=True)]
    by = "your strip" if k is not None else "DIN 6935"
    whole = allowance(turns[0], radii[0], thickness, shares[0])
    back = outside_setback(turns[0], radii[0], thickness)
    lines = [
        Line("k", f"K by {by}, first bend", shares[0], "-", 3),
        Line("allowance", "allowance, first bend", whole, "mm", 2),
        Line("setback", "setback, first bend", back, "mm", 2),
        Line("deduction", "deduction, first bend", taken[0], "mm", 2),
    ]
    if k is None:
        v = compensation_din_6935(math.pi - turns[0], radii[0], thickness)
        lines.append(Line("v", "compensation value v, first bend", v, "mm", 2))
    if legs is not None:
        lines.append(Line("flat", f"flat length by {by}", flat_length(legs, taken), "mm"))
        setbacks = [outside_setback(t, r, thickness) for t, r in zip(turns, radii, strict=True)]
        lines += [
            Line(f"straight_{i}", f"straight part of leg {i}", straight, "mm")
            for i, straight in enumerate(flats(legs, setbacks), 1)
        ]
    rules = _by_each_rule(thickness, radii, turns, hardness, metal)
    for name, (what, found) in rules.items():
        value = math.fsum(found) if legs is None else flat_length(legs, found)
        words = "deductions" if legs is None else "flat"
        lines.append(Line(f"by_{name.replace('-', '_')}", f"{words} by {what}", value, "mm", 2))
    if sheet is not None:
        lines += _past(sheet, thickness, radii, turns, shares)
    return Answer(tuple(lines), remarks=_bend_remarks(rules, thickness, radii, turns, sheet))


def _deduction(turn: float, radius: float, k: float, thickness: float) -> float:
    return deduction(turn, radius, thickness, allowance(turn, radius, thickness, k))


def _by_each_rule(
    thickness: float,
    radii: Sequence[float],
    turns: Sequence[float],
    hardness: str,
    metal: str | None,
) -> dict[str, tuple[str, list[float]]]:
    """What each rule that holds for all bends is in words, and its deductions [mm]."""
    known = [{rule.name: rule for rule in rules_of_k(r, thickness, hardness, metal)} for r in radii]
    square = all(math.isclose(turn, math.pi / 2.0, abs_tol=1e-9) for turn in turns)
    return {
        name: (
            rule.what,
            [
                _deduction(turn, r, each[name].k, thickness)
                for turn, r, each in zip(turns, radii, known, strict=True)
            ],
        )
        for name, rule in known[0].items()
        if all(name in each for each in known) and (square or name != "linear")
    }


def _past(
    sheet: Matter,
    thickness: float,
    radii: Sequence[float],
    turns: Sequence[float],
    shares: Sequence[float],
) -> list[Line]:
    """How far to fold past the angle of each bend."""
    board = Board("sheet", sheet.what, thickness, 0.0, sheet, None, "")
    lines = []
    for i, (turn, radius, k) in enumerate(zip(turns, radii, shares, strict=True), 1):
        past = over_fold(board, thickness, allowance(turn, radius, thickness, k), turn)
        words = f"bend {i}: fold past the angle by"
        lines.append(Line(f"over_fold_{i}", words, math.degrees(past), "deg"))
    return lines


def _bend_remarks(
    rules: dict[str, tuple[str, list[float]]],
    thickness: float,
    radii: Sequence[float],
    turns: Sequence[float],
    sheet: Matter | None,
) -> tuple[str, ...]:
    sums = [math.fsum(found) for _, found in rules.values()]
    said = [
        f"The rules differ by {max(sums) - min(sums):.2f} mm over the whole strip; one folded "
        "strip of the sheet you have settles it."
    ]
    if turns[0] > math.radians(90.0 + 1e-9):
        said.append(
            "Past a right angle v counts legs to the round; all other lengths here run to the "
            "mould line."
        )
    if sheet is None:
        return tuple(said)
    for i, (turn, radius) in enumerate(zip(turns, radii, strict=True), 1):
        least = least_bend_radius(sheet, thickness, turn).radius
        if radius < least:
            said.append(
                f"Bend {i}: {radius:g} mm is under the {least:.1f} mm that {sheet.what} is known "
                "to take; try it on scrap."
            )
    return tuple(said)


@in_own_words
def _test_strip(
    board: Board,
    thickness: float | None,
    angle: float,
    flat: Sequence[float],
    leg_1: Sequence[float],
    leg_2: Sequence[float],
    way: str,
    web: float | None,
    floor: float | None,
    radius: float | None,
) -> Answer:
    sheet = measured(board, thickness)
    count = len(flat)
    if not len(leg_1) == len(leg_2) == count:
        raise OutOfDomain(
            f"{count} flats, {len(leg_1)} and {len(leg_2)} legs are no whole strips. "
            "Give as many of each, in the same order.",
            name="flat",
        )
    means = [math.fsum(values) / count for values in (flat, leg_1, leg_2)]
    k, spread = k_from_strip(
        sheet, angle, *means, method=way, web=web, floor=floor, radius=radius, strips=count
    )
    lines = [
        Line("k", "neutral line k of this fold", k, "-", 2),
        Line(
            "deduction", "flat shorter than both legs by", means[1] + means[2] - means[0], "mm", 2
        ),
    ]
    reckoned = _reckoned_k(sheet, angle, way, web, floor, radius)
    remarks = [
        f"k is known to {spread:.2f}, from the usual errors of measuring; three or four strips "
        "halve what the lengths add to that.",
        f"It holds for {sheet.what} cut and folded so. Write it into the plan as "
        f"fold = {{ k = {k:.2f} }}.",
    ]
    if reckoned is not None:
        lines.append(Line("reckoned", "without the strip", reckoned, "-", 2))
        off = abs(k - reckoned)
        if off > 2.0 * spread:
            remarks.append(
                f"It is {off:.2f} away from what the formula says, more than errors of measuring "
                "explain. Check the web that is really left, and that both legs run to the corner."
            )
    return Answer(tuple(lines), remarks=tuple(remarks))


def _reckoned_k(
    sheet: Board,
    angle: float,
    way: str,
    web: float | None,
    floor: float | None,
    radius: float | None,
) -> float | None:
    """Neutral line that is taken without a strip; None where there is no formula."""
    if way == "bend" and radius:
        return k_din_6935(radius, sheet.thickness)
    if floor is not None and way in ("groove", "kerf", "open"):
        left, cutter = web_of(sheet, FoldRequest(web=web)), SetUp("", 0.0, floor, floor)
        return cut_section(sheet, angle, way, left, floor, cutter, None).k
    return None


@in_own_words
def _bend_force(
    board: Board,
    thickness: float | None,
    width: float,
    opening: float | None,
    lever: float | None,
    web: float | None,
    radius: float | None,
) -> Answer:
    sheet = measured(board, thickness)
    if opening is None and lever is None:
        raise OutOfDomain(
            "nothing says how it is bent. Give opening=... for a V, or lever=... to push by hand.",
            name="lever",
        )
    lines, remarks = [], []
    if opening is not None:
        if sheet.is_skinned:
            raise OutOfDomain(
                f"{sheet.what} is not bent in a V: its skins crack. Leave opening out.",
                name="opening",
            )
        force = press_force(width, sheet.thickness, sheet.face.tensile.value, opening)
        lines.append(Line("press", "press with", force, "N", 0))
        lines.append(Line("press_weight", "which is the weight of", force / _GRAVITY, "kg", 0))
    if lever is not None:
        bends = sheet.thickness if web is None else web_of(sheet, FoldRequest(web=web))
        if sheet.is_skinned and web is None:
            bends = web_of(sheet, FoldRequest())
        inside = radius if radius is not None else bends
        require_between(inside, 0.0, math.inf, "the inside radius", name="radius")
        moment = web_moment(sheet, bends, 1.0 / (inside + bends / 2.0))
        push = push_at(moment, width, lever)
        lines.append(Line("moment", "moment of the whole fold", moment * width, "N mm", 0))
        lines.append(Line("push", "push at that lever with", push, "N", 0))
        lines.append(Line("push_weight", "which is the weight of", push / _GRAVITY, "kg"))
        if push > _HARD_PUSH:
            remarks.append(
                f"{push:.0f} N is hard by hand: lengthen the lever with a bar along the flange, "
                "or fold in several passes."
            )
    return Answer(tuple(lines), remarks=tuple(remarks))


RECKONERS: tuple[Reckoner, ...] = (
    Reckoner(
        name="bend",
        group=_GROUP,
        title="Allowance, deduction and flat length of bends in solid sheet, by each rule",
        inputs=(
            Input("thickness", "of the sheet, as measured", "mm", spread=THICKNESS_SIGMA),
            Input("radius", "inside radius; one for all bends, or one each", "mm", None, True, 0.1),
            Input("angle", "turned through; one for all bends, or one each", "deg", "90", True),
            Input("legs", "outside lengths to the mould lines, end to end", "mm", "", True),
            OWN_K,
            Input("hardness", "how hard", "word", "half-hard", words=tuple(HARDNESS)),
            Input("metal", "to look up the table of K as well", "word", "", words=("", *METALS)),
            Input("sheet", "the material, to tell the springback", "matter", usual=""),
        ),
        answer=_bend,
        formula=(
            "allowance theta (r + K t); setback (r + t) tan(theta/2); deduction = 2 setback - "
            "allowance; K by DIN 6935 0.325 + 0.25 lg(r/t) up to 0.5, by hardness 0.35, 0.41 or "
            "0.45, by airframe handbooks 0.4475, by v = 0.43 r + 1.48 t 0.33"
        ),
        source=(
            "DIN 6935; Machinery's Handbook, 31st ed., p. 1421; FAA-H-8083-31, vol. 1, ch. 4; "
            "Groover, Fundamentals of Modern Manufacturing; shop tables without source"
        ),
        domain=(
            "cold bends of solid sheet below 180 degrees; DIN 6935 is for flat rolled steel, the "
            "handbook for soft to spring-hard metal, the airframe rule for aluminium alloy, "
            "the linear rule for right angles; each is off by a tenth of the thickness or so"
        ),
        example={"thickness": "1.5", "radius": "3", "legs": "40,80,40", "sheet": "al-5005-H24"},
        cautions=(EDGE_CAUTION, PRESS_CAUTION),
    ),
    Reckoner(
        name="test-strip",
        group=_GROUP,
        title="Neutral line from a strip of your own: flat before, two outside legs after",
        inputs=(
            BOARD,
            THICKNESS,
            Input("angle", "turned through, measured after letting go", "deg", "90", spread=0.5),
            Input(
                "flat", "length before folding; several strips with commas", "mm", None, True, 0.1
            ),
            Input("leg_1", "one outside leg after", "mm", None, True, 0.1),
            Input("leg_2", "the other outside leg after", "mm", None, True, 0.1),
            Input("way", "how it was folded", "word", usual="groove", words=METHODS),
            Input(
                "web", "left under the cut, measured at the end of the strip", "mm", "", spread=0.05
            ),
            Input("floor", "flat of the cut, as measured", "mm", usual="", spread=0.1),
            Input("radius", "inside radius of a bend, as measured", "mm", usual="", spread=0.2),
        ),
        answer=_test_strip,
        formula="leg_1 + leg_2 - flat = deduction = a + b k, solved for k",
        source="the formulas of groove and bend, turned round",
        domain=(
            "strips at least 30 mm wide, folded as the job will be, 5 to 175 degrees; a right "
            "angle is measured best"
        ),
        example={
            "board": "acp-3-0.3",
            "flat": "100,100,100",
            "leg_1": "50.5,50.4,50.5",
            "leg_2": "50.4,50.5,50.4",
            "web": "0.8",
            "floor": "2",
        },
        cautions=(EDGE_CAUTION,),
    ),
    Reckoner(
        name="bend-force",
        group=_GROUP,
        title="Force to bend sheet in a V, or to fold it by hand",
        inputs=(
            BOARD,
            THICKNESS,
            Input("width", "along the fold", "mm"),
            Input("opening", "of the V, from shoulder to shoulder", "mm", usual=""),
            Input("lever", "from the fold to where you push", "mm", usual=""),
            Input("web", "left under a cut; the whole sheet if solid and left out", "mm", usual=""),
            Input("radius", "inside radius by hand; what bends is thick if left out", "mm", ""),
        ),
        answer=_bend_force,
        formula="in a V F = 1.33 TS w t^2/D; by hand F = M w/a, M of the layers at the curvature",
        source=(
            "Groover, Fundamentals of Modern Manufacturing, bending force; bending of elastic, "
            "perfectly plastic layers"
        ),
        domain=(
            "the V for right angles in sheet, largest force of the stroke, give or take a quarter; "
            "by hand the push square to the flange"
        ),
        example={
            "board": "al-5005-H24",
            "thickness": "1.5",
            "width": "300",
            "opening": "12",
            "lever": "150",
        },
        cautions=(PRESS_CAUTION,),
    ),
)
