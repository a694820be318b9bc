"""What is taken off a drawing: numbers that can be checked by head, and their trust."""

import math

import numpy as np
import pytest
from pytest import approx

from foldwright.errors import OutOfDomain
from foldwright.scans import (
    Mapped,
    angle_of,
    by_page,
    hole_from,
    hole_of,
    length_of,
    outline_of,
)

ROUND = [(7 + 5 * math.cos(a), 3 + 5 * math.sin(a)) for a in (0.1, 1.3, 2.9, 4.4)]


def sharp(points, sigma=1e-6):
    points = np.asarray(points, dtype=float)
    return Mapped(points, sigma**2 * np.eye(points.size))


def test_a_length_is_a_length_and_its_trust_that_of_both_ends():
    taken = length_of(sharp([(0, 0), (30, 40)], 0.5))

    assert taken.value == approx(50.0)
    assert taken.trust == approx(0.5 * math.sqrt(2.0))


@pytest.mark.parametrize("angle", [1.0, 30.0, 90.0, 140.8, 179.0])
@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_an_angle_is_that_between_its_sides(angle, sign):
    a = sign * math.radians(angle)
    taken = angle_of(sharp([(100, 0), (0, 0), (50 * math.cos(a), 50 * math.sin(a))]))

    assert taken.value == approx(angle, rel=1e-12)


def test_a_hole_is_the_circle_of_the_published_example():
    """Gander, Golub and Strebel, BIT 34 (1994), the six points of section 3.

    Printed: centre 4.7398, 2.9835, radius 4.7142.
    """
    x, y = [1, 2, 5, 7, 9, 3], [7, 6, 8, 7, 5, 7]
    hole = hole_of(sharp(np.column_stack([x, y])))

    assert (hole.x.value, hole.y.value) == approx((4.7398, 2.9835), abs=5e-5)
    assert hole.d.value / 2.0 == approx(4.7142, abs=5e-5)


@pytest.mark.parametrize(
    ("take", "points"),
    [
        (lambda m: [(t := length_of(m)).value, t.trust], [(0, 0), (30, 40)]),
        (lambda m: [(t := angle_of(m)).value, t.trust], [(60, 5), (0, 0), (20, 70)]),
        (lambda m: [(t := hole_of(m)).d.value, t.d.trust], [(x * 9, y * 9) for x, y in ROUND]),
        (lambda m: [(t := hole_of(m)).x.value, t.x.trust], [(x * 9, y * 9) for x, y in ROUND[:3]]),
        (
            lambda m: [(t := hole_from(m, 4)).y.value, t.y.trust],
            [*((x * 9, y * 9) for x, y in ROUND), (0, 4), (90, -3), (60, 90), (-9, 70)],
        ),
    ],
    ids=["length", "angle", "diameter", "centre", "centre from an outline"],
)
def test_trust_is_the_scatter_of_many_pickings(take, points):
    """4 000 pickings with a covariance that ties points together: within 5 %."""
    rng = np.random.default_rng(5)
    points = np.asarray(points, dtype=float)
    root = 0.15 * (np.eye(points.size) + 0.4 * rng.normal(size=(points.size, points.size)))
    spread = root @ root.T
    stated = take(Mapped(points, spread))[1]

    noise = rng.normal(size=(4_000, points.size)) @ root.T
    came = [take(Mapped(points + n.reshape(-1, 2), spread))[0] for n in noise]

    assert float(np.std(came)) == approx(stated, rel=0.05)


def test_a_hole_is_measured_from_the_lower_left_of_its_outline():
    plate = [(10, 20), (410, 22), (408, 320), (9, 318)]
    rim = [(60 + 4 * math.cos(a), 80 + 4 * math.sin(a)) for a in (0, 2, 4)]
    hole = hole_from(sharp([*rim, *plate]), 3)

    assert (hole.x.value, hole.y.value, hole.d.value) == approx((51.0, 60.0, 8.0))


def test_an_outline_is_set_in_line_where_it_agrees_within_its_trust():
    """Corners 0.2 out with a trust of 0.3 come out square; a slope of 30 stays a slope."""
    picked = [(0.1, 0.0), (400.2, 0.2), (399.9, 180.1), (300.0, 260.1), (-0.1, 259.9)]
    outline = outline_of(sharp(picked, 0.3))
    corners = np.array(outline.corners)

    assert corners[0] == approx((0.0, 0.0)) and corners[1, 1] == 0.0
    assert corners[1, 0] == corners[2, 0] and corners[3, 1] == corners[4, 1]
    assert corners[4, 0] == corners[0, 0]
    assert corners[3] == approx((300.0, 260.0), abs=0.3)
    assert 0.2 < outline.trust < 0.5


def test_an_outline_sharply_picked_keeps_what_is_not_square():
    picked = [(0.0, 0.0), (400.0, 0.5), (399.0, 300.0), (0.3, 300.0)]
    corners = np.array(outline_of(sharp(picked, 0.01)).corners)

    assert corners[1, 1] == approx(0.5) and corners[3, 0] == approx(0.3)


def test_an_outline_picked_clockwise_is_turned_round():
    outline = outline_of(sharp([(0, 0), (0, 80), (100, 80), (100, 0)]))
    x, y = np.array(outline.corners).T

    assert float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y)) / 2.0 == approx(8000.0)
    assert outline.area == approx(8000.0)


@pytest.mark.parametrize(
    ("take", "points", "words"),
    [
        (length_of, [(1, 1), (1, 1)], "both ends lie in one place"),
        (angle_of, [(1, 1), (1, 1), (5, 5)], "no length"),
        (hole_of, [(0, 0), (1, 0), (2, 0)], "in one line"),
        (hole_of, [(0, 0), (1, 0)], "3 points of its rim"),
        (outline_of, [(0, 0), (1, 0)], "3 corners or more"),
        (outline_of, [(0, 0), (10, 10), (10, 0), (0, 10)], "crosses the one after corner 3"),
        (outline_of, [(0, 0), (5, 0), (10, 0)], "one line"),
        (outline_of, [(0, 0), (5, 0), (5, 0), (0, 9)], "corners 2 and 3 are one place"),
    ],
)
def test_picks_that_come_to_nothing_are_refused_in_words(take, points, words):
    with pytest.raises(OutOfDomain, match=words):
        take(sharp(points))


def test_a_scan_carries_its_stretch_into_every_length():
    frame = by_page(0.1)
    taken = length_of(frame.mapped([(0.0, 0.0), (3000.0, 0.0)], 0.5))

    assert taken.value == approx(300.0)
    assert taken.trust == approx(math.hypot(0.9, 0.05 * math.sqrt(2.0)))
