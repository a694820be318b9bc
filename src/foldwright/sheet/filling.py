"""Filling: what takes filler when a part is closed, and how much.

Room: sheet. Folds that are cut open from outside leave a V, and so do seams
with square edges; corners where folds cross leave a star. A fold or seam that
opens inwards is not filled, since nobody sees it. Start at `gaps_of`.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from foldwright.flat import Pattern, Piece, Seam, section_of_fold
from foldwright.shop import Board
from foldwright.shop.fillers import (
    FILLER_DENSITIES,
    SANDED_OFF,
    USUAL_FILLER,
    filler_mass,
    open_fold_area,
    square_edge_area,
)

# Two edges that stop as far from the mould line meet on the inside [mm].
_SAME = 1e-6


@dataclass(frozen=True)
class Gap:
    """One kind of gap of a part.

    Attributes
    ----------
    what : str
        ``"open fold"``, ``"butted seam"`` or ``"open corner"``.
    names : tuple of str
        Letters of seams, faces of folds; empty for corners.
    volume : float
        Filler that stays, up to where the outside faces would meet [mm3].
    """

    what: str
    names: tuple[str, ...]
    volume: float


def gaps_of(pattern: Pattern, boards: Mapping[str, Board]) -> tuple[Gap, ...]:
    """Everything in a part that takes filler.

    Parameters
    ----------
    pattern : Pattern
    boards : Mapping of str to Board
        By name of the stock, each in its thickness.
    """
    found: list[Gap] = []
    folds = [gap for piece in pattern.pieces for gap in _open_folds(piece, boards)]
    seams = list(_butted_seams(pattern))
    for what, gaps in (("open fold", folds), ("butted seam", seams)):
        if gaps:
            names = tuple(dict.fromkeys(name for name, _ in gaps))
            found.append(Gap(what, names, math.fsum(volume for _, volume in gaps)))
    if pattern.open_corners > 0.0:
        found.append(Gap("open corner", (), pattern.open_corners))
    return tuple(found)


def filling(gaps: tuple[Gap, ...]) -> float:
    """Filler that stays in all of them [mm3]."""
    return math.fsum(gap.volume for gap in gaps)


def filling_mass(volume: float) -> float:
    """Mass of the usual filler [kg]."""
    return filler_mass(volume, FILLER_DENSITIES[USUAL_FILLER])


def mixed(volume: float) -> float:
    """What to mix for it, with what is sanded off again [mm3]."""
    return (1.0 + SANDED_OFF) * volume


def _open_folds(piece: Piece, boards: Mapping[str, Board]) -> Iterator[tuple[str, float]]:
    faces = {panel.id: panel.face or panel.id for panel in piece.panels}
    for fold in piece.folds:
        if piece.role or fold.method != "open" or fold.turn <= 0.0:
            continue
        area = open_fold_area(section_of_fold(fold, boards[piece.stock]), piece.thickness)
        yield " to ".join(faces[panel] for panel in fold.panels), area * math.dist(fold.a, fold.b)


def _butted_seams(pattern: Pattern) -> Iterator[tuple[str, float]]:
    """Letter and volume of each square edge that leaves half of a V."""
    pieces = {piece.id: piece for piece in pattern.pieces}
    for piece in pattern.pieces:
        for seam in piece.seams:
            if seam.kind != "butt" or seam.trim <= 0.0:
                continue
            mate = pieces.get(seam.mate[0])
            if mate is None or not 0 <= seam.mate[1] < len(mate.seams):
                continue
            other = mate.seams[seam.mate[1]]
            # Both ends of a V lie on the inside line, as far from the mould line; where one
            # board runs through, there is none.
            reach = math.hypot(seam.trim, piece.thickness)
            if abs(reach - math.hypot(other.trim, mate.thickness)) <= _SAME:
                yield seam.letter, square_edge_area(piece.thickness, seam.trim) * _length(seam)


def _length(seam: Seam) -> float:
    """Length of a seam along its edge [mm]."""
    chord = math.dist(seam.a, seam.b)
    if seam.centre is None:
        return chord
    start, end = (
        math.atan2(p[1] - seam.centre[1], p[0] - seam.centre[0]) for p in (seam.a, seam.b)
    )
    turn = (end - start if seam.left else start - end) % math.tau
    return math.dist(seam.a, seam.centre) * turn
