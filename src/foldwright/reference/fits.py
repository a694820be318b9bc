"""Fits and general tolerances: which of our functions each model of the reference cases is.

Room: reference. Cases have deviations in micrometres and angles in degrees.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from types import MappingProxyType

from foldwright.reference.case import Given, Model
from foldwright.shop.general_tolerances import (
    angular_tolerances,
    edge_tolerances,
    linear_tolerances,
)
from foldwright.shop.iso_fits import (
    GRADES,
    SizeLimits,
    inch_limits,
    iso_fit,
    iso_tolerance,
    size_limits,
    tolerance_factor,
    worked_out_tolerance,
)

_MICROMETRES = 1000.0  # in a millimetre
# A size of so many whole parts of an inch, and of no whole millimetres, is out of a book
# in inches, which has tables of its own.
_EIGHTH_INCH = 3.175  # mm


def _fit(given: Given) -> Mapping[str, float]:
    fit = iso_fit(float(given["nominal_mm"]), given["hole_class"], given["shaft_class"])
    return {
        **_deviations("hole", fit.hole),
        **_deviations("shaft", fit.shaft),
        "max_clearance": fit.most_clearance * _MICROMETRES,
        "min_clearance": fit.least_clearance * _MICROMETRES,
    }


def _deviations(part: str, limits: SizeLimits) -> Mapping[str, float]:
    return {
        f"{part}_upper": limits.upper * _MICROMETRES,
        f"{part}_lower": limits.lower * _MICROMETRES,
    }


def _it_table(given: Given) -> Mapping[str, float]:
    size = float(given["nominal_mm"])
    # The coarse grades are not for every size, so only those that a case may ask everywhere.
    grades = GRADES[GRADES.index("1") : GRADES.index("13") + 1]
    return {f"IT{grade}": iso_tolerance(size, grade) * _MICROMETRES for grade in grades}


def _it_formula(given: Given) -> Mapping[str, float]:
    over, up_to = float(given["range_over_mm"]), float(given["range_up_to_mm"])
    return {
        "i_unit": tolerance_factor(over, up_to) * _MICROMETRES,
        "IT7_unrounded": worked_out_tolerance(over, up_to, "7") * _MICROMETRES,
    }


def _iso2768_linear(given: Given) -> Mapping[str, float]:
    return linear_tolerances(float(given["nominal_mm"]))


def _iso2768_angular(given: Given) -> Mapping[str, float]:
    found = angular_tolerances(float(given["shorter_side_mm"]))
    return {
        "f_and_m": math.degrees(found["f"]),
        **{name: math.degrees(angle) for name, angle in found.items()},
    }


def _table(given: Given) -> Mapping[str, float]:
    """Look up broken edges, a single class, or the limits of a hole, a shaft or both."""
    if "radius_or_chamfer_mm" in given:
        found = edge_tolerances(float(given["radius_or_chamfer_mm"]))
        return {"f_and_m": found["f"], "c_and_v": found["c"], **found}
    size = float(given["nominal_mm"])
    answers: dict[str, float] = {}
    if "tolerance_class" in given:
        limits = size_limits(size, given["tolerance_class"])
        answers["upper_deviation"] = limits.upper * _MICROMETRES
        answers["lower_deviation"] = limits.lower * _MICROMETRES
    for part in ("hole", "shaft"):
        if f"{part}_class" in given:
            look_up = inch_limits if _in_inches(size) else size_limits
            limits = look_up(size, given[f"{part}_class"])
            answers |= {f"{part}_max": limits.largest, f"{part}_min": limits.smallest}
            answers |= _deviations(part, limits)
    return answers or linear_tolerances(size)


def _in_inches(size: float) -> bool:
    parts = size / _EIGHTH_INCH
    return abs(parts - round(parts)) < 1e-9 * parts and not size.is_integer()


MODELS: Mapping[str, Model] = MappingProxyType(
    {
        "fit": _fit,
        "iso2768_angular": _iso2768_angular,
        "iso2768_linear": _iso2768_linear,
        "it_formula": _it_formula,
        "it_table": _it_table,
        "table": _table,
    }
)
