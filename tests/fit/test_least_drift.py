"""The quadratic programme of the refit against an independent solver."""

import highspy
import numpy as np
import pytest
from scipy import sparse

from fit.slack_cost import slack_cost
from foldwright.errors import FoldwrightError
from foldwright.fit.least_drift import (
    MOST_DRIFT,
    PAST_GIVE,
    Slacks,
    drift_cost,
    least_drift,
)
from foldwright.fit.windows import Costs, aims, slacks


def instance(seed):
    """A random programme: some dims, some clearances, windows off where they are drawn."""
    rng = np.random.default_rng(seed)
    n, m = int(rng.integers(1, 7)), int(rng.integers(1, 9))
    slopes = rng.normal(size=(m, n)) * (rng.random((m, n)) < 0.7)
    goal, give = rng.normal(size=n) * 50.0, rng.uniform(1.0, 4.0, n)
    sigmas = rng.uniform(0.2, 1.0, m)
    middle = slopes @ goal + rng.normal(size=m) * 2.0
    half = rng.uniform(0.3, 2.0, m)
    costs = Costs(rng.uniform(5.0, 80.0, m), rng.uniform(5.0, 80.0, m))
    window = middle - half, middle + half
    aimed = aims(*window, sigmas, costs)
    return goal, give, slopes, *aimed, sigmas, *slacks(*window, sigmas, costs, aimed)


def cost_of(x, goal, give, slopes, low, high, sigmas, below, above):
    """What the programme makes least, written without slacks as variables."""
    g = slopes @ x
    return (
        drift_cost(x, goal, give)
        + slack_cost(below, np.maximum(low - g, 0.0), sigmas)
        + slack_cost(above, np.maximum(g - high, 0.0), sigmas)
    )


def solved_elsewhere(goal, give, slopes, low, high, sigmas, below, above):
    """The same programme by the active-set solver of HiGHS, which shares nothing with ours."""
    n, m = len(goal), len(sigmas)
    lengths = np.concatenate([below.lengths, above.lengths])
    weights = np.concatenate([below.weights, above.weights]) / sigmas
    signs = np.repeat([1.0, -1.0], len(lengths) // 2)
    effect = np.hstack([np.eye(m) * sign for sign in signs])
    # dims in units of give, each with its drift past the give either way
    past = np.hstack([np.eye(n), -np.eye(n), np.eye(n), np.zeros((n, lengths.size))])
    rows = np.vstack([np.hstack([slopes * give, np.zeros((m, 2 * n)), effect]), past])
    level = slopes @ goal
    size = rows.shape[1]
    solver = highspy._Highs()
    solver.setOptionValue("output_flag", False)
    model = highspy.HighsModel()
    lp = model.lp_
    lp.num_col_, lp.num_row_ = size, m + n
    lp.col_cost_ = np.concatenate([np.zeros(n), np.full(2 * n, PAST_GIVE), weights.ravel()])
    lp.col_lower_ = np.concatenate([np.full(n, -MOST_DRIFT), np.zeros(size - n)])
    lp.col_upper_ = np.concatenate([np.full(n, MOST_DRIFT), np.full(2 * n, 9.0), lengths.ravel()])
    lp.row_lower_ = np.concatenate([low - level, -np.ones(n)])
    lp.row_upper_ = np.concatenate([high - level, np.ones(n)])
    columns = sparse.csc_array(rows)
    lp.a_matrix_.format_ = highspy.MatrixFormat.kColwise
    lp.a_matrix_.start_, lp.a_matrix_.index_ = columns.indptr, columns.indices
    lp.a_matrix_.value_ = columns.data
    model.hessian_.dim_ = size
    model.hessian_.format_ = highspy.HessianFormat.kTriangular
    model.hessian_.start_ = np.concatenate([np.arange(n), np.full(size + 1 - n, n)])
    model.hessian_.index_, model.hessian_.value_ = np.arange(n), np.full(n, 2.0)
    solver.passModel(model)
    solver.run()
    return goal + give * np.asarray(solver.getSolution().col_value)[:n]


@pytest.mark.parametrize("block", range(8))
def test_it_agrees_with_an_independent_solver(block, is_proof):
    """Objective within 1e-6 of its size, dims within 1e-4 mm; 200 at proof."""
    for seed in range(block * 25, block * 25 + (25 if is_proof else 5)):
        given = instance(seed)
        ours, theirs = least_drift(*given), solved_elsewhere(*given)
        best = cost_of(theirs, *given)

        assert cost_of(ours, *given) == pytest.approx(best, rel=1e-6, abs=1e-6)
        assert ours == pytest.approx(theirs, abs=1e-4)


def test_a_dim_alone_with_its_window_stops_at_the_nearer_edge():
    """One dim, one window within its give: the answer can be read off."""
    x = least_drift(
        np.array([10.0]),
        np.array([4.0]),
        np.array([[1.0]]),
        np.array([12.0]),
        np.array([15.0]),
        np.ones(1),
        Slacks.even(100.0, 1),
        Slacks.even(100.0, 1),
    )

    assert x[0] == pytest.approx(12.0, abs=1e-7)


def test_drift_past_the_give_is_taken_only_where_it_pays():
    """A slack of a tenth of what a give costs for each mm is cheaper, one of ten times dearer."""
    given = np.zeros(1), np.ones(1), np.ones((1, 1)), np.full(1, 3.0), np.full(1, 4.0), np.ones(1)

    cheap, dear = (
        least_drift(*given, Slacks.even(times * PAST_GIVE, 1), Slacks.even(times * PAST_GIVE, 1))
        for times in (0.1, 10.0)
    )

    assert cheap[0] == pytest.approx(1.0, abs=1e-6)
    assert dear[0] == pytest.approx(MOST_DRIFT, abs=1e-6)


def test_two_meets_on_one_dim_share_what_it_cannot_give_both():
    """Wanted at 0 and at 1 alike: chords that grow put the dim in the middle third."""
    sigma = np.full(2, 0.3)
    middle = np.array([0.0, 1.0])
    window = middle - 0.75, middle + 0.75
    costs = Costs(np.full(2, 60.0), np.full(2, 60.0))
    aimed = aims(*window, sigma, costs)
    x = least_drift(
        np.zeros(1), np.full(1, 3.0), np.ones((2, 1)), *aimed, sigma,
        *slacks(*window, sigma, costs, aimed),
    )  # fmt: skip

    assert 0.4 < x[0] < 0.6


def test_a_programme_that_stalls_close_to_its_end_is_solved_a_little_coarser(monkeypatch):
    """Windows that came twice stalled one at 1e-10; the answer had long settled."""
    task = instance(3)
    fine = least_drift(*task)
    monkeypatch.setattr("foldwright.fit.least_drift._PRECISE", (1e-30, 1e-8))
    coarse = least_drift(*task)

    assert coarse == pytest.approx(fine, abs=1e-4)


def test_a_programme_that_never_settles_is_refused(monkeypatch):
    monkeypatch.setattr("foldwright.fit.least_drift._PRECISE", (1e-30,))

    with pytest.raises(FoldwrightError, match="did not settle"):
        least_drift(*instance(3))
