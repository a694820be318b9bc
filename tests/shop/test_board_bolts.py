import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from foldwright.errors import OutOfDomain
from foldwright.shop import boards
from foldwright.shop.board_bolts import (
    CRUSH_SHARE,
    PULL_RESERVE,
    bolt_in_board,
    crushing_load,
    pull_through_load,
    spreader_for,
    spreader_thickness,
    washer_for,
    washer_ring,
)

SKINNED = boards()["acp-3-0.3"]
SOLID = boards()["al-5005-H24"].of_thickness(2.0)


def test_a_ring_is_the_washer_less_its_hole():
    assert washer_ring(18.0, 6.6) == approx(math.pi * (9.0**2 - 3.3**2))


@given(st.floats(1.0, 1e4), st.floats(3.0, 12.0))
def test_the_washer_for_a_pull_keeps_the_core_at_half_its_yield(pull, hole):
    washer = washer_for(SKINNED, pull, hole)

    assert CRUSH_SHARE * crushing_load(SKINNED, washer, hole) == approx(pull, rel=1e-6)


@given(st.floats(1.0, 1e4))
def test_a_spreader_stands_crushing_and_shearing(pull):
    spreader = spreader_for(SKINNED, pull, 6.6)

    assert CRUSH_SHARE * crushing_load(SKINNED, spreader, 6.6) >= pull * (1.0 - 1e-6)
    assert pull_through_load(SKINNED, spreader) >= PULL_RESERVE * pull * (1.0 - 1e-6)


def test_only_the_skin_under_the_washer_counts():
    """0.6 pi D t Rm, EN 1993-1-8 Table 3.4, with the skin's 0.3 mm of the board's 3 mm."""
    tensile = SKINNED.face.tensile.value

    assert pull_through_load(SKINNED, 18.0) == approx(0.6 * math.pi * 18.0 * 0.3 * tensile)
    assert pull_through_load(SOLID, 18.0) == approx(
        0.6 * math.pi * 18.0 * 2.0 * SOLID.face.tensile.value
    )


def test_a_core_takes_less_torque_than_solid_sheet():
    soft = bolt_in_board(SKINNED, 6.0, 6.6, 18.0, 0.2)
    firm = bolt_in_board(SOLID, 6.0, 6.6, 18.0, 0.2)

    assert soft.torque < 0.2 * firm.torque
    assert soft.torque == approx(0.2 * 6.0 * CRUSH_SHARE * soft.crushes)


def test_the_bolt_itself_limits_the_torque_in_firm_sheet():
    assert bolt_in_board(SOLID, 6.0, 6.6, 18.0, 0.2, 5000.0).preload == 5000.0


def test_a_spreader_bends_at_the_yield_it_is_sized_for():
    """A strip of unit width, overhang 10, thickness t: p a^2 / 2 over t^2 / 6 is the yield."""
    t = spreader_thickness(33.0, 13.0, 5.0, 150.0)

    assert (5.0 * 10.0**2 / 2.0) / (t**2 / 6.0) == approx(150.0)
    assert spreader_thickness(10.0, 13.0, 5.0, 150.0) == 0.0


def test_what_does_not_go_together_is_refused():
    with pytest.raises(OutOfDomain, match="does not cover") as caught:
        washer_ring(6.0, 6.6)
    assert caught.value.name == "washer_d"
    with pytest.raises(OutOfDomain, match="does not go into") as caught:
        bolt_in_board(SKINNED, 8.0, 6.6, 18.0, 0.2)
    assert caught.value.name == "hole_d"
    with pytest.raises(OutOfDomain):
        pull_through_load(boards()["al-5005-H24"].of_thickness(0.0), 18.0)


@pytest.mark.parametrize("bad", [-1.0, math.nan, math.inf])
def test_pulls_that_are_no_pulls_are_refused(bad):
    with pytest.raises(OutOfDomain):
        washer_for(SKINNED, bad, 6.6)
    with pytest.raises(OutOfDomain):
        washer_ring(bad, 6.6)
