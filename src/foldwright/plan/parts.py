"""Parts: from their tables to frozen records.

Room: plan. Each scalar field of a part is one parameter, named as the field:
`width`, `depth`, `height` of a box, `depth` of a profile, `outside_d` and
`length` of a drum, `diameter` and `bore` of a plate. Its value is what the
plan writes, worked out; its give and trust are those of the sizes in it.

The parameters of an outline are the sizes in it, by their names, and its
literals, one for each distinct value on each axis: ``"x 80"``, ``"z 260"``
(``"y 80"`` in a plate), numbered as the plan writes them, before `scale`. A
literal used twice on one axis is one parameter, so that a straight line stays
straight. 0 is the datum and no parameter.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from foldwright.plan.formula import Formula
from foldwright.plan.kinds import AnyPart, Box, Drum, Plate, Profile
from foldwright.plan.outline import is_clockwise, outline_trouble, turned_round
from foldwright.plan.places import FOLDED_KINDS, Draft
from foldwright.plan.rack import Rack
from foldwright.plan.records import Finish, FoldAt, Length, Parameter
from foldwright.plan.sizes import THICKNESS, Sizes, Terms
from foldwright.plan.table import Table
from foldwright.plan.wishes import (
    check_edges,
    read_edges,
    read_fold,
    read_leave_open,
    read_place,
)

KINDS = ("box", "profile", "drum", "plate")
"""Kinds of parts that are built."""

KINDS_TO_COME = (
    "taper",
    "faceted",
    "hood",
    "transition",
    "elbow",
    "dome",
    "tube",
    "plug",
    "strip",
    "rib",
    "bought",
)
"""Kinds of parts of the design that are not built yet."""

_FIELDS: Mapping[str, tuple[str, ...]] = {
    "box": ("width", "depth", "height"),
    "profile": ("outline", "depth"),
    "drum": ("outside_d", "length"),
    "plate": ("outline", "diameter", "bore"),
}
_FACES: Mapping[str, tuple[str, ...]] = {
    "box": ("bottom", "top", "front", "back", "left", "right"),
    "profile": ("front", "back"),  # after its sides
    "drum": ("wall", "bottom", "top"),
    "plate": ("top", "bottom", "edge"),
}
_COMMON = ("kind", "from", "finish", "bare", "place", "stiff", "was")
_FOLDED = ("leave_open", "fold", "fold_at", "cut_at")
_OTHER: Mapping[str, tuple[str, ...]] = {
    "box": _FOLDED,
    "profile": ("sides", *_FOLDED),
    "drum": ("former",),
    "plate": (),
}
_KEYS_TO_COME = ("count", "mirror_of", "through", "holes", "slots", "windows", "hatches")
_LEAST = 0.1  # mm; the finest that is marked out
_ZERO = Length(Formula.parse("0"))


@dataclass(frozen=True)
class Shelf:
    """All that parts may name: sizes, boards, formers, finishes.

    `finishes_named` also has the finishes with a fault, which was told.
    """

    sizes: Sizes
    rack: Rack
    finishes: Mapping[str, Finish]
    finishes_named: tuple[str, ...]


@dataclass
class _Reading:
    """One part while it is read."""

    name: str
    kind: str
    table: Table
    terms: Terms
    axes: str = ""
    parameters: dict[str, Parameter] = field(default_factory=dict)
    lengths: dict[str, Any] = field(default_factory=dict)  # Length by field
    outline: list[tuple[Length, Length]] = field(default_factory=list)
    sides: list[str] = field(default_factory=list)


def read_part(name: str, table: Table, shelf: Shelf) -> Draft:
    """Read one [part.NAME] table; faults go to its `Faults`."""
    before = table.faults.noted
    table.faults.name(table.path, name, "part")
    kind = _kind(table)
    if not kind:
        return Draft(name, table)
    table = Table(table.data, table.path, f"The {kind} {name}", table.faults)
    table.only((*_COMMON[:2], *_FIELDS[kind], *_OTHER[kind], *_COMMON[2:]), _KEYS_TO_COME)
    stock = _named_stock(table, shelf.rack)
    thickness = shelf.rack.stocks[stock].thickness if stock in shelf.rack.stocks else None
    reading = _Reading(name, kind, table, Terms(shelf.sizes, table.faults, thickness))
    reading.axes = {"profile": "xz", "plate": "xy"}.get(kind, "")
    for key in table.data:  # so that parameters come in the order of the file
        if key == "outline" and key in _FIELDS[kind]:
            _read_outline(reading)
        elif key in _FIELDS[kind]:
            _read_scalar(reading, key)
    faces = _faces(reading)
    common = _common(reading, stock, faces, shelf)
    _check_dims(reading)
    whole = table.faults.noted == before and thickness is not None and _is_complete(reading)
    part = _BUILDERS[kind](reading, common) if whole else None
    return Draft(name, table, kind, faces, common["leave_open"], common["place"], part)


def _kind(table: Table) -> str:
    kind = table.text("kind", "box")
    there = f"There are {', '.join(KINDS)}."
    if kind in KINDS_TO_COME:
        table.fault("not-built", "kind", f'Parts of kind "{kind}" are not built yet.', there)
    elif kind is not None and kind not in KINDS:
        table.faults.unknown(table.key("kind"), "kind of part", kind, KINDS, there)
    elif kind is not None:
        return kind
    return ""


def _named_stock(table: Table, rack: Rack) -> str:
    name = table.text("from", next(iter(rack.stocks), "board3"))
    if name is None or name in rack.stocks or name in rack.broken:
        return name or ""
    if name in rack.formers:
        problem = f'"{name}" is a former, and a part is made from board.'
        table.fault("unknown-name", "from", problem, "Name a board of the rack.")
    else:
        remedy = f"Use one of these, or add a table [rack.{name}] with its material."
        table.faults.unknown(table.key("from"), "board", name, rack.stocks, remedy)
    return name


def _read_scalar(reading: _Reading, key: str) -> None:
    table = reading.table
    term = reading.terms.read(table.data[key], table.key(key), key)
    if term is None:
        return
    if term.value < _LEAST:
        table.fault(
            "out-of-range",
            key,
            f"{key} comes to {term.value:.6g} mm; {_LEAST:g} or more can be made.",
            "Check the number, its unit and the sizes in it.",
        )
        return
    reading.parameters[key] = Parameter(key, term.value, term.give, term.trust)
    reading.lengths[key] = Length(Formula.reference(key))


def _read_outline(reading: _Reading) -> None:
    """Read and check the outline, with the names of its sides; all or nothing."""
    table = reading.table
    pairs = table.pairs("outline")
    if pairs is None:
        return
    corners: list[tuple[Length, Length]] = []
    points: list[tuple[float, float]] = []
    for i, pair in enumerate(pairs):
        path = table.key(f"outline.{i}")
        read = [_coordinate(reading, v, path, a) for v, a in zip(pair, reading.axes, strict=True)]
        x, y = read
        if x is not None and y is not None:
            corners.append((x[0], y[0]))
            points.append((x[1], y[1]))
    if len(corners) < len(pairs):
        return
    sides = _side_names(reading, len(corners))
    shown = sides or _usual_sides(len(corners))
    trouble = outline_trouble(points, shown, reading.axes, folded=reading.kind == "profile")
    if trouble:
        at, problem, remedy = trouble
        table.fault("geometry", f"outline.{at}", problem, remedy)
    if len(corners) > 2 and is_clockwise(points):
        corners, sides = turned_round(corners), sides[::-1]
    reading.outline, reading.sides = corners, sides


def _coordinate(
    reading: _Reading, value: object, path: str, axis: str
) -> tuple[Length, float] | None:
    """One coordinate of a corner: as a formula in parameters, and as drawn [mm]."""
    term = reading.terms.read(value, path, axis)
    if term is None:
        return None
    if term.formula is None:
        if term.literal == 0.0:
            return _ZERO, 0.0
        name = f"{axis} {term.literal:.10g}"
        found = Parameter(name, term.value, term.give, term.trust)
        reading.parameters.setdefault(name, found)
        return Length(Formula.reference(name)), term.value
    sizes = reading.terms.sizes
    for name in term.formula.names:
        if name in _FIELDS[reading.kind]:
            reading.table.faults.add(
                "name-twice",
                path,
                f'The size "{name}" has the name of a field of this part.',
                f"Give the size another name, like {reading.name}_{name}.",
            )
        elif name in sizes.known:
            size = sizes.known[name]
            found = Parameter(name, size.plan, size.give, size.trust)
            reading.parameters.setdefault(name, found)
    constants: tuple[tuple[str, float], ...] = ()
    if THICKNESS in term.formula.names and reading.terms.thickness is not None:
        constants = ((THICKNESS, reading.terms.thickness),)
    # a bare name needs no scaling there and back, which would cost its last bit
    scale = 1.0 if term.formula.is_name else sizes.scale
    return Length(term.formula, scale, constants), term.value


def _usual_sides(count: int) -> list[str]:
    return [f"side-{i + 1}" for i in range(count)]


def _side_names(reading: _Reading, count: int) -> list[str]:
    """Names of the sides, in the order of the plan; none if they have a fault."""
    table = reading.table
    if reading.kind != "profile" or not table.has("sides"):
        return _usual_sides(count)
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
        if name in names[:i] or name in _FACES["profile"]:
            good = False
            problem = f'The face name "{name}" is there twice.'
            remedy = "Every side needs its own name; front and back are the two ends."
            table.fault("name-twice", f"sides.{i}", problem, remedy)
    return list(names) if good else []


def _faces(reading: _Reading) -> tuple[str, ...]:
    if reading.kind != "profile":
        return _FACES[reading.kind]
    return (*reading.sides, *_FACES["profile"]) if reading.sides else ()


def _common(reading: _Reading, stock: str, faces: tuple[str, ...], shelf: Shelf) -> dict[str, Any]:
    """Fields that every kind of part has."""
    table, thickness = reading.table, reading.terms.thickness
    folded = reading.kind in FOLDED_KINDS
    leave_open = read_leave_open(table, faces) if folded else ()
    common: dict[str, Any] = {
        "name": reading.name,
        "stock": stock,
        "thickness": thickness,
        "finish": _finish(table, shelf),
        "bare": table.flag("bare", False),
        "leave_open": leave_open,
        "place": read_place(table, reading.terms),
        "stiff": table.flag("stiff", reading.kind != "drum"),
        "was": _was(reading),
    }
    if folded:
        common["fold"] = read_fold(table, thickness)
        fold_at = read_edges(table, "fold_at", reading.kind, faces, leave_open)
        cut_at = read_edges(table, "cut_at", reading.kind, faces, leave_open)
        check_edges(table, fold_at, cut_at)
        common["fold_at"] = tuple(FoldAt(edge) for edge in fold_at)
        common["cut_at"] = cut_at
    if reading.kind == "drum":
        common["former"] = _former(table, shelf.rack)
    return common


def _finish(table: Table, shelf: Shelf) -> Finish | None:
    name = table.text("finish", "grey", "")
    if not name:
        return None
    if name not in shelf.finishes_named:
        remedy = f"Use one of these, or add a table [finish.{name}] with its layers."
        table.faults.unknown(table.key("finish"), "finish", name, shelf.finishes_named, remedy)
    return shelf.finishes.get(name)


def _former(table: Table, rack: Rack) -> str:
    name = table.text("former", "pipe114", "") or ""
    if name and name not in rack.formers and name not in rack.broken:
        remedy = f"Use one of these, or add a table [rack.{name}] with its former_d."
        table.faults.unknown(table.key("former"), "former", name, rack.formers, remedy)
    return name


def _was(reading: _Reading) -> str:
    was = reading.table.text("was", "old_name", "") or ""
    if was and reading.table.faults.name(reading.table.key("was"), was, "part"):
        if was == reading.name:
            problem = f'"{was}" is the name that it has now.'
            reading.table.fault("name-twice", "was", problem, "Write its earlier name.")
        return was
    return ""


def _check_dims(reading: _Reading) -> None:
    """Note fields that are missing, and dims that no such part can have."""
    table, has = reading.table, reading.table.has
    if reading.kind == "plate":
        if has("outline") == has("diameter"):
            problem = f"{table.what} needs either its outline or its diameter."
            table.fault("missing", "", problem, "Write outline = [[0, 0], ...] or diameter = 200.")
        if has("bore") and not has("diameter"):
            problem = f"{table.what} has a bore, but no diameter."
            table.fault("missing", "bore", problem, "A ring has both diameter and bore.")
    else:
        for key in _FIELDS[reading.kind]:
            if not has(key):
                table.missing(key, f"Add {key} = {'[[0, 0], ...]' if key == 'outline' else 300}.")
    value = {name: p.value for name, p in reading.parameters.items()}
    if reading.kind == "plate" and value.get("bore", 0.0) >= value.get("diameter", float("inf")):
        problem = f"The bore of {value['bore']:g} mm is not below the diameter."
        table.fault("geometry", "bore", problem, f"Make it less than {value['diameter']:g} mm.")
    thickness = reading.terms.thickness
    if thickness is not None and value.get("outside_d", float("inf")) <= 2.0 * thickness:
        problem = f"outside_d is {value['outside_d']:g} mm, and two walls leave no bore."
        remedy = f"Make it more than {2.0 * thickness:g} mm; the board is {thickness:g} thick."
        table.fault("geometry", "outside_d", problem, remedy)


def _is_complete(reading: _Reading) -> bool:
    """Whether all fields were read; sizes with a fault of their own leave some out."""
    wanted = {key for key in _FIELDS[reading.kind] if reading.table.has(key)}
    return wanted == reading.lengths.keys() | ({"outline"} if reading.outline else set())


def _box(reading: _Reading, common: dict[str, Any]) -> AnyPart:
    return Box(**common, parameters=tuple(reading.parameters.values()), **reading.lengths)


def _profile(reading: _Reading, common: dict[str, Any]) -> AnyPart:
    return Profile(
        **common,
        parameters=tuple(reading.parameters.values()),
        outline=tuple(reading.outline),
        sides=tuple(reading.sides),
        depth=reading.lengths["depth"],
    )


def _drum(reading: _Reading, common: dict[str, Any]) -> AnyPart:
    return Drum(**common, parameters=tuple(reading.parameters.values()), **reading.lengths)


def _plate(reading: _Reading, common: dict[str, Any]) -> AnyPart:
    return Plate(
        **common,
        parameters=tuple(reading.parameters.values()),
        outline=tuple(reading.outline),
        **reading.lengths,
    )


_BUILDERS: Mapping[str, Callable[[_Reading, dict[str, Any]], AnyPart]] = {
    "box": _box,
    "profile": _profile,
    "drum": _drum,
    "plate": _plate,
}
