"""Outlines: what crosses, touches, repeats, and what only looks like it.

The second opinion on crossing is Shapely's `LinearRing.is_simple`.
"""

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely import LinearRing, Polygon

from foldwright.plan.outline import is_clockwise, outline_trouble, signed_area, turned_round

SQUARE = [(0.0, 0.0), (9.0, 0.0), (9.0, 9.0), (0.0, 9.0)]
NAMES = ["bottom", "right", "top", "left"]


def trouble(corners, names=None, folded=True):
    names = names or [f"side-{i + 1}" for i in range(len(corners))]
    return outline_trouble(corners, names, "xz", folded=folded)


def test_a_square_is_no_trouble_either_way_round():
    assert trouble(SQUARE) is None
    assert trouble(SQUARE[::-1]) is None


def test_sides_that_cross_are_named():
    at, problem, _ = trouble([SQUARE[0], SQUARE[2], SQUARE[1], SQUARE[3]], NAMES)

    assert at == 2
    assert 'side "bottom" (from corner 1) meets side "top" (from corner 3)' in problem


def test_a_corner_that_touches_a_far_side_counts_as_crossing():
    _, problem, _ = trouble([(0, 0), (9, 0), (9, 9), (4, 0), (0, 9)])

    assert "crosses or touches itself" in problem


def test_a_corner_just_clear_of_a_far_side_is_no_trouble():
    assert trouble([(0, 0), (9, 0), (9, 9), (4, 1e-3), (0, 9)]) is None


def test_a_plate_may_run_straight_on_where_a_fold_may_not():
    corners = [(0, 0), (4, 0), (9, 0), (9, 9), (0, 9)]

    assert trouble(corners, folded=False) is None
    assert "nothing to fold" in trouble(corners, folded=True)[1]


def test_a_side_folded_back_on_its_neighbour_is_told():
    _, problem, _ = trouble([(0, 0), (9, 0), (4, 0), (4, 9)], NAMES)

    assert "fold back on each other" in problem and '"bottom" and "right"' in problem


@pytest.mark.parametrize(
    ("extra", "remedy"),
    [((0, 0), "closes by itself"), ((0, 9), "Leave one"), ((9, 0), "split it into two parts")],
)
def test_a_corner_twice_is_told(extra, remedy):
    assert remedy in trouble([*SQUARE, extra])[2]


def test_turning_round_keeps_the_first_corner_and_the_area():
    turned = turned_round(SQUARE)

    assert turned[0] == SQUARE[0]
    assert signed_area(turned) == -signed_area(SQUARE) == -81.0
    assert is_clockwise(turned)


POINTS = st.tuples(st.integers(0, 12), st.integers(0, 12)).map(lambda p: (float(p[0]), float(p[1])))


@given(st.lists(POINTS, min_size=3, max_size=9, unique=True))
def test_outlines_are_sound_just_where_shapely_finds_them_simple(corners):
    """Corners on a grid, so that touching and overlapping come up often.

    Straight corners are allowed on both sides; folded-back ones are not simple.
    """
    assume(Polygon(corners).area > 0.0)

    assert (trouble(corners, folded=False) is None) == LinearRing(corners).is_simple


@given(
    st.integers(4, 40),
    st.floats(0.0, 360.0),
    st.floats(20.0, 900.0),
    st.randoms(use_true_random=False),
)
def test_stars_never_cross(count, start, radius, random):
    """Any outline that runs once round a point, however ragged, is sound.

    From 4 corners up no two neighbours are half a turn apart: 1.8 * 360/4 is 162 degrees.
    """
    corners = [
        (r * math.cos(a), r * math.sin(a))
        for i in range(count)
        for r in [radius * random.uniform(0.3, 1.0)]
        for a in [math.radians(start) + 2.0 * math.pi * (i + 0.8 * random.random()) / count]
    ]

    assert trouble(corners, folded=False) is None
