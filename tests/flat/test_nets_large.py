"""Nets of large random convex solids: one piece, and seams close to the spanning-tree bound.

Thin card, so that no facet is too small to fold. 1,000 solids with
FOLDWRIGHT_PROOF; a sample of all kinds otherwise, mostly smaller ones.

Some stretched solids have no net within 1.05 of the bound at all: a net longer
than that passes only where the search proved that there is none shorter. How
many these are is told among the properties of the test.
"""

import multiprocessing
import os
from concurrent.futures import ProcessPoolExecutor

import pytest
from pytest import approx

from foldwright.flat.net_programme import BranchAndCut, is_plane
from foldwright.flat.net_search import Problem, heaviest_net, search
from foldwright.flat.nets import best_net
from foldwright.flat.unfolding import Unfolding
from foldwright.shape import Face, Solid
from net_sheets import (
    TOUCH,
    board,
    card,
    lengths,
    net_of,
    overlap,
    prism_of,
    random_weights,
    seam,
    tree_bound,
)
from random_solids import convex_solid

KINDS = (("points", 1.0), ("planes", 1.0), ("points", 4.0), ("planes", 4.0))
MOST = 1.05


def solid_of(index: int, *, largest: int = 200) -> tuple[str, Solid]:
    """Solids of all kinds in turn; their sizes run through 20 to 200 evenly."""
    kind, stretch = KINDS[index % 4]
    faces = 20 + (index * 37) % (largest - 19)
    return f"{kind} {faces} x{stretch:g} #{index}", convex_solid(kind, faces, index, stretch)


def frame() -> Solid:
    """Square frame of four bars, mitred at the corners: a ring of quadrilaterals."""
    vertices = []
    for reach in (100.0, 60.0):
        for z in (0.0, 30.0):
            vertices += [(x * reach, y * reach, z) for x, y in ((-1, -1), (1, -1), (1, 1), (-1, 1))]
    faces = []
    for i in range(4):
        j = (i + 1) % 4
        faces += [
            Face(f"out{i}", (i, j, 4 + j, 4 + i)),
            Face(f"in{i}", (8 + j, 8 + i, 12 + i, 12 + j)),
            Face(f"low{i}", (j, i, 8 + i, 8 + j)),
            Face(f"up{i}", (4 + i, 4 + j, 12 + j, 12 + i)),
        ]
    return Solid(tuple(vertices), tuple(faces))


def judged(index: int, largest: int = 200) -> tuple[str, bool]:
    """What is wrong with the net of one solid, empty if nothing; whether it is long and proved."""
    name, solid = solid_of(index, largest=largest)
    sheet = card(solid)
    weights = lengths(sheet)
    net = best_net("part", sheet, weights)
    if len(net.layouts) != 1:
        return f"{name}: {len(net.layouts)} pieces", False
    if overlap(net.layouts[0]) > TOUCH:
        return f"{name}: overlaps by {overlap(net.layouts[0]):g} mm2", False
    ratio = seam(weights, net_of(net.layouts)) / tree_bound(sheet, weights)
    is_long = ratio > MOST
    fault = f"{name}: seam {ratio:.4f} of the bound" if is_long and not net.proven else ""
    return fault, is_long and net.proven


def test_random_convex_solids_come_in_one_piece_with_short_seams(is_proof, record_property):
    if is_proof:
        # Not forked: the solver has threads, which a fork would leave behind.
        context = multiprocessing.get_context("spawn")
        with ProcessPoolExecutor(os.cpu_count(), mp_context=context) as workers:
            found = list(workers.map(judged, range(1000), chunksize=4))
    else:
        found = [judged(index, 30) for index in range(16)]
        found += [judged(index) for index in (4, 9, 11)]
    record_property("no shorter net exists, of 1,000", sum(is_long for _, is_long in found))

    assert [fault for fault, _ in found if fault] == []


def problem_of(unfolding: Unfolding, weights: list[float]) -> Problem:
    """Problem in which every edge may fold and none has to."""
    return Problem(len(unfolding.names), unfolding.ends, weights, unfolding.foldable, frozenset())


def overlap_judge(unfolding: Unfolding):
    """Judge that looks at overlaps alone."""

    def judge(net):
        laid = unfolding.lay(net)
        return [unfolding.cause_of_overlap(laid, a, b) for a, b in unfolding.overlaps(laid)]

    return judge


@pytest.mark.parametrize(("kind", "stretch"), KINDS)
def test_branches_come_to_the_same_least_seam_as_the_search_by_single_overlaps(kind, stretch):
    """Two ways that share the judge only: linear programmes, and exchanges of folds."""
    for seed in range(3):
        sheet = card(convex_solid(kind, 16, seed, stretch))
        weights = random_weights(sheet, seed)  # nets curl up, so that overlaps bind
        unfolding = Unfolding("part", sheet)
        problem, judge = problem_of(unfolding, weights), overlap_judge(unfolding)
        expected = search(problem, 1, judge, 5000)
        found = BranchAndCut(unfolding, problem, judge).run(5000)

        assert expected.is_exhausted and found.is_exhausted
        assert seam(weights, found.net) == approx(seam(weights, expected.net))
        assert seam(weights, found.net) > tree_bound(sheet, weights) or not judge(
            heaviest_net(problem, 1)
        )


def test_forced_and_forbidden_folds_are_kept_by_branches():
    sheet = card(convex_solid("planes", 14, 2, 4.0))
    weights = lengths(sheet)
    unfolding = Unfolding("part", sheet)
    light = sorted(unfolding.foldable, key=lambda n: weights[n])
    problem = Problem(
        len(unfolding.names),
        unfolding.ends,
        weights,
        unfolding.foldable - {light[-1]},
        frozenset(light[:1]),
    )
    found = BranchAndCut(unfolding, problem, lambda net: []).run(100)

    assert found.is_exhausted
    assert light[0] in found.net and light[-1] not in found.net
    assert found.net == search(problem, 1, lambda net: [], 10).net


def test_solids_with_open_faces_are_plane_and_a_frame_is_not():
    """A frame has a hole through it, so that corners less edges plus faces is 0, not 2."""
    corners = [(0.0, 0.0), (90.0, 0.0), (90.0, 70.0), (0.0, 70.0)]

    assert is_plane(Unfolding("part", card(prism_of(corners, 50.0))))
    assert is_plane(Unfolding("part", card(prism_of(corners, 50.0, ("front",)))))
    assert is_plane(Unfolding("part", card(prism_of(corners, 50.0, ("front", "s1")))))
    assert not is_plane(Unfolding("part", card(frame())))


@pytest.mark.parametrize(("index", "faces"), [(191, 28), (339, 74)])
def test_a_net_above_the_goal_is_proved_shortest(index, faces):
    """Stretched solids that have no net within 1.05 of the bound; growing alone left one at 1.054.

    The smaller one against the search by single overlaps, which is given the time it needs.
    """
    _, solid = solid_of(index)
    sheet = card(solid)
    weights = lengths(sheet)
    net = best_net("part", sheet, weights)
    ratio = seam(weights, net_of(net.layouts)) / tree_bound(sheet, weights)

    assert len(sheet.faces) == faces
    assert net.proven
    assert MOST < ratio < 1.06
    if faces <= 40:
        unfolding = Unfolding("part", sheet)
        problem = problem_of(unfolding, weights)
        slow = search(problem, 1, overlap_judge(unfolding), 50_000)

        assert slow.is_exhausted
        assert seam(weights, slow.net) / tree_bound(sheet, weights) == approx(ratio)


@pytest.mark.parametrize("index", [0, 1, 2, 5])
def test_solids_of_3_mm_board_come_in_one_piece_too(index):
    """Twelve faces or so of a solid 600 mm across, where every facet has room for its folds."""
    kind, stretch = KINDS[index % 4]
    small = convex_solid(kind, 12, index, stretch)
    large = Solid(tuple(tuple(3.0 * x for x in v) for v in small.vertices), small.faces)
    sheet = board(large)
    net = best_net("part", sheet, lengths(sheet))

    assert len(net.layouts) == 1
    assert net.proven
    assert overlap(net.layouts[0]) <= TOUCH
