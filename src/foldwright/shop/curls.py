"""Curls: how tightly a board can be rolled before its skin tears or wrinkles.

Room: shop. Sheet curled far more gently than its thickness bends about its
middle, solid or with two equal skins, so the outer fibre lies half the
thickness from the neutral surface. Radii are those of the middle.

What it takes to get there, and where it springs to, is in `formers`.
"""

from __future__ import annotations

import math

from foldwright.errors import OutOfDomain
from foldwright.shop.layers import section_of, stress_at
from foldwright.shop.materials import Board

# Tighter than this many thicknesses, inside, the inner skin of skinned board
# may wrinkle: value from memory, unchecked; common practice for composite panel.
_SKIN_WRINKLES = 15.0
# Face wrinkling: 0.5 is what is used for design, 0.91 what theory has for a perfect
# face. Both from memory, unchecked.
WRINKLING = 0.5


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


def wrinkling_stress(
    face_modulus: float, core_modulus: float, core_shear: float, coefficient: float = WRINKLING
) -> float:
    """Compressive stress at which a thin skin on a thick core wrinkles [MPa].

    ::

        sigma = 0.5 (E_f E_c G_c)^(1/3)

    Parameters
    ----------
    face_modulus, core_modulus, core_shear : float
        E_f, E_c, G_c [MPa], above 0.
    coefficient : float
        0.5 for design.

    Raises
    ------
    OutOfDomain
        A modulus that is not above 0.

    Notes
    -----
    Elastic: once the skin has yielded it wrinkles earlier.

    References
    ----------
    N. J. Hoff and S. E. Mautner, The buckling of sandwich-type panels, Journal of
    the Aeronautical Sciences, 1945, from memory, unchecked.

    Examples
    --------
    >>> round(wrinkling_stress(70_000.0, 200.0, 69.0), 1)
    494.3
    """
    product = face_modulus * core_modulus * core_shear
    if not (min(face_modulus, core_modulus, core_shear) > 0.0 and math.isfinite(product)):
        raise OutOfDomain(
            f"moduli of {face_modulus:g}, {core_modulus:g} and {core_shear:g} MPa: all have to be "
            "above 0. Look them up for skin and core.",
            name="core_modulus",
        )
    return float(coefficient * product ** (1.0 / 3.0))


def wrinkling_strength(board: Board) -> float:
    """`wrinkling_stress` of the skins of a board [MPa]; infinite for solid sheet."""
    if board.core is None:
        return math.inf
    core = board.core.modulus.value
    shear = core / (2.0 * (1.0 + board.core.poisson.value))
    return wrinkling_stress(board.face.modulus.value, core, shear)


def may_wrinkle(board: Board, neutral_radius: float) -> bool:
    """Whether the inner skin of a skinned board may wrinkle when curled so tightly.

    Either its stress passes that of elastic wrinkling, or the inside radius is
    one at which composite panel is known to wrinkle.
    """
    if not board.is_skinned:
        return False
    inside = neutral_radius - board.thickness / 2.0
    if inside < _SKIN_WRINKLES * board.thickness:
        return True
    stress = float(stress_at(section_of(board), 1.0 / neutral_radius))
    return stress > wrinkling_strength(board)


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
