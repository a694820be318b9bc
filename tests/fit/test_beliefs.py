"""Beliefs: what readings leave known of a part, and which reading disagrees."""

import numpy as np
import pytest
from pytest import approx

import round_parts
import zoo
from foldwright.fit.beliefs import belief, scatter
from foldwright.fit.causes import causes_of
from foldwright.ledger import Reading
from foldwright.plan.dual import number
from foldwright.shape import dims_of

BOX = zoo.box(160.0, 220.0, 90.0)


def reading(part, dim, value, sigma=0.25, number_=1, bare=True):
    """A reading of a part, as the ledger would hand it over."""
    return Reading(
        id=number_, part=part.name, dim=dim, value=value, tool="rule", bare=bare,
        when="2026-03-01T14:05:09Z", note="", revision=0, drawn=value, sigma=sigma,
    )  # fmt: skip


def readings(part, sigma=0.25, **values):
    return [reading(part, d, v, sigma, i) for i, (d, v) in enumerate(values.items(), 1)]


def sigma_of(found, name):
    at = list(found.mean).index(name)
    return float(found.covariance[at, at]) ** 0.5


def test_a_part_that_is_not_made_is_as_drawn_give_or_take_its_causes():
    found = belief(BOX, ())

    assert not found.is_made
    assert found.mean == BOX.values() | {n: 0.0 for n in found.mean if n.startswith("~")}
    assert found.covariance == approx(causes_of(BOX).covariance)
    assert scatter(BOX)["width"] == approx(sigma_of(found, "width"))


def test_what_is_bought_is_there_already():
    assert belief(round_parts.gauge(), ()).is_made


def test_one_reading_decides_what_it_sees_and_leaves_the_rest():
    found = belief(BOX, readings(BOX, width=161.4))

    assert found.mean["width"] == approx(161.4)
    assert sigma_of(found, "width") == approx(0.25)
    assert sigma_of(found, "height") == approx(scatter(BOX)["height"], rel=0.2)


def test_a_girth_decides_the_diameter():
    drum = zoo.drum(220.0)
    found = belief(drum, readings(drum, 0.5, girth=694.1))

    assert found.mean["outside_d"] == approx(694.1 / np.pi)
    assert sigma_of(found, "outside_d") == approx(0.5 / np.pi)


def test_widths_at_both_ends_give_the_mean_and_the_taper():
    found = belief(BOX, readings(BOX, width_front=159.0, width_back=160.0))

    assert found.mean["width"] == approx(159.5)
    assert found.mean["~taper"] == approx(1.0)
    assert sigma_of(found, "width") == approx(0.25 / np.sqrt(2.0))


def test_a_width_read_three_ways_is_one_estimate():
    """Mid, front and back tell two unknowns, so one reading more than needed: the mean of three."""
    found = belief(BOX, readings(BOX, width=159.2, width_front=159.0, width_back=160.0))

    assert found.mean["width"] == approx((159.2 + 159.0 + 160.0) / 3.0)
    assert found.redundancy == 1
    assert sigma_of(found, "width") == approx(0.25 / np.sqrt(3.0))


def test_diagonals_tell_the_lean_and_little_of_the_width():
    """Diagonals that differ by 4: most of it is lean, since boxes lean more than they stretch."""
    drawn = {n: number(d.value) for n, d in dims_of(BOX, finished=False).items()}
    found = belief(
        BOX,
        readings(
            BOX,
            front_diagonal_a=drawn["front_diagonal_a"] + 2.0,
            front_diagonal_b=drawn["front_diagonal_b"] - 2.0,
        ),
    )

    assert found.mean["~lean_right"] == approx(2.0 * drawn["front_diagonal_a"] / 160.0, rel=0.02)
    assert found.mean["width"] == approx(160.0, abs=0.1)


def test_three_directions_give_an_oval_and_its_mean():
    drum = zoo.drum(220.0)
    values = drum.values() | {"~oval": 3.0, "~oval_45": -1.0}
    dims = dims_of(drum, values, finished=False)
    found = belief(
        drum, readings(drum, **{f"d_{d}": number(dims[f"d_{d}"].value) for d in (0, 60, 120)})
    )

    assert found.mean["outside_d"] == approx(220.0, abs=1e-6)
    assert (found.mean["~oval"], found.mean["~oval_45"]) == approx((3.0, -1.0), abs=1e-6)


def test_finished_and_bare_readings_of_one_dim_differ_by_the_finish():
    box = zoo.box(160.0)
    both = [reading(box, "width", 160.3, bare=True), reading(box, "width", 160.3, bare=False)]

    assert belief(box, both).mean["width"] == approx(160.3)


def test_the_reading_that_disagrees_is_named_and_the_others_are_not():
    values = {"width": 160.1, "width_front": 160.2, "width_back": 160.0, "width_top": 160.1}
    good = belief(BOX, readings(BOX, **values))
    found = belief(BOX, readings(BOX, **values | {"width": 163.0}) + readings(BOX, width=160.2))

    assert good.at_odds == ()
    assert found.at_odds
    assert found.chi_square > 20.0 * max(1, found.redundancy)
    assert "width of the box, read as 163.0" in " ".join(one.words("mm") for one in found.at_odds)


def test_a_slipped_diagonal_is_named_in_words():
    drum = zoo.drum(220.0)
    values = {"d_0": 220.2, "d_60": 219.8, "d_120": 220.1, "girth": 691.3, "outside_d": 224.0}
    (worst,) = belief(drum, readings(drum, **values)).at_odds

    assert worst.reading.dim == "outside_d"
    assert worst.words("mm") == (
        f"The outside diameter of the drum, read as 224.0 mm by rule, does not agree with the "
        f"other readings, which make it {worst.expected:.1f} mm. Measure it once more."
    )


def test_honest_readings_are_seldom_named():
    """Standardised residuals of readings drawn by the tool are normal: 3 sigma, 0.27 %."""
    rng = np.random.default_rng(5)
    named, total = 0, 0
    causes = causes_of(BOX)
    names = ("width", "width_front", "width_back", "width_top", "width_bottom", "depth", "height")
    for _ in range(150):
        strayed = causes.matrix @ rng.standard_normal(causes.matrix.shape[1])
        values = {
            n: BOX.values().get(n, 0.0) + s for n, s in zip(causes.names, strayed, strict=True)
        }
        dims = dims_of(BOX, values, finished=False)
        looks = {n: number(dims[n].value) + 0.25 * rng.standard_normal() for n in names}
        named += len(belief(BOX, readings(BOX, **looks)).at_odds)
        total += len(names)

    assert named / total < 0.01


def test_stated_intervals_hold_the_truth_as_often_as_they_say():
    """90 % intervals of sizes and strays of 600 boxes by hands as assumed, three readings each."""
    rng = np.random.default_rng(6)
    causes = causes_of(BOX)
    held = []
    for _ in range(600):
        strayed = causes.matrix @ rng.standard_normal(causes.matrix.shape[1])
        truth = np.array([BOX.values().get(n, 0.0) for n in causes.names]) + strayed
        dims = dims_of(BOX, dict(zip(causes.names, truth, strict=True)), finished=False)
        names = ("width", "front_diagonal_a", "depth_left")
        looks = {n: number(dims[n].value) + 0.25 * rng.standard_normal() for n in names}
        found = belief(BOX, readings(BOX, **looks))
        miss = np.array(list(found.mean.values())) - truth
        held.append(np.abs(miss) < 1.645 * np.sqrt(np.diag(found.covariance)))

    assert np.mean(held) == approx(0.90, abs=0.012)


def test_a_reading_of_a_dim_that_the_plan_has_no_more_is_passed_over():
    found = belief(BOX, readings(BOX, slope_length=80.0))

    assert found.is_made
    assert found.mean["width"] == 160.0


@pytest.mark.parametrize("part", [zoo.drum(), round_parts.tube(), round_parts.hood(), zoo.DESK])
def test_reading_every_dim_as_drawn_leaves_a_part_as_drawn(part):
    drawn = {n: number(d.value) for n, d in dims_of(part, finished=False).items()}
    found = belief(part, readings(part, **drawn))

    assert found.mean == approx(belief(part, ()).mean, abs=1e-6)
    assert found.chi_square == approx(0.0, abs=1e-9)
    assert found.redundancy > 0
