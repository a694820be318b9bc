"""Slopes of every clearance of every kind are exact, at drifted parameters and strays."""

import random
from functools import cache
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from every_meet import every_meet, made_of
from foldwright.fit import clearances_of, key_of
from foldwright.make import Made, open_build
from foldwright.plan import MEETS
from foldwright.shape import dims_of, strays_of

EXAMPLE = Path(__file__).parents[2] / "examples" / "harbour-signal-lamp"
STEP = 1e-4  # mm


@cache
def build_of(name):
    """The demo or the desk of every meet, as drawn."""
    return Made(open_build(EXAMPLE)[0]) if name == "demo" else made_of(every_meet())


def drifted(made, seed):
    """Parameters and strays of every part as a hand might leave them."""
    rng = random.Random(seed)
    return {
        name: {key: value + rng.uniform(-0.3, 0.3) for key, value in part.values().items()}
        | {stray.name: rng.uniform(-1.0, 1.0) for stray in strays_of(part)}
        for name, part in made.parts.items()
    }


def read(made, meet, values):
    """Clearances of one meet."""
    return clearances_of(meet, made.plan.parts, values, made.frames, made.boards)


def moved(values, way, by):
    """Every dim a little further along one way through all of them."""
    return {
        part: {name: value + by * way[key_of(part, name)] for name, value in row.items()}
        for part, row in values.items()
    }


def test_the_desk_has_every_kind_of_meet():
    assert {meet.kind for meet in build_of("desk").plan.meets} == set(MEETS)


@pytest.mark.parametrize("build", ["demo", "desk"])
@given(seed=st.integers(0, 10**6))
@settings(max_examples=6, deadline=None)
def test_slopes_are_exact_along_any_way(build, seed):
    """Against central differences along a way through all dims of all parts at once."""
    made, rng = build_of(build), random.Random(seed + 1)
    values = drifted(made, seed)
    way = {key_of(part, n): rng.gauss(0.0, 1.0) for part, row in values.items() for n in row}
    for meet in made.plan.meets:
        exact = read(made, meet, values)
        up, down = (read(made, meet, moved(values, way, sign * STEP)) for sign in (1.0, -1.0))
        for c, high, low in zip(exact, up, down, strict=True):
            along = sum(slope * way[key] for key, slope in c.slopes.items())
            measured = (high.value - low.value) / (2.0 * STEP)

            assert along == pytest.approx(measured, abs=2e-6), (meet.name, c.what, c.across)


def test_ranges_hang_on_no_dim():
    """What is wanted stays while parts drift, so that a refit aims at one place."""
    made = build_of("desk")
    drawn = {name: part.values() for name, part in made.parts.items()}
    for meet in made.plan.meets:
        before, after = read(made, meet, drawn), read(made, meet, drifted(made, 5))

        assert [(c.low, c.high) for c in before] == [(c.low, c.high) for c in after]


@pytest.mark.parametrize("build", ["demo", "desk"])
def test_every_clearance_names_dims_that_can_be_measured(build):
    made = build_of(build)
    drawn = {name: part.values() for name, part in made.parts.items()}
    dims = {name: dims_of(part, finished=True) for name, part in made.parts.items()}
    named = {name for meet in made.plan.meets for c in read(made, meet, drawn) for name in c.dims}

    assert named
    assert all(dim in dims[part] for part, _, dim in (name.partition(".") for name in named))
