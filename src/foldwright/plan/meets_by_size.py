"""Meets where one part goes into, onto, between or round another.

Room: plan. ``slides-into``, ``rests-on``, ``presses-into``, ``drops-between``
and ``wraps``; see `meet_ends` for what all meets have.
"""

from __future__ import annotations

from dataclasses import replace

from foldwright.plan.meet_ends import Ends, MeetRow
from foldwright.plan.places import FOLDED_KINDS, Draft
from foldwright.plan.table import Table
from foldwright.plan.whole import Meet

# Parts that are round and can be pressed, and those that have a bore to press them into.
_PRESSED, _BORED = ("plug", "plate", "bought"), ("tube", "plate", "plug")
# What is flat or curled and goes round, and what it goes round.
_WRAPPING, _WRAPPED = ("strip", "plate", "drum"), ("drum", "plate", "plug", "tube", "rib", "bought")
_TUBULAR = ("drum", "hood", "tube")
_MOST_INTERFERENCE = 2.0  # mm; ten times what any tube that a hand hammers into takes


def slides_into(meet: MeetRow) -> list[Meet]:
    """``inner`` slides into ``outer`` with a ``gap`` on each side."""
    meet.only("inner", "outer", "gap")
    row = meet.row
    inner, outer = meet.end("inner"), meet.end("outer")
    gap = meet.range(
        "gap",
        "[0.2, 0.8]",
        least=0.0,
        why="A gap of {low} mm leaves no room: the part would bind.",
    )
    if not inner or not outer:
        return []
    # what goes in first, and what it goes into, follow from nothing else in a folded part
    inner_face = inner.face or _the_open_one(row, "inner", inner.first, need_open=False)
    outer_face = outer.face or _the_open_one(row, "outer", outer.first, need_open=True)
    _has_mouth(row, outer.first, outer_face)
    ends = [replace(inner, face=inner_face), replace(outer, face=outer_face)]
    return meet.meets("into", ends, {"gap": gap}) if meet.differ(ends) else []


def rests_on(meet: MeetRow) -> list[Meet]:
    """``upper`` rests on ``lower``, which stands out by a ``margin``, or the other way round."""
    meet.only("upper", "lower", "margin", "overhang")
    row = meet.row
    upper, lower = meet.end("upper"), meet.end("lower")
    wanted: dict[str, tuple[float, float] | None] = {}
    if row.has("margin") == row.has("overhang"):
        row.fault(
            "missing",
            "",
            f"{row.what} needs either its margin or its overhang.",
            "Write margin = [15, 25] if the lower part stands out past the upper, or "
            "overhang = [3, 12] if the upper one does.",
        )
    elif row.has("margin"):
        wanted["margin"] = meet.range("margin", "[15, 25]")
    else:
        wanted["overhang"] = meet.range("overhang", "[3, 12]")
    if not upper or not lower:
        return []
    upper_face = upper.face or _usual_face(row, "upper", upper.first, "bottom")
    lower_face = lower.face or _usual_face(row, "lower", lower.first, "top")
    ends = [replace(upper, face=upper_face), replace(lower, face=lower_face)]
    return meet.meets("on", ends, wanted) if meet.differ(ends) and wanted else []


def presses_into(meet: MeetRow) -> list[Meet]:
    """``inner``, a plug, is pressed into ``outer``; ``interference`` on the diameter."""
    meet.only("inner", "outer", "interference")
    row = meet.row
    inner, outer = meet.end("inner"), meet.end("outer")
    wanted: dict[str, tuple[float, float] | None] = {}
    if row.has("interference"):
        wanted["interference"] = tight = meet.range(
            "interference",
            "[0.05, 0.15]",
            least=0.0,
            why="An interference of {low} mm is a gap: the plug would drop out.",
        )
        if tight and tight[1] > _MOST_INTERFERENCE:
            row.fault(
                "out-of-range",
                "interference",
                f"No tube takes a plug {tight[1]:g} mm over its bore.",
                "Write how much larger than the bore it is filed, like [0.05, 0.15].",
            )
            return []
    if not inner or not outer:
        return []
    good = _is_kind(row, "inner", inner, _PRESSED, "is pressed into nothing")
    good &= _is_kind(row, "outer", outer, _BORED, "has no bore to press a plug into")
    ends = [inner, outer]
    return meet.meets("pressed into", ends, wanted) if meet.differ(ends) and good else []


def drops_between(meet: MeetRow) -> list[Meet]:
    """``inner``, one part or a row, drops between two ``walls`` of ``outer``."""
    meet.only("inner", "outer", "walls", "gap")
    row = meet.row
    inner = meet.one_or_more("inner", '["left_tray", "right_tray"]')
    outer = meet.end("outer")
    gap = meet.range(
        "gap",
        "[0.5, 2]",
        least=0.0,
        why="A gap of {low} mm in all leaves no room: the parts would not go in.",
    )
    if not inner or not outer:
        return []
    walls = _walls(row, outer)
    ends = [*(replace(end, face="") for end in inner), replace(outer, face="")]
    if not walls or not meet.differ(ends):
        return []
    return meet.meets("between the walls of", ends, {"gap": gap}, walls=walls)


def wraps(meet: MeetRow) -> list[Meet]:
    """``sheet`` goes ``round`` a drum or disc, its ends a ``gap`` apart or over by a ``lap``."""
    meet.only("sheet", "round", "along", "gap", "lap")
    row = meet.row
    sheet, core = meet.end("sheet"), meet.end("round")
    wanted: dict[str, tuple[float, float] | None] = {}
    if row.has("gap") == row.has("lap"):
        row.fault(
            "missing",
            "",
            f"{row.what} needs either its gap or its lap.",
            "Write gap = [0, 1.5] if the ends come together, or lap = [18, 22] if one goes over "
            "the other.",
        )
    elif row.has("gap"):
        wanted["gap"] = meet.range("gap", "[0, 1.5]")
    else:
        why = "A lap of {low} mm is a gap: write it as gap."
        wanted["lap"] = meet.range("lap", "[18, 22]", least=0.0, why=why)
    along = row.text("along", "width", "")
    if not sheet or not core or along is None:
        return []
    good = _is_kind(row, "sheet", sheet, _WRAPPING, "cannot be laid round anything")
    good &= _is_kind(row, "round", core, _WRAPPED, "has no girth that sheet can be laid round")
    ends = [sheet, core]
    if not good or not meet.differ(ends) or not wanted:
        return []
    return meet.meets("round", ends, wanted, dims=(along,) if along else ())


def _walls(row: Table, outer: Ends) -> tuple[str, ...]:
    """Two faces of the outer part; none if there is a fault."""
    if outer.kind in _TUBULAR:
        problem = f"{outer.name} is a {outer.kind}, which has one wall all round."
        row.fault("geometry", "outer", problem, "Let the part slide into it instead.")
        return ()
    example = 'walls = ["left", "right"]'
    if not row.has("walls"):
        row.missing("walls", f"Add {example}: the faces of {outer.name} that it drops between.")
        return ()
    walls = row.words("walls")
    if walls is None:
        return ()
    if len(walls) != 2 or walls[0] == walls[1]:
        problem = f"Something drops between two walls; {len(set(walls))} are named."
        row.fault("wrong-kind", "walls", problem, f"Write it like {example}.")
        return ()
    faces = outer.first.faces
    good = True
    for i, wall in enumerate(walls):
        if faces and wall not in faces:
            remedy = f"{outer.name} is a {outer.kind}; its faces are {', '.join(faces)}."
            row.faults.unknown(row.key(f"walls.{i}"), f"face of {outer.name}", wall, faces, remedy)
            good = False
        elif wall in outer.first.leave_open:
            problem = f'The face "{wall}" of {outer.name} is open, so it is no wall.'
            row.fault("geometry", f"walls.{i}", problem, "Name two faces that are made.")
            good = False
    return walls if good else ()


def _is_kind(row: Table, key: str, end: Ends, kinds: tuple[str, ...], what: str) -> bool:
    """Whether a part is of a kind that can meet so; notes it if not."""
    if not end.kind or end.kind in kinds:
        return bool(end.kind)
    problem = f'"{end.name}" is a {end.kind}, and it {what}.'
    remedy = f"Name a {' or '.join(kinds)}."
    row.fault("geometry", key, problem, remedy)
    return False


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
