"""What to cut it from: layouts on the rack, bars, cut list, purchases, weights."""

from foldwright.sheet.bars import BarCuts, BarPlan, cut_bars
from foldwright.sheet.blanks import Blank, as_marked, blanks_of
from foldwright.sheet.coats import Paint, paints_of
from foldwright.sheet.corners import corner_packer
from foldwright.sheet.cut_list import CutRow, cut_list
from foldwright.sheet.filling import Gap, filling, filling_mass, gaps_of, mixed
from foldwright.sheet.fitting import fitting_turns, room_on, why_not
from foldwright.sheet.layout import lay_out
from foldwright.sheet.library import library_packer
from foldwright.sheet.packing import (
    Item,
    PackedBoard,
    Packer,
    PackingResult,
    PackingTask,
    Placed,
)
from foldwright.sheet.purchase import PurchaseLine, PurchaseList, purchase_list, sheet_in_words
from foldwright.sheet.records import (
    LeftOut,
    SheetLayout,
    Spot,
    StockLayout,
    is_offcut,
    is_rectangle,
)
from foldwright.sheet.too_large import too_large
from foldwright.sheet.verify import layout_faults
from foldwright.sheet.weights import (
    BuildWeight,
    PartWeight,
    masses,
    net_area,
    piece_mass,
    section_area,
)

__all__ = [
    "BarCuts",
    "BarPlan",
    "Blank",
    "BuildWeight",
    "CutRow",
    "Gap",
    "Item",
    "LeftOut",
    "PackedBoard",
    "Packer",
    "PackingResult",
    "PackingTask",
    "Paint",
    "PartWeight",
    "Placed",
    "PurchaseLine",
    "PurchaseList",
    "SheetLayout",
    "Spot",
    "StockLayout",
    "as_marked",
    "blanks_of",
    "corner_packer",
    "cut_bars",
    "cut_list",
    "filling",
    "filling_mass",
    "fitting_turns",
    "gaps_of",
    "is_offcut",
    "is_rectangle",
    "lay_out",
    "layout_faults",
    "library_packer",
    "masses",
    "mixed",
    "net_area",
    "paints_of",
    "piece_mass",
    "purchase_list",
    "room_on",
    "section_area",
    "sheet_in_words",
    "too_large",
    "why_not",
]
