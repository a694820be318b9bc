"""The picture of a build or of one part, as a draughtsman would ink it.

Room: draw. What is made stands in ink: wash inside, edges away from the light
heavier and swelling, round walls ruled. What is not made yet stands in
pencil: bare paper, straight lines a little past their corners. Hidden lines
are removed (see `seen`). NumPy loads with the first picture, not before.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING

from foldwright.box import Box
from foldwright.draw.drawing import (
    DIMENSION,
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
    circle,
    polyline,
)
from foldwright.draw.leaders import Name, column_width, leaders

if TYPE_CHECKING:
    from foldwright.draw.seen import Seen, SeenArea, SeenLine
    from foldwright.shape import Body, Vector

EDGE = Pen("made: visible edge", 0.4)
PENCIL = Pen("not made yet", 0.28, soft=True)
RULED = Pen("round part", 0.16)
INNER = Pen("made: edge inside", 0.25)
RINGED = Pen("in danger", 0.4)
_HEAVY = 0.75  # widest place of an edge away from the light [mm]
_OVERRUN = 1.1  # how far pencil lines run past their corners [mm]
_CRUMB = 0.15  # shorter than this on paper is left out [mm]
_RING = 2.3
_DANGER = (6.0, 4.2)  # half width and height of the rings round a meet in danger [mm]
_TILT = 0.18  # how far above the eye stands where no side asks for it
_LEAST = 4.0  # a part of which less than this is seen gets no name [mm2 of paper]

_TOWARDS = {
    "front": (0.0, -1.0, 0.0),
    "back": (0.0, 1.0, 0.0),
    "left": (-0.52, 0.0, 0.0),
    "right": (0.52, 0.0, 0.0),
    "above": (0.0, 0.0, 0.55),
    "below": (0.0, 0.0, -0.55),
}


@dataclass(frozen=True)
class Danger:
    """A meet in danger: where it is in the build [mm], and what to write beside its ring."""

    at: tuple[float, float, float]
    rows: tuple[str, ...]


@dataclass(frozen=True)
class Picture:
    """A drawn picture.

    Attributes
    ----------
    items : tuple of Item
        Within 0..width, 0..height. The lines of each part stand in a group of
        its name, its areas in one of its name with " wash".
    scale : float
        mm of paper to the mm.
    dots : Mapping of str to Point
        A spot on the largest region in which each part is seen; who is
        hidden has none.
    origin : Point
        Where the origin of the build lies on the paper.
    eye : (float, float, float)
        Direction towards the eye.
    """

    items: tuple[Item, ...]
    width: float
    height: float
    scale: float
    dots: Mapping[str, Point]
    origin: Point = (0.0, 0.0)
    eye: tuple[float, float, float] = (0.52, -1.0, 0.55)

    def at(self, point: Sequence[float]) -> Point:
        """Where a point of the build lies on the paper."""
        from foldwright.draw.hidden_lines import view_axes

        right, up, _ = view_axes(self.eye) @ point
        return (
            self.origin[0] + self.scale * float(right),
            self.origin[1] + self.scale * float(up),
        )

    def group(self, shift: Point = (0.0, 0.0)) -> Group:
        """All of it as one group."""
        return Group(self.items, shift=shift)


def eye_of(sides: Sequence[str]) -> tuple[float, float, float]:
    """Direction towards the eye that shows these sides.

    The first of front, back, left, right is looked at most squarely; both of
    a pair that look opposite ways cannot be seen, and the earlier one wins. Where
    neither above nor below is asked for, the eye stands a little above: a level
    picture shows no depth.

    Parameters
    ----------
    sides : sequence of str
        ``"front"``, ``"back"``, ``"left"``, ``"right"``, ``"above"``, ``"below"``.

    Examples
    --------
    >>> eye_of(["front", "right", "above"])
    (0.52, -1.0, 0.55)
    >>> eye_of(["left"])
    (-1.0, 0.0, 0.18)
    """
    found = [0.0, 0.0, 0.0]
    for side in sides:
        towards = _TOWARDS[side]
        for i in range(3):
            found[i] = found[i] or towards[i]
    flat = [side for side in sides if _TOWARDS[side][2] == 0.0]
    if flat and flat[0] in ("left", "right"):  # then turn that side to the front
        found[0], found[1] = found[0] / 0.52, found[1] * 0.52
    if not any(found):
        return (0.52, -1.0, 0.55)
    return found[0], found[1], found[2] or _TILT


def picture_of(
    bodies: Mapping[str, Body],
    frames: Mapping[str, Vector],
    width: float,
    height: float,
    *,
    eye: Sequence[float] = (0.52, -1.0, 0.55),
    made: frozenset[str] | None = None,
    names: Mapping[str, Sequence[str]] | None = None,
    letters: Sequence[tuple[str, tuple[str, str]]] = (),
    dangers: Sequence[Danger] = (),
    largest: float = 1.0,
    weight: float = 1.0,
    air: float = 1.5,
) -> Picture:
    """Draw bodies with their hidden lines removed, as large as the room allows.

    Parameters
    ----------
    bodies : Mapping of str to Body
        By part.
    frames : Mapping of str to ndarray, shape (4, 4)
        Motion of each into the build frame; who has none stands at the origin.
    width, height : float
        Room [mm].
    eye : sequence of 3 floats
        Direction towards the eye in the build frame; see `eye_of`.
    made : frozenset of str, optional
        Parts in ink, the others in pencil; all in ink if left out.
    names : Mapping of str to sequence of str, optional
        Rows of text for each part that is to be named, beside the picture on leaders.
    letters : sequence of (str, (str, str)), optional
        Letters to ring on the edge between two faces, where it is seen.
    dangers : sequence of Danger, optional
        Places to ring twice, with words beside the picture.
    largest : float
        Largest scale.
    weight : float
        By how much all lines are wider; less than 1 for a small picture.
    air : float
        Room to leave round it [mm].

    Returns
    -------
    Picture

    Examples
    --------
    An empty build is an empty picture:

    >>> picture_of({}, {}, 100.0, 80.0).items
    ()
    """
    if not bodies:
        return Picture((), width, height, largest, {})
    from foldwright.draw.seen import box_of, seen_of  # loads NumPy and Shapely

    inked = frozenset(bodies) if made is None else made
    named = [Name(p, tuple(rows), p not in inked) for p, rows in (names or {}).items()]
    named += [Name(f"danger {i}", d.rows, is_dotted=False) for i, d in enumerate(dangers)]
    # rings stand out past the edges that they name
    air = max(air, _RING + 0.5) if letters else air
    beside = column_width(named) if named else air
    low, high = box_of(bodies, frames, eye)
    wide, tall = high[0] - low[0], high[1] - low[1]
    scale = min(
        largest,
        (width - 2.0 * beside) / max(wide, 1e-6),
        (height - 2.0 * air - 1.0) / max(tall, 1e-6),
    )
    left, base = (width - scale * wide) / 2.0, (height - scale * tall) / 2.0
    drawn = Box(left, base, left + scale * wide, base + scale * tall)
    origin = (left - scale * low[0], base - scale * low[1])

    def place(p: Point) -> Point:
        return (origin[0] + scale * p[0], origin[1] + scale * p[1])

    seen = seen_of(
        bodies, frames, eye, ruled=dict.fromkeys(inked, 0.55 / scale), wide=_HEAVY / scale
    )
    style = _Style(place, inked, weight)
    # all areas first: no wash may cover half of a line that bounds it
    items: list[Item] = [style.wash(name, seen) for name in bodies if name in inked]
    items += [style.part(name, seen) for name in bodies]
    dots = {name: place(at) for name, at in _dots(seen, _LEAST / scale**2).items()}
    items += _ringed(letters, seen, place)
    x, y, z = (float(e) for e in eye)
    bare = Picture((), width, height, scale, dots, origin, (x, y, z))
    rings, ends = _ringed_twice([bare.at(danger.at) for danger in dangers], drawn)
    items += [*rings, *leaders(named, dots | ends, drawn, Box(0.0, 0.0, width, height))]
    return replace(bare, items=tuple(items))


def legend(width: float) -> list[Item]:
    """Samples of ink and pencil with their words, in a row 9 mm high."""
    box = Box(1.5, 1.5, 14.0, 7.0)
    corners = [(box.left, box.low), (box.right, box.low), (box.right, box.high)]
    corners.append((box.left, box.high))
    ends = zip(corners, [*corners[1:], corners[0]], strict=True)
    items: list[Item] = [Area(polyline(corners, closed=True), "wash")]
    items += [Stroke(polyline(corners, closed=True), EDGE)]
    for a, b in ((corners[0], corners[1]), (corners[1], corners[2])):
        run, extra = _swelling([a, b], [0.6])
        items.append(_sliver(run, extra, EDGE.width, 1.0))
    items.append(Words((box.right + 3.0, 3.2), "in ink: made", 3.2, LETTERING))
    shift = width / 2.0
    for a, b in ends:
        size = math.dist(a, b)
        dx, dy = _OVERRUN * (b[0] - a[0]) / size, _OVERRUN * (b[1] - a[1]) / size
        items.append(
            Stroke(
                polyline([(a[0] - dx + shift, a[1] - dy), (b[0] + dx + shift, b[1] + dy)]), PENCIL
            )
        )
    words = "in pencil: not made yet"
    items.append(Words((shift + box.right + 3.0, 3.2), words, 3.2, LETTERING_SLOPED))
    return items


@dataclass(frozen=True)
class _Style:
    """How lines and areas are drawn: where each point goes, who is in ink, how wide."""

    place: _Place
    inked: frozenset[str]
    weight: float

    def wash(self, name: str, seen: Seen) -> Group:
        """Areas of one part."""
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
        path: Path = ()
        for loop in area.loops:
            path += polyline([self.place(p) for p in loop], closed=True)
        return Area(path, "wash" if area.is_lit else "shade")

    def pen(self, pen: Pen) -> Pen:
        return Pen(pen.name, pen.width * self.weight, pen.dashes, pen.soft)

    def ink(self, line: SeenLine) -> list[Item]:
        points = [self.place(p) for p in line.points]
        if _length(points) < _CRUMB:
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
        points = [self.place(p) for p in line.points]
        if _length(points) < _CRUMB:
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


def _length(points: Sequence[Point]) -> float:
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
        half = (base + more * (_HEAVY * weight - base)) / 2.0
        left.append((p[0] + half * nx, p[1] + half * ny))
        right.append((p[0] - half * nx, p[1] - half * ny))
    return Area(polyline([*left, *reversed(right)], closed=True))


def _dots(seen: Seen, least: float) -> dict[str, Point]:
    """The roomiest spot in the largest region of each part, if that is no sliver."""
    import shapely

    largest: dict[str, SeenArea] = {}
    size: dict[str, float] = {}
    for area in seen.areas:
        polygon = area.polygon
        if polygon.area > size.get(area.part, 0.0):
            largest[area.part], size[area.part] = area, polygon.area
    found = {}
    for part, area in largest.items():
        if size[part] > least:
            line = shapely.maximum_inscribed_circle(area.polygon, tolerance=1.0)
            found[part] = (float(line.coords[0][0]), float(line.coords[0][1]))
    return found


def _ringed_twice(places: Sequence[Point], drawn: Box) -> tuple[list[Item], dict[str, Point]]:
    """Two rings by hand round each place, and where the leader to each begins."""
    items: list[Item] = []
    ends: dict[str, Point] = {}
    wide, tall = _DANGER
    for i, (x, y) in enumerate(places):
        strokes: list[Item] = []
        for grown, lean, off in ((1.0, 0.0, 0.0), (0.9, 0.35, 0.5)):
            # a hand begins inside its ring and ends outside of it
            run = [
                (
                    x + off + grown * (0.97 + 0.06 * t) * wide * math.cos(math.tau * t + lean),
                    y - off / 2 + grown * (0.97 + 0.06 * t) * tall * math.sin(math.tau * t + lean),
                )
                for t in (k / 40 for k in range(42))
            ]
            strokes.append(Stroke(polyline(run), RINGED))
        items.append(Group(tuple(strokes), f"danger {i}"))
        side = 1.0 if x > drawn.middle[0] else -1.0
        ends[f"danger {i}"] = (x + side * 1.06 * wide, y)
    return items, ends


def _ringed(
    letters: Sequence[tuple[str, tuple[str, str]]], seen: Seen, place: _Place
) -> list[Item]:
    """Letters in rings on the edges that they name, where the edge is seen longest."""
    items: list[Item] = []
    for letter, faces in letters:
        lines = [
            [place(p) for p in line.points]
            for line in seen.lines
            if line.kind == "edge" and set(line.faces) == set(faces)
        ]
        points = max(lines, key=_length, default=[])
        if len(points) < 2 or _length(points) < 2.2 * _RING:
            continue
        a, b = points[(len(points) - 1) // 2], points[(len(points) - 1) // 2 + 1]
        at = ((a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0)
        ring = circle(at, _RING)
        size = 2.9 if len(letter) == 1 else 2.3
        items += [
            Area(ring, "paper"),
            Stroke(ring, DIMENSION),
            Words((at[0], at[1] - 0.36 * size), letter, size, LETTERING, "middle"),
        ]
    return items


if TYPE_CHECKING:
    from collections.abc import Callable

    type _Place = Callable[[Point], Point]
