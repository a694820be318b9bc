"""Placement: where parts stand in the build.

Room: shape. Build frame: x right, y back, z up. A part stands on a face of
another: its own z points out of that face, its own x along the face's lower
edge turned by ``rotate``. All of it is reckoned as drawn, finished, with
motions as 4 x 4 matrices.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import lru_cache

import numpy as np

from foldwright.errors import CannotMake, offer_names
from foldwright.plan import (
    AnyPart,
    Bought,
    Box,
    Drum,
    Faceted,
    FoldedPart,
    Hood,
    Placement,
    Plan,
    Plate,
    Plug,
    Profile,
    Rib,
    Strip,
    Taper,
    Tube,
)
from foldwright.plan.dual import number
from foldwright.shape.bought import envelope
from foldwright.shape.hoods import HOOD_FACES
from foldwright.shape.outsides import finished_solid
from foldwright.shape.plates import plate_shape
from foldwright.shape.ribs import rib_motion, rib_outline
from foldwright.shape.rounds import DRUM_FACES
from foldwright.shape.solid import Face, Solid, Vector, cross
from foldwright.shape.strips import angle_solid, strip_faces, strip_span
from foldwright.shape.tubes import PLUG_FACES, plug_dims, tube_dims, tube_faces

# A face that tilts less than this counts as level (sine of the tilt).
_LEVEL = 1e-6


def frames(plan: Plan) -> Mapping[str, Vector]:
    """Motion from each part's frame to the build frame, shape (4, 4).

    Parts that the plan does not place stand at the origin.
    """
    found: dict[str, Vector] = {}

    def frame(name: str) -> Vector:
        if name not in found:
            part = plan.parts[name]
            place = part.place or Placement()
            ground = np.eye(4)
            if isinstance(part, Rib) and part.place is None:
                found[name] = frame(part.of.name) @ rib_motion(part)
                return found[name]
            if place.on:
                ground = frame(place.on) @ face_frame(plan.parts[place.on], place.face)
            found[name] = ground @ _standing(place)
        return found[name]

    for name in plan.parts:
        frame(name)
    return found


def face_frame(part: AnyPart, face: str) -> Vector:
    """Frame of a face in its part's frame, shape (4, 4).

    Origin at the lower-left corner of the face's bounding rectangle seen from
    outside (the centre of a round face); x along its lower edge, z outwards.

    Raises
    ------
    CannotMake
        No such face, or a curved one.
    """
    return _face_frame(part, face).copy()


@lru_cache(maxsize=1024)
def _face_frame(part: AnyPart, face: str) -> Vector:
    """Kept by content, so that a changed size costs no more than the faces that it changes."""
    match part:
        case Box() | Profile() | Taper() | Faceted():
            return _folded_face(part, face)
        case Drum():
            length = number(part.length.value(part.values()))
            return _round_face(part, face, DRUM_FACES, length)
        case Hood():
            height = number(part.height.value(part.values()))
            return _round_face(part, face, HOOD_FACES, height)
        case Plate():
            return _plate_face(part, face)
        case Tube() if part.square:
            return _square_tube_face(part, face)
        case Tube():
            long = tube_dims(part, part.values(), finished=True)["length"].value
            return _round_face(part, face, tube_faces(part), number(long))
        case Plug():
            long = plug_dims(part, part.values(), finished=True)["length"].value
            return _round_face(part, face, PLUG_FACES, number(long))
        case Strip():
            return _strip_face(part, face)
        case Rib():
            return _rib_face(part, face)
        case Bought():
            return _face_frame(envelope(part), face)


def level_frame(corners: Vector, normal: Vector) -> Vector:
    """Frame of a flat face with corners (n, 3) and outward unit normal (3,)."""
    right, up = _right_and_up(normal)
    origin = (
        right * (corners @ right).min()
        + up * (corners @ up).min()
        + normal * float(corners[0] @ normal)
    )
    motion = np.eye(4)
    motion[:3, :4] = np.column_stack([right, up, normal, origin])
    return motion


def frame_on(solid: Solid, face: Face) -> Vector:
    """Frame of a flat face of a solid as `level_frame`, its arcs reckoned with."""
    normal = solid.normal(face)
    return level_frame(solid.outline_points(face, *_right_and_up(normal)), normal)


def _right_and_up(normal: Vector) -> tuple[Vector, Vector]:
    if math.hypot(normal[0], normal[1]) < _LEVEL:
        # Square to the normal also when the face tilts a little less than that.
        right = np.array([1.0, 0.0, 0.0]) - normal[0] * normal
    else:
        right = np.array([-normal[1], normal[0], 0.0])
    right /= np.linalg.norm(right)
    return right, cross(normal, right)


def _standing(place: Placement) -> Vector:
    c, s = math.cos(place.rotate), math.sin(place.rotate)
    motion = np.eye(4)
    motion[:2, :2] = [[c, -s], [s, c]]
    motion[:3, 3] = (*place.at, place.lift)
    return motion


def _folded_face(part: FoldedPart, face: str) -> Vector:
    whole = finished_solid(part)
    names = tuple(found.name for found in whole.faces)
    if face not in names:
        raise _no_face(part, face, names)
    if whole.face(face).cylinder:
        raise _curved(part, face)
    return frame_on(whole, whole.face(face))


def _plate_face(plate: Plate, face: str) -> Vector:
    if plate.diameter is not None:
        return _round_face(plate, face, ("bottom", "top"), plate.thickness)
    if face not in ("top", "bottom"):
        raise _no_face(plate, face, ("bottom", "top"))
    outline = plate_shape(plate, plate.values(), finished=True)
    outline = outline.mirrored() if plate.mirrored else outline
    (left, right), (low, high) = outline.reach(0), outline.reach(1)
    z = plate.thickness if face == "top" else 0.0
    corners = np.array([(number(left), number(low), z), (number(right), number(high), z)])
    return level_frame(corners, np.array([0.0, 0.0, 1.0 if face == "top" else -1.0]))


def _square_tube_face(tube: Tube, face: str) -> Vector:
    ways = {"left": (-1, 0), "right": (1, 0), "front": (0, -1), "back": (0, 1)}
    dims = tube_dims(tube, tube.values(), finished=True)
    long, half = number(dims["length"].value), number(dims["side"].value) / 2.0
    if face not in ways:
        motion = _round_face(tube, face, tube_faces(tube), long)
        motion[:3, 3] -= half * (motion[:3, 0] + motion[:3, 1])
        return motion
    x, y = ways[face]
    corners = [(half * (x - y * s), half * (y + x * s), z) for s in (-1, 1) for z in (0.0, long)]
    return level_frame(np.array(corners), np.array([x, y, 0.0], dtype=float))


def _strip_face(strip: Strip, face: str) -> Vector:
    if face not in strip_faces(strip):
        raise _no_face(strip, face, strip_faces(strip))
    if strip.flange is not None:
        whole = angle_solid(strip, finished=True)
        return frame_on(whole, whole.face(face))
    x, _, y, _ = strip_span(strip, finished=True)
    motion = np.eye(4)
    motion[:3, 3] = x, y, strip.thickness
    return motion


def _rib_face(rib: Rib, face: str) -> Vector:
    outline = rib_outline(rib, rib.values(), finished=True)
    if outline is None:
        return _round_face(rib, face, ("bottom", "top"), rib.thickness)
    if face not in ("top", "bottom"):
        raise _no_face(rib, face, ("bottom", "top"))
    top = face == "top"
    corners = [(x, y, rib.thickness if top else 0.0) for x, y in outline.chords()]
    return level_frame(np.array(corners), np.array([0.0, 0.0, 1.0 if top else -1.0]))


def _round_face(part: AnyPart, face: str, names: tuple[str, ...], length: float) -> Vector:
    motion = np.eye(4)
    if face == "top":
        motion[2, 3] = length
    elif face == "bottom":
        motion[1, 1] = motion[2, 2] = -1.0
    elif face == "wall":
        raise _curved(part, face)
    else:
        raise _no_face(part, face, names)
    return motion


def _curved(part: AnyPart, face: str) -> CannotMake:
    return CannotMake(
        f'The curved face "{face}" of {part.name} carries no parts yet.',
        part=part.name,
        field="",
        remedy="Place the other part on a flat face.",
    )


def _no_face(part: AnyPart, face: str, names: tuple[str, ...]) -> CannotMake:
    return CannotMake(
        f'{part.name} has no face "{face}" to stand on.',
        part=part.name,
        field="",
        remedy=offer_names(face, names),
    )
