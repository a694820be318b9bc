"""Reference cases of fits and general tolerances."""

import tomllib
from pathlib import Path

import pytest
from pytest import approx

from foldwright.reference.fits import MODELS

CASES = tomllib.loads(
    (Path(__file__).parent / "cases" / "fits.toml").read_text(encoding="utf-8")
)["case"]  # fmt: skip


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["id"])
def test_a_case_gives_what_it_expects(case):
    answers = MODELS[case["model"]](case["given"])

    for expect in case["expect"]:
        source = expect if "atol" in expect else case
        tolerance = {"rel": source.get("rtol", 0.0), "abs": source.get("atol", 0.0)}
        assert answers[expect["name"]] == approx(expect["value"], **tolerance), expect["name"]


def test_a_table_answers_for_one_class_alone():
    """JS9 of 20 mm: half of IT9, 52 micrometres (ISO 286-1, Table 1)."""
    answers = MODELS["table"]({"nominal_mm": 20.0, "hole_class": "JS9"})

    assert answers["hole_max"] == approx(20.026)
    assert answers["hole_lower"] == approx(-26.0)
    assert "shaft_max" not in answers
