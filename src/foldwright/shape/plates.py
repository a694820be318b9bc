"""Plates: flat pieces cut to an outline, discs and rings.

Room: shape. The edge of a plate is finished like its faces, so the bare plate
is smaller all round by the finish. Its outline may have rounds and bowed
sides; `plate_path` is what is cut.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from shapely import Polygon

from foldwright.errors import CannotMake, OutOfDomain, offer_names
from foldwright.plan import Number, Plate
from foldwright.plan.dual import number
from foldwright.shape.arcs import Outline
from foldwright.shape.measured import Dim, Section, Span
from foldwright.shape.moving import moved, vanished_side
from foldwright.shape.outline import Corner, extent, interior_angles, move_sides
from foldwright.shape.paths import Path
from foldwright.shape.rounding import outline_with_arcs

PLATE_FACES = ("top", "bottom", "edge")
_SQUARE = math.radians(0.1)


def plate_outline(plate: Plate, values: Mapping[str, Number], *, finished: bool) -> list[Corner]:
    """Corners of the outline with the finish on or bare: (x, y) [mm]; empty for a disc.

    Between them `plate_shape` tells which sides are arcs; neither is reflected
    where the plate is mirrored.
    """
    return list(plate_shape(plate, values, finished=finished).corners) if plate.outline else []


def plate_shape(plate: Plate, values: Mapping[str, Number], *, finished: bool) -> Outline:
    """Outline of a plate that is no disc, with the finish on or bare, sides and arcs.

    Raises
    ------
    CannotMake
        A round that does not fit, or an arc that the finish swallows.
    """
    count = len(plate.outline)
    try:
        given = outline_with_arcs(
            [(x.value(values), y.value(values)) for x, y in plate.outline],
            [f"side-{i + 1}" for i in range(count)],
            [r.value(values) if r is not None else None for r in plate.rounds],
            [r.value(values) if r is not None else None for r in plate.rises],
        )
        return moved(given, [-_growth(plate, finished=finished)] * len(given))
    except OutOfDomain as fault:
        raise CannotMake(
            f"{plate.name}: {fault}",
            part=plate.name,
            field="rounds" if plate.rounds else "rises",
            remedy="Make the round smaller or the side longer.",
        ) from fault


def plate_path(plate: Plate, *, finished: bool) -> Path:
    """Outline of a plate that is no disc as drawn, anticlockwise, with true arcs.

    Reflected if the plate is mirrored.

    Raises
    ------
    CannotMake
        As `plate_shape`; an outline that crosses itself, or a side that the
        finish swallows.
    """
    values = plate.values()
    shape = plate_shape(plate, values, finished=finished)
    whole = plate_shape(plate, values, finished=not plate.bare)
    lost = vanished_side(whole, shape)
    if lost is not None or not Polygon(shape.chords()).is_valid:
        problem = f"{lost} is shorter than its finish is thick" if lost else "it crosses itself"
        raise CannotMake(
            f"The outline of {plate.name} cannot be cut: {problem}.",
            part=plate.name,
            field="outline",
            remedy="Move its corners, or make its rounds and bows smaller.",
        )
    return (shape.mirrored() if plate.mirrored else shape).path()


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
        outline = plate_shape(plate, values, finished=finished)
        found = [
            Dim("width", outline.extent(0), "left to right, over all"),
            Dim("height", outline.extent(1), "bottom to top of the outline, over all"),
        ]
        for i, name in enumerate(outline.names):
            if outline.arcs[i] is not None and "~" not in name:
                rise = outline.rise(i)
                found += [
                    Dim(f"{name}_chord", outline.chord(i), f"straight across {name}"),
                    Dim(
                        f"{name}_rise",
                        rise if number(rise) > 0.0 else -rise,
                        f"how far the middle of {name} bows past its chord",
                    ),
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
    # Rounded corners take nothing off the margins along the sides.
    given: list[Corner] = [(x.value(values), y.value(values)) for x, y in plate.outline]
    outline = move_sides(given, [-_growth(plate, finished=True)] * len(given))
    plain = [(number(x), number(y)) for x, y in outline]
    square = all(abs(angle - math.pi / 2.0) < _SQUARE for angle in interior_angles(plain))
    level = abs(plain[1][1] - plain[0][1]) < 1e-9
    if len(plain) != 4 or any(plate.rises) or not square or not level:
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
