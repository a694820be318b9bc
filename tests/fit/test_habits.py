"""What is learnt of a hand."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from foldwright.errors import OutOfDomain
from foldwright.fit.habits import Habit

numbers = st.lists(st.floats(-5.0, 5.0), min_size=1, max_size=6)


@given(first=numbers, second=numbers)
def test_it_does_not_matter_in_how_many_sittings_readings_come(first, second):
    """Conjugate: learning twice is learning all at once."""
    habit = Habit.usual(1.0, 0.5, 10.0)
    at_once, in_turn = habit.learned(first + second), habit.learned(first).learned(second)

    for name in ("mean", "kappa", "alpha", "beta"):
        assert getattr(in_turn, name) == pytest.approx(getattr(at_once, name), rel=1e-9, abs=1e-9)


@given(data=numbers)
def test_dims_that_share_nothing_count_as_so_many_readings(data):
    """The regression with a unit covariance is the plain update."""
    habit = Habit.usual(1.0, 0.5, 10.0)
    together = habit.learned_together(np.array(data), np.ones(len(data)), np.eye(len(data)))
    plain = habit.learned(data)

    for name in ("mean", "kappa", "alpha", "beta"):
        assert getattr(together, name) == pytest.approx(getattr(plain, name), rel=1e-9, abs=1e-9)


def test_dims_that_share_their_hand_move_the_bias_hardly_more_than_one():
    """Correlation 0.99 of four dims: worth 4 / (1 + 3 * 0.99) = 1.0076 readings."""
    covariance = np.full((4, 4), 0.99) + 0.01 * np.eye(4)
    habit = Habit.usual(1.0, 0.5, 10.0)
    learned = habit.learned_together(np.ones(4), np.ones(4), covariance)

    assert learned.kappa - habit.kappa == pytest.approx(4.0 / 3.97, rel=1e-9)


def test_the_first_reading_already_moves_the_mean_but_not_all_the_way():
    habit = Habit.usual(1.0, 0.5, 10.0).learned([1.0])

    assert habit.mean == pytest.approx(0.2)  # 1 / (4 + 1) of the way


def test_what_is_no_number_is_refused():
    habit = Habit.usual(1.0, 0.5, 10.0)

    with pytest.raises(OutOfDomain, match="plain numbers"):
        habit.learned([float("nan")])
    with pytest.raises(OutOfDomain, match="plain numbers"):
        habit.learned_together(np.array([np.inf]), np.ones(1), np.eye(1))
    with pytest.raises(OutOfDomain, match="more than 0"):
        Habit(0.0, 0.0, 5.0, 4.0)
