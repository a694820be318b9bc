"""How a part's folds are wished, and where a part stands: two small tables.

Room: plan. ``fold = { ... }``, ``fold_at``, ``cut_at`` and ``place = { ... }``
of a part.
"""

from __future__ import annotations

from collections.abc import Sequence

from foldwright.errors import offer_names
from foldwright.plan.records import FoldWish, Placement
from foldwright.plan.sizes import Terms
from foldwright.plan.table import Table

_METHODS = ("groove", "open", "bend")
_WIDEST_FLOOR = 100.0  # mm
_WIDEST_CUTTER = 150.0  # degrees
_LARGEST_RADIUS = 1000.0  # mm
_BOX_OPPOSITE = {frozenset(p) for p in (("bottom", "top"), ("front", "back"), ("left", "right"))}


def read_fold(part: Table, thickness: float | None) -> FoldWish:
    """Read ``fold = { ... }``; the empty wish if it is not there."""
    row = part.table("fold", f"fold of {part.what}")
    row.only(("method", "web", "floor", "cutter_deg", "radius", "k"))
    web = row.length("web", 0.0, above=True)
    if web is not None and thickness is not None and web >= thickness:
        row.fault(
            "out-of-range",
            "web",
            f"A web of {web:g} mm is all of the board, which is {thickness:g} mm.",
            "Leave less than the board, about its far skin and a little core.",
        )
    return FoldWish(
        method=row.choice("method", _METHODS) if row.has("method") else None,
        web=web,
        floor=row.length("floor", 0.0, _WIDEST_FLOOR, above=True),
        cutter=row.degrees("cutter_deg", 0.0, _WIDEST_CUTTER),
        radius=row.length("radius", 0.0, _LARGEST_RADIUS),
        k=row.number("k", 0.0, 1.0),
    )


def read_edges(
    part: Table, key: str, kind: str, faces: Sequence[str], leave_open: Sequence[str]
) -> tuple[tuple[str, str], ...]:
    """Read ``fold_at`` or ``cut_at``: edges, each by the two faces it lies between."""
    edges: list[tuple[str, str]] = []
    for i, pair in enumerate(part.pairs(key) or ()):
        path = f"{key}.{i}"
        a, b = pair
        if not isinstance(a, str) or not isinstance(b, str):
            part.fault("wrong-kind", path, "An edge is a pair of faces.", 'Write ["front", "top"].')
            continue
        wrong = [face for face in (a, b) if faces and face not in faces]
        for face in wrong:
            remedy = f"Its faces are {', '.join(faces)}."
            part.faults.unknown(part.key(path), f"face of {part.what}", face, faces, remedy)
        if wrong or not faces:
            continue
        if not _share_an_edge(kind, a, b, faces):
            problem = f'"{a}" and "{b}" have no edge in common.'
            part.fault("geometry", path, problem, "Name two faces that lie side by side.")
        elif a in leave_open or b in leave_open:
            problem = f'"{a if a in leave_open else b}" is left open, so there is nothing to join.'
            part.fault("geometry", path, problem, f"Take this pair out of {key}.")
        else:
            edges.append((a, b))
    return tuple(edges)


def check_edges(
    part: Table, fold_at: Sequence[tuple[str, str]], cut_at: Sequence[tuple[str, str]]
) -> None:
    """Note edges that are to be folded and cut."""
    folded = {frozenset(edge) for edge in fold_at}
    for a, b in cut_at:
        if frozenset((a, b)) in folded:
            problem = f'The edge between "{a}" and "{b}" is to be folded and cut.'
            part.fault("geometry", "cut_at", problem, "Take it out of fold_at or of cut_at.")


def _share_an_edge(kind: str, a: str, b: str, faces: Sequence[str]) -> bool:
    if a == b:
        return False
    if kind == "box":
        return frozenset((a, b)) not in _BOX_OPPOSITE
    sides = [face for face in faces if face not in ("front", "back")]
    if a in sides and b in sides:
        return abs(sides.index(a) - sides.index(b)) in (1, len(sides) - 1)
    return a in sides or b in sides


def read_place(part: Table, terms: Terms) -> Placement | None:
    """Read ``place = { ... }``; None if it is not there."""
    if not part.has("place"):
        return None
    row = part.table("place", f"place of {part.what}")
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


def read_leave_open(part: Table, faces: Sequence[str]) -> tuple[str, ...]:
    """Read ``leave_open``, a list of faces."""
    opened = part.words("leave_open") or ()
    for i, face in enumerate(opened):
        if faces and face not in faces:
            part.fault(
                "unknown-name",
                f"leave_open.{i}",
                f'{part.what} has no face "{face}". {offer_names(face, faces)}',
                f"Its faces are {', '.join(faces)}.",
            )
    if faces and set(opened) >= set(faces):
        problem = "All faces are left open, so nothing is left to make."
        part.fault("geometry", "leave_open", problem, "Take out those that are made.")
    return tuple(dict.fromkeys(opened))
