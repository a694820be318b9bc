"""Parts: from their tables to frozen records.

Room: plan. What all parts have is read here; what a kind has of its own is
read by its `KindReader`, in `folded_kinds`, `faceted`, `round_kinds` and
`flat_kinds`; see `reading` for what becomes a parameter.

`read_part` reads one table. `copies` calls it for each part of the plan, in
an order in which a rib finds its shell and a mirrored part its other hand.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from foldwright.plan.faceted import FACETED_READERS
from foldwright.plan.features import KEYS, read_features
from foldwright.plan.flat_kinds import FLAT_READERS
from foldwright.plan.folded_kinds import FOLDED_READERS
from foldwright.plan.places import Draft, read_place
from foldwright.plan.reading import KindReader, Reading, Shelf
from foldwright.plan.records import Finish, Stock
from foldwright.plan.round_kinds import ROUND_READERS
from foldwright.plan.sizes import Terms
from foldwright.plan.table import Table
from foldwright.plan.wishes import read_backing, read_grain, read_wishes

KINDS: Mapping[str, KindReader] = {
    kind: reader
    for group in (FOLDED_READERS, FACETED_READERS, ROUND_READERS, FLAT_READERS)
    for kind, reader in group.items()
}
"""Kinds of parts that are built, and how they are read."""

KINDS_TO_COME = ("transition", "elbow", "dome")
"""Kinds of parts that are planned and not built yet."""

_COMMON = ("finish", "bare", "place", "stiff", "flexible", "was", "count")
_FOLDED = (
    "leave_open",
    "fold",
    "fold_at",
    "cut_at",
    "seam",
    "seam_at",
    "backing",
    "face_from",
)
_LIMP = ("drum", "hood")  # sheet alone; a cap or a rib gives it its shape


def read_part(name: str, table: Table, shelf: Shelf, drafts: Mapping[str, Draft]) -> Draft:
    """Read one [part.NAME] table; faults go to its `Faults`.

    `drafts` are the parts that were read before. Copies and mirrored parts
    are not this function's business.
    """
    before = table.faults.noted
    kind = _kind(table)
    if not kind:
        return Draft(name, table)
    reader = KINDS[kind]
    table = Table(table.data, table.path, f"The {kind} {name}", table.faults)
    table.only(_keys(reader))
    stock = _stock(table, shelf, reader) if reader.forms else None
    terms = Terms(shelf.sizes, table.faults, stock.thickness if stock else None)
    reading = Reading(name, table, terms, shelf, stock, reader.scalars, drafts)
    reader.read(reading)
    common = _common(reading, kind, reader)
    good = table.faults.noted == before and reading.is_whole and bool(stock or not reader.forms)
    part = None
    if good:
        parameters = tuple(reading.parameters.values())
        part = reader.make(**(common | reading.fields), parameters=parameters)
    leave_open = common.get("leave_open", ())
    place = common["place"]
    features = common.get("features", ())
    return Draft(name, table, kind, reading.faces, leave_open, place, "place", features, part=part)


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


def _keys(reader: KindReader) -> tuple[str, ...]:
    """Every key that a part of a kind takes."""
    if not reader.forms:
        return ("kind", *reader.keys, "place", "stiff", "flexible", "was", "count")
    keys = ["kind", "from", *reader.keys]
    if reader.is_folded:
        keys += _FOLDED
    elif reader.is_curled:
        keys += ["backing"]
    if reader.forms == ("board",):
        keys += ["grain"]
    return (*keys, *KEYS, *_COMMON)


def _stock(table: Table, shelf: Shelf, reader: KindReader) -> Stock | None:
    """Stock that a part is made from; None if it has a fault."""
    rack = shelf.rack
    fitting = [name for name, stock in rack.stocks.items() if stock.form in reader.forms]
    wanted = " or ".join(dict.fromkeys(form.rpartition(" ")[2] for form in reader.forms))
    name = table.text("from", fitting[0] if fitting else "board3")
    if name is None or name in rack.broken:
        return None
    stock = rack.stocks.get(name)
    if stock is not None and stock.form in reader.forms:
        return stock
    if stock is not None or name in rack.formers:
        form = stock.form if stock is not None else "former"
        problem = f'"{name}" is a {form}, and this part is made from {wanted}.'
        remedy = f"Name a {wanted} of the rack."
        remedy += f" There are: {', '.join(fitting)}." if fitting else ""
        table.fault("unknown-name", "from", problem, remedy)
    else:
        remedy = f"Use one of these, or add a table [rack.{name}] with its material."
        table.faults.unknown(table.key("from"), wanted, name, fitting, remedy)
    return None


def _common(reading: Reading, kind: str, reader: KindReader) -> dict[str, Any]:
    """Fields that every kind of part has."""
    table, stock, shelf = reading.table, reading.stock, reading.shelf
    common: dict[str, Any] = {
        "name": reading.name,
        "stock": stock.name if stock else "",
        "thickness": stock.thickness if stock else 0.0,
        "place": _place(reading),
        "stiff": _is_stiff(table, kind),
        "was": read_was(table, reading.name),
    }
    if not reader.forms:
        return common
    common["finish"] = read_finish(table, shelf)
    common["bare"] = table.flag("bare", False)
    unmade = reader.unmade
    if reader.is_folded:
        common |= read_wishes(table, kind, reading.faces, stock, shelf.rack)
        unmade = common["leave_open"]
    elif reader.is_curled:
        common["backing"] = read_backing(table, shelf.rack)
    if reader.forms == ("board",):
        common["grain"] = read_grain(table)
    common["features"] = read_features(reading, unmade)
    return common


def _is_stiff(table: Table, kind: str) -> bool:
    """Whether a part keeps its shape against a hand; ``flexible`` says the opposite."""
    stiff = table.flag("stiff", kind not in _LIMP)
    if not table.has("flexible"):
        return stiff
    flexible = table.flag("flexible", not stiff)
    if table.has("stiff") and stiff == flexible:
        word = "true" if stiff else "false"
        problem = f'"stiff" and "flexible" are both {word}, and one is the opposite of the other.'
        table.fault("geometry", "flexible", problem, "Keep one of them.")
    return not flexible


def _place(reading: Reading) -> Any:
    """Placement of a part that there is only one of; None if it has none."""
    table = reading.table
    if not table.has("place") or table.has("count"):
        return None
    row = table.table("place", f"The place of {reading.name}")
    return read_place(row, reading.terms)


def read_finish(table: Table, shelf: Shelf) -> Finish | None:
    """Read ``finish``, the name of one of the plan's finishes."""
    name = table.text("finish", "grey", "")
    if not name:
        return None
    if name not in shelf.finishes_named:
        remedy = f"Use one of these, or add a table [finish.{name}] with its layers."
        table.faults.unknown(table.key("finish"), "finish", name, shelf.finishes_named, remedy)
    return shelf.finishes.get(name)


def read_was(table: Table, name: str) -> str:
    """Read ``was``, the earlier name of a part, or of one of its copies ("foot-2")."""
    was = table.text("was", "old_name", "") or ""
    base, dash, number = was.rpartition("-")
    plain = base if dash and number.isdecimal() else was
    if not was or not table.faults.name(table.key("was"), plain, "part"):
        return ""
    if was == name:
        problem = f'"{was}" is the name that it has now.'
        table.fault("name-twice", "was", problem, "Write its earlier name.")
    return was
