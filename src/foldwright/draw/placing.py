"""Where labels go, so that nothing runs through anything.

Room: draw. A `Ground` knows what is already drawn: lines, and the frames of
labels put down before. Ask it `is_free`; tell it with `take`. `spread` sets
labels along a line at least so far apart, each as near its place as it can be.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from foldwright.box import Box
from foldwright.draw.drawing import Path, Point, sampled
from foldwright.draw.fonts import CAPITAL


@dataclass(frozen=True)
class Frame:
    """An oblong at any angle: the room that a label needs.

    `middle` is its centre, `half` half its length and height [mm], `turn` the
    direction of its length [rad].
    """

    middle: Point
    half: tuple[float, float]
    turn: float = 0.0

    def corners(self) -> tuple[Point, ...]:
        """Four corners, anticlockwise."""
        cos, sin = math.cos(self.turn), math.sin(self.turn)
        (x, y), (w, h) = self.middle, self.half
        return tuple(
            (x + u * cos - v * sin, y + u * sin + v * cos)
            for u, v in ((-w, -h), (w, -h), (w, h), (-w, h))
        )

    @cached_property
    def box(self) -> Box:
        """Upright box round it."""
        (x, y), (w, h) = self.middle, self.half
        if self.turn:
            cos, sin = (abs(share) for share in self._way)
            w, h = w * cos + h * sin, w * sin + h * cos
        return Box(x - w, y - h, x + w, y + h)

    def crosses(self, a: Point, b: Point) -> bool:
        """Whether the straight line a-b touches the oblong."""
        (ax, ay), (bx, by) = self._own(a), self._own(b)
        low, high = 0.0, 1.0
        for start, run, half in ((ax, bx - ax, self.half[0]), (ay, by - ay, self.half[1])):
            if abs(run) < 1e-12:
                if abs(start) > half:
                    return False
                continue
            t0, t1 = sorted(((-half - start) / run, (half - start) / run))
            low, high = max(low, t0), min(high, t1)
        return low <= high

    def overlaps(self, other: Frame) -> bool:
        """Whether two oblongs share a point."""
        if not self.box.meets(other.box):
            return False
        if self.turn == other.turn == 0.0:
            return True
        return self._reaches(other) and other._reaches(self)

    def _reaches(self, other: Frame) -> bool:
        us, vs = zip(*(self._own(c) for c in other.corners()), strict=True)
        w, h = self.half
        return bool(min(us) <= w and max(us) >= -w and min(vs) <= h and max(vs) >= -h)

    @cached_property
    def _way(self) -> tuple[float, float]:
        return math.cos(self.turn), math.sin(self.turn)

    def _own(self, p: Point) -> Point:
        cos, sin = self._way
        dx, dy = p[0] - self.middle[0], p[1] - self.middle[1]
        return (dx * cos + dy * sin, dy * cos - dx * sin)


def label_frame(middle: Point, width: float, size: float, air: float, turn: float = 0.0) -> Frame:
    """Room for one line of capitals and small letters, `air` mm around it."""
    return Frame(middle, (width / 2.0 + air, size * CAPITAL / 2.0 + air), turn)


def baseline(frame: Frame, size: float) -> Point:
    """Where the baseline's middle lies when a label stands in the middle of its frame."""
    drop = size * CAPITAL / 2.0
    return (
        frame.middle[0] + drop * math.sin(frame.turn),
        frame.middle[1] - drop * math.cos(frame.turn),
    )


class Ground:
    """What is already drawn within a window of the page."""

    def __init__(self, window: Box) -> None:
        self.window = window
        self._lines: list[tuple[Point, Point, Box]] = []
        self._frames: list[Frame] = []

    def add_line(self, a: Point, b: Point) -> None:
        """Keep labels off the straight line a-b."""
        box = _box_of(a, b)
        if box.meets(self.window):
            self._lines.append((a, b, box))

    def add_path(self, path: Path) -> None:
        """Keep labels off a path."""
        points = sampled(path, 0.3)
        if not points:
            return
        closed = math.dist(path[-1].b, path[0].a) <= 1e-9
        for a, b in zip(points, points[1:] + points[:1] if closed else points[1:], strict=False):
            self.add_line(a, b)

    def take(self, frame: Frame) -> None:
        """Put something down: later labels keep off it."""
        self._frames.append(frame)

    def is_free(self, frame: Frame) -> bool:
        """Whether the frame lies in the window and touches nothing."""
        box = frame.box
        w = self.window
        if box.left < w.left or box.right > w.right or box.low < w.low or box.high > w.high:
            return False
        return not self._is_taken(frame) and not self._is_crossed(frame)

    # Of all that is drawn most lies far off a frame, and hundreds of frames are tried for one
    # label: boxes are compared first, here and not by a call.

    def _is_taken(self, frame: Frame) -> bool:
        """Whether any label lies in a frame."""
        left, low, right, high = frame.box
        for other in self._frames:
            near = other.box
            if (
                near.left <= right
                and left <= near.right
                and near.low <= high
                and low <= near.high
                and frame.overlaps(other)
            ):
                return True
        return False

    def _is_crossed(self, frame: Frame) -> bool:
        """Whether any line runs through a frame."""
        left, low, right, high = frame.box
        for a, b, near in self._lines:
            if (
                near.left <= right
                and left <= near.right
                and near.low <= high
                and low <= near.high
                and frame.crosses(a, b)
            ):
                return True
        return False

    def clashes(self, frame: Frame) -> float:
        """How bad a place is: 0 free; labels count ten, lines one, off the page a hundred."""
        box = frame.box
        w = self.window
        outside = box.left < w.left or box.right > w.right or box.low < w.low or box.high > w.high
        labels = sum(frame.overlaps(other) for other in self._frames)
        lines = sum(box.meets(near) and frame.crosses(a, b) for a, b, near in self._lines)
        return 100.0 * outside + 10.0 * labels + lines

    def crossed(self, a: Point, b: Point) -> int:
        """How many labels a straight line a-b would run through."""
        near = _box_of(a, b)
        return sum(frame.box.meets(near) and frame.crosses(a, b) for frame in self._frames)

    def first_free(self, frames: Iterable[Frame]) -> Frame | None:
        """First frame that is free, in the order given; None if none is."""
        return next((frame for frame in frames if self.is_free(frame)), None)

    def least_bad(self, frames: Sequence[Frame]) -> Frame:
        """Frame with the fewest clashes, the earlier the better."""
        best = min(range(len(frames)), key=lambda i: (self.clashes(frames[i]), i))
        return frames[best]


def _box_of(a: Point, b: Point) -> Box:
    """Upright box round a straight line."""
    return Box(min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]), max(a[1], b[1]))


def spread(places: Sequence[float], gaps: Sequence[float]) -> list[float]:
    """Move sorted places apart so that neighbours keep their gap, by least squares.

    Parameters
    ----------
    places : sequence of float
        Wanted, rising.
    gaps : sequence of float
        Least distance from place i to place i + 1; one fewer than places.

    Returns
    -------
    list of float
        Places that minimise the sum of squared moves (pool adjacent violators:
        after the gaps are taken out, what remains is a rising fit).

    Examples
    --------
    >>> spread([0.0, 1.0, 10.0], [3.0, 3.0])
    [-1.0, 2.0, 10.0]
    """
    taken = [0.0]
    for gap in gaps:
        taken.append(taken[-1] + gap)
    blocks: list[tuple[float, int]] = []
    for place, offset in zip(places, taken, strict=False):
        total, count = place - offset, 1
        while blocks and blocks[-1][0] / blocks[-1][1] > total / count:
            before = blocks.pop()
            total, count = total + before[0], count + before[1]
        blocks.append((total, count))
    fitted = [total / count for total, count in blocks for _ in range(count)]
    return [f + offset for f, offset in zip(fitted, taken, strict=False)]


def is_inside(point: Point, polygon: Sequence[Point]) -> bool:
    """Whether a point lies in a polygon (even-odd rule)."""
    x, y = point
    inside = False
    ax, ay = polygon[-1]
    for bx, by in polygon:
        if (ay > y) != (by > y) and x < ax + (y - ay) / (by - ay) * (bx - ax):
            inside = not inside
        ax, ay = bx, by
    return inside


def places_within(
    polygon: Sequence[Point], window: Box, step: float, like: Point | None = None
) -> Iterator[Point]:
    """Points of a grid inside polygon and window, the roomiest or nearest `like` first."""
    xs, ys = zip(*polygon, strict=True)
    low = (max(min(xs), window.left), max(min(ys), window.low))
    high = (min(max(xs), window.right), min(max(ys), window.high))
    if low[0] >= high[0] or low[1] >= high[1]:
        return
    target = like or ((low[0] + high[0]) / 2.0, (low[1] + high[1]) / 2.0)
    counts = [max(1, min(24, int((h - v) / step))) for v, h in zip(low, high, strict=True)]
    found = [target] if is_inside(target, polygon) else []
    columns = [low[0] + (i + 0.5) * (high[0] - low[0]) / counts[0] for i in range(counts[0])]
    for j in range(counts[1]):
        y = low[1] + (j + 0.5) * (high[1] - low[1]) / counts[1]
        walls = _crossings(polygon, y)  # once for the whole row
        found += [(x, y) for x in columns if bisect_right(walls, x) % 2]
    yield from sorted(found, key=lambda p: (math.dist(p, target), p))


def _crossings(polygon: Sequence[Point], y: float) -> list[float]:
    """Where a polygon crosses the level y, from left to right (even-odd rule)."""
    return sorted(
        ax + (y - ay) / (by - ay) * (bx - ax)
        for (ax, ay), (bx, by) in zip(polygon, [*polygon[1:], polygon[0]], strict=True)
        if (ay > y) != (by > y)
    )


def clipped(a: Point, b: Point, window: Box) -> tuple[Point, Point] | None:
    """Part of the straight line a-b inside the window; None if there is none."""
    low, high = 0.0, 1.0
    for start, run, least, most in (
        (a[0], b[0] - a[0], window.left, window.right),
        (a[1], b[1] - a[1], window.low, window.high),
    ):
        if abs(run) < 1e-12:
            if not least <= start <= most:
                return None
            continue
        t0, t1 = sorted(((least - start) / run, (most - start) / run))
        low, high = max(low, t0), min(high, t1)
    if low >= high:
        return None
    return between(a, b, low), between(a, b, high)


def between(a: Point, b: Point, t: float) -> Point:
    """Point at a share of the way from a to b."""
    return (a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1]))
