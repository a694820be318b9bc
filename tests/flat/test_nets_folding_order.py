"""Folding order: what hands can fold one by one, and what they cannot."""

import random
import time

import numpy as np
import pytest

from foldwright.flat.folding_order import _clash, _Hinges, folding_order
from foldwright.flat.nets import best_net
from net_sheets import CUBE, board, card, lengths, octahedron, prism_of
from random_solids import convex_solid
from zoo import HANDED_CORNERS, L_CORNERS


@pytest.mark.parametrize(
    "solid",
    [
        CUBE,
        octahedron(),
        convex_solid("planes", 12, 1),
        convex_solid("points", 12, 2, 4.0),
        prism_of(L_CORNERS, 150.0),
        prism_of(HANDED_CORNERS, 200.0),
    ],
    ids=["cube", "octahedron", "planes", "long_points", "l_prism", "handed"],
)
def test_every_fold_has_its_turn_in_the_order(solid):
    sheet = card(solid)
    net = best_net("part", sheet, lengths(sheet))

    assert sorted(net.order) == sorted(n for layout in net.layouts for n in layout.parent.values())
    assert not [note for note in net.notes if "No order" in note]


def test_small_flaps_come_first():
    """A fold is made before the fold that its panel hangs on, where nothing forbids it."""
    sheet = board(CUBE)
    (layout,) = best_net("part", sheet, lengths(sheet)).layouts
    found = folding_order(sheet, layout)

    for face, edge in layout.parent.items():
        ends = sheet.edges[edge]
        over = ends.left if ends.right == face else ends.right
        if over in layout.parent:
            assert found.order.index(edge) < found.order.index(layout.parent[over])


def hooked(gap):
    """Two hooks that grip into one another: a strip folded into a C round the end of itself.

    Outline of a scroll: the last flap ends inside the pocket that the first
    flaps make, `gap` wide; open at both ends, so that only the strip is folded.
    """
    corners = [
        (0, 0), (200, 0), (200, 120), (60, 120), (60, 60), (120, 60), (120, 60 + gap),
        (60 + gap, 60 + gap), (60 + gap, 120 - gap), (200 - gap, 120 - gap), (200 - gap, gap),
        (0, gap),
    ]  # fmt: skip
    return prism_of(corners, 50.0, ("front", "back"))


def test_scroll_folds_in_few_orders_and_one_is_found():
    """Made in the reverse of the order found, or in most others, a panel is in the way."""
    sheet = card(hooked(12.0))
    net = best_net("part", sheet, lengths(sheet))
    (layout,) = net.layouts
    hinges = _Hinges(sheet, layout)

    def is_free(order):
        return all(hinges.is_free(frozenset(order[:i]), fold) for i, fold in enumerate(order))

    chance = random.Random(0)
    shuffled = [chance.sample(net.order, len(net.order)) for _ in range(30)]

    assert len(net.order) == len(sheet.faces) - 1
    assert is_free(net.order)
    assert not is_free(net.order[::-1])
    assert sum(map(is_free, shuffled)) < 5


@pytest.mark.parametrize(("shift", "expected"), [(0.0, True), (60.0, False), (99.0, False)])
def test_a_square_that_crosses_another_is_a_clash(shift, expected):
    """Two squares 100 across, the second upright through the middle of the first or beside it."""
    lying = np.array([[(0, 0, 0), (100, 0, 0), (100, 100, 0), (0, 100, 0)]], dtype=float)
    upright = np.array([[(50, 20, -50), (50, 80, -50), (50, 80, 50), (50, 20, 50)]], dtype=float)

    upright[..., 0] += shift

    assert _clash(upright[None], lying) is expected


def test_order_of_twelve_faces_takes_little_time():
    """Goal 50 ms on an idle machine; ten times that still tells a search that explodes."""
    sheet = card(convex_solid("planes", 12, 7))
    (layout,) = best_net("part", sheet, lengths(sheet)).layouts
    begin = time.process_time()
    folding_order(sheet, layout)

    assert time.process_time() - begin < 0.5


def test_large_solids_say_that_no_order_was_looked_for():
    sheet = card(convex_solid("points", 50, 1))
    net = best_net("part", sheet, lengths(sheet))

    assert net.order == ()
    assert "The order of folding was not worked out: find it with a paper model." in net.notes
