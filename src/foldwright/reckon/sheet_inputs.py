"""What reckoners of sheet ask alike, and the cautions of the work.

Room: reckon. Inputs that several reckoners share, and a board in the thickness
that was measured.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import wraps

from foldwright.errors import OutOfDomain
from foldwright.reckon.definition import Answer, Input
from foldwright.shop import Board
from foldwright.shop.folds import SHARPEST_TURN, SLIGHTEST_TURN
from foldwright.shop.physical import require_above_zero, require_between

# Widest cutter that still cuts a groove, and not a flat [rad]; common practice, no source.
WIDEST_CUTTER = math.radians(170.0)
# How well a web cut by hand and a thickness are known [mm]; common practice, no source.
WEB_SIGMA, THICKNESS_SIGMA = 0.12, 0.03
# Skinned board that differs by more from its name is another board; common practice, no source.
_AS_SOLD = 0.25
# What a reckoner asks where a plan or the shop has another name.
_ASKED = {"fold": "angle", "outline": "angle", "turn": "angle", "method": "board"}

CUT_CAUTION = (
    "Router and saw: clamp the board, keep hands behind the cutter, wear eye and ear "
    "protection and a dust mask; follow the tool's own instructions and local rules."
)
EDGE_CAUTION = "Edges of skins and sheet cut: wear gloves, and break the edges with a file."
PRESS_CAUTION = (
    "Presses and bending bars crush: keep fingers out of the gap, guard it as local rules "
    "and the maker of the press say."
)

BOARD = Input("board", "the board or sheet", "board")
THICKNESS = Input(
    "thickness",
    "its thickness as measured; that of the table if left out",
    "mm",
    usual="",
    spread=THICKNESS_SIGMA,
)
ANGLE = Input("angle", "turned through: 90 for a square corner, 30 for a slight fold", "deg")
WEB = Input(
    "web", "left under the cut; skin and half a millimetre if left out", "mm", "", spread=WEB_SIGMA
)
FLOOR = Input("floor", "flat of the cut; chosen if left out", "mm", usual="")
OWN_K = Input("k", "neutral line from your own test strip, 0 to 1", "-", usual="")


def measured(board: Board, thickness: float | None) -> Board:
    """Return the board in the thickness measured."""
    if thickness is None:
        if board.thickness > 0.0:
            return board
        raise OutOfDomain(
            f"{board.what}, and none is given. Measure the sheet, and add thickness=1.5 or what "
            "it is.",
            name="thickness",
        )
    require_above_zero(thickness, "the thickness", name="thickness")
    if board.is_skinned and thickness <= 2.0 * board.skin_thickness:
        raise OutOfDomain(
            f"{thickness:g} mm leaves no core between skins of {board.skin_thickness:g} mm. "
            "Measure the whole board.",
            name="thickness",
        )
    if board.is_skinned and abs(thickness - board.thickness) > _AS_SOLD * board.thickness:
        raise OutOfDomain(
            f"{thickness:g} mm is another board: this one is sold {board.thickness:g} mm thick. "
            "Name the board that you have; foldwright reckon material lists them.",
            name="thickness",
        )
    return board.of_thickness(thickness)


def k_as_given(k: float | None) -> float | None:
    """Return the neutral line of a strip, once it is sure to lie in what bends."""
    if k is not None:
        require_between(k, 0.0, 1.0, "the neutral line k", name="k", unit="")
    return k


def in_own_words[**P](answer: Callable[P, Answer]) -> Callable[P, Answer]:
    """Let the refusals of an answer name what its reckoner asks, not a key of a plan."""

    @wraps(answer)
    def answered(*args: P.args, **kwargs: P.kwargs) -> Answer:
        try:
            return answer(*args, **kwargs)
        except OutOfDomain as fault:
            key = fault.name.removeprefix("fold.")
            raise OutOfDomain(str(fault), name=_ASKED.get(key, key)) from fault

    return answered


def require_turn(angle: float) -> None:
    """Refuse a turn that no fold has."""
    require_between(angle, SLIGHTEST_TURN, SHARPEST_TURN, "the angle", name="angle", unit="deg")
