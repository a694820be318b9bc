"""How a part is wished to be folded and joined: its folds, seams, edges, backing.

Room: plan. ``fold``, ``fold_at``, ``cut_at``, ``seam``, ``seam_at``,
``backing``, ``face_from`` and ``grain`` of a part. An edge is named by the
two faces that it lies between. Of a faceted part only `shape` knows which
faces share an edge, so that here only the faces are checked.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from foldwright.errors import offer_names
from foldwright.plan.rack import Rack
from foldwright.plan.records import Backing, FoldAt, FoldWish, SeamAt, SeamWish, Stock
from foldwright.plan.table import Table, kind_of

_METHODS = ("groove", "kerf", "open", "bend", "score", "hot")
_FOLD = ("method", "web", "floor", "cutter_deg", "radius", "k", "kerfs", "pitch")
_SEAMS = ("mitre", "lap", "butt")
_GRAINS = ("up", "across")
_WIDEST_FLOOR = 100.0  # mm
_WIDEST_CUTTER = 150.0  # degrees
_LARGEST_RADIUS = 1000.0  # mm
_MOST_KERFS = 60
_WIDEST_PITCH = 100.0  # mm
_NARROWEST, _WIDEST_BACKING = 5.0, 300.0  # mm
_USUAL_BACKING = 30.0  # mm; common practice, no source
_BOX_OPPOSITE = {frozenset(p) for p in (("bottom", "top"), ("front", "back"), ("left", "right"))}
_ENDS = {"profile": ("front", "back"), "taper": ("bottom", "top")}


def read_wishes(
    part: Table, kind: str, faces: Sequence[str], stock: Stock | None, rack: Rack
) -> dict[str, Any]:
    """Fields of a folded part that say which of its faces are made, and how they join."""
    leave_open = read_leave_open(part, faces)
    edges = _Edges(part, kind, tuple(faces), leave_open)
    fold = read_fold(part, stock.thickness if stock else None)
    fold_at = _fold_at(edges, fold, stock)
    cut_at = tuple(pair for _, pair, _ in edges.read("cut_at", ()))
    seam_at = _seam_at(edges)
    _disagreeing(part, fold_at, cut_at, seam_at)
    return {
        "leave_open": leave_open,
        "fold": fold,
        "fold_at": fold_at,
        "cut_at": cut_at,
        "seam": _seam(part),
        "seam_at": seam_at,
        "backing": read_backing(part, rack),
        "face_from": _face_from(part, faces, leave_open, rack),
    }


def read_fold(part: Table, thickness: float | None) -> FoldWish:
    """Read ``fold = { ... }``; the empty wish if it is not there."""
    row = part.table("fold", f"fold of {part.within}")
    row.only(_FOLD)
    return _wish(row, thickness)


def read_grain(part: Table) -> str:
    """Read ``grain``: how the grain of the board runs on the largest face."""
    return part.choice("grain", _GRAINS, "up") or "up"


def read_backing(part: Table, rack: Rack) -> Backing | None:
    """Read ``backing``: the board of the strips behind the seams, or a table with its width."""
    if not part.has("backing"):
        return None
    value = part.data["backing"]
    if isinstance(value, str):
        known = named_board(part, "backing", value, rack)
        return Backing(value, _USUAL_BACKING) if known else None
    row = part.table("backing", f"backing of {part.within}")
    row.only(("from", "width"))
    name = row.text("from", next(iter(rack.stocks), "board2"))
    width = row.length("width", _NARROWEST, _WIDEST_BACKING) if row.has("width") else _USUAL_BACKING
    if name is None or width is None or not named_board(row, "from", name, rack):
        return None
    return Backing(name, width)


def named_board(row: Table, key: str, name: str, rack: Rack) -> Stock | None:
    """Board of the rack by its name; notes a name that is none."""
    stock = rack.stocks.get(name)
    if stock is not None and stock.form == "board":
        return stock
    boards = [n for n, s in rack.stocks.items() if s.form == "board"]
    if stock is not None:
        problem = f'"{name}" is a {stock.form}, and a board is wanted.'
        row.fault("unknown-name", key, problem, offer_names(name, boards))
    elif name not in rack.broken:
        remedy = "Use one of these, or add a table [rack.NAME] with its material."
        row.faults.unknown(row.key(key), "board", name, boards, remedy)
    return None


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


def _wish(row: Table, thickness: float | None) -> FoldWish:
    web = row.length("web", 0.0, above=True)
    if web is not None and thickness is not None and web >= thickness:
        row.fault(
            "out-of-range",
            "web",
            f"A web of {web:g} mm is all of the board, which is {thickness:g} mm.",
            "Leave less than the board, about its far skin and a little core.",
        )
    kerfs = row.number("kerfs", 1, _MOST_KERFS)
    if kerfs is not None and kerfs != int(kerfs):
        row.fault("out-of-range", "kerfs", "Kerfs come in whole numbers.", "Write kerfs = 5.")
        kerfs = None
    return FoldWish(
        method=row.choice("method", _METHODS) if row.has("method") else None,
        web=web,
        floor=row.length("floor", 0.0, _WIDEST_FLOOR, above=True),
        cutter=row.degrees("cutter_deg", 0.0, _WIDEST_CUTTER),
        radius=row.length("radius", 0.0, _LARGEST_RADIUS),
        k=row.number("k", 0.0, 1.0),
        kerfs=None if kerfs is None else int(kerfs),
        pitch=row.length("pitch", 0.0, _WIDEST_PITCH, above=True),
    )


class _Edges:
    """Edges of one part, each by the two faces it lies between."""

    def __init__(
        self, part: Table, kind: str, faces: tuple[str, ...], leave_open: tuple[str, ...]
    ) -> None:
        self.part = part
        self.kind = kind
        self.faces = faces
        self.leave_open = leave_open

    def read(
        self, key: str, keys: Sequence[str]
    ) -> list[tuple[str, tuple[str, str], Table | None]]:
        """Sound edges of a list: path, faces, and the table that says more of it.

        An entry is a pair of faces or, where `keys` are allowed, a table with ``faces``.
        """
        part = self.part
        value = part.data.get(key, [])
        if not isinstance(value, list):
            remedy = f'Write it like {key} = [["front", "top"]].'
            part.wrong_kind(key, value, "a list of edges", remedy)
            return []
        found = []
        for i, entry in enumerate(value):
            path, row = f"{key}.{i}", None
            if isinstance(entry, dict) and keys:
                row = Table(entry, part.key(path), f"Edge {i + 1} of {key}", part.faults)
                row.only(("faces", *keys))
                entry, path = entry.get("faces"), f"{path}.faces"
            pair = self._pair(entry, path, key)
            if pair:
                found.append((path, pair, row))
        return found

    def _pair(self, entry: object, path: str, key: str) -> tuple[str, str] | None:
        part, faces = self.part, self.faces
        if not isinstance(entry, list) or [type(face) for face in entry] != [str, str]:
            what = f"This is {kind_of(entry)}; " if entry is not None else ""
            problem = f"{what}an edge is a pair of faces."
            part.fault("wrong-kind", path, problem[0].upper() + problem[1:], _EDGE)
            return None
        a, b = entry
        wrong = [face for face in (a, b) if faces and face not in faces]
        for face in wrong:
            remedy = f"Its faces are {', '.join(faces)}."
            part.faults.unknown(part.key(path), f"face of {part.within}", face, faces, remedy)
        if wrong or not faces:
            return None
        if not self._share_an_edge(a, b):
            problem = f'"{a}" and "{b}" have no edge in common.'
            part.fault("geometry", path, problem, "Name two faces that lie side by side.")
        elif a in self.leave_open or b in self.leave_open:
            face = a if a in self.leave_open else b
            problem = f'"{face}" is left open, so there is nothing to join.'
            part.fault("geometry", path, problem, f"Take this pair out of {key}.")
        else:
            return a, b
        return None

    def _share_an_edge(self, a: str, b: str) -> bool:
        if a == b:
            return False
        if self.kind == "box":
            return frozenset((a, b)) not in _BOX_OPPOSITE
        if self.kind not in _ENDS:
            return True
        sides = [face for face in self.faces if face not in _ENDS[self.kind]]
        if a in sides and b in sides:
            return abs(sides.index(a) - sides.index(b)) in (1, len(sides) - 1)
        return a in sides or b in sides


_EDGE = 'Write ["front", "top"], or { faces = ["front", "top"], ... }.'


def _fold_at(edges: _Edges, usual: FoldWish, stock: Stock | None) -> tuple[FoldAt, ...]:
    found = []
    for _, pair, row in edges.read("fold_at", _FOLD):
        wish = None
        if row is not None and set(row.data) - {"faces"}:
            own = _wish(row, stock.thickness if stock else None)
            wish = own
            if own.method in (None, usual.method):  # the rest is then as in the other folds
                said = {k: v for k, v in vars(own).items() if v is not None}
                wish = replace(usual, **said)
        found.append(FoldAt(pair, wish))
    return tuple(found)


def _seam(part: Table) -> SeamWish:
    """Read ``seam``: a kind, or a table with it."""
    if not part.has("seam"):
        return SeamWish()
    if isinstance(part.data["seam"], str):
        return SeamWish(part.choice("seam", _SEAMS) or _SEAMS[0])
    row = part.table("seam", f"seam of {part.within}")
    row.only(("kind",))
    return SeamWish(row.choice("kind", _SEAMS) or _SEAMS[0])


def _seam_at(edges: _Edges) -> tuple[SeamAt, ...]:
    found = []
    for _, pair, row in edges.read("seam_at", ("kind", "over")):
        if row is None:
            problem = "An edge of seam_at says what kind of seam it is to be."
            remedy = f'Write {{ faces = ["{pair[0]}", "{pair[1]}"], kind = "lap" }}.'
            edges.part.fault("missing", "seam_at", problem, remedy)
            continue
        kind = row.choice("kind", _SEAMS)
        over = row.text("over", pair[0], "") or ""
        if over and over not in pair:
            problem = f'"{over}" is not one of the two faces of this edge.'
            row.fault("unknown-name", "over", problem, f"Write {pair[0]} or {pair[1]}.")
        elif over and kind == "mitre":
            problem = "In a mitre neither board lies over the other."
            row.fault("geometry", "over", problem, "Leave it out, or ask for a lap or butt.")
        elif kind:
            found.append(SeamAt(pair, SeamWish(kind, over)))
    return tuple(found)


def _disagreeing(
    part: Table,
    fold_at: Sequence[FoldAt],
    cut_at: Sequence[tuple[str, str]],
    seam_at: Sequence[SeamAt],
) -> None:
    """Note edges that are named twice, or are to be folded and cut."""
    folded = {frozenset(edge.faces) for edge in fold_at}
    for a, b in cut_at:
        if frozenset((a, b)) in folded:
            problem = f'The edge between "{a}" and "{b}" is to be folded and cut.'
            part.fault("geometry", "cut_at", problem, "Take it out of fold_at or of cut_at.")
    for edge in seam_at:
        if frozenset(edge.faces) in folded:
            a, b = edge.faces
            problem = f'The edge between "{a}" and "{b}" is to be folded and to be a seam.'
            part.fault("geometry", "seam_at", problem, "Take it out of fold_at or of seam_at.")
    for key, pairs in (
        ("fold_at", [e.faces for e in fold_at]),
        ("seam_at", [e.faces for e in seam_at]),
    ):
        for i, (a, b) in enumerate(pairs):
            if frozenset((a, b)) in {frozenset(pair) for pair in pairs[:i]}:
                problem = f'The edge between "{a}" and "{b}" is there twice.'
                part.fault("name-twice", key, problem, "Leave one of them out.")


def _face_from(
    part: Table, faces: Sequence[str], leave_open: Sequence[str], rack: Rack
) -> tuple[tuple[str, str, float], ...]:
    """Read ``face_from``: faces that are cut from another board."""
    row = part.table("face_from", f"face_from of {part.within}")
    found = []
    for face, name in row.data.items():
        if not isinstance(name, str):
            row.wrong_kind(face, name, "the name of a board", f'Write {{ {face} = "board2" }}.')
            continue
        board = named_board(row, face, name, rack)
        if faces and face not in faces:
            remedy = f"Its faces are {', '.join(faces)}."
            row.faults.unknown(row.key(face), f"face of {part.within}", face, faces, remedy)
        elif face in leave_open:
            problem = f'"{face}" is left open, so it is cut from no board.'
            row.fault("geometry", face, problem, "Take it out of face_from or of leave_open.")
        elif board and faces:
            found.append((face, name, board.thickness))
    return tuple(found)
