"""Running dimensions: every point of a blank measured from one datum corner.

Room: draw. Two scales stand beside the blank, one up its left side and one
along below it; each tick carries the distance from the datum and the numbers
of the points that lie there, or the letter of a fold that runs square to the
scale. Ticks stay where they are; labels move apart and fan out on leaders.
Where there are more labels than room, `is_crowded` says so, and the numbers
go into a table instead.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from foldwright.draw.blank import Blank, FoldLine, is_oblique
from foldwright.draw.drawing import (
    DIMENSION,
    LETTERING_NARROW,
    TICK,
    Item,
    Point,
    Stroke,
    Words,
    circle,
    line,
    polyline,
)
from foldwright.draw.fonts import text_width
from foldwright.draw.info import SheetInfo
from foldwright.draw.labels import numbers_of
from foldwright.draw.placing import spread
from foldwright.draw.view import View

_SIZE = 2.7
_PITCH = 3.15  # least distance between two labels [mm]
_LEADER = 7.0  # from the scale to the labels [mm]
_TICK = 1.6
_SAME = 0.05  # values that print alike within this are one tick [mm]
AXIS = 4.5  # from the sheet's edge to the scale [mm]


@dataclass(frozen=True)
class Reading:
    """One tick: its distance from the datum [mm], and what lies there."""

    value: float
    names: str
    shown: str


def readings(blank: Blank, info: SheetInfo, axis: int) -> tuple[Reading, ...]:
    """Ticks along x (axis 0) or y (axis 1), rising."""
    board = blank.box.grown(_SAME)
    numbered = [(p.at[axis], p.number, "") for p in blank.points if board.holds(p.at)]
    lettered = [
        (f.a[axis], 0, f.letter)
        for f in _lettered(blank)
        if not is_oblique(f) and abs(f.a[axis] - f.b[axis]) <= _SAME
    ]
    extent = (blank.box.width, blank.box.height)[axis]
    there = [value for value, _, _ in numbered]
    edges = [
        (value, 0, "edge")
        for value in (0.0, extent)
        if all(abs(value - other) > _SAME for other in there)
    ]
    groups: list[list[tuple[float, int, str]]] = []
    for item in sorted(numbered + lettered + edges):
        if groups and item[0] - groups[-1][0][0] < _SAME:
            groups[-1].append(item)
        else:
            groups.append([item])
    found = []
    for group in groups:
        numbers = sorted(n for _, n, _ in group if n)
        letters = [letter for _, _, letter in group if letter]
        names = " ".join([*letters, *([numbers_of(numbers)] if numbers else [])])
        found.append(Reading(group[0][0], names, info.length(abs(group[0][0]))))
    return tuple(found)


def _lettered(blank: Blank) -> list[FoldLine]:
    """Folds that get a tick; of a row of kerfs the first and the last, since the pitch is said."""
    rows: dict[str, list[FoldLine]] = {}
    for fold in blank.folds:
        rows.setdefault(fold.row or fold.letter, []).append(fold)
    return [fold for row in rows.values() for fold in dict.fromkeys((row[0], row[-1]))]


def band(found: Sequence[Reading]) -> float:
    """Room that a scale with its labels takes beside the blank [mm]."""
    value, names = _columns(found)
    return AXIS + _LEADER + 1.0 + value + (names + 1.8 if names else 0.0)


def is_crowded(found: Sequence[Reading], room: float) -> bool:
    """Whether the labels do not fit along a length of `room` mm."""
    return len(found) * _PITCH > room


def _columns(found: Sequence[Reading]) -> tuple[float, float]:
    value = max((text_width(r.shown, LETTERING_NARROW, _SIZE) for r in found), default=0.0)
    names = max((text_width(r.names, LETTERING_NARROW, _SIZE) for r in found), default=0.0)
    return value, names


def scale_along(
    found: Sequence[Reading], view: View, extent: float, axis: int, limits: tuple[float, float]
) -> list[Item]:
    """Draw one scale.

    Parameters
    ----------
    found : sequence of Reading
    view : View
        The scale stands `AXIS` left of (axis 1) or below (axis 0) its origin.
    extent : float
        Size of the blank along the scale [mm, true].
    axis : int
        0 along x, 1 along y.
    limits : (float, float)
        Where labels may stand along the scale, on the page.
    """

    def at(along: float, away: float) -> Point:
        """Page point: so far along the scale, so far out from it."""
        if axis == 0:
            return (along, view.origin[1] - AXIS - away)
        return (view.origin[0] - AXIS - away, along)

    start = view.origin[axis]
    items: list[Item] = [
        line(at(start, 0.0), at(start + extent * view.scale, 0.0), DIMENSION),
        Stroke(circle(at(start, 0.0), 0.9), DIMENSION),
    ]
    ticks = [start + r.value * view.scale for r in found]
    labels = _bounded(spread(ticks, [_PITCH] * (len(ticks) - 1)), limits)
    value_width, _ = _columns(found)
    turn = math.pi / 2.0 if axis == 0 else 0.0
    for reading, tick, label in zip(found, ticks, labels, strict=True):
        path = [at(tick, -_TICK), at(tick, _TICK), at(label, _LEADER - 1.6), at(label, _LEADER)]
        items.append(Stroke(polyline(path), TICK))
        # the baseline lies a third of the letter height beside the leader
        base = label + 0.36 * _SIZE if axis == 0 else label - 0.36 * _SIZE
        where = at(base, _LEADER + 0.9)
        items.append(Words(where, reading.shown, _SIZE, LETTERING_NARROW, "end", turn))
        where = at(base, _LEADER + 0.9 + value_width + 1.8)
        items.append(Words(where, reading.names, _SIZE, LETTERING_NARROW, "end", turn, soft=True))
    return items


def _bounded(places: list[float], limits: tuple[float, float]) -> list[float]:
    """Push labels inside the limits, gaps kept, the ends first."""
    out = list(places)
    for i in range(len(out)):
        least = limits[0] if i == 0 else out[i - 1] + _PITCH
        out[i] = max(out[i], least)
    for i in reversed(range(len(out))):
        most = limits[1] if i == len(out) - 1 else out[i + 1] - _PITCH
        out[i] = min(out[i], most)
    return out
