import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from pytest import approx

from foldwright.errors import OutOfDomain
from foldwright.shop.bolt_groups import bearing_stress, bolt_group, shear_stress

PLACES = st.lists(
    st.tuples(st.integers(-200, 200), st.integers(-200, 200)), min_size=2, max_size=9, unique=True
)
SPOTS = st.tuples(st.floats(-500, 500), st.floats(-500, 500))
TURNS = st.floats(0.0, 2.0 * math.pi)


@given(PLACES, SPOTS, TURNS, st.floats(1.0, 1e5))
def test_turning_shares_add_up_to_the_moment(bolts, through, turn, load):
    group = bolt_group(bolts, load, through, (math.cos(turn), math.sin(turn)))
    held = sum(r * f for r, f in zip(group.distances, group.secondary, strict=True))

    assert held == approx(abs(group.moment), rel=1e-9, abs=1e-6 * load)


@given(PLACES, SPOTS, TURNS)
def test_a_bolt_carries_between_difference_and_sum_of_its_shares(bolts, through, turn):
    group = bolt_group(bolts, 1000.0, through, (math.cos(turn), math.sin(turn)))

    for share, carried in zip(group.secondary, group.resultants, strict=True):
        assert abs(group.primary - share) - 1e-6 <= carried <= group.primary + share + 1e-6


@given(PLACES, SPOTS, SPOTS)
def test_where_the_drawing_begins_changes_nothing(bolts, through, moved):
    there = bolt_group(bolts, 1000.0, through)
    shifted = [(x + moved[0], y + moved[1]) for x, y in bolts]
    here = bolt_group(shifted, 1000.0, (through[0] + moved[0], through[1] + moved[1]))

    assert here.resultants == approx(there.resultants, rel=1e-6, abs=1e-6)


@given(PLACES, TURNS)
def test_a_load_through_the_middle_is_shared_evenly(bolts, turn):
    middle = bolt_group(bolts, 1.0, (0.0, 0.0)).middle
    group = bolt_group(bolts, 1000.0, middle, (math.cos(turn), math.sin(turn)))

    assert group.resultants == approx([1000.0 / len(bolts)] * len(bolts), rel=1e-6)


def test_the_bolt_nearest_to_the_load_carries_most():
    group = bolt_group([(-50, 0), (50, 0)], 1000.0, (200.0, 0.0))

    assert group.worst == 1
    assert group.resultants == approx((1500.0, 2500.0))


def test_one_bolt_holds_only_what_passes_through_it():
    assert bolt_group([(10, 20)], 500.0, (10.0, 99.0)).resultants == approx((500.0,))
    with pytest.raises(OutOfDomain, match="One bolt cannot"):
        bolt_group([(10, 20)], 500.0, (50.0, 20.0))


@pytest.mark.parametrize(
    ("bolts", "direction", "name"),
    [
        ([], (0, -1), "bolts"),
        ([(0, 0), (0, 0)], (0, -1), "bolts"),
        ([(0, math.nan), (1, 0)], (0, -1), "bolts"),
        ([(0, 0), (10, 0)], (0, 0), "direction"),
        ([(0, 0), (10, 0)], (math.inf, 0), "direction"),
    ],
)
def test_a_group_of_nonsense_is_refused_by_name(bolts, direction, name):
    with pytest.raises(OutOfDomain) as caught:
        bolt_group(bolts, 1000.0, (5.0, 0.0), direction)

    assert caught.value.name == name


def test_a_load_nowhere_or_below_nothing_is_refused():
    with pytest.raises(OutOfDomain):
        bolt_group([(0, 0), (10, 0)], 1000.0, (math.nan, 0.0))
    with pytest.raises(OutOfDomain):
        bolt_group([(0, 0), (10, 0)], -1.0, (5.0, 0.0))


def test_stresses_need_bolt_and_plate():
    assert shear_stress(1000.0, 20.0) == 50.0
    assert bearing_stress(1000.0, 5.0, 2.0) == 100.0
    with pytest.raises(OutOfDomain):
        shear_stress(1000.0, 0.0)
    with pytest.raises(OutOfDomain):
        bearing_stress(1000.0, 5.0, -2.0)


@given(PLACES, SPOTS)
def test_twice_the_load_is_twice_on_every_bolt(bolts, through):
    assume(len(bolts) > 1)
    once, twice = (bolt_group(bolts, load, through).resultants for load in (100.0, 200.0))

    assert twice == approx([2.0 * one for one in once])
