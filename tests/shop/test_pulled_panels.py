"""How far a small force pulls a panel true."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from foldwright.errors import OutOfDomain
from foldwright.shop.panels import Panel, plate_rigidity
from foldwright.shop.pulled_panels import pulled_true

THIN = Panel(face=0.2, core=1.6, face_modulus=70_000.0, core_modulus=200.0, core_shear=70.0)


def navier(one, other, terms=399):
    """Middle of a simply supported plate under P = 1 there, D = 1: Navier's double series.

    w = 4 / (pi^4 a b) sum 1 / (m^2 / a^2 + n^2 / b^2)^2, m and n odd.
    """
    odd = np.arange(1, terms, 2)
    m, n = np.meshgrid(odd / one, odd / other)
    return 4.0 / (math.pi**4 * one * other) * float(np.sum(1.0 / (m**2 + n**2) ** 2))


@pytest.mark.parametrize("ratio", [1.0, 1.1, 1.2, 1.4, 1.6, 1.8, 2.0, 3.0])
def test_the_table_agrees_with_naviers_series(ratio):
    """The printed values were summed by hand from a few terms: up to 0.2 % below the whole sum."""
    sag = pulled_true(THIN, 0.33, 100.0, 100.0 * ratio, force=1.0)
    alpha = sag * plate_rigidity(THIN, 0.33) / 100.0**2

    assert alpha == pytest.approx(navier(100.0, 100.0 * ratio) / 100.0**2, rel=2.5e-3)


@given(st.floats(50, 800), st.floats(50, 800))
def test_between_the_rows_of_the_table_it_is_within_one_per_cent(one, other):
    """Straight lines between the rows, and the last value for long panels."""
    alike = pulled_true(THIN, 0.33, one, other, force=1.0) * plate_rigidity(THIN, 0.33)

    assert alike == pytest.approx(navier(one, other), rel=0.01)


def test_a_thin_wide_panel_gives_a_millimetre_and_a_small_thick_one_next_to_nothing():
    """2 mm skinned board of 400 by 300, and 3 mm of 100 by 80."""
    thick = Panel(face=0.3, core=2.4, face_modulus=70_000.0, core_modulus=200.0, core_shear=70.0)

    assert pulled_true(THIN, 0.33, 400.0, 300.0) == pytest.approx(1.0, abs=0.05)
    assert pulled_true(thick, 0.33, 100.0, 80.0) < 0.03


def test_twice_the_force_pulls_twice_as_far():
    assert pulled_true(THIN, 0.33, 200.0, 300.0, 40.0) == pytest.approx(
        2.0 * pulled_true(THIN, 0.33, 300.0, 200.0, 20.0)
    )


@pytest.mark.parametrize("bad", [0.0, -1.0, math.nan, math.inf])
@pytest.mark.parametrize("name", ["one", "other", "force"])
def test_sides_and_forces_are_above_nothing(name, bad):
    given = {"one": 200.0, "other": 300.0, "force": 20.0} | {name: bad}

    with pytest.raises(OutOfDomain) as refused:
        pulled_true(THIN, 0.33, **given)

    assert refused.value.name == name
