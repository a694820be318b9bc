"""Unrolled: a curved face as the rectangle it is cut as.

Room: flat. x runs round it on the neutral line, y along its axis; both skins
of a curl share the strain, so the neutral line is the middle of the board.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from foldwright.errors import CannotMake
from foldwright.flat.pattern import Curved, Point
from foldwright.shape import Face, Solid, Vector
from foldwright.shop import Board, least_curl, may_wrinkle


@dataclass(frozen=True)
class Unrolled:
    """Frame of a curved face that is unrolled.

    Attributes
    ----------
    corners : list of Point
        In the order of its loop; x from 0 to the developed width [mm].
    origin, axis, start : ndarray, shape (3,)
        On the axis at y = 0; unit, along y; unit, from the axis to x = 0.
    radius, flat_radius : float
        Of the outside, of the neutral line [mm].
    sense : int
        1 if the outside looks away from the axis, -1 if towards it.
    """

    corners: list[Point]
    origin: Vector
    axis: Vector
    start: Vector
    radius: float
    flat_radius: float
    sense: int


def unrolled(solid: Solid, face: Face, thickness: float) -> Unrolled:
    """Unroll a curved face of a board [mm]."""
    cylinder = face.cylinder
    assert cylinder is not None
    origin, axis = np.array(cylinder.origin), np.array(cylinder.axis)
    flat_radius = cylinder.radius - cylinder.sense * thickness / 2.0
    width = flat_radius * solid.sweep(face)
    points = solid.corners(face)
    heights = (points - origin) @ axis
    count = len(points)
    # Anticlockwise seen from outside, the side that runs up the axis is at the far end.
    far = set()
    for i in range(count):
        if heights[(i + 1) % count] - heights[i] > 0.5 * np.ptp(heights):
            far |= {i, (i + 1) % count}
    corners = [(width if i in far else 0.0, float(heights[i])) for i in range(count)]
    near = next(i for i in range(count) if i not in far)
    start = points[near] - origin - heights[near] * axis
    return Unrolled(
        corners,
        origin,
        axis,
        np.asarray(start / np.linalg.norm(start)),
        cylinder.radius,
        flat_radius,
        cylinder.sense,
    )


def record_of(face: str, frame: Unrolled, flat: tuple[Point, ...], motion: Vector) -> Curved:
    """Write an unrolled face down where `motion`, shape (3, 3), lays it: upright or upside down."""
    up = 1.0 if motion[1, 1] > 0.0 else -1.0
    x0, y0 = float(motion[0, 2]), float(motion[1, 2])
    axis, origin = up * frame.axis, frame.origin - up * y0 * frame.axis
    x, y, z = (float(v) for v in origin)
    return Curved(
        face=face,
        flat=flat,
        origin=(x, y, z),
        axis=(float(axis[0]), float(axis[1]), float(axis[2])),
        start=(float(frame.start[0]), float(frame.start[1]), float(frame.start[2])),
        x0=x0,
        radius=frame.radius,
        flat_radius=frame.flat_radius,
        sense=frame.sense,
    )


def curl_notes(part: str, frames: Mapping[str, Unrolled], boards: Mapping[str, Board]) -> list[str]:
    """Say which faces are curled, and refuse those that their board cannot be curled to.

    Raises
    ------
    CannotMake
        With the least radius that the board takes.
    """
    said = []
    for name, frame in frames.items():
        board = boards[name]
        least = least_curl(board)
        if frame.flat_radius < least:
            outside = least + frame.sense * board.thickness / 2.0
            raise CannotMake(
                f'Face "{name}" of {part} bends to an outside radius of {frame.radius:.1f} mm; '
                f"{board.thickness:g} mm {board.what} curls to {outside:.1f} mm at the least.",
                part=part,
                field="outline",
                remedy="Make its round or rise gentler, or leave the corner sharp and fold it "
                'with fold_at, method = "kerf" and a radius.',
            )
        note = f"Curl {name} to an outside radius of {frame.radius:.1f} mm before folding."
        if may_wrinkle(board, frame.flat_radius):
            note += " Its inner skin may wrinkle: try an offcut first."
        said.append(note)
    return said
