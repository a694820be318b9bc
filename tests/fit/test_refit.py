"""The quadratic programme of the refit against an independent solver."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import minimize

from foldwright.fit import least_drift, within


@given(seed=st.integers(0, 10_000))
def test_least_drift_agrees_with_an_independent_solver(seed):
    """Same optimum as SciPy's SLSQP on the smooth form with explicit slacks."""
    rng = np.random.default_rng(seed)
    n, m = int(rng.integers(1, 6)), int(rng.integers(1, 7))
    matrix = rng.normal(size=(m, n)) * (rng.random((m, n)) < 0.7)
    goal, give = rng.normal(size=n) * 50.0, rng.uniform(1.0, 4.0, n)
    sigmas = rng.uniform(0.2, 1.0, m)
    centre = matrix @ goal + rng.normal(size=m) * 2.0
    windows = np.column_stack([centre - 0.3, centre + 0.3])

    ours = least_drift(goal, give, matrix, windows, sigmas)

    def cost(x):
        level = matrix @ x
        slack = np.maximum(windows[:, 0] - level, 0) + np.maximum(level - windows[:, 1], 0)
        return float((((x - goal) / give) ** 2).sum() + (100.0 * slack / sigmas).sum())

    def smooth(y):
        return float((y[:n] ** 2).sum() + (100.0 * (y[n:] / sigmas)).sum())

    level = matrix @ goal
    rows = matrix * give
    limits = [
        {"type": "ineq", "fun": lambda y: rows @ y[:n] + level - windows[:, 0] + y[n:]},
        {"type": "ineq", "fun": lambda y: windows[:, 1] - rows @ y[:n] - level + y[n:]},
    ]
    start = np.concatenate([np.zeros(n), np.full(m, 10.0)])
    theirs = minimize(
        smooth,
        start,
        method="SLSQP",
        constraints=limits,
        bounds=[(None, None)] * n + [(0, None)] * m,
        options={"maxiter": 500, "ftol": 1e-12},
    )

    assert cost(ours) <= cost(goal + give * theirs.x[:n]) + 1e-6 * (1.0 + abs(cost(ours)))


def test_a_dim_alone_with_its_window_stops_at_the_nearer_edge():
    """One dim, one window: the answer can be read off."""
    x = least_drift(
        np.array([10.0]), np.array([2.0]), np.array([[1.0]]), np.array([[12.0, 15.0]]), np.ones(1)
    )

    assert x[0] == pytest.approx(12.0, abs=1e-7)


def test_chance_of_a_normal_variable_within_two_sigma():
    """0.9545, any table of the normal distribution."""
    assert within(0.0, 1.0, -2.0, 2.0) == pytest.approx(0.9545, abs=5e-5)


def test_a_certain_number_is_in_or_out():
    """Without scatter the chance is one or nought."""
    assert within(1.0, 0.0, 0.0, 2.0) == 1.0
    assert within(3.0, 0.0, 0.0, 2.0) == 0.0
