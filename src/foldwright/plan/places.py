"""Where parts stand: placements and what passes through, names of parts and faces checked.

Room: plan. A part of the plan is first read as a `Draft`, which knows its
faces even when something else about it is wrong. Once all drafts are there,
placements, openings and meets can be held against them. A part with a
`count` has a draft for each copy, "foot-1", "foot-2"; `copies` finds them by
the name in the plan.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from foldwright.plan.kinds import AnyPart
from foldwright.plan.records import Feature, Placement
from foldwright.plan.sizes import Terms
from foldwright.plan.table import Table

FOLDED_KINDS = ("box", "profile", "taper", "faceted")
"""Kinds whose faces can be left open."""


@dataclass(frozen=True)
class Draft:
    """A part as far as it could be read.

    Attributes
    ----------
    table : Table
        What the plan says of it.
    kind : str
        Empty if unknown.
    faces, leave_open : tuple of str
        All its faces, and those not made; empty if a fault hides them.
    place : Placement or None
    place_key : str
        Where its placement stands in its table.
    features : tuple of Feature
    family : str
        Name in the plan of a part with a count.
    is_uncounted : bool
        It has a count, which has a fault, so that its copies are not known.
    part : AnyPart or None
        None if something is wrong with it.
    written : Table or None
        Where its kind and dims are written, if that is not `table`: in the
        table of its other hand.
    """

    name: str
    table: Table
    kind: str = ""
    faces: tuple[str, ...] = ()
    leave_open: tuple[str, ...] = ()
    place: Placement | None = None
    place_key: str = "place"
    features: tuple[Feature, ...] = ()
    family: str = ""
    is_uncounted: bool = False
    part: AnyPart | None = None
    written: Table | None = None


def copies(drafts: Mapping[str, Draft], name: str) -> list[Draft]:
    """Part of that name, or the copies of it; empty if there is none."""
    if name in drafts:
        return [drafts[name]]
    return [draft for draft in drafts.values() if draft.family == name]


def is_told(drafts: Mapping[str, Draft], name: str) -> bool:
    """Whether a copy is not there only because the count of its part has a fault."""
    base = drafts.get(name.rpartition("-")[0])
    return base is not None and base.is_uncounted


def one_part(table: Table, key: str, name: str, drafts: Mapping[str, Draft]) -> Draft | None:
    """Part of that name; notes a name that is not there, or that means several."""
    found = copies(drafts, name)
    if len(found) == 1 and found[0].name == name:
        return found[0]
    if found:
        problem = f'"{name}" is {len(found)} parts, and one of them is wanted.'
        table.fault(
            "unknown-name",
            key,
            problem,
            f'Write {key.rpartition(".")[2]} = "{found[0].name}", or another of them.',
        )
    elif not is_told(drafts, name):
        remedy = "Name a part of the plan."
        table.faults.unknown(table.key(key), "part", name, drafts, remedy)
    return None


def read_place(row: Table, terms: Terms) -> Placement:
    """Read ``{ on, at, lift, rotate_deg }``."""
    row.only(("on", "at", "lift", "rotate_deg"))
    on, _, face = (row.text("on", "base.top", "") or "").partition(".")
    at = row.data.get("at", [0.0, 0.0])
    if not isinstance(at, list) or len(at) != 2:
        remedy = "Write at = [20, 20]; height above the face or the floor goes into lift."
        row.wrong_kind("at", at, "a list of 2 lengths", remedy)
        at = []
    read = [terms.read(v, row.key(f"at.{i}"), "at") for i, v in enumerate(at)]
    lift = terms.read(row.data["lift"], row.key("lift"), "lift") if row.has("lift") else None
    rotate = row.degrees("rotate_deg", -360.0, 360.0)
    x, y = (term.value if term else 0.0 for term in (read or (None, None)))
    return Placement(on, face, (x, y), lift.value if lift else 0.0, rotate or 0.0)


def check_places(drafts: Mapping[str, Draft]) -> None:
    """Note placements on parts or faces that are not there, and loops of them."""
    for draft in drafts.values():
        if draft.place is None or not draft.place.on:
            continue
        _on_a_face(draft, draft.place, drafts)
    for loop in _loops(drafts):
        first = drafts[loop[0]]
        first.table.fault(
            "loop",
            f"{first.place_key}.on",
            f"These parts stand on one another in a circle: {' -> '.join([*loop, loop[0]])}.",
            "Let one of them stand in the build frame: place = { at = [0, 0] }.",
        )


def check_openings(drafts: Mapping[str, Draft]) -> None:
    """Note openings for parts that are not there, or that stand nowhere."""
    for draft in drafts.values():
        for i, feature in enumerate(f for f in draft.features if f.through):
            key = f"openings.{i}.through"
            if feature.through in (draft.name, draft.family):
                problem = f'"{feature.through}" cannot pass through itself.'
                draft.table.fault("loop", key, problem, "Name the part that passes.")
                continue
            passing = one_part(draft.table, key, feature.through, drafts)
            if passing and passing.kind and passing.place is None:
                problem = f'"{passing.name}" has no place, so it passes nowhere.'
                remedy = f"Give {passing.name} a place, on this part or in the build frame."
                draft.table.fault("missing", key, problem, remedy)


def _on_a_face(draft: Draft, place: Placement, drafts: Mapping[str, Draft]) -> None:
    where = f"{draft.place_key}.on"
    key = draft.table.key(where)
    below = drafts.get(place.on)
    if below is None and len(copies(drafts, place.on)) > 1:
        one_part(draft.table, where, place.on, drafts)
    elif below is None:
        remedy = 'Write on = "part.face", or leave "on" out to use the build frame.'
        if not is_told(drafts, place.on):
            draft.table.faults.unknown(key, "part", place.on, drafts, remedy)
    elif not place.face and below.faces:
        draft.table.fault(
            "missing",
            where,
            f'"{place.on}" is a part; the face of it is missing.',
            f'Write on = "{place.on}.FACE" with one of {", ".join(below.faces)}.',
        )
    elif below.faces and place.face not in below.faces:
        remedy = f"{place.on} is a {below.kind}; its faces are {', '.join(below.faces)}."
        draft.table.faults.unknown(key, f"face of {place.on}", place.face, below.faces, remedy)


def _loops(drafts: Mapping[str, Draft]) -> list[list[str]]:
    """Rings of parts that stand on one another, each once, from its first in the file."""
    done: set[str] = set()
    loops = []
    for start in drafts:
        trail: dict[str, None] = {}
        name = start
        while name in drafts and name not in done and name not in trail:
            trail[name] = None
            place = drafts[name].place
            name = place.on if place else ""
        if name in trail:
            ring = list(trail)
            loops.append(ring[ring.index(name) :])
        done.update(trail)
    return loops
