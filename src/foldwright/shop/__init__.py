"""What material and hands do: boards, folds, seams, scatter. Knows no plan."""

from foldwright.shop.bend_allowances import k_din_6935
from foldwright.shop.curls import (
    curl_strain,
    least_curl,
    may_wrinkle,
    most_strain,
    tightest_curl,
)
from foldwright.shop.folds import choose_section
from foldwright.shop.girths import neutral_girth
from foldwright.shop.hands import SCATTER
from foldwright.shop.material_table import board_from_table, boards, matters, thicknesses
from foldwright.shop.materials import Board, Figure, Matter
from foldwright.shop.seams import SeamSection, butt, lap, mitre
from foldwright.shop.sections import FoldRequest, FoldSection, SetUp
from foldwright.shop.springs import over_fold, over_fold_spread, spring_back
from foldwright.shop.webs import neutral_depth, shutting_turn

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
    "butt",
    "choose_section",
    "curl_strain",
    "k_din_6935",
    "lap",
    "least_curl",
    "matters",
    "may_wrinkle",
    "mitre",
    "most_strain",
    "neutral_depth",
    "neutral_girth",
    "over_fold",
    "over_fold_spread",
    "shutting_turn",
    "spring_back",
    "thicknesses",
    "tightest_curl",
]
