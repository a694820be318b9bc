"""Nets of small solids: against trying every net, and against published counts."""

import math
import random
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from foldwright.errors import CannotMake
from foldwright.flat.net_search import Problem, search
from foldwright.flat.nets import best_net
from foldwright.flat.rack_fit import fits_rectangles
from foldwright.flat.unfolding import Change, Unfolding
from net_sheets import (
    CUBE,
    TOUCH,
    board,
    card,
    forests,
    is_sound,
    least_by_trying,
    lengths,
    net_of,
    octahedron,
    overlap,
    prism_of,
    random_weights,
    seam,
    tree_bound,
)
from random_solids import convex_solid
from zoo import L_CORNERS, U_CORNERS

FITTED = fits_rectangles([(260.0, 200.0)])
SLOT = [(0, 0), (280, 0), (280, 200), (150, 200), (150, 70), (130, 70), (130, 200), (0, 200)]


def checked(sheet, weights, must=frozenset(), fits=None):
    """Best net, after every piece was found sound by other means."""
    net = best_net("part", sheet, weights, must, fits=fits)
    assert all(overlap(layout) <= TOUCH for layout in net.layouts)
    assert sorted(name for layout in net.layouts for name in layout.order) == sorted(
        face.name for face in sheet.faces
    )
    return net


@pytest.mark.parametrize("solid", [CUBE, octahedron()], ids=["cube", "octahedron"])
def test_search_walks_through_every_net_once(solid):
    """Cube and octahedron have 384 spanning trees each.

    F. Buekenhout and M. Parker, The number of nets of the regular convex
    polytopes in dimension <= 4, Discrete Mathematics 186 (1998) 69-94; cited
    from memory. Kirchhoff's theorem gives the same.
    """
    sheet = card(solid)
    unfolding = Unfolding("part", sheet)
    problem = Problem(
        len(unfolding.names), unfolding.ends, lengths(sheet), unfolding.foldable, frozenset()
    )
    seen = []

    def never(net):
        seen.append(net)
        return [tuple(Change(edge, False) for edge in sorted(net))]

    outcome = search(problem, 1, never, 1000)

    assert outcome.is_exhausted
    assert len(seen) == len(set(seen)) == 384
    assert set(seen) == set(forests(sheet, 1))


def test_no_net_of_the_cube_or_the_octahedron_overlaps():
    """Each has 11 shapes of net (same source), all printed as cut-outs; a third is tried."""
    for solid in (CUBE, octahedron()):
        sheet = card(solid)
        unfolding = Unfolding("part", sheet)
        trees = list(forests(sheet, 1))[::3]

        assert not [t for t in trees if unfolding.overlaps(unfolding.lay(t))]


def test_cube_folds_five_edges_and_seams_seven():
    net = checked(card(CUBE), lengths(card(CUBE)))

    assert len(net.layouts) == 1 and net.proven and net.notes == ()
    assert seam(lengths(card(CUBE)), net_of(net.layouts)) == approx(700.0)


CASES = {
    "points": convex_solid("points", 8, 3),
    "long_points": convex_solid("points", 8, 4, 4.0),
    "planes": convex_solid("planes", 6, 5),
    "long_planes": convex_solid("planes", 7, 6, 4.0),
    "l_prism": prism_of(L_CORNERS, 150.0, ("s0", "s1")),
    "u_prism": prism_of(U_CORNERS, 150.0, ("back", "s7")),
    "slotted": prism_of(SLOT, 90.0, ("s7", "back", "s0")),
}


@pytest.mark.parametrize("name", CASES)
def test_seam_is_the_least_of_all_nets(name, is_proof):
    """By trying every net; random weights make nets curl up, so that overlaps bind."""
    binding = 0
    for make in (card, board):
        try:
            sheet = make(CASES[name])
        except ValueError:
            continue  # a turn that the board does not take
        for seed in range(12 if is_proof else 1):
            weights = random_weights(sheet, seed)
            net = checked(sheet, weights)
            if net.proven and not net.notes:
                expected = least_by_trying(sheet, weights)
                binding += expected[1] > tree_bound(sheet, weights) + 1e-9

                assert (len(net.layouts), seam(weights, net_of(net.layouts))) == (
                    expected[0],
                    approx(expected[1]),
                )


def test_overlaps_do_bind_in_these_cases():
    """Else the test above would hold for a plain spanning tree."""
    sheet = card(CASES["slotted"])
    weights = random_weights(sheet, 0)

    assert least_by_trying(sheet, weights)[1] > tree_bound(sheet, weights) + 1.0


@pytest.mark.parametrize("name", ["l_prism", "slotted"])
def test_pieces_that_fit_are_the_fewest_with_the_least_seam(name):
    sheet = card(CASES[name])
    weights = lengths(sheet)
    size = 1.05 * max(
        math.hypot(*(max(c) - min(c) for c in zip(*outline, strict=True)))
        for outline in sheet.outlines.values()
    )
    fits = fits_rectangles([(1.3 * size, 0.8 * size)])
    net = checked(sheet, weights, fits=fits)

    assert all(fits(layout.outline) for layout in net.layouts)
    if net.proven and not any("order" in note for note in net.notes):
        pieces, least = least_by_trying(sheet, weights, fits)

        assert (len(net.layouts), seam(weights, net_of(net.layouts))) == (pieces, approx(least))


def only_to_front(solid, loose):
    """Card on which the faces `loose` fold to the front and to nothing else."""
    sheet = card(solid)
    folds = {
        number: section
        for number, section in sheet.folds.items()
        if not {sheet.edges[number].left, sheet.edges[number].right} & loose
        or "front" in (sheet.edges[number].left, sheet.edges[number].right)
    }
    return replace(sheet, folds=folds)


def test_solid_without_a_net_comes_in_the_fewest_pieces():
    """The wall of a slot 20 mm wide hangs on the front alone, and lies over its other half."""
    sheet = only_to_front(prism_of(SLOT, 90.0, ("back", "s0", "s7", "s1")), {"s3"})
    weights = lengths(sheet)
    net = checked(sheet, weights)

    assert not any(is_sound(sheet, tree) for tree in forests(sheet, 1))
    assert net.proven
    assert net.notes[0] == "part comes in 3 pieces: no net in 2 pieces exists."
    assert (len(net.layouts), seam(weights, net_of(net.layouts))) == (
        3,
        approx(least_by_trying(sheet, weights)[1]),
    )


def test_forced_folds_are_kept():
    sheet = card(CUBE)
    short = frozenset(random.Random(1).sample(range(12), 2))
    net = checked(sheet, [1.0 if n in short else 50.0 for n in range(12)], short)

    assert short <= net_of(net.layouts)
    assert len(net.layouts) == 1


def test_folds_that_close_a_ring_are_refused():
    sheet = card(CUBE)
    ring = frozenset(n for n, e in enumerate(sheet.edges) if "front" not in (e.left, e.right)) & {
        n for n, e in enumerate(sheet.edges) if "back" not in (e.left, e.right)
    }

    with pytest.raises(CannotMake, match="close a ring, which cannot be laid flat"):
        best_net("part", sheet, lengths(sheet), ring)


def test_a_seam_that_is_seen_is_moved_where_it_is_not():
    """Doubling the weight of the edges of one face folds as many of them as can be."""
    sheet = card(CUBE)
    seen = [2.0 if "front" in (e.left, e.right) else 1.0 for e in sheet.edges]
    net = checked(sheet, [100.0 * w for w in seen])

    assert sum(n in net_of(net.layouts) for n, w in enumerate(seen) if w > 1.0) == 4


def test_a_face_larger_than_every_sheet_is_named():
    with pytest.raises(CannotMake, match='"back".*fits no sheet of the rack.*larger sheet'):
        sheet = card(prism_of([(0, 0), (300, 0), (300, 300), (0, 300)], 50.0))
        best_net("part", sheet, lengths(sheet), fits=FITTED)


@given(st.integers(0, 10_000), st.floats(0.0, math.pi))
def test_a_rectangle_fits_in_any_turn(seed, turn):
    chance = random.Random(seed)
    wide, high = chance.uniform(50, 250), chance.uniform(50, 190)
    corners = [(0, 0), (wide, 0), (wide, high), (0, high)]
    turned = [
        (x * math.cos(turn) - y * math.sin(turn), x * math.sin(turn) + y * math.cos(turn))
        for x, y in corners
    ]

    assert FITTED(turned)


def test_a_long_strip_fits_only_askew_and_only_if_the_grain_allows():
    """A strip 300 by 10 in 260 by 200: its diagonal has room, its sides have not."""
    strip = [(0.0, 0.0), (300.0, 0.0), (300.0, 10.0), (0.0, 10.0)]

    assert FITTED(strip)
    assert not fits_rectangles([(260.0, 200.0)], turns=(0.0, math.pi / 2.0))(strip)
    assert not FITTED([(0.0, 0.0), (330.0, 0.0), (330.0, 10.0), (0.0, 10.0)])
