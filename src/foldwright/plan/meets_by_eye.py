"""Meets for the eye: level, an even reveal, plumb, and two that look alike.

Room: plan. What nobody says otherwise is common practice: a step of half a
millimetre does not show, nor a reveal that is half a millimetre wider at one
end, nor a lean of 1 mm in 1 m, nor a pair that differs by 1 mm.
"""

from __future__ import annotations

from itertools import combinations, pairwise

from foldwright.plan.meet_ends import Ends, MeetRow
from foldwright.plan.whole import Meet

# What does not show [mm; mm in 1 m]: common practice, no source.
STEP, UNEVEN, LEAN, UNLIKE = 0.5, 0.5, 1.0, 1.0
# Past this many each is compared with the next alone: all pairs would be a page.
_ALL_PAIRS = 8


def level_with(meet: MeetRow) -> list[Meet]:
    """Two ``faces`` lie in one plane, within a ``step``."""
    meet.only("faces", "step")
    faces = meet.ends("faces", 2, 2, '["lid.top", "shelf.top"]')
    step = meet.either_way("step", STEP)
    return _faces_meet(meet, faces, "level with", {"step": step})


def reveal(meet: MeetRow) -> list[Meet]:
    """Two ``faces`` stand apart by a ``gap``, ``even`` from end to end."""
    meet.only("faces", "gap", "even")
    faces = meet.ends("faces", 2, 2, '["door.left", "post.right"]')
    why = "A reveal of {low} mm would be a clash."
    wanted = {
        "gap": meet.range("gap", "[2, 4]", least=0.0, why=why),
        "even": meet.either_way("even", UNEVEN),
    }
    return _faces_meet(meet, faces, "beside", wanted)


def plumb(meet: MeetRow) -> list[Meet]:
    """One ``face`` stands upright; ``lean`` is in mm for each metre of height."""
    meet.only("face", "lean")
    face = meet.end("face")
    lean = meet.either_way("lean", LEAN)
    if face is None or not meet.needs_face("face", face):
        return []
    return meet.meets("stands plumb", [face], {"lean": lean})


def pair(meet: MeetRow) -> list[Meet]:
    """``parts`` look alike: their ``dims`` differ by no more than ``within``."""
    meet.only("parts", "dims", "within")
    row = meet.row
    parts = meet.one_or_more("parts", '["left_cheek", "right_cheek"]')
    within = meet.either_way("within", UNLIKE)
    dims = row.words("dims")
    if parts is None or dims is None or not meet.differ(parts):
        return []
    kinds = dict.fromkeys(end.kind for end in parts if end.kind)
    if len(kinds) > 1:
        problem = f"A {' and a '.join(kinds)} do not look alike."
        row.fault("geometry", "parts", problem, "Name parts of one kind.")
        return []
    names = [draft.name for end in parts for draft in end.drafts]
    if len(names) < 2:
        problem = f'"{names[0]}" is one part alone.'
        row.fault("geometry", "parts", problem, "Name two parts, or one that has a count.")
        return []
    each = list(combinations(names, 2))
    if len(names) > _ALL_PAIRS:
        each = list(pairwise(names))
    found: list[Meet] = []
    for names_of_two in each:
        ends = [Ends(name, (meet.drafts[name],)) for name in names_of_two]
        found += meet.meets("like", ends, {"within": within}, dims=dims)
    return found


def _faces_meet(
    meet: MeetRow,
    faces: list[Ends] | None,
    word: str,
    wanted: dict[str, tuple[float, float] | None],
) -> list[Meet]:
    if faces is None:
        return []
    named = [meet.needs_face(f"faces.{i}", end) for i, end in enumerate(faces)]
    if not all(named) or not meet.differ(faces):
        return []
    return meet.meets(word, faces, wanted)
