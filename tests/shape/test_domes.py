"""Domes: caps by their rims, and petals that go once round."""

import math

import pytest
from pytest import approx

from foldwright.errors import OutOfDomain
from foldwright.shape.domes import Cap, cap_on


def test_a_cap_is_known_by_rim_and_height():
    """A quarter of a sphere's height: R = 50, h = 25, a = 25 sqrt 3, and 60 degrees."""
    cap = cap_on(50.0 * math.sqrt(3.0), 25.0)

    assert cap.radius == approx(50.0)
    assert cap.opening == approx(math.pi / 3.0)
    assert cap.crown_to_rim == approx(50.0 * math.pi / 3.0)
    assert cap.area == approx(math.tau * 50.0 * 25.0)
    assert cap.content == approx(math.pi * 25.0**2 * 125.0 / 3.0)


def test_petals_go_once_round_at_the_rim():
    cap = Cap(200.0, 300.0)  # more than half a ball: widest before the rim
    at_rim, widest = cap.petal_widths(8, [cap.crown_to_rim, 100.0 * math.pi])

    assert 8 * at_rim == approx(math.tau * cap.base_radius)
    assert 8 * widest == approx(math.tau * 200.0)


@pytest.mark.parametrize("sizes", [(50.0, 101.0), (50.0, 0.0), (-1.0, 5.0), (50.0, math.nan)])
def test_no_cap_beyond_its_sphere(sizes):
    with pytest.raises(OutOfDomain):
        Cap(*sizes)


def test_marks_end_at_the_rim():
    with pytest.raises(OutOfDomain, match="crown to rim"):
        cap_on(100.0, 20.0).petal_widths(8, [200.0])
    with pytest.raises(OutOfDomain, match="3 or more"):
        cap_on(100.0, 20.0).petal_widths(2, [10.0])
