"""Hoppers and mitred rings against their closed forms, over all sizes."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from foldwright.errors import OutOfDomain
from foldwright.shape.leaning import hopper, mitred_side

SIZES = st.floats(20.0, 800.0)


@given(sides=st.integers(3, 60), pitch=st.floats(math.radians(0.5), math.pi / 2.0))
def test_saw_settings_are_those_of_the_closed_form(sides, pitch):
    """``M = atan(cos p tan(180/n))``, ``B = asin(sin p sin(180/n))``, mitre saws' charts."""
    found = mitred_side(sides, pitch)
    half = math.pi / sides

    assert found.mitre == approx(math.atan(math.cos(pitch) * math.tan(half)), abs=1e-9)
    assert found.bevel == approx(math.asin(math.sin(pitch) * math.sin(half)), abs=1e-9)
    assert found.dihedral == approx(math.pi - 2.0 * found.bevel, abs=1e-9)


def test_a_frame_lies_flat_and_a_box_stands_upright():
    flat, upright = mitred_side(4, 0.0), mitred_side(4, math.pi / 2.0)

    assert (flat.mitre, flat.bevel) == approx((math.pi / 4.0, 0.0))
    assert (upright.mitre, upright.bevel) == approx((0.0, math.pi / 4.0), abs=1e-12)


def test_nearly_flat_goes_over_into_flat():
    near, flat = mitred_side(6, 2e-6), mitred_side(6, 0.0)

    assert near.mitre == approx(flat.mitre, abs=1e-5)
    assert near.bevel == approx(flat.bevel, abs=1e-5)


@given(base_x=SIZES, base_y=SIZES, top_x=SIZES, top_y=SIZES, height=SIZES)
def test_corners_of_a_hopper_are_those_of_the_closed_form(base_x, base_y, top_x, top_y, height):
    """``cos(corner) = -cos(ax) cos(ay)`` with the slopes of the walls, wider above or below."""
    found = hopper(base_x, base_y, top_x, top_y, height)
    in_x, in_y = (base_x - top_x) / 2.0, (base_y - top_y) / 2.0
    ax, ay = math.atan2(height, in_x), math.atan2(height, in_y)

    assert math.cos(found.corner) == approx(-math.cos(ax) * math.cos(ay), abs=1e-9)
    assert (found.base_x, found.base_y) == approx((ax, ay))
    assert (found.top_x, found.top_y) == approx((math.pi - ax, math.pi - ay))
    assert found.slant_x == approx(math.hypot(height, in_x))
    assert found.slant_y == approx(math.hypot(height, in_y))
    assert found.edge == approx(math.hypot(height, in_x, in_y))


@pytest.mark.parametrize(
    ("sides", "pitch", "name"),
    [
        (2, 0.5, "sides"),
        (4.5, 0.5, "sides"),
        (361, 0.5, "sides"),
        (math.nan, 0.5, "sides"),
        (4, -0.1, "pitch"),
        (4, 1.6, "pitch"),
        (4, math.nan, "pitch"),
    ],
)
def test_no_ring_no_settings(sides, pitch, name):
    with pytest.raises(OutOfDomain) as refused:
        mitred_side(sides, pitch)

    assert refused.value.name == name


@pytest.mark.parametrize(
    ("name", "value"),
    [
        *((n, v) for n in ("base_x", "base_y", "height") for v in (0.0, -5.0, math.nan, math.inf)),
        *((n, v) for n in ("top_x", "top_y") for v in (-5.0, math.nan, math.inf)),
    ],
)
def test_a_hopper_needs_every_size(name, value):
    sizes = {"base_x": 300.0, "base_y": 200.0, "top_x": 250.0, "top_y": 100.0, "height": 60.0}

    with pytest.raises(OutOfDomain) as refused:
        hopper(**sizes | {name: value})

    assert refused.value.name == name


@pytest.mark.parametrize(
    ("base", "top", "height", "angle"),
    [
        # half an octahedron: its edges are inside a right square pyramid of height a/sqrt(2)
        ((100.0, 100.0), (0.0, 0.0), 100.0 / math.sqrt(2.0), math.acos(-1.0 / 3.0)),
        # sides at 45 degrees: cos = -1/2
        ((100.0, 100.0), (0.0, 0.0), 50.0, math.radians(120.0)),
        # a hip roof: the ridge changes the base alone, not the hips at one slope
        ((160.0, 100.0), (60.0, 0.0), 50.0, math.radians(120.0)),
    ],
)
def test_a_hopper_may_end_in_a_point_or_a_ridge(base, top, height, angle):
    """The regular octahedron's dihedral is acos(-1/3); lengths by Pythagoras."""
    found = hopper(*base, *top, height)
    inset = (base[0] - top[0]) / 2.0, (base[1] - top[1]) / 2.0

    assert found.corner == pytest.approx(angle, abs=1e-9)
    assert found.slant_x == pytest.approx(math.hypot(inset[0], height))
    assert found.slant_y == pytest.approx(math.hypot(inset[1], height))
    assert found.edge == pytest.approx(math.hypot(*inset, height))
