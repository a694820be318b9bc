"""Tubes and plugs: lengths of tube and bar, cut square.

Room: shape. Their stock decides what they are across: a dim of a tube's
outside or bore can be measured, but no refit changes it.
"""

from __future__ import annotations

from collections.abc import Mapping

from foldwright.errors import CannotMake, offer_names
from foldwright.plan import Number, Plug, Tube
from foldwright.plan.dual import number
from foldwright.shape.measured import Dim, Section, Span

TUBE_WALLS = ("front", "right", "back", "left")
PLUG_FACES = ("wall", "bottom", "top")
_ACROSS = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0))


def tube_faces(tube: Tube) -> tuple[str, ...]:
    """Names of the faces of a tube."""
    return (*(TUBE_WALLS if tube.square else ("wall",)), "bottom", "top")


def tube_dims(tube: Tube, values: Mapping[str, Number], *, finished: bool) -> dict[str, Dim]:
    """Every dim of a tube."""
    out = tube.coat_outside if finished else 0.0
    into = tube.coat_inside if finished else 0.0
    across: Number = tube.across + values.get("~outside_off", 0.0)
    bore = tube.across - 2.0 * (tube.thickness + into) + values.get("~bore_off", 0.0)
    if tube.square:
        found = [
            Dim("side", across + 2.0 * out, "outside, the mean of both ways"),
            Dim("bore", bore, "inside, the mean of both ways"),
        ]
    else:
        found = [
            Dim("outside_d", across + 2.0 * out, "outside, across both ways", "diameter"),
            Dim("bore", bore, "inside, across both ways", "diameter"),
        ]
    found.append(
        Dim("length", _grown(tube, tube.length.value(values), finished=finished), "end to end")
    )
    return {dim.name: dim for dim in found}


def tube_section(tube: Tube, face: str, values: Mapping[str, Number], *, mouth: bool) -> Section:
    """Circle or square that an end of a tube offers to a meet; see `dims.section_of`."""
    _require_face(tube, face, tube_faces(tube))
    dims = tube_dims(tube, values, finished=True)
    name = "bore" if mouth else "side" if tube.square else "outside_d"
    z = 0.0 if face == "bottom" else number(tube.length.value(values))
    directions = _ACROSS if tube.square else _ACROSS[:1]
    return Section(tuple(Span(name, dims[name].value, d) for d in directions), (0.0, 0.0, z))


def plug_dims(plug: Plug, values: Mapping[str, Number], *, finished: bool) -> dict[str, Dim]:
    """Every dim of a plug."""
    grown = plug.coat_outside * (int(finished) - int(not plug.bare))
    long: Number = plug.length.value(values) + 2.0 * grown
    if not plug.across:  # sawn from board, which is as thick as it is
        long = plug.thickness + (2.0 * plug.coat_outside if finished else 0.0)
    found = [
        Dim(
            "diameter",
            plug.diameter.value(values) + 2.0 * grown,
            "across, the mean of three directions",
            "diameter",
        ),
        Dim("length", long, "end to end"),
    ]
    if plug.bolt_d is not None:
        found.append(
            Dim("bolt_d", plug.bolt_d.value(values) - 2.0 * grown, "across the hole", "diameter")
        )
    return {dim.name: dim for dim in found}


def plug_section(plug: Plug, face: str, values: Mapping[str, Number], *, mouth: bool) -> Section:
    """Circle that a plug offers to a meet: its outside, or the hole for its bolt."""
    _require_face(plug, face, PLUG_FACES)
    if mouth and plug.bolt_d is None:
        raise CannotMake(
            f"Nothing can slide into {plug.name}: it has no hole.",
            part=plug.name,
            field="bolt_d",
            remedy="Give it a bolt_d, or let another part be the outer one.",
        )
    dims = plug_dims(plug, values, finished=True)
    name = "bolt_d" if mouth else "diameter"
    z = 0.0 if face == "bottom" else number(dims["length"].value)
    return Section((Span(name, dims[name].value, _ACROSS[0]),), (0.0, 0.0, z))


def _grown(tube: Tube, length: Number, *, finished: bool) -> Number:
    return length + 2.0 * tube.coat_outside * (int(finished) - int(not tube.bare))


def _require_face(part: Tube | Plug, face: str, faces: tuple[str, ...]) -> None:
    if face and face not in faces:
        raise CannotMake(
            f'{part.name} has no face "{face}".',
            part=part.name,
            field="",
            remedy=offer_names(face, faces),
        )
