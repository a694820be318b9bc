"""Runs of simulated builds."""

import json
from concurrent.futures import ThreadPoolExecutor
from functools import partial

import pytest

from foldwright.errors import OutOfDomain
from foldwright.fit.bench import Tally
from foldwright.fit.random_works import random_works
from foldwright.fit.simulate import WAYS, Simulated, coverage, simulate
from foldwright.fit.works import Stress

SMALL = partial(random_works, parts=6)


def test_an_executor_changes_nothing_but_the_time():
    alone = simulate(SMALL, 3)
    with ThreadPoolExecutor(2) as threads:
        together = simulate(SMALL, 3, executor=threads)

    assert together.tallies == alone.tallies


def test_builds_are_those_of_their_seeds_wherever_a_run_begins():
    whole = simulate(SMALL, 3, first=5, ways=("sensible",))
    last = simulate(SMALL, 1, first=7, ways=("sensible",))

    assert whole.tallies["sensible"][-1:] == last.tallies["sensible"]


def test_progress_is_told_build_by_build():
    told = []
    simulate(SMALL, 3, ways=("sensible",), done=told.append)

    assert told == [1, 2, 3]


def test_json_holds_ratios_over_the_sensible_maker_with_counts_beside():
    tallies = {
        "sensible": (Tally(remakes=4), Tally(remakes=6)),
        "to_suit": (Tally(remakes=5), Tally(remakes=10)),
        "refit_drawn": (Tally(remakes=1), Tally(remakes=3)),
        "refit_chosen": (Tally(remakes=0), Tally(remakes=1)),
    }
    found = json.loads(json.dumps(Simulated(tallies, (2.5, 5.0)).as_json()))

    assert found["remake_ratio"] == {"to_suit": 1.5, "refit_drawn": 0.4, "refit_chosen": 0.1}
    assert found["ways"]["sensible"]["remakes_in_all"] == 10
    assert found["ways"]["refit_chosen"]["without_remake"]["value"] == 0.5


def test_a_ratio_over_nothing_is_null():
    tallies = {way: (Tally(), Tally()) for way in WAYS}

    assert set(Simulated(tallies, ()).as_json()["remake_ratio"].values()) == {None}


def test_the_interval_of_an_average_is_that_of_its_standard_error():
    """400 builds with 0 or 1 remakes: 90 % is 1.645 of 0.5 / 20, within a tenth of it."""
    tallies = {"sensible": tuple(Tally(remakes=i % 2) for i in range(400))}
    found = Simulated(tallies, ()).mean("sensible", "remakes")

    assert found.value == 0.5
    assert found.high - found.low == pytest.approx(2 * 1.645 * 0.025, rel=0.1)


def test_the_plot_names_every_way():
    plot = simulate(SMALL, 2).plot()

    assert [way.replace("_", " ") in plot for way in WAYS] == [True] * 4


def test_an_unknown_way_and_no_builds_are_refused():
    with pytest.raises(OutOfDomain, match="There are: sensible"):
        simulate(SMALL, 1, ways=("by guess",))
    with pytest.raises(OutOfDomain, match="1 or more"):
        simulate(SMALL, 0)


@pytest.mark.parametrize("readings", [0, 3])
def test_stated_intervals_hold_the_truth_as_often_as_they_say(readings, is_proof):
    """88 to 92 %; with fewer makers, three standard errors of 90 % more either way."""
    count = 4000 if is_proof else 600
    margin = 0.02 + (0.0 if is_proof else 3.0 * (0.9 * 0.1 / count) ** 0.5)

    assert coverage(count, readings) == pytest.approx(0.90, abs=margin)


@pytest.mark.parametrize(
    "stress", [Stress(scatter=1.5), Stress(bias=2.0), Stress(blunder=3.0)], ids=str
)
@pytest.mark.parametrize(("readings", "least"), [(0, 0.70), (3, 0.78)])
def test_they_hold_under_hands_the_model_does_not_assume(stress, readings, least, is_proof):
    assert coverage(2000 if is_proof else 400, readings, stress=stress) >= least
