"""Reference cases of measuring."""

import math
import tomllib
from pathlib import Path

import numpy as np
import pytest
from pytest import approx

from foldwright.errors import OutOfDomain
from foldwright.reference.measurement import MODELS

CASES = tomllib.loads(
    (Path(__file__).parent / "cases" / "measurement.toml").read_text(encoding="utf-8")
)["case"]
NET = {
    "from_points": ["1", "2", "3", "1", "1"],
    "to_points": ["2", "3", "4", "4", "3"],
    "dh_m": [1.002, 0.498, -0.251, 1.250, 1.503],
}


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["id"])
def test_a_case_gives_what_it_expects(case):
    answers = MODELS[case["model"]](case["given"])

    for expect in case["expect"]:
        source = expect if "atol" in expect or "rtol" in expect else case
        tolerance = {"rel": source.get("rtol", 0.0), "abs": source.get("atol", 0.0)}
        assert answers[expect["name"]] == approx(expect["value"], **tolerance), expect["name"]


def test_a_circle_of_gander_golub_and_strebel():
    """BIT 34 (1994), sections 2 and 3; printed to five figures, value from memory, unchecked."""
    answers = MODELS["circle_fit"]({"x": [1, 2, 5, 7, 9, 3], "y": [7, 6, 8, 7, 5, 7]})

    assert [answers[f"algebraic_{k}"] for k in ("cx", "cy", "r")] == approx(
        [5.3794, 7.2532, 3.0370], abs=5e-5
    )
    assert [answers[f"geometric_{k}"] for k in ("cx", "cy", "r")] == approx(
        [4.7398, 2.9835, 4.7142], abs=5e-5
    )


def test_points_on_a_circle_give_that_circle():
    angles = np.array([0.1, 0.9, 2.0, 3.5, 5.5])
    xs, ys = 40.0 + 110.0 * np.cos(angles), -20.0 + 110.0 * np.sin(angles)
    answers = MODELS["circle_kasa"]({"x_mm": xs.tolist(), "y_mm": ys.tolist()})

    assert list(answers.values()) == approx([40.0, -20.0, 110.0])


def test_a_net_of_one_deviation_against_a_general_solver():
    """Heights and their deviations by NumPy's least squares on the same five lines."""
    given = NET | {"fixed_point": "1", "fixed_height_m": 10.0, "sigma_obs_mm": 5.0}
    answers = MODELS["level_net_named"](given)
    matrix = np.array([[1, 0, 0], [-1, 1, 0], [0, -1, 1], [0, 0, 1], [0, 1, 0]], dtype=float)
    rises = np.array(NET["dh_m"])
    x, squares = np.linalg.lstsq(matrix, rises, rcond=None)[:2]
    spread = 5.0 * np.sqrt(np.diag(np.linalg.inv(matrix.T @ matrix)))

    assert [answers[f"H_{p}"] for p in "234"] == approx((10.0 + x).tolist())
    assert [answers[f"std_{p}"] for p in "234"] == approx(spread.tolist())
    assert answers["pvv"] == approx(1e6 * squares[0])
    assert answers["m0_posteriori"] == approx(math.sqrt(1e6 * squares[0] / 2.0))


def test_equal_lengths_weigh_alike():
    given = NET | {
        "known_points": ["1"], "known_heights_m": [10.0], "length_m": [250.0] * 5,
        "sigma_m_per_sqrt_km": 0.010,
    }  # fmt: skip
    named = NET | {"fixed_point": "1", "fixed_height_m": 10.0, "sigma_obs_mm": 5.0}
    answers, other = MODELS["level_net_weighted"](given), MODELS["level_net_named"](named)

    assert answers["H_3"] == approx(other["H_3"])
    assert answers["sum_sq_std_residuals"] == approx(other["pvv"] / 25.0)
    assert answers["error_factor"] == approx(other["m0_posteriori"] / 5.0)


def test_a_tape_reads_long_by_its_thickness():
    answers = MODELS["tape_thick"]({"tape_reading_mm": 694.5, "tape_thickness_mm": 0.2})

    assert answers["outside_diameter"] == approx(694.5 / math.pi - 0.2)


def test_half_circles_and_straights_have_the_girth_that_is_drawn():
    answers = MODELS["oval"]({"max_diameter_mm": 80.0, "min_diameter_mm": 50.0, "shape": "stadium"})

    assert answers["perimeter"] == approx(50.0 * math.pi + 60.0)


@pytest.mark.parametrize(
    ("model", "given", "words"),
    [
        ("oval", {"max_diameter_mm": 50.0, "min_diameter_mm": 60.0, "shape": "ellipse"}, "oval"),
        ("oval", {"max_diameter_mm": 5.0, "min_diameter_mm": 4.0, "shape": "egg"}, "no oval known"),
        ("circle_fit", {"x": [0, 1, 2], "y": [0, 1, 2]}, "one line"),
        ("circle_kasa", {"x_mm": [0, 1], "y_mm": [0, 1]}, "3 points"),
        ("wmean", {"values_mm": [1.0, 2.0], "std_mm": [0.1, 0.0]}, "not above 0"),
        ("wmean", {"values_mm": [1.0, math.nan], "std_mm": [0.1, 0.1]}, "no number"),
    ],
)
def test_what_cannot_be_is_refused(model, given, words):
    with pytest.raises(OutOfDomain, match=words):
        MODELS[model](given)


def test_a_point_that_hangs_on_nothing_is_refused():
    given = NET | {"from_points": ["1", "2", "3", "5", "1"], "to_points": ["2", "3", "1", "6", "3"]}
    given |= {"fixed_point": "1", "fixed_height_m": 0.0, "sigma_obs_mm": 5.0}

    with pytest.raises(OutOfDomain, match="do not determine"):
        MODELS["level_net_named"](given)
