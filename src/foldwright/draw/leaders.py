"""Names beside a picture, on leaders that cross neither names nor one another.

Room: draw. Names stand in a column on either side. Each takes a place in its
column near the height of its dot; then any two whose leaders cross change
places, which shortens both together, until none do.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from foldwright.box import Box
from foldwright.draw.drawing import (
    DIMENSION,
    LETTERING,
    LETTERING_SLOPED,
    Area,
    Item,
    Point,
    Stroke,
    Words,
    circle,
    polyline,
)
from foldwright.draw.fonts import CAPITAL, text_width
from foldwright.draw.placing import spread

NAME_SIZE, SECOND_SIZE = 3.5, 3.2
STUB = 4.0  # level piece of a leader beside its name [mm]
AIR = 1.4
_PITCH = SECOND_SIZE * 1.35  # from row to row [mm]
_ABOVE = NAME_SIZE * 0.6 + 0.6  # room above a leader for half of the first row [mm]


@dataclass(frozen=True)
class Name:
    """A name for one part: rows of text, the first in full ink; sloped if it is not made.

    `is_danger` names the rings round a meet in danger: its leader ends at them, not in a dot.
    """

    part: str
    rows: tuple[str, ...]
    sloped: bool = False
    is_danger: bool = False

    @property
    def width(self) -> float:
        """Length of its longest row [mm]."""
        face = LETTERING_SLOPED if self.sloped else LETTERING
        return max(text_width(row, face, size) for row, size in self.sized_rows())

    @property
    def height(self) -> float:
        """Room that it needs in its column [mm]."""
        return NAME_SIZE * 1.2 + 1.2 + _PITCH * (len(self.rows) - 1)

    @property
    def below(self) -> float:
        """How much of that lies below its leader, which comes to the first row [mm]."""
        return self.height - _ABOVE

    def sized_rows(self) -> list[tuple[str, float]]:
        """Rows with their sizes."""
        return [(row, SECOND_SIZE if i else NAME_SIZE) for i, row in enumerate(self.rows)]


def column_width(names: Sequence[Name]) -> float:
    """Room that a column of names with its leaders' level ends takes [mm]."""
    return max((name.width for name in names), default=0.0) + STUB + AIR + 1.0


@dataclass(frozen=True)
class SetName:
    """A name where it stands: its leader, and its words."""

    part: str
    leader: tuple[Item, ...]
    words: tuple[Item, ...]


def set_names(
    names: Sequence[Name], dots: Mapping[str, Point], picture: Box, room: Box
) -> list[SetName]:
    """Set names in two columns beside a picture.

    Parameters
    ----------
    names : sequence of Name
        Those without a dot are left out.
    dots : Mapping of str to Point
        Where each leader ends.
    picture : Box
        What the picture covers; columns stand left and right of it.
    room : Box
        Everything has to lie in it.
    """
    found: list[SetName] = []
    for side, members in zip((-1, 1), _sides(names, dots, picture, room), strict=True):
        edge = picture.left - 1.0 if side < 0 else picture.right + 1.0
        for name, y in _untangled(members, dots, edge, room):
            found.append(_set(name, dots[name.part], edge, y, side))
    return found


def _sides(
    names: Sequence[Name], dots: Mapping[str, Point], picture: Box, room: Box
) -> tuple[list[Name], list[Name]]:
    """Names for the left and the right column, neither longer than the room is high."""
    known = sorted((n for n in names if n.part in dots), key=lambda n: dots[n.part][0])
    middle = picture.middle[0]
    cut = sum(dots[n.part][0] < middle for n in known)

    def tall(some: Sequence[Name]) -> float:
        return sum(n.height for n in some)

    half = tall(known) / 2.0
    # a crowded picture shares them out evenly; otherwise each goes to its own side
    most = max(room.height * 0.8, half + 8.0)
    while cut > 0 and tall(known[:cut]) > most:
        cut -= 1
    while cut < len(known) and tall(known[cut:]) > most:
        cut += 1
    return known[:cut], known[cut:]


def _untangled(
    names: Sequence[Name], dots: Mapping[str, Point], edge: float, room: Box
) -> list[tuple[Name, float]]:
    """Each name with the height of its leader, so that no two leaders cross."""
    order = sorted(names, key=lambda n: dots[n.part][1])
    for _ in range(len(order) ** 2 + 1):
        places = _places(order, dots, room)
        swap = next(
            (
                (i, j)
                for i in range(len(order))
                for j in range(i + 1, len(order))
                if _cross(
                    dots[order[i].part],
                    (edge, places[i]),
                    dots[order[j].part],
                    (edge, places[j]),
                )
            ),
            None,
        )
        if swap is None:
            break
        i, j = swap
        order[i], order[j] = order[j], order[i]
    return list(zip(order, places, strict=True)) if order else []


def _places(order: Sequence[Name], dots: Mapping[str, Point], room: Box) -> list[float]:
    gaps = [_ABOVE + upper.below for _, upper in pairwise(order)]
    # after a swap the wanted heights fall, which `spread` evens out
    placed = spread([dots[n.part][1] for n in order], gaps)
    if not placed:
        return []
    lowest, highest = room.low + order[0].below, room.high - _ABOVE
    if placed[0] < lowest:
        placed = spread([max(p, lowest) for p in placed], gaps)
        placed = [p + max(0.0, lowest - placed[0]) for p in placed]
    return [p - max(0.0, placed[-1] - highest) for p in placed]


def _cross(a: Point, b: Point, c: Point, d: Point) -> bool:
    def side(p: Point, q: Point, r: Point) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    return side(a, b, c) * side(a, b, d) < 0.0 and side(c, d, a) * side(c, d, b) < 0.0


def _set(name: Name, dot: Point, edge: float, y: float, side: int) -> SetName:
    face = LETTERING_SLOPED if name.sloped else LETTERING
    x = edge + side * STUB
    pen = replace(DIMENSION, danger=name.is_danger)
    leader: list[Item] = [Stroke(polyline((dot, (edge, y), (x, y))), pen)]
    if not name.is_danger:
        leader.append(Area(circle(dot, 0.6)))
    words: list[Item] = []
    base = y - NAME_SIZE * CAPITAL / 2.0
    for i, (row, size) in enumerate(name.sized_rows()):
        at = (x + side * AIR, base)
        anchor = "end" if side < 0 else "start"
        words.append(Words(at, row, size, face, anchor, soft=i > 0, danger=name.is_danger))
        base -= _PITCH
    return SetName(name.part, tuple(leader), tuple(words))
