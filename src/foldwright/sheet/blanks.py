"""Blanks: the pieces of a pattern as they are laid on a sheet.

Room: sheet. A blank lies as its maker marks it: a piece that is marked on its
inside is seen from there, mirrored once and for all; from then on it may be
turned, never mirrored. Its *datum corner*, the lower left corner of its
bounding rectangle as marked, is (0, 0). What is curled lies there as it is cut,
with the flaps that are trimmed later.

Equal pieces are one blank with several ids.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from foldwright.flat import Path, Piece, Point, Step
from foldwright.plan import Stock
from foldwright.sheet.outlines import CHORD_ERROR, Ring, extent, moments, ring_extent, ring_outside

_ROUGH = 0.25  # mm
_SAME = 6  # decimals of a mm to which two outlines are one


@dataclass(frozen=True)
class Blank:
    """What has to be cut once for each of its ids.

    Attributes
    ----------
    ids : tuple of str
        The pieces, all alike.
    stock : str
    outline : Ring
        Anticlockwise as marked, datum corner at (0, 0); never smaller than
        the piece, arcs within 0.05 mm [mm].
    windows : tuple of Ring
        Openings, never larger than they are.
    rough, rough_windows : Ring, tuple of Ring
        The same with arcs within 0.25 mm: half the corners, for packers.
    grain : float or None
        How the grain runs, as marked, either way [rad].
    area : float
        Net of cutouts, exact [mm2].
    width, height : float
        Bounding rectangle, exact [mm].
    spare : float
        What of it is trimmed beyond each seam edge once it is curled [mm].
    """

    ids: tuple[str, ...]
    stock: str
    outline: Ring
    windows: tuple[Ring, ...]
    rough: Ring
    rough_windows: tuple[Ring, ...]
    grain: float | None
    area: float
    width: float
    height: float
    spare: float = 0.0

    @property
    def count(self) -> int:
        """How many are wanted."""
        return len(self.ids)


def as_marked(piece: Piece, path: Path) -> Path:
    """Carry a path of a piece to where its maker sees it, datum corner at (0, 0) [mm].

    The same motion that `draw` uses for its blanks.
    """
    box = extent(piece.rough)
    mirrored = piece.marked_side == "inside"

    def seen(p: Point) -> Point:
        return (box.right - p[0] if mirrored else p[0] - box.left, p[1] - box.low)

    return tuple(
        Step(seen(s.to), None if s.centre is None else seen(s.centre), s.left != mirrored)
        for s in path
    )


def blanks_of(pieces: Iterable[Piece], stock: str) -> tuple[Blank, ...]:
    """Blanks of the pieces that are cut from one stock, in their order, equal ones together."""
    groups: dict[tuple[object, ...], list[Piece]] = {}
    for piece in pieces:
        if piece.stock == stock:
            groups.setdefault(_content(piece), []).append(piece)
    return tuple(_blank(group) for group in groups.values())


def _blank(group: list[Piece]) -> Blank:
    piece = group[0]
    mirrored = piece.marked_side == "inside"
    box = extent(piece.rough)
    outline = _left_round(as_marked(piece, piece.rough), mirrored)
    cutouts = [_left_round(as_marked(piece, c.path), mirrored) for c in piece.cutouts]
    area = moments(piece.rough).area + sum(moments(c.path).area for c in piece.cutouts)
    grain = piece.grain
    if grain is not None and mirrored:
        grain = math.pi - grain
    return Blank(
        tuple(p.id for p in group),
        piece.stock,
        ring_outside(outline),
        _rings(cutouts, CHORD_ERROR),
        ring_outside(outline, _ROUGH),
        _rings(cutouts, _ROUGH),
        grain,
        area,
        box.width,
        box.height,
        piece.spare,
    )


def _rings(cutouts: Iterable[Path], chord_error: float) -> tuple[Ring, ...]:
    """Cutouts as polygons; what is left of a tiny one may be no polygon at all."""
    rings = (ring_outside(cutout, chord_error) for cutout in cutouts)
    return tuple(ring for ring in rings if len(ring) > 2)


def _left_round(path: Path, mirrored: bool) -> Path:
    """Run a mirrored path backwards, so that its material lies on the left again."""
    if not mirrored:
        return path
    starts = (path[-1].to, *(step.to for step in path[:-1]))
    return tuple(
        Step(start, step.centre, not step.left)
        for start, step in zip(reversed(starts), reversed(path), strict=True)
    )


def _content(piece: Piece) -> tuple[object, ...]:
    """What makes two pieces one blank: everything about them that is cut."""

    def rounded(path: Path) -> tuple[object, ...]:
        return tuple(
            (_point(s.to), None if s.centre is None else _point(s.centre), s.left)
            for s in as_marked(piece, path)
        )

    grain = None if piece.grain is None else round(piece.grain, _SAME)
    cutouts = tuple(rounded(cutout.path) for cutout in piece.cutouts)
    return (rounded(piece.rough), cutouts, grain, piece.marked_side, round(piece.spare, _SAME))


def _point(p: Point) -> Point:
    return (round(p[0], _SAME), round(p[1], _SAME))


def turned(ring: Ring, turn: float, shift: Point = (0.0, 0.0)) -> Ring:
    """Turn a ring about (0, 0), anticlockwise [rad], then move it [mm].

    Quarter turns are exact.
    """
    cos, sin = math.cos(turn), math.sin(turn)
    quarter = turn / (math.pi / 2.0)
    if abs(quarter - round(quarter)) < 1e-12:
        cos, sin = ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))[round(quarter) % 4]
    return tuple((shift[0] + x * cos - y * sin, shift[1] + x * sin + y * cos) for x, y in ring)


def turns_of(blank: Blank, stock: Stock) -> tuple[float, ...]:
    """Turns that a blank may take on a sheet [rad], each that looks different once.

    Where board and blank both have a grain, the two that bring it along the
    sheet's y; otherwise the four quarter turns.
    """
    if stock.grain and blank.grain is not None:
        first = (math.pi / 2.0 - blank.grain) % math.pi
        if min(first, math.pi - first) < 1e-12:
            first = 0.0
        wanted: tuple[float, ...] = (first, first + math.pi)
    else:
        wanted = tuple(k * math.pi / 2.0 for k in range(4))
    seen: dict[frozenset[Point], float] = {}
    for turn in wanted:
        box = ring_extent(turned(blank.outline, turn))
        corner = (-box.left, -box.low)
        points = [p for ring in (blank.outline, *blank.windows) for p in turned(ring, turn, corner)]
        seen.setdefault(frozenset((round(x, 4) + 0.0, round(y, 4) + 0.0) for x, y in points), turn)
    return tuple(seen.values())
