"""Stacks, sums of squares and conjugate learning against books.

* JCGM 100:2008 (GUM), 5.1.2 eq. (10): combined variance of uncorrelated inputs is the sum
  of squared products of derivative and uncertainty; 5.2.2 eq. (16) for correlated ones,
  with its example of ten resistors calibrated against one standard: uncertainties of one
  common cause add linearly. Values from memory, unchecked.
* K. P. Murphy, Conjugate Bayesian analysis of the Gaussian distribution, 2007, sec. 3 and 6.
"""

import numpy as np
import pytest
from scipy import sparse, stats

from foldwright.fit.chances import root_sum_square, worst_case
from foldwright.fit.habits import Habit
from foldwright.fit.network import Belief, Network


def stack(count):
    """One clearance through so many equal parts."""
    return Network(
        tuple(f"p{i}/h" for i in range(count)), tuple(f"p{i}" for i in range(count)),
        np.arange(count), np.zeros(count), np.zeros(count), np.ones(count),
        np.ones(count, dtype=bool), ("m",), np.zeros(1, int), np.zeros(1), np.full(1, -1.0),
        np.ones(1), sparse.csr_array(np.ones((1, count))),
    )  # fmt: skip


def test_ten_resistors_of_one_standard():
    """GUM 5.2.2, example: ten of 1000 ohm, each 0.100 ohm from one standard: 1.00 ohm."""
    known = Belief(np.zeros(10), sparse.csr_array(np.full((10, 1), 0.1)), np.zeros(10, bool))

    assert known.sigmas(stack(10).slopes)[0] == pytest.approx(1.00, abs=0.005)


def test_ten_resistors_each_by_itself():
    """The same example's wrong way, uncorrelated: 0.32 ohm, two figures."""
    known = Belief(np.zeros(10), sparse.csr_array(0.1 * np.eye(10)), np.zeros(10, bool))

    assert known.sigmas(stack(10).slopes)[0] == pytest.approx(0.32, abs=0.005)


def test_equal_tolerances_stack_as_n_and_as_its_root():
    """Common drawing office rule: n t at worst, sqrt(n) t by squares; no single source."""
    known = Belief(np.zeros(4), sparse.csr_array(0.05 * np.eye(4)), np.zeros(4, bool))

    assert worst_case(stack(4), known)[0] == pytest.approx(4 * 0.15)
    assert root_sum_square(stack(4), known)[0] == pytest.approx(2 * 0.15)


def test_the_posterior_is_prior_times_likelihood():
    """Normal-inverse-gamma by brute force: a grid over mean and variance, readings 0.9 and 0.3.

    Agreement to a thousandth, which is what the grid resolves.
    """
    habit = Habit.usual(1.0, 0.5, 10.0)
    learned = habit.learned([0.9, 0.3])
    mu = np.linspace(-3.0, 3.0, 601)[:, None]
    variance = np.linspace(0.02, 12.0, 3000)[None, :]
    weight = (
        stats.invgamma(habit.alpha, scale=habit.beta).pdf(variance)
        * stats.norm(habit.mean, np.sqrt(variance / habit.kappa)).pdf(mu)
        * stats.norm(mu, np.sqrt(variance)).pdf(0.9)
        * stats.norm(mu, np.sqrt(variance)).pdf(0.3)
    )
    weight /= weight.sum()

    assert learned.mean == pytest.approx(float((weight * mu).sum()), abs=1e-3)
    assert learned.scatter**2 == pytest.approx(float((weight * variance).sum()), rel=2e-3)
