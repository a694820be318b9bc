"""Learning: habits from a maker's own readings, shrunken, shown and taken back."""

from dataclasses import replace

import numpy as np
import pytest
from pytest import approx

import round_parts
import zoo
from foldwright.fit.causes import causes_of
from foldwright.fit.learning import (
    Look,
    habit_words,
    habits_of,
    looks_of,
    to_take_off,
    usual_habit,
)
from foldwright.ledger import Reading
from foldwright.plan.dual import number
from foldwright.shape import dims_of


def look(part, missed, *, sigma=1e-6, first=1, making=1):
    """One making of a part whose dims came out so much large."""
    dims = dims_of(part, finished=False)
    readings = []
    for i, (dim, off) in enumerate(missed.items()):
        drawn = number(dims[dim].value)
        readings.append(
            Reading(
                id=first + i, part=part.name, dim=dim, value=drawn + off, tool="rule", bare=True,
                when="2026-03-01T14:05:09Z", note="", revision=0, drawn=drawn, sigma=sigma,
                making=making,
            )
        )  # fmt: skip
    return Look(part, causes_of(part, zoo.BOARD), tuple(readings))


@pytest.mark.parametrize("off", [[0.5], [0.5, 0.8, 1.1], [-0.4, 0.3]])
def test_one_process_and_a_perfect_tool_follow_the_conjugate_law(off):
    """Girths are the work of curling alone, whose usual scatter is 1 mm."""
    found = habits_of([look(zoo.drum(), {"girth": x}) for x in off])["curl"]
    expected = usual_habit("curl").learned(off)

    assert found.mean == approx(expected.mean, rel=1e-6)
    assert found.kappa == approx(expected.kappa, rel=1e-6)
    assert found.alpha == approx(expected.alpha, rel=1e-6)
    assert found.beta == approx(expected.beta, rel=1e-6)


def test_learning_begins_with_the_first_reading_and_is_shrunken():
    found = habits_of([look(zoo.drum(), {"girth": 1.0})])["curl"]

    assert found.mean == approx(1.0 / 5.0, rel=1e-6)


def test_a_wide_tool_teaches_less():
    sharp, blunt = (
        habits_of([look(zoo.drum(), {"girth": 1.0}, sigma=sigma)])["curl"] for sigma in (0.05, 2.0)
    )

    assert 0.0 < blunt.mean < 0.5 * sharp.mean


def test_what_two_processes_may_have_done_is_shared_between_them_and_not_counted_twice():
    """A long panel may be cut long or folded long: together they explain it once."""
    strip = round_parts.angle()
    looks = [look(replace(strip, name=f"strip{i}"), {"width": 0.5}) for i in range(200)]
    habits = habits_of(looks)
    expected = to_take_off(strip, causes_of(strip), habits).shifts["width"]

    assert expected == approx(0.5, abs=0.02)
    assert min(habits["cut"].mean, habits["fold"].mean) > 0.1


def test_learned_habits_find_the_hand_that_made_the_parts():
    """Sixty boxes by a hand that folds 0.4 long: eight folds round a panel show it."""
    rng = np.random.default_rng(4)
    looks = []
    part = zoo.box(160.0, 220.0, 90.0)
    causes = causes_of(part, zoo.BOARD)
    fold = causes.response("fold") * 2.0  # two usual scatters of 0.2
    for i in range(60):
        strayed = causes.matrix @ rng.standard_normal(causes.matrix.shape[1]) + fold
        values = part.values() | dict(zip(causes.names, strayed, strict=True))
        values |= {n: part.values()[n] + values[n] for n in part.values()}
        made = dims_of(part, values, finished=False)
        drawn = dims_of(part, finished=False)
        names = ("width", "depth", "height")
        off = {n: number(made[n].value) - number(drawn[n].value) for n in names}
        looks.append(look(part, off, sigma=0.1, making=i + 1))
    shift = to_take_off(part, causes, habits_of(looks)).shifts

    for name, expected in zip(("width", "depth", "height"), fold[:3], strict=True):
        assert shift[name] == approx(expected, abs=0.1)


def test_a_blunder_is_no_habit():
    usual, found = usual_habit("curl"), habits_of([look(zoo.drum(), {"girth": 12.0})])["curl"]

    assert (found.mean, found.kappa, found.alpha) == approx((0.0, usual.kappa, usual.alpha))


def test_readings_up_to_a_line_can_be_forgotten():
    looks = [look(zoo.drum(), {"girth": 2.0}, first=3), look(zoo.drum(), {"girth": 1.0}, first=9)]
    all_of_them, later = habits_of(looks), habits_of(looks, {"curl": 5})
    alone = habits_of(looks[1:])

    assert all_of_them["curl"].mean > later["curl"].mean
    assert later["curl"].mean == approx(alone["curl"].mean)
    assert later["curl"].alpha == approx(alone["curl"].alpha)
    assert habits_of(looks, {"curl": 99})["curl"].mean == approx(0.0)


def test_what_was_taken_off_beforehand_is_counted_back():
    """A drum drawn 0.3 small for the habit and read as meant still shows the habit."""
    plain = habits_of([look(zoo.drum(), {"outside_d": 0.3})])["curl"]
    off = replace(look(zoo.drum(), {"outside_d": 0.0}), taken_off={"outside_d": 0.3})

    assert habits_of([off])["curl"].mean == approx(plain.mean)


def test_enough_readings_of_one_material_stand_by_themselves():
    thin = [look(replace(zoo.drum(), stock="board2"), {"girth": 1.0}) for _ in range(5)]
    thick = [look(zoo.drum(), {"girth": -1.0}) for _ in range(2)]
    habits = habits_of(thin + thick)

    assert habits["curl in board2"].mean > habits["curl"].mean > 0.0
    assert "curl in board3" not in habits


def test_a_setting_of_a_fence_teaches_nothing_of_the_next():
    assert "fence" not in habits_of([look(zoo.box(), {"width": 0.5})])


def test_scrapped_makings_teach_too_and_renamed_parts_keep_theirs():
    part = zoo.drum()
    readings = [
        replace(r, part="old", making=making)
        for making in (1, 2)
        for r in look(part, {"girth": 1.0}).readings
    ]
    parts = {"drum": replace(part, was="old")}
    looks = looks_of(parts, {"drum": causes_of(part)}, readings)

    assert [one.readings[0].making for one in looks] == [1, 2]
    assert habits_of(looks)["curl"].mean == approx(2.0 / 6.0, rel=1e-6)


def test_habits_are_said_in_words():
    habits = habits_of([look(zoo.drum(), {"girth": -1.0}) for _ in range(16)])

    assert habit_words("curl", habits["curl"]) == "You curl 0.8 mm small, seen 16 times over."
    assert to_take_off(zoo.drum(), causes_of(zoo.drum()), habits).words == (
        "You curl 0.8 mm small, seen 16 times over.",
    )
    assert to_take_off(zoo.drum(), causes_of(zoo.drum()), {}).shifts == {}


def legs(*misses):
    """Pieces of one tube whose bores were read by caliper so much large."""
    return [
        look(round_parts.tube(), {"bore": off}, sigma=0.02, making=i + 1)
        for i, off in enumerate(misses)
    ]


def test_pieces_of_one_tube_teach_of_it_once():
    one, four = (habits_of(legs(*[0.2] * n))["stock"] for n in (1, 4))
    tubes = [replace(round_parts.tube(), stock=f"tube {i}") for i in range(4)]
    four_tubes = habits_of([look(tube, {"bore": 0.2}, sigma=0.02) for tube in tubes])["stock"]

    assert four.kappa == approx(one.kappa, abs=0.1)
    assert four.mean == approx(one.mean, rel=0.1)
    assert four_tubes.mean > 1.5 * four.mean


def test_a_piece_of_another_tube_is_not_taken_for_one_that_strays():
    """As one tube, these would say that a bore strays from the rest of it by 0.6."""
    together, alone = habits_of(legs(0.2, 0.2, 0.8))["stock"], habits_of(legs(0.2))["stock"]

    assert together.deviation < 1.5 * alone.deviation
