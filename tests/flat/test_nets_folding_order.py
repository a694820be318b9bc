"""Folding order: what hands can fold one by one, and what they cannot."""

import time

import pytest

from foldwright.flat.develop import develop
from foldwright.flat.folding_order import folding_order
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


def test_a_panel_in_the_way_is_seen():
    """A lid folded before the flap that goes under it shuts that flap out.

    The flap, 60 deep, hangs on the front wall, lies under the lid when
    folded, and cannot get there once the lid is down.
    """
    from foldwright.flat.folding_order import _Hinges

    sheet = card(CUBE)
    edge = {frozenset((e.left, e.right)): n for n, e in enumerate(sheet.edges)}
    # A cross: the top hangs on a side that stands on the bottom.
    net = frozenset(
        edge[frozenset(pair)]
        for pair in (("s0", "front"), ("s0", "back"), ("s0", "s1"), ("s0", "s3"), ("s3", "s2"))
    )
    (layout,) = develop("part", sheet, net)
    hinges = _Hinges(sheet, layout)
    lid, wall = edge[frozenset(("s3", "s2"))], edge[frozenset(("s0", "s3"))]

    # With all else up, the lid cannot swing while the others stand in its plane ...
    assert hinges.is_free(frozenset(), lid)
    # ... and the wall with its lid folded square comes down over open walls, or stands up first.
    assert hinges.is_free(frozenset({wall}), lid)
    assert folding_order(sheet, layout).together == ()


def test_scroll_is_folded_from_the_inside_out():
    sheet = card(hooked(12.0))
    net = best_net("part", sheet, lengths(sheet))

    assert len(net.layouts) == 1
    assert len(net.order) == len(sheet.faces) - 1


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
