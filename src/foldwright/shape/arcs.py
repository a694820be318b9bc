"""Outlines whose sides are straight lines or arcs, and what moving their sides does.

Room: shape. Written once for plain and dual numbers, as `outline` is, whose
polygons are the outlines here without an arc.

`outline_with_arcs` in `rounding` makes them, `moved` in `moving` makes the bare
outline and the inside from them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

from foldwright.plan.dual import Number, atan2, hypot, number, sin
from foldwright.shape.outline import Corner
from foldwright.shape.outline import area as polygon_area
from foldwright.shape.paths import Path, Step
from foldwright.shape.solid import TANGENT

# Sides that turn less than this at a corner, and are not tangent, make no fold.
_IN_LINE = math.radians(0.5)


@dataclass(frozen=True)
class Arc:
    """What a curved side lies on; `sense` is 1 if it bows out of the outline, -1 if into it."""

    centre: Corner
    radius: Number
    sense: int


@dataclass(frozen=True)
class Outline:
    """A closed outline, anticlockwise; side i runs from corner i to corner i + 1.

    `arcs[i]` is None where side i is straight.
    """

    corners: tuple[Corner, ...]
    names: tuple[str, ...]
    arcs: tuple[Arc | None, ...]

    def __len__(self) -> int:
        return len(self.corners)

    def plain(self) -> list[tuple[float, float]]:
        """Corners as floats."""
        return [(number(x), number(y)) for x, y in self.corners]

    def sweep(self, i: int) -> Number:
        """How far side i goes round its centre [rad], 0 to 2 pi; 0 if straight."""
        arc = self.arcs[i]
        if arc is None:
            return 0.0
        a, b = (
            from_centre(arc, self.corners[i]),
            from_centre(arc, self.corners[(i + 1) % len(self)]),
        )
        angle = atan2(arc.sense * _cross(a, b), _dot(a, b))
        return angle + math.tau if number(angle) < 0.0 else angle

    def chord(self, i: int) -> Number:
        """Straight from end to end of side i [mm]."""
        (ax, ay), (bx, by) = self.corners[i], self.corners[(i + 1) % len(self)]
        return hypot(bx - ax, by - ay)

    def inward(self, i: int) -> Corner:
        """Inward unit normal of side i, which is straight and has some length."""
        i %= len(self)
        if i not in self._normals:
            (ax, ay), (bx, by) = self.corners[i], self.corners[(i + 1) % len(self)]
            length = self.chord(i)
            self._normals[i] = ((ay - by) / length, (bx - ax) / length)
        return self._normals[i]

    @cached_property
    def _normals(self) -> dict[int, Corner]:
        return {}

    def length(self, i: int) -> Number:
        """Length of side i [mm], along the arc if it is one."""
        arc = self.arcs[i]
        return self.chord(i) if arc is None else arc.radius * self.sweep(i)

    def rise(self, i: int) -> Number:
        """How far the middle of side i bows out past its chord [mm], negative inwards."""
        arc = self.arcs[i]
        if arc is None:
            return 0.0
        half = sin(self.sweep(i) / 4.0)
        return 2.0 * arc.sense * arc.radius * half * half  # 1 - cos(sweep/2), without its loss

    def area(self) -> Number:
        """Area [mm2], positive anticlockwise."""
        total = polygon_area(self.corners)
        for i, arc in enumerate(self.arcs):
            if arc is not None:
                sweep = self.sweep(i)
                total = total + arc.sense * arc.radius**2 / 2.0 * (sweep - sin(sweep))
        return total

    def extent(self, axis: int) -> Number:
        """Overall extent along x (axis 0) or y (axis 1) [mm], bows and all."""
        low, high = self.reach(axis)
        return high - low

    def reach(self, axis: int) -> tuple[Number, Number]:
        """Lowest and highest x (axis 0) or y (axis 1) [mm], bows and all."""
        found = [corner[axis] for corner in self.corners]
        for i, arc in enumerate(self.arcs):
            if arc is not None:
                for way in (1.0, -1.0):
                    if self._passes(i, (way, 0.0) if axis == 0 else (0.0, way)):
                        found.append(arc.centre[axis] + way * arc.radius)
        found.sort(key=number)
        return found[0], found[-1]

    def mirrored(self) -> Outline:
        """Return the outline reflected in x = 0, still anticlockwise."""
        count = len(self)
        arcs = [
            Arc((-arc.centre[0], arc.centre[1]), arc.radius, arc.sense) if arc else None
            for arc in self.arcs
        ]
        order = [(count - 2 - i) % count for i in range(count)]  # side i ran to the corner before
        return Outline(
            tuple((-x, y) for x, y in reversed(self.corners)),
            tuple(self.names[i] for i in order),
            tuple(arcs[i] for i in order),
        )

    def _passes(self, i: int, out: tuple[float, float]) -> bool:
        """Whether arc i has a point that lies in direction `out` from its centre."""
        arc = self.arcs[i]
        assert arc is not None
        x, y = from_centre(arc, self.corners[i])
        start = (number(x), number(y))
        angle = math.atan2(
            arc.sense * _plain_cross(start, out), start[0] * out[0] + start[1] * out[1]
        )
        return angle % math.tau < number(self.sweep(i))

    def turn(self, i: int) -> float:
        """Turn at corner i [rad], positive convex; 0 where the sides are tangent."""
        before, after = self._heading(i - 1, at_end=True), self._heading(i, at_end=False)
        angle = math.atan2(_plain_cross(before, after), before[0] * after[0] + before[1] * after[1])
        return 0.0 if self._is_curved(i) and abs(angle) < TANGENT else angle

    def difference(self, i: int) -> tuple[float, float]:
        """From the start to the end of side i, as floats."""
        points = self.plain()
        (ax, ay), (bx, by) = points[i], points[(i + 1) % len(self)]
        return bx - ax, by - ay

    def is_tangent(self, i: int) -> bool:
        """Whether the sides at corner i, one of them curved, run into each other."""
        return self._is_curved(i) and self.turn(i) == 0.0

    def _is_curved(self, i: int) -> bool:
        return self.arcs[i - 1] is not None or self.arcs[i] is not None

    def _heading(self, i: int, *, at_end: bool) -> tuple[float, float]:
        """Direction in which side i runs at one of its corners, unit."""
        i %= len(self)
        ends = tuple(
            (number(x), number(y)) for x, y in (self.corners[i], self.corners[(i + 1) % len(self)])
        )
        arc = self.arcs[i]
        if arc is None:
            x, y = ends[1][0] - ends[0][0], ends[1][1] - ends[0][1]
        else:
            at = ends[at_end]
            x = -arc.sense * (at[1] - number(arc.centre[1]))
            y = arc.sense * (at[0] - number(arc.centre[0]))
        length = math.hypot(x, y)
        return x / length, y / length

    def path(self) -> Path:
        """The outline as a path with true arcs."""
        points = self.plain()
        return tuple(
            Step(
                points[(i + 1) % len(self)],
                (number(arc.centre[0]), number(arc.centre[1])) if arc else None,
                arc.sense > 0 if arc else True,
            )
            for i, arc in enumerate(self.arcs)
        )

    def chords(self, widest: float = math.radians(3.0)) -> list[tuple[float, float]]:
        """Corners of a polygon along it whose chords turn no more than `widest` [rad]."""
        points = []
        for i, (corner, arc) in enumerate(zip(self.plain(), self.arcs, strict=True)):
            points.append(corner)
            if arc is None:
                continue
            sweep = number(self.sweep(i))
            parts = math.ceil(sweep / widest)
            (cx, cy), r = arc.centre, number(arc.radius)
            first = math.atan2(corner[1] - number(cy), corner[0] - number(cx))
            for j in range(1, parts):
                angle = first + arc.sense * sweep * j / parts
                points.append((number(cx) + r * math.cos(angle), number(cy) + r * math.sin(angle)))
        return points


def slightest_turn(outline: Outline) -> int | None:
    """Corner whose sides lie so nearly in one line that they make no fold; None if there is none.

    Sides that are tangent run into each other, and are no fault.
    """
    for i in range(len(outline)):
        turn = outline.turn(i)
        if abs(turn) < _IN_LINE and not outline.is_tangent(i):
            return i
    return None


def from_centre(arc: Arc, point: Corner) -> Corner:
    """Arm from the centre of an arc to a point."""
    return (point[0] - arc.centre[0], point[1] - arc.centre[1])


def _cross(a: Corner, b: Corner) -> Number:
    return a[0] * b[1] - a[1] * b[0]


def _dot(a: Corner, b: Corner) -> Number:
    return a[0] * b[0] + a[1] * b[1]


def _plain_cross(a: tuple[float, float], b: tuple[float, float]) -> float:
    return a[0] * b[1] - a[1] * b[0]
