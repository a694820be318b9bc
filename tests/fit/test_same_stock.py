"""What is read of one piece of tube tells of the others of its stock."""

from dataclasses import replace

import numpy as np
import pytest
from pytest import approx

import round_parts
from fit.test_beliefs import readings, sigma_of
from foldwright.fit.beliefs import belief
from foldwright.fit.causes import causes_of
from foldwright.fit.same_stock import beliefs_of
from foldwright.plan.dual import number
from foldwright.shape import dims_of

TUBES = tuple(f"leg-{n}" for n in (1, 2, 3, 4))


def tubes(*stocks):
    """Four pieces, of one stock if none is named."""
    names = stocks or ("tube50",) * 4
    return {
        name: round_parts.tube(name=name, stock=stock)
        for name, stock in zip(TUBES, names, strict=True)
    }


def told(parts, read):
    """Beliefs of parts of which some dims were read."""
    each = {name: readings(part, 0.05, **read.get(name, {})) for name, part in parts.items()}
    return beliefs_of(parts, each, {}, {name: {} for name in parts})


def bore(found, name):
    return 46.0 + found[name].mean["~bore_off"]


def test_readings_of_one_bore_are_one_estimate():
    """The mean of n readings is sigma / sqrt(n) sure: JCGM 100:2008, 4.2.3."""
    values = (46.12, 46.06, 46.15, 46.09)
    found = told(tubes(), {n: {"bore": v} for n, v in zip(TUBES, values, strict=True)})

    assert [bore(found, name) for name in TUBES] == approx([np.mean(values)] * 4, abs=1e-9)
    assert [sigma_of(found[name], "~bore_off") for name in TUBES] == approx([0.025] * 4)
    assert all(one.redundancy == 3 and one.told_by == "tube50" for one in found.values())


def test_a_piece_that_nobody_has_read_is_expected_as_the_others_are():
    found = told(tubes(), {"leg-1": {"bore": 46.12}, "leg-2": {"bore": 46.08, "length": 299.0}})
    alone = belief(tubes()["leg-3"], ())

    assert not found["leg-3"].is_made
    assert bore(found, "leg-3") == approx(46.10)
    assert sigma_of(found["leg-3"], "~bore_off") == approx(0.05 / np.sqrt(2.0))
    # how long it is cut is its own
    assert found["leg-3"].mean["length"] == 300.0
    assert sigma_of(found["leg-3"], "length") == approx(sigma_of(alone, "length"))
    assert found["leg-2"].mean["length"] == approx(299.0)


def test_what_a_bore_tells_of_the_outside_follows_from_how_tube_strays():
    """Half of the variance of a bore is the outside's, so half of its miss is expected there."""
    found = told(tubes(), {"leg-1": {"bore": 46.12}})

    assert found["leg-3"].mean["~outside_off"] == approx(0.06, rel=1e-6)


def test_other_stocks_tell_nothing():
    parts = tubes("tube50", "tube50", "tube50 thick", "tube50 thick")
    found = told(parts, {"leg-1": {"bore": 46.12}})

    assert bore(found, "leg-2") == approx(46.12)
    assert found["leg-3"].mean == belief(parts["leg-3"], ()).mean
    assert found["leg-3"].told_by == ""


def test_one_that_does_not_agree_is_named_and_stands_alone():
    values = (46.02, 46.05, 46.60, 46.03)
    found = told(tubes(), {n: {"bore": v} for n, v in zip(TUBES, values, strict=True)})
    (odd,) = found["leg-3"].at_odds

    assert bore(found, "leg-3") == approx(46.60)
    assert bore(found, "leg-1") == approx(np.mean([46.02, 46.05, 46.03]))
    assert not any(found[name].at_odds for name in TUBES if name != "leg-3")
    assert odd.words("mm") == (
        "The bore of the leg 3, read as 46.60 mm by rule, does not agree with what was read of "
        "other pieces of tube50, which makes it 46.03 mm. Measure it once more; if it is so, "
        "give this piece a stock of its own in the rack."
    )


def test_of_two_that_disagree_neither_is_believed_of_the_rest():
    found = told(tubes(), {"leg-1": {"bore": 46.0}, "leg-2": {"bore": 46.6}})

    assert (bore(found, "leg-1"), bore(found, "leg-2")) == approx((46.0, 46.6))
    assert found["leg-1"].at_odds and found["leg-2"].at_odds
    assert bore(found, "leg-3") == 46.0
    assert found["leg-3"].told_by == ""


def test_a_piece_at_odds_with_itself_tells_nothing():
    parts = tubes()
    each = {name: [] for name in parts}
    each["leg-1"] = readings(parts["leg-1"], 0.05, bore=46.0)
    each["leg-2"] = [*readings(parts["leg-2"], 0.05, bore=46.0, bore_0=47.0, bore_60=46.0),
                     *readings(parts["leg-2"], 0.05, bore_120=46.0)]  # fmt: skip
    found = beliefs_of(parts, each, {}, {name: {} for name in parts})

    assert found["leg-2"].at_odds and not found["leg-2"].at_odds[0].stock
    assert bore(found, "leg-1") == approx(46.0) == bore(found, "leg-3")


@pytest.mark.parametrize("count", [1, 2, 3])
def test_stated_intervals_hold_the_bore_of_the_piece_not_read(count):
    """90 % intervals, 400 stocks by hands as assumed, each of the first pieces read once."""
    rng = np.random.default_rng(count)
    parts = tubes()
    causes = causes_of(parts["leg-1"])
    shared = np.array([bool(cause.set_up) for cause in causes.causes])
    held = []
    for _ in range(400):
        z = np.where(shared, rng.standard_normal(len(shared)), 0.0)
        read = {}
        for name in TUBES[:count]:
            own = np.where(shared, z, rng.standard_normal(len(shared)))
            strayed = dict(zip(causes.names, causes.matrix @ own, strict=True))
            dims = dims_of(parts[name], parts[name].values() | strayed, finished=False)
            read[name] = {"bore": number(dims["bore"].value) + 0.05 * rng.standard_normal()}
        found = told(parts, read)
        if not any(one.at_odds for one in found.values()):
            truth = dict(zip(causes.names, causes.matrix @ z, strict=True))["~bore_off"]
            miss = found["leg-4"].mean["~bore_off"] - truth
            held.append(abs(miss) < 1.645 * sigma_of(found["leg-4"], "~bore_off"))

    assert len(held) > 380
    assert np.mean(held) == approx(0.90, abs=0.04)


def test_a_piece_by_an_earlier_name_keeps_its_readings_at_odds():
    parts = tubes()
    each = {name: readings(part, 0.05, bore=46.0) for name, part in parts.items()}
    each["leg-2"] = [replace(r, part="post", value=46.6) for r in each["leg-2"]]
    found = beliefs_of(parts, each, {}, {name: {} for name in parts})

    assert found["leg-2"].at_odds and not found["leg-1"].at_odds
