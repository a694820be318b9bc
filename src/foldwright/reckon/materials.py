"""Reckoners for materials: what they are like, how tightly they bend, how they move.

Room: reckon.
"""

from __future__ import annotations

import math

from foldwright.errors import OutOfDomain
from foldwright.reckon.definition import Answer, Input, Line, Reckoner
from foldwright.shop import Board, Matter
from foldwright.shop.least_radii import least_bend_radius, outer_strain, radius_by_reduction
from foldwright.shop.materials import FIGURES
from foldwright.shop.movement import Change, Held, bow, held, moves_apart, slot
from foldwright.shop.physical import require_above_zero, require_between

_METRE = 1000.0  # mm
_SWING = 10.0  # K, over which growth is shown
# What each figure is called at the bench, its unit, how much of the unit one is, decimals.
_SHOWN = {
    "density": ("density", "kg/m3", 1.0, 0),
    "modulus": ("Young's modulus", "MPa", 1.0, 0),
    "poisson": ("Poisson's ratio", "-", 1.0, 2),
    "strength": ("flow stress while it is folded", "MPa", 1.0, 1),
    "bend_radius": ("least inside bend radius, in thicknesses", "-", 1.0, 2),
    "proof": ("proof stress or yield point", "MPa", 1.0, 1),
    "tensile": ("tensile strength", "MPa", 1.0, 1),
    "elongation": ("stretches before it breaks, in 100", "-", 100.0, 1),
    "hardening": ("hardening just past yield", "MPa", 1.0, 0),
    "expansion": ("a metre grows with 10 K by", "mm", _METRE * _SWING, 3),
    "swelling": ("a metre grows with 1 % of moisture by", "mm", _METRE, 3),
    "friction": ("friction, dry on aluminium", "-", 1.0, 2),
}
_WAYS = {
    "bend": "bent cold",
    "hot": "over a heated line",
    "score": "along a score",
    "kerf": "over saw kerfs",
    "groove": "over a groove",
    "open": "over a cut that opens",
}
_BENDING_CAUTION = (
    "A radius from a table is for sound sheet with clean edges: bend a test strip of your own "
    "sheet, take burrs off the outside of the bend, and wear gloves and glasses; hard sheet "
    "cracks without a warning and springs."
)
_FIXED = ("one-end", "middle")


def _material(*, material: Board) -> Answer:
    lines = list(_figures(material.face, ""))
    if material.core is not None:
        lines += _figures(material.core, "core_")
    if material.thickness:
        lines.append(Line("areal_mass", "a square metre weighs", material.areal_mass, "kg", 2))
    ways = ", ".join(_WAYS[way] for way in material.folds)
    lines.append(Line("folds", "folded", ways or "not at all"))
    lines += [
        Line(name, what, text)
        for name, what, text in (
            ("thicknesses", "sheet sold, mm thick", _sizes(material.thicknesses)),
            ("tubes", "tube sold, mm outside x wall", _tubes(material)),
            ("bars", "round bar sold, mm", _sizes(material.bars)),
        )
        if text
    ]
    sources = _sources(material.face, "")
    if material.core is not None:
        sources += _sources(material.core, "core: ")
    return Answer(tuple(lines), remarks=tuple(sources))


def _figures(matter: Matter, prefix: str) -> list[Line]:
    lines = []
    for name in FIGURES:
        what, unit, scale, digits = _SHOWN[name]
        value = getattr(matter, name).value * scale
        said = f"{'core: ' if prefix else ''}{what}"
        lines.append(Line(f"{prefix}{name}", said, value, unit, digits))
    return lines


def _sources(matter: Matter, prefix: str) -> list[str]:
    """Source of each figure of a matter, those with one source together."""
    by_source: dict[str, list[str]] = {}
    for name in FIGURES:
        by_source.setdefault(getattr(matter, name).source, []).append(name.replace("_", " "))
    return [f"{prefix}{', '.join(names)}: {source}." for source, names in by_source.items()]


def _sizes(sizes: tuple[float, ...]) -> str:
    return ", ".join(f"{size:g}" for size in sizes)


def _tubes(board: Board) -> str:
    return ", ".join(f"{across:g} x {wall:g}" for across, wall in board.tubes)


def _least_bend(
    *,
    material: Board,
    thickness: float,
    angle: float,
    direction: str,
    reduction: float | None,
) -> Answer:
    if "bend" not in material.folds:
        ways = ", ".join(_WAYS[way] for way in material.folds)
        raise OutOfDomain(
            f"{material.what} is not bent cold. "
            + (f"It is folded {ways}." if ways else "It is not for folding."),
            name="material",
        )
    least = least_bend_radius(material.face, thickness, angle, along=direction == "along")
    strain = outer_strain(1.0, least.ratio)
    lines = [
        Line("radius", "least inside radius", least.radius, "mm", 2),
        Line("ratio", "in thicknesses", least.ratio, "-", 2),
        Line("rod", "bend it over a rod or edge of", 2.0 * least.radius, "mm", 1),
        Line("strain", "which stretches the outside by, in 100", 100.0 * strain, "-", 0),
    ]
    remarks = [f"Source: {least.source}.", *([least.remark] if least.remark else [])]
    if reduction is not None:
        own = radius_by_reduction(thickness, 100.0 * reduction)
        lines.append(Line("by_reduction", "by your reduction of area", own, "mm", 2))
        remarks.append(
            "By reduction of area: R = T (50/r - 1), Kalpakjian and Schmid. "
            "Where the two differ, trust the larger until a test strip says better."
        )
    if least.radius == 0.0:
        remarks.append(
            "It may be folded flat on itself; made by hand the inside comes out at about half "
            "a thickness."
        )
    return Answer(tuple(lines), remarks=tuple(remarks))


def _heat_movement(
    *,
    first: Board,
    second: Board,
    length: float,
    warmer: float,
    colder: float,
    first_moisture: float,
    second_moisture: float,
    fixed: str,
    hole: float,
    first_thickness: float | None,
    second_thickness: float | None,
) -> Answer:
    require_above_zero(length, "the length", name="length")
    for name, value in (("warmer", warmer), ("colder", colder)):
        require_between(value, 0.0, math.inf, f"how much {name} it gets", name=name, unit="K")
    for name, value in (("first_moisture", first_moisture), ("second_moisture", second_moisture)):
        require_between(value, 0.0, 0.3, "moisture as a share (3 % is 0.03)", name=name, unit="")
    reach = length if fixed == "one-end" else length / 2.0
    wet = 100.0 * first_moisture, 100.0 * second_moisture
    # The same air makes both warm or cold, and both damp or dry, but not both at once.
    ends = [
        moves_apart(
            first, second, reach, Change(swing, side * wet[0]), Change(swing, side * wet[1])
        )
        for swing in (warmer, -colder)
        for side in (-1.0, 1.0)
    ]
    most, least = max(0.0, *ends), min(0.0, *ends)
    slotted = slot(hole, least, most)
    lines = [
        Line("grows_past", "the first grows past the second by", most, "mm", 2),
        Line("falls_short", "and falls short of it by", -least, "mm", 2),
        Line("travel", "so leave a gap or slide of, in all", most - least, "mm", 2),
        Line("slot_length", "slot in the first, over its round ends", slotted.length, "mm", 2),
        Line("slot_width", "and wide", slotted.width, "mm"),
        Line("bolt_off", "bolt out of its middle, away from the fixed end (minus: towards)",
             slotted.off_middle, "mm", 2),
    ]  # fmt: skip
    remarks = ["Fixed at one point, free at the end; the length runs between the two."]
    if fixed == "middle":
        remarks = ["Fixed in the middle, so each end moves by half."]
    for which, board, moisture in (("first", first, wet[0]), ("second", second, wet[1])):
        if board.face.swelling.value > 0.0 and moisture == 0.0:
            remarks.append(
                f"The {which} takes up moisture, which moves it too: give {which}_moisture "
                "if the air changes."
            )
    pair = _of_thickness(first, first_thickness), _of_thickness(second, second_thickness)
    worst = max((most, least), key=abs) / reach
    if pair[0] is None or pair[1] is None:
        remarks.append(
            "Give both thicknesses to see what a joint has to hold that lets nothing go."
        )
        return Answer(tuple(lines), _STEPS, tuple(remarks))
    stiff = held(pair[0], pair[1], worst)
    lines += _held_lines(stiff, pair[0], pair[1], length, worst)
    remarks += _held_remarks(stiff, pair[0], pair[1])
    return Answer(tuple(lines), _STEPS, tuple(remarks))


_STEPS = (
    "Fix the two to one another at one point only, with a round hole.",
    "Drill the ends of each slot in the first sheet and file between, square to its edges.",
    "Set the bolt in the slot as far out of its middle as said, with a washer that spans the slot.",
    "Tighten so that it slides: spring washer, or a nut that locks, not glue.",
)


def _of_thickness(board: Board, thickness: float | None) -> Board | None:
    if thickness is not None:
        return board.of_thickness(thickness)
    return board if board.thickness else None


def _held_lines(
    stiff: Held, first: Board, second: Board, length: float, worst: float
) -> list[Line]:
    lines = [
        Line(
            "force",
            "held instead, it pulls, for each 10 mm of width",
            10.0 * abs(stiff.force),
            "N",
            0,
        ),
        Line("first_stress", "stress in the first, pull positive", stiff.first, "MPa", 1),
        Line("second_stress", "stress in the second", stiff.second, "MPa", 1),
    ]
    if not (first.is_skinned or second.is_skinned):
        out = abs(bow(first, second, length, worst))
        lines.append(Line("bow", "glued all over it bows in its length by", out, "mm", 1))
    return lines


def _held_remarks(stiff: Held, first: Board, second: Board) -> list[str]:
    remarks = []
    for which, board, stress in (("first", first, stiff.first), ("second", second, stiff.second)):
        if abs(stress) > board.face.proof.value:
            remarks.append(f"The {which} yields ({board.face.proof.value:g} MPa): do not hold it.")
        elif stress < 0.0 and abs(stress) > 0.0:
            remarks.append(f"The {which} is pressed, and buckles between its fastenings if thin.")
    return remarks


RECKONERS: tuple[Reckoner, ...] = (
    Reckoner(
        name="heat-movement",
        group="Finish and heat",
        title="How far two unlike sheets move apart with heat and moisture, and what slot to leave",
        inputs=(
            Input("first", "the sheet that gets the slots, by name", "board"),
            Input("second", "the sheet or frame it is fixed to, by name", "board"),
            Input("length", "length over which they are joined", "mm", spread=1.0),
            Input("warmer", "how much warmer than at the bench it gets", "K", usual="20"),
            Input("colder", "how much colder than at the bench it gets", "K", usual="20"),
            Input("first_moisture", "moisture that the first takes up or gives off, as a share of "
                  "its dry weight: wood indoors about 3 %", "-", usual="0"),
            Input("second_moisture", "the same of the second", "-", usual="0"),
            Input("fixed", "where they are fixed to one another", "word", usual="one-end",
                  words=_FIXED),
            Input("hole", "round hole that the bolt would have otherwise", "mm", usual="5.5"),
            Input("first_thickness", "thickness of the first, to see what holding it takes", "mm",
                  usual=""),
            Input("second_thickness", "thickness of the second", "mm", usual=""),
        ),
        answer=_heat_movement,
        formula="move = L (alpha dT + beta dm), first less second; held: "
        "N = e/(1/(E t)_1 + 1/(E t)_2); bow by Timoshenko's two layers",
        source="elementary mechanics; S. Timoshenko, Analysis of bi-metal thermostats, "
        "J. Opt. Soc. Am. 11 (1925), eq. (4)",
        domain="free sheets, evenly warm; up to 100 K and 30 per cent of moisture; elastic",
        example={"first": "acrylic", "second": "steel-DC01", "length": "600", "warmer": "30",
                 "first_thickness": "3", "second_thickness": "1"},
        cautions=(
            "Dark sheet in the sun or near lamps gets 40 K warmer than the air; what holds glass, "
            "lamps or anything overhead goes by local codes.",
        ),
    ),
    Reckoner(
        name="material",
        group="Materials",
        title="All figures of a material, how sure they are and where they come from",
        inputs=(
            Input("material", "sheet, tube or bar by name; of skinned board the skins", "board"),
        ),
        answer=_material,
        formula="None: the table of materials, or your own figure (material.proof=190).",
        source="said with each figure in the notes below the answer",
        domain="room temperature, sound stock as delivered",
        example={"material": "al-5754-H22"},
    ),
    Reckoner(
        name="least-bend",
        group="Materials",
        title="How tightly a sheet may be bent cold before it cracks",
        inputs=(
            Input("material", "solid sheet by name", "board"),
            Input("thickness", "thickness of the sheet, on a clean edge", "mm", spread=0.02),
            Input("angle", "turn of the bend: 0 is flat, 90 square", "deg", usual="90"),
            Input("direction", "bend line across or along the fine lines of rolling", "word",
                  usual="across", words=("across", "along")),
            Input("reduction", "reduction of area in a tensile test, like 40 %, from a certificate",
                  "-", usual=""),
        ),
        answer=_least_bend,
        formula="Steel: DIN 6935, by tensile strength and thickness. Aluminium: EN 485-2 or the "
        "Aluminum Association, by alloy, temper and thickness. Outside strain e = 1/(2 R/T + 1).",
        source="DIN 6935 (1975-10); EN 485-2; Aluminum Design Manual (2005), part VII, table 3-1; "
        "S. Kalpakjian and S. R. Schmid, Manufacturing Engineering and Technology",
        domain="cold bends of sound sheet, as thick as each table goes; the notes say what "
        "was seen and what is from memory",
        cautions=(_BENDING_CAUTION,),
        example={"material": "al-5754-H22", "thickness": "2"},
    ),
)  # fmt: skip
