"""Which pipe to curl a drum over, and what to do then."""

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from pytest import approx
from scipy.integrate import solve_bvp

from foldwright.errors import OutOfDomain
from foldwright.shop import boards
from foldwright.shop.board_sections import section_of
from foldwright.shop.curl_habits import CurlHabit, table_habit, yield_from_test_curl
from foldwright.shop.curls import tightest_curl
from foldwright.shop.former_choice import choose_former
from foldwright.shop.formers import (
    CASES,
    NEAR_ENOUGH,
    choose_formers,
    former_for,
    opening_curvature,
    sprung_d,
)
from foldwright.shop.layers import free_curvature, moment
from foldwright.shop.ties import closing_moment, edge_force, rivet_pull, tie

ACP2 = boards()["acp-2-0.2"]
SKINNED = [board for board in boards().values() if board.is_skinned]
SHEET = boards()["al-5005-H24"].of_thickness(1.5)
drums = st.floats(120.0, 900.0)


# --- what springs where --------------------------------------------------------


@given(board=st.sampled_from([*SKINNED, SHEET]), drum=drums)
def test_the_pipe_for_a_drum_springs_to_it(board, drum):
    section = section_of(board)
    pipe = float(former_for(section, board.thickness, drum))

    assert pipe < drum - 2.0 * board.thickness
    assert float(sprung_d(section, board.thickness, pipe)) == approx(drum, abs=1e-6)


@given(board=st.sampled_from(SKINNED), drum=drums, share=st.floats(0.2, 0.9))
def test_a_curl_that_is_opened_as_said_closes_to_its_drum(board, drum, share):
    """Followed fibre by fibre: yield moves along with the stress, so it opens by twice the law."""
    section, t = section_of(board), board.thickness
    pipe = share * float(former_for(section, t, drum))
    bent, wanted = 2.0 / (pipe + t), 2.0 / (drum - t)
    opened = float(opening_curvature(section, bent, wanted))
    y = np.concatenate(
        [
            np.linspace(a, b, 4001)[:-1] + (b - a) / 8000
            for a, b in zip(section.inner, section.outer, strict=True)
        ]
    )
    layer = np.repeat(np.arange(len(section.inner)), 4000)
    stiff, flow, slope = (x[layer] for x in (section.modulus, section.yields, section.hardening))

    def law(strain, most):
        return np.where(
            strain * stiff <= most, stiff * strain, most + slope * (strain - most / stiff)
        )

    stress = law(bent * y, flow) - law((bent - opened) * y, 2.0 * flow)
    width = ((section.outer - section.inner) / 4000.0)[layer]
    left = opened - 2.0 * float(np.sum(stress * y * width)) / float(section.rigidity)

    assert opened < wanted
    assert left == approx(wanted, rel=1e-3)


def test_opening_is_a_constant_of_the_board():
    """Near 0.9 M_p/EI for any pipe and drum that are far from each other; common practice.

    M_p of the skins, of thin board: its core stays elastic at the strains of a curl and adds
    little. Thick board is not opened far enough here to yield right through.
    """
    for board in (b for b in SKINNED if b.thickness <= 3.0 and "mineral" not in b.name):
        section, t = section_of(board), board.thickness
        skins = section.yields[-1] * (section.outer[-1] ** 2 - section.inner[-1] ** 2)
        constant = float(skins / section.rigidity)
        for pipe, drum in ((60.0, 300.0), (114.0, 300.0), (160.0, 400.0), (90.0, 220.0)):
            wanted = 2.0 / (drum - t)
            opened = float(opening_curvature(section, 2.0 / (pipe + t), wanted))

            assert (wanted - opened) / constant == approx(0.9, abs=0.1)


# --- the choice ----------------------------------------------------------------


def test_the_pipe_that_springs_nearest_is_right():
    choice = choose_former(ACP2, 300.0, [160.0, 229.0, 231.0, 250.0])

    assert (choice.case, choice.former_d) == ("right", 229.0)
    assert choice.free_d == approx(300.0, rel=NEAR_ENOUGH)
    assert choice.open_to_d == 0.0


def test_a_pipe_that_is_too_small_is_opened_again():
    choice = choose_former(ACP2, 300.0, [90.0, 114.3])
    section = section_of(ACP2)
    constant = float(section.plastic_moment / section.rigidity)

    assert (choice.case, choice.former_d) == ("open again", 114.3)
    assert choice.free_d < 300.0 < choice.open_to_d
    lack = 2.0 / (300.0 - 2.0) - 2.0 / (choice.open_to_d - 2.0)
    assert lack / constant == approx(0.9, abs=0.15)


def test_a_pipe_that_is_too_large_is_tied_shut():
    choice = choose_former(ACP2, 300.0, [250.0, 280.0])

    assert (choice.case, choice.former_d) == ("tie shut", 250.0)
    assert choice.free_d > 300.0 * (1.0 + NEAR_ENOUGH)


def test_a_curl_a_little_too_wide_is_rather_tied_than_one_opened_again():
    assert choose_former(ACP2, 300.0, [225.0, 245.0]).case == "tie shut"
    assert choose_former(ACP2, 300.0, [200.0, 270.0]).case == "open again"


def test_a_strap_alone_would_leave_a_wide_curl_egg_shaped():
    assert any("egg" in remark for remark in choose_former(ACP2, 300.0, [290.0]).remarks)
    assert choose_former(ACP2, 300.0, [250.0]).remarks == ()


def test_a_drum_so_wide_that_sheet_bends_to_it_without_yielding_needs_no_pipe():
    """K_y of the board is 1/618: flat sheet yields at a drum of 1239 mm."""
    section = section_of(ACP2)
    widest = 2.0 / float(section.yield_curvature) + 2.0
    choice = choose_former(ACP2, widest + 1.0, [100.0])

    assert choose_former(ACP2, widest - 1.0, []).case == "none"
    assert choose_former(ACP2, widest + 1.0, []).case == "no pipe needed"
    # over a pipe that is far too small it is opened again; over one that suits it is right
    assert choice.case == "open again"
    suits = float(former_for(section, 2.0, widest + 1.0))
    assert choose_former(ACP2, widest + 1.0, [suits]).case == "right"
    assert f"{float(section.yield_moment):.0f} N mm" in choose_former(ACP2, widest, []).why


def test_a_curl_that_has_to_be_opened_past_flat_says_how_far():
    """Hard sheet springs back so far that it is bent the other way before it stays open."""
    sheet = boards()["al-7075-T6"].of_thickness(1.0)
    choice = choose_former(sheet, 300.0, [60.0])
    section = section_of(sheet)
    opened = float(opening_curvature(section, 2.0 / 61.0, 2.0 / 299.0))

    assert choice.case == "open again"
    assert opened < 0.0
    assert choice.open_to_d == approx(2.0 / opened - 1.0)


def test_an_empty_rack_is_no_pipe_even_for_foil():
    """So thin and soft that over a pipe as wide as the drum it would be near enough."""
    assert choose_former(boards()["al-1050A-O"].of_thickness(0.05), 20.0, []).case == "none"


@pytest.mark.parametrize("rack", [[], [400.0], [2000.0]])
def test_where_no_pipe_will_do_one_to_buy_is_named(rack):
    choice = choose_former(ACP2, 300.0, rack)
    section = section_of(ACP2)

    assert (choice.case, choice.former_d) == ("none", 0.0)
    assert choice.buy_from < float(former_for(section, 2.0, 300.0)) < choice.buy_to
    assert f"{choice.buy_from:.0f} and {choice.buy_to:.0f} mm" in choice.why
    bought = choose_former(ACP2, 300.0, [(choice.buy_from + choice.buy_to) / 2.0])
    assert bought.case == "right"


def test_a_pipe_that_tears_the_skin_is_left_out():
    choice = choose_former(ACP2, 60.0, [20.0, 51.0])

    assert choice.former_d == 51.0
    assert any("Over 20 mm the skin would tear" in remark for remark in choice.remarks)
    assert any("wrinkle" in remark for remark in choice.remarks)


def test_a_drum_tighter_than_the_board_takes_is_refused_with_the_nearest():
    least = 2.0 * tightest_curl(ACP2) + 2.0
    with pytest.raises(OutOfDomain, match=f"at least {least:.1f} mm") as refused:
        choose_former(ACP2, 20.0, [10.0])

    assert refused.value.name == "outside_d"
    assert choose_former(ACP2, least + 0.05, [least - 4.0]).case != ""


@pytest.mark.parametrize(
    ("said", "name"),
    [
        ({"outside_d": math.nan}, "outside_d"),
        ({"outside_d": -5.0}, "outside_d"),
        ({"formers": [0.0]}, "formers"),
        ({"formers": [math.inf]}, "formers"),
        ({"near_enough": 0.0}, "near_enough"),
        ({"near_enough": math.nan}, "near_enough"),
    ],
)
def test_what_is_no_drum_or_pipe_is_refused(said, name):
    with pytest.raises(OutOfDomain) as refused:
        choose_former(ACP2, **({"outside_d": 300.0, "formers": [229.0]} | said))

    assert refused.value.name == name


@given(
    drum=st.floats(60.0, 1500.0),
    rack=st.lists(st.floats(20.0, 1200.0), min_size=1, max_size=6),
    factor=st.floats(0.7, 1.4),
)
def test_any_rack_gets_an_answer_that_holds(drum, rack, factor):
    """Each case keeps its promise, and nothing is ever NaN."""
    choice = choose_former(ACP2, drum, rack, habit=CurlHabit(factor, 0.03))
    numbers = (choice.free_d, choice.free_spread, choice.open_to_d, choice.buy_from, choice.buy_to)

    assert not any(math.isnan(x) for x in numbers)
    off = (choice.free_d - 2.0) / (drum - 2.0) - 1.0
    if choice.case == "right":
        assert abs(off) <= NEAR_ENOUGH * (1 + 1e-9)
    elif choice.case == "open again":
        assert off < -NEAR_ENOUGH * (1 - 1e-9)
    elif choice.case == "tie shut":
        assert off > NEAR_ENOUGH * (1 - 1e-9)
        assert choice.former_d <= drum - 4.0 + 1e-9
    if choice.case in ("none", "no pipe needed"):
        assert choice.former_d == 0.0
    else:
        assert choice.former_d in rack


def test_many_drums_at_once_are_each_one_alone():
    rng = np.random.default_rng(4)
    outside, factors = rng.uniform(60.0, 900.0, 200), rng.uniform(0.8, 1.2, 200)
    rack = [60.3, 88.9, 114.3, 168.3, 219.1, 323.9]
    many = choose_formers(
        section_of(ACP2, factors), 2.0, outside, rack, tightest=tightest_curl(ACP2)
    )
    for i in range(200):
        one = choose_former(ACP2, float(outside[i]), rack, habit=CurlHabit(float(factors[i]), 0.1))

        assert CASES[int(many.case[i])] == one.case
        if one.former_d > 0.0:
            assert rack[int(many.pick[i])] == one.former_d
            assert 2.0 / many.free[i] + 2.0 == approx(one.free_d)


# --- the test curl -------------------------------------------------------------


@given(board=st.sampled_from(SKINNED), factor=st.floats(0.6, 1.6), pipe=st.floats(80.0, 300.0))
def test_a_test_curl_tells_the_yield_that_made_it(board, factor, pipe):
    free = float(sprung_d(section_of(board, factor), board.thickness, pipe))
    assume(math.isfinite(free))

    assert yield_from_test_curl(board, pipe, free).factor == approx(factor, rel=1e-6)


def test_one_test_curl_makes_a_drum_of_300_mm_three_times_as_sure():
    """By the table 3 per cent, by a curl over a pipe of about its size 1.3 or less."""
    board, pipe = ACP2, 168.3
    by_table = choose_former(board, 300.0, [229.0], habit=table_habit(board))
    free = float(sprung_d(section_of(board), 2.0, pipe))
    by_curl = choose_former(board, 300.0, [229.0], habit=yield_from_test_curl(board, pipe, free))

    assert by_table.free_spread / 300.0 == approx(0.03, abs=0.01)
    assert by_curl.free_spread / 300.0 == approx(0.013, abs=0.002)


@given(off=st.floats(-1.0, 1.0))
def test_the_spread_of_a_test_curl_is_that_of_its_reading(off):
    """A reading off by one standard deviation moves the factor by the spread of the reading.

    Beside it stand 3 per cent within a lot, and a bow of 1 mm in 500 as if it were read.
    """
    here = yield_from_test_curl(ACP2, 229.0, 299.0, 1.0)
    moved = yield_from_test_curl(ACP2, 229.0, 299.0 + off, 1.0)
    read = 2.0 / (299.0 - 2.0) ** 2  # of the curvature
    reading = math.sqrt(here.spread**2 - 0.03**2) * here.factor / math.hypot(read, 3.2e-5) * read

    assert moved.factor - here.factor == approx(off * reading, abs=0.02 * reading)


@pytest.mark.parametrize(
    ("former", "free", "words"),
    [
        (229.0, 200.0, "no wider than"),
        (229.0, 233.0, "no wider than"),
        (229.0, 236.0, "springs further"),
        (229.0, 2.0, "no wider than"),
        (229.0, 1e5, "hardly taken"),
        (6000.0, 9000.0, "yields, so a curl over it cannot stand"),
        (0.0, 300.0, "above 0"),
        (229.0, math.nan, "above 0"),
        (math.inf, 300.0, "above 0"),
    ],
)
def test_readings_that_no_curl_gives_are_refused(former, free, words):
    with pytest.raises(OutOfDomain, match=words):
        yield_from_test_curl(ACP2, former, free)


def test_a_curl_that_is_all_but_flat_says_how_small_a_pipe_to_take():
    """At a third of the radius at which the sheet first yields: 2/(3 K_y)."""
    least = 2.0 / (3.0 * float(section_of(SHEET).yield_curvature))
    with pytest.raises(OutOfDomain, match=f"hardly taken, .* a pipe of {least:.0f} mm or less"):
        yield_from_test_curl(SHEET, 390.0, 1e9)


# --- ties ----------------------------------------------------------------------


@pytest.mark.parametrize(("ratio", "least"), [(1.02, 0.99), (1.1, 0.96), (1.4, 0.91), (2.0, 0.87)])
def test_the_force_that_shuts_a_curl_is_that_of_a_bent_rod(ratio, least):
    """The elastica of half a ring, solved numerically; the linear form is on the safe side."""
    free = 1.0 / ratio

    def rod(s, u, p):
        angle, _, y, end = u
        return np.vstack([free + p[0] * (end - y), np.cos(angle), np.sin(angle), 0.0 * s])

    def ends(a, b, p):
        return np.array([a[0], a[1], a[2], b[1], b[2] - b[3]])

    s = np.linspace(0.0, math.pi, 200)
    start = np.vstack([s, np.sin(s), 1.0 - np.cos(s), 2.0 + 0.0 * s])
    found = solve_bvp(rod, ends, s, start, p=[0.1], tol=1e-8, max_nodes=20_000)
    force = float(edge_force(closing_moment(1.0, free, 1.0), 1.0))

    assert found.success
    assert least <= found.p[0] / force <= 1.0
    # opposite the seam it is bent by 4/3 of the even moment
    assert found.p[0] * found.y[3, 0] == approx(4.0 / 3.0 * (1.0 - free), rel=3e-3)


def test_the_gap_is_the_chord_of_what_lacks_to_a_round():
    shut = tie(25e3, 160.0, 150.0, 300.0)
    missing = 2.0 * math.pi * (1.0 - 150.0 / 160.0)

    assert shut.gap == approx(2.0 * 160.0 * math.sin(missing / 2.0))
    assert shut.moment == approx(25e3 * (1.0 / 150.0 - 1.0 / 160.0))
    assert shut.force == approx(shut.edge_force * 300.0)


def test_a_curl_that_is_too_tight_is_held_open():
    held = tie(25e3, 145.0, 150.0, 300.0)

    assert held.moment < 0.0 and held.gap < 0.0
    assert held.force > 0.0


def test_a_longer_or_stiffer_seam_takes_more_straps():
    assert tie(25e3, 160.0, 150.0, 100.0).straps == 2
    assert tie(25e3, 160.0, 150.0, 900.0).straps == 6
    assert tie(25e5, 250.0, 150.0, 300.0).straps > 6


def test_rivets_are_pried_by_the_moment():
    assert rivet_pull(20.0, 50.0, 10.0) == approx(100.0)


@pytest.mark.parametrize("bad", [0.0, -1.0, math.nan, math.inf])
@pytest.mark.parametrize("place", range(5))
def test_ties_of_nothing_are_refused(place, bad):
    figures = [25e3, 160.0, 150.0, 300.0, 200.0]
    figures[place] = bad
    with pytest.raises(OutOfDomain, match="above 0"):
        tie(*figures)


def test_a_curl_more_than_twice_as_wide_cannot_be_tied():
    with pytest.raises(OutOfDomain, match="another pipe"):
        tie(25e3, 301.0, 150.0, 300.0)


def test_the_section_over_a_pipe_is_past_its_yield_for_every_drum_here():
    """What the other tests rest on: a curl that is let go has taken."""
    section = section_of(ACP2)

    assert float(free_curvature(section, 2.0 / 231.0)) > 0.0
    assert float(moment(section, 2.0 / 231.0)) > float(section.yield_moment)
