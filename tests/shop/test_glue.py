import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx
from scipy.integrate import solve_bvp

from foldwright.errors import OutOfDomain
from foldwright.shop.glue import (
    GLUES,
    average_shear,
    best_overlap,
    double_lap,
    lap_holds,
    lap_limit,
    lap_shear,
    overlap_for,
    overlap_for_yield,
    strap,
)

STIFF = st.floats(1e3, 4e5)
OVERLAP = st.floats(0.5, 200.0)
MODULUS = st.floats(0.5, 3000.0)
FILM = st.floats(0.05, 3.0)


def sheared(load, length, first, second, modulus, film):
    """Shear at both ends from the balance of both sheets, solved as a boundary problem.

    The first sheet is pulled at x = 0 and ends at x = L; y is its load, and its
    slope the shear, sign turned.
    """
    rise = modulus / film

    def balance(_, y):
        # shear' = (G / h) (strain of the second - strain of the first)
        return np.vstack((-y[1], rise * ((load - y[0]) / second - y[0] / first)))

    def held(start, end):
        return np.array([start[0] - load, end[0]])

    x = np.linspace(0.0, length, 201)
    guess = np.vstack((load * (1.0 - x / length), np.full_like(x, load / length)))
    found = solve_bvp(balance, held, x, guess, tol=1e-8, max_nodes=100_000)
    assert found.success
    return found.y[1][0], found.y[1][-1]


@pytest.mark.parametrize(
    "lap",
    [
        (200.0, 12.5, 112e3, 112e3, 1000.0, 0.2),
        (120.0, 20.0, 140e3, 70e3, 1000.0, 0.15),
        (120.0, 20.0, 70e3, 140e3, 1000.0, 0.15),
        (10.0, 30.0, 21e3, 9e3, 30.0, 0.5),
    ],
)
def test_ends_are_those_of_the_balance_solved_by_numbers(lap):
    ends = sheared(*lap)
    found = lap_shear(*lap)

    assert found.largest == approx(max(ends), rel=1e-5)
    assert found.other_end == approx(min(ends), rel=1e-5)


@given(STIFF, STIFF, OVERLAP, MODULUS, FILM)
def test_ends_are_never_under_the_average_of_like_sheets(first, second, length, modulus, film):
    lap = lap_shear(10.0, length, first, second, modulus, film)

    assert lap.largest >= lap.average * (1.0 - 1e-9)
    assert lap.other_end <= lap.largest
    assert lap.peak_factor >= 1.0 - 1e-9


@given(STIFF, OVERLAP, MODULUS, FILM)
def test_which_sheet_is_named_first_changes_nothing(stiff, length, modulus, film):
    one = lap_shear(10.0, length, stiff, 3.0 * stiff, modulus, film)
    other = lap_shear(10.0, length, 3.0 * stiff, stiff, modulus, film)

    assert one == other


@given(STIFF, STIFF, MODULUS, FILM)
def test_a_longer_lap_holds_more_up_to_its_limit(first, second, modulus, film):
    limit = lap_limit(20.0, first, second, modulus, film)
    best = best_overlap(first, second, modulus, film)
    shares = [
        lap_holds(20.0, times * best, first, second, modulus, film) / limit
        for times in (0.25, 0.5, 1.0, 2.0, 50.0)
    ]

    assert shares == sorted(shares)
    assert shares[2] == approx(0.95, rel=1e-6)
    assert shares[-1] == approx(1.0, rel=1e-6)


@given(STIFF, STIFF, MODULUS, FILM, st.floats(0.01, 0.99))
def test_the_overlap_for_a_load_holds_that_load(first, second, modulus, film, share):
    load = share * lap_limit(20.0, first, second, modulus, film)
    overlap = overlap_for(load, 20.0, first, second, modulus, film)

    assert lap_holds(20.0, overlap, first, second, modulus, film) == approx(load, rel=1e-6)


def test_a_load_beyond_the_limit_is_refused_with_the_limit():
    with pytest.raises(OutOfDomain, match="any overlap") as caught:
        overlap_for(1e4, 20.0, 70e3, 70e3, 800.0, 0.2)

    assert caught.value.name == "line_load"


@given(STIFF, STIFF, MODULUS, FILM)
def test_a_load_at_the_very_limit_is_refused_too(first, second, modulus, film):
    limit = lap_limit(20.0, first, second, modulus, film)
    with pytest.raises(OutOfDomain):
        overlap_for(math.nextafter(limit, 0.0), 20.0, first, second, modulus, film)


@given(STIFF, OVERLAP, MODULUS, FILM)
def test_a_double_lap_unwarmed_is_two_laps_with_half_the_inner_sheet(stiff, length, modulus, film):
    whole = double_lap(20.0, length, stiff, 3.0 * stiff, modulus, film)
    half = lap_shear(10.0, length, stiff, 1.5 * stiff, modulus, film)

    assert whole.largest == approx(half.largest, rel=1e-9)


def test_a_very_long_lap_has_no_shear_in_its_middle():
    assert double_lap(20.0, 1e5, 7e4, 7e4, 1000.0, 0.2).load_centre == 0.0


@pytest.mark.parametrize("glue", GLUES.values(), ids=GLUES)
def test_each_kind_of_glue_has_a_best_overlap_that_hands_can_make(glue):
    assert 2.0 < best_overlap(70e3, 70e3, glue.modulus, glue.film) < 2000.0


def test_an_even_lap_and_a_strap_balance_pull_and_shear():
    """EN 1465: 25 by 12.5 mm; the sums by hand."""
    assert average_shear(5000.0, 25.0, 12.5) == 16.0
    assert overlap_for_yield(1.6, 150.0, 20.0) == 12.0
    assert strap(4.0, 20.0, 500.0).average_shear == approx(0.2)
    assert strap(4.0, 20.0, 500.0).total_load == approx(2000.0)


@pytest.mark.parametrize("bad", [0.0, -1.0, math.nan, math.inf])
@pytest.mark.parametrize("place", range(6))
def test_nothing_that_is_no_size_is_taken(bad, place):
    values = [10.0, 20.0, 70e3, 70e3, 800.0, 0.2]
    values[place] = bad
    with pytest.raises(OutOfDomain):
        lap_shear(*values)


@pytest.mark.parametrize(
    ("key", "value"),
    [("warming", math.nan), ("warming", 2000.0), ("outer_expansion", 0.1)],
)
def test_heat_beyond_what_glue_stands_is_refused(key, value):
    with pytest.raises(OutOfDomain) as caught:
        double_lap(10.0, 20.0, 70e3, 70e3, 800.0, 0.2, **{key: value})

    assert caught.value.name == key
