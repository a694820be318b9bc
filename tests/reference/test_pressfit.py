"""Reference cases of press fits."""

import tomllib
from pathlib import Path

import pytest
from pytest import approx

from foldwright.reference.pressfit import MODELS

CASES = tomllib.loads(
    (Path(__file__).parent / "cases" / "pressfit.toml").read_text(encoding="utf-8")
)["case"]  # fmt: skip


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["id"])
def test_a_case_gives_what_it_expects(case):
    answers = MODELS[case["model"]](case["given"])

    for expect in case["expect"]:
        source = expect if "atol" in expect else case
        tolerance = {"rel": source.get("rtol", 0.0), "abs": source.get("atol", 0.0)}
        assert answers[expect["name"]] == approx(expect["value"], **tolerance), expect["name"]


def test_every_output_of_a_limit_that_is_turned_round():
    """Same disc by the limit, by its interference and back: one pressure, one force."""
    given = {
        "interface_radius_mm": 50.0, "outer_radius_mm": 125.0, "inner_radius_mm": 25.0,
        "E_outer_MPa": 70e3, "nu_outer": 0.25, "E_inner_MPa": 210e3, "nu_inner": 0.3,
        "hoop_limit_outer_MPa": 30.0, "length_mm": 100.0, "friction": 0.15,
    }  # fmt: skip
    turned = MODELS["pressfit_inverse"](given)
    back = MODELS["pressfit"]({**given, "radial_interference_mm": turned["radial_interference"]})

    assert back["pressure"] == approx(turned["pressure"], rel=1e-12)
    assert back["hoop_outer_at_interface"] == approx(30.0)
    assert back["axial_force"] == approx(MODELS["pressfit_limit"](given)["axial_force"])
    assert "torque" not in MODELS["pressfit_limit"]({k: given[k] for k in given if k != "friction"})
