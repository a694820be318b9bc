"""Where parts stand, and how they meet: names of parts and faces, checked.

Room: plan. A part of the plan is first read as a `Draft`, which knows its
faces even when something else about it is wrong. Once all drafts are there,
placements and meets can be held against them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from foldwright.plan.kinds import AnyPart
from foldwright.plan.records import Placement
from foldwright.plan.table import Table
from foldwright.plan.whole import Meet

MEETS = ("slides-into", "rests-on")
"""Kinds of meets that are built."""

MEETS_TO_COME = (
    "presses-into",
    "drops-between",
    "bolts-to",
    "wraps",
    "level-with",
    "reveal",
    "plumb",
    "pair",
    "relation",
)
"""Kinds of meets of the design that are not built yet."""

FOLDED_KINDS = ("box", "profile")


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
    part : Box, Profile, Drum, Plate or None
        None if something is wrong with it.
    """

    name: str
    table: Table
    kind: str = ""
    faces: tuple[str, ...] = ()
    leave_open: tuple[str, ...] = ()
    place: Placement | None = None
    part: AnyPart | None = None


def check_places(drafts: Mapping[str, Draft]) -> None:
    """Note placements on parts or faces that are not there, and loops of them."""
    for draft in drafts.values():
        if draft.place is None or not draft.place.on:
            continue
        _on_a_face(draft, draft.place, drafts)
    for loop in _loops(drafts):
        table = drafts[loop[0]].table
        table.fault(
            "loop",
            "place.on",
            f"These parts stand on one another in a circle: {' -> '.join([*loop, loop[0]])}.",
            "Let one of them stand in the build frame: place = { at = [0, 0] }.",
        )


def _on_a_face(draft: Draft, place: Placement, drafts: Mapping[str, Draft]) -> None:
    key = draft.table.key("place.on")
    below = drafts.get(place.on)
    if below is None:
        remedy = 'Write on = "part.face", or leave "on" out to use the build frame.'
        draft.table.faults.unknown(key, "part", place.on, drafts, remedy)
    elif not place.face and below.faces:
        draft.table.fault(
            "missing",
            "place.on",
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


def read_meets(rows: list[Table], drafts: Mapping[str, Draft]) -> tuple[Meet, ...]:
    """Read the [[meet]] tables."""
    meets: list[Meet] = []
    names: dict[str, Table] = {}
    for row in rows:
        meet = _read_meet(row, drafts)
        if meet is None:
            continue
        if meet.name in names and row.has("name"):
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


def _read_meet(row: Table, drafts: Mapping[str, Draft]) -> Meet | None:
    kind = row.text("kind", "slides-into")
    if kind is None:
        return None
    if kind in MEETS_TO_COME:
        problem = f'Meets of kind "{kind}" are not built yet.'
        row.fault("not-built", "kind", problem, f"There are {' and '.join(MEETS)}.")
        return None
    if kind not in MEETS:
        row.faults.unknown(
            row.key("kind"), "kind of meet", kind, MEETS, f"There are {' and '.join(MEETS)}."
        )
        return None
    return _slides_into(row, drafts) if kind == "slides-into" else _rests_on(row, drafts)


def _slides_into(row: Table, drafts: Mapping[str, Draft]) -> Meet | None:
    row.only(("kind", "name", "inner", "outer", "gap"))
    inner, outer = _end(row, "inner", drafts), _end(row, "outer", drafts)
    gap = _range(row, "gap", "[0.2, 0.8]")
    if gap and gap[0] < 0.0:
        row.fault(
            "out-of-range",
            "gap",
            f"A gap of {gap[0]:g} mm leaves no room: the part would bind.",
            "Write how much air is wanted on each side, from 0 up.",
        )
    if inner and outer:
        # what goes in first, and what it goes into, follow from nothing else in a folded part
        inner_face = inner[1] or _the_open_one(row, "inner", drafts[inner[0]], need_open=False)
        outer_face = outer[1] or _the_open_one(row, "outer", drafts[outer[0]], need_open=True)
        _has_mouth(row, drafts[outer[0]], outer_face)
        inner, outer = (inner[0], inner_face), (outer[0], outer_face)
    return _meet(row, "slides-into", "into", inner, outer, gap)


def _rests_on(row: Table, drafts: Mapping[str, Draft]) -> Meet | None:
    row.only(("kind", "name", "upper", "lower", "margin", "overhang"))
    upper, lower = _end(row, "upper", drafts), _end(row, "lower", drafts)
    gap = None
    if row.has("margin") == row.has("overhang"):
        row.fault(
            "missing",
            "",
            f"{row.what} needs either its margin or its overhang.",
            "Write margin = [15, 25] if the lower part stands out past the upper, or "
            "overhang = [3, 12] if the upper one does.",
        )
    elif row.has("margin"):
        gap = _range(row, "margin", "[15, 25]")
    else:
        gap = _range(row, "overhang", "[3, 12]")
        gap = (-gap[1], -gap[0]) if gap else None
    if upper and lower:
        upper = (upper[0], upper[1] or _usual_face(row, "upper", drafts[upper[0]], "bottom"))
        lower = (lower[0], lower[1] or _usual_face(row, "lower", drafts[lower[0]], "top"))
    return _meet(row, "rests-on", "on", upper, lower, gap)


def _meet(
    row: Table,
    kind: str,
    word: str,
    inner: tuple[str, str] | None,
    outer: tuple[str, str] | None,
    gap: tuple[float, float] | None,
) -> Meet | None:
    if inner and outer and inner[0] == outer[0]:
        problem = f'"{inner[0]}" cannot meet itself.'
        row.fault("name-twice", "", problem, "Name the two parts that come together.")
        return None
    usual = f"{inner[0]} {word} {outer[0]}" if inner and outer else ""
    name = row.text("name", "cap into lamp", usual)
    if not inner or not outer or not gap or name is None:
        return None
    if not name.strip() or not name.isprintable():
        problem = "A meet needs a name of one line."
        row.fault("bad-name", "name", problem, 'Write it like name = "cap into lamp".')
        return None
    return Meet(name, kind, inner[0], outer[0], gap, inner[1], outer[1])


def _end(row: Table, key: str, drafts: Mapping[str, Draft]) -> tuple[str, str] | None:
    """One end of a meet, ``part`` or ``part.face``; the face may be empty."""
    text = row.text(key, "part.face")
    if text is None:
        return None
    name, _, face = text.partition(".")
    draft = drafts.get(name)
    if draft is None:
        row.faults.unknown(row.key(key), "part", name, drafts, 'Write "part" or "part.face".')
        return None
    if face and draft.faces and face not in draft.faces:
        remedy = f"{name} is a {draft.kind}; its faces are {', '.join(draft.faces)}."
        row.faults.unknown(row.key(key), f"face of {name}", face, draft.faces, remedy)
        return None
    return name, face


def _range(row: Table, key: str, example: str) -> tuple[float, float] | None:
    ends = row.lengths(key, 2, example)
    if ends is None:
        return None
    low, high = ends
    if low < high:
        return low, high
    row.fault(
        "out-of-range",
        key,
        f"The range from {low:g} to {high:g} mm leaves no room for the hand.",
        f"Write [lowest, highest], like {example}.",
    )
    return None


def _the_open_one(row: Table, key: str, draft: Draft, *, need_open: bool) -> str:
    """Face of a folded part that slides, when the meet does not name it."""
    if draft.kind not in FOLDED_KINDS or not draft.faces:
        return ""
    if need_open and len(draft.leave_open) == 1:
        return draft.leave_open[0]
    offered = draft.leave_open if need_open and draft.leave_open else draft.faces
    what = "the open face it slides over with" if need_open else "the face that goes in first"
    row.fault(
        "missing",
        key,
        f'"{draft.name}" is a {draft.kind}, so {what} has to be named.',
        f'Write {key} = "{draft.name}.FACE" with one of {", ".join(offered)}.',
    )
    return ""


def _has_mouth(row: Table, outer: Draft, face: str) -> None:
    if outer.kind not in FOLDED_KINDS or not face or face in outer.leave_open:
        return
    row.fault(
        "geometry",
        "outer",
        f'The face "{face}" of {outer.name} is closed; nothing can slide in.',
        f'Add "{face}" to leave_open of {outer.name}, or name a face that is open.',
    )


def _usual_face(row: Table, key: str, draft: Draft, face: str) -> str:
    """Bottom of what rests, top of what it rests on, where the part has such a face."""
    if not draft.faces or face in draft.faces:
        return face
    row.fault(
        "missing",
        key,
        f'"{draft.name}" has no "{face}", so the face has to be named.',
        f'Write {key} = "{draft.name}.FACE" with one of {", ".join(draft.faces)}.',
    )
    return face
