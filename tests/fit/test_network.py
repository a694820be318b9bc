"""The network of dims and clearances."""

import numpy as np
import pytest
from scipy import sparse

from foldwright.errors import OutOfDomain
from foldwright.fit.network import Belief, Network


def two(low=-1.0, high=1.0, give=2.0):
    return Network(
        ("a/w", "b/w"), ("a", "b"), np.array([0, 1]), np.array([10.0, 8.0]),
        np.array([10.0, 8.0]), np.full(2, give), np.ones(2, dtype=bool), ("m",), np.zeros(1, int),
        np.array([0.5]), np.array([low]), np.array([high]), sparse.csr_array([[0.5, -0.5]]),
    )  # fmt: skip


def test_clearances_of_one_set_of_dims_and_of_many():
    net = two()
    many = np.array([[10.0, 12.0], [8.0, 8.0]])

    assert net.clearances(np.array([12.0, 8.0])) == pytest.approx([1.5])
    assert net.clearances(many) == pytest.approx(np.array([[0.5, 1.5]]))


def test_one_cause_behind_two_dims_cancels_in_their_difference():
    known = Belief(np.zeros(2), sparse.csr_array([[0.7], [0.7]]), np.zeros(2, dtype=bool))

    assert known.sigmas(two().slopes) == pytest.approx([0.0])


def test_an_empty_window_is_refused_and_the_meet_named():
    with pytest.raises(OutOfDomain, match="m wants 1 to -1 mm, which is no range"):
        two(low=1.0, high=-1.0)


def test_a_free_dim_needs_a_give():
    with pytest.raises(OutOfDomain, match="give above 0"):
        two(give=0.0)
