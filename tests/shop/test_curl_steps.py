"""Steps of a curl, girths, and what a board bears."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from foldwright.errors import OutOfDomain
from foldwright.shop import boards, neutral_girth
from foldwright.shop.curl_habits import CurlHabit
from foldwright.shop.curl_steps import curl_lengths, curl_steps, flat_end
from foldwright.shop.curls import (
    check_curl,
    curl_strain,
    least_curl,
    may_tear,
    may_wrinkle,
    most_strain,
    smooth_curl,
    tightest_curl,
)
from foldwright.shop.former_choice import choose_former
from foldwright.shop.girths import cap_d, inside_girth, lapped_length

ACP = boards()["acp-2-0.2"]


def steps_of(rack, drum=300.0, length=310.0, board=ACP):
    """Lengths and steps of a drum by name."""
    choice = choose_former(board, drum, rack)
    lengths = curl_lengths(board, drum, length, choice)
    return lengths, {step.name: step for step in curl_steps(drum, length, choice, lengths)}


def test_a_right_pipe_needs_no_opening_and_no_straps():
    lengths, steps = steps_of([229.0])

    assert list(steps) == [
        "cut",
        "mark",
        "grip",
        "curl",
        "let go",
        "trim",
        "strip",
        "close",
        "round",
    ]
    assert "strap" not in steps["close"].words
    assert lengths.girth == approx(math.pi * 298.0)
    assert lengths.blank == approx(lengths.girth + 2.0 * lengths.allowance)


def test_a_small_pipe_has_the_curl_opened_to_the_length_of_the_choice():
    _, steps = steps_of([114.3])
    choice = choose_former(ACP, 300.0, [114.3])

    assert steps["open"].length == choice.open_to_d
    assert f"to {choice.open_to_d:.0f} mm outside" in steps["open"].words
    # round 114 mm half of the blank would go more than once
    assert "a quarter of the blank" in steps["curl"].words
    assert "a quarter of the blank" not in steps_of([229.0])[1]["curl"].words


def test_a_large_pipe_has_the_gap_the_straps_and_the_rivets_said():
    lengths, steps = steps_of([250.0])
    tie = lengths.tie

    assert tie is not None
    assert lengths.rivet_pull == approx(tie.moment * lengths.pitch / 10.0)
    assert f"gapes by about {tie.gap:.0f} mm" in steps["close"].words
    assert f"{tie.straps} straps" in steps["close"].words


def test_the_flat_end_is_where_two_hands_reach_the_moment():
    """300 N on 300 mm are 1 N/mm: the lever in mm is the moment in N mm per mm."""
    short, long = flat_end(ACP, 229.0, 300.0), flat_end(ACP, 229.0, 600.0)

    assert 40.0 < short < 60.0
    assert long == approx(2.0 * short)
    # a narrow ring bends nearer to its ends, and wants no battens
    assert steps_of([229.0], length=60.0)[0].battens is False
    assert steps_of([229.0], length=310.0)[0].battens is True


@given(length=st.floats(5.0, 3000.0), drum=st.floats(150.0, 700.0))
def test_rivets_stand_no_further_apart_than_fifty(length, drum):
    pipe = choose_former(ACP, drum)
    lengths, _ = steps_of([(pipe.buy_from + pipe.buy_to) / 2.0], drum, length)

    assert lengths.pitch <= 50.0 + 1e-9
    if lengths.rivets > 1:
        assert (lengths.rivets - 1) * lengths.pitch == approx(length - 20.0)
    assert 10.0 <= lengths.bite <= 15.0
    assert lengths.bites * lengths.bite >= lengths.girth


@pytest.mark.parametrize("length", [0.0, -1.0, math.nan, math.inf])
def test_a_drum_without_a_length_is_refused(length):
    with pytest.raises(OutOfDomain, match="length of the drum"):
        steps_of([229.0], length=length)


def test_hard_sheet_is_opened_past_flat():
    sheet = boards()["al-7075-T6"].of_thickness(1.0)
    _, steps = steps_of([60.0], board=sheet)

    assert steps["open"].length < 0.0
    assert f"past flat, the other way to {-steps['open'].length:.0f} mm" in steps["open"].words


def test_without_a_pipe_there_are_no_steps():
    with pytest.raises(OutOfDomain, match="find a pipe between"):
        steps_of([])


# --- girths --------------------------------------------------------------------


def test_a_blank_is_the_girth_of_the_middle():
    assert neutral_girth(300.0, 2.0) == approx(math.pi * 298.0)


@given(drum=st.floats(50.0, 1000.0), t=st.floats(0.3, 4.0), overlap=st.floats(0.0, 60.0))
def test_a_lapped_blank_is_a_spiral_that_overlaps_by_so_much(drum, t, overlap):
    """One turn on the middle, then the overlap again one thickness further out."""
    radius = (drum - t) / 2.0
    turn = overlap / radius

    assert lapped_length(drum, t, overlap) == approx(2.0 * math.pi * radius + turn * (radius + t))


def test_the_cap_of_a_drum_leaves_its_gap_on_both_sides():
    """300 outside, 2 mm board, 0.1 of paint inside: 295.8; 0.3 gap and 0.1 paint each side."""
    inside = inside_girth(300.0 * math.pi, 2.0, 0.1)

    assert inside == approx(295.8 * math.pi)
    assert cap_d(inside, 0.3, 0.1) == approx(295.0)


def test_girths_that_no_drum_has_are_refused():
    for bad in (5.0, -1.0, math.nan, math.inf):
        with pytest.raises(OutOfDomain, match="leaves nothing inside"):
            inside_girth(bad, 2.0)
    with pytest.raises(OutOfDomain, match="0 or more"):
        inside_girth(900.0, -2.0)
    with pytest.raises(OutOfDomain, match="no cap"):
        cap_d(900.0, 200.0)
    with pytest.raises(OutOfDomain, match="no cap"):
        cap_d(900.0, math.nan)
    for overlap in (-1.0, 500.0, math.nan):
        with pytest.raises(OutOfDomain, match="overlap"):
            lapped_length(300.0, 2.0, overlap)


# --- what a board bears --------------------------------------------------------


@pytest.mark.parametrize("name", list(boards()))
def test_the_limits_of_a_board_stand_in_order(name):
    """What is tight enough to tear is tight enough to be doubtful, and a gentle curl is neither."""
    board = boards()[name]
    board = board if board.thickness else board.of_thickness(1.5)
    tight = tightest_curl(board)

    assert curl_strain(board, tight) == approx(most_strain(board))
    assert least_curl(board) <= tight * (1.0 + 1e-12)
    assert may_tear(board, tight * 0.999)
    assert smooth_curl(board) >= board.thickness / 2.0
    assert not may_tear(board, 1e4 * board.thickness)
    assert not may_wrinkle(board, 1e4 * board.thickness)
    assert may_wrinkle(board, smooth_curl(board) * 0.99) is board.is_skinned


def test_composite_panel_wrinkles_inside_fifteen_thicknesses():
    """Common practice for composite panel; value from memory, unchecked."""
    board = boards()["acp-4-0.5"]

    assert may_wrinkle(board, 15.0 * 4.0 + 2.0 - 0.1)
    assert not may_wrinkle(board, 15.0 * 4.0 + 2.0 + 0.1)


def test_a_drum_that_is_too_tight_is_refused_with_the_nearest_that_is_not():
    least = 2.0 * tightest_curl(ACP) + 2.0
    check_curl(ACP, least + 0.1)
    for bad in (least - 0.1, 0.0, -10.0, math.nan):
        with pytest.raises(OutOfDomain, match=f"at least {math.ceil(least * 10) / 10:.1f} mm"):
            check_curl(ACP, bad)


@given(
    name=st.sampled_from(list(boards())),
    thickness=st.floats(0.05, 10.0),
    drum=st.floats(3.0, 10_000.0),
    rack=st.lists(st.floats(2.0, 5000.0), max_size=6),
    length=st.floats(1.0, 3000.0),
    factor=st.floats(0.3, 3.0),
)
def test_any_drum_of_any_board_is_refused_or_has_steps_that_can_be_read(
    name, thickness, drum, rack, length, factor
):
    """Nothing that is no number reaches the maker, and nothing warns."""
    board = boards()[name] if boards()[name].thickness else boards()[name].of_thickness(thickness)
    habit = CurlHabit(factor, 0.1)
    try:
        choice = choose_former(board, drum, rack, habit=habit)
    except OutOfDomain as refused:
        assert refused.name == "outside_d"
        return
    said = [choice.why, *choice.remarks]
    if choice.former_d > 0.0:
        lengths = curl_lengths(board, drum, length, choice, habit)
        said += [step.words for step in curl_steps(drum, length, choice, lengths)]
    words = " ".join(said).replace(".", " ").replace(",", " ").split()

    assert "nan" not in words
    assert "inf" not in words
