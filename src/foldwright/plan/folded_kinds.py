"""Reading the folded kinds: box, profile, taper.

Room: plan. Faceted solids, folded too, have a module of their own.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from foldwright.plan.arcs import turn_between
from foldwright.plan.corners import (
    Corners,
    anticlockwise,
    read_corners,
    side_names,
    sound,
    usual_sides,
)
from foldwright.plan.kinds import Box, Profile, Taper
from foldwright.plan.outline import is_clockwise
from foldwright.plan.reading import KindReader, Reading

_BOX_FACES = ("bottom", "top", "front", "back", "left", "right")
_PROFILE_ENDS = ("front", "back")
_TAPER_ENDS = ("bottom", "top")
_FLAT = 0.02  # mm off the plane of a side; what corners rounded to 0.01 mm can be out


def _read_box(reading: Reading) -> None:
    reading.faces = _BOX_FACES
    reading.each_scalar("width", "depth", "height")


def _read_profile(reading: Reading) -> None:
    found: list[Corners | None] = []
    reading.each(
        {
            "outline": lambda: found.append(read_corners(reading, "outline", "xz")),
            "depth": lambda: reading.scalar("depth"),
        }
    )
    outline = found[0]
    if outline is None:
        return
    outline.sides = side_names(reading, len(outline.corners), _PROFILE_ENDS)
    sound(reading, outline, folded=True)
    outline = anticlockwise(outline)
    _name_faces(reading, outline.sides, _PROFILE_ENDS)
    reading.fields |= outline.record | {"sides": tuple(outline.sides)}


def _name_faces(reading: Reading, sides: list[str], ends: tuple[str, ...]) -> None:
    if sides:
        reading.faces = (*sides, *ends)
    else:
        reading.is_whole = False


def _read_taper(reading: Reading) -> None:
    found: dict[str, Corners | None] = {}

    def read(key: str) -> None:
        found[key] = read_corners(reading, key, "xy")

    reading.each(
        {
            "lower": lambda: read("lower"),
            "upper": lambda: read("upper"),
            "height": lambda: reading.scalar("height"),
        }
    )
    known = [outline for outline in found.values() if outline]
    for outline in known:
        _straight(reading, outline)
    if not known:
        return
    sides = side_names(reading, len(known[0].corners), _TAPER_ENDS)
    good = True
    for outline in known:
        outline.sides = list(sides)
        good = sound(reading, outline, folded=True) and good
    lower, upper = found["lower"], found["upper"]
    if lower and upper and good and _alike(reading, lower, upper):
        _flat_sides(reading, lower, upper)
        lower, upper = anticlockwise(lower), anticlockwise(upper)
        sides = lower.sides
        reading.fields |= {
            "lower": lower.outline,
            "upper": upper.outline,
            "sides": tuple(sides),
        }
    _name_faces(reading, sides, _TAPER_ENDS)


def _straight(reading: Reading, outline: Corners) -> None:
    if outline.rounds or outline.rises:
        problem = f"The {outline.key} outline has arcs, and a taper has flat sides."
        remedy = "Draw it with straight sides; a round one is a hood."
        reading.table.fault("geometry", outline.key, problem, remedy)


def _alike(reading: Reading, lower: Corners, upper: Corners) -> bool:
    """Whether both outlines have as many corners and run the same way round."""
    a, b = len(lower.corners), len(upper.corners)
    if a != b:
        problem = f"The lower outline has {a} corners and the upper one {b}."
        remedy = "Give both the same number, corner by corner above one another."
        reading.table.fault("geometry", "upper", problem, remedy)
    elif is_clockwise(lower.points) != is_clockwise(upper.points):
        problem = "One outline runs anticlockwise and the other clockwise."
        remedy = "Write the corners of both in the same direction, from the same corner."
        reading.table.fault("geometry", "upper", problem, remedy)
    else:
        return True
    return False


def _flat_sides(reading: Reading, lower: Corners, upper: Corners) -> None:
    """Note sides whose four corners do not lie in one plane: their edges are not parallel."""
    names = lower.sides or usual_sides(len(lower.corners))
    height = reading.value("height") or math.inf
    count = len(names)
    for i, name in enumerate(names):
        j = (i + 1) % count
        a, b = lower.points[i], lower.points[j]
        c, d = upper.points[i], upper.points[j]
        turn = turn_between(
            math.atan2(d[1] - c[1], d[0] - c[0]), math.atan2(b[1] - a[1], b[0] - a[0])
        )
        # the far upper corner, turned about the near one, leaves the plane by at most this
        off = min(math.dist(c, d) * abs(math.sin(turn)), height)
        if abs(turn) < math.pi / 2.0 and off <= _FLAT:
            continue
        way = "anticlockwise" if turn > 0.0 else "clockwise"
        reading.table.fault(
            "geometry",
            f"upper.{i}",
            f'Side "{name}" is not flat: its four corners do not lie in one plane.',
            f"Turn its upper edge, from ({c[0]:.6g}, {c[1]:.6g}) to ({d[0]:.6g}, {d[1]:.6g}), by "
            f"{abs(math.degrees(turn)):.3g} degrees {way}, so that it runs as its lower edge.",
        )


FOLDED_READERS: Mapping[str, KindReader] = {
    "box": KindReader(
        Box,
        _read_box,
        ("width", "depth", "height"),
        ("width", "depth", "height"),
        is_folded=True,
    ),
    "profile": KindReader(
        Profile, _read_profile, ("outline", "sides", "depth"), ("depth",), is_folded=True
    ),
    "taper": KindReader(
        Taper, _read_taper, ("lower", "upper", "sides", "height"), ("height",), is_folded=True
    ),
}
"""How box, profile and taper are read."""
