"""Glue: which of our functions each model of the reference cases is.

Room: reference. The cases give loads and widths, our functions take loads per
width and the stiffness E t of each sheet.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from foldwright.reference.case import Given, Model
from foldwright.shop.glue import average_shear, double_lap, lap_shear, overlap_for_yield, strap


def _line_load(given: Given) -> float:
    return float(given["load_N"]) / float(given["width_mm"])


def _double_lap(given: Given) -> Mapping[str, float]:
    lap = double_lap(
        _line_load(given),
        float(given["overlap_mm"]),
        float(given["E_outer_MPa"]) * float(given["outer_thickness_mm"]),
        float(given["E_inner_MPa"]) * float(given["inner_thickness_mm"]),
        float(given["G_adhesive_MPa"]),
        float(given["adhesive_thickness_mm"]),
        outer_expansion=float(given["alpha_outer_per_K"]),
        inner_expansion=float(given["alpha_inner_per_K"]),
        warming=float(given["delta_T_K"]),
    )
    return {
        "omega": lap.rise,
        "thermal_end": lap.thermal_end,
        "load_end": lap.load_end,
        "load_centre": lap.load_centre,
        "total_max": lap.largest,
    }


def _lap_avg(given: Given) -> Mapping[str, float]:
    load, width = float(given["load_N"]), float(given["width_mm"])
    return {"average_shear": average_shear(load, width, float(given["overlap_mm"]))}


def _overlap_yield(given: Given) -> Mapping[str, float]:
    overlap = overlap_for_yield(
        float(given["sheet_thickness_mm"]),
        float(given["sheet_yield_MPa"]),
        float(given["adhesive_shear_MPa"]),
    )
    return {"overlap_for_sheet_yield": overlap}


def _strap(given: Given) -> Mapping[str, float]:
    glued = strap(
        float(given["line_load_N_per_mm"]),
        float(given["strap_half_width_mm"]),
        float(given["seam_length_mm"]),
    )
    return {"average_shear": glued.average_shear, "total_load": glued.total_load}


def _volkersen(given: Given) -> Mapping[str, float]:
    lap = lap_shear(
        _line_load(given),
        float(given["overlap_mm"]),
        float(given["E1_MPa"]) * float(given["t1_mm"]),
        float(given["E2_MPa"]) * float(given["t2_mm"]),
        float(given["G_adhesive_MPa"]),
        float(given["adhesive_thickness_mm"]),
    )
    return {
        "omega": lap.rise,
        "average_shear": lap.average,
        "max_shear": lap.largest,
        "peak_factor": lap.peak_factor,
        "other_end_shear": lap.other_end,
    }


MODELS: Mapping[str, Model] = MappingProxyType(
    {
        "double_lap": _double_lap,
        "lap_avg": _lap_avg,
        "overlap_yield": _overlap_yield,
        "strap": _strap,
        "volkersen": _volkersen,
    }
)
