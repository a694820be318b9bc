"""Plates: flat pieces cut to an outline, discs and rings.

Room: shape. The edge of a plate is finished like its faces, so the bare plate
is smaller all round by the finish.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from foldwright.errors import CannotMake, offer_names
from foldwright.plan import Number, Plate
from foldwright.plan.dual import number
from foldwright.shape.measured import Dim, Section, Span
from foldwright.shape.outline import Corner, extent, interior_angles, move_sides

PLATE_FACES = ("top", "bottom", "edge")
_SQUARE = math.radians(0.1)


def plate_outline(plate: Plate, values: Mapping[str, Number], *, finished: bool) -> list[Corner]:
    """Outline with the finish on or bare: corners (x, y) [mm]; empty for a disc."""
    given: list[Corner] = [(x.value(values), y.value(values)) for x, y in plate.outline]
    return move_sides(given, [-_growth(plate, finished=finished)] * len(given)) if given else []


def disc(plate: Plate, values: Mapping[str, Number], *, finished: bool) -> tuple[Number, Number]:
    """Diameter and bore of a disc [mm]; the bore is 0 if there is none."""
    grown = 2.0 * _growth(plate, finished=finished)
    diameter = plate.diameter.value(values) + grown if plate.diameter else 0.0
    bore = plate.bore.value(values) - grown if plate.bore else 0.0
    return diameter, bore


def dims(plate: Plate, values: Mapping[str, Number], *, finished: bool) -> dict[str, Dim]:
    """Every dim of a plate."""
    if plate.diameter is not None:
        diameter, bore = disc(plate, values, finished=finished)
        found = [
            Dim("diameter", diameter, "across, the mean of three directions", "diameter"),
            Dim("girth", diameter * math.pi, "tape once round the edge", "girth"),
        ]
        if plate.bore is not None:
            found.append(
                Dim("bore", bore, "across the hole, the mean of three directions", "diameter")
            )
    else:
        outline = plate_outline(plate, values, finished=finished)
        found = [
            Dim("width", extent(outline, 0), "left to right, over all"),
            Dim("height", extent(outline, 1), "bottom to top of the outline, over all"),
        ]
    return {dim.name: dim for dim in found}


def section(plate: Plate, face: str, values: Mapping[str, Number], *, mouth: bool) -> Section:
    """Rectangle or circle that a plate offers to a meet; see `dims.section_of`."""
    if face not in ("", "top", "bottom"):
        raise CannotMake(
            f'A meet cannot use face "{face}" of {plate.name}.',
            part=plate.name,
            field="",
            remedy=offer_names(face, ("top", "bottom")),
        )
    z = 0.0 if face == "bottom" else plate.thickness
    if plate.diameter is not None:
        diameter, bore = disc(plate, values, finished=True)
        if mouth and plate.bore is None:
            raise _no_mouth(plate)
        span = Span("bore", bore, (1.0, 0.0, 0.0)) if mouth else _across(diameter)
        return Section((span,), (0.0, 0.0, z))
    if mouth:
        raise _no_mouth(plate)
    outline = plate_outline(plate, values, finished=True)
    plain = [(number(x), number(y)) for x, y in outline]
    square = all(abs(a - math.pi / 2.0) < _SQUARE for a in interior_angles(plain))
    if len(plain) != 4 or not square or abs(plain[1][1] - plain[0][1]) > 1e-9:
        raise CannotMake(
            f"{plate.name} is no upright rectangle, so a meet cannot tell its margins.",
            part=plate.name,
            field="outline",
            remedy="Let the meet use a rectangular plate or a disc.",
        )
    centre = (
        (plain[0][0] + plain[1][0]) / 2.0,
        (plain[1][1] + plain[2][1]) / 2.0,
        z,
    )
    return Section(
        (
            Span("width", extent(outline, 0), (1.0, 0.0, 0.0)),
            Span("height", extent(outline, 1), (0.0, 1.0, 0.0)),
        ),
        centre,
    )


def _across(diameter: Number) -> Span:
    return Span("diameter", diameter, (1.0, 0.0, 0.0))


def _no_mouth(plate: Plate) -> CannotMake:
    return CannotMake(
        f"Nothing can slide into {plate.name}: it has no hole.",
        part=plate.name,
        field="bore",
        remedy="Give it a bore, or let another part be the outer one.",
    )


def _growth(plate: Plate, *, finished: bool) -> float:
    """How far each edge stands outside what the plan states [mm]."""
    if plate.bare:
        return plate.coat_outside if finished else 0.0
    return 0.0 if finished else -plate.coat_outside
