"""Ribs of shells whose sections are known by plane geometry.

The section of a frustum of a pyramid half way up is the mean of its ends
(any text on solid geometry); a regular hexagon of width f across flats has
area ``0.866025 f^2`` and side ``0.577350 f``: handbook tables of polygons,
values from memory.
"""

import math

import numpy as np
import pytest
from pytest import approx

import zoo
from foldwright.plan import Taper
from foldwright.plan.dual import number
from foldwright.shape import rib_outline
from round_parts import common, rib

BOARD, RIB, GAP = 3.0, 6.0, 0.5


def hexagon(radius):
    """Corners of a regular hexagon."""
    return tuple(
        (zoo.length(radius * math.cos(a)), zoo.length(radius * math.sin(a)))
        for a in np.arange(6) * math.pi / 3.0
    )


def hexagonal(bottom, top, height):
    """Taper between two regular hexagons, given by their circumradii."""
    return Taper(
        **common("tower", BOARD, height=height),
        lower=hexagon(bottom),
        upper=hexagon(top),
        sides=tuple(f"side_{i}" for i in range(6)),
    )


@pytest.mark.parametrize(("bottom", "top"), [(100.0, 60.0), (60.0, 100.0), (80.0, 80.0 - 1e-6)])
def test_rib_half_way_up_a_hexagonal_taper(bottom, top):
    """Mean circumradius 80; board, gap and half the rib's fall taken off across the lean."""
    height = 120.0
    part = rib(hexagonal(bottom, top, height), height / 2.0, GAP, 0.0, thickness=RIB)
    found = rib_outline(part, part.values(), finished=True)
    lean = math.atan2((bottom - top) * math.cos(math.pi / 6.0), height)
    flats = 2.0 * 80.0 * math.cos(math.pi / 6.0)
    flats -= 2.0 * (BOARD + GAP) / math.cos(lean) + RIB * abs(math.tan(lean))

    assert number(found.area()) == approx(0.866025 * flats**2, rel=1e-6)
    assert [number(found.length(i)) for i in range(6)] == approx([0.577350 * flats] * 6, rel=1e-6)


def test_rib_across_a_square_tower_is_square():
    """Not round: 150 x 150 x 150 box, 150 less two boards and two gaps."""
    part = rib(zoo.box(150.0, 150.0, 150.0), 75.0, GAP, 0.0)
    found = rib_outline(part, part.values(), finished=True)

    assert number(found.area()) == approx((150.0 - 2 * (BOARD + GAP)) ** 2, rel=1e-12)
