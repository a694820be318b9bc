"""Reference cases of homographies and scales."""

import tomllib
from pathlib import Path

import pytest
from pytest import approx

from foldwright.errors import OutOfDomain
from foldwright.reference.homography import MODELS

CASES = tomllib.loads(
    (Path(__file__).parent / "cases" / "homography.toml").read_text(encoding="utf-8")
)["case"]


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["id"])
def test_a_case_gives_what_it_expects(case):
    answers = MODELS[case["model"]](case["given"])

    for expect in case["expect"]:
        rtol = expect.get("rtol", case["rtol"])
        assert answers[expect["name"]] == approx(expect["value"], rel=rtol, abs=0.0), expect


def test_corners_in_one_line_are_refused():
    given = {
        "src": [[0, 0], [1, 0], [2, 0], [0, 1]],
        "dst": [[0, 0], [1, 0], [1, 1], [0, 1]],
        "test_point": [0.5, 0.5],
    }

    with pytest.raises(OutOfDomain, match="lie in one line"):
        MODELS["homography"](given)
