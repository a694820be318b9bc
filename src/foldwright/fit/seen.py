"""Seen: what the eye judges of flat faces, a step, a reveal, a lean.

Room: fit. Each face is a plane in the build, through three of its corners or
along the middle lines of its four, which is all the same unless it winds; it
is looked at where its line through a fixed point of the drawing pierces it, so
that its tilt counts as well as its place. A step or reveal is taken at both
ends of the edge that the two faces share.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from foldwright.fit.clearance import (
    Clearance,
    Scene,
    cannot_meet,
    clearance,
    wanted_of,
)
from foldwright.fit.floppy import pull_along
from foldwright.plan import End, Meet, Number
from foldwright.plan.dual import number
from foldwright.shape import Vector, face_frame
from foldwright.shape.planes import Spot, cross, dot, minus

# Two faces count as parallel, as drawn, within this: past it the eye sees a wedge (cosine).
_PARALLEL = math.cos(math.radians(5.0))
# A face that leans more than this as drawn is not meant to be plumb (sine).
_UPRIGHT = math.sin(math.radians(0.5))
_METRE = 1000.0
_FOUR = 4
_ENDS = (("left", "right"), ("front", "back"), ("bottom", "top"))
_ROUND_WALLS = ("drum", "tube", "plug", "bought")


@dataclass(frozen=True)
class _Plane:
    """A face in the build: three points of it, and its reach as drawn along two directions."""

    points: tuple[Spot, Spot, Spot]
    low: Vector
    high: Vector

    def over(self, point: Vector, out: Vector) -> Number:
        """How far the face lies along `out` from a point, through that point [mm]."""
        a, b, c = self.points
        normal = cross(minus(b, a), minus(c, a))
        start: Spot = (float(point[0]), float(point[1]), float(point[2]))
        way: Spot = (float(out[0]), float(out[1]), float(out[2]))
        return dot(normal, minus(a, start)) / dot(normal, way)


@dataclass(frozen=True)
class _View:
    """How two faces are looked at: along their normal, over two directions across it."""

    out: Vector
    right: Vector
    up: Vector

    @property
    def across(self) -> Vector:
        """Both directions, shape (3, 2)."""
        return np.stack([self.right, self.up], axis=1)

    def point(self, where: Vector) -> Vector:
        """Point of the build with these coordinates across, on the plane through its origin."""
        return np.asarray(self.across @ where)


def level_with(meet: Meet, scene: Scene) -> tuple[Clearance, ...]:
    """Step from the second face up to the first, at both ends of their edge."""
    wanted = wanted_of(meet, "step")
    if any(end.face == "wall" for end in meet.ends):
        return (_round_step(meet, scene, wanted),)
    view = _view(meet, scene, opposite=False)
    one, other = (_plane(scene, end, view) for end in meet.ends)
    pulled = sum(pull_along(scene, part, view.out) for part in meet.parts)
    found = []
    for said, where in _edge(one, other, view):
        step = one.over(view.point(where), view.out) - other.over(view.point(where), view.out)
        dims = scene.dims_behind(meet.parts, step)
        found.append(clearance(meet, said, step, wanted, dims, "step", pulled=pulled))
    return tuple(found)


def reveal(meet: Meet, scene: Scene) -> tuple[Clearance, ...]:
    """Mean gap between two faces, and how much wider it is at one end."""
    view = _view(meet, scene, opposite=True)
    one, other = (_plane(scene, end, view) for end in meet.ends)
    pulled = sum(pull_along(scene, part, view.out) for part in meet.parts)
    low, high = np.maximum(one.low, other.low), np.minimum(one.high, other.high)
    if np.any(high - low <= 0.0):
        raise cannot_meet(
            meet,
            "the two faces do not stand opposite one another in the build.",
            "Name the faces on either side of the gap, or mend the places of their parts.",
        )
    (start, at_start), (end, at_end) = _ends_of(low, high, view)
    if _as_drawn(meet, scene, view, 0.5 * (low + high)) < 0.0:
        raise cannot_meet(
            meet,
            f"{meet.inner} and {meet.outer} stand in one another there, as drawn.",
            "Mend the places of the two parts, or name other faces.",
        )

    def gap(where: Vector) -> Number:
        point = view.point(where)
        return other.over(point, view.out) - one.over(point, view.out)

    mean = (gap(at_start) + gap(at_end)) / 2.0
    taper = gap(at_end) - gap(at_start)
    return (
        clearance(
            meet,
            "",
            mean,
            wanted_of(meet, "gap"),
            scene.dims_behind(meet.parts, mean),
            "reveal",
            pulled=pulled,
        ),
        clearance(
            meet,
            f"from {start} to {end}",
            taper,
            wanted_of(meet, "even"),
            scene.dims_behind(meet.parts, taper),
            "taper",
        ),
    )


def _as_drawn(meet: Meet, scene: Scene, view: _View, where: Vector) -> float:
    """Gap between two faces as drawn [mm]."""
    one, other = (_plane(scene.drawn, end, view) for end in meet.ends)
    point = view.point(where)
    return number(other.over(point, view.out)) - number(one.over(point, view.out))


def plumb(meet: Meet, scene: Scene) -> tuple[Clearance, ...]:
    """How far the top of an upright face stands out past its foot."""
    (end,) = meet.ends
    part = scene.parts[end.part]
    out = scene.way(end.part, face_frame(part, end.face)[:3, 2])
    if abs(float(out[2])) > _UPRIGHT:
        lean = math.degrees(math.asin(min(1.0, abs(float(out[2])))))
        raise cannot_meet(
            meet,
            f'"{end.face}" of {end.part} leans {lean:.1f} degrees as drawn, so no plumb line '
            "hangs along it.",
            "Name an upright face.",
        )
    up = np.array([0.0, 0.0, 1.0])
    view = _View(out, np.cross(up, out), up)
    face = _plane(scene, end, view)
    middle = (face.low[0] + face.high[0]) / 2.0
    top, foot = (
        face.over(view.point(np.array([middle, z])), out) for z in (face.high[1], face.low[1])
    )
    height = float(face.high[1] - face.low[1])
    low, high = wanted_of(meet, "lean")
    stands_out = top - foot
    return (
        clearance(
            meet,
            f"over {height:.0f} mm",
            stands_out,
            (low * height / _METRE, high * height / _METRE),
            scene.dims_behind(meet.parts, stands_out),
            "lean",
        ),
    )


def _round_step(meet: Meet, scene: Scene, wanted: tuple[float, float]) -> Clearance:
    """Step between two round walls on one axis: half of what their diameters differ by."""
    spans = []
    for end in meet.ends:
        if end.face != "wall" or scene.parts[end.part].kind not in _ROUND_WALLS:
            raise cannot_meet(
                meet,
                f'"{end.face}" of {end.part} cannot be level with a round wall.',
                "Name the walls of two round parts on one axis, or two flat faces.",
            )
        spans.append(scene.section(end, mouth=False).spans[0])
    step = (spans[0].value - spans[1].value) / 2.0
    dims = tuple(f"{end.part}.{span.dim}" for end, span in zip(meet.ends, spans, strict=True))
    return clearance(meet, "all round", step, wanted, dims, "step")


def _view(meet: Meet, scene: Scene, *, opposite: bool) -> _View:
    """Along the normal of the first face; refuses faces that are not parallel as drawn."""
    ways = [
        scene.way(end.part, face_frame(scene.parts[end.part], end.face)[:3, 2]) for end in meet.ends
    ]
    facing = float(ways[0] @ ways[1])
    if (-facing if opposite else facing) < _PARALLEL:
        how = "face one another" if opposite else "look the same way"
        raise cannot_meet(
            meet,
            f'"{meet.ends[0].face}" of {meet.inner} and "{meet.ends[1].face}" of {meet.outer} do '
            f"not {how} in the build.",
            f"Name two faces that {how}, or turn a part with its place.",
        )
    out = ways[0]
    up = np.array([0.0, 0.0, 1.0]) if abs(float(out[2])) < 0.9 else np.array([0.0, 1.0, 0.0])
    up = up - out * float(up @ out)
    up /= np.linalg.norm(up)
    return _View(out, np.cross(up, out), up)


def _plane(scene: Scene, end: End, view: _View) -> _Plane:
    """Face of an end, and its reach as drawn."""
    drawn = np.array([[number(c) for c in corner] for corner in scene.drawn.corners(end)])
    flat = drawn @ view.across
    corners = scene.corners(end)
    if len(corners) == _FOUR:
        points = _middle_lines(corners)
    else:  # the three that span most of it
        widest = max(combinations(range(len(flat)), 3), key=lambda three: _area(flat[list(three)]))
        a, b, c = (corners[i] for i in widest)
        points = (a, b, c)
    return _Plane(points, flat.min(axis=0), flat.max(axis=0))


def _middle_lines(corners: tuple[Spot, ...]) -> tuple[Spot, Spot, Spot]:
    """Middles of three sides of a face with four corners, which span its middle lines."""
    a, b, c, d = corners
    return _halfway(a, b), _halfway(b, c), _halfway(c, d)


def _halfway(a: Spot, b: Spot) -> Spot:
    return ((a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0, (a[2] + b[2]) / 2.0)


def _area(three: Vector) -> float:
    (ax, ay), (bx, by) = three[1] - three[0], three[2] - three[0]
    return round(abs(float(ax * by - ay * bx)), 6)  # so that rounding settles no tie


def _edge(one: _Plane, other: _Plane, view: _View) -> list[tuple[str, Vector]]:
    """Both ends of the edge between two faces, midway between them where they stand apart."""
    low, high = np.maximum(one.low, other.low), np.minimum(one.high, other.high)
    apart = high < low
    middle = (low + high) / 2.0
    low, high = np.where(apart, middle, low), np.where(apart, middle, high)
    return [(f"at the {said}", where) for said, where in _ends_of(low, high, view)]


def _ends_of(low: Vector, high: Vector, view: _View) -> list[tuple[str, Vector]]:
    """Name and place of both ends of a region along its longer direction."""
    long = int(np.argmax(high - low))
    ends = []
    for side in (low, high):
        where = (low + high) / 2.0
        where[long] = side[long]
        ends.append(where)
    way = view.across[:, long]
    axis = int(np.argmax(np.abs(way)))
    names = _ENDS[axis] if way[axis] > 0.0 else _ENDS[axis][::-1]
    return list(zip(names, ends, strict=True))
