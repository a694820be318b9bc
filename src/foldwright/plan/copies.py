"""All parts of a plan: one by one, in copies, and as the other hand.

Room: plan. ``count = 4`` makes parts "foot-1" to "foot-4", equal but for
their names and places. ``mirror_of = "left_cheek"`` reads the table of that
part again for another name, place and finish, and turns its hand round. A rib
needs its shell, and a mirrored part its other hand, read before it; parts
that lean on one another in a ring are told.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from foldwright.plan.kinds import AnyPart, Rib
from foldwright.plan.parts import read_finish, read_part, read_was
from foldwright.plan.places import Draft, copies, one_part, read_place
from foldwright.plan.reading import Shelf
from foldwright.plan.records import Placement
from foldwright.plan.sizes import Terms
from foldwright.plan.table import Table

_MOST_COPIES = 200
_MOST_PARTS = 5_000
_MIRROR_KEYS = ("mirror_of", "place", "was", "finish", "from")


def read_parts(table: Table, shelf: Shelf) -> dict[str, Draft]:
    """Read the [part] table; parts in the order of the file, copies one by one."""
    rows = dict(table.tables("part"))
    leans = {name: _leans_on(row, rows) for name, row in rows.items()}
    in_rings = _note_rings(rows, leans)
    read: dict[str, dict[str, Draft]] = {}
    known: dict[str, Draft] = {}
    # those that lean on nothing first, so that a name that is not there finds its nearest
    for name in sorted(rows, key=lambda name: _is_leaning(rows[name])):
        chain = [name]
        while chain[-1] not in in_rings and chain[-1] not in read and leans[chain[-1]]:
            chain.append(leans[chain[-1]])
        for each in reversed(chain):
            if each not in read:
                read[each] = _read_one(each, rows[each], shelf, known, each in in_rings)
                known |= read[each]
    drafts = {n: draft for name in rows for n, draft in read[name].items()}
    _check_names(drafts)
    return {name: _in_its_hand(draft, drafts) for name, draft in drafts.items()}


def _in_its_hand(draft: Draft, drafts: Mapping[str, Draft]) -> Draft:
    """A rib of the other hand stands in the other hand of its shell, if the plan has one.

    Its `of` is that part, turned back to the hand that the rib is drawn in.
    """
    rib = draft.part
    if not isinstance(rib, Rib) or not rib.mirrored:
        return draft
    parts = [other.part for other in drafts.values() if other.part is not None]
    hands = [p for p in parts if p.mirror_of == rib.of.name or p.name == rib.of.mirror_of]
    if len(hands) != 1:
        return draft
    return replace(draft, part=replace(rib, of=replace(hands[0], mirrored=rib.of.mirrored)))


def _is_leaning(row: Table) -> bool:
    return row.has("mirror_of") or row.data.get("kind") == "rib"


def _leans_on(row: Table, rows: Mapping[str, Table]) -> str:
    """Name in the plan of the part that has to be read before this one; empty if none."""
    key = "mirror_of" if row.has("mirror_of") else "of"
    other = row.data.get(key)
    if not isinstance(other, str) or not _is_leaning(row):
        return ""
    base = other.rpartition("-")[0]
    return other if other in rows else base if base in rows else ""


def _note_rings(rows: Mapping[str, Table], leans: Mapping[str, str]) -> set[str]:
    """Parts in a ring of ``mirror_of`` (and ribs); each ring is told once."""
    done: set[str] = set()
    in_rings: set[str] = set()
    for start in rows:
        trail: dict[str, None] = {}
        name = start
        while name and name not in done and name not in trail:
            trail[name] = None
            name = leans[name]
        if name in trail:
            ring = list(trail)
            ring = ring[ring.index(name) :]
            in_rings.update(ring)
            rows[name].fault(
                "loop",
                "mirror_of" if rows[name].has("mirror_of") else "of",
                f"These parts are made after one another in a ring: {' -> '.join([*ring, name])}.",
                "Give one of them its own kind and dims.",
            )
        done.update(trail)
    return in_rings


def _read_one(
    name: str, row: Table, shelf: Shelf, known: Mapping[str, Draft], in_ring: bool
) -> dict[str, Draft]:
    """Draft of one table, or of each of its copies, by name."""
    before = row.faults.noted
    row.faults.name(row.path, name, "part")
    if in_ring:
        return {name: Draft(name, row)}
    if row.has("mirror_of"):
        return {name: _mirrored(name, row, shelf, known)}
    draft = read_part(name, row, shelf, known)
    if row.faults.noted > before:
        draft = replace(draft, part=None)
    if not row.has("count"):
        return {name: draft}
    if len(known) > _MOST_PARTS:
        problem = f"The plan has over {_MOST_PARTS:,} parts with its copies, far more than any."
        row.fault("too-large", "count", problem, "Check the counts, or split the build.")
        return {name: replace(draft, is_uncounted=True, part=None)}
    return _copied(name, draft, shelf)


def _mirrored(name: str, row: Table, shelf: Shelf, known: Mapping[str, Draft]) -> Draft:
    """Other hand of a part that was read before."""
    before = row.faults.noted
    row = Table(row.data, row.path, f"The mirrored part {name}", row.faults)
    row.only(_MIRROR_KEYS)
    other = row.text("mirror_of", next(iter(known), "left_cheek"))
    original = one_part(row, "mirror_of", other, known) if other is not None else None
    if original is None or not original.kind:
        return Draft(name, row)
    place = None
    if row.has("place"):
        terms = Terms(shelf.sizes, row.faults, original.part.thickness if original.part else None)
        place = read_place(row.table("place", f"The place of {name}"), terms)
    was, finish = read_was(row, name), read_finish(row, shelf)
    draft = Draft(
        name,
        row,
        original.kind,
        original.faces,
        original.leave_open,
        place,
        written=original.written or original.table,
    )
    part = _other_hand(draft, original, shelf, known)
    if part is None or row.faults.noted > before:
        return draft
    finish = finish if row.has("finish") else part.finish
    return replace(draft, part=replace(part, place=place, was=was, finish=finish))


def _other_hand(
    draft: Draft, original: Draft, shelf: Shelf, known: Mapping[str, Draft]
) -> AnyPart | None:
    """Part as the original, of the other hand; None if either has a fault."""
    part, row = original.part, draft.table
    if part is None or draft.written is None:
        return None
    finish, hand = part.finish, part.mirrored
    if row.has("from"):
        # another board changes what formulas with its thickness come to, so read all anew
        said = draft.written.data.items()
        data = {key: v for key, v in said if key not in ("place", "was", "count")}
        data["from"] = row.data["from"]
        part = read_part(draft.name, Table(data, row.path, row.what, row.faults), shelf, known).part
        if part is None:
            return None
    return replace(
        part,
        name=draft.name,
        family="",
        finish=finish,
        mirrored=not hand,
        mirror_of=original.name,
    )


def _copied(name: str, draft: Draft, shelf: Shelf) -> dict[str, Draft]:
    """Copies of a part, each with its own name and place."""
    table = draft.table
    count = table.number("count", 1, _MOST_COPIES)
    if count is not None and count != int(count):
        table.fault("out-of-range", "count", "A count is a whole number.", "Write count = 4.")
        count = None
    if count is None:
        return {name: replace(draft, is_uncounted=True, part=None)}
    before = table.faults.noted
    places = _places(name, draft, shelf, int(count))
    good = draft.part if table.faults.noted == before else None
    found = {}
    for i, (key, place) in enumerate(places, start=1):
        copy = f"{name}-{i}"
        part = good
        if part is not None:
            was = f"{part.was}-{i}" if part.was else ""
            part = replace(part, name=copy, family=name, place=place, was=was)
        found[copy] = replace(draft, name=copy, family=name, place=place, place_key=key, part=part)
    return found


def _places(
    name: str, draft: Draft, shelf: Shelf, count: int
) -> list[tuple[str, Placement | None]]:
    """Key and placement of each copy."""
    table = draft.table
    value = table.data.get("place")
    terms = Terms(shelf.sizes, table.faults, draft.part.thickness if draft.part else None)
    nowhere: list[tuple[str, Placement | None]] = [("place", None)] * count
    if value is None:
        return nowhere
    if isinstance(value, dict):
        return [("place", place) for place in _in_a_row(name, table, terms, count)]
    rows = table.rows("place", f"The place of {name}")
    if rows is None:
        return nowhere
    if len(rows) != count:
        problem = f"There are {len(rows)} places for {count} parts."
        table.fault("geometry", "place", problem, "Write one for each, or change the count.")
        return nowhere
    return [(f"place.{i}", read_place(row, terms)) for i, row in enumerate(rows)]


def _in_a_row(name: str, table: Table, terms: Terms, count: int) -> list[Placement]:
    """Places of copies that have one table: each a ``step`` further on than the last."""
    row = table.table("place", f"The place of {name}")
    value = row.data.get("step", [0.0, 0.0])
    data = {key: v for key, v in row.data.items() if key != "step"}
    place = read_place(Table(data, row.path, row.what, row.faults), terms)
    if not isinstance(value, list) or len(value) != 2:
        row.wrong_kind("step", value, "a list of 2 lengths", "Write step = [120, 0].")
        value = []
    read = [terms.read(v, row.key(f"step.{i}"), "step") for i, v in enumerate(value)]
    x, y = (term.value if term else 0.0 for term in (read or (None, None)))
    at = place.at
    return [replace(place, at=(at[0] + i * x, at[1] + i * y)) for i in range(count)]


def _check_names(drafts: Mapping[str, Draft]) -> None:
    """Note names that a file system or a renaming would mix up."""
    by_lower: dict[str, str] = {}
    earlier: dict[str, str] = {}
    for draft in drafts.values():
        name = draft.family or draft.name
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
        if copies(drafts, was) or taken != name:
            still = bool(copies(drafts, was))
            who = f'"{was}" is still a part' if still else f'"{taken}" was "{was}" too'
            draft.table.fault(
                "name-twice",
                "was",
                f"{who}, so its readings cannot follow to {name}.",
                "Leave was out of one of them.",
            )
