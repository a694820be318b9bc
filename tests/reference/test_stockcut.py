"""Reference cases of bars, rolls and strips."""

import tomllib
from pathlib import Path

import pytest
from pytest import approx

from foldwright.reference.stockcut import MODELS

CASES = tomllib.loads(
    (Path(__file__).parent / "cases" / "stockcut.toml").read_text(encoding="utf-8")
)["case"]


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["id"])
def test_a_case_gives_what_it_expects(case):
    answers = MODELS[case["model"]](case["given"])

    for expect in case["expect"]:
        source = expect if "atol" in expect else case
        tolerance = {"rel": source.get("rtol", 0.0), "abs": source.get("atol", 1e-12)}
        assert answers[expect["name"]] == approx(expect["value"], **tolerance), expect["name"]


def test_every_model_has_a_case():
    assert {case["model"] for case in CASES} == set(MODELS)
