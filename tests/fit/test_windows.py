"""Windows: what a miss costs, near and far."""

import numpy as np
import pytest

from fit.slack_cost import slack_cost
from foldwright.fit.windows import Costs, aims, expected, slacks

LOW, HIGH, SIGMA = np.array([-1.0]), np.array([1.0]), np.array([0.5])
# a shim of 3 mm in 4 minutes above, a remake of 90 beyond and below
COSTS = Costs(
    np.array([90.0]), np.array([4.0]), np.array([np.inf]), np.array([3.0]), np.array([90.0])
)


# Far from every end the chance of each side is 0 or 1 to ten digits.
@pytest.mark.parametrize(
    ("value", "minutes"), [(-6.0, 90.0), (0.0, 4.0 * 0.02275 + 90.0 * 0.02275), (7.5, 90.0)]
)
def test_a_miss_past_what_can_be_cured_costs_a_remake(value, minutes):
    """Tables of the normal law: 0.02275 beyond two scatters."""
    found = expected(np.array([value]), LOW, HIGH, SIGMA, COSTS)

    assert found[0] == pytest.approx(minutes, rel=1e-3)


def test_half_way_between_two_ends_a_miss_costs_its_cure():
    found = expected(np.array([2.5]), LOW, HIGH, np.array([0.3]), COSTS)

    assert found[0] == pytest.approx(4.0, rel=1e-3)


def test_slack_weighs_a_remake_once_it_is_past_what_can_be_cured():
    aimed = aims(LOW, HIGH, SIGMA, COSTS)
    below, above = slacks(LOW, HIGH, SIGMA, COSTS, aimed)
    edge = HIGH - aimed[1]

    def rise(side, at):
        return slack_cost(side, edge + at + SIGMA, SIGMA) - slack_cost(side, edge + at, SIGMA)

    assert rise(above, 1.0) == pytest.approx(rise(above, 2.0))  # a shim
    assert rise(above, 4.0) > 3.0 * rise(above, 2.0)  # a remake, which the slope before leads up to
    assert rise(below, 4.0) == pytest.approx(rise(below, 1.0))  # a remake from the first
    assert np.all(np.diff(above.weights, axis=0) >= 0.0)


def test_some_clearances_keep_what_they_cost():
    costs = Costs(np.array([1.0, 2.0]), np.array([3.0, 4.0]), reach_high=np.array([5.0, 6.0]))

    found = costs.of(np.array([1]))

    assert (found.low, found.high, found.reach_high) == (2.0, 4.0, 6.0)
    assert np.isinf(found.reach_low) and found.remake == 0.0
