"""Handling: hooks carry the whole between them; no lift is easier for being harder."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from foldwright.errors import OutOfDomain
from foldwright.sheet.handling import (
    backpack_guidance,
    coupling_factor,
    frequency_factor,
    hanging_reactions,
    lifting_index,
    recommended_limit,
)

PLACES = st.floats(-2000.0, 2000.0)


@given(force=st.floats(0.1, 1000.0), at=PLACES, first=PLACES, apart=st.floats(1.0, 1000.0))
def test_hooks_balance_force_and_moment(force, at, first, apart):
    supports = (first, first + apart)
    loads = hanging_reactions(force, at, supports)
    moment = sum(load * place for load, place in zip(loads, supports, strict=True))

    assert sum(loads) == approx(force)
    assert moment == approx(force * at, abs=1e-6 * force * 2000.0)


def test_a_hook_under_the_centre_carries_all():
    assert hanging_reactions(50.0, 300.0, (0.0, 300.0)) == (0.0, 50.0)


@pytest.mark.parametrize(
    ("call", "name"),
    [
        (lambda: hanging_reactions(0.0, 1.0, (0.0, 2.0)), "force"),
        (lambda: hanging_reactions(1.0, math.nan, (0.0, 2.0)), "at"),
        (lambda: hanging_reactions(1.0, 1.0, (2.0, 2.0)), "supports"),
        (lambda: hanging_reactions(1.0, 1.0, (math.inf, 2.0)), "supports"),
        (lambda: recommended_limit(0.0, 700.0, 300.0, 0.0), "horizontal"),
        (lambda: recommended_limit(300.0, -1.0, 300.0, 0.0), "height"),
        (lambda: recommended_limit(300.0, 700.0, math.nan, 0.0), "travel"),
        (lambda: recommended_limit(300.0, 700.0, 300.0, -0.1), "twist"),
        (
            lambda: recommended_limit(300.0, 700.0, 300.0, 0.0, frequency_factor=1.1),
            "frequency_factor",
        ),
        (lambda: recommended_limit(300.0, 700.0, 300.0, 0.0, constant=0.0), "constant"),
        (lambda: frequency_factor(-1.0, 1.0, 700.0), "per_minute"),
        (lambda: frequency_factor(1.0, 9.0, 700.0), "hours"),
        (lambda: coupling_factor("god", 700.0), "grip"),
        (lambda: lifting_index(math.nan, 10.0), "mass"),
        (lambda: lifting_index(10.0, 0.0), "horizontal"),
        (lambda: backpack_guidance(-70.0), "body_mass"),
    ],
)
def test_what_is_not_physical_is_refused(call, name):
    with pytest.raises(OutOfDomain) as refused:
        call()

    assert refused.value.name == name


@pytest.mark.parametrize(
    "far", [(631.0, 700.0, 300.0, 0.0), (300.0, 1751.0, 300.0, 0.0), (300.0, 700.0, 1751.0, 0.0),
            (300.0, 700.0, 300.0, math.radians(136.0))]
)  # fmt: skip
def test_nothing_may_be_lifted_out_of_reach(far):
    assert recommended_limit(*far) == 0.0


@given(
    horizontal=st.floats(50.0, 620.0),
    height=st.floats(750.0, 1700.0),
    travel=st.floats(0.0, 1700.0),
    twist=st.floats(0.0, math.radians(130.0)),
)
def test_further_higher_longer_and_more_twisted_is_never_easier(horizontal, height, travel, twist):
    here = recommended_limit(horizontal, height, travel, twist)

    assert 0.0 < here <= 23.0
    assert recommended_limit(horizontal + 10.0, height, travel, twist) <= here
    assert recommended_limit(horizontal, height + 10.0, travel, twist) <= here
    assert recommended_limit(horizontal, height, travel + 10.0, twist) <= here
    assert recommended_limit(horizontal, height, travel, twist + 0.05) <= here


@given(st.floats(0.0, 20.0), st.floats(0.0, 8.0), st.floats(0.0, 1700.0))
def test_busier_and_longer_is_never_easier(per_minute, hours, height):
    here = frequency_factor(per_minute, hours, height)

    assert frequency_factor(per_minute + 1.0, hours, height) <= here
    assert frequency_factor(per_minute, min(8.0, hours + 1.0), height) <= here
