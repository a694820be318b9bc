"""Tracing paths: circles and rounded rectangles, areas, chords, turning round.

Room: shape. What is done with the records of `paths`. Arcs stay arcs through
all of it but `path_chords`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from foldwright.shape.paths import Path, Point, Step
from foldwright.shape.solid import Vector

# Sides of a path shorter than this are none [mm].
_NOTHING = 1e-9


def circle(centre: Point, radius: float) -> Path:
    """Circle as two half arcs, clockwise; `radius` [mm]."""
    x, y = centre
    return (
        Step((x - radius, y), centre, left=False),
        Step((x + radius, y), centre, left=False),
    )


def rounded_rectangle(length: float, width: float, corner: float) -> Path:
    """Rectangle about the origin, `length` along x, with round corners, clockwise.

    Parameters
    ----------
    length, width : float
        [mm], over 0.
    corner : float
        Radius of the corners [mm], at most half the shorter side; 0 leaves
        them sharp. Half of one side gives a slot, half of both a circle.
    """
    half_x, half_y = length / 2.0 - corner, width / 2.0 - corner
    if max(half_x, half_y) <= _NOTHING:
        return circle((0.0, 0.0), corner)
    steps: list[Step] = []
    last = (-half_x - corner, half_y)
    # Clockwise from the upper end of the left side: the corner, then the side after it.
    for cx, cy, away, along in (
        (-half_x, half_y, (0.0, 1.0), (half_x, half_y + corner)),
        (half_x, half_y, (1.0, 0.0), (half_x + corner, -half_y)),
        (half_x, -half_y, (0.0, -1.0), (-half_x, -half_y - corner)),
        (-half_x, -half_y, (-1.0, 0.0), (-half_x - corner, half_y)),
    ):
        if corner > 0.0:
            last = (cx + corner * away[0], cy + corner * away[1])
            if steps and steps[-1].centre and math.dist(steps[-1].centre, (cx, cy)) <= _NOTHING:
                steps.pop()  # no side between two corners: one arc of half a turn
            steps.append(Step(last, (cx, cy), left=False))
        if math.dist(last, along) > _NOTHING:
            steps.append(Step(along))
            last = along
    if steps[-1].centre and steps[0].centre and steps[-1].centre == steps[0].centre:
        del steps[-1]
        steps.append(steps.pop(0))
    return tuple(steps)


def polygon(corners: Sequence[Point]) -> Path:
    """Straight path through the corners, starting and ending at the last."""
    return tuple(Step((float(x), float(y))) for x, y in corners)


def sweep(start: Point, step: Step) -> float:
    """How far an arc turns [rad]: positive to the left, a whole turn if it ends where it began."""
    assert step.centre is not None, "a line turns about nothing"
    cx, cy = step.centre
    before = math.atan2(start[1] - cy, start[0] - cx)
    after = math.atan2(step.to[1] - cy, step.to[0] - cx)
    turn = (after - before) % math.tau if step.left else (before - after) % math.tau
    if turn < 1e-12:
        turn = math.tau
    return turn if step.left else -turn


def path_area(path: Path) -> float:
    """Signed area [mm2], positive anticlockwise; arcs count in full.

    The polygon of the ends, and for each arc the segment ``r^2 (s - sin s)/2``
    between it and its chord, s its sweep.
    """
    total, start = 0.0, path[-1].to
    for step in path:
        (ax, ay), (bx, by) = start, step.to
        total += (ax * by - bx * ay) / 2.0
        if step.centre is not None:
            turn = sweep(start, step)
            total += math.dist(step.to, step.centre) ** 2 * (turn - math.sin(turn)) / 2.0
        start = step.to
    return total


def path_bounds(path: Path) -> tuple[Point, Point]:
    """Lower-left and upper-right corner of the rectangle round a path, bows and all [mm]."""
    points, start = [], path[-1].to
    for step in path:
        points.append(step.to)
        if step.centre is not None:
            (cx, cy), turn = step.centre, sweep(start, step)
            radius = math.dist(step.to, step.centre)
            first = math.atan2(start[1] - cy, start[0] - cx)
            for quarter in range(4):
                angle = quarter * math.pi / 2.0
                ahead = (angle - first) % math.tau if turn > 0.0 else (first - angle) % math.tau
                if ahead < abs(turn):
                    ux, uy = ((1, 0), (0, 1), (-1, 0), (0, -1))[quarter]
                    points.append((cx + radius * ux, cy + radius * uy))
        start = step.to
    xs, ys = zip(*points, strict=True)
    return (min(xs), min(ys)), (max(xs), max(ys))


def path_chords(path: Path, error: float = 0.01) -> tuple[Point, ...]:
    """Corners of the path with its arcs as chords that stray at most `error` [mm]."""
    found: list[Point] = []
    start = path[-1].to
    for step in path:
        if step.centre is not None:
            (cx, cy), turn = step.centre, sweep(start, step)
            radius = math.dist(step.to, step.centre)
            widest = 2.0 * math.acos(max(0.0, 1.0 - error / radius)) if radius > error else 1.0
            count = max(2, math.ceil(abs(turn) / widest))
            first = math.atan2(start[1] - cy, start[0] - cx)
            angles = (first + turn * i / count for i in range(1, count))
            found += [(cx + radius * math.cos(a), cy + radius * math.sin(a)) for a in angles]
        found.append(step.to)
        start = step.to
    return tuple(found)


def reversed_path(path: Path) -> Path:
    """The same path run the other way."""
    return tuple(
        Step(path[i - 1].to, path[i].centre, not path[i].left)
        if path[i].centre is not None
        else Step(path[i - 1].to)
        for i in reversed(range(len(path)))
    )


def moved_path(path: Path, motion: Vector) -> Path:
    """Path moved in its plane, run the same way round as before.

    Parameters
    ----------
    path : Path
    motion : ndarray, shape (3, 3)
        A rigid motion of the plane, on (x, y, 1); it may turn it over.
    """

    def by(p: Point) -> Point:
        x, y, _ = motion @ np.array([*p, 1.0])
        return float(x), float(y)

    if np.linalg.det(motion[:2, :2]) > 0.0:
        return tuple(Step(by(s.to), by(s.centre) if s.centre else None, s.left) for s in path)
    # Turned over, a left turn becomes a right one; run backwards, a left one again.
    over = tuple(Step(by(s.to), by(s.centre) if s.centre else None, not s.left) for s in path)
    return reversed_path(over)


def plane_motion(turn: float, to: Point) -> Vector:
    """Motion of the plane, shape (3, 3): turned by `turn` [rad], then the origin put at `to`."""
    c, s = math.cos(turn), math.sin(turn)
    return np.array([[c, -s, to[0]], [s, c, to[1]], [0.0, 0.0, 1.0]])


def in_plane(motion: Vector) -> Vector:
    """What a motion of space, shape (4, 4), does to x and y: shape (3, 3)."""
    return np.asarray(motion[np.ix_((0, 1, 3), (0, 1, 3))], dtype=np.float64)
