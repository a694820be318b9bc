"""Folds against construction and against the figures of a cut board."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from foldwright.errors import OutOfDomain
from foldwright.shop import (
    FoldRequest,
    SetUp,
    StripResult,
    boards,
    choose_section,
    k_din_6935,
    neutral_depth,
    shutting_turn,
)

ACP = boards()["acp-3-0.3"]
SET_UPS = (SetUp("v90", math.radians(90), 2.0, 12.0), SetUp("v120", math.radians(120), 2.0, 12.0))


def test_the_skin_governs_the_neutral_line_of_a_thin_web():
    """Rigid-plastic balance by counting slices, not by the formula."""
    web, skin, core = 0.8, ACP.face.strength.value, ACP.core.strength.value
    depth = (np.arange(80_000) + 0.5) * web / 80_000
    stress = np.where(depth < ACP.skin_thickness, skin, core)
    pull = np.cumsum(stress)
    counted = depth[np.searchsorted(pull, pull[-1] / 2.0)]

    assert neutral_depth(ACP, web) == pytest.approx(counted, abs=2e-5)


def test_everyday_groove_of_three_millimetre_board():
    """Worked by hand for a 0.3 skin in a 0.8 web: k 0.79, deduction 0.88."""
    fold = choose_section(ACP, math.radians(90), FoldRequest(web=0.8, floor=2.0), SET_UPS)

    assert fold.k == pytest.approx(0.79, abs=0.005)
    assert fold.deduction == pytest.approx(0.88, abs=0.01)
    assert math.degrees(fold.shuts_at) == pytest.approx(104, abs=0.5)
    assert fold.corner_loss == pytest.approx(0.6, abs=0.01)


def test_saw_kerf_shuts_where_its_closed_form_says():
    """theta_max = g / (h + k w)."""
    floor, web, thickness, k = 3.2, 1.0, 6.0, 0.5

    assert shutting_turn(floor, web, thickness, 0.0, k) == pytest.approx(
        floor / (thickness - web + k * web), abs=1e-12
    )


@given(
    turn=st.floats(5, 170),
    floor=st.floats(1.5, 10),
    cutter=st.floats(30, 140),
    web=st.floats(0.5, 1.5),
)
def test_a_groove_shuts_where_its_flanks_touch(turn, floor, cutter, web):
    """Rotate the two flank tops about the bend centre: the gap at the shutting turn is nil."""
    k, thickness = 0.79, 3.0
    shuts = shutting_turn(floor, web, thickness, math.radians(cutter), k)
    assume(math.isfinite(shuts) and floor > k * web * shuts)
    radius = floor / shuts - k * web
    depth, flank = thickness - web, math.tan(math.radians(cutter) / 2)
    # Flank top of one side, seen from the bend centre with that side level.
    x, z = -depth * flank, depth - radius
    half = shuts / 2
    gap_side = -x * math.cos(half) - z * math.sin(half)

    assert gap_side == pytest.approx(0.0, abs=1e-9)


@given(turn=st.floats(10, 170), sign=st.sampled_from([1, -1]))
def test_some_set_up_folds_every_turn_and_shuts_beyond_it(turn, sign):
    """From 10 to 170 degrees a floor or cutter of the list does it."""
    fold = choose_section(ACP, sign * math.radians(turn), FoldRequest(), SET_UPS)

    assert fold.zone_width == pytest.approx(
        abs(fold.turn) * (fold.inner_radius + fold.k * fold.web), rel=1e-12
    )
    assert fold.inner_radius >= 0.0
    assert fold.shuts_at >= abs(fold.turn) + fold.over_fold + math.radians(1.0)
    assert fold.strain <= ACP.face.bend_strain


def test_a_floor_too_narrow_is_widened_and_said():
    """A 2 mm floor shuts near 104 degrees, so 130 needs a wider one."""
    fold = choose_section(
        ACP,
        math.radians(130),
        FoldRequest(web=0.8, floor=2.0, cutter=math.radians(90)),
        SET_UPS,
    )

    assert fold.floor > 2.0
    assert "shuts at 103" in fold.note and "so set" in fold.note


def test_a_fold_sharper_than_the_list_allows_is_refused_with_a_mend():
    """One narrow cutter cannot fold 160 degrees."""
    with pytest.raises(OutOfDomain, match="wider floor, or cut a seam") as refused:
        choose_section(
            ACP, math.radians(160), FoldRequest(), (SetUp("v90", math.radians(90), 2.0, 3.0),)
        )

    assert refused.value.name == "fold"


@pytest.mark.parametrize("web", [0.2, 0.3, 3.0, 5.0, -1.0])
def test_a_web_that_the_board_does_not_have_is_refused(web):
    """The web is more than the skin and less than the board."""
    with pytest.raises(OutOfDomain, match=r"Leave between 0\.3 and 2\.7 mm"):
        choose_section(ACP, 1.0, FoldRequest(web=web), SET_UPS)


def test_skinned_board_is_not_bent_without_a_cut():
    """The message offers the ways that work."""
    with pytest.raises(OutOfDomain, match='"groove", or "open"'):
        choose_section(ACP, 1.0, FoldRequest(method="bend"), SET_UPS)


def test_too_sharp_a_bend_of_solid_sheet_is_refused():
    """The least radius is one thickness for this temper."""
    sheet = boards()["al-5005-H24"].of_thickness(1.5)

    with pytest.raises(OutOfDomain, match=r"Use at least 1\.5 mm"):
        choose_section(sheet, 1.0, FoldRequest(radius=0.4), SET_UPS)


def test_din_k_is_capped_at_the_middle_of_the_sheet():
    """k = 1 of half the thickness for r/s from 5 on (DIN 6935)."""
    assert k_din_6935(5.1, 1.0) == 0.5


@pytest.mark.parametrize("turn", [0.0, 0.3, 178.0, -179.0])
def test_turns_near_nothing_and_near_a_half_turn_are_refused(turn):
    """There is no such fold."""
    with pytest.raises(OutOfDomain, match=r"between 0\.5 and 175"):
        choose_section(ACP, math.radians(turn), FoldRequest(), SET_UPS)


def test_folds_go_by_the_test_strip_that_was_made_like_them():
    """Its k, and its web where none is asked for; another web or way goes by the table."""
    tested = replace(ACP, strips=(StripResult("groove", 1.0, 0.55, 0.03),))
    turn = math.radians(90)

    def section(**asked):
        return choose_section(tested, turn, FoldRequest(**asked), SET_UPS)

    assert (section().web, section().k) == (1.0, 0.55)
    assert section(web=1.0).k == 0.55
    assert section(web=0.8).k == pytest.approx(0.79, abs=0.005)
    assert section(web=1.0, k=0.6).k == 0.6
    assert choose_section(tested, -turn, FoldRequest(), SET_UPS).web == 0.8
