"""Bolt holes: whether the holes of two parts line up for their bolts.

Room: fit. A bolt of diameter b through holes of d1 and d2 lets their middles
lie apart by its *play*::

    (d1 - b) / 2 + (d2 - b) / 2        clearance holes in both parts
    (d1 - b) / 2                       the other part is tapped, or a plug

A part is moved about until its bolts go in, so unless it is held otherwise
only how the holes lie to one another counts: what is left of the offsets of
all pairs after the best shift and turn in the plane (least squares). An offset
may point any way; it is looked at along four ways an eighth of a turn apart,
each with a limit such that the octagon has the area of the circle.

What is drilled in place cannot miss and asks for nothing.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np

from foldwright.fit.clearance import Clearance, Scene, cannot_meet, clearance
from foldwright.plan import End, Meet, Number
from foldwright.plan.dual import number
from foldwright.shape import Hole, Vector, face_frame, hole_middles
from foldwright.shape.planes import Spot, dot, minus
from foldwright.shop import PROCESSES

# Ways that an offset is looked along, over half a turn.
_WAYS = 4
# Apothem of the octagon that has the area of a circle, over its radius.
_OCTAGON = math.sqrt(math.pi / (2.0 * _WAYS * math.tan(math.pi / (2.0 * _WAYS))))
# Faces that lie on one another turn less than this out of one plane (cosine).
_FLUSH = 0.999
_BY_HAND = PROCESSES["hole"].scatter
_SIDES = (("left", "right"), ("front", "back"), ("down", "up"))


def bolts_to(meet: Meet, scene: Scene) -> tuple[Clearance, ...]:
    """Offset of each pair of holes, four ways; none if they are drilled in place.

    References
    ----------
    The play of floating and of fixed fasteners: ASME Y14.5, appendix on formulas for
    positional tolerancing, H = F + T and H = F + 2 T; from memory, unchecked.
    """
    inner, outer = (_holes(scene, end) for end in meet.ends)
    if any(hole.drilled_in_place for hole in (*inner, *outer)):
        return ()
    plane = _plane(meet, scene)
    pairs = _paired(meet, scene, plane)
    kept = _kept(_flat(scene.drawn, meet.ends[0], plane)[[i for i, _ in pairs]], meet.shifts)
    drawn = kept @ [number(x) for x in _offsets(meet, scene.drawn, pairs, plane)]
    left = _times(kept, _offsets(meet, scene, pairs, plane))
    own = _own_scatter(scene, meet, kept)
    found = []
    for k, (i, j) in enumerate(pairs):
        play = _play(meet, inner[i], outer[j])
        at = slice(2 * k, 2 * k + 2)
        _refuse_apart(meet, inner[i], outer[j], math.hypot(*drawn[at]), play)
        for way in _ways():
            value = left[2 * k] * float(way[0]) + left[2 * k + 1] * float(way[1])
            found.append(
                clearance(
                    meet,
                    f"at {inner[i].name}, {_said(plane @ way)}",
                    value,
                    (-_OCTAGON * play, _OCTAGON * play),
                    scene.dims_behind(meet.parts, value),
                    "offset of the holes",
                    own=float(np.sqrt(way @ own[at, at] @ way)),
                )
            )
    return tuple(found)


def _ways() -> Iterator[Vector]:
    for step in range(_WAYS):
        angle = math.pi * step / _WAYS
        yield np.array([math.cos(angle), math.sin(angle)])


def _holes(scene: Scene, end: End) -> tuple[Hole, ...]:
    return hole_middles(scene.parts[end.part], end.face, end.holes, scene.duals[end.part])


def _plane(meet: Meet, scene: Scene) -> Vector:
    """Two directions of the face that is bolted on, in the build, shape (3, 2)."""
    frames = [
        scene.frames[end.part][:3, :3] @ face_frame(scene.parts[end.part], end.face)[:3, :3]
        for end in meet.ends
    ]
    if abs(float(frames[0][:, 2] @ frames[1][:, 2])) < _FLUSH:
        raise cannot_meet(
            meet,
            f'"{meet.ends[0].face}" of {meet.inner} and "{meet.ends[1].face}" of {meet.outer} do '
            "not lie on one another in the build.",
            "Name the two faces that come together, or turn a part with its place.",
        )
    return np.asarray(frames[1][:, :2])


def _flat(scene: Scene, end: End, plane: Vector) -> Vector:
    """Middles of the holes of one end in the plane, shape (n, 2)."""
    middles = [scene.in_build(end.part, hole.middle) for hole in _holes(scene, end)]
    return np.array([[number(x) for x in middle] for middle in middles]) @ plane


def _paired(meet: Meet, scene: Scene, plane: Vector) -> list[tuple[int, int]]:
    """Each hole of the first part with the nearest of the other, as drawn."""
    one, other = (_flat(scene.drawn, end, plane) for end in meet.ends)
    if meet.shifts and len(one) == len(other):
        one, other = one - one.mean(axis=0), other - other.mean(axis=0)
    apart = np.linalg.norm(one[:, None] - other[None], axis=2)
    nearest = apart.argmin(axis=1)
    if len(set(nearest.tolist())) < len(one):
        raise cannot_meet(
            meet,
            f"two holes of {meet.inner} come over one hole of {meet.outer}, as drawn.",
            "Name the holes that meet with inner_holes and outer_holes.",
        )
    return list(enumerate(nearest.tolist()))


def _offsets(
    meet: Meet, scene: Scene, pairs: Sequence[tuple[int, int]], plane: Vector
) -> list[Number]:
    """Hole of the first part from hole of the other, two numbers for each pair [mm]."""
    inner, outer = (
        [scene.in_build(end.part, hole.middle) for hole in _holes(scene, end)] for end in meet.ends
    )
    ways: list[Spot] = [(float(a), float(b), float(c)) for a, b, c in plane.T]
    return [dot(way, minus(inner[i], outer[j])) for i, j in pairs for way in ways]


def _kept(middles: Vector, shifts: bool) -> Vector:
    """What is left of offsets after the best shift and turn, as a matrix (2n, 2n).

    A turn by a small angle w about their middle moves a hole at (x, y) by w (-y, x).
    """
    count = len(middles)
    whole = np.eye(2 * count)
    if not shifts:
        return whole
    x, y = (middles - middles.mean(axis=0)).T
    moves = np.zeros((2 * count, 3))
    moves[0::2, 0] = moves[1::2, 1] = 1.0
    moves[0::2, 2], moves[1::2, 2] = -y, x
    return np.asarray(whole - moves @ np.linalg.pinv(moves))


def _own_scatter(scene: Scene, meet: Meet, kept: Vector) -> Vector:
    """Covariance of the offsets that are left, from drilling by hand [mm2].

    What is bought or threaded as it comes has no such scatter.
    """
    by_hand = sum(scene.parts[end.part].kind not in ("bought", "plug") for end in meet.ends)
    return np.asarray(by_hand * _BY_HAND**2 * kept @ kept.T)


def _times(matrix: Vector, numbers: Sequence[Number]) -> list[Number]:
    found: list[Number] = []
    for row in matrix.tolist():
        total: Number = 0.0
        for share, x in zip(row, numbers, strict=True):
            total = total + share * x
        found.append(total)
    return found


def _play(meet: Meet, inner: Hole, outer: Hole) -> float:
    """How far apart the middles of two holes may lie [mm]."""
    play = 0.0
    for part, hole in ((meet.inner, inner), (meet.outer, outer)):
        if part == meet.tapped:
            continue
        room = (number(hole.d) - meet.bolt_d) / 2.0
        if room <= 0.0:
            raise cannot_meet(
                meet,
                f"a bolt of {meet.bolt_d:g} mm does not go through {hole.name} of {part}, "
                f"{number(hole.d):g} mm.",
                "Make the hole larger, or say tapped if it takes the thread.",
                part=part,
            )
        play += room
    return play


def _refuse_apart(meet: Meet, inner: Hole, outer: Hole, apart: float, play: float) -> None:
    """Refuse holes that cannot meet even if all is made as drawn."""
    if apart <= play:
        return
    raise cannot_meet(
        meet,
        f"{inner.name} of {meet.inner} and {outer.name} of {meet.outer} lie {apart:.1f} mm apart "
        f"as drawn, and {play:.2f} mm is the play of the bolt.",
        "Draw the two patterns alike and in one place, or write drilled_in_place = true.",
    )


def _said(way: Vector) -> str:
    """Direction in words, of the build: "left to right", "down and left to up and right"."""
    strong = [k for k in range(3) if abs(float(way[k])) > math.sin(math.pi / 8.0)]
    start, end = (
        " and ".join(_SIDES[k][int((float(way[k]) > 0.0) == is_end)] for k in strong)
        for is_end in (False, True)
    )
    return f"{start} to {end}"
