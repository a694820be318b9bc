"""Drums: a sheet curled to a cylinder, measured by its girth.

Room: shape. A drum is never quite round, but its girth is what it is; a cap
suits it by girth. All diameters here are girth / pi.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from foldwright.errors import CannotMake, offer_names
from foldwright.plan import Drum, Number
from foldwright.plan.dual import number
from foldwright.shape.measured import Dim, Section, Span
from foldwright.shop import neutral_girth

DRUM_FACES = ("wall", "bottom", "top")


def bare_drum(drum: Drum, values: Mapping[str, Number]) -> tuple[Number, Number]:
    """Outside diameter and length of the bare drum [mm]."""
    coat = 0.0 if drum.bare else drum.coat_outside
    return drum.outside_d.value(values) - 2.0 * coat, drum.length.value(values) - 2.0 * coat


def blank_length(drum: Drum, values: Mapping[str, Number]) -> Number:
    """Length of the blank round the drum, on the neutral line [mm]."""
    return neutral_girth(bare_drum(drum, values)[0], drum.thickness)


def drum_dims(drum: Drum, values: Mapping[str, Number], *, finished: bool) -> dict[str, Dim]:
    """Every dim of a drum."""
    bare_d, bare_length = bare_drum(drum, values)
    out = drum.coat_outside if finished else 0.0
    into = drum.coat_inside if finished else 0.0
    outside = bare_d + 2.0 * out
    found = [
        Dim("girth", outside * math.pi, "tape once round the outside, mid-length", "girth"),
        Dim("outside_d", outside, "outside, the mean of three directions", "diameter"),
        Dim(
            "bore",
            bare_d - 2.0 * (drum.thickness + into),
            "inside, the mean of three directions",
            "diameter",
        ),
        Dim("length", bare_length + 2.0 * out, "end to end, the mean of three places round"),
    ]
    return {dim.name: dim for dim in found}


def drum_section(drum: Drum, face: str, values: Mapping[str, Number], *, mouth: bool) -> Section:
    """Circle that an end of a drum offers to a meet; see `dims.section_of`."""
    if face not in ("", *DRUM_FACES):
        raise CannotMake(
            f'{drum.name} has no face "{face}".',
            part=drum.name,
            field="",
            remedy=offer_names(face, DRUM_FACES),
        )
    dims = drum_dims(drum, values, finished=True)
    name = "bore" if mouth else "outside_d"
    # Meets are judged by girth; the outside girth stands for both skins.
    z = 0.0 if face == "bottom" else number(drum.length.value(values))
    return Section((Span(name, dims[name].value, (1.0, 0.0, 0.0)),), (0.0, 0.0, z))
