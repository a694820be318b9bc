"""Telling readings: few, the ones that tell most, by the exact fall in variance."""

import itertools

import numpy as np
import pytest
from pytest import approx

import round_parts
import zoo
from foldwright.fit.beliefs import belief
from foldwright.fit.causes import causes_of
from foldwright.fit.clearances import Clearance, key_of
from foldwright.fit.telling import MOST, handiest, most_telling, telling
from foldwright.ledger import Reading
from foldwright.plan import Dual
from foldwright.plan.dual import slopes
from foldwright.shape import dims_of


def clearance(part, dims, low=0.2, high=0.8):
    """A clearance that falls by half of what these dims grow."""
    names = causes_of(part).names
    seeds = {n: Dual.seed(key_of(part.name, n), part.values().get(n, 0.0)) for n in names}
    found = dims_of(part, seeds, finished=False)
    total = {}
    for dim in dims:
        for key, slope in slopes(found[dim].value).items():
            total[key] = total.get(key, 0.0) - slope / 2.0
    return Clearance(
        meet=None, across="", value=0.5, slopes=total, low=low, high=high, dims=("", "")
    )


def posterior(covariance, rows, sigmas, which):
    """Covariance after these readings, by the information form."""
    information = np.linalg.inv(covariance)
    for i in which:
        information = information + np.outer(rows[i], rows[i]) / sigmas[i] ** 2
    return np.linalg.inv(information)


@pytest.fixture
def case():
    rng = np.random.default_rng(7)
    root = rng.standard_normal((6, 6))
    rows, matters = rng.standard_normal((9, 6)), rng.standard_normal((3, 6))
    return rows, rng.uniform(0.2, 2.0, 9), root @ root.T, matters


def test_the_fall_is_that_of_the_posterior(case):
    """The information form of Bayes' rule, by inverses, says the same of every step."""
    rows, sigmas, covariance, matters = case
    chosen = most_telling(rows, sigmas, covariance, matters, least=0.0)
    before = np.trace(matters @ covariance @ matters.T)
    now = before
    for step in range(1, len(chosen) + 1):
        after = posterior(covariance, rows, sigmas, [i for i, _ in chosen[:step]])
        left = np.trace(matters @ after @ matters.T)

        assert (now - left) / before == approx(chosen[step - 1][1])
        now = left


def test_the_first_is_the_best_of_all_and_the_three_are_near_the_best_three(case):
    rows, sigmas, covariance, matters = case

    def left(which):
        after = posterior(covariance, rows, sigmas, which)
        return np.trace(matters @ after @ matters.T)

    chosen = [i for i, _ in most_telling(rows, sigmas, covariance, matters, least=0.0)]
    before = np.trace(matters @ covariance @ matters.T)
    best = min(left(three) for three in itertools.combinations(range(9), 3))

    assert chosen[0] == min(range(9), key=lambda i: left([i]))
    assert before - left(chosen) > 0.63 * (before - best)  # 1 - 1/e, as greedy choices promise


def test_never_more_than_three_unasked(case):
    rows, sigmas, covariance, matters = case

    assert MOST == 3
    assert len(most_telling(rows, sigmas, covariance, matters, least=0.0)) == 3
    assert len(most_telling(rows, sigmas, covariance, matters, least=0.0, most=5)) == 5


def test_a_drum_for_a_cap_is_read_by_its_girth_alone():
    """A tape of 0.5 on the girth tells the diameter to 0.16, a rule across it to 0.25."""
    drum = zoo.drum(220.0)
    found = telling(drum, causes_of(drum), belief(drum, ()), [clearance(drum, ["bore"])])

    assert found[0].dim.name == "girth"
    assert found[0].share > 0.5
    assert found[0].tool.name == "tape"


def test_a_box_that_slides_is_read_both_ways_and_not_its_height():
    box = zoo.box(160.0, 220.0, 90.0)
    meets = [clearance(box, ["width"]), clearance(box, ["depth"])]
    found = telling(box, causes_of(box), belief(box, ()), meets)
    names = [one.dim.name for one in found]

    assert 2 <= len(found) <= 3
    assert any("width" in name for name in names)
    assert any("depth" in name for name in names)
    assert not any("height" in name for name in names)


def test_a_tight_meet_counts_more_than_a_wide_one():
    box = zoo.box(160.0, 220.0, 90.0)
    meets = [clearance(box, ["width"], -2.0, 2.0), clearance(box, ["depth"], 0.4, 0.6)]
    found = telling(box, causes_of(box), belief(box, ()), meets)

    assert "depth" in found[0].dim.name


def test_a_bore_is_measured_for_a_plug():
    tube = round_parts.tube()
    found = telling(tube, causes_of(tube), belief(tube, ()), [clearance(tube, ["bore"])])

    assert "bore" in found[0].dim.name
    assert found[0].tool.name == "caliper"


def test_a_caliper_reads_what_it_reaches_round_and_a_rule_the_rest():
    dims = dims_of(zoo.drum(220.0), finished=False) | dims_of(round_parts.plug(), finished=False)

    assert handiest(dims["outside_d"]).name == "rule"
    assert handiest(dims["diameter"]).name == "caliper"
    assert handiest(dims_of(zoo.box(), finished=False)["plumb_right"]).name == "rule"


def test_what_was_read_is_not_asked_for_again():
    drum = zoo.drum(220.0)
    value = 691.15
    read = Reading(
        id=1, part="drum", dim="girth", value=value, tool="tape", bare=True,
        when="2026-03-01T14:05:09Z", note="", revision=0, drawn=value, sigma=0.1,
    )  # fmt: skip
    known = belief(drum, [read])
    before = telling(drum, causes_of(drum), belief(drum, ()), [clearance(drum, ["bore"])])
    after = telling(drum, causes_of(drum), known, [clearance(drum, ["bore"])], measured=["girth"])

    assert before[0].dim.name == "girth"
    assert "girth" not in [one.dim.name for one in after]


def test_a_part_that_meets_nothing_is_read_for_the_habits_alone():
    drum = zoo.drum(220.0)
    found = telling(drum, causes_of(drum), belief(drum, ()), [])

    assert 1 <= len(found) <= 3
    assert found[0].share < 0.5


def test_nothing_is_asked_where_nothing_is_open():
    known = np.zeros((2, 2))

    assert most_telling(np.eye(2), np.ones(2), known, np.eye(2)) == ()
