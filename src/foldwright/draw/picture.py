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
from functools import cached_property
from itertools import product
from typing import TYPE_CHECKING

from foldwright.box import Box
from foldwright.draw.dimension_lines import ROOM, box_round, overall_lines
from foldwright.draw.drawing import Group, Item, Point
from foldwright.draw.inking import HEAVY, Hand
from foldwright.draw.leaders import Name, column_width, set_names
from foldwright.draw.rings import RING, Danger, dots_of, is_hidden, ringed, ringed_twice, rows_of

if TYPE_CHECKING:
    from foldwright.draw.info import SheetInfo
    from foldwright.shape import Body, Vector

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
        right, up = self.seen_at(point)
        return (self.origin[0] + self.scale * right, self.origin[1] + self.scale * up)

    def seen_at(self, point: Sequence[float]) -> Point:
        """Where a point of the build lies for this eye, at full size [mm]."""
        right, up = (math.sumprod(axis, point) for axis in self._axes)
        return right, up

    @cached_property
    def _axes(self) -> tuple[list[float], list[float]]:
        """Directions in the build that run right and up on the paper."""
        from foldwright.draw.hidden_lines import view_axes

        right, up, _ = view_axes(self.eye).tolist()
        return right, up

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


def _in_danger(number: int, danger: Danger, *, hidden: bool) -> Name:
    return Name(f"danger {number}", rows_of(danger, hidden=hidden), is_danger=True)


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
    sized: SheetInfo | None = None,
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
    sized : SheetInfo, optional
        How to say lengths: then it is dimensioned over all, three ways.

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
    import numpy as np

    from foldwright.draw.hidden_lines import view_axes
    from foldwright.draw.seen import box_of, seen_of  # loads NumPy and Shapely

    inked = frozenset(bodies) if made is None else made
    named = [Name(p, tuple(rows), p not in inked) for p, rows in (names or {}).items()]
    # how wide their column is has to be known before it is seen which of them are hidden
    at_widest = [_in_danger(i, d, hidden=True) for i, d in enumerate(dangers)]
    # rings stand out past the edges that they name
    air = max(air, RING + 0.5) if letters else air
    air = max(air, ROOM) if sized else air
    beside = air
    if named or at_widest:
        beside = column_width([*named, *at_widest]) + (ROOM if sized else 0.0)
    low, high = box_of(bodies, frames, eye)
    box = box_round([(body, frames.get(name)) for name, body in bodies.items()]) if sized else None
    if box is not None:  # its dimension lines stand off the box round it, not off its outline
        corners = np.array(list(product(*box.T))) @ view_axes(eye)[:2].T
        low = (min(low[0], float(corners[:, 0].min())), min(low[1], float(corners[:, 1].min())))
        high = (max(high[0], float(corners[:, 0].max())), max(high[1], float(corners[:, 1].max())))
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
        bodies, frames, eye, ruled=dict.fromkeys(inked, 0.55 / scale), wide=HEAVY / scale
    )
    style = Hand(place, inked, weight)
    # all areas first: no wash may cover half of a line that bounds it
    items: list[Item] = [style.wash(name, seen) for name in bodies if name in inked]
    items += [style.part(name, seen) for name in bodies]
    dots = {name: place(at) for name, at in dots_of(seen, _LEAST / scale**2).items()}
    items += ringed(letters, seen, place)
    x, y, z = (float(e) for e in eye)
    bare = Picture((), width, height, scale, dots, origin, (x, y, z))
    spots = [bare.at(danger.at) for danger in dangers]
    hidden = [is_hidden(d, seen, bare.seen_at(d.at)) for d in dangers]
    named += [_in_danger(i, d, hidden=hidden[i]) for i, d in enumerate(dangers)]
    rings, ends = ringed_twice(spots, hidden, drawn)
    if sized is not None:
        drawn = Box(drawn.left - ROOM, drawn.low, drawn.right, drawn.high)
    set_at = set_names(named, dots | ends, drawn, Box(0.0, 0.0, width, height))
    items += [*rings, *(item for name in set_at for item in (*name.leader, *name.words))]
    if sized is not None and box is not None:
        items += overall_lines(bare.at, box, sized, [i for name in set_at for i in name.leader])
    return replace(bare, items=tuple(items))
