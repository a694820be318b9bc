"""What a simulated maker who refits makes of what was read."""

import numpy as np
import pytest
from scipy import sparse
from scipy.special import ndtr

from foldwright.fit import remaking
from foldwright.fit.believing import belief_of
from foldwright.fit.bench import REFIT, SENSIBLE, Bench
from foldwright.fit.habits import Habit
from foldwright.fit.network import Network
from foldwright.fit.works import Hands, Works


def bench(read, made=(True, True, True, True), way=REFIT):
    """Four pieces with one dim each: one cause for all of the first three, the last its own."""
    net = Network(
        keys=("a/d", "b/d", "c/d", "e/d"), parts=tuple("abce"), part=np.arange(4), at=np.zeros(4),
        drawn=np.zeros(4), give=np.ones(4), is_free=np.array([False, False, False, True]),
        meets=("m",), meet=np.array([0]), level=np.zeros(1), low=np.array([-1.0]),
        high=np.array([1.0]), slopes=sparse.csr_array([[1.0, 0.0, 0.0, -1.0]]),
        read=np.full(4, 0.05),
    )  # fmt: skip
    root = sparse.csr_array([[0.1, 0.0], [0.1, 0.0], [0.1, 0.0], [0.0, 0.2]])
    works = Works(
        net, root, np.array([0, 1]), ("stock", "cut"), np.array([True, False]), np.ones(4), ()
    )
    hands = Hands(np.zeros(2), np.ones(2), 0.0, 1)
    x = np.array(read)
    habits = [Habit.usual(1.0, 0.5, 10.0)] * 2
    zero = np.zeros(4, dtype=int)
    return Bench(works, hands, way, True, np.array(made), x, x, x, np.zeros(1), habits, zero)


def sigmas(belief):
    return belief.sigmas(sparse.eye_array(4, format="csr"))


def test_dims_that_one_stock_gave_are_read_together():
    """The mean of n readings is sigma / sqrt(n) sure: JCGM 100:2008, 4.2.3."""
    found = belief_of(bench([0.10, 0.16, 0.07, 0.4]))

    assert found.mean == pytest.approx([0.11, 0.11, 0.11, 0.4])
    assert sigmas(found) == pytest.approx([0.05 / np.sqrt(3.0)] * 3 + [0.05])
    apart = sparse.csr_array([[1.0, -1.0, 0.0, 0.0]])
    assert found.sigmas(apart)[0] == pytest.approx(0.0, abs=1e-8)


def test_one_that_does_not_agree_stands_by_its_own_reading():
    found = belief_of(bench([0.10, 0.60, 0.06, 0.4]))

    assert found.mean == pytest.approx([0.08, 0.60, 0.08, 0.4])
    assert sigmas(found)[1] == pytest.approx(0.05)


def test_of_two_that_do_not_agree_each_stands_alone():
    found = belief_of(bench([0.10, 0.60, 0.0, 0.4], made=(True, True, False, True)))

    assert found.mean[:2] == pytest.approx([0.10, 0.60])
    assert sigmas(found)[:2] == pytest.approx([0.05, 0.05])


@pytest.mark.parametrize(("way", "times"), [(REFIT, 3.0), (SENSIBLE, 1.0)])
def test_who_learns_the_hand_knows_how_seldom_a_rough_one_suits(way, times):
    """Within 1 mm either side at 0.2, or three times that: tables of the normal law."""
    rough = bench(np.zeros(4), way=way)
    rough.habits[1] = Habit.usual(3.0, 1e-3, 1e6)
    chance = remaking._chance_to_suit(rough, 3, np.zeros(1))

    assert chance == pytest.approx(1.0 - 2.0 * ndtr(-1.0 / (0.2 * times)), abs=1e-4)
