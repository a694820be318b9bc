"""What passes: straight parts as a cylinder or an outline pushed along its axis.

Room: shape. `openings` asks `passing_of` for the finished outside of the part
that is to pass through a face. What is cut into that part does not count.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from foldwright.plan import AnyPart, Bought, Box, Drum, Length, Plate, Plug, Profile, Strip, Tube
from foldwright.plan.dual import number
from foldwright.shape.paths import Path, Point, Step
from foldwright.shape.plates import disc, plate_path
from foldwright.shape.prisms import bare_ends, outside_outline
from foldwright.shape.solid import Vector
from foldwright.shape.tracing import path_chords, sweep

# How far chords may stand outside an arc of an outline [mm].
_CHORD_ERROR = 0.01


@dataclass(frozen=True)
class Passing:
    """What passes, finished: `base` pushed along `push`.

    `base`, shape (n, 3), are the corners of its outline, or the one middle of
    a round end with `radius` [mm]; `push`, shape (3,), is square to it.
    """

    base: Vector
    push: Vector
    radius: float = 0.0

    def moved(self, motion: Vector) -> Passing:
        """The same after a motion, shape (4, 4)."""
        turn, shift = motion[:3, :3], motion[:3, 3]
        return Passing(self.base @ turn.T + shift, turn @ self.push, self.radius)

    @property
    def axis(self) -> Vector:
        """Unit vector along `push`, shape (3,)."""
        return np.asarray(self.push / np.linalg.norm(self.push), dtype=np.float64)

    def heights(self) -> tuple[float, float]:
        """Lowest and highest z."""
        ends = np.concatenate([self.base, self.base + self.push])
        rim = self.radius * math.sqrt(max(0.0, 1.0 - float(self.axis[2]) ** 2))
        return float(ends[:, 2].min()) - rim, float(ends[:, 2].max()) + rim


def passing_of(other: AnyPart) -> Passing | None:
    """Finished outside of a part in its own frame; None if it is no straight part."""
    found = _as_drawn(replace(other, mirrored=False))
    if found is None or not other.mirrored:
        return found
    flip = np.array([-1.0, 1.0, 1.0])
    return Passing(found.base * flip, found.push * flip, found.radius)


def _as_drawn(other: AnyPart) -> Passing | None:
    """Finished outside of a part as a cylinder or a pushed outline; None if it is neither."""

    def value(length: Length | None) -> float:
        return number(length.value(other.values())) if length else 0.0

    # What a bare plan leaves out stands outside its numbers.
    more = other.coat_outside if other.bare else 0.0
    stock_more = other.coat_outside  # tube, bar and board are coated as bought
    match other:
        case Drum():
            return _upright(value(other.outside_d) / 2.0 + more, value(other.length), more)
        case Plug():
            return _upright(value(other.diameter) / 2.0 + more, value(other.length), more)
        case Tube() if not other.square:
            return _upright(other.across / 2.0 + stock_more, value(other.length), more)
        case Tube():
            half = other.across / 2.0 + stock_more
            square = [(-half, -half), (half, -half), (half, half), (-half, half)]
            return _pushed_up(square, -more, value(other.length) + more)
        case Bought() if other.diameter is not None:
            return _upright(value(other.diameter) / 2.0, value(other.length), 0.0)
        case Bought():
            base = _rectangle(value(other.width), value(other.depth), 0.0)
            return _pushed_up(base, 0.0, value(other.height))
        case Strip() if other.flange is None:
            base = _rectangle(value(other.length), value(other.width), more)
            return _pushed_up(base, -stock_more, other.thickness + stock_more)
        case Plate():
            return _plate(other)
        case Box() | Profile():
            return _profile(other)
    return None


def _upright(radius: float, length: float, more: float) -> Passing:
    return Passing(np.array([[0.0, 0.0, -more]]), np.array([0.0, 0.0, length + 2.0 * more]), radius)


def _pushed_up(outline: Sequence[Point], low: float, high: float) -> Passing:
    base = np.array([(x, y, low) for x, y in outline])
    return Passing(base, np.array([0.0, 0.0, high - low]))


def _rectangle(length: float, width: float, more: float) -> list[Point]:
    low, far, back = -more, length + more, width + more
    return [(low, low), (far, low), (far, back), (low, back)]


def _plate(plate: Plate) -> Passing:
    coat, values = plate.coat_outside, plate.values()
    if plate.diameter is not None:
        radius = number(disc(plate, values, finished=True)[0]) / 2.0
        return _upright(radius, plate.thickness, coat)
    outline = plate_path(plate, finished=True)
    return _pushed_up(_safe_corners(outline), -coat, plate.thickness + coat)


def _profile(part: Box | Profile) -> Passing:
    outline = outside_outline(part, part.values(), finished=True)
    front, back = (number(y) for y in bare_ends(part, part.values()))
    corners = _safe_corners(outline.path())
    base = np.array([(x, front - part.coat_outside, z) for x, z in corners])
    return Passing(base, np.array([0.0, back - front + 2.0 * part.coat_outside, 0.0]))


def _safe_corners(outline: Path) -> list[Point]:
    """Corners of an anticlockwise outline, its arcs as chords that never lie inside it."""
    found: list[Point] = []
    corner = outline[-1].to
    for step in outline:
        found.append(corner)
        if step.centre is not None and step.left:
            found += _tangent_corners(corner, step)
        elif step.centre is not None:
            # The chords of an arc that bows in lie outside already.
            found += path_chords((Step(corner), step), _CHORD_ERROR)[1:-1]
        corner = step.to
    return found


def _tangent_corners(start: Point, step: Step) -> list[Point]:
    """Where tangents of an arc that bows out cross: each stands a little outside it."""
    assert step.centre is not None, "a line needs no tangents"
    (cx, cy), turn = step.centre, sweep(start, step)
    radius = math.dist(step.to, step.centre)
    count = max(2, math.ceil(turn / math.sqrt(8.0 * _CHORD_ERROR / radius)))
    first, far = math.atan2(start[1] - cy, start[0] - cx), radius / math.cos(turn / (2.0 * count))
    angles = [first + turn * (i + 0.5) / count for i in range(count)]
    return [(cx + far * math.cos(a), cy + far * math.sin(a)) for a in angles]
