"""Bends: folds of solid sheet that take nothing off it, or no more than a score.

Room: shop. Metal is bent cold, card and thin plastic are scored, acrylic and
foam board are folded hot over a heated line; `folds` sees to it that a board
comes here only for a fold that its material takes. With turn theta, c = tan(theta/2),
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
from foldwright.shop.least_radii import least_bend_radius
from foldwright.shop.materials import Board
from foldwright.shop.mould_lines import corner_loss, setback
from foldwright.shop.sections import FoldRequest, FoldSection
from foldwright.shop.springs import over_fold
from foldwright.shop.webs import neutral_depth

# Thicker sheet tears along a score [mm]; common practice, no source.
THICKEST_SCORED = 2.0
# Share of card that is left under a score; common practice, no source.
SCORED_WEB = 0.5
# Inside radius, in thicknesses, of a fold made by hand in sheet that could be folded
# flat on itself; common practice, no source.
_SHARPEST_USUAL = 0.5
_LITTLE = 1e-9  # rounding of a radius that was worked out
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
        `radius`, if None the least that the sheet takes, and that of 2 mm sheet in
        thicknesses if that is more; `k`, by DIN 6935 if None.

    Raises
    ------
    OutOfDomain
        A radius that cracks the sheet.
    """
    t = board.thickness
    least = least_bend_radius(board.face, t, abs(turn)).radius
    usual = max(least, board.face.bend_radius.value * t, _SHARPEST_USUAL * t)
    radius = request.radius if request.radius is not None else usual
    if radius < least * (1.0 - _LITTLE):
        raise OutOfDomain(
            f"an inside radius of {radius:g} mm would crack {t:g} mm {board.what}. "
            f"Use at least {math.ceil(least * 10.0 - _LITTLE) / 10.0:.1f} mm.",
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
        A radius under half the thickness.
    """
    t = board.thickness
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
        Sheet over 2 mm, or a web that is no part of it.
    """
    t, theta = board.thickness, abs(turn)
    if t > THICKEST_SCORED:
        raise OutOfDomain(
            f"{t:g} mm {board.what} breaks along a score; up to {THICKEST_SCORED:g} mm takes "
            "one. Use thinner sheet, or cut a seam there.",
            name="fold.method",
        )
    web = request.web if request.web is not None else SCORED_WEB * t
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
        setback=setback(to_outside, theta),
        floor=0.0,
        cutter=0.0,
        cutter_name="",
        shuts_at=math.inf,
        over_fold=0.0,  # the web creases through and through
        strain=1.0,
        corner_loss=corner_loss(to_outside, theta),
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
        setback=setback(to_outside, theta),
        floor=0.0,
        cutter=0.0,
        cutter_name="",
        shuts_at=math.inf,
        over_fold=past,
        strain=1.0 / (2.0 * radius / t + 1.0),
        corner_loss=corner_loss(to_outside, theta),
    )
