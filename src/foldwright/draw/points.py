"""Which points of a blank are marked, and their numbers.

Room: draw. Corners are numbered anticlockwise from the one nearest the datum
corner; centres, ends of folds and rounds, drill centres and cutouts go on from
there. A pattern writes a developed curve as hundreds of short lines; of those
only so many points are named as a hand needs to draw it fair.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from foldwright.draw.drawing import Arc, Path, Point, bounds

# Corners nearer than this, or less out of line, are one for a hand with a rule [mm].
SAME_POINT = 0.05
# The largest hole that a bench drill takes in board [mm]; common practice, no source.
LARGEST_DRILL = 13.0
_FAIR = math.radians(12.0)  # a corner that turns less may belong to a curve
_STRAIGHT = 0.002  # one that turns less is none, however short its sides [rad]
_FEWEST = 6  # so many of them in a row are one
_BETWEEN = math.radians(30.0)  # turn of the curve from one named point to the next


@dataclass(frozen=True)
class MarkedPoint:
    """A point to mark, with its number.

    `kind` is corner, centre, fold end, curl end, trim end, drill, cutout or
    curve: one of the points through which a developed edge is drawn fair.
    """

    number: int
    at: Point
    kind: str


def marked_points(
    outline: Path,
    ends: Sequence[tuple[Point, str]],
    drills: Sequence[tuple[Point, float]],
    cutouts: Sequence[Path],
) -> tuple[MarkedPoint, ...]:
    """Points of a blank in the order of their numbers, each once.

    Parameters
    ----------
    outline : Path
        Its lower left corner is the datum, (0, 0).
    ends : sequence of (Point, str)
        Ends of folds, of rounds and of trim lines, with their kind.
    drills : sequence of (Point, float)
        Centres, and how far round them the board is drilled away [mm]: a
        corner that goes with it needs no mark, if the edges that end in it
        run along the sheet.
    cutouts : sequence of Path
    """
    kept = _left_standing(_corners(outline), drills)
    if kept:
        start = min(range(len(kept)), key=lambda i: (math.hypot(*kept[i][0]), i))
        kept = kept[start:] + kept[:start]
        if not is_anticlockwise([p for p, _ in kept]):
            kept = [kept[0], *reversed(kept[1:])]
    named = [(p, "curve" if is_fair else "corner") for p, is_fair in kept]
    more = [(p, "centre") for p in _centres(outline)]
    more += [*ends, *((p, "drill") for p, _ in drills)]
    for cutout in cutouts:
        if (hole := drilled_hole(cutout)) is not None:
            more.append((hole[0], "centre"))
            continue
        more += [(p, "centre") for p in _centres(cutout)]
        more += [(p, "curve" if is_fair else "cutout") for p, is_fair in _corners(cutout)]
    for p, kind in more:
        if all(math.dist(p, q) > SAME_POINT for q, _ in named):
            named.append((p, kind))
    return tuple(MarkedPoint(i, p, kind) for i, (p, kind) in enumerate(named, 1))


def drilled_hole(path: Path) -> tuple[Point, float] | None:
    """Middle and diameter of a developed hole that a drill makes; None for anything else.

    A round hole through a curled wall comes out of round by less than a drill wanders.
    """
    if any(isinstance(segment, Arc) for segment in path):
        return None
    box = bounds(path)
    if max(box.width, box.height) > LARGEST_DRILL + 0.2:
        return None
    if len(path) < _FEWEST or not all(is_fair for _, is_fair in _corners(path)):
        return None
    return box.middle, min(box.width, box.height)


def _left_standing(
    ring: list[tuple[Point, bool]], drills: Sequence[tuple[Point, float]]
) -> list[tuple[Point, bool]]:
    """Corners without those that are drilled away and of no use for an edge."""
    kept = []
    for i, (p, fair) in enumerate(ring):
        at, radius = next(
            ((at, r) for at, r in drills if r > 0.0 and math.dist(p, at) <= r + SAME_POINT),
            (p, 0.0),
        )
        ends = (ring[i - 1][0], ring[(i + 1) % len(ring)][0])
        beyond = [q for q in ends if math.dist(q, at) > radius + SAME_POINT]
        along = all(min(abs(q[0] - p[0]), abs(q[1] - p[1])) <= SAME_POINT for q in beyond)
        if radius == 0.0 or not along:
            kept.append((p, fair))
    return kept


def _corners(path: Path) -> list[tuple[Point, bool]]:
    """Ends of segments where the path really turns, and if they lie on a developed curve.

    None on a circle. A slot keeps its ends, since its arcs meet lines there.
    """
    found = _apart(
        after.a
        for before, after in zip((path[-1], *path[:-1]), path, strict=True)
        if not (
            isinstance(before, Arc)
            and isinstance(after, Arc)
            and math.dist(before.centre, after.centre) < SAME_POINT
        )
    )
    if not any(isinstance(s, Arc) for s in path):
        around = zip(found, found[-1:] + found[:-1], found[1:] + found[:1], strict=True)
        found = [
            p
            for p, before, after in around
            if offset(p, before, after) > SAME_POINT / 5.0
            or _STRAIGHT < abs(_turn(before, p, after)) < _FAIR
        ]
    return _fairly_spread(found)


def _apart(points: Iterable[Point]) -> list[Point]:
    """Points without those that are one with an earlier one; by cells, as curves have hundreds."""
    found: list[Point] = []
    by_cell: dict[tuple[int, int], list[Point]] = {}
    for p in points:
        i, j = math.floor(p[0] / SAME_POINT), math.floor(p[1] / SAME_POINT)
        near = (by_cell.get((i + di, j + dj), ()) for di in (-1, 0, 1) for dj in (-1, 0, 1))
        if all(math.dist(p, q) > SAME_POINT for cell in near for q in cell):
            found.append(p)
            by_cell.setdefault((i, j), []).append(p)
    return found


def _fairly_spread(ring: list[Point]) -> list[tuple[Point, bool]]:
    """Corners of a ring; of each run of slight turns only some, with a mark."""
    turns = [_turn(ring[i - 1], p, ring[(i + 1) % len(ring)]) for i, p in enumerate(ring)]
    slight = [abs(turn) < _FAIR for turn in turns]
    if all(slight) and len(ring) >= _FEWEST:
        start = max(range(len(ring)), key=lambda i: ring[i])
    else:
        start = next((i for i, fair in enumerate(slight) if not fair), 0)
    order = [(start + i) % len(ring) for i in range(len(ring))]
    out: list[tuple[Point, bool]] = []
    run: list[int] = []
    for i in order:
        if slight[i]:
            run.append(i)
            continue
        out += _thinned(ring, turns, run)
        run = []
        out.append((ring[i], False))
    return out + _thinned(ring, turns, run)


def _thinned(ring: list[Point], turns: list[float], run: list[int]) -> list[tuple[Point, bool]]:
    """First of a run, and each next one after the curve has turned by so much, and the last."""
    if len(run) < _FEWEST:
        return [(ring[i], False) for i in run]
    whole = sum(abs(turns[i]) for i in run)
    count = max(1, round(whole / _BETWEEN))
    kept: list[tuple[Point, bool]] = []
    turned = 0.0
    for i in run:
        if turned >= len(kept) * whole / count - 1e-9 and len(kept) < count:
            kept.append((ring[i], True))
        turned += abs(turns[i])
    if len(run) < len(ring) and kept[-1][0] != ring[run[-1]]:
        kept.append((ring[run[-1]], True))
    return kept


def _turn(before: Point, p: Point, after: Point) -> float:
    ux, uy = p[0] - before[0], p[1] - before[1]
    vx, vy = after[0] - p[0], after[1] - p[1]
    return math.atan2(ux * vy - uy * vx, ux * vx + uy * vy)


def _centres(path: Path) -> list[Point]:
    found: list[Point] = []
    for segment in path:
        if isinstance(segment, Arc) and all(
            math.dist(segment.centre, p) > SAME_POINT for p in found
        ):
            found.append(segment.centre)
    return found


def offset(p: Point, a: Point, b: Point) -> float:
    """Distance of a point from the straight line through a and b [mm]."""
    length = math.dist(a, b)
    if length < SAME_POINT:
        return math.inf
    return abs((b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0])) / length


def is_anticlockwise(points: Sequence[Point]) -> bool:
    """Whether a ring of points has positive area."""
    ring = [*points, points[0]]
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in pairwise(ring)) > 0.0
