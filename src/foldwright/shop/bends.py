"""Bends: folds of solid sheet that take nothing off it, or no more than a score.

Room: shop. Metal is bent cold, card and thin plastic are scored, acrylic and
foam board are folded hot over a heated line. With turn theta, c = tan(theta/2),
sheet t, inner radius r and neutral line K of what bends::

    bend, hot   s = (r + t) c, re-entrant r c;  zone = theta (r + K t)
    score       the same with r = 0 about the web w: s = t c, re-entrant 0;
                zone = theta k w

A score is cut from the side that opens, and the web folds about its far face.
`folds` calls `bent`, `scored` and `folded_hot`.
"""

from __future__ import annotations

import math

from foldwright.errors import OutOfDomain
from foldwright.shop.bend_allowances import allowance, k_din_6935
from foldwright.shop.materials import Board
from foldwright.shop.sections import FoldRequest, FoldSection
from foldwright.shop.springs import over_fold
from foldwright.shop.webs import neutral_depth

# Stiffer than any card, plastic or foam, softer than any metal [MPa].
_METAL = 20_000.0
# Thicker sheet tears along a score [mm]; common practice, no source.
_THICKEST_SCORED = 2.0
# Share of card that is left under a score; common practice, no source.
_SCORED_WEB = 0.5
# A line folded hot gets about the inside radius of its thickness; one tighter than
# half of that thins and crazes. Common practice, no source.
_HOT_RADIUS, _LEAST_HOT_RADIUS = 1.0, 0.5


def bent(board: Board, turn: float, request: FoldRequest) -> FoldSection:
    """Bend of solid sheet, cold.

    Parameters
    ----------
    board : Board
    turn : float
        [rad], negative re-entrant.
    request : FoldRequest
        `radius`, the least that the sheet takes if None; `k`, by DIN 6935 if None.

    Raises
    ------
    OutOfDomain
        Skinned board, or a radius that cracks the sheet.
    """
    _require_solid(board, "bent without a cut")
    t = board.thickness
    least = board.face.bend_radius.value * t
    radius = request.radius if request.radius is not None else least
    if radius < least:
        raise OutOfDomain(
            f"an inside radius of {radius:g} mm would crack {t:g} mm {board.what}. "
            f"Use at least {least:.1f} mm.",
            name="fold.radius",
        )
    k = request.k if request.k is not None else k_din_6935(radius, t)
    past = over_fold(board, t, allowance(abs(turn), radius, t, k), abs(turn))
    return _uncut("bend", board, turn, radius, k, past)


def folded_hot(board: Board, turn: float, request: FoldRequest) -> FoldSection:
    """Fold of plastic sheet over a heated line: soft right through, held until cold.

    Bends about the middle of the sheet unless a test strip says otherwise, and
    does not spring back. Common practice, no source.

    Parameters
    ----------
    board : Board
    turn : float
        [rad], negative re-entrant.
    request : FoldRequest
        `radius`, one thickness if None; `k`, 0.5 if None.

    Raises
    ------
    OutOfDomain
        Skinned board, metal, or a radius under half the thickness.
    """
    _require_solid(board, "folded hot, since its skins do not soften")
    t = board.thickness
    if board.face.modulus.value > _METAL:
        raise OutOfDomain(
            f'{board.what} does not soften over a heated line. Use method = "bend".',
            name="fold.method",
        )
    radius = request.radius if request.radius is not None else _HOT_RADIUS * t
    if radius < _LEAST_HOT_RADIUS * t:
        raise OutOfDomain(
            f"an inside radius of {radius:g} mm is too sharp for {t:g} mm sheet folded hot. "
            f"Use at least {_LEAST_HOT_RADIUS * t:.1f} mm.",
            name="fold.radius",
        )
    return _uncut("hot", board, turn, radius, request.k if request.k is not None else 0.5, 0.0)


def scored(board: Board, turn: float, request: FoldRequest) -> FoldSection:
    """Fold of card or thin plastic along a knife cut part through, which opens.

    The web folds sharp about the face that is not cut. Half of the sheet is
    left unless the request says otherwise; common practice, no source.

    Parameters
    ----------
    board : Board
    turn : float
        [rad], negative re-entrant.
    request : FoldRequest
        `web`; `k`, from a folded test strip.

    Raises
    ------
    OutOfDomain
        Skinned board, metal, sheet over 2 mm, or a web that is no part of it.
    """
    _require_solid(board, "scored, since its skin parts")
    t, theta = board.thickness, abs(turn)
    if board.face.modulus.value > _METAL or t > _THICKEST_SCORED:
        raise OutOfDomain(
            f"{t:g} mm {board.what} breaks along a score; card and plastic up to "
            f'{_THICKEST_SCORED:g} mm take one. Use method = "bend", "hot" or "groove".',
            name="fold.method",
        )
    web = request.web if request.web is not None else _SCORED_WEB * t
    if not 0.0 < web < t:
        raise OutOfDomain(
            f"a web of {web:g} mm is not to be had in {t:g} mm sheet. "
            f"Leave between 0 and {t:g} mm.",
            name="fold.web",
        )
    k = request.k if request.k is not None else neutral_depth(board, web) / web
    to_outside = t if turn > 0.0 else 0.0
    return FoldSection(
        turn=turn,
        method="score",
        cut_side="outside" if turn > 0.0 else "inside",
        web=web,
        k=k,
        inner_radius=0.0,
        zone_width=theta * k * web,
        setback=to_outside * math.tan(theta / 2.0),
        floor=0.0,
        cutter=0.0,
        cutter_name="",
        shuts_at=math.inf,
        over_fold=0.0,  # the web creases through and through
        strain=1.0,
        corner_loss=to_outside * (1.0 / math.cos(theta / 2.0) - 1.0),
    )


def _uncut(
    method: str, board: Board, turn: float, radius: float, k: float, past: float
) -> FoldSection:
    t, theta = board.thickness, abs(turn)
    to_outside = radius + t if turn > 0.0 else radius
    return FoldSection(
        turn=turn,
        method=method,
        cut_side="none",
        web=t,
        k=k,
        inner_radius=radius,
        zone_width=allowance(theta, radius, t, k),
        setback=to_outside * math.tan(theta / 2.0),
        floor=0.0,
        cutter=0.0,
        cutter_name="",
        shuts_at=math.inf,
        over_fold=past,
        strain=1.0 / (2.0 * radius / t + 1.0),
        corner_loss=to_outside * (1.0 / math.cos(theta / 2.0) - 1.0),
    )


def _require_solid(board: Board, how: str) -> None:
    if board.is_skinned:
        raise OutOfDomain(
            f"skinned board cannot be {how}. "
            'Use method = "groove", or "open" for a re-entrant fold.',
            name="fold.method",
        )
