"""Patterns of a part: from its record and its board to proved pieces.

Room: flat. Start here: `pattern_of`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from foldwright.errors import CannotMake
from foldwright.flat.folded import folded_pieces
from foldwright.flat.joints import Wishes, request_of
from foldwright.flat.pattern import Piece
from foldwright.flat.refold import deviation, drum_deviation
from foldwright.flat.sheets import drum_piece, plate_piece
from foldwright.plan import (
    AnyPart,
    Box,
    Cutter,
    Drum,
    Faceted,
    FoldedPart,
    Plate,
    Profile,
    Taper,
)
from foldwright.plan.dual import number
from foldwright.shape import FaceCut, bare_drum, solid
from foldwright.shop import Board, SetUp

# A pattern that refolds worse than this is our own mistake [mm].
LARGEST_DEVIATION = 1e-6


@dataclass(frozen=True)
class CutLength:
    """A length to saw square off tube or bar [mm]; `id` is like a piece's."""

    id: str
    part: str
    stock: str
    length: float


@dataclass(frozen=True)
class Pattern:
    """Pieces and lengths of one part, and what the maker should know about cutting them."""

    part: str
    pieces: tuple[Piece, ...]
    notes: tuple[str, ...] = ()
    lengths: tuple[CutLength, ...] = ()


@lru_cache(maxsize=1024)
def pattern_of(
    part: AnyPart,
    board: Board | None,
    cutters: tuple[Cutter, ...],
    *,
    revision: int = 0,
    seen_along: tuple[tuple[float, float, float], ...] = (),
    others: tuple[tuple[str, Board], ...] = (),
    grained: frozenset[str] = frozenset(),
    cuts: tuple[FaceCut, ...] = (),
) -> Pattern:
    """Pattern of one part, refolded and proved.

    Kept by content: asking again for an unchanged part costs nothing.

    Parameters
    ----------
    part : AnyPart
    board : Board or None
        Of the part's stock, in its thickness; None for what is not cut from board.
    cutters : tuple of Cutter
        The maker's list.
    revision : int
        Written on the pieces.
    seen_along : tuple of (x, y, z)
        Directions towards the eye in the part's frame; seams seen from there
        cost more.
    others : tuple of (str, Board)
        Boards of the other stocks it takes (`face_from`, `backing`), by name
        of the stock, each in its thickness.
    grained : frozenset of str
        Names of the stocks whose grain has to run as the part says.
    cuts : tuple of FaceCut
        Holes and openings in its faces, bare.

    Raises
    ------
    CannotMake
        See `folded_pieces`, `drum_piece`, `plate_piece`.
    """
    notes: tuple[str, ...] = ()
    match part:
        case Drum():
            piece = drum_piece(part, revision=revision)
            outside_d, length = (number(x) for x in bare_drum(part, part.values()))
            off = drum_deviation(piece, outside_d / 2.0, length)
            pieces: Sequence[Piece] = (piece,)
        case Plate():
            pieces, off = (plate_piece(part, revision=revision),), 0.0
        case Box() | Profile() | Taper() | Faceted():
            pieces, notes, off = _folded(
                part, board, cutters, revision, seen_along, others, grained
            )
        case _:
            raise CannotMake(
                f"{part.name} is a {part.kind}, which has no pattern yet.",
                part=part.name,
                field="kind",
                remedy="Leave it out.",
            )
    if not off <= LARGEST_DEVIATION:  # also catches nan
        raise AssertionError(f"pattern of {part.name} refolds {off:.3g} mm off")
    return Pattern(part.name, tuple(replace(piece, deviation=off) for piece in pieces), notes)


def _folded(
    part: FoldedPart,
    board: Board | None,
    cutters: tuple[Cutter, ...],
    revision: int,
    seen_along: tuple[tuple[float, float, float], ...],
    others: tuple[tuple[str, Board], ...],
    grained: frozenset[str],
) -> tuple[Sequence[Piece], tuple[str, ...], float]:
    """Pieces, notes and largest deviation of a folded part."""
    assert board is not None, "a folded part is cut from board"
    body = solid(part)
    by_stock = {part.stock: board, **dict(others)}
    wishes = Wishes(
        fold_at=part.fold_at,
        cut_at=part.cut_at,
        seam=part.seam,
        seam_at=part.seam_at,
        boards={face: (stock, by_stock[stock]) for face, stock, _ in part.face_from},
    )
    pieces, notes = folded_pieces(
        part.name,
        body,
        board,
        request_of(part.fold),
        tuple(SetUp(c.name, c.angle, c.floor, c.widest) for c in cutters),
        stock=part.stock,
        wishes=wishes,
        revision=revision,
        seen_along=[np.array(eye) for eye in seen_along],
        grained=grained,
        grain=part.grain,
    )
    if not pieces:
        raise CannotMake(
            f"Every face of {part.name} is left open.",
            part=part.name,
            field="leave_open",
            remedy="Take at least one face out of leave_open.",
        )
    return pieces, notes, deviation(pieces, body)
