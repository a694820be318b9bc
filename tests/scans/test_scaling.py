"""Scaling by known lengths: stretch found, a wrong length named, one direction not trusted."""

import numpy as np
import pytest
from pytest import approx

from foldwright.errors import OutOfDomain
from foldwright.scans import USUAL_STRETCH, KnownLength, by_page, length_of, scaled


def known(ax, ay, bx, by, sx=0.25, sy=0.25, wrong=0.0):
    """A length on a picture of so many mm to the pixel."""
    length = float(np.hypot((bx - ax) * sx, (by - ay) * sy)) + wrong
    return KnownLength((ax, ay), (bx, by), length)


def test_uneven_stretch_of_half_a_per_cent_is_found():
    """A print 0.5 % longer down than across: both scales come out, to rounding."""
    across, up = 0.25, 0.25 * 1.005
    lengths = [
        known(100, 200, 1900, 220, across, up),
        known(130, 150, 140, 1400, across, up),
        known(100, 100, 1700, 1300, across, up),
    ]

    found = scaled(lengths, picking=1.0, sure=0.1)

    assert found.is_separate
    assert (found.across, found.up) == approx((across, up), rel=1e-12)
    assert found.misses == approx(np.zeros(3), abs=1e-9)


def test_uneven_stretch_is_found_through_a_shaking_hand():
    """Of 300 pickings nine in ten or more find the ratio within twice what they say."""
    rng = np.random.default_rng(3)
    across, up, held = 0.25, 0.25 * 1.005, 0
    true = [known(100, 200, 1900, 220, across, up), known(130, 150, 140, 1400, across, up)]
    for _ in range(300):
        shaken = [
            KnownLength(
                tuple(k.a + rng.normal(0, 1, 2)), tuple(k.b + rng.normal(0, 1, 2)), k.length
            )
            for k in true
        ]
        found = scaled(shaken, picking=1.0)
        spread = found.frame.covariance
        own = np.sqrt(spread[0, 0] / across**2 + spread[4, 4] / up**2)
        held += abs(found.up / found.across - 1.005) <= 2.0 * own * 1.005

    assert held >= 270


def test_lengths_in_one_direction_give_one_scale_and_less_trust_in_the_other():
    lengths = [known(100, 200, 1900, 210), known(150, 900, 1800, 905)]
    found = scaled(lengths, picking=1.0)

    assert not found.is_separate
    assert found.up == approx(found.across, rel=1e-4)
    along = length_of(found.frame.mapped([(100.0, 100.0), (1700.0, 100.0)], 1e-9))
    down = length_of(found.frame.mapped([(100.0, 100.0), (100.0, 1700.0)], 1e-9))
    assert along.trust < 0.3
    assert down.trust == approx(USUAL_STRETCH * down.value, rel=0.05)


def test_one_length_is_enough_for_one_scale():
    found = scaled([known(100, 200, 900, 800)], picking=1.0)

    assert found.across == approx(0.25, rel=1e-12)
    assert found.up == approx(0.25, rel=1e-12)
    assert not found.is_separate and found.redundancy == 0


def test_the_length_that_is_off_is_the_one_that_stands_out():
    """Five lengths, the third typed 4 mm too long: it stands out, and the others suffer."""
    lengths = [
        known(100, 200, 1900, 220),
        known(130, 150, 140, 1400),
        known(150, 800, 1850, 790, wrong=4.0),
        known(1800, 150, 1790, 1380),
        known(100, 1300, 1800, 1290),
    ]
    found = scaled(lengths, picking=1.0, sure=0.2)

    assert int(np.argmax(np.abs(found.standardised))) == 2
    assert found.misses[2] == approx(-2.7, abs=0.3)
    assert found.factor > 3.0


def test_two_lengths_that_disagree_are_equally_suspect():
    lengths = [known(100, 200, 1900, 200), known(100, 900, 1900, 900, wrong=3.0)]
    found = scaled(lengths, picking=1.0)

    assert abs(found.standardised[0]) == approx(abs(found.standardised[1]), rel=1e-2)


def test_a_page_drawn_by_a_program_is_as_large_as_it_says():
    frame = by_page(0.1, stretch=0.0)

    assert frame.at([(100.0, 200.0)])[0] == approx((10.0, -20.0))
    assert frame.covariance == approx(np.zeros((9, 9)))


@pytest.mark.parametrize(
    ("lengths", "words"),
    [
        ([], "no length is known"),
        ([KnownLength((0, 0), (100, 0), 0.0)], "known length 1 is 0 mm"),
        ([KnownLength((0, 0), (100, 0), 5.0), KnownLength((7, 7), (7, 8), 5.0)], "ends of known l"),
        ([KnownLength((0, 0), (100, 0), float("inf"))], "is inf mm"),
    ],
)
def test_what_is_no_length_is_refused(lengths, words):
    with pytest.raises(OutOfDomain, match=words):
        scaled(lengths, picking=1.0)


def test_a_page_without_size_is_refused():
    with pytest.raises(OutOfDomain, match="no scale"):
        by_page(0.0)
