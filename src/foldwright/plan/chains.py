"""Lines and arcs of a drawing, joined end to end to one closed outline.

Room: plan. A drawing holds its lines in any order and direction. Ends within
0.01 mm count as one; where an end is left over, or three lines meet, the
coordinates are told. The outline comes out anticlockwise and begins at its
lowest corner, of those the leftmost one, so that side names do not hang on
the order in which the drawing was saved.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from foldwright.plan.arcs import Point, bowed

JOINED = 0.01
"""mm; ends within this are one."""

MOST_SEGMENTS = 20_000
"""More is a picture, not an outline."""

_MOST_NAMED = 4  # places or outlines that a message lists


class Trouble(NamedTuple):
    """What is wrong with a drawing, and what to change."""

    problem: str
    remedy: str


@dataclass(frozen=True)
class Segment:
    """A line or arc [mm]; `bulge` is tan(turn/4), positive to the left, 0 for a line."""

    start: Point
    end: Point
    bulge: float = 0.0

    @property
    def rise(self) -> float:
        """How far its middle lies right of its chord [mm]."""
        return self.bulge * math.dist(self.start, self.end) / 2.0

    def turned(self) -> Segment:
        """Itself in the other direction."""
        return Segment(self.end, self.start, -self.bulge)

    def halves(self) -> tuple[Segment, Segment]:
        """Both halves of it."""
        (ax, ay), (bx, by) = self.start, self.end
        # right of the chord by half of bulge times chord
        middle = (
            (ax + bx) / 2.0 + self.bulge * (by - ay) / 2.0,
            (ay + by) / 2.0 - self.bulge * (bx - ax) / 2.0,
        )
        half = math.tan(math.atan(self.bulge) / 2.0)
        return Segment(self.start, middle, half), Segment(middle, self.end, half)


def one_outline(segments: Sequence[Segment]) -> tuple[Segment, ...] | Trouble:
    """Join the lines of a drawing to the one closed outline that they make."""
    if len(segments) > MOST_SEGMENTS:
        return Trouble(
            f"It holds {len(segments):,} lines; {MOST_SEGMENTS:,} is the most.",
            "Leave only the outline in the drawing, or name its layer or id.",
        )
    segments = [s for s in segments if s.bulge or math.dist(s.start, s.end) > JOINED]
    if not segments:
        return Trouble(
            "There is no line in it that could be an outline.",
            "Draw the outline with lines, polylines, arcs or circles.",
        )
    nodes = _Nodes()
    ends = [(nodes.at(s.start), nodes.at(s.end)) for s in segments]
    trouble = _loose(nodes, ends)
    if trouble:
        return trouble
    loops = _loops(segments, ends)
    if len(loops) > 1:
        return _several(loops)
    return _in_order(loops[0])


class _Nodes:
    """Points, those within `JOINED` of each other taken as one."""

    def __init__(self) -> None:
        self.points: list[Point] = []
        self._cells: dict[tuple[int, int], list[int]] = {}

    def at(self, point: Point) -> int:
        x, y = (math.floor(v / JOINED) for v in point)
        for cell in ((x + i, y + j) for i in (-1, 0, 1) for j in (-1, 0, 1)):
            for node in self._cells.get(cell, ()):
                if math.dist(self.points[node], point) <= JOINED:
                    return node
        self.points.append(point)
        self._cells.setdefault((x, y), []).append(len(self.points) - 1)
        return len(self.points) - 1


def _loose(nodes: _Nodes, ends: Sequence[tuple[int, int]]) -> Trouble | None:
    """Ends that meet no other line, and places where more than two meet."""
    meeting = [0] * len(nodes.points)
    for pair in ends:
        for node in pair:
            meeting[node] += 1
    loose = [nodes.points[i] for i, count in enumerate(meeting) if count == 1]
    crowded = [nodes.points[i] for i, count in enumerate(meeting) if count > 2]
    if loose:
        return Trouble(
            f"Its outline is open: lines end at {_listed(loose)} and meet no other there.",
            f"Join them in the drawing; ends within {JOINED:g} mm are taken as one.",
        )
    if crowded:
        return Trouble(
            f"More than two lines meet at {_listed(crowded)}.",
            "Leave only the outline, each line once, or put it on a layer of its own.",
        )
    return None


def _loops(
    segments: Sequence[Segment], ends: Sequence[tuple[int, int]]
) -> list[tuple[Segment, ...]]:
    """Closed loops; every node has just two lines."""
    at: dict[int, list[int]] = {}
    for i, pair in enumerate(ends):
        for node in pair:
            at.setdefault(node, []).append(i)
    left = dict.fromkeys(range(len(segments)))
    loops = []
    while left:
        i = next(iter(left))
        loop, node = [], ends[i][0]
        while i in left:
            del left[i]
            ahead = ends[i][0] == node
            loop.append(segments[i] if ahead else segments[i].turned())
            node = ends[i][1] if ahead else ends[i][0]
            i = next((j for j in at[node] if j in left), i)
        loops.append(tuple(loop))
    return loops


def _several(loops: Sequence[tuple[Segment, ...]]) -> Trouble:
    named = [_called(loop) for loop in loops[:_MOST_NAMED]]
    more = f" and {len(loops) - _MOST_NAMED} more" if len(loops) > _MOST_NAMED else ""
    return Trouble(
        f"It holds {len(loops)} outlines: {'; '.join(named)}{more}.",
        "Name the one that is meant by its layer (DXF) or id (SVG); holes and windows are "
        "features of the part.",
    )


def _called(loop: Sequence[Segment]) -> str:
    points = _chords(loop)
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    size = f"{max(xs) - min(xs):.4g} by {max(ys) - min(ys):.4g} mm"
    return f"one of {size} from ({min(xs):.4g}, {min(ys):.4g})"


def _chords(loop: Sequence[Segment]) -> list[Point]:
    return [p for s in loop for p in bowed(s.start, s.end, s.rise, 1)[:-1]]


def _in_order(loop: Sequence[Segment]) -> tuple[Segment, ...]:
    """Anticlockwise, from the lowest corner, no arc past a semicircle, 3 corners or more."""
    points = _chords(loop)
    area = sum(
        a[0] * b[1] - b[0] * a[1] for a, b in zip(points, [*points[1:], points[0]], strict=True)
    )
    if area < 0.0:
        loop = [s.turned() for s in reversed(loop)]
    loop = [part for s in loop for part in (s.halves() if abs(s.bulge) > 1.0 + 1e-9 else (s,))]
    while len(loop) < 3 and any(s.bulge for s in loop):
        loop = [part for s in loop for part in (s.halves() if s.bulge else (s,))]
    first = min(range(len(loop)), key=lambda i: (round(loop[i].start[1], 6), loop[i].start[0]))
    return tuple([*loop[first:], *loop[:first]])


def _listed(points: Sequence[Point]) -> str:
    named = [f"({x:.6g}, {y:.6g})" for x, y in points[:_MOST_NAMED]]
    if len(points) > _MOST_NAMED:
        named.append(f"{len(points) - _MOST_NAMED} more places")
    return named[0] if len(named) == 1 else f"{', '.join(named[:-1])} and {named[-1]}"
