"""Where the flat outside faces of a part lie, finished, on floats or duals.

Room: shape. `place` says where a face lies as drawn; here it follows the
parameters, so that a step between two parts, or how their holes line up, has
exact slopes. What a part is made of its outline says; a round face is given by
four points on its rim and a bowed end by the rectangle round it, which lie in
its plane and reach as far as it does.

A plate or strip stands on its painted underside: its top lies its board and two
coats higher.

Start at `face_corners`; `reach_along` says how far a part reaches in a direction.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np

from foldwright.errors import CannotMake, offer_names
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
from foldwright.plan.dual import hypot, number
from foldwright.shape import faceted, hoods, plates, prisms, ribs, rounds, strips, tapers, tubes
from foldwright.shape.bought import envelope
from foldwright.shape.place import face_frame
from foldwright.shape.planes import Spot, dot, minus
from foldwright.shape.solid import Vector
from foldwright.shape.strayed_faces import strayed
from foldwright.shape.strays import with_offs

# Directions within this of an axis of the part count as that axis (sine).
_ALONG = 1e-9


def face_corners(part: AnyPart, face: str, values: Mapping[str, Number]) -> tuple[Spot, ...]:
    """Points that a flat outside face passes through and reaches to, in the part's frame [mm].

    Parameters
    ----------
    part : AnyPart
    face : str
        A flat one, open or made.
    values : Mapping
        Parameters by name [mm], floats or duals.

    Raises
    ------
    CannotMake
        No such face, or a curved one.
    """
    found = corners_by_face(part, values)
    if face not in found:
        raise _no_face(part, face, tuple(found))
    return found[face]


def flat_faces(part: AnyPart) -> tuple[str, ...]:
    """Names of the faces that `face_corners` knows."""
    return tuple(corners_by_face(part, part.values()))


def face_origin(part: AnyPart, face: str, values: Mapping[str, Number]) -> Spot:
    """Lower-left corner of a face seen from outside, the centre of a round one [mm].

    What stands on the face is measured from there (see `place`); the
    directions of the face are those as drawn.
    """
    corners = face_corners(part, face, values)
    frame = face_frame(part, face)
    if is_disc(part):
        return _middle(corners)
    right, up, out = (_plain(frame[:3, k]) for k in range(3))
    least = [min((dot(way, corner) for corner in corners), key=number) for way in (right, up)]
    off = dot(out, corners[0])
    x, y, z = (least[0] * right[k] + least[1] * up[k] + off * out[k] for k in range(3))
    return (x, y, z)


def is_disc(part: AnyPart) -> bool:
    """Whether the flat faces of a part are round, measured from their centre."""
    match part:
        case Drum() | Hood() | Plug():
            return True
        case Tube():
            return not part.square
        case Plate():
            return part.diameter is not None
        case Rib():
            return isinstance(part.of, Drum | Hood)
        case Bought():
            return isinstance(envelope(part), Drum)
    return False


def reach_along(
    part: AnyPart, values: Mapping[str, Number], way: Sequence[float]
) -> tuple[Number, Number]:
    """How far a part reaches along a direction of its own frame, lowest and highest [mm].

    Parameters
    ----------
    part : AnyPart
    values : Mapping
        Parameters by name [mm], floats or duals.
    way : sequence of 3 floats
        Unit direction.
    """
    plain, faces = _plain(way), corners_by_face(part, values).values()
    if is_disc(part):
        found = [reach for points in faces for reach in _rim_reaches(points, plain)]
    else:
        found = [dot(plain, point) for points in faces for point in points]
    found.sort(key=number)
    return found[0], found[-1]


def _rim_reaches(rim: tuple[Spot, ...], way: Spot) -> tuple[Number, Number]:
    """How far a round rim reaches; its middle, and two points of it a quarter apart, say all."""
    middle, sides = _middle(rim), [minus(rim[k], rim[k + 2]) for k in (0, 1)]
    off = dot(way, middle)
    aslant = [dot(way, side) / 2.0 for side in sides]
    if not any(number(part) for part in aslant):
        return off, off
    reach = hypot(aslant[0], aslant[1])
    return off - reach, off + reach


def corners_by_face(part: AnyPart, values: Mapping[str, Number]) -> dict[str, tuple[Spot, ...]]:
    """Points of each flat face where it came out, as `face_corners` has them [mm]."""
    found = _face_points(with_offs(part, values), values)
    if part.mirrored:
        found = {name: tuple((-x, y, z) for x, y, z in points) for name, points in found.items()}
    return strayed(part, found, values)


def _face_points(part: AnyPart, values: Mapping[str, Number]) -> dict[str, tuple[Spot, ...]]:
    """Points of each flat face as drawn, in order round it, not yet of the other hand."""
    match part:
        case Box() | Profile():
            return _pushed(part, values)
        case Taper():
            return _tapered(part, values)
        case Faceted():
            return faceted.finished_corners(part, values)
        case Drum():
            dims = rounds.drum_dims(part, values, finished=True)
            return _round_ends(dims["outside_d"].value, dims["length"].value)
        case Hood():
            wall = hoods.hood_wall(part, values, finished=True)
            low, _ = _round_ends(wall.bottom_d, 0.0).values()
            high = _round_ends(wall.top_d, part.height.value(values))["top"]
            return {"bottom": low, "top": high}
        case Tube() if part.square:
            dims = tubes.tube_dims(part, values, finished=True)
            half = dims["side"].value / 2.0
            return _block((-half, half), (-half, half), (0.0, dims["length"].value))
        case Tube():
            dims = tubes.tube_dims(part, values, finished=True)
            return _round_ends(dims["outside_d"].value, dims["length"].value)
        case Plug():
            dims = tubes.plug_dims(part, values, finished=True)
            return _round_ends(dims["diameter"].value, dims["length"].value)
        case Plate():
            return _plate(part, values)
        case Strip():
            return _strip(part, values)
        case Rib():
            return _rib(part, values)
        case Bought():
            body = envelope(part)
            return _face_points(body, values)


def _pushed(part: Box | Profile, values: Mapping[str, Number]) -> dict[str, tuple[Spot, ...]]:
    outline = prisms.outside_outline(part, values, finished=True)
    front, back = prisms.bare_ends(part, values)
    front, back = front - part.coat_outside, back + part.coat_outside
    found: dict[str, tuple[Spot, ...]] = {}
    count = len(outline)
    for i, name in enumerate(outline.names):
        if outline.arcs[i] is None:
            (ax, az), (bx, bz) = outline.corners[i], outline.corners[(i + 1) % count]
            found[name] = ((ax, front, az), (bx, front, bz), (bx, back, bz), (ax, back, az))
    corners = _round(outline.reach(0), outline.reach(1))
    for name, y in zip(prisms.ENDS, (front, back), strict=True):
        found[name] = tuple((x, y, z) for x, z in corners)
    return found


def _tapered(part: Taper, values: Mapping[str, Number]) -> dict[str, tuple[Spot, ...]]:
    sides = tapers.outside(part, values, finished=True)
    found: dict[str, tuple[Spot, ...]] = {}
    count = len(part.sides)
    for i, name in enumerate(part.sides):
        j = (i + 1) % count
        found[name] = (sides.lower[i], sides.lower[j], sides.upper[j], sides.upper[i])
    return found | {"bottom": sides.lower, "top": sides.upper}


def _round_ends(across: Number, length: Number) -> dict[str, tuple[Spot, ...]]:
    """Ends of a round part that stands on its datum; the first point lies at +x."""
    r = across / 2.0
    return {
        name: ((r, 0.0, z), (0.0, r, z), (-r, 0.0, z), (0.0, -r, z))
        for name, z in (("bottom", 0.0), ("top", length))
    }


def _block(
    xs: tuple[Number, Number], ys: tuple[Number, Number], zs: tuple[Number, Number]
) -> dict[str, tuple[Spot, ...]]:
    """Faces of an upright block."""
    found: dict[str, tuple[Spot, ...]] = {}
    for name, x in zip(("left", "right"), xs, strict=True):
        found[name] = tuple((x, y, z) for y, z in _round(ys, zs))
    for name, y in zip(("front", "back"), ys, strict=True):
        found[name] = tuple((x, y, z) for x, z in _round(xs, zs))
    for name, z in zip(("bottom", "top"), zs, strict=True):
        found[name] = tuple((x, y, z) for x, y in _round(xs, ys))
    return found


def _round(
    across: tuple[Number, Number], up: tuple[Number, Number]
) -> tuple[tuple[Number, Number], ...]:
    """Corners of a rectangle in order round it."""
    (left, right), (low, high) = across, up
    return ((left, low), (right, low), (right, high), (left, high))


def _lying(
    xs: tuple[Number, Number], ys: tuple[Number, Number], through: Number
) -> dict[str, tuple[Spot, ...]]:
    """Bottom and top of something flat."""
    faces = _block(xs, ys, (0.0, through))
    return {name: faces[name] for name in ("bottom", "top")}


def _plate(part: Plate, values: Mapping[str, Number]) -> dict[str, tuple[Spot, ...]]:
    through = part.thickness + 2.0 * part.coat_outside
    if part.diameter is not None:
        return _round_ends(plates.disc(part, values, finished=True)[0], through)
    outline = plates.plate_shape(part, values, finished=True)
    return _lying(outline.reach(0), outline.reach(1), through)


def _rib(part: Rib, values: Mapping[str, Number]) -> dict[str, tuple[Spot, ...]]:
    through = part.thickness + 2.0 * part.coat_outside
    across = ribs.rib_disc(part, values, finished=True)
    if across is not None:
        return _round_ends(across, through)
    outline = ribs.rib_outline(part, values, finished=True)
    assert outline is not None, "a rib is a disc or has an outline"
    (left, right), (low, high) = outline.reach(0), outline.reach(1)
    if part.mirrored and ribs.rib_plane(part).right == 0:  # its outline is that of the other hand
        left, right = -right, -left
    return _lying((left, right), (low, high), through)


def _strip(part: Strip, values: Mapping[str, Number]) -> dict[str, tuple[Spot, ...]]:
    dims = strips.strip_dims(part, values, finished=True)
    out = part.coat_outside if part.bare else 0.0
    x, y = (-out, dims["length"].value - out), (-out, dims["width"].value - out)
    if part.flange is None:
        return {"top": _lying(x, y, part.thickness + 2.0 * part.coat_outside)["top"]}
    z = part.thickness + part.coat_outside
    flange = dims["flange"].value
    upper = (y[1], z)
    low = (y[1] + flange * math.cos(part.turn), z - flange * math.sin(part.turn))
    ring = (*x, *reversed(x))
    return {
        "top": tuple((x, y, z) for x, y in _round(x, y)),
        "flange": tuple((at, *end) for at, end in zip(ring, (upper, upper, low, low), strict=True)),
    }


def _middle(points: Sequence[Spot]) -> Spot:
    x, y, z = (sum((p[k] for p in points[1:]), points[0][k]) / len(points) for k in range(3))
    return (x, y, z)


def _plain(way: Sequence[float] | Vector) -> Spot:
    """Direction with what is next to nothing left out, so that no slope comes of it."""
    x, y, z = (0.0 if abs(float(c)) < _ALONG else float(c) for c in np.asarray(way))
    return (x, y, z)


def _no_face(part: AnyPart, face: str, names: tuple[str, ...]) -> CannotMake:
    if face == "wall" or isinstance(part, Profile):
        problem = f'The face "{face}" of {part.name} is curved, and a flat one is wanted.'
    else:
        problem = f'{part.name} has no flat face "{face}".'
    return CannotMake(problem, part=part.name, field="", remedy=offer_names(face, names))
