"""Bolt holes: whether the holes of two parts line up for their bolts.

Room: fit. A bolt of diameter b through holes of d1 and d2 lets their middles
lie apart by its *play*::

    (d1 - b) / 2 + (d2 - b) / 2        clearance holes in both parts
    (d1 - b) / 2                       the other part is tapped, or a plug

A part is moved about until its bolts go in, so unless it is held otherwise
only how the holes lie to one another counts: what is left of the offsets of
all pairs after the best shift and turn in the plane (least squares). Of two
holes that is how far apart they are, one number; of more, each offset may point
any way, and is looked at along two ways, with the limit of a square that has
the area of the circle.

What is drilled in place cannot miss and asks for nothing, nor does one bolt
alone, which the part is moved to.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np

from foldwright.fit.clearance import Clearance, Scene, cannot_meet, clearance
from foldwright.plan import End, Meet, Number
from foldwright.plan.dual import number
from foldwright.shape import Hole, Vector, face_frame
from foldwright.shape.planes import Spot, dot, minus
from foldwright.shop import PROCESSES

# Half the side of the square that has the area of a circle, over its radius.
_SQUARE = math.sqrt(math.pi) / 2.0
# An offset this small is none: it comes of rounding.
_NONE = 1e-9
# Faces that lie on one another turn less than this out of one plane (cosine).
_FLUSH = 0.999
_BY_HAND = PROCESSES["hole"].scatter
_SIDES = (("left", "right"), ("front", "back"), ("down", "up"))


def bolts_to(meet: Meet, scene: Scene) -> tuple[Clearance, ...]:
    """Offset of each pair of holes; none if they are drilled in place, or of one bolt alone.

    References
    ----------
    The play of floating and of fixed fasteners: ASME Y14.5, appendix on formulas for
    positional tolerancing, H = F + T and H = F + 2 T; from memory, unchecked.
    """
    # Their play is that of the drawing, so that what is wanted hangs on no dim.
    inner, outer = (scene.drawn.holes(end) for end in meet.ends)
    if any(hole.drilled_in_place for hole in (*inner, *outer)):
        return ()
    plane = _plane(meet, scene)
    pairs = _paired(meet, scene, plane)
    kept = _kept(_flat(scene.drawn, meet.ends[0], plane)[[i for i, _ in pairs]], meet.shifts)
    drawn = kept @ [number(x) for x in _offsets(meet, scene.drawn, pairs, plane)]
    # One bolt alone, which the part is moved to: there is nothing to look at as it came out.
    nothing_left = float(np.abs(kept).max()) < _NONE
    offsets = [] if nothing_left else _offsets(meet, scene, pairs, plane)
    by_hand = _scatter_by_hand(scene, meet)
    found: list[Clearance] = []
    seen: list[Vector] = []
    for k, (i, j) in enumerate(pairs):
        play = _play(meet, inner[i], outer[j])
        at = slice(2 * k, 2 * k + 2)
        _refuse_apart(meet, inner[i], outer[j], math.hypot(*drawn[at]), play)
        rows = [row for row in _ways(kept[at]) if float(np.abs(row).max()) > _NONE]
        limit = play if len(rows) == 1 else _SQUARE * play
        for row in rows:
            if any(_is_same(row, other) for other in seen):
                continue
            seen.append(row)
            value = _sum(row, offsets)
            found.append(
                clearance(
                    meet,
                    f"at {inner[i].name}, {_said(plane @ row[at])}",
                    value,
                    (-limit, limit),
                    scene.dims_behind(meet.parts, value),
                    "offset of the holes",
                    own=by_hand * float(np.linalg.norm(row)),
                )
            )
    return tuple(found)


def _ways(kept: Vector) -> Iterator[Vector]:
    """What is left of one offset along two ways across, the more of it first; shape (2n,) each.

    Along the axes of its scatter the two are independent. Where it scatters alike all
    round they are the two of the face.
    """
    sizes, axes = np.linalg.eigh(kept @ kept.T)
    if float(sizes[1] - sizes[0]) < _NONE:
        axes = np.eye(2)[:, ::-1]
    for way in axes.T[::-1]:
        sign = 1.0 if float(way[np.argmax(np.abs(way))]) > 0.0 else -1.0
        yield sign * way @ kept


def _is_same(one: Vector, other: Vector) -> bool:
    """Whether two say the same, whichever way round."""
    return min(float(np.abs(one - s * other).max()) for s in (1.0, -1.0)) < _NONE


def _sum(row: Vector, numbers: Sequence[Number]) -> Number:
    total: Number = 0.0
    for share, x in zip(row.tolist(), numbers, strict=True):
        total = total + share * x
    return total


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
    middles = [scene.in_build(end.part, hole.middle) for hole in scene.holes(end)]
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
        [scene.in_build(end.part, hole.middle) for hole in scene.holes(end)] for end in meet.ends
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


def _scatter_by_hand(scene: Scene, meet: Meet) -> float:
    """How far a hand drills two holes apart, one standard deviation each way [mm].

    What is bought comes with its holes, and the hole of a plug is drilled on its axis.
    """
    by_hand = sum(scene.parts[end.part].kind not in ("bought", "plug") for end in meet.ends)
    return math.sqrt(by_hand) * _BY_HAND


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
