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
