"""What the maker has: boards, formers, cutters, materials and finishes.

Room: plan. None of these is scaled: they are bought, not drawn. A board gets
its thickness from its material, or says it itself when the material comes in
any thickness, or when the maker has measured it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from foldwright.plan.outline import is_clockwise, outline_trouble, turned_round
from foldwright.plan.records import Cutter, Finish, Layer, Sheet, Stock
from foldwright.plan.table import Table

_THINNEST, _THICKEST = 0.05, 100.0  # mm of board; card to block
_OFF_BY = 0.2  # share by which a measured board may differ from its material's thickness
_MOST_COUNT = 100_000
_MOST_PRICE = 1e9
_WIDEST_CUTTER = 150.0  # degrees; flatter ones are planes
_WIDEST_FLOOR = 100.0  # mm
_USUAL_WIDEST = 12.0  # mm routed in passes side by side; common practice, no source
_THICKEST_COAT = 20.0  # mm

USUAL_CUTTERS: Mapping[str, tuple[float, float, float]] = {
    "v90": (90.0, 2.0, _USUAL_WIDEST),
    "v135": (135.0, 2.0, _USUAL_WIDEST),
}
"""Cutters of a plan without a [cutter] table: included angle in degrees, flat
and widest floor in mm. The usual pair for skinned board; common practice, no
source."""


@dataclass(frozen=True)
class Rack:
    """Boards and formers, and the names of those that have a fault."""

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


def read_rack(table: Table, materials: Mapping[str, float | None]) -> Rack:
    """Read the [rack] table."""
    stocks: dict[str, Stock] = {}
    formers: dict[str, float] = {}
    for name, row in table.tables("rack"):
        if not table.faults.label(row.path, name, "board or former"):
            continue
        if row.has("former_d"):
            row.only(("former_d",))
            former_d = row.length("former_d", 0.0, above=True)
            if former_d is not None:
                formers[name] = former_d
        elif row.has("material"):
            row.only(("material", "thickness", "sheets"))
            stock = _stock(name, row, materials)
            if stock:
                stocks[name] = stock
        else:
            row.only(("material", "thickness", "sheets", "former_d"))
            row.missing("material", 'Add material = "...", or former_d for a pipe to curl over.')
    return Rack(stocks, formers, frozenset(table.data) - stocks.keys() - formers.keys())


def _stock(name: str, row: Table, materials: Mapping[str, float | None]) -> Stock | None:
    material = row.text("material", "acp-3-0.3")
    thickness = row.length("thickness", _THINNEST, _THICKEST)
    sheets = _sheets(row)
    if material is None or (row.has("thickness") and thickness is None) or sheets is None:
        return None
    if material not in materials:
        row.faults.unknown(
            row.key("material"),
            "material",
            material,
            materials,
            f"Use one of these, or add a table [material.{material}] of your own.",
        )
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
    used = thickness if thickness is not None else listed
    assert used is not None
    return Stock(name, material, used, sheets)


def _sheets(row: Table) -> tuple[Sheet, ...] | None:
    rows = row.rows("sheets", f"a sheet of {row.what}")
    if rows is None:
        return None
    sheets = [_sheet(sheet) for sheet in rows]
    known = tuple(sheet for sheet in sheets if sheet)
    return known if len(known) == len(sheets) else None


def _sheet(row: Table) -> Sheet | None:
    row.only(("size", "outline", "count", "price"))
    count, price = row.number("count", 0, _MOST_COUNT), row.number("price", 0, _MOST_PRICE)
    if (row.has("count") and count is None) or (row.has("price") and price is None):
        return None
    if count is not None and count != int(count):
        row.fault("out-of-range", "count", "A count is a whole number.", "Write count = 2.")
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
    return Sheet(outline, 1 if count is None else int(count), price or 0.0)


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
