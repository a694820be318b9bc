"""Springback: which of our functions each model of the reference cases is.

Room: reference. All radii of the cases are put where our functions have the
middle of the thickness; only the arc of a bend knows inside radii.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from types import MappingProxyType

from foldwright.reference.case import Given, Model
from foldwright.shop.layers import plane_strain
from foldwright.shop.springback import (
    Rectangle,
    former_radius,
    rectangle,
    spring_ratio,
    sprung_angle,
    sprung_radius,
)


def _sheet(given: Given) -> tuple[float, float, float]:
    """Thickness [mm], modulus and yield [MPa]."""
    return float(given["thickness_mm"]), float(given["E_MPa"]), float(given["yield_MPa"])


def _springback_cubic(given: Given) -> Mapping[str, float]:
    radius, sheet = float(given["radius_loaded_mm"]), _sheet(given)
    sprung = sprung_radius(radius, *sheet)
    answers = {"ratio_Ri_Rf": spring_ratio(radius, *sheet), "radius_unloaded": sprung}
    if "bend_angle_loaded_deg" in given:
        loaded = math.radians(given["bend_angle_loaded_deg"])
        left = sprung_angle(loaded, radius, sprung, sheet[0])
        answers["bend_angle_unloaded"] = math.degrees(left)
    return answers


def _springback_inverse(given: Given) -> Mapping[str, float]:
    return {"former_radius": former_radius(float(given["radius_wanted_mm"]), *_sheet(given))}


def _springback_angle(given: Given) -> Mapping[str, float]:
    radius = float(given["radius_loaded_mm"])
    sprung = sprung_radius(radius, *_sheet(given))
    # The arc on the middle, read backwards: what was turned through under load.
    left = math.radians(given["bend_angle_unloaded_deg"])
    return {"angle_difference": math.degrees(sprung_angle(left, sprung, radius) - left)}


def _sb_plane_strain(given: Given) -> Mapping[str, float]:
    thickness, modulus, flow = _sheet(given)
    stiff, wide = plane_strain(modulus, flow, float(given["poisson"]))
    sprung = sprung_radius(float(given["radius_loaded_mm"]), thickness, stiff, wide)
    return {"effective_yield": wide, "effective_E": stiff, "radius_unloaded": sprung}


def _bent(given: Given) -> Rectangle:
    width = float(given.get("width_mm", 1.0))
    return rectangle(1.0 / float(given["radius_mid_mm"]), *_sheet(given), width)


def _epp_full(given: Given) -> Mapping[str, float]:
    bent = _bent(given)
    return {
        "yield_moment": bent.yield_moment,
        "plastic_moment": bent.plastic_moment,
        "yield_curvature": bent.yield_curvature,
        "moment": bent.moment,
        "unloaded_curvature": bent.free_curvature,
        "residual_outer_stress": bent.residual_stress,
    }


def _epp_resid(given: Given) -> Mapping[str, float]:
    return {"residual_outer_stress": _bent(given).residual_stress}


def _epp_moment(given: Given) -> Mapping[str, float]:
    # A sheet 2 thick with E = Y = 1 first yields at a curvature of 1.
    bent = rectangle(float(given["curvature_over_yield_curvature"]), 2.0, 1.0, 1.0)
    return {"moment_over_yield_moment": bent.moment / bent.yield_moment}


MODELS: Mapping[str, Model] = MappingProxyType(
    {
        "epp_full": _epp_full,
        "epp_moment": _epp_moment,
        "epp_resid": _epp_resid,
        "sb_plane_strain": _sb_plane_strain,
        "springback_angle": _springback_angle,
        "springback_cubic": _springback_cubic,
        "springback_inverse": _springback_inverse,
    }
)
