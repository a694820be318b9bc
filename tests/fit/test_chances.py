"""Chances, exact and counted."""

import numpy as np
import pytest
from scipy import sparse, stats

from foldwright.fit.chances import Bends, chances, drivers, root_sum_square, worst_case
from foldwright.fit.network import Belief, Network


def network(slopes, low, high, meet=None):
    m, n = slopes.shape
    return Network(
        tuple(f"p{i}/d" for i in range(n)), tuple(f"p{i}" for i in range(n)), np.arange(n),
        np.zeros(n), np.zeros(n), np.ones(n), np.ones(n, dtype=bool),
        tuple(f"m{i}" for i in range(m)), np.arange(m) if meet is None else np.array(meet),
        np.zeros(m), np.array(low, dtype=float), np.array(high, dtype=float),
        sparse.csr_array(slopes),
    )  # fmt: skip


def belief(root):
    n = root.shape[0]
    return Belief(np.zeros(n), sparse.csr_array(root), np.zeros(n, dtype=bool))


def test_counting_agrees_with_the_bivariate_normal():
    """Two clearances of one meet, against SciPy's multivariate normal."""
    slopes = np.array([[1.0, -1.0, 0.0], [0.0, 1.0, -1.0]])
    net = network(slopes, [-1.0, -1.0], [1.5, 1.2], meet=[0, 0])
    found = chances(net, belief(np.diag([0.5, 0.6, 0.7])), draws=200_000)
    covariance = slopes @ np.diag([0.25, 0.36, 0.49]) @ slopes.T
    exact = stats.multivariate_normal(cov=covariance).cdf([1.5, 1.2], lower_limit=[-1.0, -1.0])

    # four standard errors of a counted share
    assert found.meet[0] == pytest.approx(exact, abs=4.0 * (exact * (1 - exact) / 200_000) ** 0.5)
    assert found.all_hold == found.meet[0]


def test_a_million_draws_agree_with_the_exact_chances(is_proof):
    """Linear and Gaussian: every counted chance within five sampling errors of the exact one.

    Five, since the largest of twenty is looked at.
    """
    rng = np.random.default_rng(3)
    slopes = rng.normal(size=(20, 8)) * (rng.random((20, 8)) < 0.4) + np.eye(20, 8)
    half = rng.uniform(0.5, 2.0, 20)
    net, known = network(slopes, -half, half), belief(np.diag(rng.uniform(0.2, 0.6, 8)))
    exact = chances(net, known)
    none = Bends(np.zeros((1, 8)), np.zeros(1), np.zeros(1, dtype=int))  # so that all is counted
    counted = chances(net, known, draws=1_000_000 if is_proof else 100_000, bends=none)
    error = np.sqrt(exact.clearance * (1.0 - exact.clearance) / counted.draws)

    assert np.all(np.abs(counted.clearance - exact.clearance) <= 5.0 * error + 1e-9)


def test_a_clearance_that_bends_follows_chi_square():
    """g = d^2 / 2 of a standard normal d: at most 1.92 for d within 1.96, 95 % of the time."""
    bends = Bends(np.ones((1, 1)), np.ones(1), np.zeros(1, dtype=int))
    net = network(np.zeros((1, 1)), [-1.0], [stats.chi2(1).ppf(0.95) / 2.0])
    found = chances(net, belief(np.eye(1)), draws=200_000, bends=bends)

    assert found.clearance[0] == pytest.approx(0.95, abs=4.0 * (0.95 * 0.05 / 200_000) ** 0.5)


def test_drivers_share_out_the_whole_variance():
    """3-4-5: variances 9 and 16 of 25."""
    net = network(np.array([[1.0, -1.0]]), [-1.0], [1.0])
    found = drivers(net, belief(np.diag([3.0, 4.0])), 0)

    assert list(found) == ["p1", "p0"]
    assert found["p1"] == pytest.approx(0.64)
    assert found["p0"] == pytest.approx(0.36)


def test_the_two_sums_of_drawing_offices():
    """Tolerances of 9 and 12: worst case 21, root of squares 15."""
    net = network(np.array([[1.0, -1.0]]), [-1.0], [1.0])
    known = belief(np.diag([3.0, 4.0]))

    assert worst_case(net, known)[0] == pytest.approx(21.0)
    assert root_sum_square(net, known)[0] == pytest.approx(15.0)
