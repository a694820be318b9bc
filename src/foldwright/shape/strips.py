"""Strips of board: flat ones that back a seam or spread a load, and angles.

Room: shape. An angle is a strip with one fold. Its dims are taken over the
outside, to the mould line of the fold; the finish moves that line out on both
faces, so it grows each leg by ``c tan(turn/2)`` at the fold.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

from foldwright.errors import CannotMake, offer_names
from foldwright.plan import Number, Strip
from foldwright.plan.dual import number
from foldwright.shape.measured import Dim, Section, Span
from foldwright.shape.solid import Face, Solid

# Faces of the triangle that an angle encloses; none of them is made.
_OPEN = ("left end", "right end", "inner")


def strip_faces(strip: Strip) -> tuple[str, ...]:
    """Names of the faces of a strip."""
    return ("top",) if strip.flange is None else ("top", "flange")


def strip_dims(strip: Strip, values: Mapping[str, Number], *, finished: bool) -> dict[str, Dim]:
    """Every dim of a strip."""
    grown = strip.coat_outside * (int(finished) - int(not strip.bare))
    found = [
        Dim("length", strip.length.value(values) + 2.0 * grown, "along the strip, end to end"),
    ]
    width = strip.width.value(values)
    if strip.flange is None:
        found.append(Dim("width", width + 2.0 * grown, "across the strip"))
    else:
        leg = grown * (1.0 + math.tan(abs(strip.turn) / 2.0))
        flange = strip.flange.value(values)
        found += [
            Dim("width", width + leg, "outside of the top, edge to fold"),
            Dim("flange", flange + leg, "outside of the flange, edge to fold"),
        ]
    return {dim.name: dim for dim in found}


def strip_span(strip: Strip, *, finished: bool) -> tuple[float, float, float, float]:
    """Where the top lies in the strip's frame: x from, x to, y from, y to the edge or fold [mm]."""
    dims = strip_dims(strip, strip.values(), finished=finished)
    stands_in = strip.coat_outside * (int(not strip.bare) - int(finished))
    x0, y0 = stands_in, stands_in
    x1 = x0 + number(dims["length"].value)
    if strip.mirrored:
        x0, x1 = -x1, -x0
    return x0, x1, y0, y0 + number(dims["width"].value)


def angle_solid(strip: Strip, *, finished: bool = False) -> Solid:
    """Outside of an angle: top and flange, the rest of its triangle open.

    Raises
    ------
    CannotMake
        A flat strip, or one that does not fold down.
    """
    if strip.flange is None or not 0.0 < strip.turn < math.pi:
        raise CannotMake(
            f"{strip.name} is folded by {math.degrees(strip.turn):.1f} degrees.",
            part=strip.name,
            field="fold_deg",
            remedy="Fold it down by more than 0 and less than 180 degrees, or leave out the "
            "flange for a flat strip.",
        )
    x0, x1, y0, y1 = strip_span(strip, finished=finished)
    flange = number(strip_dims(strip, strip.values(), finished=finished)["flange"].value)
    z = strip.thickness
    corners = [(y0, z), (y1, z)]
    corners.append((y1 + flange * math.cos(strip.turn), z - flange * math.sin(strip.turn)))
    return Solid(
        vertices=tuple((x, y, height) for x in (x0, x1) for y, height in corners),
        faces=(
            Face("top", (0, 3, 4, 1)),
            Face("flange", (1, 4, 5, 2)),
            Face(_OPEN[2], (2, 5, 3, 0)),
            Face(_OPEN[0], (0, 1, 2)),
            Face(_OPEN[1], (3, 5, 4)),
        ),
        open_faces=frozenset(_OPEN),
    )


def strip_section(strip: Strip, face: str, values: Mapping[str, Number], *, mouth: bool) -> Section:
    """Rectangle that a face of a strip offers to a meet; see `dims.section_of`."""
    face = face or "top"
    if face not in strip_faces(strip) or mouth:
        raise CannotMake(
            f"Nothing can slide into {strip.name}."
            if mouth
            else f'{strip.name} has no face "{face}".',
            part=strip.name,
            field="",
            remedy="Let another part be the outer one."
            if mouth
            else offer_names(face, strip_faces(strip)),
        )
    dims = strip_dims(strip, values, finished=True)
    # As drawn: the section of the other hand is reflected as a whole by `dims.section_of`.
    x0, x1, y0, y1 = strip_span(replace(strip, mirrored=False), finished=True)
    along = Span("length", dims["length"].value, (1.0, 0.0, 0.0))
    if face == "top":
        across = Span("width", dims["width"].value, (0.0, 1.0, 0.0))
        return Section((along, across), ((x0 + x1) / 2.0, (y0 + y1) / 2.0, strip.thickness))
    down = (0.0, math.cos(strip.turn), -math.sin(strip.turn))
    half = number(dims["flange"].value) / 2.0
    centre = ((x0 + x1) / 2.0, y1 + half * down[1], strip.thickness + half * down[2])
    return Section((along, Span("flange", dims["flange"].value, down)), centre)
