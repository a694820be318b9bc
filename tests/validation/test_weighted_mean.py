"""Readings put together against texts on measurement.

Weighted mean, weights 1/s^2, as in JCGM 100:2008 (GUM) and texts on
adjustment; the first case is evaluated from the formula, ten figures kept.

Level network: an examination question (heights of P1 and P2 from four bench
marks; weights 1/variance), printed to 0.01 m in three of its answers.
"""

from dataclasses import replace

import numpy as np
from pytest import approx

import zoo
from foldwright.fit import belief
from foldwright.ledger import Reading
from foldwright.plan import Parameter


def reading(number, value, sigma, dim):
    """A reading of the box, as the ledger would hand it over."""
    return Reading(
        id=number, part="box", dim=dim, value=value, tool="caliper", bare=True,
        when="2026-03-01T14:05:09Z", note="", revision=0, drawn=value, sigma=sigma,
    )  # fmt: skip


def test_two_tools_on_one_dim_give_the_weighted_mean():
    """60.12 +- 0.05 and 60.05 +- 0.10 give 60.106 +- 0.04472.

    The hand's scatter is let go where a reading looks, by a factor of a
    million in variance: 1e-6 of the 0.1 mm between hand and reading remains.
    """
    found = belief(
        zoo.box(60.0), [reading(1, 60.12, 0.05, "width"), reading(2, 60.05, 0.10, "width")]
    )

    assert found.mean["width"] == approx(60.106, abs=1e-6)
    assert found.covariance[0, 0] ** 0.5 == approx(0.04472135955, abs=1e-6)
    assert found.mean["depth"] == 220.0


def test_order_of_readings_does_not_matter():
    """A mean has no order.

    The wide prior over the narrow readings costs eight of sixteen figures.
    """
    readings = [reading(i, 60.0 + 0.03 * i, 0.05 * (1 + i), "width") for i in range(4)]
    forth, back = belief(zoo.box(60.0), readings), belief(zoo.box(60.0), readings[::-1])

    assert forth.mean == approx(dict(back.mean), abs=1e-9)
    assert np.allclose(forth.covariance, back.covariance, rtol=1e-6, atol=1e-12)


def test_level_network():
    """Lines of levels from A 100, B 101, C 103, D 104 m; printed P1 101.01, P2 101.95 m.

    1 m becomes 10 mm of a stepped profile, whose top is as long as P1 is high,
    its bottom as P2, and its tread as P2 over P1. Half a unit is 0.005 m.
    """
    part = zoo.profile(
        [(0, 0), (1, 0), (1, 100), (2, 100), (2, 200), (0, 200)],
        name="box",
        sides=("bottom", "right", "tread", "riser", "top", "left"),
    )
    p1, p2, nought = zoo.length("p1"), zoo.length("p2"), zoo.length(0.0)
    low, high = zoo.length(100.0), zoo.length(200.0)
    part = replace(
        part,
        parameters=(Parameter("p1", 1009.0, 1, 1), Parameter("p2", 1021.0, 1, 1)),
        outline=((nought, nought), (p2, nought), (p2, low), (p1, low), (p1, high), (nought, high)),
        depth=high,
    )
    lines = [  # dim, height or rise [m], variance [cm2]
        ("top_length", 100.0 + 1.01, 1.0),
        ("top_length", 101.0 + 0.06, 2.0),
        ("bottom_length", 103.0 - 1.09, 1.0),
        ("bottom_length", 104.0 - 2.04, 1.0),
        ("tread_length", 1.03, 3.0),
    ]
    found = belief(
        part,
        [
            reading(i, 10.0 * rise, 0.1 * variance**0.5, dim)
            for i, (dim, rise, variance) in enumerate(lines, 1)
        ],
    )

    assert found.mean["p1"] / 10.0 == approx(101.01, abs=0.005)
    assert found.mean["p2"] / 10.0 == approx(101.95, abs=0.005)
