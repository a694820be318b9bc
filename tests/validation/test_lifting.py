"""Lifting against the worked example of NIOSH publication 94-110.

Applications manual for the revised NIOSH lifting equation (1994), example 1,
"Loading punch press stock": a reel of 44 lb lifted from the floor to a press.
Origin: H 23 in, V 15 in, D 48 in, no twist, fair grip; destination the same
but V 63 in. Printed, from multipliers of two digits: recommended weight limits
16.3 and 14.5 lb, lifting indices 2.7 and 3.0. Values from memory, unchecked.

The printed HM is 0.44 where 10/23 is 0.435 and 25 cm/23 in is 0.428: 3 % from
that alone, and 1 % more from the other multipliers.
"""

import pytest
from pytest import approx

from foldwright.sheet.handling import (
    GUIDES,
    coupling_factor,
    frequency_factor,
    lifting_index,
    recommended_limit,
)

INCH, POUND = 25.4, 0.45359237


@pytest.mark.parametrize(("height", "limit_lb", "index"), [(15.0, 16.3, 2.7), (63.0, 14.5, 3.0)])
def test_loading_punch_press_stock(height, limit_lb, index):
    high = height * INCH
    limit = recommended_limit(
        23.0 * INCH,
        high,
        48.0 * INCH,
        0.0,
        frequency_factor=frequency_factor(0.2, 1.0, high),
        coupling_factor=coupling_factor("fair", high),
        constant=51.0 * POUND,
    )

    assert limit / POUND == approx(limit_lb, rel=0.04)
    assert lifting_index(44.0 * POUND, limit_lb * POUND) == approx(index, abs=0.05)


@pytest.mark.parametrize(
    ("per_minute", "hours", "height", "factor"),
    [
        (0.2, 8.0, 500.0, 0.85),
        (0.5, 2.0, 500.0, 0.92),
        (4.0, 1.0, 500.0, 0.84),
        (9.0, 8.0, 700.0, 0.00),
        (9.0, 8.0, 800.0, 0.15),
        (12.0, 2.0, 800.0, 0.21),
        (15.0, 1.0, 800.0, 0.28),
        (16.0, 1.0, 800.0, 0.00),
    ],
)
def test_frequency_multipliers(per_minute, hours, height, factor):
    """Table 5 of the manual; from memory."""
    assert frequency_factor(per_minute, hours, height) == factor


@pytest.mark.parametrize(
    ("grip", "low", "high"), [("good", 1.0, 1.0), ("fair", 0.95, 1.0), ("poor", 0.9, 0.9)]
)
def test_coupling_multipliers(grip, low, high):
    """Table 7 of the manual: under 75 cm, and from there up."""
    assert (coupling_factor(grip, 749.0), coupling_factor(grip, 750.0)) == (low, high)


def test_reference_masses_of_the_standards():
    """ISO 11228-1 and EN 1005-2: 25 kg for adults at work (memory), from 3 kg up (scope)."""
    for name in ("ISO 11228-1", "EN 1005-2"):
        assert (GUIDES[name].reference, GUIDES[name].lowest) == (25.0, 3.0)
