"""Plan: what the maker wants, from the text of a plan file to frozen records.

Start at `read_plan`; what it hands back is described in `records`.
"""

from __future__ import annotations

from foldwright.plan.dual import Dual, Number
from foldwright.plan.formula import Formula
from foldwright.plan.reader import fault_at, parse_plan, read_plan
from foldwright.plan.records import (
    AnyPart,
    Box,
    Cutter,
    Drum,
    Finish,
    FoldWish,
    Layer,
    Length,
    Meet,
    Parameter,
    Part,
    Placement,
    Plan,
    Plate,
    Profile,
    Sheet,
    Size,
    Stock,
)
from foldwright.plan.units import is_quantity, parse_angle, parse_length, show_length

__all__ = [
    "AnyPart",
    "Box",
    "Cutter",
    "Drum",
    "Dual",
    "Finish",
    "FoldWish",
    "Formula",
    "Layer",
    "Length",
    "Meet",
    "Number",
    "Parameter",
    "Part",
    "Placement",
    "Plan",
    "Plate",
    "Profile",
    "Sheet",
    "Size",
    "Stock",
    "fault_at",
    "is_quantity",
    "parse_angle",
    "parse_length",
    "parse_plan",
    "read_plan",
    "show_length",
]
