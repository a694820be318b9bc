"""What the maker has: boards, tubes, bars, formers, cutters, materials and finishes.

Room: plan. None of these is scaled: they are bought, not drawn. A board gets
its thickness from its material, or says it itself when the material comes in
any thickness, or when the maker has measured it.
"""

from __future__ import annotations

from collections.abc import Container, Mapping
from dataclasses import dataclass
from typing import Any

from foldwright.plan.outline import is_clockwise, outline_trouble, turned_round
from foldwright.plan.records import Bar, Cutter, Finish, Layer, Sheet, Stock
from foldwright.plan.table import Table

_THINNEST, _THICKEST = 0.05, 100.0  # mm of board; card to block
_OFF_BY = 0.2  # share by which a measured board may differ from its material's thickness
_MOST_COUNT = 100_000
_MOST_PRICE = 1e9
_WIDEST_CUTTER = 150.0  # degrees; flatter ones are planes
_WIDEST_FLOOR = 100.0  # mm
_USUAL_WIDEST = 12.0  # mm routed in passes side by side; common practice, no source
_THICKEST_COAT = 20.0  # mm
_WIDEST_TRIM, _WIDEST_KERF, _WIDEST_GAP = 200.0, 50.0, 500.0  # mm
_THINNEST_WALL = 0.1  # mm

_FORMS = {"tube_d": "tube", "tube_side": "square tube", "bar_d": "bar", "bar_side": "square bar"}
_BOARD_KEYS = ("material", "thickness", "sheets", "grain", "trim", "kerf", "gap")

USUAL_CUTTERS: Mapping[str, tuple[float, float, float]] = {
    "v90": (90.0, 2.0, _USUAL_WIDEST),
    "v135": (135.0, 2.0, _USUAL_WIDEST),
}
"""Cutters of a plan without a [cutter] table: included angle in degrees, flat
and widest floor in mm. The usual pair for skinned board; common practice, no
source."""


@dataclass(frozen=True)
class Rack:
    """Boards, tubes, bars and formers, and the names of those that have a fault."""

    stocks: Mapping[str, Stock]
    formers: Mapping[str, float]
    broken: frozenset[str]


def read_materials(
    table: Table, thicknesses: Mapping[str, float | None]
) -> tuple[dict[str, Mapping[str, object]], dict[str, float | None]]:
    """Read the [material] table.

    Returns
    -------
    own : dict
        The plan's own materials as written, `thickness` in mm.
    known : dict
        Thickness of every material, built-in and own [mm]; None is any. An
        own material that is ``like`` another has the thickness of that one
        unless it says its own.
    """
    own: dict[str, Mapping[str, object]] = {}
    known = dict(thicknesses)
    for name, row in table.tables("material"):
        if not table.faults.label(row.path, name, "material"):
            continue
        if name in thicknesses:
            row.fault(
                "name-twice",
                "",
                f'"{name}" is a material that Foldwright knows already.',
                "Give your own material another name.",
            )
        thickness = row.length("thickness", _THINNEST, _THICKEST)
        like = row.data.get("like")
        own[name] = row.data if thickness is None else {**row.data, "thickness": thickness}
        known[name] = thicknesses.get(str(like)) if thickness is None else thickness
    return own, known


def read_rack(table: Table, materials: Mapping[str, float | None], own: Container[str]) -> Rack:
    """Read the [rack] table; `own` are the materials of the plan itself."""
    stocks: dict[str, Stock] = {}
    formers: dict[str, float] = {}
    for name, row in table.tables("rack"):
        if not table.faults.label(row.path, name, "board or former"):
            continue
        form = next((key for key in _FORMS if row.has(key)), "")
        stock = None
        if row.has("former_d"):
            row.only(("former_d",))
            former_d = row.length("former_d", 0.0, above=True)
            if former_d is not None:
                formers[name] = former_d
        elif form:
            stock = _long_stock(name, row, form, materials, own)
        elif row.has("material"):
            row.only(_BOARD_KEYS)
            stock = _board(name, row, materials)
        else:
            row.only((*_BOARD_KEYS, "former_d", *_FORMS))
            row.missing("material", 'Add material = "...", or former_d for a pipe to curl over.')
        if stock:
            stocks[name] = stock
    return Rack(stocks, formers, frozenset(table.data) - stocks.keys() - formers.keys())


def _known_material(row: Table, materials: Mapping[str, float | None]) -> str | None:
    material = row.text("material", "acp-3-0.3")
    if material is None or material in materials:
        return material
    row.faults.unknown(
        row.key("material"),
        "material",
        material,
        materials,
        f"Use one of these, or add a table [material.{material}] of your own.",
    )
    return None


def _board(name: str, row: Table, materials: Mapping[str, float | None]) -> Stock | None:
    before = row.faults.noted
    thickness = row.length("thickness", _THINNEST, _THICKEST)
    sheets = _sheets(row)
    extras = {
        key: row.length(key, 0.0, most)
        for key, most in (("trim", _WIDEST_TRIM), ("kerf", _WIDEST_KERF), ("gap", _WIDEST_GAP))
        if row.has(key)
    }
    grain = row.flag("grain", False)
    material = _known_material(row, materials)
    if material is None or sheets is None:
        return None
    used = _used_thickness(row, material, thickness, materials)
    if used is None or row.faults.noted > before:
        return None
    said: dict[str, Any] = {key: value for key, value in extras.items() if value is not None}
    return Stock(name, material, used, sheets, grain=grain, **said)


def _used_thickness(
    row: Table, material: str, thickness: float | None, materials: Mapping[str, float | None]
) -> float | None:
    """Thickness of a board, as measured or as its material has it [mm]."""
    if row.has("thickness") and thickness is None:
        return None
    listed = materials[material]
    if listed is None and thickness is None:
        row.fault(
            "missing",
            "material",
            f'"{material}" comes in any thickness, and {row.what} does not say which.',
            "Add thickness = 1.5, in mm as measured.",
        )
        return None
    if listed is not None and thickness is not None and abs(thickness - listed) > _OFF_BY * listed:
        row.fault(
            "out-of-range",
            "thickness",
            f'thickness is {thickness:g} mm, but "{material}" has {listed:g} mm.',
            f"Leave it out, write what you measured (within {_OFF_BY:.0%}), or use another "
            "material.",
        )
        return None
    return thickness if thickness is not None else listed


def _long_stock(
    name: str, row: Table, key: str, materials: Mapping[str, float | None], own: Container[str]
) -> Stock | None:
    """Tube or bar; `key` is the one that gives how wide it is."""
    before = row.faults.noted
    form = _FORMS[key]
    is_tube = "tube" in form
    row.only(("material", key, *(("wall",) if is_tube else ()), "lengths"))
    across = row.length(key, 0.0, above=True)
    material = _known_material(row, materials)
    listed = materials.get(material) if material else None
    if material and listed is not None and material not in own:
        problem = f'"{material}" is a board of {listed:g} mm, and a {form} is wanted.'
        row.fault("unknown-name", "material", problem, "Name the metal or plastic it is made of.")
    wall = _wall(row, across) if is_tube else 0.0
    bars = _lengths(row)
    if material is None or across is None or wall is None or row.faults.noted > before:
        return None
    return Stock(name, material, wall, form=form, across=across, bars=bars)


def _wall(row: Table, across: float | None) -> float | None:
    if not row.has("wall"):
        row.missing("wall", "Add wall = 2, in mm as measured.")
        return None
    wall = row.length("wall", _THINNEST_WALL)
    if wall is None or across is None or 2.0 * wall < across:
        return wall
    problem = f"Two walls of {wall:g} mm leave no bore in {across:g} mm."
    row.fault("geometry", "wall", problem, "Check the wall, or make it a bar.")
    return None


def _lengths(row: Table) -> tuple[Bar, ...]:
    return tuple(
        bar
        for length in row.rows("lengths", f"a length of {row.what}") or ()
        if (bar := _length(length))
    )


def _length(row: Table) -> Bar | None:
    row.only(("length", "count", "price"))
    if not row.has("length"):
        row.missing("length", "Add length = 2000, in mm.")
    length = row.length("length", 0.0, above=True)
    count, price = _count(row), row.number("price", 0, _MOST_PRICE)
    if length is None or count is None or (row.has("price") and price is None):
        return None
    return Bar(length, count, price or 0.0)


def _count(row: Table) -> int | None:
    """How many there are: 1 if it does not say, 0 for as many as are needed."""
    count = row.number("count", 0, _MOST_COUNT)
    if count is None:
        return None if row.has("count") else 1
    if count != int(count):
        row.fault("out-of-range", "count", "A count is a whole number.", "Write count = 2.")
        return None
    return int(count)


def _sheets(row: Table) -> tuple[Sheet, ...] | None:
    rows = row.rows("sheets", f"a sheet of {row.what}")
    if rows is None:
        return None
    sheets = [_sheet(sheet) for sheet in rows]
    known = tuple(sheet for sheet in sheets if sheet)
    return known if len(known) == len(sheets) else None


def _sheet(row: Table) -> Sheet | None:
    row.only(("size", "outline", "count", "price"))
    count, price = _count(row), row.number("price", 0, _MOST_PRICE)
    if count is None or (row.has("price") and price is None):
        return None
    if row.has("size") == row.has("outline"):
        row.fault(
            "missing",
            "",
            f"{row.what} needs either its size or its outline.",
            "Write size = [1220, 2440], or outline = [[0, 0], ...] for an offcut.",
        )
        return None
    outline = _whole(row) if row.has("size") else _odd(row)
    if outline is None:
        return None
    return Sheet(outline, count, price or 0.0)


def _whole(row: Table) -> tuple[tuple[float, float], ...] | None:
    sides = row.lengths("size", 2, "[1220, 2440]")
    if sides is None:
        return None
    w, h = sides
    if not (w > 0.0 and h > 0.0):
        problem = f"A sheet of {w:g} by {h:g} mm is not there."
        row.fault("out-of-range", "size", problem, "Write both sides, more than 0.")
        return None
    return ((0.0, 0.0), (w, 0.0), (w, h), (0.0, h))


def _odd(row: Table) -> tuple[tuple[float, float], ...] | None:
    pairs = row.pairs("outline")
    if pairs is None:
        return None
    corners: list[tuple[float, float]] = []
    for i, pair in enumerate(pairs):
        path = f"{row.key('outline')}.{i}"
        x, y = (row.quantity("corner", value, path) for value in pair)
        if x is None or y is None:
            return None
        corners.append((x, y))
    sides = [f"side-{i + 1}" for i in range(len(corners))]
    trouble = outline_trouble(corners, sides, "xy", folded=False)
    if trouble:
        at, problem, remedy = trouble
        row.fault("geometry", f"outline.{at}", problem, remedy)
        return None
    return tuple(turned_round(corners) if is_clockwise(corners) else corners)


def read_cutters(table: Table) -> tuple[Cutter, ...]:
    """Read the [cutter] table; the usual pair if there is none."""
    if not table.data:
        table = Table(
            {
                name: {"angle_deg": angle, "floor": floor, "widest": widest}
                for name, (angle, floor, widest) in USUAL_CUTTERS.items()
            },
            table.path,
            table.what,
            table.faults,
        )
    cutters = []
    for name, row in table.tables("cutter"):
        named = table.faults.label(row.path, name, "cutter")
        cutter = _cutter(name, row)
        if named and cutter:
            cutters.append(cutter)
    return tuple(cutters)


def _cutter(name: str, row: Table) -> Cutter | None:
    row.only(("angle_deg", "floor", "widest"))
    for key, example in (("angle_deg", "90"), ("floor", "2")):
        if not row.has(key):
            row.missing(key, f"Add {key} = {example}.")
    angle = row.degrees("angle_deg", 0.0, _WIDEST_CUTTER)
    floor = row.length("floor", 0.0, _WIDEST_FLOOR)
    if angle == 0.0 and floor == 0.0:
        row.fault(
            "out-of-range",
            "floor",
            "A cutter of angle 0 is a saw blade, and a blade leaves a kerf.",
            "Write the width of its kerf as floor.",
        )
        return None
    widest = row.length("widest", floor or 0.0, _WIDEST_FLOOR, above=floor == 0.0)
    if row.has("widest") and widest is None:
        return None
    if angle is None or floor is None:
        return None
    return Cutter(name, angle, floor, max(_USUAL_WIDEST, floor) if widest is None else widest)


def read_finishes(table: Table) -> dict[str, Finish]:
    """Read the [finish] table."""
    finishes: dict[str, Finish] = {}
    for name, row in table.tables("finish"):
        named = table.faults.label(row.path, name, "finish")
        row.only(("layers", "inside"))
        inside = row.flag("inside", True)
        rows = row.rows("layers", f"a layer of {row.what}")
        if not row.has("layers"):
            row.missing("layers", 'Add layers = [{ what = "paint", thickness = 0.06 }].')
        layers = [_layer(layer) for layer in rows or []]
        known = tuple(layer for layer in layers if layer)
        if named and rows and len(known) == len(layers):
            finishes[name] = Finish(name, known, inside)
    return finishes


def _layer(row: Table) -> Layer | None:
    row.only(("what", "thickness"))
    what = row.text("what", "paint")
    if not row.has("thickness"):
        row.missing("thickness", "Add thickness = 0.06, in mm when dry.")
    thickness = row.length("thickness", 0.0, _THICKEST_COAT)
    return None if what is None or thickness is None else Layer(what, thickness)
