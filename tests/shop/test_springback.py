"""Springback of solid sheet in closed form."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx
from scipy.optimize import brentq

from foldwright.errors import OutOfDomain
from foldwright.shop.springback import (
    former_radius,
    rectangle,
    spring_ratio,
    sprung_angle,
    sprung_radius,
)

sheets = st.tuples(st.floats(0.2, 6.0), st.floats(500.0, 210e3), st.floats(5.0, 600.0))


@given(sheet=sheets, x=st.floats(1e-6, 0.499))
def test_the_former_and_the_sprung_radius_undo_each_other(sheet, x):
    thickness, modulus, flow = sheet
    radius = x * modulus * thickness / flow

    assert former_radius(sprung_radius(radius, *sheet), *sheet) == approx(radius, rel=1e-9)


@given(sheet=sheets, k=st.floats(1e-4, 50.0))
def test_the_closed_inverse_is_the_root_that_a_search_finds(sheet, k):
    thickness, modulus, flow = sheet
    wanted = k * modulus * thickness / flow

    def off(x):
        return k * (4.0 * x**3 - 3.0 * x + 1.0) - x

    found = brentq(off, 0.0, 0.5, xtol=1e-15, rtol=1e-14) * modulus * thickness / flow
    assert former_radius(wanted, *sheet) == approx(found, rel=1e-8)


@given(sheet=sheets, x=st.floats(0.001, 0.49))
def test_a_stiffer_or_softer_sheet_springs_less(sheet, x):
    thickness, modulus, flow = sheet
    radius = x * modulus * thickness / flow
    here = spring_ratio(radius, thickness, modulus, flow)

    assert 0.0 < here < 1.0
    assert spring_ratio(radius, thickness * 1.01, modulus, flow) > here
    assert spring_ratio(radius, thickness, modulus, flow * 0.99) > here


def test_a_sheet_that_does_not_yield_is_refused_with_the_radius_at_which_it_does():
    """E t / 2Y = 269.23 mm."""
    with pytest.raises(OutOfDomain, match="yields below 269.2 mm") as refused:
        spring_ratio(270.0, 1.0, 70e3, 130.0)

    assert refused.value.name == "radius"
    assert spring_ratio(269.0, 1.0, 70e3, 130.0) > 0.0


@pytest.mark.parametrize("bad", [0.0, -1.0, math.nan, math.inf])
@pytest.mark.parametrize("place", range(4))
@pytest.mark.parametrize("function", [spring_ratio, sprung_radius, former_radius, rectangle])
def test_figures_that_no_sheet_has_are_refused(function, place, bad):
    figures = [0.1 if function is rectangle else 20.0, 1.0, 70e3, 130.0]
    figures[place] = bad
    with pytest.raises(OutOfDomain, match="has to be above 0"):
        function(*figures)


def test_an_elastic_rectangle_keeps_nothing():
    bent = rectangle(0.5 * 2.0 * 130.0 / 70e3, 1.0, 70e3, 130.0)

    assert bent.free_curvature == 0.0
    assert bent.residual_stress == approx(0.0, abs=1e-9)
    assert bent.moment == approx(0.5 * bent.yield_moment)


@given(times=st.floats(1.0, 500.0), width=st.floats(1.0, 1000.0))
def test_the_moment_follows_the_printed_form(times, width):
    """M/M_y = 1.5 (1 - (K_y/K)^2 / 3)."""
    bent = rectangle(times * 2.0 * 130.0 / 70e3, 1.0, 70e3, 130.0, width)

    assert bent.moment / bent.yield_moment == approx(1.5 * (1.0 - 1.0 / (3.0 * times**2)), rel=1e-9)


def test_an_angle_shrinks_as_its_radius_grows():
    assert sprung_angle(1.0, 10.0, 12.0) == approx(10.0 / 12.0)
    with pytest.raises(OutOfDomain, match="0 or more"):
        sprung_angle(1.0, 10.0, 12.0, -1.0)
    with pytest.raises(OutOfDomain, match="above 0"):
        sprung_angle(1.0, 10.0, 0.0)
