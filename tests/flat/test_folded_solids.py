"""Tapers, faceted parts, rounded profiles and convex polyhedra, folded up again.

Judged by the refolder that shares no code with the program; areas, edges and
dihedrals read off the patterns are the solid's.
"""

from dataclasses import replace

import pytest
from hypothesis import event, given
from hypothesis import strategies as st

import zoo
from folding import GOAL, check, document_of, hold_against, parsed
from foldwright.errors import CannotMake
from foldwright.flat.folded import folded_pieces
from foldwright.plan import Cutter, FoldWish, SeamWish
from foldwright.shop import FoldRequest, boards
from oracle.refolder import judge
from random_solids import convex_solid

CUTTERS = (*zoo.CUTTERS, Cutter("blade", 0.0, 3.2, 3.2))
OTHERS = (("board2", boards()["acp-2-0.2"]),)
# What a random part may be refused for: the words say what, and the program says it too.
REFUSED = ("narrower than", "no room", "stand out", "cannot be made", "no way")
METHODS = st.sampled_from([None, "kerf"])
SEAMS = st.sampled_from(["mitre", "lap", "butt"])


def refold(part, others=()):
    """Check a part, or see it refused for one of the reasons that it may be."""
    try:
        check(part, CUTTERS, others)
    except CannotMake as refused:
        reason = next((words for words in REFUSED if words in str(refused).lower()), None)
        assert reason, refused
        event(f"refused: {reason}")


@pytest.mark.parametrize("name", zoo.TAPERS)
def test_the_tapers_of_the_zoo_refold(name):
    """Hoppers, leaning ones, many-sided ones."""
    check(zoo.TAPERS[name], CUTTERS)


@given(part=zoo.random_tapers(), method=METHODS, seam=SEAMS)
def test_random_tapers_refold(part, method, seam):
    """Any method, any seam."""
    refold(replace(part, fold=FoldWish(method=method), seam=SeamWish(seam)))


@pytest.mark.parametrize("seam", ["mitre", "lap", "butt"])
def test_a_union_of_blocks_refolds(seam):
    """A desk with a step and a sloping face."""
    check(replace(zoo.DESK, seam=SeamWish(seam)), CUTTERS)


@given(part=zoo.random_tapers(), seam=SEAMS, thin=st.integers(0, 20))
def test_tapers_of_two_boards_refold(part, seam, thin):
    """One side of thinner board."""
    side = part.sides[thin % len(part.sides)]
    if side in part.leave_open:
        return
    refold(
        replace(part, face_from=((side, "board2", 2.0),), seam=SeamWish(seam)),
        OTHERS,
    )


@given(part=zoo.random_rounded())
def test_random_rounded_profiles_roll_up(part):
    """Rounds and rises anywhere."""
    try:
        verdict = judge(document_of(part, CUTTERS))
    except CannotMake as refused:
        assert any(words in str(refused) for words in (*REFUSED, "at the least")), refused
        event("refused")
        return

    assert verdict.deviation < GOAL, verdict.worst


@given(part=zoo.random_faceted(), method=METHODS, seam=SEAMS)
def test_random_faceted_parts_refold(part, method, seam):
    """Cut boxes, and unions of two."""
    refold(replace(part, fold=FoldWish(method=method), seam=SeamWish(seam)))


@given(
    kind=st.sampled_from(["points", "planes"]),
    count=st.integers(5, 9),
    seed=st.integers(0, 10_000),
    stretch=st.sampled_from([1.0, 4.0]),
)
def test_convex_polyhedra_refold(kind, count, seed, stretch):
    """Thin sheet, bent sharp: nothing but the geometry counts."""
    body = convex_solid(kind, count, seed, stretch)
    sheet = boards()["al-1050A-O"].of_thickness(0.3)
    request = FoldRequest(method="bend", radius=0.3, k=0.4)
    try:
        pieces, *_ = folded_pieces("stone", body, sheet, request, (), stock="tin")
    except CannotMake as refused:
        reason = next((words for words in REFUSED if words in str(refused).lower()), None)
        assert reason, refused
        event(f"refused: {reason}")
        return

    hold_against(parsed(pieces), body, "stone")
