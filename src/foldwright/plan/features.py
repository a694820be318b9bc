"""What is cut into the faces of a part: holes, slots, windows, bolts, hatches, openings.

Room: plan. Each is a list of tables of the part, ``holes = [{ on = "top",
at = [60, 60], d = 8 }]``. Their lengths are finished and in the frame of the
face. Numbers stay as they are when a part is refitted; a size that they name
is a parameter of the part. `scale` multiplies all but the bolt holes (a bolt
is bought) and the gaps.

Whether a feature fits its face only `shape` can say.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from foldwright.plan.reading import Drawn, Reading
from foldwright.plan.records import Feature, Length
from foldwright.plan.table import Table

_MOST_BOLTS = 200  # on a circle, or along one side of a grid
_MOST_FEATURES = 500  # of one kind on one part
_USUAL_GAP = 1.0  # mm round a lid or what passes; common practice, no source
_USUAL_LIP = 15.0  # mm of ledge that a lid lies on; common practice, no source

_CALLED = {"bolts": "bolt pattern"}

KEYS: Mapping[str, tuple[str, ...]] = {
    "holes": ("on", "at", "d", "name", "drilled_in_place"),
    "slots": ("on", "at", "length", "width", "rotate_deg", "name"),
    "windows": ("on", "at", "size", "d", "corner", "rotate_deg", "name"),
    "bolts": (
        "on",
        "at",
        "d",
        "circle_d",
        "count",
        "start_deg",
        "grid",
        "pitch",
        "rotate_deg",
        "name",
        "drilled_in_place",
    ),
    "hatches": ("on", "at", "size", "corner", "gap", "lip", "rotate_deg", "name"),
    "openings": ("on", "through", "gap", "name"),
}
"""Lists of features, and what a member of each can say."""


def read_features(reading: Reading, unmade: Sequence[str]) -> tuple[Feature, ...]:
    """Read the features of a part; `unmade` are its faces that are open."""
    found: list[Feature] = []
    names: set[str] = set()
    for key in KEYS:
        kind, read = _READERS[key]
        rows = reading.table.rows(key, f"The {_CALLED.get(kind, kind)} of {reading.name}")
        if rows is None or len(rows) > _MOST_FEATURES:
            reading.is_whole = False
            if rows:
                problem = f"There are {len(rows)} {key}; {_MOST_FEATURES} is the most."
                reading.table.fault("too-large", key, problem, "Use a grid of bolts.")
            continue
        for i, row in enumerate(rows):
            row.only(KEYS[key])
            usual = f"{kind} {i + 1}" if len(rows) > 1 else kind
            name = row.text("name", usual, usual) or usual
            face = _face(reading, row, unmade)
            feature = read(reading, row, Feature(kind, name, face or "", key=f"{key}.{i}"))
            if name in names:
                problem = f'There are two features called "{name}" on this part.'
                row.fault("name-twice", "name", problem, "Give one of them another name.")
            names.add(name)
            if feature is not None and face:
                found.append(feature)
    return tuple(found)


def _face(reading: Reading, row: Table, unmade: Sequence[str]) -> str | None:
    there = [face for face in reading.faces if face not in unmade]
    face = row.text("on", there[0] if there else "top")
    if face is None or not reading.faces:
        return None
    if face not in reading.faces:
        remedy = f"Its faces are {', '.join(reading.faces)}."
        what = f"face of {reading.table.within}"
        row.faults.unknown(row.key("on"), what, face, reading.faces, remedy)
    elif face in unmade:
        problem = f'"{face}" is open or a bare edge, so nothing can be cut into it.'
        row.fault("geometry", "on", problem, f"Use one of {', '.join(there)}.")
    else:
        return face
    return None


def _hole(reading: Reading, row: Table, empty: Feature) -> Feature | None:
    at, d = _at(reading, row), reading.size(row, "d")
    drilled = row.flag("drilled_in_place", False)
    if at is None or d is None:
        return None
    return replace(empty, at=at, d=d.length, drilled_in_place=drilled)


def _slot(reading: Reading, row: Table, empty: Feature) -> Feature | None:
    at, rotate = _at(reading, row), _rotate(row)
    length, width = reading.size(row, "length"), reading.size(row, "width")
    if at is None or length is None or width is None or rotate is None:
        return None
    if length.value < width.value:
        problem = f"A slot {length.value:g} mm long over all is not {width.value:g} mm wide."
        row.fault("geometry", "length", problem, "Its length is measured over its round ends.")
        return None
    return replace(empty, at=at, length=length.length, width=width.length, rotate=rotate)


def _window(reading: Reading, row: Table, empty: Feature) -> Feature | None:
    if row.has("size") == row.has("d"):
        problem = f"{row.what} needs either its size or its d."
        row.fault("missing", "", problem, "Write size = [160, 90], or d = 120 for a round one.")
        return None
    if row.has("d"):
        at, d = _at(reading, row), reading.size(row, "d")
        if row.has("corner"):
            problem = "A round window has no corners."
            row.fault("unknown-key", "corner", problem, "Leave the corner out.")
        return None if at is None or d is None else replace(empty, at=at, d=d.length)
    return _rectangle(reading, row, empty)


def _hatch(reading: Reading, row: Table, empty: Feature) -> Feature | None:
    feature = _rectangle(reading, row, empty)
    gap = reading.size(row, "gap", _USUAL_GAP, above=None, scaled=False)
    lip = reading.size(row, "lip", _USUAL_LIP)
    if feature is None or gap is None or lip is None:
        return None
    return replace(feature, gap=gap.length, lip=lip.length)


def _rectangle(reading: Reading, row: Table, empty: Feature) -> Feature | None:
    at, rotate = _at(reading, row), _rotate(row)
    sides = _lengths(reading, row, "size", "[160, 90]")
    corner = reading.size(row, "corner", 0.0, above=None)
    if at is None or sides is None or corner is None or rotate is None:
        return None
    if 2.0 * corner.value > min(side.value for side in sides) + 1e-9:
        problem = f"Corners of radius {corner.value:g} mm do not fit this size."
        row.fault("geometry", "corner", problem, "Make them at most half of the shorter side.")
        return None
    across, up = sides
    return replace(
        empty,
        at=at,
        length=across.length,
        width=up.length,
        corner=corner.length if corner.value else None,
        rotate=rotate,
    )


def _bolts(reading: Reading, row: Table, empty: Feature) -> Feature | None:
    if row.has("circle_d") == row.has("grid"):
        problem = f"{row.what} needs either a circle_d or a grid."
        remedy = "Write circle_d = 80 and count = 6, or grid = [3, 2] and pitch = [40, 30]."
        row.fault("missing", "", problem, remedy)
        return None
    at, d, rotate = _at(reading, row), reading.size(row, "d", scaled=False), _rotate(row)
    drilled = row.flag("drilled_in_place", False)
    pattern = _circle(reading, row, empty) if row.has("circle_d") else _grid(reading, row, empty)
    if at is None or d is None or rotate is None or pattern is None:
        return None
    return replace(pattern, at=at, d=d.length, rotate=rotate, drilled_in_place=drilled)


def _circle(reading: Reading, row: Table, empty: Feature) -> Feature | None:
    if row.has("pitch"):
        problem = "Bolts on a circle have no pitch."
        row.fault("unknown-key", "pitch", problem, "Write their count instead.")
    circle_d = reading.size(row, "circle_d")
    if not row.has("count"):
        row.missing("count", "Add count = 6.")
    count = _whole(row, "count", row.data.get("count"), 2) if row.has("count") else None
    start = row.degrees("start_deg", -360.0, 360.0) if row.has("start_deg") else 0.0
    if circle_d is None or count is None or start is None:
        return None
    return replace(empty, pitch_d=circle_d.length, count=count, start=start)


def _grid(reading: Reading, row: Table, empty: Feature) -> Feature | None:
    for key in ("count", "start_deg"):
        if row.has(key):
            problem = f"Bolts of a grid have no {key}."
            row.fault("unknown-key", key, problem, "It is grid = [columns, rows] that counts them.")
    pair = reading.listed(row, "grid", 2, "[3, 2]")
    counts = [_whole(row, f"grid.{i}", v, 1) for i, v in enumerate(pair or ())]
    pitch = _lengths(reading, row, "pitch", "[40, 30]")
    if pair is None or pitch is None or counts[0] is None or counts[1] is None:
        return None
    return replace(
        empty,
        count=counts[0],
        rows=counts[1],
        pitch=pitch[0].length,
        row_pitch=pitch[1].length,
    )


def _opening(reading: Reading, row: Table, empty: Feature) -> Feature | None:
    through = row.text("through", "lamp")
    gap = reading.size(row, "gap", _USUAL_GAP, above=None, scaled=False)
    if through is None or gap is None:
        return None
    return replace(empty, through=through, gap=gap.length)


_READERS: Mapping[str, tuple[str, Callable[[Reading, Table, Feature], Feature | None]]] = {
    "holes": ("hole", _hole),
    "slots": ("slot", _slot),
    "windows": ("window", _window),
    "bolts": ("bolts", _bolts),
    "hatches": ("hatch", _hatch),
    "openings": ("opening", _opening),
}


def _at(reading: Reading, row: Table) -> tuple[Length, Length] | None:
    pair = reading.listed(row, "at", 2, "[60, 60]")
    if pair is None:
        return None
    x, y = (reading.constant(v, row.key(f"at.{i}"), "at") for i, v in enumerate(pair))
    return None if x is None or y is None else (x.length, y.length)


def _lengths(reading: Reading, row: Table, key: str, example: str) -> tuple[Drawn, Drawn] | None:
    pair = reading.listed(row, key, 2, example)
    if pair is None:
        return None
    a, b = (reading.positive(row, f"{key}.{i}", v, key) for i, v in enumerate(pair))
    return None if a is None or b is None else (a, b)


def _rotate(row: Table) -> float | None:
    return row.degrees("rotate_deg", -360.0, 360.0) if row.has("rotate_deg") else 0.0


def _whole(row: Table, path: str, value: object, least: int) -> int | None:
    if isinstance(value, int) and not isinstance(value, bool) and least <= value <= _MOST_BOLTS:
        return value
    problem = f"This is no number of bolts; {least} to {_MOST_BOLTS} can be used."
    row.fault("out-of-range", path, problem, "Write a whole number, like 6.")
    return None
