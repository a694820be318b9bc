"""A blank as its maker sees it while marking it out.

Room: draw. A pattern is written as seen from outside; grooved board is marked
on its inside. `blank_of` turns a `Piece` over when it has to, and moves its
lower left corner to (0, 0), the *datum corner*. All further drawing uses the
`Blank` alone, so that a piece cannot be turned over twice, or by halves.

Points to mark get names: corners are numbered anticlockwise from the one
nearest the datum, drill centres and cutouts go on from there. Folds have
capitals, seams the small letters that they bring along. The ends of oblique
folds are points too; a fold that runs along the sheet needs only one measure.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from foldwright.draw.drawing import Arc, Box, Line, Path, Point, bounds, moved, sampled

if TYPE_CHECKING:
    from foldwright.flat.pattern import Fold, Mark, Piece, Seam
    from foldwright.flat.pattern import Path as FlatPath

# Corners nearer than this, or less out of line, are one for a hand with a rule [mm].
_SAME_POINT = 0.05
_CAPITALS = "ABCDEFGHJKLMNPQRSTUVWXYZ"  # I and O read as figures


@dataclass(frozen=True)
class FoldLine:
    """A fold on the blank: its letter, and the ends of its middle line as marked."""

    letter: str
    a: Point
    b: Point
    zone: tuple[Point, ...]
    fold: Fold
    other_side: bool

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
    """A seam on the blank, and where its witness mark stands."""

    letter: str
    a: Point
    b: Point
    witness: Point
    seam: Seam


@dataclass(frozen=True)
class PanelLabel:
    """A panel: its name, and its flat part on the blank."""

    name: str
    flat: tuple[Point, ...]


@dataclass(frozen=True)
class MarkedPoint:
    """A point to mark, with its number; `kind` is corner, centre, fold end, drill or cutout."""

    number: int
    at: Point
    kind: str


@dataclass(frozen=True)
class Blank:
    """One piece, as seen on the side that is marked; lower left corner at (0, 0).

    `grain` is the direction in which the grain or film arrow of its board has
    to run [rad]; None if any will do.
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
            return f"{name}, {self.piece.role}"
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
    """Return the name of a part or face as prose writes it: ``lamp_cap`` is "lamp cap"."""
    return name.replace("_", " ").strip()


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
    raw = segments(piece.outline)
    box = bounds(raw)

    def seen(p: Point) -> Point:
        x = box.right - p[0] if mirrored else p[0] - box.left
        return (x, p[1] - box.low)

    outline = moved(raw, seen, mirrored)
    cutouts = tuple(moved(segments(cutout.path), seen, mirrored) for cutout in piece.cutouts)
    folds = tuple(_fold_line(i, fold, piece, seen) for i, fold in enumerate(piece.folds))
    witnesses = _witnesses(piece, others)
    seams = tuple(
        SeamLine(seam.letter, seen(seam.a), seen(seam.b), seen(at), seam)
        for seam, at in zip(piece.seams, witnesses, strict=True)
    )
    panels = tuple(
        PanelLabel(in_words(p.face), tuple(seen(q) for q in p.flat)) for p in piece.panels if p.face
    ) + tuple(PanelLabel(in_words(c.face), tuple(seen(q) for q in c.flat)) for c in piece.curved)
    drills = tuple((seen(m.at), m) for m in piece.marks)
    ends = [p for f in folds if is_oblique(f) for p in (f.a, f.b)]
    points = _marked_points(outline, ends, [at for at, _ in drills], cutouts)
    grain = piece.grain
    if grain is not None and mirrored:
        grain = math.pi - grain
    return Blank(
        piece, piece.marked_side, outline, cutouts, folds, seams, panels, drills, points, grain
    )


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


def _fold_line(index: int, fold: Fold, piece: Piece, seen: Callable[[Point], Point]) -> FoldLine:
    other = fold.cut_side not in ("none", piece.marked_side)
    zone = tuple(seen(q) for q in fold.zone)
    return FoldLine(letter_of(index), seen(fold.a), seen(fold.b), zone, fold, other)


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
    return min(abs(fold.a[0] - fold.b[0]), abs(fold.a[1] - fold.b[1])) > _SAME_POINT


def _marked_points(
    outline: Path, ends: Sequence[Point], drills: Sequence[Point], cutouts: Sequence[Path]
) -> tuple[MarkedPoint, ...]:
    kept = _corners(outline)
    if kept:
        start = min(range(len(kept)), key=lambda i: (math.hypot(*kept[i]), i))
        kept = kept[start:] + kept[:start]
        if not is_anticlockwise(kept):
            kept = [kept[0], *reversed(kept[1:])]
    named: list[tuple[Point, str]] = [(p, "corner") for p in kept]
    more = [(p, "centre") for p in _centres(outline)]
    more += [(p, "fold end") for p in ends] + [(p, "drill") for p in drills]
    for cutout in cutouts:
        more += [(p, "centre") for p in _centres(cutout)]
        more += [(p, "cutout") for p in _corners(cutout)]
    for p, kind in more:
        if all(math.dist(p, q) > _SAME_POINT for q, _ in named):
            named.append((p, kind))
    return tuple(MarkedPoint(i, p, kind) for i, (p, kind) in enumerate(named, 1))


def _corners(path: Path) -> list[Point]:
    """Ends of segments where the path really turns; none on a circle."""
    found: list[Point] = []
    for before, after in zip((path[-1], *path[:-1]), path, strict=True):
        if (
            isinstance(before, Arc)
            and isinstance(after, Arc)
            and math.dist(before.centre, after.centre) < _SAME_POINT
        ):
            continue
        if all(math.dist(after.a, p) > _SAME_POINT for p in found):
            found.append(after.a)
    if any(isinstance(s, Arc) for s in path):
        return found
    return [
        p
        for p, before, after in zip(
            found, found[-1:] + found[:-1], found[1:] + found[:1], strict=True
        )
        if _offset(p, before, after) > _SAME_POINT / 5.0
    ]


def _centres(path: Path) -> list[Point]:
    found: list[Point] = []
    for segment in path:
        if isinstance(segment, Arc) and all(
            math.dist(segment.centre, p) > _SAME_POINT for p in found
        ):
            found.append(segment.centre)
    return found


def _offset(p: Point, a: Point, b: Point) -> float:
    length = math.dist(a, b)
    if length < _SAME_POINT:
        return math.inf
    return abs((b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0])) / length


def is_anticlockwise(points: Sequence[Point]) -> bool:
    """Whether a ring of points has positive area."""
    ring = [*points, points[0]]
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in pairwise(ring)) > 0.0


def outline_points(blank: Blank) -> list[Point]:
    """Outline as a polygon, arcs by chords within 0.05 mm."""
    return sampled(blank.outline)
