"""Reference cases of masses, centres, hanging and lifting."""

import tomllib
from pathlib import Path

import pytest
from pytest import approx

from foldwright.reference.mass_cg import MODELS

CASES = tomllib.loads(
    (Path(__file__).parent / "cases" / "mass_cg.toml").read_text(encoding="utf-8")
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


def test_a_lift_without_a_twist_or_constant_takes_the_usual_ones():
    """23 kg of the metric equation, NIOSH publication 94-110; 25/40, 0.82 + 4.5/60, upright."""
    given = {"H_cm": 40, "V_cm": 75, "D_cm": 60, "FM": 1, "CM": 1}

    assert MODELS["niosh"](given)["RWL"] == approx(23.0 * 25.0 / 40.0 * (0.82 + 4.5 / 60.0))


def test_a_standard_is_known_however_it_is_spaced():
    assert MODELS["table"]({"standard": "ISO11228-1:2021"})["lowest_mass_covered"] == 3.0
