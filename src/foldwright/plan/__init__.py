"""Plan: what the maker wants, from the text of a plan file to frozen records.

Start at `read_plan`; what it hands back is described in `whole`, `kinds` and
`records`.
"""

from __future__ import annotations

from foldwright.plan.dual import Dual, Number
from foldwright.plan.formula import Formula
from foldwright.plan.kinds import (
    AnyPart,
    Block,
    Bought,
    Box,
    Drum,
    Faceted,
    FoldedPart,
    Hood,
    Part,
    PlaneCut,
    Plate,
    Plug,
    Profile,
    Rib,
    Strip,
    Taper,
    Tube,
)
from foldwright.plan.later_faults import LaterFaults
from foldwright.plan.reader import fault_at, parse_plan, read_plan
from foldwright.plan.records import (
    Backing,
    Bar,
    Cutter,
    Feature,
    Finish,
    FoldAt,
    FoldWish,
    Layer,
    Length,
    Parameter,
    Placement,
    SeamAt,
    SeamWish,
    Sheet,
    Size,
    Stock,
)
from foldwright.plan.units import (
    in_units,
    is_fine_range,
    is_quantity,
    parse_angle,
    parse_length,
    show_length,
    shown_difference,
)
from foldwright.plan.whole import MEETS, End, Meet, Plan

__all__ = [
    "MEETS",
    "AnyPart",
    "Backing",
    "Bar",
    "Block",
    "Bought",
    "Box",
    "Cutter",
    "Drum",
    "Dual",
    "End",
    "Faceted",
    "Feature",
    "Finish",
    "FoldAt",
    "FoldWish",
    "FoldedPart",
    "Formula",
    "Hood",
    "LaterFaults",
    "Layer",
    "Length",
    "Meet",
    "Number",
    "Parameter",
    "Part",
    "Placement",
    "Plan",
    "PlaneCut",
    "Plate",
    "Plug",
    "Profile",
    "Rib",
    "SeamAt",
    "SeamWish",
    "Sheet",
    "Size",
    "Stock",
    "Strip",
    "Taper",
    "Tube",
    "fault_at",
    "in_units",
    "is_fine_range",
    "is_quantity",
    "parse_angle",
    "parse_length",
    "parse_plan",
    "read_plan",
    "show_length",
    "shown_difference",
]
