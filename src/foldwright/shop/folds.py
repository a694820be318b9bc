"""Folds: where the flat ends, how wide the bend is, when a groove shuts.

Room: shop. Knows boards, knows nothing of plans or shapes. `flat` asks it for
the `FoldSection` of each edge it wants to fold.

A fold turns through `turn` [rad], positive towards the inside of the part
(convex), negative towards the outside (re-entrant). What bends is the *web*:
the board left under a cut, or the whole sheet if nothing is cut. The *zone*
is the strip that bends; the *setback* is the distance from the outside mould
line, where the two outside faces would meet, back to the zone. The module of
each way has its formulas: `grooves`, `kerfs`, `bends`.

Start at `choose_section`.
"""

from __future__ import annotations

import math
from dataclasses import replace

from foldwright.errors import OutOfDomain
from foldwright.shop.bends import THICKEST_SCORED, bent, folded_hot, scored
from foldwright.shop.grooves import grooved
from foldwright.shop.kerfs import kerfed
from foldwright.shop.materials import Board
from foldwright.shop.sections import FoldRequest, FoldSection, SetUp

# Beyond this the two faces run into one another; a seam is the way.
SHARPEST_TURN = math.radians(175.0)
SLIGHTEST_TURN = math.radians(0.5)
# Webs this near are one set-up [mm].
_SAME_WEB = 0.05
_UNCUT = ("bend", "hot")
# Why a board does not take a way of folding.
_NOT_SKINNED = {
    "bend": "cannot be bent without a cut",
    "hot": "cannot be folded hot, since its skins do not soften",
    "score": "cannot be scored, since its skin parts",
}
_NOT_SOLID = {
    "bend": "cannot be bent cold, since it cracks or springs back",
    "hot": "does not soften over a heated line",
    "score": "breaks along a score",
    "kerf": "breaks or springs open over a saw kerf",
    "groove": "breaks or springs open over a groove",
    "open": "breaks or springs back over a cut that opens",
}


def choose_section(
    board: Board, turn: float, request: FoldRequest, set_ups: tuple[SetUp, ...]
) -> FoldSection:
    """Work out a fold, choosing the set-up that makes it.

    The set-up asked for is used if it shuts far enough beyond the turn and
    strains the skin no more than it can take. Else the floor is widened, then
    the next cutter is tried, in the order of the maker's list.

    Parameters
    ----------
    board : Board
    turn : float
        [rad], negative re-entrant.
    request : FoldRequest
    set_ups : tuple of SetUp
        The maker's cutters.

    Raises
    ------
    OutOfDomain
        A way of folding that the board does not take, no set-up that does it, a
        turn under 0.5 or near 180 degrees, or a web that the board does not have;
        ``name`` is the key of the fold table to change.
    """
    if not SLIGHTEST_TURN <= abs(turn) <= SHARPEST_TURN:
        raise OutOfDomain(
            f"a fold of {math.degrees(abs(turn)):.1f} degrees cannot be made; "
            "between 0.5 and 175 can. Change the outline, or cut a seam there.",
            name="outline",
        )
    method = request.method or _usual_method(board, turn)
    require_way(board, method)
    request = _as_tested(board, method, request)
    match method:
        case "bend":
            return bent(board, turn, request)
        case "hot":
            return folded_hot(board, turn, request)
        case "score":
            return scored(board, turn, request)
        case "kerf":
            return kerfed(board, turn, request, set_ups)
        case _:
            return grooved(board, turn, method, request, set_ups)


def _as_tested(board: Board, method: str, request: FoldRequest) -> FoldRequest:
    """Take the neutral line from the maker's own test strip, where one was folded like this."""
    if request.k is not None:
        return request
    for strip in board.strips:
        same_web = request.web is None or abs(request.web - strip.web) < _SAME_WEB
        if strip.method == method and (same_web or method in _UNCUT):
            web = request.web if method in _UNCUT else strip.web
            return replace(request, web=web, k=strip.k)
    return request


def _usual_method(board: Board, turn: float) -> str:
    if not board.is_skinned:
        return (*_ways(board), "bend")[0]
    # A groove from outside would show, so re-entrant folds are cut open from inside.
    return "groove" if turn > 0.0 else "open"


def _ways(board: Board) -> tuple[str, ...]:
    """Ways of folding that the board takes in its thickness, the usual one first."""
    is_thick = board.thickness > THICKEST_SCORED
    return tuple(way for way in board.folds if not (way == "score" and is_thick))


def require_way(board: Board, method: str) -> None:
    """Refuse a way of folding that the board does not take in any thickness."""
    if method in board.folds:
        return
    if board.is_skinned:
        why = f"skinned board {_NOT_SKINNED[method]}"
        advice = 'Use method = "groove", or "open" for a re-entrant fold.'
    else:
        why = f"{board.thickness:g} mm {board.what} {_NOT_SOLID[method]}"
        ways = " or ".join(f'"{way}"' for way in _ways(board))
        advice = f"Use method = {ways}." if ways else "Nothing folds it so thick; cut a seam there."
    raise OutOfDomain(f"{why}. {advice}", name="fold.method")
