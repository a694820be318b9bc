"""Bending: which of our functions each model of the reference cases is.

Room: reference. Cases give angles in degrees, the one turned through as
``bend_angle_deg``, the one between the legs as ``opening_angle_deg`` or
``included_angle_deg``.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from types import MappingProxyType

from foldwright.reference.case import Given, Model
from foldwright.shop.bend_allowances import (
    AIRFRAME,
    HARDNESS,
    LINEAR,
    allowance,
    allowance_by_hardness,
    allowance_of_airframes,
    compensation_din_6935,
    deduction,
    developed_width,
    flat_length,
    flats,
    k_by_table,
    k_din_6935,
    k_of_groover,
    k_of_hardness,
    outside_setback,
    shortening_linear,
)
from foldwright.shop.bend_force import FORCE_FACTORS, press_force


def _turn(given: Given) -> float:
    for opening in ("included_angle_deg", "opening_angle_deg"):
        if opening in given:
            return math.pi - math.radians(given[opening])
    return math.radians(given.get("bend_angle_deg", 90.0))


def _sheet(given: Given) -> tuple[float, float]:
    """Inside radius and thickness [mm]."""
    return float(given["inside_radius_mm"]), float(given["thickness_mm"])


def _coefficient(given: Given) -> float:
    if "coef_T" in given:
        return float(given["coef_T"])
    return HARDNESS[str(given["hardness_class"]).replace("_", "-")]


def _bend_emp_k(given: Given) -> Mapping[str, float]:
    return {"equivalent_k_factor": k_of_hardness(_coefficient(given))}


def _bend_empirical(given: Given) -> Mapping[str, float]:
    taken = allowance_by_hardness(_turn(given), *_sheet(given), _coefficient(given))
    return {"bend_allowance": taken}


def _bend_emp_total(given: Given) -> Mapping[str, float]:
    thickness, coefficient = float(given["thickness_mm"]), _coefficient(given)
    taken = [
        allowance_by_hardness(math.radians(angle), float(radius), thickness, coefficient)
        for radius, angle in zip(given["inside_radii_mm"], given["bend_angles_deg"], strict=True)
    ]
    return {"flat_length": developed_width([float(given["straight_sum_mm"])], taken)}


def _airframe(given: Given) -> float:
    on_t, on_r = AIRFRAME
    coefficients = (float(given.get("coef_T", on_t)), float(given.get("coef_R", on_r)))
    return allowance_of_airframes(_turn(given), *_sheet(given), coefficients)


def _bend_faa(given: Given) -> Mapping[str, float]:
    taken = _airframe(given)
    less = deduction(_turn(given), *_sheet(given), taken)
    return {"bend_allowance": taken, "bend_deduction": less}


def _bend_faa_flat(given: Given) -> Mapping[str, float]:
    legs = [float(length) for length in given["outside_dims_mm"]]
    bends = int(given.get("bends", len(legs) - 1))
    answers = _bend_faa(given)
    length = flat_length(legs, [answers["bend_deduction"]] * bends)
    return {**answers, "flat_length": length}


def _bend_faa_flats(given: Given) -> Mapping[str, float]:
    legs = [float(length) for length in given["mold_line_dims_mm"]]
    back = outside_setback(_turn(given), *_sheet(given))
    straights = flats(legs, [back] * (len(legs) - 1))
    return {"setback": back, **{f"flat_{i}": length for i, length in enumerate(straights, 1)}}


def _bend_faa_tdw(given: Given) -> Mapping[str, float]:
    straights = [float(length) for length in given["flats_mm"]]
    bends = int(given.get("bends", len(straights) - 1))
    taken = _airframe(given)
    return {
        "bend_allowance": taken,
        "developed_width": developed_width(straights, [taken] * bends),
    }


def _bend_force(given: Given) -> Mapping[str, float]:
    force = press_force(
        float(given["width_mm"]),
        float(given["thickness_mm"]),
        float(given["tensile_strength_MPa"]),
        float(given["die_opening_mm"]),
        float(given.get("K_bf", FORCE_FACTORS["vee"])),
    )
    return {"bending_force": force}


def _bend_groover(given: Given) -> Mapping[str, float]:
    radius, thickness = _sheet(given)
    k = float(given["k_factor"]) if "k_factor" in given else k_of_groover(radius, thickness)
    taken = allowance(_turn(given), radius, thickness, k)
    answers = {"k_factor": k, "bend_allowance": taken}
    if "leg_1_mm" in given and "leg_2_mm" in given:
        # The book's legs are the straight lengths up to the bend.
        straights = [float(given["leg_1_mm"]), float(given["leg_2_mm"])]
        answers["blank_length"] = developed_width(straights, [taken])
    return answers


def _bend_k(given: Given) -> Mapping[str, float]:
    radius, thickness = _sheet(given)
    k = float(given["k_factor"]) if "k_factor" in given else None
    if k is None:
        metal = str(given["material"]).replace("_", "-")
        k = k_by_table(radius, thickness, metal)
    if k is None:
        return {}
    return {"k_factor": k, "bend_allowance": allowance(_turn(given), radius, thickness, k)}


def _bend_v_approx(given: Given) -> Mapping[str, float]:
    on_r, on_s = LINEAR
    coefficients = (float(given.get("coef_r", on_r)), float(given.get("coef_s", on_s)))
    shorter = shortening_linear(*_sheet(given), coefficients)
    answers = {"shortening_v": shorter}
    if "leg_sum_mm" in given:
        bends = int(given.get("bends", 1))
        legs = [float(given["leg_sum_mm"]) / (bends + 1)] * (bends + 1)  # only their sum counts
        answers["flat_length"] = flat_length(legs, [shorter] * bends)
    return answers


def _din6935(given: Given) -> Mapping[str, float]:
    radius, thickness = _sheet(given)
    opening = math.pi - _turn(given)
    k = k_din_6935(radius, thickness)
    return {
        "compensation_v": compensation_din_6935(opening, radius, thickness),
        "k_din": 2.0 * k,  # of half the thickness
        "k_factor": k,
    }


MODELS: Mapping[str, Model] = MappingProxyType(
    {
        "bend_emp_k": _bend_emp_k,
        "bend_emp_total": _bend_emp_total,
        "bend_empirical": _bend_empirical,
        "bend_faa": _bend_faa,
        "bend_faa_flat": _bend_faa_flat,
        "bend_faa_flats": _bend_faa_flats,
        "bend_faa_tdw": _bend_faa_tdw,
        "bend_force": _bend_force,
        "bend_groover": _bend_groover,
        "bend_k": _bend_k,
        "bend_v_approx": _bend_v_approx,
        "din6935": _din6935,
    }
)
