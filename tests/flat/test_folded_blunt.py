"""Blunt corners: a fold ends square where its face's next side leaves it nearly straight."""

import itertools
import math

import pytest
from shapely import Polygon

import zoo
from folding import check, document_of
from foldwright.plan import FoldAt

# Half a drum of eight facets that turn 22.5 degrees each, on a seat that is open.
EIGHT = [
    (200.0 * math.cos(math.radians(22.5 * i)), 200.0 * math.sin(math.radians(22.5 * i)))
    for i in range(9)
]
FACETS = [f"facet-{i}" for i in range(1, 9)]


def facetted(forced=True):
    names = tuple((a, b) for a, b in itertools.pairwise(FACETS)) if forced else ()
    return zoo.profile(
        EIGHT,
        120.0,
        sides=(*FACETS, "seat"),
        leave_open=("seat", "front"),
        fold_at=tuple(FoldAt(pair) for pair in names),
    )


@pytest.fixture(scope="module")
def document():
    return document_of(facetted())


def test_a_run_of_facets_and_their_end_face_come_in_one_piece(document):
    (piece,) = document["pieces"]

    assert len(piece["panels"]) == 9
    assert len(piece["folds"]) == 8


def test_it_folds_up_to_what_was_asked():
    """Every face, seam, area and dihedral."""
    check(facetted())


def test_the_fold_of_the_end_face_is_no_longer_than_its_edge(document):
    """Crossing the sides instead would add 1.44 / tan(22.5 degrees) = 3.5 mm at each end."""
    (piece,) = document["pieces"]
    fold = next(fold for fold in piece["folds"] if "back" in fold["panels"])
    edge = math.dist(EIGHT[0], EIGHT[1])
    sides = (fold["zone"][0:2], fold["zone"][2:4])

    assert all(math.dist(*side) <= edge + 1e-9 for side in sides)


def test_what_is_cut_back_is_named_in_the_file(document):
    """Without these sides a reader would look for a face beyond them."""
    (piece,) = document["pieces"]
    back = next(panel for panel in piece["panels"] if panel["face"] == "back")
    count = len(back["flat"])

    assert back["cut_back"]
    for i in back["cut_back"]:
        a, b = back["flat"][i], back["flat"][(i + 1) % count]
        on = [s for s in piece["seams"] if {tuple(s["a"]), tuple(s["b"])} == {tuple(a), tuple(b)}]
        assert not on


def test_only_a_strip_as_deep_as_the_setback_is_lost(document):
    """s wide and as long as the face there: e + s (cot t1 + cot t2) / 2 with the turns t1, t2."""
    (piece,) = document["pieces"]
    back = next(panel for panel in piece["panels"] if panel["face"] == "back")
    fold = next(fold for fold in piece["folds"] if "back" in fold["panels"])
    facet = next(name for name in fold["panels"] if name != "back")
    i = FACETS.index(facet)
    turns = zoo.turns(EIGHT)
    setback = zoo.setback(math.radians(fold["turn_deg"]))
    mean = math.dist(EIGHT[i], EIGHT[i + 1])
    mean += setback * (1.0 / math.tan(turns[i]) + 1.0 / math.tan(turns[i + 1])) / 2.0

    assert Polygon(back["flat"]).area == pytest.approx(
        Polygon(EIGHT).area - setback * mean, rel=1e-9
    )
