"""What material and hands do: boards, folds, seams, scatter. Knows no plan."""

from foldwright.shop.bend_allowances import k_din_6935
from foldwright.shop.curl_habits import CurlHabit, table_habit, yield_from_test_curl
from foldwright.shop.curl_steps import CurlLengths, CurlStep, curl_lengths, curl_steps
from foldwright.shop.curls import (
    curl_strain,
    least_curl,
    may_wrinkle,
    most_strain,
    tightest_curl,
)
from foldwright.shop.fold_checks import least_flange, least_hole_distance
from foldwright.shop.folds import choose_section
from foldwright.shop.former_choice import FormerChoice, choose_former
from foldwright.shop.girths import neutral_girth
from foldwright.shop.hands import BLUNDER, BLUNDER_SIZE, PROCESSES, Process
from foldwright.shop.material_table import board_from_table, boards, matters, thicknesses
from foldwright.shop.materials import Board, Figure, Matter, StripResult
from foldwright.shop.plug_steps import plug_remarks, plug_steps
from foldwright.shop.press_plugs import PressPlug, plan_press_plug
from foldwright.shop.seams import SeamSection, butt, lap, mitre
from foldwright.shop.sections import FoldRequest, FoldSection, SetUp
from foldwright.shop.springs import over_fold, over_fold_spread, spring_back
from foldwright.shop.strips import StripFold, k_from_strip, strip_result
from foldwright.shop.webs import neutral_depth, shutting_turn

__all__ = [
    "BLUNDER",
    "BLUNDER_SIZE",
    "PROCESSES",
    "Board",
    "CurlHabit",
    "CurlLengths",
    "CurlStep",
    "Figure",
    "FoldRequest",
    "FoldSection",
    "FormerChoice",
    "Matter",
    "PressPlug",
    "Process",
    "SeamSection",
    "SetUp",
    "StripFold",
    "StripResult",
    "board_from_table",
    "boards",
    "butt",
    "choose_former",
    "choose_section",
    "curl_lengths",
    "curl_steps",
    "curl_strain",
    "k_din_6935",
    "k_from_strip",
    "lap",
    "least_curl",
    "least_flange",
    "least_hole_distance",
    "matters",
    "may_wrinkle",
    "mitre",
    "most_strain",
    "neutral_depth",
    "neutral_girth",
    "over_fold",
    "over_fold_spread",
    "plan_press_plug",
    "plug_remarks",
    "plug_steps",
    "shutting_turn",
    "spring_back",
    "strip_result",
    "table_habit",
    "thicknesses",
    "tightest_curl",
    "yield_from_test_curl",
]
