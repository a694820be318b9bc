"""Curls: how tightly a board can be rolled before its skin tears or wrinkles.

Room: shop. Sheet curled far more gently than its thickness bends about its
middle, solid or with two equal skins, so the outer fibre lies half the
thickness from the neutral surface. Radii are those of the middle.

What it takes to get there, and where it springs to, is in `formers`.
"""

from __future__ import annotations

import math

from foldwright.errors import OutOfDomain
from foldwright.shop.board_sections import section_of
from foldwright.shop.layers import stress_at
from foldwright.shop.materials import Board
from foldwright.shop.panels import panel_of, wrinkling_stress

# Tighter than this many thicknesses, inside, the inner skin of skinned board
# may wrinkle: value from memory, unchecked; common practice for composite panel.
_SKIN_WRINKLES = 15.0


def curl_strain(board: Board, neutral_radius: float) -> float:
    """Strain of the outer fibre of a curled board [-].

    ::

        strain = t / (2 R)

    Parameters
    ----------
    board : Board
    neutral_radius : float
        R, radius of curvature of the middle of the board [mm], above 0.

    References
    ----------
    Bending of a beam about its middle, elementary mechanics.

    Examples
    --------
    >>> from foldwright.shop import boards
    >>> curl_strain(boards()["acp-2-0.2"], 100.0)
    0.01
    """
    return board.thickness / (2.0 * neutral_radius)


def most_strain(board: Board) -> float:
    """Strain past which the outer fibre of a curled board is sure to tear [-].

    Solid sheet stretches most in a thin outer layer, held by what lies under
    it: it takes what it takes in a bend. The skin of skinned board is stretched
    right through, as in a tensile test, and takes no more than its elongation,
    which tables give as a least value: two standard deviations above it is
    past any sheet.
    """
    face = board.face
    if not board.is_skinned:
        return face.bend_strain
    toughest = face.elongation.value * (1.0 + 2.0 * face.elongation.spread)
    return min(face.bend_strain, toughest)


def may_tear(board: Board, neutral_radius: float) -> bool:
    """Whether the skin is stretched past the elongation of the table, solid sheet past its bend."""
    limit = most_strain(board)
    if board.is_skinned:
        limit = min(limit, board.face.elongation.value)
    return curl_strain(board, neutral_radius) > limit


def tightest_curl(board: Board) -> float:
    """Least radius of the middle of a curl that goes far round, as in a drum [mm].

    The radius at which `curl_strain` reaches `most_strain`. A skinned board
    wrinkles on the inside well before; see `may_wrinkle`.
    """
    return board.thickness / (2.0 * most_strain(board))


def least_curl(board: Board) -> float:
    """Least radius of the middle of a short round [mm], as of a rounded corner.

    Its inside radius is the least bend radius of the skin, in thicknesses of
    the whole board. In a round hardly longer than the board is thick the core
    shears and spares the skins, so that elongation does not govern as it does
    in a drum; see `tightest_curl`.
    """
    return board.thickness / (2.0 * board.face.bend_strain)


def may_wrinkle(board: Board, neutral_radius: float) -> bool:
    """Whether the inner skin of a skinned board may wrinkle when curled so tightly.

    Either its stress passes that of elastic wrinkling, or the inside radius is
    one at which composite panel is known to wrinkle: past its yield a skin
    wrinkles earlier than an elastic one.
    """
    if not board.is_skinned:
        return False
    inside = neutral_radius - board.thickness / 2.0
    if inside < _SKIN_WRINKLES * board.thickness:
        return True
    stress = float(stress_at(section_of(board), 1.0 / neutral_radius))
    return stress > wrinkling_stress(panel_of(board))


def smooth_curl(board: Board) -> float:
    """Radius of the middle from which on skinned board curls without wrinkles, as known [mm]."""
    return (_SKIN_WRINKLES + 0.5) * board.thickness if board.is_skinned else tightest_curl(board)


def check_curl(board: Board, outside_d: float) -> None:
    """Refuse a drum that its board cannot be curled to.

    Parameters
    ----------
    board : Board
        With a thickness.
    outside_d : float
        Of the drum, bare [mm].

    Raises
    ------
    OutOfDomain
        Says the nearest diameter that can be curled.
    """
    least = 2.0 * tightest_curl(board) + board.thickness
    if not math.isfinite(outside_d) or outside_d < least:
        raise OutOfDomain(
            f"a drum of {outside_d:g} mm outside is tighter than {board.thickness:g} mm "
            f"{board.what} can be curled: its skin takes {100.0 * most_strain(board):.1f} in 100. "
            f"Make it at least {math.ceil(least * 10.0 - 1e-6) / 10.0:.1f} mm, or use thinner "
            "board.",
            name="outside_d",
        )
