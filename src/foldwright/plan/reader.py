"""Reading a plan: from the text of a plan file to a `Plan`, or to all its faults.

Room: plan. Numbers without a unit are mm, and degrees where a key says
``_deg``; a text may be a quantity (``"1 1/2 in"``) or a formula of sizes and,
in parts, ``thickness``. `scale` multiplies sizes and what parts and
placements say in numbers; never boards, formers, cutters, folds, finishes,
gaps of meets.

What keeps the text from being read at all comes alone (see `door`). After
that nothing stops the reading: every fault is collected, in the order of the
lines, and raised at once. What follows from a fault that was told is not told
again: a part whose board has a fault is checked as far as it goes.

Start at `read_plan`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType

from foldwright.errors import Fault, PlanFaults, offer_names
from foldwright.plan.door import parsed, read_text, shown
from foldwright.plan.lines import line_of
from foldwright.plan.parts import Shelf, read_part
from foldwright.plan.places import Draft, check_places, read_meets
from foldwright.plan.rack import read_cutters, read_finishes, read_materials, read_rack
from foldwright.plan.sizes import read_sizes
from foldwright.plan.table import Faults, Table
from foldwright.plan.whole import Plan

_VIEWS = ("front", "back", "left", "right", "above", "below")
_USUAL_VIEWS = ("front", "left", "right", "above")  # what a visitor of a standing piece sees
_LEAST_SCALE, _MOST_SCALE = 0.001, 1000.0

_TABLES = ("build", "size", "finish", "material", "rack", "cutter", "part", "meet")


def read_plan(path: Path, thicknesses: Mapping[str, float | None]) -> Plan:
    """Read a plan file.

    Parameters
    ----------
    path : Path
        As the maker typed it; faults show it so.
    thicknesses : Mapping[str, float or None]
        Built-in materials by name: thickness [mm], or None where a material
        comes in any thickness.

    Raises
    ------
    PlanFaults
        Everything that is wrong with the plan.
    """
    return parse_plan(read_text(path), str(path), thicknesses)


def parse_plan(text: str, name: str, thicknesses: Mapping[str, float | None]) -> Plan:
    """Read the text of a plan; `name` is what faults call the file."""
    text = text.removeprefix("\ufeff").replace("\r\n", "\n")
    data, lines = parsed(text, name)
    source = tuple(text.split("\n"))
    faults = Faults(name, lines, source)
    top = Table(data, "", "The plan", faults)
    top.only(_TABLES)
    build = read_build(top.table("build", "[build]"), _usual_name(name))
    sizes = read_sizes(top.table("size", "[size]"), build.scale)
    finishes = read_finishes(top.table("finish", "[finish]"))
    own, materials = read_materials(top.table("material", "[material]"), thicknesses)
    rack = read_rack(top.table("rack", "[rack]"), materials)
    cutters = read_cutters(top.table("cutter", "[cutter]"))
    named = tuple(top.table("finish", "[finish]").data)
    drafts = _read_parts(top, Shelf(sizes, rack, finishes, named))
    check_places(drafts)
    meets = read_meets(top.rows("meet", "The meet") or [], drafts)
    if faults.found:
        raise PlanFaults(sorted(faults.found, key=lambda fault: fault.line))
    return Plan(
        path=Path(name),
        name=build.name,
        units=build.units,
        scale=build.scale,
        seen_from=build.seen_from,
        sizes=MappingProxyType(dict(sizes.known)),
        finishes=MappingProxyType(finishes),
        stocks=MappingProxyType(dict(rack.stocks)),
        formers=MappingProxyType(dict(rack.formers)),
        cutters=cutters,
        materials=MappingProxyType(own),
        parts=MappingProxyType({n: d.part for n, d in drafts.items() if d.part}),
        meets=meets,
        lines=MappingProxyType(lines),
        source=source,
    )


def fault_at(plan: Plan, code: str, key: str, problem: str, remedy: str) -> Fault:
    """Fault that a later room found, on its own line of the plan.

    `key` is dotted, ``part.lamp.former`` or ``meet.2.gap``; if the plan does
    not have it, the fault stands at the table where it is missing.
    """
    line = line_of(plan.lines, key)
    text = shown(plan.source[line - 1]) if 0 < line <= len(plan.source) else ""
    return Fault(code, str(plan.path), line, text, problem, remedy)


@dataclass(frozen=True)
class Build:
    """The [build] table; fields as in `Plan`."""

    name: str
    units: str
    scale: float
    seen_from: tuple[str, ...]


def read_build(table: Table, name: str) -> Build:
    """Read the [build] table; `name` is what the build is called if it does not say."""
    table.only(("name", "units", "scale", "seen_from"))
    views = table.words("seen_from") or ()
    for i, view in enumerate(views):
        if view not in _VIEWS:
            problem = f'"{view}" is no side to see a build from.'
            table.fault("unknown-name", f"seen_from.{i}", problem, offer_names(view, _VIEWS))
    return Build(
        table.text("name", "Harbour signal lamp", name) or name,
        table.choice("units", ("mm", "in"), "mm") or "mm",
        table.number("scale", _LEAST_SCALE, _MOST_SCALE) or 1.0,
        views if table.has("seen_from") else _USUAL_VIEWS,
    )


def _usual_name(file: str) -> str:
    """Name of the folder that the plan lies in, else of the file."""
    path = Path(file)
    return path.parent.name or path.stem


def _read_parts(top: Table, shelf: Shelf) -> dict[str, Draft]:
    table = top.table("part", "[part]")
    drafts = {name: read_part(name, row, shelf) for name, row in table.tables("part")}
    if not table.data and not table.faults.noted:
        top.faults.add(
            "empty",
            "part",
            "The plan has no parts.",
            'Add a table like [part.lamp] with kind = "box", from = "board3" and its dims.',
        )
    _check_part_names(drafts)
    return drafts


def _check_part_names(drafts: Mapping[str, Draft]) -> None:
    """Note names that a file system or a renaming would mix up."""
    by_lower: dict[str, str] = {}
    earlier: dict[str, str] = {}
    for name, draft in drafts.items():
        other = by_lower.setdefault(name.lower(), name)
        if other != name:
            draft.table.fault(
                "name-twice",
                "",
                f'"{name}" and "{other}" differ only in capitals, and their files would collide.',
                "Give one of them another name.",
            )
        was = draft.table.data.get("was")
        if not isinstance(was, str) or not was or was == name:
            continue
        taken = earlier.setdefault(was, name)
        if was in drafts or taken != name:
            who = f'"{was}" is still a part' if was in drafts else f'"{taken}" was "{was}" too'
            draft.table.fault(
                "name-twice",
                "was",
                f"{who}, so its readings cannot follow to {name}.",
                "Leave was out of one of them.",
            )
