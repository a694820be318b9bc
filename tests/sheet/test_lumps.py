"""Lumps: masses and centres against integration, and against themselves in pieces."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from foldwright.errors import OutOfDomain
from foldwright.sheet.lumps import (
    block,
    composed,
    cone,
    disc,
    frustum,
    hemisphere,
    plate_of,
    rod,
    whole_cone,
)

SIZES = st.floats(5.0, 500.0)
SLICES = 2000


def turned(radius_at, height, density):
    """Mass and centre of a turned body, by slices at their middles."""
    z = (np.arange(SLICES) + 0.5) * height / SLICES
    share = math.pi * radius_at(z) ** 2 * height / SLICES * density * 1e-9
    return share.sum(), float(share @ z / share.sum())


@given(bottom=SIZES, top=SIZES, height=SIZES)
def test_a_frustum_is_what_its_slices_are(bottom, top, height):
    lump = frustum(bottom, top, height, 2700.0)
    mass, centre = turned(lambda z: bottom + (top - bottom) * z / height, height, 2700.0)

    assert lump.content == approx(mass, rel=1e-5)
    assert lump.at == approx([0.0, 0.0, centre], rel=1e-5, abs=1e-12)


def test_half_a_ball_is_what_its_slices_are():
    mass, centre = turned(lambda z: np.sqrt(80.0**2 - z**2), 80.0, 920.0)
    lump = hemisphere(80.0, 920.0)

    assert (lump.content, lump.at[2]) == approx((mass, centre), rel=1e-5)


@given(radius=SIZES, height=SIZES, share=st.floats(0.1, 0.9))
def test_a_cone_is_its_foot_and_its_tip(radius, height, share):
    foot = frustum(radius, radius * (1.0 - share), height * share, 7850.0)
    tip = cone(radius * (1.0 - share), height * (1.0 - share), 7850.0).moved(z=height * share)
    whole = composed([foot, tip])

    assert whole.content == approx(cone(radius, height, 7850.0).content)
    assert whole.at == approx([0.0, 0.0, height / 4.0], abs=1e-9)
    assert whole_cone(radius, radius * (1.0 - share), height * share, 7850.0).at[2] == approx(
        height / 4.0
    )


@given(x=SIZES, y=SIZES, t=SIZES)
def test_two_triangles_make_a_rectangle(x, y, t):
    lower = plate_of([(0, 0), (x, 0), (0, y)], t, 8740.0)
    upper = plate_of([(x, 0), (x, y), (0, y)], t, 8740.0)
    both, whole = composed([lower, upper]), block(x, y, t, 8740.0)

    assert both.content == approx(whole.content)
    assert both.at == approx(whole.at)
    assert lower.at == approx([x / 3.0, y / 3.0, t / 2.0])


def test_a_hole_through_the_middle_moves_nothing_but_mass():
    ring = composed([disc(50.0, 4.0, 2700.0), -disc(30.0, 4.0, 2700.0)])

    assert ring.content == approx(rod(math.pi * (50.0**2 - 30.0**2), 4.0, 2700.0).content)
    assert ring.at == approx([0.0, 0.0, 2.0])


@pytest.mark.parametrize(
    ("call", "name"),
    [
        (lambda: composed([disc(30.0, 4.0, 1.0), -disc(30.0, 4.0, 1.0)]), "pieces"),
        (lambda: composed([]), "pieces"),
        (lambda: disc(-1.0, 4.0, 1.0), "radius"),
        (lambda: block(1.0, 2.0, 0.0, 1.0), "thickness"),
        (lambda: block(1.0, 2.0, 3.0, math.nan), "density"),
        (lambda: plate_of([(0, 0), (0, 1), (1, 0)], 1.0, 1.0), "outline"),
        (lambda: cone(1.0, math.inf, 1.0), "height"),
        (lambda: frustum(1.0, -1.0, 1.0, 1.0), "top_radius"),
        (lambda: whole_cone(1.0, 2.0, 1.0, 1.0), "top_radius"),
        (lambda: hemisphere(0.0, 1.0), "radius"),
        (lambda: rod(0.0, 1.0, 1.0), "section"),
    ],
)
def test_what_is_no_body_is_refused(call, name):
    with pytest.raises(OutOfDomain) as refused:
        call()

    assert refused.value.name == name
