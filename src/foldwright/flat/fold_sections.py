"""Fold sections: from a fold of a pattern back to its cross-section.

Room: flat. A pattern holds what is set and what bends; what follows from that
(how hard the skin is stretched, where the mould line lies) is worked out from
it again, so that whatever asks about a fold asks about the one that is cut.
"""

from __future__ import annotations

from foldwright.flat.pattern import Fold
from foldwright.shop import Board, FoldRequest, FoldSection, SetUp
from foldwright.shop.bends import bent, folded_hot, scored
from foldwright.shop.grooves import cut_section


def section_of_fold(fold: Fold, board: Board) -> FoldSection:
    """Cross-section of a fold as its pattern has it; of one kerf, where a row shares the turn.

    Parameters
    ----------
    fold : Fold
    board : Board
        That the piece is cut from, in its thickness.

    Raises
    ------
    OutOfDomain
        A fold that this board does not make: the pattern is of another board.
    """
    asked = FoldRequest(web=fold.web, radius=fold.inner_radius, k=fold.k)
    match fold.method:
        case "bend":
            return bent(board, fold.turn, asked)
        case "hot":
            return folded_hot(board, fold.turn, asked)
        case "score":
            return scored(board, fold.turn, asked)
    cutter = SetUp("", fold.cutter, fold.floor, fold.floor)
    return cut_section(board, fold.turn, fold.method, fold.web, fold.floor, cutter, fold.k)
