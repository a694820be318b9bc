"""Lines in ink and in pencil, as a draughtsman's hand has them.

Room: draw. Turns what is seen of a part (`seen`) into strokes and areas: what is
made in ink, its edges away from the light swelling, round walls ruled; what is not
in pencil, straight lines a little past their corners.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING

from foldwright.box import Box
from foldwright.draw.drawing import (
    LETTERING,
    LETTERING_SLOPED,
    Area,
    Group,
    Item,
    Path,
    Pen,
    Point,
    Stroke,
    Words,
    polyline,
)

if TYPE_CHECKING:
    from collections.abc import Callable

    from foldwright.draw.seen import Seen, SeenArea, SeenLine

    type Place = Callable[[Point], Point]

EDGE = Pen("made: visible edge", 0.4)
PENCIL = Pen("not made yet", 0.28, soft=True)
RULED = Pen("round part", 0.16)
INNER = Pen("made: edge inside", 0.25)
HEAVY = 0.75  # widest place of an edge away from the light [mm]
_OVERRUN = 1.1  # how far pencil lines run past their corners [mm]
_CRUMB = 0.15  # shorter than this on paper is left out [mm]


SAMPLE = Box(1.5, 1.5, 14.0, 7.0)  # where a sample of a legend stands [mm]
_CORNERS = (
    (SAMPLE.left, SAMPLE.low),
    (SAMPLE.right, SAMPLE.low),
    (SAMPLE.right, SAMPLE.high),
    (SAMPLE.left, SAMPLE.high),
)


def ink_sample() -> list[Item]:
    """What a made part looks like, for a legend."""
    items: list[Item] = [Area(polyline(_CORNERS, closed=True), "wash")]
    items += [Stroke(polyline(_CORNERS, closed=True), EDGE)]
    for a, b in pairwise(_CORNERS[:3]):
        run, extra = _swelling([a, b], [0.6])
        items.append(_sliver(run, extra, EDGE.width, 1.0))
    return items


def pencil_sample() -> list[Item]:
    """What a part looks like that is not made yet, for a legend."""
    items: list[Item] = []
    for a, b in pairwise((*_CORNERS, _CORNERS[0])):
        size = math.dist(a, b)
        dx, dy = _OVERRUN * (b[0] - a[0]) / size, _OVERRUN * (b[1] - a[1]) / size
        items.append(Stroke(polyline([(a[0] - dx, a[1] - dy), (b[0] + dx, b[1] + dy)]), PENCIL))
    return items


def legend(width: float) -> list[Item]:
    """Samples of ink and pencil with their words, in a row 9 mm high."""
    at, size = (SAMPLE.right + 3.0, 3.2), 3.2
    pencil = Words(at, "in pencil: not made yet", size, LETTERING_SLOPED)
    return [
        *ink_sample(),
        Words(at, "in ink: made", size, LETTERING),
        Group((*pencil_sample(), pencil), shift=(width / 2.0, 0.0)),
    ]


@dataclass(frozen=True)
class Hand:
    """How lines and areas are drawn: where each point goes, who is in ink, how wide."""

    place: Place
    inked: frozenset[str]
    weight: float

    def wash(self, name: str, seen: Seen) -> Group:
        """Areas of one part; those of a part in pencil are bare paper."""
        areas = tuple(self.area(area) for area in seen.areas if area.part == name)
        return Group(areas, f"{name} wash")

    def part(self, name: str, seen: Seen) -> Group:
        """Lines of one part."""
        items: list[Item] = []
        is_made = name in self.inked
        for line in seen.lines:
            if line.part == name and (is_made or line.kind != "ruling"):
                items += self.ink(line) if is_made else self.pencil(line)
        return Group(tuple(items), name)

    def area(self, area: SeenArea) -> Area:
        """One region, washed if its part is made."""
        path: Path = ()
        for loop in area.loops:
            path += polyline([self.place(p) for p in loop], closed=True)
        if area.part not in self.inked:
            return Area(path, "paper")
        return Area(path, "wash" if area.is_lit else "shade")

    def pen(self, pen: Pen) -> Pen:
        """Take a pen as wide as this hand has it."""
        return replace(pen, width=pen.width * self.weight)

    def ink(self, line: SeenLine) -> list[Item]:
        """One line of a part that is made."""
        points = [self.place(p) for p in line.points]
        if length_of(points) < _CRUMB:
            return []
        if line.kind in ("ruling", "inner"):
            pen = RULED if line.kind == "ruling" else INNER
            return [Stroke(polyline(points), self.pen(pen))]
        items: list[Item] = [Stroke(polyline(points), self.pen(EDGE))]
        widths = _swelling(points, line.heavy)
        for start, end in _stretches([w > 0.02 for w in widths[1]]):
            run = widths[0][max(0, start - 1) : end + 2]
            extra = widths[1][max(0, start - 1) : end + 2]
            if len(run) > 1:
                items.append(_sliver(run, extra, EDGE.width * self.weight, self.weight))
        return items

    def pencil(self, line: SeenLine) -> list[Item]:
        """One line of a part that is not made yet."""
        points = [self.place(p) for p in line.points]
        if length_of(points) < _CRUMB:
            return []
        if len(points) == 2 and line.kind == "edge":
            a, b = points
            size = math.dist(a, b)
            over = min(_OVERRUN * self.weight, 0.25 * size) / size
            dx, dy = over * (b[0] - a[0]), over * (b[1] - a[1])
            points = [
                (a[0] - dx, a[1] - dy) if line.whole[0] else a,
                (b[0] + dx, b[1] + dy) if line.whole[1] else b,
            ]
        return [Stroke(polyline(points), self.pen(PENCIL))]


def length_of(points: Sequence[Point]) -> float:
    """Length of a run of points."""
    return sum(math.dist(a, b) for a, b in pairwise(points))


def _swelling(points: list[Point], heavy: Sequence[float]) -> tuple[list[Point], list[float]]:
    """Points along a line with how much wider it is there, 0 to 1."""
    if len(points) == 2:
        a, b = points
        count = 12
        shares = [i / count for i in range(count + 1)]
        run = [(a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])) for t in shares]
        return run, [heavy[0] * math.sin(math.pi * t) ** 0.5 for t in shares]
    inner = [(p + q) / 2.0 for p, q in pairwise(heavy)]
    is_closed = math.dist(points[0], points[-1]) < 1e-6
    ends = ((heavy[0] + heavy[-1]) / 2.0,) * 2 if is_closed else (0.0, 0.0)
    return points, [ends[0], *inner, ends[1]]


def _stretches(flags: Sequence[bool]) -> list[tuple[int, int]]:
    """First and last index of each run of true flags."""
    found = []
    start = None
    for i, flag in enumerate([*flags, False]):
        if flag and start is None:
            start = i
        elif not flag and start is not None:
            found.append((start, i - 1))
            start = None
    return found


def _sliver(points: Sequence[Point], extra: Sequence[float], base: float, weight: float) -> Area:
    """A line that swells: an area on both sides of it."""
    left: list[Point] = []
    right: list[Point] = []
    for i, (p, more) in enumerate(zip(points, extra, strict=True)):
        q, r = points[max(0, i - 1)], points[min(len(points) - 1, i + 1)]
        size = max(math.dist(q, r), 1e-9)
        nx, ny = (q[1] - r[1]) / size, (r[0] - q[0]) / size
        half = (base + more * (HEAVY * weight - base)) / 2.0
        left.append((p[0] + half * nx, p[1] + half * ny))
        right.append((p[0] - half * nx, p[1] - half * ny))
    return Area(polyline([*left, *reversed(right)], closed=True))
