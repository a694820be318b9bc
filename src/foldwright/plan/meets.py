"""How parts meet: the [[meet]] tables, names of parts and faces checked.

Room: plan. Each kind of meet is read by a function of its own: those by size
in `meets_by_size`, those by bolts in `meets_by_bolt`, those for the eye in
`meets_by_eye`, any other sum in `relations`. A meet that names a part with a
`count` means each of its copies.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from foldwright.plan.meet_ends import MeetRow
from foldwright.plan.meets_by_bolt import bolts_to
from foldwright.plan.meets_by_eye import level_with, pair, plumb, reveal
from foldwright.plan.meets_by_size import (
    drops_between,
    presses_into,
    rests_on,
    slides_into,
    wraps,
)
from foldwright.plan.places import Draft
from foldwright.plan.relations import relation
from foldwright.plan.table import Table
from foldwright.plan.whole import MEETS, Meet

_READERS: Mapping[str, Callable[[MeetRow], list[Meet]]] = {
    "slides-into": slides_into,
    "rests-on": rests_on,
    "presses-into": presses_into,
    "drops-between": drops_between,
    "bolts-to": bolts_to,
    "wraps": wraps,
    "level-with": level_with,
    "reveal": reveal,
    "plumb": plumb,
    "pair": pair,
    "relation": relation,
}


def read_meets(rows: list[Table], drafts: Mapping[str, Draft]) -> tuple[Meet, ...]:
    """Read the [[meet]] tables."""
    meets: list[Meet] = []
    names: dict[str, Table] = {}
    for row in rows:
        for meet in _read_meet(row, drafts):
            if names.get(meet.name, row) is not row and row.has("name"):
                row.fault(
                    "name-twice",
                    "name",
                    f'There are two meets called "{meet.name}".',
                    "Give one of them another name.",
                )
            count, name = 1, meet.name
            while name in names:
                count += 1
                name = f"{meet.name} {count}"
            names[name] = row
            meets.append(replace(meet, name=name))
    return tuple(meets)


def _read_meet(row: Table, drafts: Mapping[str, Draft]) -> list[Meet]:
    """Meet of a row, or one for each copy of what it names; none if it has a fault."""
    kind = row.text("kind", "slides-into")
    if kind is None:
        return []
    if kind not in MEETS:
        there = f"There are {', '.join(MEETS)}."
        row.faults.unknown(row.key("kind"), "kind of meet", kind, MEETS, there)
        return []
    return _READERS[kind](MeetRow(row, kind, drafts))
