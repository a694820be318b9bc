"""Reference cases of least bend radii."""

import tomllib
from pathlib import Path

import pytest
from pytest import approx

from foldwright.errors import OutOfDomain
from foldwright.reference.min_radius import MODELS

CASES = tomllib.loads(
    (Path(__file__).parent / "cases" / "min_radius.toml").read_text(encoding="utf-8")
)["case"]


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["id"])
def test_a_case_gives_what_it_expects(case):
    answers = MODELS[case["model"]](case["given"])

    for expect in case["expect"]:
        source = expect if "atol" in expect else case
        tolerance = {"rel": source.get("rtol", 0.0), "abs": source.get("atol", 0.0)}
        assert answers[expect["name"]] == approx(expect["value"], **tolerance), expect["name"]


@pytest.mark.parametrize(
    ("strength", "radius"),
    [("up to 390", 1.0), ("<=390", 1.0), ("390..490", 1.2), ("490-640", 1.6), (380, 1.0)],
)
def test_a_class_of_tensile_strength_is_read_however_it_is_written(strength, radius):
    given = {"tensile_strength_class_MPa": strength, "thickness_mm": 1.0, "bend_angle_deg": 90.0}

    assert MODELS["table"](given)["min_inside_radius"] == radius


def test_a_class_without_a_number_is_refused():
    with pytest.raises(OutOfDomain, match='Write it like "390..490"'):
        MODELS["table"]({"tensile_strength_class_MPa": "soft", "thickness_mm": 1.0})


def test_along_the_rolling_direction_the_next_thicker_class_holds():
    given = {
        "material": "steel", "tensile_strength_class_MPa": "390..490", "thickness_mm": 2.5,
        "bend_angle_deg": 90.0, "direction": "longitudinal",
    }  # fmt: skip

    assert MODELS["table"](given)["min_inside_radius"] == 4.0


def test_a_range_begins_just_above_its_lower_end():
    given = {"alloy": "EN AW-6082", "temper": "T6", "thickness_over_mm": 1.5}

    assert MODELS["table"](given)["min_radius_over_t"] == 3.5


def test_strain_and_reduction_of_area_are_answered():
    assert MODELS["outer_strain"]({"thickness_mm": 1.0, "inside_radius_mm": 2.0}) == {
        "outer_fibre_strain": 0.2
    }
    assert MODELS["rmin_ra"]({"thickness_mm": 2.0, "reduction_of_area_percent": 20.0}) == {
        "min_radius": 3.0
    }
