"""Reference cases of shapes: developments, cuts, solids and mitres."""

import tomllib
from pathlib import Path

import pytest
from pytest import approx

from foldwright.reference.geometry import MODELS

CASES = tomllib.loads(
    (Path(__file__).parent / "cases" / "geometry.toml").read_text(encoding="utf-8")
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


@pytest.mark.parametrize("solid", ["truncated_icosahedron", "Truncated icosahedron"])
def test_a_solid_is_known_however_it_is_written(solid):
    """2 atan(phi^2), acos(-sqrt((5 + 2 sqrt 5)/15)): 138.190 and 142.623 degrees."""
    assert MODELS["trunc_icosa"]({"solid": solid})["dihedral_hex_hex"] == approx(138.189685)


def test_a_regular_solid_is_known_by_its_name_alone():
    assert MODELS["platonic"]({"solid": "cube"})["dihedral"] == approx(90.0)
