"""Layered sections: moment, springback and their inverses."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx
from scipy.integrate import quad

from foldwright.errors import OutOfDomain
from foldwright.shop import boards
from foldwright.shop.board_sections import section_of
from foldwright.shop.layers import (
    Layers,
    free_curvature,
    loaded_curvature,
    moment,
    plane_strain,
    solid_section,
    stress_at,
    yield_factor,
)
from foldwright.shop.springback import sprung_radius

BOARDS = [board for board in boards().values() if board.thickness] + [
    boards()["al-5005-H24"].of_thickness(t) for t in (0.5, 1.5, 3.0)
]
any_board = st.sampled_from(BOARDS)


def stress(section, y, curvature):
    """Stress of one fibre, straight from the law of its layer."""
    for a, b, stiff, flow, slope in zip(
        section.inner, section.outer, section.modulus, section.yields, section.hardening,
        strict=True,
    ):  # fmt: skip
        if a <= abs(y) <= b:
            elastic = stiff * curvature * abs(y)
            size = elastic if elastic <= flow else flow + slope * (elastic - flow) / stiff
            return math.copysign(size, y)
    raise AssertionError(y)


def integrated(section, curvature, unload=0.0):
    """Moment of the stresses, less those of an elastic unloading by a curvature."""
    total = 0.0
    for a, b, stiff, flow in zip(
        section.inner, section.outer, section.modulus, section.yields, strict=True
    ):
        kink = min(max(flow / (stiff * curvature), a), b)
        for start, end in ((a, kink), (kink, b)):
            if end > start:
                total += quad(
                    lambda y, stiff=stiff: (stress(section, y, curvature) - stiff * unload * y) * y,
                    start * (1 + 1e-14), end * (1 - 1e-14), epsabs=1e-12, epsrel=1e-12,
                )[0]  # fmt: skip
    return 2.0 * total


@given(board=any_board, diameter=st.floats(30.0, 3000.0))
def test_the_moment_is_that_of_the_stresses(board, diameter):
    """Integrated numerically through the thickness, layer by layer."""
    section = section_of(board)

    assert float(moment(section, 2.0 / diameter)) == approx(
        integrated(section, 2.0 / diameter), rel=1e-9
    )


@given(board=any_board, diameter=st.floats(30.0, 1000.0))
def test_nothing_is_left_of_the_moment_after_letting_go(board, diameter):
    """The stresses left, integrated numerically: zero to 1e-9 of the moment over the former."""
    section, bent = section_of(board), 2.0 / diameter
    unload = bent - float(free_curvature(section, bent))

    left = integrated(section, bent, unload)

    assert abs(left) <= 1e-9 * float(moment(section, bent))


@given(
    thickness=st.floats(0.3, 6.0),
    modulus=st.floats(500.0, 210e3),
    flow=st.floats(5.0, 500.0),
    x=st.floats(1e-4, 0.4999),
)
def test_one_layer_is_the_closed_cubic(thickness, modulus, flow, x):
    """To 1e-6, from deep in the plastic range to the first yield."""
    radius = x * modulus * thickness / flow
    section = solid_section(thickness, modulus, flow)
    sprung = sprung_radius(radius, thickness, modulus, flow)

    # next to the first yield what is left of a curvature is a difference of two nearly equal
    assert float(free_curvature(section, 1.0 / radius)) == approx(
        1.0 / sprung, rel=1e-6, abs=1e-13 / radius
    )
    assert float(loaded_curvature(section, 1.0 / sprung)) == approx(1.0 / radius, rel=1e-6)


@given(board=any_board, diameter=st.floats(40.0, 5000.0))
def test_what_is_bent_for_a_drum_springs_to_it(board, diameter):
    section, wanted = section_of(board), 2.0 / diameter
    bent = loaded_curvature(section, wanted)

    assert float(bent) > max(wanted, float(section.yield_curvature))
    assert float(free_curvature(section, bent)) == approx(wanted, rel=1e-9)


@given(board=any_board, share=st.floats(0.0, 0.999999))
def test_below_its_first_yield_a_section_springs_back_flat(board, share):
    section = section_of(board)

    assert float(free_curvature(section, share * float(section.yield_curvature))) == 0.0


@given(board=any_board, factor=st.floats(0.4, 2.5), times=st.floats(1.2, 30.0))
def test_the_yield_is_found_again_from_the_moment(board, factor, times):
    scaled = section_of(board, factor)
    bent = times * float(scaled.yield_curvature)
    found = yield_factor(section_of(board), bent, moment(scaled, bent))

    assert float(found) == approx(factor, rel=1e-9)


def test_many_sections_at_once_are_each_one_alone():
    board = boards()["acp-3-0.3"]
    factors, free = np.array([0.8, 1.0, 1.3]), 2.0 / np.array([150.0, 220.0, 400.0])
    together = loaded_curvature(section_of(board, factors), free)
    alone = [float(loaded_curvature(section_of(board, f), k)) for f, k in zip(factors, free)]  # noqa: B905

    assert together == approx(alone, rel=1e-14)


def test_bent_the_other_way_it_resists_the_other_way():
    section = section_of(boards()["acp-3-0.3"])

    assert float(moment(section, -0.01)) == -float(moment(section, 0.01))
    assert float(moment(section, 0.0)) == 0.0


def test_the_skin_hardens_past_its_yield():
    section = solid_section(2.0, 70e3, 100.0, 700.0)

    assert float(stress_at(section, 0.5 * float(section.yield_curvature))) == approx(50.0)
    # at three times the yield strain: two yield strains of hardening at a hundredth of E
    assert float(stress_at(section, 3.0 * float(section.yield_curvature))) == approx(102.0)


@pytest.mark.parametrize(
    ("figures", "name"),
    [
        ((0.0, 70e3, 100.0), "thickness"),
        ((-1.0, 70e3, 100.0), "thickness"),
        ((math.nan, 70e3, 100.0), "thickness"),
        ((math.inf, 70e3, 100.0), "thickness"),
        ((1.0, 0.0, 100.0), "modulus"),
        ((1.0, math.inf, 100.0), "modulus"),
        ((1.0, 70e3, 0.0), "yield_stress"),
        ((1.0, 70e3, math.nan), "yield_stress"),
        ((1.0, 70e3, 100.0, -1.0), "hardening"),
        ((1.0, 70e3, 100.0, 70e3), "hardening"),
    ],
)
def test_figures_that_no_sheet_has_are_refused(figures, name):
    with pytest.raises(OutOfDomain) as refused:
        solid_section(*figures)

    assert refused.value.name == name


@pytest.mark.parametrize("poisson", [0.5, 0.6, -0.1, math.nan])
def test_a_poisson_ratio_that_no_solid_has_is_refused(poisson):
    with pytest.raises(OutOfDomain, match="0 to below 0.5"):
        plane_strain(70e3, 100.0, poisson)


def test_a_board_without_a_thickness_has_no_section():
    with pytest.raises(OutOfDomain, match="Say its thickness"):
        section_of(boards()["al-5005-H24"])
    with pytest.raises(OutOfDomain, match="leave no core"):
        section_of(boards()["acp-3-0.3"].of_thickness(0.6))
    with pytest.raises(OutOfDomain, match="yield factor"):
        section_of(boards()["acp-3-0.3"], 0.0)


@pytest.mark.parametrize("free", [0.0, -0.01, math.nan, math.inf])
def test_no_curvature_springs_to_flat_or_less(free):
    with pytest.raises(OutOfDomain, match="above 0"):
        loaded_curvature(section_of(boards()["acp-3-0.3"]), free)


def test_moments_that_no_yield_gives_are_refused():
    section = section_of(boards()["acp-3-0.3"])
    with pytest.raises(OutOfDomain, match="before it yields"):
        yield_factor(section, 0.01, section.rigidity * 0.01)
    with pytest.raises(OutOfDomain, match="were its yield 0"):
        yield_factor(section, 0.01, 0.0)


def test_layers_that_overlap_the_middle_are_refused():
    with pytest.raises(OutOfDomain, match="further out"):
        Layers(*(np.array([x]) for x in (-1.0, 1.0, 70e3, 100.0, 0.0)))
