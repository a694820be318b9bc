"""Reference cases of skinned board."""

import tomllib
from pathlib import Path

import pytest
from pytest import approx

from foldwright.reference.sandwich import MODELS

CASES = tomllib.loads(
    (Path(__file__).parent / "cases" / "sandwich.toml").read_text(encoding="utf-8")
)["case"]


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["id"])
def test_a_case_gives_what_it_expects(case):
    answers = MODELS[case["model"]](case["given"])

    for expect in case["expect"]:
        source = expect if "atol" in expect else case
        tolerance = {"rel": source.get("rtol", 0.0), "abs": source.get("atol", 0.0)}
        assert answers[expect["name"]] == approx(expect["value"], **tolerance), expect["name"]


def test_the_modulus_of_sheet_as_stiff_needs_the_skins_alone():
    """E_s (1 - (c/h)^3) with c/h = 3/4 is 37/64 of 70 000."""
    given = {"total_thickness_mm": 4.0, "skin_thickness_mm": 0.5, "skin_E_MPa": 70_000.0}

    assert MODELS["acp_eqE"](given)["equivalent_E"] == approx(70_000.0 * 37.0 / 64.0, rel=1e-12)
