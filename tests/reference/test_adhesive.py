"""Reference cases of glued laps."""

import tomllib
from pathlib import Path

import pytest
from pytest import approx

from foldwright.reference.adhesive import MODELS

CASES = tomllib.loads(
    (Path(__file__).parent / "cases" / "adhesive.toml").read_text(encoding="utf-8")
)["case"]


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["id"])
def test_a_case_gives_what_it_expects(case):
    answers = MODELS[case["model"]](case["given"])

    for expect in case["expect"]:
        source = expect if "atol" in expect or "rtol" in expect else case
        tolerance = {"rel": source.get("rtol", 0.0), "abs": source.get("atol", 0.0)}
        assert answers[expect["name"]] == approx(expect["value"], **tolerance), expect["name"]


def test_the_overlap_for_yield_balances_sheet_and_glue():
    answers = MODELS["overlap_yield"](
        {"sheet_thickness_mm": 1.6, "sheet_yield_MPa": 150.0, "adhesive_shear_MPa": 20.0}
    )

    assert answers["overlap_for_sheet_yield"] == approx(12.0)


def test_a_strap_shares_the_line_load_over_its_half_width():
    answers = MODELS["strap"](
        {"seam_length_mm": 300.0, "strap_half_width_mm": 20.0, "line_load_N_per_mm": 2.0}
    )

    assert answers["average_shear"] == approx(0.1)
    assert answers["total_load"] == approx(600.0)
