"""Marks on a picture: spots to point at, letters in rings, rings round what is in danger.

Room: draw.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from foldwright.draw.drawing import (
    DIMENSION,
    LETTERING,
    Area,
    Group,
    Item,
    Pen,
    Point,
    Stroke,
    Words,
    circle,
    polyline,
)
from foldwright.draw.inking import length_of

if TYPE_CHECKING:
    from foldwright.box import Box
    from foldwright.draw.inking import Place
    from foldwright.draw.seen import Seen, SeenArea

RINGED = Pen("in danger", 0.4, danger=True)
RINGED_HIDDEN = Pen("in danger, hidden", 0.4, (2.4, 1.2), danger=True)
RING = 2.3
IN_DANGER, IN_DANGER_HIDDEN = "In danger:", "In danger, hidden:"
KEY = 2.9  # of a ring with a key in it, which is read on a phone [mm]
_DANGER = (6.0, 4.2)  # half width and height of the rings round a meet in danger [mm]


@dataclass(frozen=True)
class Danger:
    """A meet in danger: where it is in the build [mm], and what to write beside its ring.

    Where another part than its `parts` is in front, the ring is dashed, as hidden lines are.
    """

    at: tuple[float, float, float]
    rows: tuple[str, ...]
    parts: tuple[str, ...] = ()


def dots_of(seen: Seen, least: float) -> dict[str, Point]:
    """The roomiest spot in the largest region of each part, if that is no sliver; largest first."""
    import shapely

    largest: dict[str, SeenArea] = {}
    size: dict[str, float] = {}
    for area in seen.areas:
        polygon = area.polygon
        if polygon.area > size.get(area.part, 0.0):
            largest[area.part], size[area.part] = area, polygon.area
    found = {}
    for part in sorted(size, key=lambda part: -size[part]):
        area = largest[part]
        if size[part] > least:
            line = shapely.maximum_inscribed_circle(area.polygon, tolerance=1.0)
            found[part] = (float(line.coords[0][0]), float(line.coords[0][1]))
    return found


def is_hidden(danger: Danger, seen: Seen, at: Point) -> bool:
    """Whether another part than those of a meet is seen where it is, `at` as `seen` has it."""
    import shapely

    spot = shapely.Point(at)
    return bool(danger.parts) and any(
        area.part not in danger.parts and area.polygon.contains(spot) for area in seen.areas
    )


def rows_of(danger: Danger, *, hidden: bool) -> tuple[str, ...]:
    """What to write beside a ring."""
    return (IN_DANGER_HIDDEN if hidden else IN_DANGER, *danger.rows)


def ringed_twice(
    places: Sequence[Point], hidden: Sequence[bool], drawn: Box
) -> tuple[list[Item], dict[str, Point]]:
    """Two rings by hand round each place, and where the leader to each begins.

    Parameters
    ----------
    places : sequence of Point
    hidden : sequence of bool
        Whether each lies behind something; its rings are dashed then, as hidden lines are.
    drawn : Box
        What the picture covers.
    """
    items: list[Item] = []
    ends: dict[str, Point] = {}
    wide, tall = _DANGER
    for i, (x, y) in enumerate(places):
        pen = RINGED_HIDDEN if hidden[i] else RINGED
        items.append(Group(_twice((x, y), wide, tall, pen), f"danger {i}"))
        side = 1.0 if x > drawn.middle[0] else -1.0
        ends[f"danger {i}"] = (x + side * 1.06 * wide, y)
    return items, ends


def ring_sample(box: Box) -> list[Item]:
    """What a place in danger looks like, for a legend."""
    return list(_twice(box.middle, 0.46 * box.width, 0.46 * box.height))


def _twice(at: Point, wide: float, tall: float, pen: Pen = RINGED) -> tuple[Item, ...]:
    """Two rings by hand."""
    (x, y), strokes = at, []
    for grown, lean, off in ((1.0, 0.0, 0.0), (0.9, 0.35, 0.5)):
        # a hand begins inside its ring and ends outside of it
        run = [
            (
                x + off + grown * (0.97 + 0.06 * t) * wide * math.cos(math.tau * t + lean),
                y - off / 2 + grown * (0.97 + 0.06 * t) * tall * math.sin(math.tau * t + lean),
            )
            for t in (k / 40 for k in range(42))
        ]
        strokes.append(Stroke(polyline(run), pen))
    return tuple(strokes)


def ringed(letters: Sequence[tuple[str, tuple[str, str]]], seen: Seen, place: Place) -> list[Item]:
    """Letters in rings on the edges that they name, where the edge is seen longest."""
    items: list[Item] = []
    for letter, faces in letters:
        lines = [
            [place(p) for p in line.points]
            for line in seen.lines
            if line.kind == "edge" and set(line.faces) == set(faces)
        ]
        points = max(lines, key=length_of, default=[])
        if len(points) < 2 or length_of(points) < 2.2 * RING:
            continue
        a, b = points[(len(points) - 1) // 2], points[(len(points) - 1) // 2 + 1]
        at = ((a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0)
        ring = circle(at, RING)
        size = 2.9 if len(letter) == 1 else 2.3
        items += [
            Area(ring, "paper"),
            Stroke(ring, DIMENSION),
            Words((at[0], at[1] - 0.36 * size), letter, size, LETTERING, "middle"),
        ]
    return items


def keys_at(dots: Mapping[str, Point], keys: Mapping[str, str], room: Box) -> list[Item]:
    """Short keys in rings at the dots that they stand for, moved apart where they would touch.

    Parameters
    ----------
    dots : Mapping of str to Point
        By part.
    keys : Mapping of str to str
        A number or a letter for each part; those without a dot are left out.
    room : Box
        Rings stay inside.
    """
    parts = [part for part in dots if part in keys]
    items: list[Item] = []
    for part, at in zip(parts, _apart([dots[part] for part in parts], room), strict=True):
        dot, key = dots[part], keys[part]
        if math.dist(dot, at) > KEY:
            items += [Stroke(polyline((dot, at)), DIMENSION), Area(circle(dot, 0.6))]
        size = 4.3 if len(key) == 1 else 3.6
        items += [
            Area(circle(at, KEY), "paper"),
            Stroke(circle(at, KEY), DIMENSION),
            Words((at[0], at[1] - 0.36 * size), key, size, LETTERING, "middle"),
        ]
    return items


def _apart(places: Sequence[Point], room: Box) -> list[Point]:
    """Push places apart until rings round them touch no longer, or nearly so."""
    found = [list(place) for place in places]
    least = 2.0 * KEY + 0.4
    for _ in range(200):
        is_clear = True
        for i, p in enumerate(found):
            for j, q in enumerate(found[:i]):
                gap = math.dist(p, q)
                if gap >= least - 1e-3:
                    continue
                is_clear = False
                # two at one spot part in a direction of their own
                way = (
                    ((p[0] - q[0]) / gap, (p[1] - q[1]) / gap)
                    if gap > 1e-6
                    else (math.cos(i + 2.0 * j), math.sin(i + 2.0 * j))
                )
                for k in (0, 1):
                    p[k] += 0.5 * (least - gap) * way[k]
                    q[k] -= 0.5 * (least - gap) * way[k]
        for p in found:
            p[0] = min(max(p[0], room.left + KEY), room.right - KEY)
            p[1] = min(max(p[1], room.low + KEY), room.high - KEY)
        if is_clear:
            break
    return [(x, y) for x, y in found]
