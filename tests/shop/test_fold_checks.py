"""Flanges, holes, skins and shutting angles of folds, against construction."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from foldwright.errors import OutOfDomain
from foldwright.shop import FoldRequest, SetUp, boards, choose_section
from foldwright.shop.bend_force import press_force, push_at
from foldwright.shop.fold_checks import (
    cut_top_width,
    least_flange,
    least_flange_in_vee,
    least_hole_distance,
    shuts_in_time,
    shutting_room,
    skin_strain,
)
from foldwright.shop.grooves import cut_section

ACP = boards()["acp-3-0.3"]
SHEET = boards()["al-1050A-H14"].of_thickness(1.5)
V90 = SetUp("v90", math.radians(90), 2.0, 12.0)
SQUARE = math.radians(90.0)
GROOVE = choose_section(ACP, SQUARE, FoldRequest(web=0.8, floor=2.0), (V90,))
BEND = choose_section(SHEET, SQUARE, FoldRequest(method="bend", radius=3.0), ())


def test_a_sharp_v_is_as_wide_as_it_is_deep_twice():
    """90 degrees, 3.2 deep."""
    assert cut_top_width(4.0, 0.8, SQUARE, 0.0) == approx(6.4)


def test_a_saw_kerf_is_as_wide_above_as_below():
    assert cut_top_width(4.0, 0.8, 0.0, 3.2) == 3.2


@given(opening=st.floats(2.0, 60.0), turn=st.floats(0.0, 150.0), thickness=st.floats(0.3, 4.0))
def test_a_flange_in_a_v_still_reaches_its_shoulder(opening, turn, thickness):
    """Seen from the mould line, one thickness beyond the shoulder along the sloping leg."""
    flange = least_flange_in_vee(thickness, opening, math.radians(turn))
    across = (flange - thickness) * math.cos(math.radians(turn) / 2.0)

    assert across == approx(opening / 2.0)


def test_a_square_flange_in_a_v_is_the_share_that_tables_print():
    """0.7 of the opening (value from memory, unchecked), and a thickness."""
    assert least_flange_in_vee(1.0, 10.0, SQUARE) - 1.0 == approx(7.0, abs=0.1)


def test_a_bar_holds_a_narrower_flange_than_fingers():
    """Fifteen millimetres narrower, both clear of setback and groove."""
    by_bar, by_hand = least_flange(ACP, GROOVE, "bar"), least_flange(ACP, GROOVE)

    assert by_hand - by_bar == approx(15.0)
    assert by_bar > GROOVE.setback + 2.2


@pytest.mark.parametrize(
    ("hole", "is_slot", "thicknesses"), [(6.0, False, 2.0), (25.0, False, 3.0), (6.0, True, 3.0)]
)
def test_holes_keep_thicknesses_from_where_a_bend_begins(hole, is_slot, thicknesses):
    """Common practice, no source: 2, and 3 for large holes and slots."""
    away = least_hole_distance(SHEET, BEND, hole, is_slot)

    assert away - BEND.setback == approx(thicknesses * 1.5)


def test_holes_in_board_keep_a_thickness_from_the_edge_of_the_groove():
    """The groove is 6.4 wide on the face: 2.2 beyond its floor."""
    assert least_hole_distance(ACP, GROOVE, 6.0) == approx(GROOVE.setback + 2.2 + 3.0)


def test_a_cut_from_outside_takes_nothing_of_the_inside_face():
    """A re-entrant groove."""
    section = choose_section(ACP, -SQUARE, FoldRequest("groove", web=0.8, floor=2.0), (V90,))

    assert section.cut_side == "outside"
    assert least_flange(ACP, section) == approx(section.setback + 25.0)


def test_a_strain_is_judged_by_what_the_skin_takes():
    """A wide floor is gentle, a narrow one is not; the limit is 1/(2 r/t + 1)."""
    gentle = skin_strain(ACP, cut_section(ACP, SQUARE, "groove", 0.8, 6.0, V90, None))
    cracked = skin_strain(ACP, cut_section(ACP, SQUARE, "groove", 0.8, 0.5, V90, None))

    assert gentle.verdict == "well within what the skin takes"
    assert gentle.holds
    assert not cracked.holds
    assert cracked.verdict == "the skin is likely to crack"


def test_a_groove_has_room_until_it_shuts():
    """Shutting at 104, held near 93: some ten degrees; 102 has none left."""
    tight = cut_section(ACP, math.radians(102.0), "groove", 0.8, 2.0, V90, None)

    assert math.degrees(shutting_room(GROOVE)) == approx(11.0, abs=1.0)
    assert shuts_in_time(GROOVE)
    assert not shuts_in_time(tight)


def test_a_bend_never_shuts():
    assert math.isinf(shutting_room(BEND))


@given(lever=st.floats(10.0, 500.0))
def test_a_longer_lever_takes_less_push(lever):
    """Push times lever is the moment of the whole fold."""
    assert push_at(80.0, 300.0, lever) * lever == approx(24_000.0)


def test_a_wider_v_takes_less_force():
    """Half the force over twice the opening, four times it for twice the thickness."""
    force = press_force(300.0, 1.5, 160.0, 12.0)

    assert press_force(300.0, 1.5, 160.0, 24.0) == approx(force / 2.0)
    assert press_force(300.0, 3.0, 160.0, 12.0) == approx(4.0 * force)


@pytest.mark.parametrize(
    ("call", "name"),
    [
        (lambda: cut_top_width(3.0, 3.5, SQUARE, 0.0), "web"),
        (lambda: cut_top_width(3.0, 0.8, math.pi, 0.0), "cutter"),
        (lambda: cut_top_width(math.nan, 0.8, SQUARE, 0.0), "thickness"),
        (lambda: cut_top_width(3.0, 0.8, SQUARE, -1.0), "floor"),
        (lambda: least_flange(ACP, GROOVE, "teeth"), "hold"),
        (lambda: least_flange_in_vee(1.0, 0.0, SQUARE), "opening"),
        (lambda: least_flange_in_vee(1.0, 8.0, math.pi), "turn"),
        (lambda: least_hole_distance(ACP, GROOVE, 0.0), "hole"),
        (lambda: press_force(300.0, 1.5, 160.0, 0.0), "opening"),
        (lambda: press_force(300.0, 1.5, math.inf, 12.0), "tensile"),
        (lambda: push_at(80.0, 300.0, 0.0), "lever"),
    ],
)
def test_what_is_no_measure_is_refused(call, name):
    with pytest.raises(OutOfDomain) as refused:
        call()

    assert refused.value.name == name
