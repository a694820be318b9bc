"""A blank as its maker sees it while marking it out.

Room: draw. A pattern is written as seen from outside; grooved board is marked
on its inside. `blank_of` turns a `Piece` over when it has to, and moves its
lower left corner to (0, 0), the *datum corner*. All further drawing uses the
`Blank` alone, so that a piece cannot be turned over twice, or by halves.

Points to mark get names: corners are numbered anticlockwise from the one
nearest the datum, drill centres and cutouts go on from there. Folds have
capitals, seams the small letters that they bring along. The ends of oblique
folds are points too; a fold that runs along the sheet needs only one measure.
A row of kerfs has one capital, its kerfs a number after it. Of a developed
curve, which a pattern writes as hundreds of short lines, only so many points
are named as a hand needs to draw it fair.

What is curled is drawn as it is cut, longer than the part, with the lines to
trim it at once it is curled; their ends are points.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from foldwright.box import Box
from foldwright.draw.drawing import Arc, Line, Path, Point, bounds, moved, sampled
from foldwright.draw.points import SAME_POINT, MarkedPoint, marked_points, offset

if TYPE_CHECKING:
    from foldwright.flat.pattern import Fold, Mark, Piece, Seam
    from foldwright.flat.pattern import Path as FlatPath

_CAPITALS = "ABCDEFGHJKLMNPQRSTUVWXYZ"  # I and O read as figures


@dataclass(frozen=True)
class FoldLine:
    """A fold on the blank: its letter, and the ends of its middle line as marked.

    `row` is the letter of the row that a kerf belongs to, empty for a fold by
    itself. In `Blank.bends` a whole row is one fold line, of `kerfs` at `pitch` [mm].
    """

    letter: str
    a: Point
    b: Point
    zone: tuple[Point, ...]
    fold: Fold
    other_side: bool
    row: str = ""
    kerfs: int = 1
    pitch: float = 0.0

    @property
    def length(self) -> float:
        """Length of the middle line [mm]."""
        return math.dist(self.a, self.b)

    @property
    def inside_angle(self) -> float:
        """Angle between the panels, measured inside, when finished [rad]."""
        return math.pi - self.fold.turn

    @property
    def fold_to(self) -> float:
        """Inside angle to fold to, so that it springs back to the finished one [rad]."""
        return self.inside_angle - math.copysign(self.fold.over_fold, self.fold.turn)


@dataclass(frozen=True)
class SeamLine:
    """A seam on the blank, where its witness mark stands, and the face that it joins."""

    letter: str
    a: Point
    b: Point
    witness: Point
    seam: Seam
    to: str = ""


@dataclass(frozen=True)
class PanelLabel:
    """A panel: its name, and its flat part on the blank."""

    name: str
    flat: tuple[Point, ...]


@dataclass(frozen=True)
class Blank:
    """One piece, as seen on the side that is marked; lower left corner at (0, 0).

    `grain` is the direction in which the grain or film arrow of its board has
    to run [rad]; None if any will do. `curls` are the lines at which a round
    between flat panels begins and ends. `outline` is that to cut; `trims` are
    the lines inside of it at which a curled blank is trimmed.
    """

    piece: Piece
    side: str
    outline: Path
    cutouts: tuple[Path, ...]
    folds: tuple[FoldLine, ...]
    seams: tuple[SeamLine, ...]
    panels: tuple[PanelLabel, ...]
    drills: tuple[tuple[Point, Mark], ...]
    points: tuple[MarkedPoint, ...]
    grain: float | None = None
    curls: tuple[tuple[Point, Point], ...] = ()
    trims: tuple[tuple[Point, Point], ...] = ()

    @property
    def bends(self) -> tuple[FoldLine, ...]:
        """Folds as the hand makes them: the kerfs of a row together."""
        rows: dict[str, list[FoldLine]] = {}
        for fold in self.folds:
            rows.setdefault(fold.row or fold.letter, []).append(fold)
        return tuple(_whole(name, row) for name, row in rows.items())

    @property
    def is_rectangle(self) -> bool:
        """Whether the outline is a plain rectangle, along the sheet."""
        box = self.box
        sides = ((0, box.left), (0, box.right), (1, box.low), (1, box.high))
        return all(
            isinstance(segment, Line)
            and any(
                max(abs(p[axis] - place) for p in (segment.a, segment.b)) < SAME_POINT
                for axis, place in sides
            )
            for segment in self.outline
        )

    @property
    def is_plain(self) -> bool:
        """Whether its two sizes say all: a rectangle without folds, rounds or cutouts."""
        rounds = self.piece.panels and self.piece.curved
        return self.is_rectangle and not (self.folds or self.cutouts or self.drills or rounds)

    @property
    def is_strip(self) -> bool:
        """Whether it is a strip behind a seam: a rectangle, folded along its length if at all."""
        along = all(
            not is_oblique(f) and f.length > 0.98 * max(self.box.width, self.box.height)
            for f in self.folds
        )
        return bool(
            self.piece.role.startswith("backing strip")
            and self.is_rectangle
            and along
            and not (self.cutouts or self.drills)
        )

    @property
    def box(self) -> Box:
        """Bounding rectangle; its lower left is the datum corner."""
        return bounds(self.outline)

    @property
    def part(self) -> str:
        """Name of the part in words."""
        return in_words(self.piece.part)

    @property
    def title(self) -> str:
        """Name for headings; with the piece where a part has several."""
        name = self.part[:1].upper() + self.part[1:]
        ordinal = self.piece.id.removeprefix(self.piece.part).strip("-_ ")
        if self.piece.role:
            return f"{name}, {in_words(self.piece.role)}"
        return f"{name}, piece {ordinal}" if ordinal.isdigit() and int(ordinal) > 1 else name

    @property
    def side_up(self) -> str:
        """Which side lies up, in words, to stand under THIS SIDE UP."""
        film = "down" if self.side == "inside" else "up"
        return f"{self.side} of the {self.part}, film side {film}"

    @property
    def pricks(self) -> tuple[Point, ...]:
        """Points to prick through the board: the ends of what is cut from the other side."""
        return tuple(p for fold in self.folds if fold.other_side for p in (fold.a, fold.b))


def in_words(name: str) -> str:
    """Return the name of a part or face as prose writes it.

    Examples
    --------
    >>> in_words("lamp_cap"), in_words("top~right")
    ('lamp cap', 'round between top and right')
    """
    words = name.replace("_", " ").strip()
    one, between, other = words.partition("~")
    return f"round between {one} and {other}" if between else words


def _whole(name: str, row: Sequence[FoldLine]) -> FoldLine:
    """Kerfs of one row as one fold line in its middle, with the turn of them all."""
    if len(row) == 1:
        return row[0]
    first, last, mid = row[0], row[-1], row[len(row) // 2]
    turn, over = (sum(getattr(f.fold, key) for f in row) for key in ("turn", "over_fold"))
    pitch = offset(_middle(last.a, last.b), first.a, first.b) / (len(row) - 1)
    panels = (first.fold.panels[0], last.fold.panels[1])
    fold = replace(mid.fold, turn=turn, over_fold=over, panels=panels)
    return replace(mid, letter=name, fold=fold, kerfs=len(row), pitch=pitch)


def _middle(a: Point, b: Point) -> Point:
    return (0.5 * (a[0] + b[0]), 0.5 * (a[1] + b[1]))


def letter_of(index: int) -> str:
    """Capital of the n-th fold, from 0: A to Z without I and O, then AA, AB and on."""
    rest, last = divmod(index, len(_CAPITALS))
    return (letter_of(rest - 1) if rest else "") + _CAPITALS[last]


def blank_of(piece: Piece, others: Sequence[Piece] = ()) -> Blank:
    """Lay a piece out as its maker sees it.

    Parameters
    ----------
    piece : Piece
    others : sequence of Piece
        Pieces that it joins (itself may be among them), so that witness marks
        meet across the seams.
    """
    mirrored = piece.marked_side == "inside"
    raw = segments(piece.rough)
    box = bounds(raw)

    def seen(p: Point) -> Point:
        x = box.right - p[0] if mirrored else p[0] - box.left
        return (x, p[1] - box.low)

    outline = moved(raw, seen, mirrored)
    cutouts = tuple(moved(segments(cutout.path), seen, mirrored) for cutout in piece.cutouts)
    letters = _letters(piece)
    folds = tuple(
        _fold_line(named, fold, piece, seen)
        for named, fold in zip(letters, piece.folds, strict=True)
    )
    witnesses = _witnesses(piece, others)
    seams = tuple(
        SeamLine(
            seam.letter, seen(seam.a), seen(seam.b), seen(at), seam, _mate_face(seam, piece, others)
        )
        for seam, at in zip(piece.seams, witnesses, strict=True)
    )
    panels = tuple(
        PanelLabel(in_words(p.face), tuple(seen(q) for q in p.flat)) for p in piece.panels if p.face
    ) + tuple(PanelLabel(in_words(c.face), tuple(seen(q) for q in c.flat)) for c in piece.curved)
    drills = tuple((seen(m.at), m) for m in piece.marks)
    curls = _curls(piece, outline, seen)
    ends = [(p, "fold end") for f in folds if is_oblique(f) for p in (f.a, f.b)]
    ends += [(p, "curl end") for curl in curls for p in curl]
    trims = tuple((seen(a), seen(b)) for a, b in piece.trim_lines)
    ends += [(p, "trim end") for trim in trims for p in trim]
    holes = [(at, 0.5 * mark.d if mark.kind == "drill" else 0.0) for at, mark in drills]
    points = marked_points(outline, ends, holes, cutouts)
    grain = piece.grain
    if grain is not None and mirrored:
        grain = math.pi - grain
    side = piece.marked_side
    return Blank(
        piece, side, outline, cutouts, folds, seams, panels, drills, points, grain, curls, trims
    )


def _letters(piece: Piece) -> list[tuple[str, str]]:
    """Letter of each fold, and that of its row; kerfs of a row are numbered after it."""
    strips = {panel.id for panel in piece.panels if not panel.face}
    rows: list[list[int]] = []
    for i, fold in enumerate(piece.folds):
        shared = strips & set(fold.panels)
        row = next((r for r in rows if any(shared & set(piece.folds[j].panels) for j in r)), None)
        if row is None:
            rows.append([i])
        else:
            row.append(i)
    names = {}
    for k, row in enumerate(rows):
        letter = letter_of(k)
        for n, i in enumerate(row, 1):
            names[i] = (f"{letter}{n}", letter) if len(row) > 1 else (letter, "")
    return [names[i] for i in range(len(piece.folds))]


def _curls(
    piece: Piece, outline: Path, seen: Callable[[Point], Point]
) -> tuple[tuple[Point, Point], ...]:
    """Edges of the rounds of a folded piece that are no edges of the blank."""
    if not piece.panels:
        return ()
    edge = sampled(outline)
    around = list(zip(edge, edge[1:] + edge[:1], strict=True))
    found: list[tuple[Point, Point]] = []
    for curve in piece.curved:
        ring = [seen(p) for p in curve.flat]
        for a, b in zip(ring, ring[1:] + ring[:1], strict=True):
            mid = _middle(a, b)
            if math.dist(a, b) > 1.0 and all(_distance(mid, p, q) > 0.1 for p, q in around):
                found.append((a, b))
    return tuple(found)


def _distance(p: Point, a: Point, b: Point) -> float:
    length2 = (b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2
    t = ((p[0] - a[0]) * (b[0] - a[0]) + (p[1] - a[1]) * (b[1] - a[1])) / (length2 or 1.0)
    t = min(1.0, max(0.0, t))
    return math.dist(p, (a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])))


def _mate_face(seam: Seam, piece: Piece, others: Sequence[Piece]) -> str:
    """Face on the other side of a seam, in words; empty if it is not known here."""
    mate_piece = next((p for p in (*others, piece) if p.id == seam.mate[0]), None)
    if mate_piece is None or seam.mate[1] >= len(mate_piece.seams):
        return ""
    panel = mate_piece.seams[seam.mate[1]].panel
    faces = {p.id: p.face for p in mate_piece.panels}
    return in_words(faces.get(panel, panel))


def segments(path: FlatPath) -> Path:
    """Path of a pattern as lines and arcs; it starts at its last `to`."""
    out: list[Line | Arc] = []
    last = path[-1].to
    for step in path:
        if step.centre is not None:
            out.append(Arc(last, step.to, step.centre, step.left))
        elif step.to != last:
            out.append(Line(last, step.to))
        last = step.to
    return tuple(out)


def _fold_line(
    named: tuple[str, str], fold: Fold, piece: Piece, seen: Callable[[Point], Point]
) -> FoldLine:
    other = fold.cut_side not in ("none", piece.marked_side)
    zone = tuple(seen(q) for q in fold.zone)
    letter, row = named
    return FoldLine(letter, seen(fold.a), seen(fold.b), zone, fold, other, row)


def _witnesses(piece: Piece, others: Sequence[Piece]) -> list[Point]:
    """Middle of each seam's common length with its mate, in the flat frame.

    Mates can differ in length (a long edge meets two short ones), so their own
    middles do not meet in space: the mate's ends are carried over through
    space and the middle taken of what both have.
    """
    by_id = {p.id: p for p in (*others, piece)}
    places = {panel.id: panel for panel in piece.panels}
    found = []
    for seam in piece.seams:
        low, high = 0.0, 1.0
        mate_piece = by_id.get(seam.mate[0])
        if mate_piece is not None and mate_piece.part == piece.part and seam.panel in places:
            mate = mate_piece.seams[seam.mate[1]]
            mate_panel = next((p for p in mate_piece.panels if p.id == mate.panel), None)
            if mate_panel is not None:
                here = places[seam.panel].space
                shares = sorted(
                    _share(_flat(here, _space(mate_panel.space, end)), seam.a, seam.b)
                    for end in (mate.a, mate.b)
                )
                if shares[0] < 1.0 and shares[1] > 0.0:
                    low, high = max(0.0, shares[0]), min(1.0, shares[1])
        t = 0.5 * (low + high)
        found.append(
            (seam.a[0] + t * (seam.b[0] - seam.a[0]), seam.a[1] + t * (seam.b[1] - seam.a[1]))
        )
    return found


type _Rows = tuple[tuple[float, float, float, float], ...]


def _space(motion: _Rows, p: Point) -> tuple[float, ...]:
    return tuple(row[0] * p[0] + row[1] * p[1] + row[3] for row in motion)


def _flat(motion: _Rows, q: Sequence[float]) -> Point:
    """Inverse of a rigid motion, dropped onto the outside skin."""
    away = [q[i] - motion[i][3] for i in range(3)]
    return (
        sum(motion[i][0] * away[i] for i in range(3)),
        sum(motion[i][1] * away[i] for i in range(3)),
    )


def _share(p: Point, a: Point, b: Point) -> float:
    dx, dy = b[0] - a[0], b[1] - a[1]
    return ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / (dx * dx + dy * dy)


def is_oblique(fold: FoldLine) -> bool:
    """Whether a fold runs along neither edge of the sheet, so that both ends must be marked."""
    return min(abs(fold.a[0] - fold.b[0]), abs(fold.a[1] - fold.b[1])) > SAME_POINT


def outline_points(blank: Blank) -> list[Point]:
    """Outline as a polygon, arcs by chords within 0.05 mm."""
    return sampled(blank.outline)
