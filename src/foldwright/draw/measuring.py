"""Where the tool goes: dimension lines on the picture of a part.

Room: draw. Straight dims stand along the edge of the part's outline that lies
nearest to the reader, round ones across the upper rim as a caliper takes
them, a girth as a tape round the wall. Of the spare dims a width at one end
stands along that end, a diagonal from corner to corner of its face, a plumb
line hangs where it is hung. What a picture cannot show plainly is left to the
words beside it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from foldwright.draw.book_records import ToMeasure
from foldwright.draw.dimension_lines import beside, between, dimension, dot
from foldwright.draw.drawing import (
    DIMENSION,
    LETTERING,
    Item,
    Pen,
    Point,
    Stroke,
    Words,
    line,
    polyline,
)
from foldwright.draw.info import SheetInfo
from foldwright.draw.picture import Picture
from foldwright.draw.sheet import READ, arrow

if TYPE_CHECKING:
    from foldwright.shape import Body, Vector

# Axis of each straight dim over all, by kind of part: 0 is x, 1 is y, 2 is z.
_BOX = {"width": 0, "depth": 1, "height": 2}
_LONG = {"length": 2, "height": 2}
_FLAT = {"width": 0, "height": 1, "length": 0}
ALONG: Mapping[str, Mapping[str, int]] = {
    "box": _BOX,
    "profile": _BOX,
    "faceted": _BOX,
    "taper": {"height": 2},
    "drum": _LONG,
    "hood": _LONG,
    "tube": _LONG,
    "plug": _LONG,
    "plate": _FLAT,
    "rib": _FLAT,
    "strip": {"length": 0, "width": 1},
}
ACROSS = frozenset({"outside_d", "diameter"})

# Edge of each dim at one end: its axis, and on which side of the others it lies.
EDGES: Mapping[str, tuple[int, Mapping[int, int]]] = {
    "width_front": (0, {1: 0}),
    "width_back": (0, {1: 1}),
    "width_bottom": (0, {2: 0}),
    "width_top": (0, {2: 1}),
    "depth_left": (1, {0: 0}),
    "depth_right": (1, {0: 1}),
    "height_front": (2, {1: 0}),
    "height_front_left": (2, {0: 0, 1: 0}),
    "height_front_right": (2, {0: 1, 1: 0}),
    "height_back": (2, {1: 1}),
}
_FLAT_EDGES: Mapping[str, tuple[int, Mapping[int, int]]] = {
    "width_lower": (0, {1: 0, 2: 1}),
    "width_upper": (0, {1: 1, 2: 1}),
    "width_left": (1, {0: 0, 2: 1}),
    "width_right": (1, {0: 1, 2: 1}),
}
# Corner to corner: the axis the face looks along and its side, the way across and the way up.
DIAGONALS: Mapping[str, tuple[int, int, int, int]] = {
    "front_diagonal": (1, 0, 0, 2),
    "side_diagonal": (0, 1, 1, 2),
    "top_diagonal": (2, 1, 0, 1),
    "diagonal": (2, 1, 0, 1),
}
# Plumb lines: the axis along which they hang clear of the part, on its low side.
PLUMBS = {"plumb_right": 0, "plumb_back": 1}

TAPE = Pen("tape", 0.3)
_PLUMB = 4.0  # how far a plumb line is drawn clear of the part [mm of paper]
_SIZE = READ  # height of figures [mm]


def measuring_lines(
    drawn: Picture,
    kind: str,
    body: Body,
    motion: Vector | None,
    dims: Sequence[ToMeasure],
    info: SheetInfo,
) -> list[Item]:
    """Dimension lines for those dims that a picture can show.

    Parameters
    ----------
    drawn : Picture
        Of this one part; `dimension_lines.ROOM` mm wide air round it.
    kind : str
        Kind of part.
    body : Body
    motion : ndarray, shape (4, 4), or None
        Where it stands in the picture.
    dims : sequence of ToMeasure
    info : SheetInfo
    """
    place = _Place(drawn, body.points(), motion, body)
    items: list[Item] = []
    for dim in dims:
        text = info.length(dim.value, dim.is_fine)
        axis = ALONG.get(kind, {}).get(dim.dim)
        if axis is not None:
            found = place.straight(axis, text)
        elif dim.dim in ACROSS:
            found = place.across(text)
        elif dim.dim == "girth" and kind in ("drum", "tube"):
            found = place.girth(text)
        else:
            found = _spare(place, kind, dim.dim, text)
        if not _overprints(found, items):
            items += found
    return items


def _overprints(found: Sequence[Item], items: Sequence[Item]) -> bool:
    """Whether figures would stand on others: a width over all and one at the near edge."""
    there = [item.at for item in items if isinstance(item, Words)]
    return any(
        math.dist(item.at, at) < _SIZE for item in found if isinstance(item, Words) for at in there
    )


def _spare(place: _Place, kind: str, dim: str, text: str) -> list[Item]:
    """Lines for a dim that says again what others say."""
    edges = _FLAT_EDGES if kind in ("plate", "rib", "strip") else EDGES
    name, _, which = dim.rpartition("_")
    if dim in edges:
        return place.edge(*edges[dim], text)
    if name in DIAGONALS and which in ("a", "b"):
        return place.diagonal(*DIAGONALS[name], which == "b", text)
    if dim in PLUMBS:
        return place.plumb(PLUMBS[dim], text)
    if which.isdigit() and place.is_round:
        turn = math.radians(float(which))
        if name == "d":
            return place.over_rim(turn, text)
        if name == "length":
            return place.up_wall(turn, text)
    return []


class _Place:
    """A part in its picture: from its own frame to the paper."""

    def __init__(
        self, drawn: Picture, points: Vector, motion: Vector | None = None, body: Body | None = None
    ) -> None:
        import numpy as np

        self.drawn = drawn
        self.motion = np.eye(4) if motion is None else motion
        surfaces = body.surfaces if body is not None else ()
        self.is_round = any(
            s.generator is not None and s.generator.sweep[1] - s.generator.sweep[0] > 6.2
            for s in surfaces
        )
        start = next((s.generator.start for s in surfaces if s.generator), (1.0, 0.0, 0.0))
        self.seam = math.atan2(start[1], start[0])
        self.low, self.high = points.min(axis=0), points.max(axis=0)
        self.middle = self.at((self.low + self.high) / 2.0)
        turned = self.motion[:3, :3].T @ np.array(drawn.eye)
        self.eye = turned / np.linalg.norm(turned)

    def at(self, point: Vector) -> Point:
        return self.drawn.at((self.motion[:3, :3] @ point + self.motion[:3, 3]).tolist())

    def straight(self, axis: int, text: str) -> list[Item]:
        """Along the edge of the part's box that lies furthest out, below or to the left."""
        edges = self._sides() if self.is_round and axis == 2 else self._edges(axis)
        return beside(edges, text)

    def edge(self, axis: int, sides: Mapping[int, int], text: str) -> list[Item]:
        """Beside the edge of the part's box that lies on these sides, away from its middle."""
        found = []
        for a, b in self._edges(axis, sides):
            size = math.dist(a, b)
            if size < 6.0:
                return []
            out = ((a[1] - b[1]) / size, (b[0] - a[0]) / size)
            if dot(_off_from(self.middle, between(a, b)), out) < 0.0:
                out = (-out[0], -out[1])
            found.append((a, b, out))
        a, b, out = max(found, key=lambda e: dot(_off_from(self.middle, between(*e[:2])), e[2]))
        return dimension(a, b, out, text)

    def diagonal(
        self, axis: int, side: int, across: int, up: int, falls: bool, text: str
    ) -> list[Item]:
        """From corner to corner over a face, if it can be seen."""
        if (2 * side - 1) * self.eye[axis] < 0.1:
            return []
        ends = []
        for end in (0, 1):
            corner = self.low.copy()
            corner[axis] = (self.low, self.high)[side][axis]
            corner[across] = (self.low, self.high)[1 - end if falls else end][across]
            corner[up] = (self.low, self.high)[end][up]
            ends.append(self.at(corner))
        return _on_the_part(ends[0], ends[1], text, 0.3)

    def plumb(self, axis: int, text: str) -> list[Item]:
        """A line that hangs clear of a face, its weight, and the way to the lower edge."""
        other = 1 - axis
        hung, foot = self.low.copy(), self.low.copy()
        hung[other] = foot[other] = (self.low if self.eye[other] < 0.0 else self.high)[other]
        hung[2] = self.high[2]
        clear = hung.copy()
        clear[axis] -= _PLUMB / self.drawn.scale
        below = foot.copy()
        below[axis] -= _PLUMB / self.drawn.scale
        top, end, edge = self.at(clear), self.at(below), self.at(foot)
        if math.dist(top, end) < 6.0 or math.dist(end, edge) < 1.5:
            return []
        bob = [end, (end[0] - 0.7, end[1] + 1.8), (end[0] + 0.7, end[1] + 1.8), end]
        way = math.atan2(edge[1] - end[1], edge[0] - end[0])
        at = (end[0], min(end[1], edge[1]) - 0.72 * _SIZE - 1.0)
        return [
            line(self.at(hung), top, DIMENSION),
            Stroke(polyline([top, end]), TAPE),
            Stroke(polyline(bob), TAPE),
            line(end, edge, DIMENSION),
            arrow(edge, way, 1.5),
            Words(at, text, _SIZE, LETTERING, "middle"),
        ]

    def over_rim(self, turn: float, text: str) -> list[Item]:
        """Straight across the rim that looks at the reader, so far round from the seam."""
        rim = [self.at(self._on_rim(turn + half)) for half in (0.0, math.pi)]
        return _on_the_part(rim[0], rim[1], text, 0.2)

    def up_wall(self, turn: float, text: str) -> list[Item]:
        """Up the wall, so far round from the seam, where the reader can see it."""
        out = self._on_rim(turn) - self._on_rim(turn + math.pi)
        if float(out @ self.eye) < 0.1 * math.hypot(*out):
            return []
        ends = []
        for z in (self.low[2], self.high[2]):
            point = self._on_rim(turn)
            point[2] = z
            ends.append(self.at(point))
        return _on_the_part(ends[0], ends[1], text, 0.5)

    def _on_rim(self, turn: float) -> Vector:
        """Point of the widest ring so far round from the seam, at the end the reader sees."""
        import numpy as np

        centre, radius, _ = self._ring()
        centre[2] = (self.high if self.eye[2] >= 0.0 else self.low)[2]
        f = self.seam + turn
        return np.asarray(centre + radius * np.array([math.cos(f), math.sin(f), 0.0]))

    def _edges(
        self, axis: int, sides: Mapping[int, int] | None = None
    ) -> list[tuple[Point, Point]]:
        """Edges along an axis of the box round the part: all four, or those on these sides."""
        wanted = {i: (self.low, self.high)[side][i] for i, side in (sides or {}).items()}
        edges = []
        one, other = (i for i in range(3) if i != axis)
        for u in (self.low[one], self.high[one]):
            for v in (self.low[other], self.high[other]):
                if wanted.get(one, u) != u or wanted.get(other, v) != v:
                    continue
                ends = []
                for end in (self.low[axis], self.high[axis]):
                    corner = self.low.copy()
                    corner[[one, other, axis]] = u, v, end
                    ends.append(self.at(corner))
                edges.append((ends[0], ends[1]))
        return edges

    def _sides(self) -> list[tuple[Point, Point]]:
        """Lines up both sides of what is round, where its widest ring ends."""
        centre, radius, aside = self._ring()
        found = []
        for sign in (-1.0, 1.0):
            ends = []
            for z in (self.low[2], self.high[2]):
                point = centre + sign * radius * aside
                point[2] = z
                ends.append(self.at(point))
            found.append((ends[0], ends[1]))
        return found

    def _ring(self) -> tuple[Vector, float, Vector]:
        """Middle and radius of the widest ring, and the direction square to the eye in it."""
        import numpy as np

        aside = np.cross([0.0, 0.0, 1.0], self.eye)
        if np.linalg.norm(aside) < 1e-6:
            aside = np.array([1.0, 0.0, 0.0])
        radius = float(self.high[0] - self.low[0]) / 2.0
        return (self.low + self.high) / 2.0, radius, aside / np.linalg.norm(aside)

    def across(self, text: str) -> list[Item]:
        """Over the upper rim, as a caliper takes it."""
        import numpy as np

        centre, radius, aside = self._ring()
        # the rim that looks at the reader
        centre[2] = (self.high if self.eye[2] >= 0.0 else self.low)[2]
        ends = [self.at(centre + sign * radius * aside) for sign in (-1.0, 1.0)]
        a, b = sorted(ends)
        size = math.dist(a, b)
        if size < 6.0:
            return []
        up = ((a[1] - b[1]) / size, (b[0] - a[0]) / size)
        if dot((a[0] - self.middle[0], a[1] - self.middle[1]), up) < 0.0:
            up = (-up[0], -up[1])
        # clear of the far side of the rim
        rim = [
            self.at(centre + radius * np.array([math.cos(f), math.sin(f), 0.0]))
            for f in np.linspace(0.0, math.tau, 48)
        ]
        over = max(dot((p[0] - a[0], p[1] - a[1]), up) for p in rim)
        return dimension(a, b, up, text, over)

    def girth(self, text: str) -> list[Item]:
        """A tape round the wall at mid-length, with its reading beside it."""
        import numpy as np

        centre, radius, _ = self._ring()
        towards = math.atan2(self.eye[1], self.eye[0])
        angles = np.linspace(towards - math.pi / 2.0, towards + math.pi / 2.0, 33)
        items: list[Item] = []
        ring: list[Point] = []
        half = 0.9 / self.drawn.scale
        for z in (centre[2] + half, centre[2] - half):
            ring = [
                self.at(
                    np.array(
                        [centre[0] + radius * math.cos(f), centre[1] + radius * math.sin(f), z]
                    )
                )
                for f in angles
            ]
            items.append(Stroke(polyline(ring), TAPE))
        end = max(ring[0], ring[-1])
        tip = (end[0] + 3.0, end[1] + 0.9)
        items.append(line((end[0], end[1] + 0.9), tip, DIMENSION))
        items.append(Words((tip[0] + 0.8, tip[1] - 0.36 * _SIZE), text, _SIZE, LETTERING))
        return items


def _off_from(a: Point, b: Point) -> Point:
    return (b[0] - a[0], b[1] - a[1])


def _on_the_part(a: Point, b: Point, text: str, at: float) -> list[Item]:
    """A dimension line from point to point of the part, its figures beside it, upright."""
    size = math.dist(a, b)
    if size < 6.0:
        return []
    turn = math.atan2(b[1] - a[1], b[0] - a[0])
    way = turn
    if turn > math.pi / 2.0 + 0.2:
        turn -= math.pi
    elif turn < -math.pi / 2.0 + 0.2:
        turn += math.pi
    spot = (a[0] + at * (b[0] - a[0]), a[1] + at * (b[1] - a[1]))
    spot = (spot[0] - 0.7 * math.sin(turn), spot[1] + 0.7 * math.cos(turn))
    return [
        line(a, b, DIMENSION),
        arrow(a, way + math.pi, 1.9),
        arrow(b, way, 1.9),
        Words(spot, text, _SIZE, LETTERING, "middle", turn),
    ]
