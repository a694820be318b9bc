"""How parts meet: the [[meet]] tables, names of parts and faces checked.

Room: plan. A meet that names a part with a `count` means each of its copies;
where both ends have copies, the first meets the first, and so on.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from foldwright.plan.places import FOLDED_KINDS, Draft, copies, is_told
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
"""Kinds of meets that are planned and not built yet."""


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
    if kind in MEETS_TO_COME:
        problem = f'Meets of kind "{kind}" are not built yet.'
        row.fault("not-built", "kind", problem, f"There are {' and '.join(MEETS)}.")
        return []
    if kind not in MEETS:
        row.faults.unknown(
            row.key("kind"), "kind of meet", kind, MEETS, f"There are {' and '.join(MEETS)}."
        )
        return []
    return _slides_into(row, drafts) if kind == "slides-into" else _rests_on(row, drafts)


def _slides_into(row: Table, drafts: Mapping[str, Draft]) -> list[Meet]:
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
        inner_face = inner.face or _the_open_one(row, "inner", inner.first, need_open=False)
        outer_face = outer.face or _the_open_one(row, "outer", outer.first, need_open=True)
        _has_mouth(row, outer.first, outer_face)
        inner, outer = replace(inner, face=inner_face), replace(outer, face=outer_face)
    return _meets(row, "slides-into", "into", inner, outer, gap)


def _rests_on(row: Table, drafts: Mapping[str, Draft]) -> list[Meet]:
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
        upper_face = upper.face or _usual_face(row, "upper", upper.first, "bottom")
        lower_face = lower.face or _usual_face(row, "lower", lower.first, "top")
        upper, lower = replace(upper, face=upper_face), replace(lower, face=lower_face)
    return _meets(row, "rests-on", "on", upper, lower, gap)


@dataclass(frozen=True)
class _End:
    """One end of a meet: the part or its copies, and the face."""

    name: str
    drafts: tuple[Draft, ...]
    face: str

    @property
    def first(self) -> Draft:
        return self.drafts[0]


def _meets(
    row: Table,
    kind: str,
    word: str,
    inner: _End | None,
    outer: _End | None,
    gap: tuple[float, float] | None,
) -> list[Meet]:
    if inner and outer and inner.name == outer.name:
        problem = f'"{inner.name}" cannot meet itself.'
        row.fault("name-twice", "", problem, "Name the two parts that come together.")
        return []
    said = row.text("name", "cap into lamp", "")
    if not inner or not outer or not gap or said is None:
        return []
    if row.has("name") and (not said.strip() or not said.isprintable()):
        problem = "A meet needs a name of one line."
        row.fault("bad-name", "name", problem, 'Write it like name = "cap into lamp".')
        return []
    return [
        Meet(said or f"{a.name} {word} {b.name}", kind, a.name, b.name, gap, inner.face, outer.face)
        for a, b in _paired(row, inner, outer)
    ]


def _paired(row: Table, inner: _End, outer: _End) -> list[tuple[Draft, Draft]]:
    """Each copy with the one part at the other end, or with the copy of its own number."""
    a, b = inner.drafts, outer.drafts
    if len(a) > 1 and len(b) > 1 and len(a) != len(b):
        row.fault(
            "geometry",
            "",
            f'There are {len(a)} of "{inner.name}" and {len(b)} of "{outer.name}", so they do not '
            "pair off.",
            f'Give them the same count, or name single ones like "{a[0].name}".',
        )
        return []
    count = max(len(a), len(b))
    a, b = (ends * count if len(ends) == 1 else ends for ends in (a, b))
    return list(zip(a, b, strict=True))


def _end(row: Table, key: str, drafts: Mapping[str, Draft]) -> _End | None:
    """One end of a meet, ``part`` or ``part.face``; the face may be empty."""
    text = row.text(key, "part.face")
    if text is None:
        return None
    name, _, face = text.partition(".")
    found = tuple(copies(drafts, name))
    if not found:
        if not is_told(drafts, name):
            named = dict.fromkeys(d.family or d.name for d in drafts.values())
            row.faults.unknown(row.key(key), "part", name, named, 'Write "part" or "part.face".')
        return None
    first = found[0]
    if face and first.faces and face not in first.faces:
        remedy = f"{name} is a {first.kind}; its faces are {', '.join(first.faces)}."
        row.faults.unknown(row.key(key), f"face of {name}", face, first.faces, remedy)
        return None
    return _End(name, found, face)


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
