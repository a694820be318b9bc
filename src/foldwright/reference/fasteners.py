"""Fasteners: which of our functions each model of the reference cases is.

Room: reference.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from foldwright.reference.case import Given, Model
from foldwright.shop.bolt_groups import BoltGroup, bearing_stress, bolt_group, shear_stress
from foldwright.shop.bolts import good_distances, least_distances, shear_areas
from foldwright.shop.preload import TORQUE_FACTORS, loaded_bolt, mean_and_scatter, tightening_torque
from foldwright.shop.rivets import rivet_rule
from foldwright.shop.threads import (
    Thread,
    clearance_holes,
    least_tensile_load,
    nominal_named,
    property_classes,
    tap_drill,
    tensile_load,
    thread_named,
)


def _thread_of(given: Given) -> Thread:
    """Diameter and pitch where both are given, else the thread by name."""
    if "nominal_mm" in given and "pitch_mm" in given:
        return Thread(float(given["nominal_mm"]), float(given["pitch_mm"]))
    return thread_named(str(given["thread"]))


def _group_of(given: Given) -> BoltGroup:
    x, y = given.get("load_direction_xy", (0.0, -1.0))
    bolts = [(float(a), float(b)) for a, b in given["bolt_xy_mm"]]
    through = (float(given["load_x_mm"]), float(given.get("load_y_mm", 0.0)))
    return bolt_group(bolts, float(given["force_N"]), through, (float(x), float(y)))


def _bolt_group(given: Given) -> Mapping[str, float]:
    group = _group_of(given)
    answers = {
        "primary_per_bolt": group.primary,
        "secondary_per_bolt": max(group.secondary),
        "resultant_max": group.largest,
        "resultant_min": min(group.resultants),
    }
    if "bolt_shear_area_mm2" in given:
        area = float(given["bolt_shear_area_mm2"])
        answers["shear_stress_max"] = shear_stress(group.largest, area)
    if "plate_thickness_mm" in given and "bolt_diameter_mm" in given:
        answers["bearing_stress_max"] = bearing_stress(
            group.largest, float(given["bolt_diameter_mm"]), float(given["plate_thickness_mm"])
        )
    return answers


def _bolt_group_reaction(given: Given) -> Mapping[str, float]:
    group = _group_of(given)
    return {
        "shear_reaction": float(given["force_N"]),
        "moment": abs(group.moment),
        "bolt_radius": max(group.distances),
    }


def _bolt_preload(given: Given) -> Mapping[str, float]:
    loaded = loaded_bolt(
        float(given["stress_area_mm2"]),
        float(given["preload_N"]),
        float(given["load_N"]),
        float(given["k_bolt"]),
        float(given["k_members"]),
    )
    return {
        "preload_stress": loaded.preload_stress,
        "stiffness_constant": loaded.stiffness_constant,
        "service_stress": loaded.service_stress,
    }


def _ec_dist_min(given: Given) -> Mapping[str, float]:
    least = least_distances(float(given["hole_diameter_mm"]))
    return {
        "min_end_e1": least.end,
        "min_edge_e2": least.edge,
        "min_pitch_p1": least.pitch,
        "min_gauge_p2": least.gauge,
    }


def _ec_dist_rec(given: Given) -> Mapping[str, float]:
    good = good_distances(float(given["hole_diameter_mm"]))
    return {
        "recommended_e1": good.end,
        "recommended_e2": good.edge,
        "recommended_p1": good.pitch,
        "recommended_p2": good.gauge,
    }


def _mean_std(given: Given) -> Mapping[str, float]:
    mean, scatter = mean_and_scatter([float(value) for value in given["preload_kN"]])
    return {"mean": mean, "sample_std": scatter}


def _rivet_rule(given: Given) -> Mapping[str, float]:
    rule = rivet_rule(float(given["rivet_diameter_mm"]))
    return {
        "min_edge_distance": rule.edge,
        "min_pitch": rule.least_pitch,
        "usual_max_pitch": rule.largest_pitch,
    }


def _strip(given: Given) -> Mapping[str, float]:
    external, internal = shear_areas(_thread_of(given), float(given["engagement_mm"]))
    return {"external_shear_area": external, "internal_shear_area": internal}


def _table(given: Given) -> Mapping[str, float]:
    """Torque factors, and where a thread is given its clearance holes."""
    answers = {
        "nonplated_black": TORQUE_FACTORS["black"],
        "zinc_plated": TORQUE_FACTORS["zinc plated"],
        "lubricated": TORQUE_FACTORS["oiled"],
        "cadmium_plated": TORQUE_FACTORS["cadmium plated"],
    }
    if "thread" in given:
        holes = clearance_holes(nominal_named(str(given["thread"])))
        answers |= dict(zip(("fine", "medium", "coarse"), holes, strict=True))
    return answers


def _tap_drill(given: Given) -> Mapping[str, float]:
    return {"tap_drill": tap_drill(_thread_of(given))}


def _tensile_load(given: Given) -> Mapping[str, float]:
    strength = str(given.get("property_class", ""))
    if "thread" in given and strength in property_classes():
        return {
            "min_tensile_load": least_tensile_load(thread_named(str(given["thread"])), strength)
        }
    area, tensile = float(given["stress_area_mm2"]), float(given["Rm_min_MPa"])
    return {"min_tensile_load": tensile_load(area, tensile)}


def _thread(given: Given) -> Mapping[str, float]:
    thread = _thread_of(given)
    return {
        "pitch_diameter_d2": thread.pitch_d,
        "minor_diameter_d3": thread.root_d,
        "internal_minor_D1": thread.bore_d,
        "stress_area": thread.stress_area,
    }


def _tkfd(given: Given) -> Mapping[str, float]:
    nominal, preload = float(given["nominal_mm"]), float(given["preload_N"])
    return {"torque": tightening_torque(nominal, preload, float(given["torque_factor"]))}


MODELS: Mapping[str, Model] = MappingProxyType(
    {
        "bolt_group": _bolt_group,
        "bolt_group_reaction": _bolt_group_reaction,
        "bolt_preload": _bolt_preload,
        "ec_dist_min": _ec_dist_min,
        "ec_dist_rec": _ec_dist_rec,
        "mean_std": _mean_std,
        "rivet_rule": _rivet_rule,
        "strip": _strip,
        "table": _table,
        "tap_drill": _tap_drill,
        "tensile_load": _tensile_load,
        "thread": _thread,
        "tkfd": _tkfd,
    }
)
