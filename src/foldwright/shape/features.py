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
from foldwright.plan import AnyPart, Drum, Feature, Length, Strip
from foldwright.plan.dual import number
from foldwright.shape.bare_faces import bare_face_frame
from foldwright.shape.paths import FaceCut, Path, Point
from foldwright.shape.place import face_frame
from foldwright.shape.rounds import bare_drum
from foldwright.shape.solid import Vector
from foldwright.shape.tracing import (
    circle,
    in_plane,
    moved_path,
    plane_motion,
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
    return _face_cuts(replace(part, place=None))  # where a part stands tells nothing of its cuts


@lru_cache(maxsize=256)
def _face_cuts(part: AnyPart) -> tuple[FaceCut, ...]:
    """Kept by content: the pattern and the picture of a part ask for the same."""
    return tuple(
        cut
        for feature in part.features
        if feature.kind != "opening"
        for cut in _cuts(part, feature)
    )


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
        feature.key,
    )


def _finished_to_bare(part: AnyPart, face: str) -> Vector:
    """From the frame of the finished face as drawn to that of the bare one."""
    if part.bare:
        return np.eye(4)  # its numbers are bare ones
    drawn = replace(part, mirrored=False)
    bare = bare_face_frame(drawn, face)
    finished = face_frame(drawn, face)
    if isinstance(part, Strip):
        # Its frame says where its bare top lies; the finished one stands higher.
        finished[2, 3] += part.coat_outside
    return np.asarray(np.linalg.inv(bare) @ finished)


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
        field=feature.key,
        remedy=remedy,
    )
