"""Bought things: an envelope that other parts meet.

Room: shape. The envelope behaves as a box or a drum without a wall; nothing
of it is made, so nothing of it is finished.
"""

from __future__ import annotations

from collections.abc import Mapping

from foldwright.errors import CannotMake
from foldwright.plan import Bought, Box, Drum, Number
from foldwright.shape import prisms, rounds
from foldwright.shape.measured import Dim, Section, Span


def envelope(bought: Bought) -> Box | Drum:
    """Return the box or drum that a bought thing fills.

    Raises
    ------
    CannotMake
        Neither width, depth and height nor diameter and length are given.
    """
    name, parameters = bought.name, bought.parameters
    if bought.diameter is not None and bought.length is not None:
        return Drum(
            name=name,
            stock=bought.stock,
            thickness=0.0,
            parameters=parameters,
            mirrored=bought.mirrored,
            outside_d=bought.diameter,
            length=bought.length,
        )
    if bought.width is None or bought.depth is None or bought.height is None:
        raise CannotMake(
            f"{name} has no envelope.",
            part=name,
            field="size",
            remedy="Give it size = [width, depth, height], or a diameter and a length.",
        )
    return Box(
        name=name,
        stock=bought.stock,
        thickness=0.0,
        parameters=parameters,
        mirrored=bought.mirrored,
        width=bought.width,
        depth=bought.depth,
        height=bought.height,
    )


def bought_dims(bought: Bought, values: Mapping[str, Number]) -> dict[str, Dim]:
    """Return the dims of the envelope: width, depth and height, or diameter and length."""
    body = envelope(bought)
    if isinstance(body, Drum):
        found = [
            Dim("diameter", body.outside_d.value(values), "outside, at its widest", "diameter"),
            Dim("length", body.length.value(values), "end to end"),
        ]
    else:
        found = [
            Dim("width", body.width.value(values), "outside, left to right, at its widest"),
            Dim("depth", body.depth.value(values), "outside, front to back, at its deepest"),
            Dim("height", body.height.value(values), "outside, bottom to top, at its highest"),
        ]
    return {dim.name: dim for dim in found}


def bought_section(
    bought: Bought, face: str, values: Mapping[str, Number], *, mouth: bool
) -> Section:
    """What a face of the envelope offers to a meet; nothing slides into it."""
    if mouth:
        raise CannotMake(
            f"Nothing can slide into {bought.name}: of what is bought only the envelope is known.",
            part=bought.name,
            field="",
            remedy="Let it be the inner part.",
        )
    body = envelope(bought)
    if isinstance(body, Drum):
        found = rounds.drum_section(body, face, values, mouth=False)
        across = Span("diameter", found.spans[0].value, found.spans[0].direction)
        return Section((across,), found.centre)
    return prisms.section(body, face, values, mouth=False)
