"""Making order and waves."""

from itertools import permutations

import numpy as np
import pytest

from foldwright.fit.network import Belief
from foldwright.fit.orders import Worth, chosen_order, waves
from foldwright.fit.random_works import random_works


@pytest.mark.parametrize("seed", range(4))
def test_insertion_comes_close_to_the_best_of_all_orders(seed):
    """Five parts, 120 orders: within a tenth of the least minutes of rework to expect."""
    works = random_works(seed, parts=5)
    given = works.network, works.root, works.minutes, works.cures
    worth = Worth(*given)
    best = min(worth(order) for order in permutations(range(5)))

    assert worth(chosen_order(*given)) <= 1.1 * best + 1e-9


@pytest.mark.parametrize("seed", range(4))
def test_waves_hold_every_part_once_and_none_decides_another(seed):
    works = random_works(seed)
    net = works.network
    order = chosen_order(net, works.root, works.minutes, works.cures)
    unmade = Belief(net.drawn, works.root, np.zeros(len(net.parts), dtype=bool))
    found = waves(net, unmade, order)
    wave = {part: i for i, parts in enumerate(found) for part in parts}

    assert sorted(p for parts in found for p in parts) == list(range(len(net.parts)))
    for row in range(len(net.low)):
        parts = net.parts_of(row)
        assert len({wave[p] for p in parts}) == len(parts)


def test_made_parts_come_first():
    works = random_works(2)
    order = chosen_order(works.network, works.root, works.minutes, works.cures, made=(7, 3))

    assert order[:2] == (7, 3)
    assert sorted(order) == list(range(20))


def test_what_is_free_of_others_costs_nothing_to_expect():
    works = random_works(3)
    worth = Worth(works.network, works.root, works.minutes, works.cures)

    assert worth.of_part(0, frozenset()) == 0.0
    assert np.isfinite(worth(range(20)))
