"""Outlines of parts as the plan writes them: corners, rounds, rises, side names.

Room: plan. A corner is ``[x, z]``, or ``{ at = [x, z], round = 25 }`` where it
is rounded off, or ``{ at = [x, z], rise = 30 }`` where the side that starts
there bows out. ``outline = { file = "bracket.dxf" }`` takes the corners from
a drawing; they are then constants, since a size for each of a hundred
traced corners would be noise.

`read_corners` reads, `side_names` names, `sound` checks, and `anticlockwise`
turns a clockwise outline round with all that belongs to its corners and sides.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from foldwright.plan.arcs import Point
from foldwright.plan.drawings import read_drawing
from foldwright.plan.outline import is_clockwise, outline_trouble, turned_round
from foldwright.plan.reading import Drawn, Reading
from foldwright.plan.records import Length
from foldwright.plan.table import Table, kind_of

_LEAST_ROUND = 0.1  # mm; the finest that is marked out
_LEAST_RISE = 0.01  # mm; less is a straight side
_DECIMALS = 9  # of coordinates from a drawing; leaves out the dust of its units
_CORNER = "Write [80, 0], or { at = [80, 0], round = 25 }, or { at = [80, 0], rise = 30 }."


@dataclass
class Corners:
    """An outline in the direction of the plan; `key` says where it stands there."""

    key: str
    axes: str
    corners: list[tuple[Drawn, Drawn]]
    rounds: list[Drawn | None]
    rises: list[Drawn | None]
    sides: list[str]

    @property
    def points(self) -> list[Point]:
        """Corners as drawn [mm]."""
        return [(x.value, y.value) for x, y in self.corners]

    @property
    def outline(self) -> tuple[tuple[Length, Length], ...]:
        """Corners for the record of the part."""
        return tuple((x.length, y.length) for x, y in self.corners)

    @property
    def record(self) -> dict[str, object]:
        """Outline, rounds and rises for the record of the part."""
        return {
            "outline": self.outline,
            "rounds": _lengths(self.rounds),
            "rises": _lengths(self.rises),
        }


def read_corners(reading: Reading, key: str, axes: str) -> Corners | None:
    """Read an outline at a key of the part; all or nothing."""
    value = reading.table.data.get(key)
    if value is None:
        reading.table.missing(key, f"Add {key} = [[0, 0], ...].")
    elif isinstance(value, dict):
        row = reading.table.table(key, f"{key} of {reading.table.within}")
        return _from_drawing(reading, row, key, axes)
    elif isinstance(value, list):
        return _from_list(reading, value, key, axes)
    else:
        remedy = f"Write it like {key} = [[0, 0], [80, 0], [80, 60]]."
        reading.table.wrong_kind(key, value, "a list of corners", remedy)
    reading.is_whole = False
    return None


def usual_sides(count: int) -> list[str]:
    """Names of sides that have none of their own."""
    return [f"side-{i + 1}" for i in range(count)]


def side_names(reading: Reading, count: int, ends: Sequence[str]) -> list[str]:
    """Names of the sides, in the order of the plan; none if they have a fault."""
    table = reading.table
    if not table.has("sides"):
        return usual_sides(count)
    names = table.words("sides")
    if names is None:
        return []
    good = True
    if len(names) != count:
        good = False
        table.fault(
            "geometry",
            "sides",
            f"There are {len(names)} side names for {count} sides.",
            "Name every side, in the order of the outline, each from its corner to the next.",
        )
    for i, name in enumerate(names):
        good = table.faults.label(table.key(f"sides.{i}"), name, "side") and good
        if name in names[:i] or name in ends:
            good = False
            problem = f'The face name "{name}" is there twice.'
            remedy = f"Every side needs its own name; {' and '.join(ends)} are the two ends."
            table.fault("name-twice", f"sides.{i}", problem, remedy)
    return list(names) if good else []


def sound(reading: Reading, outline: Corners, *, folded: bool) -> bool:
    """Whether an outline encloses something and crosses nothing; notes it if not."""
    trouble = outline_trouble(
        outline.points,
        outline.sides or usual_sides(len(outline.corners)),
        outline.axes,
        folded=folded,
        rounds=_values(outline.rounds),
        rises=_values(outline.rises),
    )
    if trouble is None:
        return True
    at, problem, remedy = trouble
    reading.table.fault("geometry", f"{outline.key}.{at}", problem, remedy)
    reading.is_whole = False
    return False


def anticlockwise(outline: Corners) -> Corners:
    """Itself, or turned round: rounds stay with their corner, names and rises with their side."""
    if len(outline.corners) < 3 or not is_clockwise(outline.points):
        return outline
    return Corners(
        outline.key,
        outline.axes,
        turned_round(outline.corners),
        turned_round(outline.rounds) if outline.rounds else [],
        outline.rises[::-1],
        outline.sides[::-1],
    )


def _from_drawing(reading: Reading, row: Table, key: str, axes: str) -> Corners | None:
    segments = read_drawing(row, reading.shelf.folder)
    if segments is None:
        reading.is_whole = False
        return None
    corners = [(_fixed(reading, s.start[0]), _fixed(reading, s.start[1])) for s in segments]
    rises = [_fixed(reading, s.rise) if abs(s.rise) >= _LEAST_RISE else None for s in segments]
    return Corners(key, axes, corners, [], rises if any(rises) else [], [])


def _fixed(reading: Reading, value: float) -> Drawn:
    return reading.fixed(round(float(value), _DECIMALS))


def _from_list(reading: Reading, value: list[object], key: str, axes: str) -> Corners | None:
    corners: list[tuple[Drawn, Drawn]] = []
    rounds: list[Drawn | None] = []
    rises: list[Drawn | None] = []
    for i, element in enumerate(value):
        path = f"{key}.{i}"
        round_, rise = None, None
        at, at_path = element, path
        if isinstance(element, dict):
            row = Table(element, reading.table.key(path), f"Corner {i + 1}", reading.table.faults)
            row.only(("at", "round", "rise"))
            at, at_path = element.get("at"), f"{path}.at"
            round_ = _round(reading, row)
            rise = _rise(reading, row)
        corner = _corner(reading, at, at_path, i, axes)
        if corner:
            corners.append(corner)
            rounds.append(round_)
            rises.append(rise)
    if len(corners) < len(value):
        return None
    return Corners(
        key, axes, corners, rounds if any(rounds) else [], rises if any(rises) else [], []
    )


def _corner(
    reading: Reading, at: object, path: str, i: int, axes: str
) -> tuple[Drawn, Drawn] | None:
    table = reading.table
    if not isinstance(at, list) or len(at) != 2:
        what = kind_of(at) if at is not None else 'without its "at"'
        problem = f"Corner {i + 1} is {what}; a corner is a pair of lengths."
        table.fault("wrong-kind", path, problem, _CORNER)
        reading.is_whole = False
        return None
    x = reading.coordinate(at[0], table.key(path), axes[0])
    y = reading.coordinate(at[1], table.key(path), axes[1])
    return None if x is None or y is None else (x, y)


def _round(reading: Reading, row: Table) -> Drawn | None:
    if not row.has("round"):
        return None
    return reading.positive(row, "round", row.data["round"], "round", above=_LEAST_ROUND)


def _rise(reading: Reading, row: Table) -> Drawn | None:
    if not row.has("rise"):
        return None
    rise = reading.constant(row.data["rise"], row.key("rise"), "rise")
    if rise is None or abs(rise.value) >= _LEAST_RISE:
        return rise
    problem = f"A rise of {rise.value:g} mm bows nothing out."
    row.fault("out-of-range", "rise", problem, "Leave it out for a straight side.")
    reading.is_whole = False
    return None


def _values(drawn: Sequence[Drawn | None]) -> list[float]:
    return [d.value if d else 0.0 for d in drawn]


def _lengths(drawn: Sequence[Drawn | None]) -> tuple[Length | None, ...]:
    return tuple(d.length if d else None for d in drawn)
