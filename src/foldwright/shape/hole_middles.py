"""Middles of holes and bolt patterns, finished, on floats or duals.

Room: shape. `features` cuts them into the blank as drawn; here they follow the
parameters of their part, so that holes of two parts can be held against each
other. A hole is placed from the lower-left corner of its face; it moves with
that corner and with the sizes that place it. A plug has one hole, along its axis.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from foldwright.plan import AnyPart, Feature, Length, Number, Plug
from foldwright.shape.face_corners import face_origin, is_disc
from foldwright.shape.place import face_frame
from foldwright.shape.planes import Spot


@dataclass(frozen=True)
class Hole:
    """A round hole: its `middle` in the part's frame and its diameter `d`, finished [mm]."""

    name: str
    middle: Spot
    d: Number
    drilled_in_place: bool = False


def hole_middles(
    part: AnyPart, face: str, names: tuple[str, ...], values: Mapping[str, Number]
) -> tuple[Hole, ...]:
    """Holes of some features of a face, each of a pattern by itself.

    Parameters
    ----------
    part : AnyPart
    face : str
        A flat one.
    names : tuple of str
        Of its holes and bolt patterns; of a plug none, it has but one.
    values : Mapping
        Parameters by name [mm], floats or duals.

    Raises
    ------
    CannotMake
        No such face, or a curved one.
    """
    if isinstance(part, Plug):
        middle = face_origin(part, face, values)
        return (Hole("bolt hole", middle, part.bolt_d.value(values)),) if part.bolt_d else ()
    drawn = replace(part, mirrored=False)
    frame, corner = face_frame(drawn, face), face_origin(drawn, face, values)
    # Numbers of a bare part are from the corner of the bare face.
    shy = part.coat_outside if part.bare and not is_disc(part) else 0.0
    found = []
    for feature in (f for f in part.features if f.face == face and f.name in names):
        spots = list(_in_face(feature, values))
        for i, (x, y) in enumerate(spots):
            right, up = x + shy, y + shy
            a, b, c = (
                corner[k] + right * float(frame[k, 0]) + up * float(frame[k, 1]) for k in range(3)
            )
            called = feature.name if len(spots) == 1 else f"{feature.name} {i + 1}"
            middle = (-a, b, c) if part.mirrored else (a, b, c)
            found.append(Hole(called, middle, _of(feature.d, values), feature.drilled_in_place))
    return tuple(found)


def _in_face(feature: Feature, values: Mapping[str, Number]) -> Iterator[tuple[Number, Number]]:
    """Middles in the frame of the face, in the order in which `features` cuts them."""
    assert feature.at is not None, "only an opening has no place of its own"
    x, y = (length.value(values) for length in feature.at)
    c, s = math.cos(feature.rotate), math.sin(feature.rotate)
    for dx, dy in _about_middle(feature, values):
        yield x + c * dx - s * dy, y + s * dx + c * dy


def _about_middle(
    feature: Feature, values: Mapping[str, Number]
) -> Iterator[tuple[Number, Number]]:
    if feature.kind != "bolts":
        yield 0.0, 0.0
    elif feature.pitch_d is not None:
        radius = feature.pitch_d.value(values) / 2.0
        for i in range(feature.count):
            angle = feature.start + math.tau * i / feature.count
            yield radius * math.cos(angle), radius * math.sin(angle)
    else:
        across, up = _of(feature.pitch, values), _of(feature.row_pitch, values)
        for row in range(feature.rows):
            for i in range(feature.count):
                yield (
                    across * (i - (feature.count - 1) / 2.0),
                    up * (row - (feature.rows - 1) / 2.0),
                )


def _of(length: Length | None, values: Mapping[str, Number]) -> Number:
    return length.value(values) if length else 0.0
