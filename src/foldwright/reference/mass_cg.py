"""Mass cases: bodies put together, panels, hanging and lifting.

Room: reference. Names and units only; see `case`. Bodies are composed of the
lumps that a maker's answer is composed of.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import Any

from foldwright.errors import UnknownName
from foldwright.reference.case import Given, Model
from foldwright.sheet.handling import (
    GUIDES,
    LOAD_CONSTANT,
    backpack_guidance,
    hanging_reactions,
    lifting_index,
    recommended_limit,
)
from foldwright.sheet.lumps import (
    block,
    composed,
    disc,
    frustum,
    hemisphere,
    panel,
    plate_of,
    whole_cone,
)
from foldwright.shop import Board, Figure, Matter, boards

_CM = 10.0  # mm
_ANY = 1.0  # thickness [mm] and density [kg/m3] where only the centre is asked


def _acp_mass(given: Given) -> Mapping[str, Any]:
    skinned = next(board for board in boards().values() if board.core is not None)
    assert skinned.core is not None
    board: Board = replace(
        skinned,
        thickness=given["total_thickness_mm"],
        skin_thickness=given["skin_thickness_mm"],
        face=_dense(skinned.face, given["skin_density_kg_m3"]),
        core=_dense(skinned.core, given["core_density_kg_m3"]),
    )
    return {"mass": panel(given["length_mm"], given["width_mm"], board).content}


def _dense(matter: Matter, density: float) -> Matter:
    return replace(matter, density=Figure(density, 0.0, "given"))


def _backpack(given: Given) -> Mapping[str, Any]:
    low, high = backpack_guidance(given["body_mass_kg"])
    return {"guidance_low": low, "guidance_high": high}


def _centroid3(given: Given) -> Mapping[str, Any]:
    b, h = given["b_mm"], given["h_mm"]
    standing = block(b, h, _ANY, _ANY)
    lying = block(h, b, _ANY, _ANY).moved(y=h)
    whole = composed([standing, standing.moved(x=b), lying])
    return {"y_centroid": float(whole.at[1])}


def _hemisphere(given: Given) -> Mapping[str, Any]:
    radius = given["radius_mm"]
    # on its pole
    bowl = hemisphere(radius, given["density_kg_m3"]).upside_down().moved(z=radius)
    return {"mass": bowl.content, "centroid_above_pole": float(bowl.at[2])}


def _hib_989(given: Given) -> Mapping[str, Any]:
    thickness, high = given["thickness_mm"], given["height_mm"]
    long, base = given["rect_length_mm"], given["tri_base_mm"]
    steel, brass = given["steel_density_kg_m3"], given["brass_density_kg_m3"]
    rectangle = block(long, high, thickness, steel)
    # the two triangles share a rectangle along its falling diagonal
    lower = plate_of([(0.0, 0.0), (base, 0.0), (0.0, high)], thickness, steel).moved(x=long)
    upper = plate_of([(base, 0.0), (base, high), (0.0, high)], thickness, brass).moved(x=long)
    whole = composed([rectangle, lower, upper])
    return {
        "mass_rect": rectangle.content,
        "total_mass": whole.content,
        "x_bar": float(whole.at[0]),
    }


def _hib_frustum(given: Given) -> Mapping[str, Any]:
    height, density = given["frustum_height_mm"], given["frustum_density_kg_m3"]
    radii = given["frustum_bottom_radius_mm"], given["frustum_top_radius_mm"]
    full = whole_cone(*radii, height, density)
    below = hemisphere(
        given["hemisphere_radius_mm"], given["hemisphere_density_kg_m3"]
    ).upside_down()
    pieces = [frustum(*radii, height, density), below]
    if given["hole_radius_mm"]:
        pieces.append(-disc(given["hole_radius_mm"], height, density))
    whole = composed(pieces)
    return {
        "full_cone_mass": full.content,
        "full_cone_moment": full.content * float(full.at[2]),
        "total_mass": whole.content,
        "z_bar": float(whole.at[2]),
    }


def _lbracket(given: Given) -> Mapping[str, Any]:
    width, thickness = given["width_mm"], given["thickness_mm"]
    density = given["density_kg_m3"]
    base = block(given["leg_x_mm"], width, thickness, density)
    upright = block(thickness, width, given["leg_z_mm"] - thickness, density).moved(z=thickness)
    whole = composed([base, upright])
    return {"mass": whole.content, "x_bar": float(whole.at[0]), "z_bar": float(whole.at[2])}


def _niosh(given: Given) -> Mapping[str, Any]:
    limit = recommended_limit(
        given["H_cm"] * _CM,
        given["V_cm"] * _CM,
        given["D_cm"] * _CM,
        math.radians(given.get("A_deg", 0.0)),
        frequency_factor=given["FM"],
        coupling_factor=given["CM"],
        constant=given.get("load_constant_kg", LOAD_CONSTANT),
    )
    found = {"RWL": limit}
    if "load_kg" in given:
        found["lifting_index"] = lifting_index(given["load_kg"], limit)
    return found


def _table(given: Given) -> Mapping[str, Any]:
    standard = str(given["standard"])
    # "ISO 11228-1:2021", "ISO 11228-1 (2003)" and "ISO11228-1" are read as the standard they are
    close = standard.replace(" ", "")
    guide = next((g for n, g in GUIDES.items() if close.startswith(n.replace(" ", ""))), None)
    if guide is None:
        raise UnknownName("standard", standard, GUIDES)
    return {
        "reference_mass_professional": guide.reference,
        "lowest_mass_covered": guide.lowest,
    }


def _two_support(given: Given) -> Mapping[str, Any]:
    first, second = given["support_x_mm"]
    near, far = hanging_reactions(given["weight_N"], given["cg_x_mm"], (first, second))
    return {"reaction_0": near, "reaction_1": far}


MODELS: Mapping[str, Model] = MappingProxyType(
    {
        "acp_mass": _acp_mass,
        "backpack": _backpack,
        "centroid3": _centroid3,
        "hemisphere": _hemisphere,
        "hib_989": _hib_989,
        "hib_frustum": _hib_frustum,
        "lbracket": _lbracket,
        "niosh": _niosh,
        "table": _table,
        "two_support": _two_support,
    }
)
