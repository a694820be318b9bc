"""Reading faceted parts: unions of blocks cut by planes.

Room: plan. A block is a box with names for its six faces, and a list of
cuts. A cut goes through a point, with its outward normal ``out``, or through
three points, anticlockwise seen from outside. Its normal is taken as drawn:
when a refit moves the point, the plane moves with it and keeps its slope.

A name twice in one block is a fault; in another block it means the same face,
so that blocks after the first have names of their own unless they say others.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from foldwright.plan.kinds import Block, Faceted, PlaneCut
from foldwright.plan.reading import LEAST, Drawn, KindReader, Reading
from foldwright.plan.records import Length
from foldwright.plan.table import Table, plain_number

_FACES = ("left", "right", "front", "back", "bottom", "top")
_MOST_BLOCKS, _MOST_CUTS = 50, 100
_LEAST_AREA = 1e-6  # sine of the angle at the first of three points; less is one line
_ORIGIN = [0, 0, 0]

type Place = tuple[Length, Length, Length]
type Vector = tuple[float, float, float]


def _read_faceted(reading: Reading) -> None:
    table = reading.table
    if not table.has("blocks"):
        table.missing("blocks", "Add blocks = [{ size = [400, 300, 260] }].")
        reading.is_whole = False
        return
    rows = table.rows("blocks", f"block of {reading.name}")
    if rows is None:
        reading.is_whole = False
        return
    if not 0 < len(rows) <= _MOST_BLOCKS:
        problem = f"There are {len(rows)} blocks; 1 to {_MOST_BLOCKS} can be put together."
        table.fault("geometry", "blocks", problem, "Split the part, or list its blocks.")
        reading.is_whole = False
        return
    names: dict[str, None] = {}
    blocks = []
    good = True
    for i, row in enumerate(rows):
        row.what = f"block {i + 1} of {reading.name}"
        row.only(("at", "size", "faces", "cuts"))
        before = table.faults.noted
        faces = _face_names(row, i)
        cuts, cut_names = _cuts(reading, row)
        _named_twice(row, faces, cut_names)
        at = _place(reading, row, "at", row.data.get("at", _ORIGIN), "[0, 0, 0]")
        size = _size(reading, row)
        good = good and table.faults.noted == before
        names.update(dict.fromkeys((*faces, *cut_names)))
        if at and size and len(faces) == 6:
            left, right, front, back, bottom, top = faces
            six = (left, right, front, back, bottom, top)
            blocks.append(Block(at, size, six, tuple(cuts)))
    if good:
        reading.faces = tuple(names)
    reading.is_whole = reading.is_whole and len(blocks) == len(rows)
    reading.fields["blocks"] = tuple(blocks)


def _face_names(row: Table, i: int) -> list[str]:
    """Names of the six faces of the block's box."""
    said = row.table("faces", f"faces of {row.what}")
    said.only(_FACES)
    names = []
    for face in _FACES:
        usual = face if i == 0 else f"{face}-{i + 1}"
        name = said.text(face, "roof", usual)
        if name is not None and row.faults.label(said.key(face), name, "face"):
            names.append(name)
    return names


def _named_twice(row: Table, faces: list[str], cuts: list[str]) -> None:
    for i, name in enumerate(cuts):
        if name in faces or name in cuts[:i]:
            problem = f'The face name "{name}" is there twice in this block.'
            remedy = "Give the cut another name, or the box face one under faces."
            row.fault("name-twice", f"cuts.{i}", problem, remedy)
    for i, name in enumerate(faces):
        if name in faces[:i]:
            problem = f'The face name "{name}" is there twice in this block.'
            row.fault("name-twice", "faces", problem, "Every face needs its own name.")


def _cuts(reading: Reading, row: Table) -> tuple[list[PlaneCut], list[str]]:
    rows = row.rows("cuts", f"a cut of {row.what}")
    if rows is None or len(rows) > _MOST_CUTS:
        if rows:
            problem = f"There are {len(rows)} cuts; {_MOST_CUTS} is the most."
            row.fault("too-large", "cuts", problem, "Split the block.")
        reading.is_whole = False
        return [], []
    cuts, names = [], []
    for cut in rows:
        cut.only(("face", "through", "out"))
        face = cut.text("face", "brow")
        if face is not None and row.faults.label(cut.key("face"), face, "face"):
            names.append(face)
        plane = _plane(reading, cut)
        if face and plane:
            cuts.append(PlaneCut(face, *plane))
    reading.is_whole = reading.is_whole and len(cuts) == len(rows)
    return cuts, names


def _plane(reading: Reading, cut: Table) -> tuple[Place, Vector] | None:
    """Point and outward normal of a cut."""
    through = cut.data.get("through")
    if through is None:
        cut.missing("through", "Add through = [300, 0, 200] and out = [0, -1, 1].")
        return None
    if isinstance(through, list) and len(through) == 3 and isinstance(through[0], list):
        return _through_three(reading, cut, through)
    point = _place(reading, cut, "through", through, "[300, 0, 200], with out = [0, -1, 1]")
    out = _out(cut)
    return None if point is None or out is None else (point, out)


def _through_three(
    reading: Reading, cut: Table, through: list[object]
) -> tuple[Place, Vector] | None:
    if cut.has("out"):
        problem = "A cut through three points needs no out; their order says which side is cut."
        cut.fault("unknown-key", "out", problem, "Leave it out, or give one point only.")
    example = "[[0, 0, 200], [300, 0, 200], [300, 90, 260]]"
    first = _place(reading, cut, "through.0", through[0], example)
    points = [_as_drawn(reading, cut, f"through.{i}", p, example) for i, p in enumerate(through)]
    if first is None or any(p is None for p in points):
        reading.is_whole = False
        return None
    a, b, c = (p for p in points if p is not None)
    u = (b[0] - a[0], b[1] - a[1], b[2] - a[2])
    v = (c[0] - a[0], c[1] - a[1], c[2] - a[2])
    out = (u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0])
    length = math.hypot(*out)
    if length <= _LEAST_AREA * math.hypot(*u) * math.hypot(*v):
        problem = "The three points lie on one line, which is in many planes."
        cut.fault("geometry", "through", problem, "Move one of them off the line of the others.")
        return None
    return first, (out[0] / length, out[1] / length, out[2] / length)


def _out(cut: Table) -> Vector | None:
    value = cut.data.get("out")
    numbers = [plain_number(v) for v in value] if isinstance(value, list) else []
    if value is None:
        cut.missing("out", "Add out = [0, -1, 1], from the part to the outside.")
        return None
    known = [n for n in numbers if n is not None]
    if len(known) != 3 or len(numbers) != 3:
        cut.wrong_kind("out", value, "a list of 3 numbers", "Write it like out = [0, -1, 1].")
        return None
    x, y, z = known
    length = math.hypot(x, y, z)
    if not 1e-9 < length < 1e9:
        problem = "A direction needs a length of its own."
        cut.fault("geometry", "out", problem, "Write out = [0, -1, 1], or the like.")
        return None
    return (x, y, z)


def _drawn(
    reading: Reading, row: Table, key: str, value: object, example: str
) -> list[Drawn] | None:
    if not isinstance(value, list) or len(value) != 3:
        remedy = f"Write it like {example}."
        row.wrong_kind(key, value, "a list of 3 lengths", remedy)
        reading.is_whole = False
        return None
    read = [
        reading.coordinate(v, row.key(f"{key}.{i}"), axis)
        for i, (v, axis) in enumerate(zip(value, "xyz", strict=True))
    ]
    known = [d for d in read if d is not None]
    return known if len(known) == 3 else None


def _place(reading: Reading, row: Table, key: str, value: object, example: str) -> Place | None:
    drawn = _drawn(reading, row, key, value, example)
    if drawn is None:
        return None
    x, y, z = drawn
    return (x.length, y.length, z.length)


def _as_drawn(reading: Reading, row: Table, key: str, value: object, example: str) -> Vector | None:
    """Point as drawn [mm]; what it names becomes no parameter."""
    if not isinstance(value, list) or len(value) != 3:
        remedy = f"Write it like through = {example}."
        row.wrong_kind(key, value, "a list of 3 lengths", remedy)
        return None
    terms = [
        reading.terms.read(v, row.key(f"{key}.{i}"), axis)
        for i, (v, axis) in enumerate(zip(value, "xyz", strict=True))
    ]
    known = [t.value for t in terms if t is not None]
    return (known[0], known[1], known[2]) if len(known) == 3 else None


def _size(reading: Reading, row: Table) -> Place | None:
    if not row.has("size"):
        row.missing("size", "Add size = [400, 300, 260].")
        reading.is_whole = False
        return None
    drawn = _drawn(reading, row, "size", row.data["size"], "size = [400, 300, 260]")
    if drawn is None:
        return None
    for i, side in enumerate(drawn):
        if side.value < LEAST:
            problem = f"A side of the block comes to {side.value:.6g} mm."
            remedy = f"Make it {LEAST:g} mm or more; where the block begins is its at."
            row.fault("out-of-range", f"size.{i}", problem, remedy)
            return None
    w, d, h = drawn
    return (w.length, d.length, h.length)


FACETED_READERS: Mapping[str, KindReader] = {
    "faceted": KindReader(Faceted, _read_faceted, ("blocks",), is_folded=True)
}
"""How faceted parts are read."""
