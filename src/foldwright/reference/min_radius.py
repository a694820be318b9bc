"""Least bend radii: which of our functions each model of the reference cases is.

Room: reference. The tables are told apart by what a case gives: steel has a
class of tensile strength, European aluminium a range of thicknesses or a name
that begins with EN, American aluminium the rest.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from types import MappingProxyType

from foldwright.errors import OutOfDomain
from foldwright.reference.case import Given, Model
from foldwright.shop.least_radii import (
    LeastRadius,
    outer_strain,
    radius_aa,
    radius_by_reduction,
    radius_din_6935,
    radius_en_485,
)

_ALONG = ("along", "longitudinal", "parallel")
_JUST_OVER = 1.0 + 1e-6  # a range that names its lower end only begins just above it


def _strain(given: Given) -> Mapping[str, float]:
    thickness, radius = float(given["thickness_mm"]), float(given["inside_radius_mm"])
    return {"outer_fibre_strain": outer_strain(thickness, radius)}


def _reduction(given: Given) -> Mapping[str, float]:
    thickness, reduction = float(given["thickness_mm"]), float(given["reduction_of_area_percent"])
    return {"min_radius": radius_by_reduction(thickness, reduction)}


def _table(given: Given) -> Mapping[str, float]:
    least = _least(given, _thickness(given))
    answers = {"min_radius_over_t": least.ratio}
    if "thickness_mm" in given:
        answers["min_inside_radius"] = least.radius
    return answers


def _least(given: Given, thickness: float) -> LeastRadius:
    turn = math.radians(float(given.get("bend_angle_deg", 90.0)))
    along = str(given.get("direction", "")).lower().startswith(_ALONG)
    if "tensile_strength_class_MPa" in given:
        tensile = _strongest(given["tensile_strength_class_MPa"])
        return radius_din_6935(thickness, tensile, turn, along=along)
    alloy, temper = str(given["alloy"]), str(given["temper"])
    has_range = "thickness_up_to_mm" in given or "thickness_over_mm" in given
    if has_range or alloy.upper().startswith("EN"):
        return radius_en_485(alloy, temper, thickness, turn, along=along)
    return radius_aa(alloy, temper, thickness, along=along)


def _thickness(given: Given) -> float:
    for key in ("thickness_mm", "thickness_up_to_mm"):
        if key in given:
            return float(given[key])
    return float(given["thickness_over_mm"]) * _JUST_OVER


def _strongest(strength_class: object) -> float:
    """Upper limit of a class like ``"390..490"``, ``"up to 390"`` or a plain number [MPa]."""
    numbers = re.findall(r"\d+(?:\.\d+)?", str(strength_class))
    if not numbers:
        raise OutOfDomain(
            f'"{strength_class}" is no class of tensile strength. Write it like "390..490".',
            name="tensile_strength_class_MPa",
        )
    return float(numbers[-1])


MODELS: Mapping[str, Model] = MappingProxyType(
    {"outer_strain": _strain, "rmin_ra": _reduction, "table": _table}
)
