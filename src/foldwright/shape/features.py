"""Features: holes, slots, windows, bolt patterns and hatches as bare paths on faces.

Room: shape. The numbers of a plan are finished ones: a hole of 8 mm is 8 mm
after painting. Its edge is painted like the faces, so it is cut larger by the
finish all round, and the bare face that it is marked on has its lower-left
corner elsewhere than the finished one. Start at `face_cuts`; openings for
other parts are in `openings`.

A part that is the other hand of another (`mirrored`) has everything where the
other one has it, then reflected with the part.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from foldwright.errors import CannotMake
from foldwright.plan import (
    AnyPart,
    Box,
    Drum,
    Faceted,
    Feature,
    Hood,
    Length,
    Plate,
    Profile,
    Rib,
    Strip,
    Taper,
)
from foldwright.plan.dual import number
from foldwright.shape.outsides import solid
from foldwright.shape.paths import FaceCut, Path, Point, Step
from foldwright.shape.place import face_frame, frame_on, level_frame
from foldwright.shape.plates import disc, plate_path
from foldwright.shape.ribs import rib_disc, rib_outline
from foldwright.shape.rounds import bare_drum
from foldwright.shape.solid import Face, Solid, Vector
from foldwright.shape.strips import angle_solid, strip_span
from foldwright.shape.tracing import (
    circle,
    in_plane,
    moved_path,
    path_bounds,
    plane_motion,
    polygon,
    reversed_path,
    rounded_rectangle,
)

_NO_BOARD = ("tube", "plug", "bought")


@dataclass(frozen=True)
class HatchPiece:
    """A loose piece of a hatch, about its own middle, bare.

    `role` is ``"hatch lid"`` or ``"hatch ledge"``; `outline` runs
    anticlockwise, `cutouts` clockwise [mm]. Its x is the x of the face turned
    by `turn` [rad].
    """

    role: str
    outline: Path
    cutouts: tuple[Path, ...]
    turn: float


def face_cuts(part: AnyPart) -> tuple[FaceCut, ...]:
    """Everything the plan cuts into the faces of a part, but not its openings.

    Parameters
    ----------
    part : AnyPart

    Returns
    -------
    tuple of FaceCut
        In the order of the plan, each hole of a bolt pattern by itself; bare,
        clockwise, in the frame of the bare face (`bare_face_frame`; on the
        wall of a drum x runs round the bare outside from the seam).

    Raises
    ------
    CannotMake
        No such face, an open or a curved one, or a size that is none.
    """
    return tuple(
        cut
        for feature in part.features
        if feature.kind != "opening"
        for cut in _cuts(part, feature)
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


def bare_face_paths(part: AnyPart, face: str) -> tuple[Path, ...]:
    """Outline of a flat bare face in its frame, anticlockwise, then its bore if it has one."""
    into = np.linalg.inv(bare_face_frame(part, face))
    body = _body(part)
    if body is not None:
        return (_face_path(body, _flat_face(part, body, face), into),)
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
    finished = face_frame(part, face)  # refuses what is no face, in words
    body, outline = _body(part), _flat_path(part)
    if body is not None:
        frame = frame_on(body, _flat_face(part, body, face))
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


def _flat_face(part: AnyPart, body: Solid, face: str) -> Face:
    found = body.face(face)
    if found.cylinder:
        raise CannotMake(
            f'The curved face "{face}" of {part.name} carries no holes yet.',
            part=part.name,
            field="",
            remedy="Put them into a flat face.",
        )
    return found


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


def wall_seam(part: AnyPart) -> float:
    """Angle of the seam of a curled wall about +z of the part's frame [rad]."""
    return math.pi if part.mirrored else 0.0


def hatch_pieces(part: AnyPart, feature: Feature) -> tuple[HatchPiece, ...]:
    """Lid and ledge of a hatch, from the board of its face.

    The lid is the finished window less the gap, finished, all round. The
    ledge is one ring, glued behind the face over a land as wide as the lip,
    and standing into the bare window by the lip, so that the lid lies flush.

    Raises
    ------
    CannotMake
        The lip fills the window, or the gap leaves no lid.
    """
    coat, gap, lip = part.coat_outside, _size(part, feature.gap), _size(part, feature.lip)
    smaller = gap + 2.0 * coat  # the gap, and the finish on either side of it
    lid = _window(part, feature, -smaller)
    inner, outer = _window(part, feature, -lip), _window(part, feature, lip)
    if lid is None:
        raise _fault(part, feature, f"is no larger than its gap of {gap:g} mm", "Make it larger.")
    if inner is None:
        raise _fault(
            part, feature, f"is filled by its ledge, {lip:g} mm wide all round", "Make lip smaller."
        )
    assert outer is not None, "a grown window is still one"
    turn = -feature.rotate if part.mirrored else feature.rotate
    return (
        HatchPiece("hatch lid", reversed_path(lid), (), turn),
        HatchPiece("hatch ledge", reversed_path(outer), (inner,), turn),
    )


def hatch_land(part: AnyPart, feature: Feature) -> FaceCut:
    """Outside of a hatch's ledge where it is glued behind the face, as a `FaceCut` is."""
    (window,) = _cuts(part, feature)
    _, ledge = hatch_pieces(part, feature)
    motion = plane_motion(ledge.turn, window.centre)
    return replace(window, path=reversed_path(moved_path(ledge.outline, motion)))


def _cuts(part: AnyPart, feature: Feature) -> Iterator[FaceCut]:
    assert feature.at is not None, "only an opening has no place of its own"
    x, y = (number(length.value(part.values())) for length in feature.at)
    path = _bare_path(part, feature)
    for dx, dy in _spots(part, feature):
        c, s = math.cos(feature.rotate), math.sin(feature.rotate)
        centre = (x + c * dx - s * dy, y + s * dx + c * dy)
        yield _on_bare_face(part, feature, path, centre)


def _on_bare_face(part: AnyPart, feature: Feature, path: Path, centre: Point) -> FaceCut:
    """Put a path about its middle where the finished face says, on the bare face."""
    if part.kind in _NO_BOARD:
        raise _fault(
            part, feature, f"is cut into a {part.kind}, not into board", "Drill it when it is made."
        )
    if feature.face in part.leave_open:
        raise _fault(part, feature, f'lies in the open face "{feature.face}"', "Close that face.")
    if isinstance(part, Drum) and feature.face == "wall":
        motion, mirror = _wall_motions(part, feature, centre)
    else:
        shift = in_plane(_finished_to_bare(part, feature.face))
        motion = shift @ plane_motion(feature.rotate, centre)
        mirror = _mirror(part, feature.face) if part.mirrored else np.eye(3)
    placed = moved_path(moved_path(path, motion), mirror)
    cx, cy, _ = mirror @ motion @ np.array([0.0, 0.0, 1.0])
    return FaceCut(
        feature.face,
        placed,
        feature.name or feature.kind,
        (float(cx), float(cy)),
        feature.drilled_in_place,
    )


def _finished_to_bare(part: AnyPart, face: str) -> Vector:
    """From the frame of the finished face as drawn to that of the bare one."""
    if part.bare:
        return np.eye(4)  # its numbers are bare ones
    drawn = replace(part, mirrored=False)
    finished = face_frame(drawn, face)
    if isinstance(part, Strip):
        # Its frame says where its bare top lies; the finished one stands higher.
        finished[2, 3] += part.coat_outside
    return np.asarray(np.linalg.inv(bare_face_frame(drawn, face)) @ finished)


def _mirror(part: AnyPart, face: str) -> Vector:
    """From the frame of the bare face as drawn to that of the reflected face."""
    drawn = bare_face_frame(replace(part, mirrored=False), face)
    reflected = np.diag([-1.0, 1.0, 1.0, 1.0]) @ drawn
    return in_plane(np.linalg.inv(bare_face_frame(part, face)) @ reflected)


def _wall_motions(part: Drum, feature: Feature, centre: Point) -> tuple[Vector, Vector]:
    """Where a path goes on a drum's bare wall, and how a mirrored wall has it."""
    coat = 0.0 if part.bare else part.coat_outside
    radius = number(bare_drum(part, part.values())[0]) / 2.0
    # The same angle round the drum; painted, the way round is longer.
    at = (centre[0] * radius / (radius + coat), centre[1] - coat)
    mirror = np.diag([-1.0 if part.mirrored else 1.0, 1.0, 1.0])
    if part.mirrored:
        mirror[0, 2] = math.tau * radius
    return plane_motion(feature.rotate, at), mirror


def _bare_path(part: AnyPart, feature: Feature) -> Path:
    """One cutout of a feature about its own middle, bare."""
    grown = 0.0 if part.bare else part.coat_outside
    if feature.kind in ("hole", "bolts"):
        d = _size(part, feature.d)
        if d <= 0.0:
            raise _fault(part, feature, f"has a diameter of {d:g} mm", "Make d larger.")
        return circle((0.0, 0.0), d / 2.0 + grown)
    if feature.kind == "slot":
        length, width = _size(part, feature.length), _size(part, feature.width)
        if not 0.0 < width <= length:
            raise _fault(
                part,
                feature,
                f"is {length:g} mm long over all and {width:g} mm wide",
                "A slot is at least as long as wide; turn it with rotate_deg.",
            )
        length, width = length + 2.0 * grown, width + 2.0 * grown
        return rounded_rectangle(length, width, width / 2.0)
    window = _window(part, feature, 0.0)
    if window is None:
        raise _fault(part, feature, "has no size, or corners rounder than it is wide", "Mend it.")
    return window


def _window(part: AnyPart, feature: Feature, grow: float) -> Path | None:
    """Bare window grown all round; None if nothing is left of it."""
    grow += 0.0 if part.bare else part.coat_outside
    if feature.d is not None:
        radius = _size(part, feature.d) / 2.0 + grow
        return circle((0.0, 0.0), radius) if radius > 0.0 else None
    length, width = _size(part, feature.length), _size(part, feature.width)
    corner = _size(part, feature.corner)
    if corner < 0.0 or 2.0 * corner > min(length, width) + 1e-9:
        return None
    length, width = length + 2.0 * grow, width + 2.0 * grow
    if min(length, width) <= 0.0:
        return None
    # A sharp corner stays sharp, also where it is moved out.
    corner = max(0.0, corner + grow) if corner > 0.0 else 0.0
    return rounded_rectangle(length, width, min(corner, length / 2.0, width / 2.0))


def _spots(part: AnyPart, feature: Feature) -> Iterator[Point]:
    """Middles of the cutouts of a feature, about its own."""
    if feature.kind != "bolts":
        yield 0.0, 0.0
    elif feature.pitch_d is not None:
        radius = _size(part, feature.pitch_d) / 2.0
        for i in range(feature.count):
            angle = feature.start + math.tau * i / feature.count
            yield radius * math.cos(angle), radius * math.sin(angle)
    else:
        across, up = _size(part, feature.pitch), _size(part, feature.row_pitch)
        for row in range(feature.rows):
            for i in range(feature.count):
                yield (
                    across * (i - (feature.count - 1) / 2.0),
                    up * (row - (feature.rows - 1) / 2.0),
                )


def _size(part: AnyPart, length: Length | None) -> float:
    return number(length.value(part.values())) if length else 0.0


def _fault(part: AnyPart, feature: Feature, what: str, remedy: str) -> CannotMake:
    name = feature.name or feature.kind
    called = f"{feature.kind} {name}" if feature.name else f"a {feature.kind}"
    return CannotMake(
        f'{called[0].upper()}{called[1:]} in "{feature.face}" of {part.name} {what}.',
        part=part.name,
        field="",
        remedy=remedy,
    )
