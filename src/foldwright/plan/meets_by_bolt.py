"""Meets where the holes of two parts have to line up for their bolts.

Room: plan. Which holes of a face meet can be said by their names; a plug has
one hole along its axis, which takes a thread.
"""

from __future__ import annotations

from dataclasses import replace

from foldwright.plan.meet_ends import Ends, MeetRow
from foldwright.plan.places import Draft
from foldwright.plan.records import Feature
from foldwright.plan.whole import Meet

_LEAST_BOLT, _MOST_BOLT = 1.0, 30.0  # mm
_HOLES = ("hole", "bolts")  # kinds of features that bolts go through


def bolts_to(meet: MeetRow) -> list[Meet]:
    """``inner`` is bolted to ``outer`` through their holes with bolts of ``bolt_d``."""
    meet.only("inner", "outer", "inner_holes", "outer_holes", "bolt_d", "tapped", "shifts")
    row = meet.row
    inner, outer = meet.end("inner"), meet.end("outer")
    tapped = row.choice("tapped", ("inner", "outer")) if row.has("tapped") else ""
    bolt_d = row.length("bolt_d", _LEAST_BOLT, _MOST_BOLT)
    shifts = row.flag("shifts", True)
    if tapped is None or not inner or not outer or not meet.differ([inner, outer]):
        return []
    sides = {"inner": inner, "outer": outer}
    chosen = {key: _holes(meet, key, end) for key, end in sides.items()}
    if any(found is None for found in chosen.values()):
        return []
    holes = {key: found or [] for key, found in chosen.items()}
    if not _is_told_bolt(meet, bolt_d, holes):
        return []
    for key, end in sides.items():
        if end.kind == "plug" and not tapped:
            tapped = key
    found = meet.meets(
        "bolted to",
        [_with_face(end, holes[key]) for key, end in sides.items()],
        {},
        bolt_d=bolt_d or 0.0,
        shifts=shifts,
    )
    return [_filled_in(one, tapped, holes) for one in found]


def _filled_in(meet: Meet, tapped: str, holes: dict[str, list[Feature]]) -> Meet:
    """Put the holes into the ends, and the tapped part by its own name."""
    ends = tuple(
        replace(end, holes=tuple(hole.name for hole in holes[key]))
        for key, end in zip(("inner", "outer"), meet.ends, strict=True)
    )
    part = {"inner": meet.inner, "outer": meet.outer}.get(tapped, "")
    return replace(meet, ends=ends, tapped=part)


def _with_face(end: Ends, holes: list[Feature]) -> Ends:
    """Name the face that the holes lie in; that of a plug is its bottom."""
    return replace(end, face=end.face or (holes[0].face if holes else "bottom"))


def _holes(meet: MeetRow, key: str, end: Ends) -> list[Feature] | None:
    """Holes of one end, none for a plug, which has its own; None if there is a fault."""
    row, named = meet.row, meet.row.words(f"{key}_holes")
    if named is None or not end.kind:
        return None
    if end.kind == "plug":
        if end.first.part is not None and getattr(end.first.part, "bolt_d", None) is None:
            problem = f"{end.name} has no hole for a bolt."
            row.fault("geometry", key, problem, f"Give {end.name} a bolt_d.")
            return None
        return []
    there = _features(end.first)
    if end.first.part is None and not set(named) <= set(there):
        return None  # the part has a fault, which may be the hole's: that is told already
    for i, name in enumerate(named):
        if name not in there:
            path = row.key(f"{key}_holes.{i}")
            row.faults.unknown(
                path, f"hole of {end.name}", name, there, "Name a hole or bolt pattern."
            )
    if any(name not in there for name in named):
        return None
    found = [f for name, f in there.items() if (name in named or not named)]
    found = [f for f in found if end.face in ("", f.face)]
    faces = dict.fromkeys(f.face for f in found)
    if len(faces) == 1:
        return found
    if not faces and end.first.part is None:
        return None
    problem = f"{end.name} has no holes" + (f' in "{end.face}"' if end.face else "") + " to meet."
    remedy = f"Give it holes or bolts, or name others with {key}_holes."
    if faces:
        problem = f"The holes of {end.name} lie in more than one face: {', '.join(faces)}."
        remedy = f'Write {key} = "{end.name}.FACE" with one of them.'
    row.fault("geometry", key, problem, remedy)
    return None


def _features(draft: Draft) -> dict[str, Feature]:
    return {f.name: f for f in draft.features if f.kind in _HOLES}


def _is_told_bolt(meet: MeetRow, bolt_d: float | None, holes: dict[str, list[Feature]]) -> bool:
    """Whether the bolt is known, and goes through; a hole drilled in place needs no word."""
    row = meet.row
    every = [hole for side in holes.values() for hole in side]
    if any(hole.drilled_in_place for hole in every):
        return True
    if not row.has("bolt_d"):
        row.missing("bolt_d", "Add bolt_d = 6: the play in the holes follows from it.")
    return bolt_d is not None
