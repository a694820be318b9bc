"""Skinned board: which of our functions each model of the reference cases is.

Room: reference. A case that says nothing of a figure gets one that plays no
part in what is asked.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from types import MappingProxyType

from foldwright.reference.case import Given, Model
from foldwright.shop import Board, Figure, boards
from foldwright.shop.fold_checks import cut_top_width
from foldwright.shop.panels import (
    WRINKLING,
    Panel,
    bending_rigidity,
    equivalent_modulus,
    face_stress,
    face_yield_moment,
    panel_of,
    plate_rigidity,
    sag_at_middle,
    section_modulus,
    shear_rigidity,
    wrinkling_stress,
)

# Asked by nobody.
_ANY = 1.0


def _figure(value: float) -> Figure:
    return Figure(float(value), 0.0, "the case")


def _board(given: Given) -> Board:
    """Skinned board with the figures of a case, all others those of the table."""
    like = boards()["acp-3-0.5"]
    face, core = like.face, like.core
    if "skin_density_kg_m3" in given:
        face = replace(face, density=_figure(given["skin_density_kg_m3"]))
    if "skin_E_MPa" in given:
        face = replace(face, modulus=_figure(given["skin_E_MPa"]))
    if "skin_poisson" in given:
        face = replace(face, poisson=_figure(given["skin_poisson"]))
    if core is not None and "core_density_kg_m3" in given:
        core = replace(core, density=_figure(given["core_density_kg_m3"]))
    return replace(
        like,
        thickness=float(given["total_thickness_mm"]),
        skin_thickness=float(given["skin_thickness_mm"]),
        face=face,
        core=core,
    )


def _panel(given: Given) -> Panel:
    return Panel(
        face=float(given.get("face_thickness_mm", _ANY)),
        core=float(given.get("core_thickness_mm", _ANY)),
        face_modulus=float(given.get("E_face_MPa", _ANY)),
        core_modulus=float(given.get("E_core_MPa", _ANY)),
        core_shear=float(given.get("G_core_MPa", _ANY)),
    )


def _acp_panel(given: Given) -> Mapping[str, float]:
    board = _board(given)
    panel = panel_of(board)
    return {
        "mass_per_area": board.areal_mass,
        "section_modulus_per_width": section_modulus(panel),
        "flexural_rigidity_per_width": plate_rigidity(panel, board.face.poisson.value),
        "equivalent_E": equivalent_modulus(panel),
    }


def _acp_eq_e(given: Given) -> Mapping[str, float]:
    return {"equivalent_E": equivalent_modulus(panel_of(_board(given)))}


def _face_yield(given: Given) -> Mapping[str, float]:
    moment = face_yield_moment(_panel(given), float(given["face_yield_MPa"]))
    return {"face_yield_moment_per_width": moment}


def _sandwich_3pb(given: Given) -> Mapping[str, float]:
    panel, width = _panel(given), float(given["width_mm"])
    span, load = float(given["span_mm"]), float(given["load_N"])
    return {
        "EI_eq": bending_rigidity(panel, width),
        "AG_eq": shear_rigidity(panel, width),
        "deflection": sag_at_middle(panel, width, span, load),
        "face_stress_max": face_stress(panel, width, load * span / 4.0),
    }


def _wrinkling(given: Given) -> Mapping[str, float]:
    coefficient = float(given.get("coefficient", WRINKLING))
    return {"wrinkling_stress": wrinkling_stress(_panel(given), coefficient)}


def _vgroove(given: Given) -> Mapping[str, float]:
    width = cut_top_width(
        float(given["panel_thickness_mm"]),
        float(given["remaining_thickness_mm"]),
        math.radians(given["groove_included_angle_deg"]),
        float(given.get("flat_width_mm", 0.0)),
    )
    return {"groove_top_width": width}


MODELS: Mapping[str, Model] = MappingProxyType(
    {
        "acp_eqE": _acp_eq_e,
        "acp_panel": _acp_panel,
        "face_yield": _face_yield,
        "sandwich_3pb": _sandwich_3pb,
        "vgroove": _vgroove,
        "wrinkling": _wrinkling,
    }
)
