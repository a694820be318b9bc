"""Outlines: what crosses, touches, repeats, and what only looks like it.

The second opinion on crossing is Shapely's `LinearRing.is_simple`.
"""

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely import LinearRing, Polygon

from foldwright.plan.arcs import runs
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


def arched(rise, corners=SQUARE, at=2):
    rises = [0.0] * len(corners)
    rises[at] = rise
    names = NAMES[: len(corners)]
    return outline_trouble(corners, names, "xz", folded=True, rises=rises)


@pytest.mark.parametrize("rise", [0.5, 4.5, 9.0, -0.5, -4.4])
def test_a_side_may_bow_out_or_in(rise):
    assert arched(rise) is None


def test_a_side_that_bows_in_past_the_far_side_crosses_it():
    """The middle of the arc comes down by 9, to the far side."""
    _, problem, _ = arched(-9.0)

    assert 'side "bottom" (from corner 1) meets side "top" (from corner 3)' in problem


def test_a_side_that_bows_in_past_a_half_circle_crosses_its_neighbours():
    """A half circle has the rise 4.5; past it the arc is wider than its chord."""
    _, problem, _ = arched(-6.0, [(0.0, 0.0), (9.0, 0.0), (9.0, 19.0), (0.0, 19.0)])

    assert "crosses or touches itself" in problem


def test_outwards_is_outwards_in_either_direction():
    """Top of the square bowed in by 9 touches the bottom, however the square is written."""
    for corners, top in ((SQUARE, 2), (SQUARE[::-1], 0)):
        for rise, fits in ((9.0, True), (-9.0, False)):
            rises = [0.0] * 4
            rises[top] = rise
            found = outline_trouble(corners, NAMES, "xz", folded=True, rises=rises)

            assert (found is None) == fits


def test_an_arc_may_run_on_tangent_where_a_straight_side_may_not():
    """A half circle on two uprights joins them without a corner."""
    uprights = [(0.0, 0.0), (9.0, 0.0), (9.0, 9.0), (0.0, 9.0)]

    assert arched(4.5, uprights) is None


def test_an_arc_that_turns_back_on_its_neighbour_is_told():
    """Bowed in by half a right angle, the hypotenuse leaves along the side that led to it."""
    corners = [(0.0, 0.0), (9.0, 0.0), (9.0, 9.0)]
    rises = [0.0, 0.0, -9.0 * math.sqrt(2.0) / 2.0 * math.tan(math.radians(22.5))]
    found = outline_trouble(corners, ["a", "b", "c"], "xz", folded=False, rises=rises)

    assert "fold back on each other" in found[1]


@pytest.mark.parametrize(("radius", "fits"), [(4.4, True), (4.5, False), (6.0, False)])
def test_rounds_that_share_a_side_need_room_between_them(radius, fits):
    """Two rounds of a right angle take their radii; a folded side keeps 0.1 mm."""
    found = outline_trouble(SQUARE, NAMES, "xz", folded=True, rounds=[radius, radius, 0, 0])

    assert (found is None) == fits
    if not fits:
        assert 'Side "bottom" is 9 mm long' in found[1]


def test_a_plate_may_be_rounded_to_a_disc():
    rounds = [4.5] * 4

    assert outline_trouble(SQUARE, NAMES, "xy", folded=False, rounds=rounds) is None
    assert outline_trouble(SQUARE, NAMES, "xy", folded=True, rounds=rounds) is not None


def test_a_round_takes_the_tangent_of_half_the_turn():
    """60 degrees inside is a turn of 120: a radius of 1 takes tan 60 = 1.732."""
    corners = [(0.0, 0.0), (10.0, 0.0), (5.0, 5.0 * math.sqrt(3.0))]
    names = ["a", "b", "c"]
    largest = 10.0 / math.sqrt(3.0)

    fits = outline_trouble(corners, names, "xy", folded=False, rounds=[largest - 1e-6, 0, 0])
    assert fits is None
    found = outline_trouble(corners, names, "xy", folded=False, rounds=[largest + 1e-4, 0, 0])
    assert "take" in found[1]


def test_a_bowed_side_that_meets_a_rounded_corner_is_told():
    """The top bows down to the round of the corner below it."""
    corners = [(0.0, 0.0), (20.0, 0.0), (20.0, 9.0), (0.0, 9.0), (0.0, 4.0), (8.0, 4.0)]
    names = ["a", "b", "c", "d", "e", "f"]
    found = outline_trouble(
        corners, names, "xz", folded=False, rounds=[0, 0, 0, 0, 0, 0.3], rises=[0, 0, -6, 0, 0, 0]
    )

    assert "crosses or touches itself" in found[1]


@given(
    st.integers(3, 9),
    st.lists(st.just(0.0) | st.floats(0.01, 1.0), min_size=9, max_size=9),
    st.booleans(),
    st.randoms(use_true_random=False),
)
def test_chords_of_rounds_and_rises_enclose_what_formulas_say(count, shares, clockwise, random):
    """Area of a rounded and bowed regular polygon in closed form, by its chords in Shapely.

    A rounded corner takes r^2 (tan(t/2) - t/2) off, t its turn; a bowed side adds the segment
    R^2/2 (a - sin a). Sides are either bowed or rounded at both ends.
    """
    corners = [
        (100 * math.cos(2 * math.pi * i / count), 100 * math.sin(2 * math.pi * i / count))
        for i in range(count)
    ]
    side, turn = math.dist(*corners[:2]), 2 * math.pi / count
    expected = 0.5 * count * 100**2 * math.sin(turn)
    rounds, rises = [0.0] * count, [0.0] * count
    if random.random() < 0.5:
        rounds = [0.4 * side * s / math.tan(turn / 2) for s in shares[:count]]
        expected -= sum(r**2 * (math.tan(turn / 2) - turn / 2) for r in rounds)
    else:
        rises = [side * s / 8 for s in shares[:count]]
        for rise in rises:
            angle = 4 * math.atan(2 * rise / side)
            if rise:
                expected += (side / 2 / math.sin(angle / 2)) ** 2 / 2 * (angle - math.sin(angle))
    if clockwise:
        corners, rounds, rises = corners[::-1], rounds[::-1], [*rises[-2::-1], rises[-1]]
    found = runs(corners, rounds, rises, -1 if clockwise else 1)
    points = [p for run in found for p in run.points[:-1]]

    assert Polygon(points).area == pytest.approx(expected, rel=2e-3)
    assert (
        outline_trouble(corners, ["x"] * count, "xy", folded=False, rounds=rounds, rises=rises)
        is None
    )
