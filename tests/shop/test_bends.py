"""Scores and hot folds, against the strip that they fold."""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from foldwright.errors import OutOfDomain
from foldwright.shop import Board, FoldRequest, boards, choose_section
from foldwright.shop.materials import Figure


def figure(value):
    """A figure for a test."""
    return Figure(value, 0.1, "for this test only")


def soft(thickness, modulus=3000.0):
    """Plain plastic or card."""
    matter = replace(
        boards()["al-5005-H24"].face,
        what="plastic",
        density=figure(1190),
        modulus=figure(modulus),
        poisson=figure(0.4),
        strength=figure(70),
        bend_radius=figure(3.0),
        folds=("hot", "score"),
    )
    return Board("plastic", "plastic sheet", thickness, 0.0, matter, None, "for this test only")


METAL = boards()["al-5005-H24"]
ACP = boards()["acp-3-0.3"]


@given(turn=st.floats(1, 170), thickness=st.floats(0.2, 2.0), share=st.floats(0.1, 0.9))
def test_a_score_folds_sharp_about_the_face_that_is_not_cut(turn, thickness, share):
    """Both outside skins turn about the inside line: t tan(theta/2) from the mould line."""
    section = choose_section(
        soft(thickness), math.radians(turn), FoldRequest(method="score", web=share * thickness), ()
    )

    assert section.cut_side == "outside"
    assert section.setback == pytest.approx(thickness * math.tan(math.radians(turn) / 2))
    # A solid web bends about its middle: that line keeps its length.
    assert section.zone_width == pytest.approx(math.radians(turn) * share * thickness / 2)


def test_a_re_entrant_score_is_cut_from_inside_and_takes_nothing_off():
    """It turns about the outside line itself."""
    section = choose_section(soft(1.0), math.radians(-60), FoldRequest(method="score"), ())

    assert section.cut_side == "inside"
    assert section.setback == 0.0


@given(turn=st.floats(1, 170), sign=st.sampled_from([1, -1]))
def test_a_hot_fold_keeps_the_length_of_the_middle_of_the_sheet(turn, sign):
    """Inner radius one thickness, neutral line in the middle, no springback."""
    section = choose_section(soft(3.0), sign * math.radians(turn), FoldRequest(method="hot"), ())

    assert section.zone_width == pytest.approx(math.radians(turn) * 4.5)
    assert section.inner_radius == 3.0
    assert section.over_fold == 0.0
    outside = 6.0 if sign > 0 else 3.0
    assert section.setback == pytest.approx(outside * math.tan(math.radians(turn) / 2))


@pytest.mark.parametrize(
    ("board", "method", "words"),
    [
        (METAL.of_thickness(1.0), "hot", "does not soften"),
        (METAL.of_thickness(1.0), "score", "breaks along a score"),
        (soft(3.0), "bend", "cannot be bent cold"),
        (ACP, "score", "skinned board cannot be scored"),
        (ACP, "hot", "skinned board cannot be folded hot"),
    ],
)
def test_what_a_board_cannot_take_is_refused_with_another_way(board, method, words):
    """The message names a method that works."""
    with pytest.raises(OutOfDomain, match=words) as refused:
        choose_section(board, 1.0, FoldRequest(method=method), ())

    assert refused.value.name == "fold.method"
    assert 'Use method = "' in str(refused.value)


def test_thick_sheet_is_not_scored():
    """Up to 2 mm takes a score."""
    with pytest.raises(OutOfDomain, match="breaks along a score; up to 2 mm takes one"):
        choose_section(soft(3.0), 1.0, FoldRequest(method="score"), ())


def test_too_sharp_a_hot_fold_is_refused():
    """Half the thickness is the least."""
    with pytest.raises(OutOfDomain, match=r"Use at least 1\.5 mm"):
        choose_section(soft(3.0), 1.0, FoldRequest(method="hot", radius=1.0), ())
