"""Dims: what can be measured on a part, as smooth functions of its parameters.

Room: shape. Each kind of part answers the same questions through `dims_of`
and `section_of`; both take the parameters as floats or as duals, so the number
that is drawn, the number that is predicted and its derivative are one formula.

The values may hold strays too, errors of a made part that no drawing can take
back (see `strays`); the *spare* dims see them.

*Bare* dims are those of the board before its finish; *finished* dims are
what a person sees. A plan states finished dims unless the part says ``bare``.
"""

from __future__ import annotations

from collections.abc import Mapping

from foldwright.errors import UnknownName
from foldwright.plan import (
    AnyPart,
    Bought,
    Box,
    Drum,
    Faceted,
    Hood,
    Number,
    Plate,
    Plug,
    Profile,
    Rib,
    Strip,
    Taper,
    Tube,
)
from foldwright.shape import (
    bought,
    faceted,
    hoods,
    plates,
    prisms,
    ribs,
    rounds,
    strips,
    tapers,
    tubes,
)
from foldwright.shape.measured import Dim, Section
from foldwright.shape.spare import spare_dims
from foldwright.shape.strays import with_offs


def dims_of(
    part: AnyPart,
    parameters: Mapping[str, Number] | None = None,
    *,
    finished: bool,
    with_spare: bool = True,
) -> dict[str, Dim]:
    """Every dim of a part.

    Parameters
    ----------
    part : AnyPart
    parameters : Mapping, optional
        By name [mm], floats or duals, and strays as far as they are known; the
        part's own values if left out.
    finished : bool
        With the finish on, or bare.
    with_spare : bool
        The spare ones too, which tell nothing of a part as drawn.

    Returns
    -------
    dict of str to Dim
    """
    values = part.values() if parameters is None else parameters
    strayed = with_offs(part, values)
    found = _dims(strayed, values, finished=finished)
    if not with_spare:
        return found
    spare = spare_dims(strayed, values, found, finished=finished)
    return found | {dim.name: dim for dim in spare if dim.name not in found}


def _dims(part: AnyPart, values: Mapping[str, Number], *, finished: bool) -> dict[str, Dim]:
    match part:
        case Box() | Profile():
            return prisms.dims(part, values, finished=finished)
        case Taper():
            return tapers.dims(part, values, finished=finished)
        case Faceted():
            return faceted.dims(part, values, finished=finished)
        case Drum():
            return rounds.drum_dims(part, values, finished=finished)
        case Hood():
            return hoods.hood_dims(part, values, finished=finished)
        case Plate():
            return plates.dims(part, values, finished=finished)
        case Tube():
            return tubes.tube_dims(part, values, finished=finished)
        case Plug():
            return tubes.plug_dims(part, values, finished=finished)
        case Strip():
            return strips.strip_dims(part, values, finished=finished)
        case Rib():
            return ribs.rib_dims(part, values, finished=finished)
        case Bought():
            return bought.bought_dims(part, values)


def section_of(
    part: AnyPart,
    face: str,
    parameters: Mapping[str, Number] | None = None,
    *,
    mouth: bool,
) -> Section:
    """What a face offers to a meet, finished.

    Parameters
    ----------
    part, face
        `face` may be empty where the part has only one choice.
    parameters : Mapping, optional
        As in `dims_of`.
    mouth : bool
        The opening inside an open face, instead of the outside of a face.

    Raises
    ------
    CannotMake
        The face has no such section; says which do.
    """
    values = part.values() if parameters is None else parameters
    found = _section(with_offs(part, values), face, values, mouth=mouth)
    return found.mirrored() if part.mirrored else found


def _section(part: AnyPart, face: str, values: Mapping[str, Number], *, mouth: bool) -> Section:
    match part:
        case Box() | Profile():
            return prisms.section(part, face, values, mouth=mouth)
        case Taper():
            return tapers.section(part, face, values, mouth=mouth)
        case Faceted():
            return faceted.section(part, face, values, mouth=mouth)
        case Drum():
            return rounds.drum_section(part, face, values, mouth=mouth)
        case Hood():
            return hoods.hood_section(part, face, values, mouth=mouth)
        case Plate():
            return plates.section(part, face, values, mouth=mouth)
        case Tube():
            return tubes.tube_section(part, face, values, mouth=mouth)
        case Plug():
            return tubes.plug_section(part, face, values, mouth=mouth)
        case Strip():
            return strips.strip_section(part, face, values, mouth=mouth)
        case Rib():
            return ribs.rib_section(part, face, values, mouth=mouth)
        case Bought():
            return bought.bought_section(part, face, values, mouth=mouth)


def dim_named(part: AnyPart, name: str, *, finished: bool) -> Dim:
    """One dim of a part by name.

    Raises
    ------
    UnknownName
        With the nearest names.
    """
    dims = dims_of(part, finished=finished)
    if name not in dims:
        raise UnknownName(f"dim of {part.name}", name, dims)
    return dims[name]
