"""What a refit changes, and what it lets be."""

import numpy as np
import pytest

from foldwright.fit.leave_long import rework
from foldwright.fit.network import Belief
from foldwright.fit.random_works import random_works
from foldwright.fit.redraw import SMALLEST_CHANGE, redraw, redraw_next, sigmas_when_cut
from foldwright.fit.windows import Costs, aims, expected


def half_made(seed):
    """A random build whose first ten parts came out a little off."""
    works = random_works(seed)
    net = works.network
    made = np.arange(len(net.parts)) < 10
    off = works.root @ np.random.default_rng(seed).normal(size=works.root.shape[1])
    mean = np.where(made[net.part], net.drawn + off, net.drawn)
    root = works.root.multiply((~made[net.part]).astype(float)[:, None]).tocsr()
    known = Belief(mean, root, made)
    return net, known, Costs(*rework(net, known, works.minutes, works.cures))


def changed_parts(net, known, x):
    return set(net.part[np.abs(x - known.mean) > SMALLEST_CHANGE].tolist())


@pytest.mark.parametrize("seed", range(4))
def test_made_parts_stand_and_the_sparse_refit_changes_fewer(seed):
    net, known, costs = half_made(seed)
    sparse, full = redraw(net, known, costs), redraw(net, known, costs, is_sparse=False)

    assert np.all(sparse[known.is_made[net.part]] == known.mean[known.is_made[net.part]])
    assert len(changed_parts(net, known, sparse)) < len(changed_parts(net, known, full))


@pytest.mark.parametrize("seed", range(4))
def test_a_refit_lowers_the_rework_to_expect(seed):
    net, known, costs = half_made(seed)
    sigmas = sigmas_when_cut(net, known)

    def minutes(x):
        return expected(net.clearances(x), net.low, net.high, sigmas, costs).sum()

    # where nothing was worth changing, it stands
    assert minutes(redraw(net, known, costs)) <= minutes(known.mean)
    assert minutes(redraw(net, known, costs, is_sparse=False)) < minutes(known.mean)


def test_when_all_is_as_drawn_and_wide_nothing_changes():
    """Windows of fifty scatters."""
    works = random_works(5, width=(50.0, 51.0))
    net = works.network
    known = Belief(net.drawn, works.root, np.zeros(len(net.parts), dtype=bool))
    costs = Costs(*rework(net, known, works.minutes, works.cures))

    assert np.all(redraw(net, known, costs) == net.drawn)
    assert changed_parts(net, known, redraw_next(net, known, costs, 3)) == set()


def test_an_aim_never_leaves_the_wanted_range():
    rng = np.random.default_rng(0)
    low = rng.normal(size=500)
    high = low + rng.uniform(0.01, 3.0, 500)
    costs = Costs(rng.uniform(1.0, 100.0, 500), rng.uniform(1.0, 100.0, 500))
    start, end = aims(low, high, rng.uniform(0.001, 2.0, 500), costs)

    assert np.all((low <= start) & (start <= end) & (end <= high))


def test_only_the_last_part_of_a_meet_strays_when_it_is_cut():
    """Two parts unmade, 0.3 and 0.4: the smaller, and what reading both leaves open."""
    works = random_works(0, parts=3)
    net = works.network
    root = np.full(len(net.keys), 0.4)
    root[net.part == 0] = 0.3
    known = Belief(net.drawn, type(net.slopes)(np.diag(root)), np.zeros(3, dtype=bool))
    row = next(r for r in range(len(net.low)) if net.parts_of(r) == {0, 1})
    half = abs(net.slopes[[row]].data[0])

    assert sigmas_when_cut(net, known)[row] == pytest.approx(
        half * np.sqrt(0.3**2 + 2 * net.reads[0] ** 2), rel=1e-9
    )
