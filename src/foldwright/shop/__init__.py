"""What material and hands do: boards, folds, seams, scatter. Knows no plan."""

from foldwright.shop.folds import (
    FoldRequest,
    FoldSection,
    SetUp,
    choose_section,
    k_din_6935,
    neutral_depth,
    shutting_turn,
    spring_back,
)
from foldwright.shop.hands import SCATTER
from foldwright.shop.materials import Board, Figure, Matter, board_from_table, boards, thicknesses
from foldwright.shop.seams import SeamSection, mitre

__all__ = [
    "SCATTER",
    "Board",
    "Figure",
    "FoldRequest",
    "FoldSection",
    "Matter",
    "SeamSection",
    "SetUp",
    "board_from_table",
    "boards",
    "choose_section",
    "k_din_6935",
    "mitre",
    "neutral_depth",
    "shutting_turn",
    "spring_back",
    "thicknesses",
]
