"""Reference cases of fasteners."""

import tomllib
from pathlib import Path

import pytest
from pytest import approx

from foldwright.reference.fasteners import MODELS

CASES = tomllib.loads(
    (Path(__file__).parent / "cases" / "fasteners.toml").read_text(encoding="utf-8")
)["case"]


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["id"])
def test_a_case_gives_what_it_expects(case):
    answers = MODELS[case["model"]](case["given"])

    for expect in case["expect"]:
        source = expect if "atol" in expect or "rtol" in expect else case
        tolerance = {"rel": source.get("rtol", 0.0), "abs": source.get("atol", 0.0)}
        assert answers[expect["name"]] == approx(expect["value"], **tolerance), expect["name"]


def test_torque_factors_are_a_table_of_their_own():
    """Shigley's Mechanical Engineering Design, 9th ed., Table 8-15; from memory, unchecked."""
    answers = MODELS["table"]({"table": "torque factors K"})

    assert answers["nonplated_black"] == 0.30
    assert answers["zinc_plated"] == 0.20
    assert answers["lubricated"] == 0.18
    assert answers["cadmium_plated"] == 0.16
    assert "fine" not in answers


def test_recommended_distances_are_whole_and_half_holes():
    """Common practice with EN 1993-1-8: 2.0, 1.5, 2.5 and 3.0 holes."""
    answers = MODELS["ec_dist_rec"]({"hole_diameter_mm": 6.6})

    assert list(answers.values()) == approx([13.2, 9.9, 16.5, 19.8])


def test_rivets_go_by_their_diameter():
    """Navy manual on sheet metal work: edge 2 D, pitch 3 D to 8 D."""
    answers = MODELS["rivet_rule"]({"rivet_diameter_mm": 4.0})

    assert list(answers.values()) == approx([8.0, 12.0, 32.0])


def test_a_bolt_group_tells_stresses_only_where_area_and_plate_are_given():
    """Example 8-7 of the same book; 146 and 131 MPa from memory, unchecked."""
    given = {
        "force_N": 16e3,
        "bolt_xy_mm": [[-75, -60], [75, -60], [75, 60], [-75, 60]],
        "load_x_mm": -425.0,
        "load_direction_xy": [0, -1],
    }
    more = given | {
        "bolt_shear_area_mm2": 144.0, "plate_thickness_mm": 10.0, "bolt_diameter_mm": 16.0,
    }  # fmt: skip

    assert "shear_stress_max" not in MODELS["bolt_group"](given)
    assert MODELS["bolt_group"](more)["shear_stress_max"] == approx(146.0, abs=0.6)
    assert MODELS["bolt_group"](more)["bearing_stress_max"] == approx(131.0, abs=0.6)


def test_a_tensile_load_goes_by_area_where_no_thread_is_named():
    answers = MODELS["tensile_load"]({"stress_area_mm2": 58.0, "Rm_min_MPa": 1040.0})

    assert answers["min_tensile_load"] == 60_300.0
