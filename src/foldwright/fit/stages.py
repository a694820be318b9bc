"""What each stage still leaves free: which dims of a part can change, and which way.

Room: fit. Before it is cut, all of a part can still be drawn anew. Once cut, it
can only be made smaller, a hole only larger: that is trimming, one way. A
groove fixes the fold lines, so that after it only rims that end in the open
can be trimmed; closing fixes the angles and the girth; once joined, or painted,
nothing is cut any more. What is bought is as it is.

Which way a parameter trims follows from the slopes of what it moves: the
outside dims of a flat or round part, or the faces of a folded one.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Literal

import numpy as np

from foldwright.ledger import has_reached
from foldwright.plan import (
    AnyPart,
    Bought,
    Box,
    Drum,
    Dual,
    Faceted,
    FoldedPart,
    Hood,
    Length,
    Number,
    Profile,
    Taper,
)
from foldwright.plan.dual import slopes
from foldwright.shape import Vector, dims_of, face_corners, face_frame, finished_solid
from foldwright.shape.planes import dot

type Freedom = Literal["free", "smaller", "larger", "fixed"]
"""``free``: drawn anew; ``smaller``, ``larger``: trimmed, that way only; ``fixed``."""

# A slope below this moves nothing that a hand can trim.
_NONE = 1e-9
# Dims that are holes: material goes as they grow.
_HOLES = ("bore", "bolt_d")
# Told by other dims, or inside; a drum's bore follows its outside.
_NOT_TRIMMED = ("girth", "inside", "mouth")


def freedoms(part: AnyPart, stage: str) -> dict[str, Freedom]:
    """What can still be done to each parameter of a part.

    Parameters
    ----------
    part : AnyPart
        As intended now.
    stage : str
        How far it has got, one of `STAGES`.

    Returns
    -------
    dict of str to Freedom
        By the name of the parameter, in the order of the part.

    Raises
    ------
    UnknownName
        No such stage.

    Notes
    -----
    A part that is only marked is marked again. Of a folded part that is cut but
    not grooved every panel can be trimmed; a parameter that would need one edge
    to grow while another shrinks is fixed. Where a fixed parameter places a hole,
    it is fixed from the cut on.
    """
    names = [p.name for p in part.parameters]
    if isinstance(part, Bought):
        return dict.fromkeys(names, "fixed")
    if not has_reached(stage, "cut"):
        return dict.fromkeys(names, "free")
    if has_reached(stage, "joined"):
        return dict.fromkeys(names, "fixed")
    found = _trims(part, stage)
    placed = _names_of_features(part)
    return {name: "fixed" if name in placed else found.get(name, "fixed") for name in names}


def can_change(part: AnyPart, stage: str) -> frozenset[str]:
    """Parameters that a refit may draw anew."""
    return frozenset(name for name, how in freedoms(part, stage).items() if how == "free")


def _trims(part: AnyPart, stage: str) -> dict[str, Freedom]:
    """Parameters of a part that is cut and not joined."""
    match part:
        case Box() | Profile() | Taper() | Faceted():
            return _rim_trims(part) if has_reached(stage, "grooved") else _dim_trims(part)
        case Drum():
            # Closed, its girth is what it is; its ends can still be trimmed.
            closed = has_reached(stage, "closed")
            return _dim_trims(part, leave_out=("outside_d", "bore") if closed else ("bore",))
        case Hood():
            # To trim an end of a cone changes its height and a diameter at once.
            return {}
    return _dim_trims(part)  # a plate, strip, tube or plug ends in free edges all round


def _seeds(part: AnyPart) -> dict[str, Number]:
    return {p.name: Dual.seed(p.name, p.value) for p in part.parameters}


def _dim_trims(part: AnyPart, leave_out: Iterable[str] = ()) -> dict[str, Freedom]:
    """Which way each parameter takes material off, by the dims that it moves."""
    signs: dict[str, set[int]] = {}
    left_out = tuple(leave_out)
    for dim in dims_of(part, _seeds(part), finished=True).values():
        if dim.is_spare or dim.name in left_out or any(w in dim.name for w in _NOT_TRIMMED):
            continue
        way = -1 if dim.name in _HOLES else 1
        for name, slope in slopes(dim.value).items():
            if abs(slope) > _NONE:
                signs.setdefault(name, set()).add(way if slope > 0.0 else -way)
    return {name: _freedom(found) for name, found in signs.items()}


def _freedom(signs: set[int]) -> Freedom:
    if signs == {1}:
        return "smaller"
    return "larger" if signs == {-1} else "fixed"


def _rim_trims(part: FoldedPart) -> dict[str, Freedom]:
    """Parameters that move nothing but open rims, once the fold lines are fixed.

    A shift of the whole part moves no fold line, so it is taken off first: the
    face offsets s of the made faces have to be n . t for some t.
    """
    seeds = _seeds(part)
    names = [face.name for face in finished_solid(part).faces if not face.cylinder]
    normals, moves = [], []
    for name in names:
        normal = face_frame(part, name)[:3, 2]
        out = (float(normal[0]), float(normal[1]), float(normal[2]))
        corners = face_corners(part, name, seeds)
        normals.append(normal)
        # Every corner counts: a face that turns has moved too.
        moves.append([slopes(dot(out, corner)) for corner in corners])
    found: dict[str, Freedom] = {}
    for parameter in seeds:
        found[parameter] = _rim_trim(part, names, np.array(normals), moves, parameter)
    return found


def _rim_trim(
    part: FoldedPart,
    names: list[str],
    normals: Vector,
    moves: list[list[Mapping[str, float]]],
    parameter: str,
) -> Freedom:
    """Which way one parameter moves the open rims, if it moves nothing else."""
    rows, steps = [], []
    for name, normal, corners in zip(names, normals, moves, strict=True):
        for corner in corners if name not in part.leave_open else ():
            rows.append(normal)
            steps.append(corner.get(parameter, 0.0))
    shift, *_ = np.linalg.lstsq(np.array(rows), np.array(steps), rcond=None)
    if float(np.abs(np.array(rows) @ shift - np.array(steps)).max()) > _NONE:
        return "fixed"
    outwards = [
        corner.get(parameter, 0.0) - float(normal @ shift)
        for name, normal, corners in zip(names, normals, moves, strict=True)
        if name in part.leave_open
        for corner in corners
    ]
    signs = {1 if step > 0.0 else -1 for step in outwards if abs(step) > _NONE}
    return _freedom(signs) if signs else "fixed"


def _names_of_features(part: AnyPart) -> set[str]:
    """Parameters that place what is cut into the faces."""
    found: set[str] = set()
    for feature in part.features:
        for length in (*(feature.at or ()), *vars(feature).values()):
            if isinstance(length, Length):
                found.update(length.formula.names)
    return found
