"""Reference cases of springback."""

import tomllib
from pathlib import Path

import pytest
from pytest import approx

from foldwright.reference.springback import MODELS

CASES = tomllib.loads(
    (Path(__file__).parent / "cases" / "springback.toml").read_text(encoding="utf-8")
)["case"]


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["id"])
def test_a_case_gives_what_it_expects(case):
    answers = MODELS[case["model"]](case["given"])

    for expect in case["expect"]:
        source = expect if "atol" in expect else case
        tolerance = {"rel": source.get("rtol", 0.0), "abs": source.get("atol", 0.0)}
        assert answers[expect["name"]] == approx(expect["value"], **tolerance), expect["name"]


def test_a_full_section_gives_every_output():
    """Closed form for Y = 140, E = 70 000, t = 2, b = 30 at four times the yield curvature."""
    given = {
        "yield_MPa": 140.0, "E_MPa": 70e3, "thickness_mm": 2.0, "width_mm": 30.0,
        "radius_mid_mm": 125.0,
    }  # fmt: skip
    answers = MODELS["epp_full"](given)

    assert answers["yield_moment"] == approx(30 * 140 * 4 / 6)
    assert answers["plastic_moment"] == approx(30 * 140 * 4 / 4)
    assert answers["yield_curvature"] == approx(0.002)
    assert answers["moment"] == approx(2800 * 1.46875)
    assert answers["unloaded_curvature"] == approx(0.008 - 0.002 * 1.46875)
    assert MODELS["epp_resid"](given)["residual_outer_stress"] == approx(140 - 1.46875 * 140)


def test_the_difference_of_an_angle_lies_between_its_two_usual_forms():
    given = {
        "radius_loaded_mm": 12.7, "yield_MPa": 275.79, "E_MPa": 199_948.0,
        "thickness_mm": 0.91186, "bend_angle_unloaded_deg": 90.0,
    }  # fmt: skip
    ratio = MODELS["springback_cubic"](given)["ratio_Ri_Rf"]
    difference = MODELS["springback_angle"](given)["angle_difference"]

    assert 90 * (1 - ratio) <= difference <= 90 * (1 / ratio - 1) + 1e-9
