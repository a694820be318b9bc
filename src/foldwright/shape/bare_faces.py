"""Bare faces: the frame and outline of each face that something can be cut into.

Room: shape. `place.face_frame` has the finished faces, on which parts stand;
patterns are cut from bare ones. The finish moves the corner that a face is
measured from, so the two frames differ in their plane too.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from foldwright.errors import CannotMake
from foldwright.plan import AnyPart, Box, Drum, Faceted, Hood, Plate, Profile, Rib, Strip, Taper
from foldwright.plan.dual import number
from foldwright.shape.outsides import solid
from foldwright.shape.paths import Path, Point, Step
from foldwright.shape.place import face_frame, frame_on, level_frame
from foldwright.shape.plates import disc, plate_path
from foldwright.shape.ribs import rib_disc, rib_outline
from foldwright.shape.solid import Face, Solid, Vector
from foldwright.shape.strips import angle_solid, strip_span
from foldwright.shape.tracing import (
    circle,
    in_plane,
    moved_path,
    path_bounds,
    polygon,
    reversed_path,
)


def bare_face_frame(part: AnyPart, face: str) -> Vector:
    """Frame of a flat bare face in its part's frame, shape (4, 4).

    As `face_frame` has it for the finished face: origin at the lower-left
    corner of the face's bounding rectangle seen from outside (the centre of a
    round face), x along its lower edge, z outwards. Of a mirrored part: that
    of the reflected face.

    Raises
    ------
    CannotMake
        No such face, or one that is open or curved.
    """
    return np.array(_bare_face_frame(part, face))


@lru_cache(maxsize=256)
def bare_face_paths(part: AnyPart, face: str) -> tuple[Path, ...]:
    """Outline of a flat bare face in its frame, anticlockwise, then its bore if it has one."""
    into = np.linalg.inv(bare_face_frame(part, face))
    body = _body(part)
    if body is not None:
        return (_face_path(body, body.face(face), into),)
    outline = _flat_path(part)
    if outline is None:
        return ()
    found = [moved_path(outline, in_plane(into))]
    if isinstance(part, Plate) and part.bore is not None:
        bore = number(disc(part, part.values(), finished=False)[1])
        found.append(circle((0.0, 0.0), bore / 2.0))
    return tuple(found)


@lru_cache(maxsize=1024)
def _bare_face_frame(part: AnyPart, face: str) -> tuple[tuple[float, ...], ...]:
    _refuse_open_end(part, face)
    body, outline = _body(part), _flat_path(part)
    if body is not None and any(face == curved.name for curved in body.faces if curved.cylinder):
        raise CannotMake(
            f'The curved face "{face}" of {part.name} carries no holes yet.',
            part=part.name,
            field="",
            remedy="Put them into a flat face.",
        )
    finished = face_frame(part, face)  # refuses what is no face, in words
    if body is not None:
        frame = frame_on(body, body.face(face))
    elif outline is not None and not _is_disc(part):
        (x0, y0), (x1, y1) = path_bounds(outline)
        corners = np.array([(x, y, finished[2, 3]) for x, y in ((x0, y0), (x1, y1))])
        frame = level_frame(corners, finished[:3, 2])
    else:
        frame = finished  # of a disc the centre is the origin
    return tuple(tuple(float(x) for x in row) for row in frame)


def _refuse_open_end(part: AnyPart, face: str) -> None:
    if not isinstance(part, Drum | Hood):
        return
    if face == "wall":
        raise CannotMake(
            f"The curled wall of {part.name} carries no such cut yet.",
            part=part.name,
            field="",
            remedy="Mark and cut it when it is curled.",
        )
    if face in ("bottom", "top"):
        raise CannotMake(
            f'The end "{face}" of {part.name} is open; nothing can be cut into it.',
            part=part.name,
            field="",
            remedy='Write "wall" for the curled face.',
        )


def _body(part: AnyPart) -> Solid | None:
    """Bare solid of a folded part, an angle too; None of any other."""
    if isinstance(part, Box | Profile | Taper | Faceted):
        return solid(part)
    if isinstance(part, Strip) and part.flange is not None:
        return angle_solid(part)
    return None


def _is_disc(part: AnyPart) -> bool:
    if isinstance(part, Rib):
        return rib_outline(part, part.values(), finished=False) is None
    return isinstance(part, Plate) and part.diameter is not None


def _flat_path(part: AnyPart) -> Path | None:
    """Bare outline of a flat part in its own frame, anticlockwise; None of any other."""
    values = part.values()
    match part:
        case Plate() if part.diameter is not None:
            diameter = number(disc(part, values, finished=False)[0])
            return reversed_path(circle((0.0, 0.0), diameter / 2.0))
        case Plate():
            return plate_path(part, finished=False)
        case Strip() if part.flange is None:
            x0, x1, y0, y1 = strip_span(part, finished=False)
            return polygon([(x0, y0), (x1, y0), (x1, y1), (x0, y1)])
        case Rib():
            outline = rib_outline(part, values, finished=False)
            if outline is not None:
                return outline.path()
            across = rib_disc(part, values, finished=False)
            assert across is not None, "a rib without an outline is round"
            return reversed_path(circle((0.0, 0.0), number(across) / 2.0))
    return None


def _face_path(body: Solid, face: Face, into: Vector) -> Path:
    def flat(point: Vector) -> Point:
        x, y, _ = into[:3, :3] @ point + into[:3, 3]
        return float(x), float(y)

    arcs = {}
    for edge in body.edges():
        arc = body.edge_centre(edge) if face.name in (edge.left, edge.right) else None
        if arc is not None:
            centre, way = flat(arc[0]), arc[1]
            arcs[(edge.start, edge.end)] = centre, way > 0
            arcs[(edge.end, edge.start)] = centre, way < 0
    steps = []
    for a, b in zip(face.loop, (*face.loop[1:], face.loop[0]), strict=True):
        found, left = arcs.get((a, b), (None, True))
        steps.append(Step(flat(np.array(body.vertices[b])), found, left))
    return tuple(steps)
