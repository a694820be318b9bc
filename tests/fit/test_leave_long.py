"""Leaving long, against the least of the expected cost found by search."""

import numpy as np
import pytest
from scipy.optimize import minimize_scalar
from scipy.stats import norm

from foldwright.fit.leave_long import rework, shift
from foldwright.fit.network import Belief
from foldwright.fit.random_works import random_works


@pytest.mark.parametrize("cost", [(60.0, 6.0), (8.0, 90.0), (20.0, 20.0)])
@pytest.mark.parametrize("width", [3.0, 4.0, 6.0])
def test_the_shift_makes_the_expected_cost_least(cost, width):
    """Within a hundredth of a scatter, where the limit of 1.5 sigma is not reached."""
    low, high = cost
    half = width / 2.0

    def expected(m):
        return low * norm.cdf(-half - m) + high * norm.cdf(m - half)

    best = minimize_scalar(expected, bounds=(-half, half), method="bounded").x
    ours = shift(np.ones(1), np.full(1, width), np.full(1, low), np.full(1, high))

    assert ours[0] == pytest.approx(best, abs=0.01)


def test_it_never_goes_further_than_one_and_a_half_sigma():
    one = np.ones(1)

    assert shift(one, one, 1e6 * one, one) == pytest.approx([1.5])


def test_a_miss_costs_no_more_than_the_cheapest_remake():
    works = random_works(1)
    net = works.network
    known = Belief(net.drawn, works.root, np.zeros(len(net.parts), dtype=bool))
    low, high, *_ = rework(net, known, works.minutes, works.cures)

    for row in range(len(net.low)):
        remake = min(works.minutes[part] for part in net.parts_of(row))
        assert 0.0 < low[row] <= remake
        assert 0.0 < high[row] <= remake


def test_a_cure_reaches_as_far_as_the_most_that_it_takes_up():
    works = random_works(1)
    net = works.network
    known = Belief(net.drawn, works.root, np.zeros(len(net.parts), dtype=bool))
    row = next(cure.clearance for cure in works.cures if cure.clearance >= 0)
    shims = [
        cure for cure in works.cures
        if cure.clearance == row and cure.way < 0.0
    ]  # fmt: skip
    low, high, reach_low, reach_high, remake = rework(net, known, works.minutes, shims)

    assert reach_high[row] == max(cure.most for cure in shims)
    assert high[row] == min(cure.minutes for cure in shims) < remake[row]
    others = np.arange(len(net.low)) != row
    assert np.isinf(reach_low).all() and np.isinf(reach_high[others]).all()
    assert np.array_equal(low, remake)
