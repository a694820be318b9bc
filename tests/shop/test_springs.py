"""Springback of folds, against fibres, closed forms and the solver for whole boards."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx
from scipy.optimize import brentq

from foldwright.errors import OutOfDomain
from foldwright.shop import boards, over_fold, over_fold_spread, spring_back
from foldwright.shop.layers import loaded_curvature, moment, plane_strain, solid_section
from foldwright.shop.springs import web_moment, web_rigidity

ACP = boards()["acp-3-0.3"]
SHEET = boards()["al-5005-H24"]


def wide(matter):
    """Modulus and flow stress of a wide strip."""
    return plane_strain(matter.modulus.value, matter.strength.value, matter.poisson.value)


def fibres(board, web, count=200_000):
    """Depth of each fibre of a web, its modulus and its flow stress."""
    depth = (np.arange(count) + 0.5) * web / count
    (e_skin, y_skin), (e_core, y_core) = wide(board.face), wide(board.core)
    in_skin = depth < board.skin_thickness
    return depth, np.where(in_skin, e_skin, e_core), np.where(in_skin, y_skin, y_core)


@pytest.mark.parametrize("curvature", [0.003, 0.02, 0.1, 0.8])
@pytest.mark.parametrize("web", [0.4, 0.8, 2.0])
def test_the_moment_of_a_web_is_that_of_its_fibres(web, curvature):
    """200 000 fibres, none across the skin, their neutral line found by pull alone."""
    depth, stiff, flow = fibres(ACP, web)

    def stress(line):
        return np.clip(stiff * curvature * (depth - line), -flow, flow)

    line = brentq(lambda at: stress(at).sum(), 0.0, web, xtol=1e-13)
    counted = np.sum(stress(line) * (depth - line)) * web / len(depth)

    assert web_moment(ACP, web, curvature) == approx(counted, rel=1e-7)


def test_the_rigidity_of_a_web_is_that_of_its_fibres():
    """About the line on which an elastic web does not stretch."""
    depth, stiff, _ = fibres(ACP, 0.8)
    line = np.sum(stiff * depth) / np.sum(stiff)
    counted = np.sum(stiff * (depth - line) ** 2) * 0.8 / len(depth)

    assert web_rigidity(ACP, 0.8) == approx(counted, rel=1e-7)


@given(thickness=st.floats(0.3, 4.0), turn=st.floats(0.5, 170.0), zone=st.floats(0.5, 200.0))
def test_solid_sheet_springs_as_the_solver_for_whole_boards_says(thickness, turn, zone):
    """Two solvers that share no step: one layer, alike about its middle."""
    sheet, held = SHEET.of_thickness(thickness), math.radians(turn)
    section = solid_section(thickness, *wide(sheet.face))

    assert web_moment(sheet, thickness, held / zone) == approx(
        float(moment(section, held / zone)), rel=1e-9
    )
    assert held + over_fold(sheet, thickness, zone, held) == approx(
        zone * float(loaded_curvature(section, held / zone)), rel=1e-8
    )


@given(turn=st.floats(0.5, 170.0), web=st.floats(0.31, 2.7), floor=st.floats(0.5, 12.0))
def test_a_fold_made_too_far_by_the_over_fold_springs_back_to_its_turn(turn, web, floor):
    """Folding and letting go are each other's inverse."""
    wanted = math.radians(turn)
    held = wanted + over_fold(ACP, web, floor, wanted)

    assert held - spring_back(ACP, web, floor, held) == approx(wanted, rel=1e-8)


def test_a_sharp_fold_springs_by_its_plastic_moment():
    """M_p / EI of a rectangle is 3 Y / (E t) per mm of zone, in any text on sheet bending."""
    sheet = SHEET.of_thickness(1.0)
    stiff, flow = wide(sheet.face)

    assert spring_back(sheet, 1.0, 2.0, 2.0) == approx(2.0 * 3.0 * flow / stiff, rel=1e-5)


def test_a_fold_within_the_elastic_range_springs_flat():
    """Nothing has yielded, so nothing is left."""
    sheet = SHEET.of_thickness(1.0)
    first_yield = 2.0 * 150.0 / 78_555.0

    assert spring_back(sheet, 1.0, 1.0, 0.9 * first_yield) == approx(0.9 * first_yield, rel=1e-12)


def test_a_stronger_sheet_springs_further_and_a_stiffer_one_less():
    """Twice the flow stress, twice the angle; twice the modulus, half."""
    sheet = SHEET.of_thickness(1.0)

    def with_figure(name):
        figure = getattr(sheet.face, name)
        doubled = replace(figure, value=2.0 * figure.value)
        return replace(sheet, face=replace(sheet.face, **{name: doubled}))

    plain = over_fold(sheet, 1.0, 4.0, 1.5)
    assert over_fold(with_figure("strength"), 1.0, 4.0, 1.5) == approx(2.0 * plain, rel=1e-3)
    assert over_fold(with_figure("modulus"), 1.0, 4.0, 1.5) == approx(plain / 2.0, rel=1e-3)


def test_the_over_fold_of_an_everyday_groove_is_known_to_a_quarter():
    """3 degrees at a right angle, give or take most of one: a gauge, then a look."""
    turn = math.radians(90.0)
    over = math.degrees(over_fold(ACP, 0.8, 2.0, turn))
    spread = math.degrees(over_fold_spread(ACP, 0.8, 2.0, turn))

    assert 2.0 < over < 5.0
    assert 0.15 * over < spread < 0.4 * over


@pytest.mark.parametrize(
    ("web", "zone", "turn", "name"),
    [
        (0.2, 2.0, 1.0, "web"),
        (math.nan, 2.0, 1.0, "web"),
        (0.8, 0.0, 1.0, "zone_width"),
        (0.8, 2.0, 0.0, "turn"),
        (0.8, 2.0, math.inf, "turn"),
    ],
)
def test_what_is_no_fold_is_refused(web, zone, turn, name):
    """The refusal names what to change."""
    with pytest.raises(OutOfDomain) as refused:
        over_fold(ACP, web, zone, turn)

    assert refused.value.name == name
