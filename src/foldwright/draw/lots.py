"""Lots: pieces that are marked and cut alike, drawn once and made several times.

Room: draw. Ribs of one shell, strips behind seams of one length, copies of a
part: whatever lies on the bench alike gets one drawing with a count. Strips
behind seams need no drawing at all, only a row in a list (see `strips`).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from foldwright.draw.blank import Blank, blank_of, in_words
from foldwright.draw.drawing import Path, Point
from foldwright.draw.info import listed

if TYPE_CHECKING:
    from foldwright.flat.pattern import Cone, Curved, Piece

type Key = tuple[object, ...]


@dataclass(frozen=True)
class Lot:
    """Blanks that are alike; the first stands for all."""

    blanks: tuple[Blank, ...]

    @property
    def blank(self) -> Blank:
        """The one that is drawn."""
        return self.blanks[0]

    @property
    def count(self) -> int:
        """How many to make."""
        return len(self.blanks)

    @property
    def title(self) -> str:
        """Name for headings: "Rib left and rib right"; strips of a part with all their seams."""
        parts: dict[str, list[str]] = {}
        for blank in self.blanks:
            what, _, which = in_words(blank.piece.role).partition(", ")
            name = f"{blank.part}, {what}" if what else blank.title
            parts.setdefault(name, []).append(which)
        said = _copies([_named(name, which) for name, which in parts.items()])
        said = [said[0], *(name[:1].lower() + name[1:] for name in said[1:])]
        words = listed(said)
        return words[:1].upper() + words[1:]

    @property
    def making(self) -> str:
        """Say how many to make, and of which patch or strip there are several; empty for one."""
        if self.count == 1:
            return ""
        places = [in_words(blank.piece.role).partition(", ")[2] for blank in self.blanks]
        where = "; ".join(place for place in places if place and "seam " not in place)
        return f"Make {self.count} of these{f': {where}' if where else ''}."


def _copies(names: Sequence[str]) -> list[str]:
    """Names with copies of one part drawn together: "Shelf 1 to 4"."""
    stems: dict[str, list[int]] = {}
    for name in names:
        stem, _, number = name.rpartition("-")
        if stem and number.isdigit():
            stems.setdefault(stem, []).append(int(number))
    out: list[str] = []
    for name in names:
        stem, _, number = name.rpartition("-")
        numbers = stems.get(stem, []) if number.isdigit() else []
        if len(numbers) < 2:
            out.append(name)
            continue
        first, last = min(numbers), max(numbers)
        all_there = last - first + 1 == len(numbers)
        between = "and" if len(numbers) == 2 else "to"
        which = f"{first} {between} {last}" if all_there else listed([str(n) for n in numbers])
        if f"{stem} {which}" not in out:
            out.append(f"{stem} {which}")
    return out


def _named(name: str, which: Sequence[str]) -> str:
    """Name with its seams, or the one place it belongs to; several places are said elsewhere."""
    seams = sorted(
        (w.removeprefix("seam ") for w in which if w.startswith("seam ")),
        key=lambda s: (len(s), s),
    )
    if seams:
        plural = "s" if len(seams) > 1 else ""
        return f"{name}{plural} for seam{plural} {listed(seams)}"
    if len(which) == 1:
        return f"{name}, {which[0]}" if which[0] else name
    return name


def making_of(lot: Lot, notes: Sequence[str]) -> str:
    """Say how many to make, unless the notes of the part say so already."""
    return "" if any(note.startswith(f"Make {lot.count} ") for note in notes) else lot.making


def lots_of(pieces: Sequence[Piece]) -> tuple[Lot, ...]:
    """Gather pieces that are alike, in the order of their first."""
    found: dict[Key, list[Blank]] = {}
    for piece in pieces:
        blank = blank_of(piece, pieces)
        found.setdefault(_key(blank), []).append(blank)
    return tuple(Lot(tuple(blanks)) for blanks in found.values())


def _key(blank: Blank) -> Key:
    """What two blanks share if one drawing serves both; lengths to 0.01 mm."""
    piece = blank.piece
    return (
        piece.stock,
        round(piece.thickness, 3),
        piece.revision,
        blank.side,
        blank.is_strip,
        None if blank.grain is None else round(blank.grain % math.pi, 4),
        _shape(blank.outline),
        tuple(sorted(_shape(path) for path in blank.cutouts)),
        tuple((_spot(f.a), _spot(f.b), f.fold.method, f.fold.cut_side) for f in blank.folds),
        tuple(
            round(v, 3)
            for f in blank.folds
            for v in (f.fold.turn, f.fold.floor, f.fold.web, f.fold.cutter)
        ),
        tuple((_spot(s.a), _spot(s.b), s.letter, s.seam.kind) for s in blank.seams),
        tuple((_spot(at), mark.kind, round(mark.d, 2)) for at, mark in blank.drills),
        tuple((curve.kind, *_curl(curve)) for curve in piece.curved),
        tuple(panel.name for panel in blank.panels) if len(blank.panels) > 1 else (),
    )


def _curl(curve: Curved | Cone) -> tuple[float, float]:
    """What a curled face is curled to: its radius, or the half angle and place of its cone."""
    if hasattr(curve, "radius"):
        return round(curve.radius, 2), float(curve.sense)
    return round(curve.half_angle, 5), round(curve.offset, 2)


def _shape(path: Path) -> tuple[Point, ...]:
    """Corners of a path from its lowest, so that it does not matter where it starts."""
    points = [_spot(segment.a) for segment in path]
    start = min(range(len(points)), key=lambda i: points[i]) if points else 0
    return (*points[start:], *points[:start])


def _spot(p: Point) -> Point:
    return (round(p[0], 2) + 0.0, round(p[1], 2) + 0.0)
