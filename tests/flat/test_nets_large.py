"""Nets of large random convex solids: one piece, and seams close to the spanning-tree bound.

Thin card, so that no facet is too small to fold. 1,000 solids with
FOLDWRIGHT_PROOF; a sample of 40 otherwise, of every kind, mostly smaller ones.

Some stretched solids have no net within 1.05 of the bound at all: a net longer
than that passes only where the search proved that there is none shorter.
"""

import os
from concurrent.futures import ProcessPoolExecutor

import pytest

from foldwright.flat.nets import best_net
from foldwright.shape import Solid
from net_sheets import TOUCH, board, card, lengths, net_of, overlap, seam, tree_bound
from random_solids import convex_solid

KINDS = (("points", 1.0), ("planes", 1.0), ("points", 4.0), ("planes", 4.0))
MOST = 1.05


def solid_of(index: int, *, largest: int = 200) -> tuple[str, Solid]:
    """Solids of all kinds in turn; their sizes run through 20 to 200 evenly."""
    kind, stretch = KINDS[index % 4]
    faces = 20 + (index * 37) % (largest - 19)
    return f"{kind} {faces} x{stretch:g} #{index}", convex_solid(kind, faces, index, stretch)


def fault_of(index: int, largest: int = 200) -> str:
    """What is wrong with the net of one solid; empty if nothing is."""
    name, solid = solid_of(index, largest=largest)
    sheet = card(solid)
    weights = lengths(sheet)
    net = best_net("part", sheet, weights)
    if len(net.layouts) != 1:
        return f"{name}: {len(net.layouts)} pieces"
    if overlap(net.layouts[0]) > TOUCH:
        return f"{name}: overlaps by {overlap(net.layouts[0]):g} mm2"
    ratio = seam(weights, net_of(net.layouts)) / tree_bound(sheet, weights)
    is_short = ratio <= MOST or net.proven
    return "" if is_short else f"{name}: seam {ratio:.4f} of the bound"


def test_random_convex_solids_come_in_one_piece_with_short_seams(is_proof):
    if is_proof:
        with ProcessPoolExecutor(max_workers=os.cpu_count()) as workers:
            faults = list(workers.map(fault_of, range(1000), chunksize=4))
    else:
        faults = [fault_of(index, 30) for index in range(37)]
        faults += [fault_of(index) for index in (4, 9, 14)]

    assert [fault for fault in faults if fault] == []


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
