"""Rough outlines: what is cut for a part that is curled, before its ends are trimmed.

Room: flat. The last bit at each end of a blank cannot be bent by hand. So it is
cut longer, by a flap at each seam edge; the flaps stay flat while the rest is
curled, and are cut off afterwards at the seam edges, the *trim lines*.

A drum gets a longer rectangle. A hood gets a flap with parallel sides, square
to each straight end of its sector, and no larger sector. A bend over a pipe
lies along a straight end of the sector, so nothing bends beyond it, and what
stays flat is as wide at the narrow rim as at the wide one: two straight battens
grip it, square and rule mark it, and each rim runs straight on from its arc,
without a corner, into the flap. A larger sector would be as wide as the flap at
the narrow rim only, waste the rest, and want the trammel again.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from foldwright.shape import Path, Point, Step

if TYPE_CHECKING:
    from foldwright.flat.sectors import RingSector

# Between the two flaps of a hood, for the saw [mm]; common practice, no source.
_FOR_THE_SAW = 4.0
_SAME = 1e-9  # mm, and the sine of an angle at which a corner is none


def rough_path(outline: Path, ends: Sequence[tuple[Point, Point]], spare: float) -> Path:
    """Outline with some of its straight edges moved out, square to themselves.

    Parameters
    ----------
    outline : Path
        Anticlockwise.
    ends : sequence of (Point, Point)
        Edges of it, in its direction.
    spare : float
        How far each is moved out [mm], 0 or more.

    Returns
    -------
    Path
        Anticlockwise; without corners on a straight line.

    Examples
    --------
    >>> sheet = tuple(Step(p) for p in ((0.0, 0.0), (90.0, 0.0), (90.0, 40.0), (0.0, 40.0)))
    >>> longer = rough_path(sheet, [((90.0, 0.0), (90.0, 40.0))], 10.0)
    >>> [step.to for step in longer]
    [(0.0, 0.0), (100.0, 0.0), (100.0, 40.0), (0.0, 40.0)]
    """
    moved: list[Step] = []
    found, last = 0, outline[-1].to
    for step in outline:
        if step.centre is None and any(_is_edge(end, last, step.to) for end in ends):
            found += 1
            x, y = _outwards(last, step.to, spare)
            moved += [Step((p[0] + x, p[1] + y)) for p in (last, step.to)]
        moved.append(step)
        last = step.to
    assert found == len(ends), "an end to trim is no edge of the outline"
    return _without_straight_corners(moved)


def widest_flap(sector: RingSector) -> float:
    """Widest flap that both straight ends of a sector have room for, a saw cut between [mm].

    ::

        s = (r sin g - c / 2) / cos g     g half the gap between the ends
                                          r inner radius, c the room for the saw

    Flaps meet first at the narrow rim, on the middle line of the gap. Ends half
    a circle apart or further never meet: infinite. 0 if not even the saw has room.

    Examples
    --------
    >>> from foldwright.flat.sectors import RingSector
    >>> round(widest_flap(RingSector(300.0, 100.0, math.radians(300.0))), 2)
    55.43
    """
    gap = (math.tau - sector.angle) / 2.0
    if gap >= math.pi / 2.0:
        return math.inf
    return max(0.0, (sector.inner * math.sin(gap) - _FOR_THE_SAW / 2.0) / math.cos(gap))


def _is_edge(end: tuple[Point, Point], a: Point, b: Point) -> bool:
    return math.dist(end[0], a) < _SAME and math.dist(end[1], b) < _SAME


def _outwards(a: Point, b: Point, by: float) -> Point:
    """Shift to the right of a-b, where no material is."""
    length = math.dist(a, b)
    return by * (b[1] - a[1]) / length, -by * (b[0] - a[0]) / length


def _without_straight_corners(path: Sequence[Step]) -> Path:
    """Path without the ends at which one line runs straight on into the next."""
    kept = []
    for i, step in enumerate(path):
        before, after = path[i - 1].to, path[(i + 1) % len(path)]
        is_line = step.centre is None and after.centre is None
        if not (is_line and _runs_on(before, step.to, after.to)):
            kept.append(step)
    return tuple(kept)


def _runs_on(a: Point, b: Point, c: Point) -> bool:
    (ux, uy), (vx, vy) = (b[0] - a[0], b[1] - a[1]), (c[0] - b[0], c[1] - b[1])
    return abs(ux * vy - uy * vx) <= _SAME * math.hypot(ux, uy) * math.hypot(vx, vy)
