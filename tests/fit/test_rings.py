"""Rings of folds: what they can keep of their errors, and that they close."""

import math

import numpy as np
import pytest
from pytest import approx
from scipy import optimize

from foldwright.errors import OutOfDomain
from foldwright.fit.rings import closed_ring

SQUARE = np.array([[0.0, 0.0], [300.0, 0.0], [300.0, 300.0], [0.0, 300.0]])
SHED = np.array([[0.0, 0.0], [400.0, 0.0], [400.0, 120.0], [150.0, 260.0], [0.0, 260.0]])


def test_a_square_keeps_one_lean_out_of_four_folds():
    """A lean of (e0 - e1 + e2 - e3) / 4: two degrees by eye make half of it, 5.2 mm at 300."""
    _, turns = closed_ring(SQUARE, [False] * 4, [False] * 4)
    top = turns[4:6]

    assert top[0] == approx(np.array([1.0, -1.0, 1.0, -1.0]) * 75.0, rel=1e-4)
    assert top[1] == approx(np.zeros(4), abs=1e-4)
    assert np.linalg.norm(top[0]) * math.radians(2.0) == approx(5.236, abs=0.001)


def test_turning_all_folds_too_far_alike_moves_nothing():
    _, turns = closed_ring(SHED, [False] * 5, [False] * 5)

    assert turns.sum(axis=1) == approx(np.zeros(10), abs=1e-9)


def test_a_glued_seam_gives_way_before_folds_do():
    """With one seam the lean is nearly (-e1 + e2 - e3) / 3."""
    _, turns = closed_ring(SQUARE, [False] * 4, [True, False, False, False])

    assert turns[4, 1:] / 300.0 == approx(np.array([-1.0, 1.0, -1.0]) * 3.0 / 12.0 * 12 / 9.33, 0.2)
    assert abs(turns[4, 0]) < abs(turns[4, 1])


def test_a_triangle_keeps_its_lengths_and_no_turn():
    corners = np.array([[0.0, 0.0], [200.0, 0.0], [60.0, 120.0]])
    lengths, turns = closed_ring(corners, [False] * 3, [False] * 3)

    assert np.abs(turns * 0.035).max() < 0.02
    assert lengths[2, 0] == approx(1.0, abs=1e-3)


@pytest.mark.parametrize("corners", [SQUARE, SHED], ids=["square", "shed"])
def test_against_the_ring_itself_folded_and_closed(corners):
    """The same least squares on the full, curved equations, solved by SciPy's SLSQP."""
    n = len(corners)
    rng = np.random.default_rng(2)
    turned, longer = 1e-3 * rng.standard_normal(n), 1e-2 * rng.standard_normal(n)
    lengths, turns = closed_ring(corners, [False] * n, [False] * n)
    steps = np.roll(corners, -1, axis=0) - corners
    size = np.hypot(*steps.T)
    headings = np.unwrap(np.arctan2(steps[:, 1], steps[:, 0]))

    def spots(d):
        way = headings + np.concatenate([[0.0], np.cumsum(d[1:])])
        sides = (size + longer)[:, None] * np.column_stack([np.cos(way), np.sin(way)])
        return np.vstack([np.zeros(2), np.cumsum(sides, axis=0)])

    found = optimize.minimize(
        lambda d: 1e6 * np.sum((d - turned) ** 2),
        turned,
        constraints=[
            {"type": "eq", "fun": lambda d: spots(d)[-1]},
            {"type": "eq", "fun": lambda d: 1e3 * d.sum()},
        ],
        method="SLSQP",
        options={"ftol": 1e-14, "maxiter": 500},
    )
    moved = spots(found.x)[:-1] - corners

    assert (lengths @ longer + turns @ turned).reshape(-1, 2) == approx(moved, abs=3e-3)


def test_an_opening_takes_what_the_others_do_not():
    """Three sides of a square with a leg turned out by 0.01: its foot moves 3 mm."""
    _, turns = closed_ring(SQUARE, [True, False, False, False], [True, True, False, False])
    legs = turns[2:4, 2] - turns[0:2, 2]  # the right foot against the left one

    assert abs(legs[0]) * 0.01 == approx(3.0, rel=1e-2)


def test_what_is_no_ring_is_refused():
    with pytest.raises(OutOfDomain, match="does not close"):
        closed_ring(SQUARE[:2], [False] * 2, [False] * 2)
    with pytest.raises(OutOfDomain, match="one spot"):
        closed_ring(np.array([[0.0, 0.0], [0.0, 0.0], [1.0, 1.0]]), [False] * 3, [False] * 3)
