import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from foldwright.errors import OutOfDomain
from foldwright.shop.preload import (
    bolt_stiffness,
    loaded_bolt,
    mean_and_scatter,
    members_stiffness,
    preload_by_torque,
    strip_trial,
    tightening_torque,
)
from foldwright.shop.threads import Thread


@given(st.floats(1.0, 30.0), st.floats(0.0, 1e6), st.floats(0.05, 0.5))
def test_torque_and_preload_read_both_ways(nominal, preload, factor):
    torque = tightening_torque(nominal, preload, factor)

    assert preload_by_torque(nominal, torque, factor) == approx(preload)


@pytest.mark.parametrize(
    ("arguments", "name"),
    [
        ((0.0, 1.0, 0.2), "nominal"),
        ((6.0, -1.0, 0.2), "preload"),
        ((6.0, math.nan, 0.2), "preload"),
        ((6.0, 1.0, 0.0), "torque_factor"),
        ((6.0, 1.0, 20.0), "torque_factor"),
    ],
)
def test_a_torque_of_nonsense_is_refused_by_name(arguments, name):
    with pytest.raises(OutOfDomain) as caught:
        tightening_torque(*arguments)

    assert caught.value.name == name


def test_a_load_that_parts_the_joint_is_refused():
    held = loaded_bolt(20.0, 1000.0, 1333.0, 1.0, 3.0)

    assert held.service_stress == approx((1000.0 + 0.25 * 1333.0) / 20.0)
    with pytest.raises(OutOfDomain, match="parts the joint"):
        loaded_bolt(20.0, 1000.0, 1334.0, 1.0, 3.0)


@pytest.mark.parametrize("readings", [[], [1.0], [1.0, math.nan]])
def test_scatter_needs_two_numbers(readings):
    with pytest.raises(OutOfDomain):
        mean_and_scatter(readings)


def test_members_are_stiffer_than_their_bolt_as_in_a_textbook():
    """Steel, 1/2 in bolt, 1 in grip: 0.78715 exp(0.62873 / 2) E d, Table 8-8 of Shigley's.

    Steel's own constants differ from the general ones by 0.3 %; from memory, unchecked.
    """
    inch = 25.4
    expected = 207e3 * 0.5 * inch * 0.78715 * math.exp(0.62873 * 0.5)

    assert members_stiffness(0.5 * inch, 207e3, inch) == approx(expected, rel=0.004)
    assert bolt_stiffness(Thread(12.0, 1.75), 207e3, inch) < 0.5 * expected


@pytest.mark.parametrize("bad", [0.0, -1.0, math.nan])
def test_a_stiffness_of_nonsense_is_refused(bad):
    with pytest.raises(OutOfDomain):
        members_stiffness(6.0, 70e3, bad)
    with pytest.raises(OutOfDomain):
        bolt_stiffness(Thread(6.0, 1.0), bad, 10.0)


def test_trial_bolts_that_agree_are_tightened_to_half_and_others_to_less():
    assert strip_trial([2.0, 2.0, 2.0]).tighten_to == approx(1.0)
    # mean 2, sample deviation 0.5: three of them leave 0.5
    assert strip_trial([1.5, 2.0, 2.5]).tighten_to == approx(0.5)
    with pytest.raises(OutOfDomain, match="promise nothing"):
        strip_trial([1.0, 2.0, 3.0])
    with pytest.raises(OutOfDomain):
        strip_trial([2.0])
    with pytest.raises(OutOfDomain):
        strip_trial([2.0, -1.0])
