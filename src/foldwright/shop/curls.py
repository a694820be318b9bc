"""Curls: how tightly a board can be rolled before its skin cracks.

Room: shop. Sheet curled far more gently than its thickness bends about its
middle, solid or with two equal skins, so the outer fibre lies half the
thickness from the neutral surface.
"""

from __future__ import annotations

from foldwright.shop.materials import Board

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


def least_curl(board: Board) -> float:
    """Least radius of curvature of the middle of the board that its skin takes [mm].

    The radius at which `curl_strain` reaches what the skin material takes in
    a fold: its inside radius is then the least bend radius of that material,
    in thicknesses of the whole board. A skinned board wrinkles on the inside
    well before; see `may_wrinkle`.
    """
    return board.thickness / (2.0 * board.face.bend_strain)


def may_wrinkle(board: Board, neutral_radius: float) -> bool:
    """Whether the inner skin of a skinned board may wrinkle when curled so tightly."""
    inside = neutral_radius - board.thickness / 2.0
    return board.is_skinned and inside < _SKIN_WRINKLES * board.thickness
