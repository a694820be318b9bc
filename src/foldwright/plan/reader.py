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

from foldwright.errors import Fault, PlanFaults, QuantityError, offer_names
from foldwright.plan.copies import read_parts
from foldwright.plan.door import parsed, read_text, shown, too_deep
from foldwright.plan.lines import line_of
from foldwright.plan.meets import read_meets
from foldwright.plan.places import Draft, check_openings, check_places
from foldwright.plan.rack import read_cutters, read_finishes, read_materials, read_rack
from foldwright.plan.reading import Shelf
from foldwright.plan.sizes import read_sizes
from foldwright.plan.table import Faults, Table
from foldwright.plan.units import parse_length
from foldwright.plan.whole import Plan

_VIEWS = ("front", "back", "left", "right", "above", "below")
_USUAL_VIEWS = ("front", "left", "right", "above")  # what a visitor of a standing piece sees
_LEAST_SCALE, _MOST_SCALE = 0.001, 1000.0
_PAPERS = ("a4", "letter", "a3")  # ISO 216 and ANSI/ASME Y14.1 by their usual names
_NARROWEST_ROLL, _WIDEST_ROLL = 200.0, 2000.0  # mm

_WRITTEN_AS = {
    "rounds": "outline",
    "rises": "outline",
    "stock": "from",
    "thickness": "from",
    "across": "from",
    "turn": "fold_deg",
}
"""Fields of the records of parts that stand under another key of the plan."""

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
    try:
        return _plan_of(data, lines, text, name, thicknesses)
    except RecursionError as error:  # finding the line of a fault goes a little deeper
        raise too_deep(name) from error


def _plan_of(
    data: Mapping[str, object],
    lines: Mapping[str, int],
    text: str,
    name: str,
    thicknesses: Mapping[str, float | None],
) -> Plan:
    """Read the tables of a plan."""
    source = tuple(text.split("\n"))
    faults = Faults(name, lines, source)
    top = Table(data, "", "The plan", faults)
    top.only(_TABLES)
    build = read_build(top.table("build", "[build]"), _usual_name(name))
    sizes = read_sizes(top.table("size", "[size]"), build.scale)
    finishes = read_finishes(top.table("finish", "[finish]"))
    own, materials = read_materials(top.table("material", "[material]"), thicknesses)
    rack = read_rack(top.table("rack", "[rack]"), materials, own)
    cutters = read_cutters(top.table("cutter", "[cutter]"))
    named = tuple(top.table("finish", "[finish]").data)
    folder = str(Path(name).parent) if "\0" not in name else "."
    drafts = _read_parts(top, Shelf(sizes, rack, finishes, named, folder))
    check_places(drafts)
    check_openings(drafts)
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
        lines=lines,
        source=source,
        paper=build.paper,
    )


def fault_at(plan: Plan, code: str, key: str, problem: str, remedy: str) -> Fault:
    """Fault that a later room found, on its own line of the plan.

    `key` is dotted, ``part.lamp.former`` or ``meet.2.gap``; if the plan does
    not have it, the fault stands at the table where it is missing. The fault of
    a copy ("part.foot-2.length") stands at the part that it is a copy of, and
    that of a mirrored part where its other hand says it.
    """
    key = _where_written(plan, key)
    line = line_of(plan.lines, key)
    text = shown(plan.source[line - 1]) if 0 < line <= len(plan.source) else ""
    return Fault(code, str(plan.path), line, text, problem, remedy)


def _where_written(plan: Plan, key: str) -> str:
    head, _, rest = key.partition(".")
    name, dot, field = rest.partition(".")
    field = _WRITTEN_AS.get(field, field)
    while head == "part" and name in plan.parts:
        part = plan.parts[name]
        said = f"part.{part.family or name}{dot}{field}"
        if said in plan.lines or not part.mirror_of:
            return said
        name = part.mirror_of
    return key


@dataclass(frozen=True)
class Build:
    """The [build] table; fields as in `Plan`."""

    name: str
    units: str
    scale: float
    seen_from: tuple[str, ...]
    paper: str


def read_build(table: Table, name: str) -> Build:
    """Read the [build] table; `name` is what the build is called if it does not say."""
    table.only(("name", "units", "scale", "seen_from", "paper"))
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
        _paper(table),
    )


def _paper(table: Table) -> str:
    """Paper that drawings are printed on, ``a4`` or the like, or ``roll 610`` [mm]."""
    paper = table.text("paper", "a4", _PAPERS[0])
    if paper is None or paper in _PAPERS:
        return paper or _PAPERS[0]
    word, _, width = paper.partition(" ")
    if word == "roll":
        try:
            wide = parse_length(width)
        except QuantityError as error:
            table.fault("bad-quantity", "paper", error.problem, 'Write paper = "roll 610".')
            return _PAPERS[0]
        if _NARROWEST_ROLL <= wide <= _WIDEST_ROLL:
            return f"roll {wide:g}"
        problem = f"A roll {wide:g} mm wide is not printed on."
        remedy = f"Rolls from {_NARROWEST_ROLL:g} to {_WIDEST_ROLL:g} mm can be used."
        table.fault("out-of-range", "paper", problem, remedy)
    else:
        problem = f'"{shown(paper)}" is no paper here.'
        remedy = f'There are {", ".join(_PAPERS)}, and a roll by its width: "roll 610".'
        table.fault("unknown-name", "paper", problem, remedy)
    return _PAPERS[0]


def _usual_name(file: str) -> str:
    """Name of the folder that the plan lies in, else of the file."""
    path = Path(file)
    return path.parent.name or path.stem


def _read_parts(top: Table, shelf: Shelf) -> dict[str, Draft]:
    table = top.table("part", "[part]")
    drafts = read_parts(table, shelf)
    if not table.data and not table.faults.noted:
        top.faults.add(
            "empty",
            "part",
            "The plan has no parts.",
            'Add a table like [part.lamp] with kind = "box", from = "board3" and its dims.',
        )
    return drafts
