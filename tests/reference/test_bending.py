"""Reference cases of bends."""

import tomllib
from pathlib import Path

import pytest
from pytest import approx

from foldwright.reference.bending import MODELS

CASES = tomllib.loads(
    (Path(__file__).parent / "cases" / "bending.toml").read_text(encoding="utf-8")
)["case"]
INCH = 25.4


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["id"])
def test_a_case_gives_what_it_expects(case):
    answers = MODELS[case["model"]](case["given"])

    for expect in case["expect"]:
        source = expect if "atol" in expect else case
        tolerance = {"rel": source.get("rtol", 0.0), "abs": source.get("atol", 0.0)}
        assert answers[expect["name"]] == approx(expect["value"], **tolerance), expect["name"]


def test_the_blank_of_a_textbook():
    """Groover, Fundamentals of Modern Manufacturing, worked bending example.

    38 and 25 mm straight, t 3.2, R 4.75, 120 degrees between the legs: printed
    allowance 6.08 mm, blank 69.08 mm (values from memory, unchecked; half a unit).
    """
    answers = MODELS["bend_groover"](
        {
            "thickness_mm": 3.2,
            "inside_radius_mm": 4.75,
            "included_angle_deg": 120.0,
            "leg_1_mm": 38.0,
            "leg_2_mm": 25.0,
        }
    )

    assert answers["bend_allowance"] == approx(6.08, abs=0.005)
    assert answers["blank_length"] == approx(69.08, abs=0.005)


def test_the_flats_of_an_airframe_channel():
    """FAA-H-8083-31, vol. 1, ch. 4 (memory, unchecked).

    T 0.040, R 0.16 in: setback 0.20; mould lines 1.00, 2.00, 1.00 leave flats of
    0.80, 1.60, 0.80 in. All sums of the printed figures, so exact.
    """
    answers = MODELS["bend_faa_flats"](
        {
            "thickness_mm": 0.040 * INCH,
            "inside_radius_mm": 0.16 * INCH,
            "mold_line_dims_mm": [1.0 * INCH, 2.0 * INCH, 1.0 * INCH],
            "bend_angle_deg": 90,
        }
    )

    assert answers["setback"] / INCH == approx(0.20, abs=1e-12)
    assert [answers[f"flat_{i}"] / INCH for i in (1, 2, 3)] == approx([0.8, 1.6, 0.8], abs=1e-12)


def test_flats_with_allowances_are_outside_lengths_with_deductions():
    """The handbook's two ways to one width, for the same channel."""
    sheet = {"thickness_mm": 1.016, "inside_radius_mm": 4.064, "bend_angle_deg": 90}
    by_flats = MODELS["bend_faa_tdw"]({**sheet, "flats_mm": [20.32, 40.64, 20.32], "bends": 2})
    by_legs = MODELS["bend_faa_flat"]({**sheet, "outside_dims_mm": [25.4, 50.8, 25.4], "bends": 2})

    assert by_flats["developed_width"] == approx(by_legs["flat_length"], abs=1e-12)


def test_a_k_that_is_not_given_is_looked_up():
    """Aluminium 0.063 in at radius 0.060 in: 0.402 in the table."""
    given = {"thickness_mm": 0.063 * INCH, "inside_radius_mm": 0.060 * INCH, "bend_angle_deg": 90}

    assert MODELS["bend_k"]({**given, "material": "aluminium"})["k_factor"] == approx(0.402)


def test_nearly_flat_bends_need_no_compensation():
    """DIN 6935: v is 0 from 165 degrees between the legs."""
    answers = MODELS["din6935"](
        {"inside_radius_mm": 2.0, "thickness_mm": 1.0, "opening_angle_deg": 170.0}
    )

    assert answers["compensation_v"] == 0.0
