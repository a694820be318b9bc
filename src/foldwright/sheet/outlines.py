"""Closed paths as areas: their content, their moments, their box, polygons round them.

Room: sheet. Lines and arcs are taken exactly by Green's theorem; only
`ring_outside` makes chords, and it errs on the side of the material: the
polygon of an outline is never smaller than the blank, that of a window never
larger than the opening.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from foldwright.box import Box
from foldwright.shape import Path, Point

type Ring = tuple[Point, ...]

CHORD_ERROR = 0.05
"""How far a polygon may stand outside of an arc [mm]: half of what a rule shows."""

_STRAIGHT = 1e-9  # rad; an arc that turns less is a line


@dataclass(frozen=True)
class Moments:
    """Area [mm2] and first moments [mm3] of a region; all negative for a clockwise path."""

    area: float
    x: float
    y: float

    def __add__(self, other: Moments) -> Moments:
        return Moments(self.area + other.area, self.x + other.x, self.y + other.y)

    @property
    def centroid(self) -> Point:
        """Centre of the region [mm]."""
        return (self.x / self.area, self.y / self.area)


@dataclass(frozen=True)
class _Arc:
    """Arc from angle `start` through `sweep` [rad], positive anticlockwise."""

    centre: Point
    radius: float
    start: float
    sweep: float

    def at(self, angle: float, radius: float) -> Point:
        return (
            self.centre[0] + radius * math.cos(angle),
            self.centre[1] + radius * math.sin(angle),
        )


def _segments(path: Path) -> Iterator[tuple[Point, Point, _Arc | None]]:
    """Start, end and arc of each step; a path starts at its last `to`."""
    last = path[-1].to
    for step in path:
        arc = None
        if step.centre is not None:
            start = math.atan2(last[1] - step.centre[1], last[0] - step.centre[0])
            end = math.atan2(step.to[1] - step.centre[1], step.to[0] - step.centre[0])
            turn = (end - start) % math.tau if step.left else (start - end) % math.tau
            if math.dist(last, step.to) < 1e-9 or turn < _STRAIGHT:
                turn = math.tau
            sweep = turn if step.left else -turn
            arc = _Arc(step.centre, math.dist(last, step.centre), start, sweep)
        yield last, step.to, arc
        last = step.to


def moments(path: Path) -> Moments:
    """Area and first moments of what a path goes round, exactly.

    Green: ``A = 1/2 oint (x dy - y dx)``, ``int x dA = 1/2 oint x^2 dy``,
    ``int y dA = -1/2 oint y^2 dx``.

    Examples
    --------
    >>> from foldwright.shape import Step
    >>> disc = (Step((2.0, 0.0), (0.0, 0.0)),)
    >>> round(moments(disc).area / math.pi, 12)
    4.0
    """
    total = Moments(0.0, 0.0, 0.0)
    for (ax, ay), (bx, by), arc in _segments(path):
        if arc is None:
            cross = ax * by - bx * ay
            total += Moments(cross / 2.0, (ax + bx) * cross / 6.0, (ay + by) * cross / 6.0)
        else:
            total += _arc_moments(arc)
    return total


def _arc_moments(arc: _Arc) -> Moments:
    (cx, cy), r, s, t, d = (
        arc.centre,
        arc.radius,
        arc.start,
        arc.start + arc.sweep,
        arc.sweep,
    )
    sin, cos = math.sin(t) - math.sin(s), math.cos(t) - math.cos(s)
    double = (math.sin(2.0 * t) - math.sin(2.0 * s)) / 4.0
    sin3 = sin - (math.sin(t) ** 3 - math.sin(s) ** 3) / 3.0  # integral of cos^3
    cos3 = -cos + (math.cos(t) ** 3 - math.cos(s) ** 3) / 3.0  # integral of sin^3
    return Moments(
        0.5 * (r * r * d + cx * r * sin - cy * r * cos),
        0.5 * r * (cx * cx * sin + 2.0 * cx * r * (d / 2.0 + double) + r * r * sin3),
        0.5 * r * (-cy * cy * cos + 2.0 * cy * r * (d / 2.0 - double) + r * r * cos3),
    )


def extent(path: Path) -> Box:
    """Smallest upright rectangle round a path, arcs taken exactly [mm]."""
    return ring_extent(tuple(_run(path, math.inf)))


def ring_extent(ring: Ring) -> Box:
    """Smallest upright rectangle round a ring of points [mm]."""
    xs, ys = zip(*ring, strict=True)
    return Box(min(xs), min(ys), max(xs), max(ys))


def is_upright(ring: Ring) -> bool:
    """Whether a ring is an upright rectangle."""
    box = ring_extent(ring)
    xs, ys = (box.left, box.right), (box.low, box.high)
    return len(ring) == 4 and set(ring) == {(x, y) for x in xs for y in ys}


def ring_outside(path: Path, chord_error: float = CHORD_ERROR) -> Ring:
    """Polygon that holds the material of a path and errs by at most `chord_error` [mm].

    Material lies left of a path. An arc that bulges out (turns left) is
    replaced by tangents, one that bulges in (turns right) by chords. Arcs are
    broken at their quadrant points, so that the polygon's box is the path's.
    """
    return tuple(_run(path, chord_error))


def _run(path: Path, chord_error: float) -> list[Point]:
    points: list[Point] = []
    for start, _, arc in _segments(path):
        points.append(start)
        if arc is None:
            continue
        stops = _stops(arc)
        for i, (s, t) in enumerate(pairwise(stops)):
            if i:
                points.append(arc.at(s, arc.radius))
            if math.isfinite(chord_error):
                points += _between(arc, s, t, chord_error)
    return points


def _stops(arc: _Arc) -> list[float]:
    """Angles at which an arc begins, passes a quadrant and ends, in its own order."""
    end = arc.start + arc.sweep
    low, high = sorted((arc.start, end))
    quarter = math.pi / 2.0
    inner = [
        k * quarter
        for k in range(math.floor(low / quarter), math.ceil(high / quarter) + 1)
        if low + 1e-9 < k * quarter < high - 1e-9
    ]
    return [arc.start, *(inner if arc.sweep > 0.0 else reversed(inner)), end]


def _between(arc: _Arc, s: float, t: float, chord_error: float) -> list[Point]:
    """Points strictly between two angles: ends of chords, or crossings of tangents."""
    r = arc.radius
    if arc.sweep > 0.0:  # r (1/cos(step/2) - 1) = error
        most = 2.0 * math.acos(r / (r + chord_error))
        count = max(1, math.ceil(abs(t - s) / most))
        step = (t - s) / count
        out = r / math.cos(step / 2.0)
        return [arc.at(s + (i + 0.5) * step, out) for i in range(count)]
    most = 2.0 * math.acos(max(0.0, 1.0 - chord_error / r))  # r (1 - cos(step/2)) = error
    count = max(1, math.ceil(abs(t - s) / most))
    step = (t - s) / count
    return [arc.at(s + i * step, r) for i in range(1, count)]
