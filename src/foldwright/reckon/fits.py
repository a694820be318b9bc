"""Reckoners of limits, fits and general tolerances."""

from __future__ import annotations

import math

from foldwright.errors import OutOfDomain
from foldwright.reckon.definition import Answer, Input, Line, Reckoner
from foldwright.shop.general_tolerances import (
    CLASSES,
    angular_tolerances,
    edge_tolerances,
    linear_tolerances,
)
from foldwright.shop.iso_fits import SizeLimits, inch_limits, iso_fit, size_limits

_GROUP = "Fits and tolerances"
# Closer than this [mm] is no hand work with file and caliper: common practice, no source.
_BY_HAND = 0.03


def _limits(size: float, hole: str | None, shaft: str | None, table: str) -> Answer:
    look_up = inch_limits if table == "inch" else size_limits
    if hole and shaft:
        fit = iso_fit(size, hole, shaft, look_up)
        lines = (
            *_shown("hole", fit.hole),
            *_shown("shaft", fit.shaft),
            Line("most_clearance", "most clearance", fit.most_clearance, "mm", 3),
            Line("least_clearance", "least clearance", fit.least_clearance, "mm", 3),
            Line("kind", "the two make", f"a {fit.kind} fit".replace("a i", "an i")),
        )
        remarks = (
            ("A clearance below 0 is interference: the shaft is larger than the hole.",)
            if fit.least_clearance < 0.0
            else ()
        )
        return Answer(lines, remarks=(*remarks, *_by_hand(fit.hole, fit.shaft)))
    if not hole and not shaft:
        raise OutOfDomain(
            "no class is given. Give hole=H7, shaft=g6, or both.",
            name="hole",
        )
    part = "hole" if hole else "shaft"
    limits = look_up(size, hole or shaft or "", name=part)
    return Answer(_shown(part, limits), remarks=_by_hand(limits))


def _shown(part: str, limits: SizeLimits) -> tuple[Line, ...]:
    said = f"{part} {limits.tolerance_class}"
    return (
        Line(f"{part}_largest", f"{said}, largest", limits.largest, "mm", 3),
        Line(f"{part}_smallest", f"{said}, smallest", limits.smallest, "mm", 3),
        Line(f"{part}_upper", f"{said}, upper deviation", limits.upper, "mm", 3),
        Line(f"{part}_lower", f"{said}, lower deviation", limits.lower, "mm", 3),
    )


def _by_hand(*limits: SizeLimits) -> tuple[str, ...]:
    narrow = [one.tolerance_class for one in limits if one.upper - one.lower < _BY_HAND]
    if not narrow:
        return ()
    return (f"{' and '.join(narrow)}: closer than hand and caliper hold. Ream, turn or buy it.",)


def _general_tolerance(size: float, what: str, grade: str) -> Answer:
    allowed = {
        "length": linear_tolerances,
        "edge": edge_tolerances,
        "angle": angular_tolerances,
    }[what](size)
    if grade not in allowed:
        raise OutOfDomain(
            f"class {grade} has no value for {size:g} mm in ISO 2768-1. "
            f"There are {', '.join(allowed)}.",
            name="grade",
        )
    if what == "angle":
        turn = allowed[grade]
        return Answer(
            (
                Line("plus_minus", "plus or minus", math.degrees(turn), "deg", 2),
                Line("at_end", "at the end of that side", size * math.tan(turn), "mm", 2),
            )
        )
    return Answer(
        (
            Line("plus_minus", "plus or minus", allowed[grade], "mm", 2),
            Line("largest", "at most", size + allowed[grade], "mm", 2),
            Line("smallest", "at least", size - allowed[grade], "mm", 2),
        )
    )


RECKONERS: tuple[Reckoner, ...] = (
    Reckoner(
        name="limits",
        group=_GROUP,
        title="Limits of a hole or shaft with an ISO class, and the clearance between the two",
        inputs=(
            Input("size", "nominal size that hole and shaft share", "mm"),
            Input("hole", "class of the hole, like H7", "word", usual=""),
            Input("shaft", "class of the shaft, like g6", "word", usual=""),
            Input(
                "table",
                "inch: as the inch tables of handbooks round it",
                "word",
                usual="mm",
                words=("mm", "inch"),
            ),
        ),
        answer=_limits,
        formula="Limits of size: nominal size + limit deviations; "
        "clearance = limit of the hole - opposite limit of the shaft",
        source="ISO 286-1:2010, Tables 1 to 5, compared with K. L. Narayana, P. Kannaiah and "
        "K. Venkata Reddy, Machine Drawing, Tables 15.1 to 15.3; not all from print, see "
        "iso_fits.toml",
        domain="Above 0 up to 3150 mm, letters d to u only over 500 mm; at 20 degrees C.",
        example={"size": "25", "hole": "H7", "shaft": "g6"},
    ),
    Reckoner(
        name="general-tolerance",
        group=_GROUP,
        title="What a drawing allows that quotes ISO 2768 and gives no tolerance of its own",
        inputs=(
            Input(
                "size",
                "nominal length; radius or chamfer of an edge; or shorter side of an angle",
                "mm",
            ),
            Input(
                "what", "what has that size", "word", "length", words=("length", "edge", "angle")
            ),
            Input(
                "grade",
                "class: fine, medium, coarse, very coarse",
                "word",
                usual="m",
                words=tuple(CLASSES),
            ),
        ),
        answer=_general_tolerance,
        formula="Table look-up",
        source="ISO 2768-1:1989, Tables 1 to 3",
        domain="0.5 to 4000 mm. For sizes without a tolerance of their own; not for bought "
        "parts, nor for where surfaces lie to one another.",
        example={"size": "300", "grade": "c"},
    ),
)
