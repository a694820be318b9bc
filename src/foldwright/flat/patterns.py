"""Patterns of a part: from its record and its board to proved pieces.

Room: flat. Start here: `pattern_of`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from foldwright.errors import CannotMake
from foldwright.flat.cutouts import with_cutouts
from foldwright.flat.folded import folded_pieces
from foldwright.flat.joints import Wishes, request_of
from foldwright.flat.pattern import Piece
from foldwright.flat.plain import plain_piece, rib_notes
from foldwright.flat.rack_fit import fits_rectangles
from foldwright.flat.refold import deviation
from foldwright.flat.rounds import Curl, drum_piece, hood_piece
from foldwright.plan import (
    AnyPart,
    Bought,
    Box,
    Cutter,
    Drum,
    Faceted,
    FoldedPart,
    Hood,
    Plate,
    Plug,
    Profile,
    Rib,
    Strip,
    Taper,
    Tube,
)
from foldwright.plan.dual import number
from foldwright.shape import FaceCut, angle_solid, dims_of, face_cuts, solid
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
    """Pieces and lengths of one part, and what the maker should know about cutting them.

    `open_corners` is the filler that its open corners take [mm3].
    """

    part: str
    pieces: tuple[Piece, ...]
    notes: tuple[str, ...] = ()
    lengths: tuple[CutLength, ...] = ()
    open_corners: float = 0.0


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
    room: tuple[tuple[float, float], ...] = (),
    spare: float = 0.0,
) -> Pattern:
    """Pattern of one part, refolded and proved.

    Kept by content: asking again for an unchanged part costs next to nothing,
    and so does a change of its holes and openings.

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
        Openings in its faces, bare; its own features need not be given.
    room : tuple of (float, float)
        What the sheets of its stock have room for, across and along the grain
        [mm]: folded parts are cut so that each piece fits one of them, if that
        can be; empty if it does not matter.
    spare : float
        Sheet left on beyond each seam edge of a drum or hood until it is curled
        [mm]; of no other part.

    Raises
    ------
    CannotMake
        See `folded_pieces`, `drum_piece`, `hood_piece`, `plain_piece`, `with_cutouts`; a
        length that is none, or a plug thicker than its bar.
    OutOfDomain
        `spare` of a drum or hood below 0 or not a number.
    """
    bare = replace(part, features=())
    whole = _uncut(bare, board, cutters, revision, seen_along, others, grained, room, spare)
    cut, near = with_cutouts(whole.pieces, part, (*face_cuts(part), *cuts))
    return replace(whole, pieces=cut, notes=(*whole.notes, *near))


@lru_cache(maxsize=1024)
def _uncut(
    part: AnyPart,
    board: Board | None,
    cutters: tuple[Cutter, ...],
    revision: int,
    seen_along: tuple[tuple[float, float, float], ...],
    others: tuple[tuple[str, Board], ...],
    grained: frozenset[str],
    room: tuple[tuple[float, float], ...],
    spare: float,
) -> Pattern:
    """Pattern of one part before anything is cut into its faces, proved."""
    pieces: Sequence[Piece] = ()
    notes: tuple[str, ...] = ()
    lengths: tuple[CutLength, ...] = ()
    off = filler = 0.0
    match part:
        case Drum() | Hood():
            piece, notes, off = _curled(part, board, revision, grained, spare)
            pieces = (piece,)
        case Box() | Profile() | Taper() | Faceted():
            pieces, notes, off, filler = _folded(
                part, board, cutters, revision, seen_along, others, grained, room
            )
        case Strip() if part.flange is not None:
            pieces, notes, off = _angle(part, board, cutters, revision, grained)
        case Plug() | Tube() if part.across:
            lengths = (_cut_length(part),)
        case Plate() | Strip() | Rib() | Plug():
            pieces = (plain_piece(part, revision=revision, grained=grained),)
            notes = rib_notes(part) if isinstance(part, Rib) else ()
        case Bought():
            pass  # nothing of it is cut
    if not off <= LARGEST_DEVIATION:  # also catches nan
        raise AssertionError(f"pattern of {part.name} refolds {off:.3g} mm off")
    proved = tuple(replace(piece, deviation=off) for piece in pieces)
    return Pattern(part.name, proved, notes, lengths, filler)


def forget_patterns() -> None:
    """Drop every pattern that is kept; for measuring how long they take."""
    pattern_of.cache_clear()
    _uncut.cache_clear()


def _turns(part: FoldedPart, grained: frozenset[str]) -> tuple[float, ...] | None:
    """Turns [rad] that bring its grain along the sheet's; None if any will do."""
    if part.stock not in grained:
        return None
    first = 0.0 if part.grain == "up" else math.pi / 2.0
    return first, first + math.pi


def _curled(
    part: Drum | Hood, board: Board | None, revision: int, grained: frozenset[str], spare: float
) -> Curl:
    assert board is not None, "a curled part is cut from board"
    if isinstance(part, Drum):
        return drum_piece(part, board, revision=revision, grained=grained, spare=spare)
    return hood_piece(part, board, revision=revision, grained=grained, spare=spare)


def _cut_length(part: Tube | Plug) -> CutLength:
    """Length to saw off tube or bar, before the finish."""
    dims = dims_of(part, finished=False)
    length = number(dims["length"].value)
    if length <= 0.0:
        raise CannotMake(
            f"{part.name} is {length:.1f} mm long before its finish.",
            part=part.name,
            field="length",
            remedy="Make it longer.",
        )
    if isinstance(part, Plug) and number(dims["diameter"].value) > part.across:
        raise CannotMake(
            f"{part.name} is to be {number(dims['diameter'].value):.2f} mm across before its "
            f"finish, and its bar {part.stock} is {part.across:g} mm.",
            part=part.name,
            field="from",
            remedy="Take a thicker bar.",
        )
    return CutLength(f"{part.name}-1", part.name, part.stock, length)


def _angle(
    strip: Strip,
    board: Board | None,
    cutters: tuple[Cutter, ...],
    revision: int,
    grained: frozenset[str],
) -> tuple[Sequence[Piece], tuple[str, ...], float]:
    """Pieces, notes and largest deviation of a strip with a flange."""
    assert board is not None, "a strip is cut from board"
    body = angle_solid(strip)
    pieces, notes, _ = folded_pieces(
        strip.name,
        body,
        board,
        request_of(strip.fold),
        tuple(SetUp(c.name, c.angle, c.floor, c.widest) for c in cutters),
        stock=strip.stock,
        revision=revision,
        grained=grained,
        grain=strip.grain,
    )
    return pieces, notes, deviation(pieces, body)


def _folded(
    part: FoldedPart,
    board: Board | None,
    cutters: tuple[Cutter, ...],
    revision: int,
    seen_along: tuple[tuple[float, float, float], ...],
    others: tuple[tuple[str, Board], ...],
    grained: frozenset[str],
    room: tuple[tuple[float, float], ...],
) -> tuple[Sequence[Piece], tuple[str, ...], float, float]:
    """Pieces, notes, largest deviation and filler of a folded part."""
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
    pieces, notes, filler = folded_pieces(
        part.name,
        body,
        board,
        request_of(part.fold),
        tuple(SetUp(c.name, c.angle, c.floor, c.widest) for c in cutters),
        stock=part.stock,
        wishes=wishes,
        backing=(part.backing.stock, by_stock[part.backing.stock], part.backing.width)
        if part.backing
        else None,
        revision=revision,
        seen_along=[np.array(eye) for eye in seen_along],
        fits=fits_rectangles(room, _turns(part, grained)) if room else None,
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
    return pieces, notes, deviation(pieces, body), filler
