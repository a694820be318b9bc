"""Stock cases: bars for lengths, rolls for widths, strips for areas.

Room: reference. Names only; see `case`. A roll, a bin and a bar are the same
sum. Layouts of shapes on a strip are judged by the length that their area
needs, which is what a maker buys by.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from foldwright.errors import OutOfDomain
from foldwright.reference.case import Given, Model
from foldwright.sheet.lengths import BarNeed, bars_for, strip_length

_SECONDS = 120.0  # to prove that no plan takes fewer
_PER_CENT = 0.01


def _binpack(given: Given) -> Mapping[str, Any]:
    need = _proven(bars_for(given["stock_length"], given["items"], seconds=_SECONDS))
    return {"item_sum": need.length, "optimum_bins": need.bars}


def _csp(given: Given) -> Mapping[str, Any]:
    need = _rolls(given)
    return {
        "total_width": need.length,
        "material_lower_bound": need.material_bound,
        "optimum_rolls": need.bars,
    }


def _csp_chvatal(given: Given) -> Mapping[str, Any]:
    need = _rolls(given)
    return {
        "material_lower_bound": need.material_bound,
        "lp_bound": need.programme_bound,
        "optimum_rolls": need.bars,
    }


def _nest(given: Given) -> Mapping[str, Any]:
    area, width = given["total_piece_area"], given["strip_width"]
    found = {"length_lower_bound": strip_length(area, width)}
    if "best_density_percent" in given:
        share = given["best_density_percent"] * _PER_CENT
        found["implied_length"] = strip_length(area, width, share=share)
    return found


def _rolls(given: Given) -> BarNeed:
    return _proven(
        bars_for(given["stock_length"], given["widths"], given["demands"], seconds=_SECONDS)
    )


def _proven(need: BarNeed) -> BarNeed:
    if not need.is_least:
        raise OutOfDomain(
            f"{need.bars} do, but it is not proven within {_SECONDS:g} s that fewer do not. "
            "Allow more time.",
            name="seconds",
        )
    return need


MODELS: Mapping[str, Model] = MappingProxyType(
    {"binpack": _binpack, "csp": _csp, "csp_chvatal": _csp_chvatal, "nest": _nest}
)
