"""Geometry cases: developments, cuts, regular solids and compound mitres.

Room: reference. Names and units only; see `case`.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

import numpy as np

from foldwright.flat.sectors import cone_blank, sector_angle
from foldwright.flat.square_to_round import SquareToRound
from foldwright.flat.wraps import angled_cut, branch_cut, elbow, saddle_depth, wrap_width
from foldwright.reference.case import Given, Model
from foldwright.shape.domes import Cap
from foldwright.shape.leaning import hopper, mitred_side
from foldwright.shape.regular_solids import (
    content,
    dihedrals,
    regular_named,
    regular_solid,
    rhomb_of,
)

_CHORD_TURN = math.radians(30.0)  # of the chord that a case names: chord_30deg


def _turns(given: Given) -> Any:
    return np.radians(given["theta_deg"])


def _frustum(given: Given) -> Mapping[str, Any]:
    blank = cone_blank(given["large_diameter_mm"], given["small_diameter_mm"], given["height_mm"])
    return {
        "inner_radius": blank.sector.inner,
        "outer_radius": blank.sector.outer,
        "sector_angle": math.degrees(blank.sector.angle),
        "slant": blank.slant,
        "lateral_area": blank.sector.area,
    }


def _cone_sector(given: Given) -> Mapping[str, Any]:
    angle = sector_angle(math.radians(given["apex_angle_deg"]))
    return {"sector_angle": math.degrees(angle)}


def _trunc_cyl(given: Given) -> Mapping[str, Any]:
    radius = given["radius_mm"]
    cut = angled_cut(radius, math.radians(given["cut_angle_deg"]), _turns(given))
    return {"ordinates": cut.tolist(), "unrolled_width": wrap_width(radius)}


def _cyl_int(given: Given) -> Mapping[str, Any]:
    cut = branch_cut(
        given["main_radius_mm"],
        given["branch_radius_mm"],
        math.radians(given["axis_angle_deg"]),
        _turns(given),
        offset=given.get("offset_mm", 0.0),
    )
    return {"cut_distance": cut.tolist()}


def _saddle_depth(given: Given) -> Mapping[str, Any]:
    depth = saddle_depth(given["main_radius_mm"], given["branch_radius_mm"], _turns(given))
    return {"saddle_depth": depth.tolist()}


def _gore(given: Given) -> Mapping[str, Any]:
    radius = given["pipe_radius_mm"]
    made = elbow(
        radius,
        given["bend_radius_mm"],
        math.radians(given["bend_angle_deg"]),
        given["full_segments"],
        _turns(given),
    )
    return {
        "half_angle": math.degrees(made.half_angle),
        "half_segment_ordinates": made.ordinates.tolist(),
        "unrolled_width": wrap_width(radius),
    }


def _sq_round(given: Given) -> Mapping[str, Any]:
    made = SquareToRound(given["square_side_mm"], given["round_diameter_mm"], given["height_mm"])
    return {
        "corner_true_lengths": made.corner_lengths(_turns(given)).tolist(),
        "mid_side_to_circle": made.seam,
        "chord_30deg": made.step(_CHORD_TURN),
    }


def _cap(given: Given) -> Mapping[str, Any]:
    cap = Cap(given["sphere_radius_mm"], given["cap_height_mm"])
    return {"cap_area": cap.area, "base_radius": cap.base_radius}


def _solid_of(given: Given) -> str:
    return re.sub("[_-]", " ", str(given["solid"])).lower()


def _platonic(given: Given) -> Mapping[str, Any]:
    if "face_sides" in given:
        name = regular_named(given["face_sides"], given["faces_per_vertex"])
    else:
        name = _solid_of(given)
    (dihedral,) = dihedrals(regular_solid(name, 1.0)).values()
    return {"dihedral": math.degrees(dihedral)}


def _trunc_icosa(given: Given) -> Mapping[str, Any]:
    found = dihedrals(regular_solid(_solid_of(given), 1.0))
    return {
        "dihedral_hex_hex": math.degrees(found["hexagon", "hexagon"]),
        "dihedral_hex_pent": math.degrees(found["hexagon", "pentagon"]),
    }


def _rhombic_dodeca(given: Given) -> Mapping[str, Any]:
    solid = regular_solid("rhombic dodecahedron", given["edge_mm"])
    face = solid.faces[0]
    rhomb = rhomb_of(solid, face)
    (dihedral,) = dihedrals(solid).values()
    return {
        "dihedral": math.degrees(dihedral),
        "acute_face_angle": math.degrees(rhomb.acute),
        "long_diagonal": rhomb.long,
        "short_diagonal": rhomb.short,
        "face_area": solid.area(face),
        "volume": content(solid),
    }


def _compound_mitre(given: Given) -> Mapping[str, Any]:
    found = mitred_side(given["sides"], math.radians(given["side_pitch_deg"]))
    return {"mitre": math.degrees(found.mitre), "bevel": math.degrees(found.bevel)}


def _hopper(given: Given) -> Mapping[str, Any]:
    found = hopper(
        given["base_x_mm"],
        given["base_y_mm"],
        given["top_x_mm"],
        given["top_y_mm"],
        given["height_mm"],
    )
    return {
        "dihedral_corner": math.degrees(found.corner),
        "dihedral_base_x_wall": math.degrees(found.base_x),
        "dihedral_base_y_wall": math.degrees(found.base_y),
        "slant_x_wall": found.slant_x,
        "slant_y_wall": found.slant_y,
        "corner_edge": found.edge,
    }


MODELS: Mapping[str, Model] = MappingProxyType(
    {
        "cap": _cap,
        "compound_mitre": _compound_mitre,
        "cone_sector": _cone_sector,
        "cyl_int": _cyl_int,
        "frustum": _frustum,
        "gore": _gore,
        "hopper": _hopper,
        "platonic": _platonic,
        "rhombic_dodeca": _rhombic_dodeca,
        "saddle_depth": _saddle_depth,
        "sq_round": _sq_round,
        "trunc_cyl": _trunc_cyl,
        "trunc_icosa": _trunc_icosa,
    }
)
