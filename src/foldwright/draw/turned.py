"""The build as a page shows it: one picture for each eye, all of one scale about one centre.

Room: draw. A picture that is turned must not grow or wander, so the room is as wide as
the build ever is from any side, with a column on either side for names. Parts are links.
What is small enough for a phone stands in it too: keys in rings, which its style sheet
shows there in place of the names.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from foldwright.box import Box
from foldwright.draw.drawing import LETTERING, LETTERING_SLOPED, Face, Group, Item, Point, Stroke
from foldwright.draw.fonts import wrapped
from foldwright.draw.inking import HEAVY, Hand
from foldwright.draw.leaders import AIR, NAME_SIZE, SECOND_SIZE, STUB, Name, set_names
from foldwright.draw.picture import Picture
from foldwright.draw.rings import Danger, dots_of, is_hidden, keys_at, ringed_twice, rows_of
from foldwright.draw.svg import Link, svg_on_screen

if TYPE_CHECKING:
    from foldwright.shape import Body, Vector

WIDTH = 144.0  # of the whole picture [mm]
COLUMN = 31.0  # of names on either side [mm]
_HIGHEST = 132.0
_AIR = 3.0
_WEIGHT = 0.85
_THIN = 0.6  # of leaders, against those on paper
_LEAST = 3.0  # a part of which less than this is seen gets no name [mm2]
_FILL = 0.88  # share of the height that a column of names may take
_LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


@dataclass(frozen=True)
class Stand:
    """Where the build stands in its picture, whatever the eye.

    Attributes
    ----------
    centre : (float, float, float)
        Point of the build in the middle of the picture [mm].
    scale : float
        mm of picture to the mm.
    width, height : float
        Of the picture [mm].
    """

    centre: tuple[float, float, float]
    scale: float
    width: float
    height: float


@dataclass(frozen=True)
class Shown:
    """A part as the picture names it.

    `key` is the number of its line in the list of parts; copies that share it are named once.
    """

    rows: tuple[str, ...]
    link: Link
    key: str


def stand_of(bodies: Mapping[str, Body], frames: Mapping[str, Vector]) -> Stand:
    """Room for all bodies, as large as it can be from every side.

    Parameters
    ----------
    bodies : Mapping of str to Body
        By part.
    frames : Mapping of str to ndarray, shape (4, 4)
        Motion of each into the build frame; who has none stands at the origin.
    """
    import numpy as np

    corners = []
    for name, body in bodies.items():
        points, frame = body.points(), frames.get(name)
        corners.append(points if frame is None else points @ frame[:3, :3].T + frame[:3, 3])
    if not corners:
        return Stand((0.0, 0.0, 0.0), 1.0, WIDTH, WIDTH / 2.0)
    every = np.concatenate(corners)
    centre = (every.min(axis=0) + every.max(axis=0)) / 2.0
    away = every - centre
    reach = max(float(np.hypot(away[:, 0], away[:, 1]).max()), 1.0)
    radius = max(float(np.linalg.norm(away, axis=1).max()), 1.0)
    scale = min(
        (WIDTH - 2.0 * COLUMN) / (2.0 * reach), (_HIGHEST - 2.0 * _AIR) / (2.0 * radius), 1.0
    )
    x, y, z = (float(c) for c in centre)
    return Stand((x, y, z), scale, WIDTH, 2.0 * radius * scale + 2.0 * _AIR)


def turned_svg(
    bodies: Mapping[str, Body],
    frames: Mapping[str, Vector],
    eye: Sequence[float],
    made: frozenset[str],
    parts: Mapping[str, Shown],
    dangers: Sequence[Danger],
    label: str,
) -> str:
    """Draw the build for one eye, to stand in a page.

    Parameters
    ----------
    bodies, frames
        As in `stand_of`.
    eye : sequence of 3 floats
        Direction towards the eye in the build frame.
    made : frozenset of str
        Parts in ink.
    parts : Mapping of str to Shown
        What to call each part, and where it leads.
    dangers : sequence of Danger
        Places to ring twice, with words beside the picture.
    label : str
        The picture in a sentence.

    Returns
    -------
    str
        An ``<svg>`` element. Its groups are of class ``areas``, whose links are the
        parts with their names, ``lines``, ``leaders``, ``dangers`` with their words,
        ``keys``.
    """
    from foldwright.draw.hidden_lines import view_axes  # loads NumPy
    from foldwright.draw.seen import seen_of

    stand = stand_of(bodies, frames)
    scale = stand.scale
    cx, cy, _ = (float(c) for c in view_axes(eye) @ stand.centre)
    origin = (stand.width / 2.0 - scale * cx, stand.height / 2.0 - scale * cy)

    def place(p: Point) -> Point:
        return (origin[0] + scale * p[0], origin[1] + scale * p[1])

    seen = seen_of(
        bodies, frames, eye, ruled=dict.fromkeys(made, 0.7 / scale), wide=HEAVY * _WEIGHT / scale
    )
    room = Box(0.0, 0.0, stand.width, stand.height)
    drawn = _drawn([place(p) for line in seen.lines for p in line.points], room)
    dots = {part: place(at) for part, at in dots_of(seen, _LEAST / scale**2).items()}
    x, y, z = eye
    bare = Picture((), stand.width, stand.height, scale, dots, origin, (x, y, z))
    spots = [bare.at(danger.at) for danger in dangers]
    hidden = [is_hidden(danger, seen, bare.seen_at(danger.at)) for danger in dangers]
    rings, ends = ringed_twice(spots, hidden, drawn)
    rows = [rows_of(danger, hidden=is_it) for danger, is_it in zip(dangers, hidden, strict=True)]
    names = _names(dots, made, parts, rows, stand.height)
    set_at = {name.part: name for name in set_names(names, dots | ends, drawn, room)}
    keys = {part: parts[part].key for part in _firsts(dots, parts)}
    keys |= {end: _LETTERS[i % len(_LETTERS)] for i, end in enumerate(ends)}

    hand = Hand(place, made, _WEIGHT)
    areas: list[Item] = []
    for part in bodies:
        words = set_at[part].words if part in set_at else ()
        areas.append(Group((*hand.wash(part, seen).items, *words), part))
    lines = tuple(item for part in bodies for item in hand.part(part, seen).items)
    leaders = tuple(
        _thinned(item) for name in set_at.values() if name.part in dots for item in name.leader
    )
    beside = tuple(
        _thinned(item)
        for name in set_at.values()
        if name.part in ends
        for item in (*name.leader, *name.words)
    )
    items = [
        Group(tuple(areas), "areas"),
        Group(lines, "lines"),
        Group(leaders, "leaders"),
        Group((*rings, Group(beside, "leaders")), "dangers"),
        Group(tuple(keys_at(dots | ends, keys, room)), "keys"),
    ]
    links = {part: shown.link for part, shown in parts.items()}
    return svg_on_screen(items, stand.width, stand.height, label, links)


def _thinned(item: Item) -> Item:
    if not isinstance(item, Stroke):
        return item
    return replace(item, pen=replace(item.pen, width=_THIN * item.pen.width))


def _drawn(points: Sequence[Point], room: Box) -> Box:
    """What the drawing itself covers."""
    if not points:
        return room
    xs, ys = zip(*points, strict=True)
    return Box(min(xs), min(ys), max(xs), max(ys))


def _firsts(dots: Mapping[str, Point], parts: Mapping[str, Shown]) -> list[str]:
    """Of parts that share a key the one that is seen largest, the largest of all first."""
    found: dict[str, str] = {}
    for part in dots:
        if part in parts:
            found.setdefault(parts[part].key, part)
    return list(found.values())


def _names(
    dots: Mapping[str, Point],
    made: frozenset[str],
    parts: Mapping[str, Shown],
    dangers: Sequence[Sequence[str]],
    height: float,
) -> list[Name]:
    """Names as far as there is room, those of what is in danger and what is seen largest first."""
    wanted = [
        Name(f"danger {i}", _fitted(rows, LETTERING), is_danger=True)
        for i, rows in enumerate(dangers)
    ]
    for part in _firsts(dots, parts):
        face = LETTERING if part in made else LETTERING_SLOPED
        wanted.append(Name(part, _fitted(parts[part].rows, face), part not in made))
    left, found = 2.0 * _FILL * height, []
    for name in wanted:
        if name.height <= left:
            found.append(name)
            left -= name.height
    return found


def _fitted(rows: Sequence[str], face: Face) -> tuple[str, ...]:
    """Rows broken to the width of their column."""
    room = COLUMN - STUB - AIR - 1.0
    return tuple(
        line
        for i, row in enumerate(rows)
        for line in wrapped(row, face, SECOND_SIZE if i else NAME_SIZE, room)
    )
