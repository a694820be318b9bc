"""Straightening: exact where it is exact, honest where it is not."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pytest import approx

from foldwright.errors import OutOfDomain
from foldwright.scans import Frame, straightened

SHEET = [(0.0, 0.0), (420.0, 0.0), (420.0, 297.0), (0.0, 297.0)]


def seen_from(tilt, turn, far, places):
    """Pixels of places on a sheet, through a pinhole camera that looks at its middle."""
    ct, st_, cr, sr = np.cos(tilt), np.sin(tilt), np.cos(turn), np.sin(turn)
    about = np.array([[cr, -sr, 0.0], [sr, cr, 0.0], [0.0, 0.0, 1.0]])
    lean = np.array([[1.0, 0.0, 0.0], [0.0, ct, -st_], [0.0, st_, ct]])
    flat = np.column_stack(
        [np.asarray(places, dtype=float) - (210.0, 148.5), np.zeros(len(places))]
    )
    inside = flat @ (lean @ about).T + (0.0, 0.0, far)
    return 3200.0 * inside[:, :2] / inside[:, 2:] * (1.0, -1.0) + (2000.0, 1500.0)


@settings(max_examples=150, deadline=None)
@given(
    tilt=st.floats(-0.9, 0.9),
    turn=st.floats(-3.1, 3.1),
    far=st.floats(600.0, 1500.0),
    x=st.floats(0.0, 420.0),
    y=st.floats(0.0, 297.0),
)
def test_a_camera_is_undone_to_a_thousandth_of_a_millionth(tilt, turn, far, x, y):
    """Exact picks give exact places: within 1e-9 mm."""
    found = straightened(seen_from(tilt, turn, far, SHEET), SHEET, picking=1.0)

    assert found.frame.at(seen_from(tilt, turn, far, [(x, y)]))[0] == approx((x, y), abs=1e-9)
    assert found.misses == approx(np.zeros((4, 2)), abs=1e-9)
    assert found.redundancy == 0 and found.factor == 1.0


def test_more_places_than_needed_find_the_same_frame():
    places = [*SHEET, (210.0, 0.0), (100.0, 200.0), (300.0, 148.5)]
    found = straightened(seen_from(0.5, 0.3, 900.0, places), places, picking=1.0, sure=0.1)

    point = seen_from(0.5, 0.3, 900.0, [(123.0, 45.0)])
    assert found.frame.at(point)[0] == approx((123.0, 45.0), abs=1e-9)
    assert found.redundancy == 6


@pytest.mark.parametrize("places", [SHEET, [*SHEET, (210.0, 10.0), (60.0, 220.0), (380.0, 130.0)]])
def test_the_covariance_is_that_of_many_pickings(places):
    """1500 pickings by hands of 1.5 pixels and rules of 0.2 mm: variances within 15 %.

    Their own scatter is sqrt(2 / 1500) = 3.7 %.
    """
    rng = np.random.default_rng(8)
    picking, sure, tries = 1.5, 0.2, 1500
    true = seen_from(0.6, 0.2, 800.0, places)
    asked = seen_from(0.6, 0.2, 800.0, [(210.0, 148.5), (400.0, 280.0)])
    stated = straightened(true, places, picking=picking, sure=sure).frame.mapped(asked, picking)

    came = []
    for _ in range(tries):
        frame = straightened(
            true + rng.normal(0.0, picking, true.shape),
            np.asarray(places) + rng.normal(0.0, sure, (len(places), 2)),
            picking=picking,
            sure=sure,
        ).frame
        came.append(frame.at(asked + rng.normal(0.0, picking, asked.shape)).ravel())

    spread = np.cov(np.array(came).T)
    own = np.sqrt(np.diag(stated.covariance))
    assert np.diag(spread) == approx(np.diag(stated.covariance), rel=0.15)
    assert spread / np.outer(own, own) == approx(stated.covariance / np.outer(own, own), abs=0.12)


def test_slopes_are_those_of_small_steps():
    frame = straightened(seen_from(0.6, 0.2, 800.0, SHEET), SHEET, picking=1.0).frame
    at, h = np.array([[1500.0, 1200.0]]), 1e-3

    for axis in (0, 1):
        step = h * np.eye(2)[axis]
        assert frame.slopes(at)[0, :, axis] == approx(
            (frame.at(at + step) - frame.at(at - step))[0] / (2.0 * h), rel=1e-7
        )


def test_back_is_the_way_back():
    frame = straightened(seen_from(-0.4, 2.0, 800.0, SHEET), SHEET, picking=1.0).frame

    assert frame.at(frame.back([(33.0, 77.0)]))[0] == approx((33.0, 77.0), abs=1e-9)


def test_a_place_with_the_wrong_numbers_stands_out():
    places = [*SHEET, (210.0, 0.0), (100.0, 200.0), (300.0, 148.5), (50.0, 60.0)]
    pixels = seen_from(0.3, 0.1, 900.0, places)
    wrong = [*places[:5], (103.0, 200.0), *places[6:]]
    found = straightened(pixels, wrong, picking=1.0, sure=0.2)

    assert int(np.argmax(found.standardised)) == 5
    assert found.factor > 2.0


@pytest.mark.parametrize(
    ("pixels", "places", "words"),
    [
        ([(0, 0), (900, 0), (900, 900)], SHEET[:3], "4 to 16 known places, 3 were given"),
        ([(0, 0), (900, 0), (450, 1), (0, 900)], SHEET, "1, 2 and 3 lie in one line in the pic"),
        ([(0, 0), (900, 0), (901, 1), (0, 900)], SHEET, "2 and 3 are the same place in the pic"),
        (
            [(0, 0), (900, 0), (900, 900), (0, 900)],
            [(0, 0), (420, 0), (210, 0), (0, 297)],
            "1, 2 and 3 lie in one line as their numbers",
        ),
        (
            [(0, 0), (900, 0), (0, 900), (900, 900)],
            [(0, 0), (420, 0), (420, 297), (0, 297)],
            "cannot be one flat sheet in this order",
        ),
        (
            [(0, 0), (900, 0), (900, 900), (0, float("nan"))],
            SHEET,
            "two numbers",
        ),
    ],
)
def test_places_that_fix_no_frame_are_refused_in_words(pixels, places, words):
    with pytest.raises(OutOfDomain, match=words):
        straightened(pixels, places, picking=1.0)


def test_a_point_in_the_sky_is_refused():
    pixels = [(100.0, 900.0), (1300.0, 900.0), (900.0, 500.0), (500.0, 500.0)]
    frame = straightened(pixels, [(0, 0), (400, 0), (400, 400), (0, 400)], picking=1.0).frame

    with pytest.raises(OutOfDomain, match="beyond the horizon"):
        frame.at([(700.0, 100.0)])


def test_a_frame_and_its_multiple_are_one():
    frame = straightened(seen_from(0.6, 0.2, 800.0, SHEET), SHEET, picking=1.0).frame

    assert frame.covariance @ frame.matrix.ravel() == approx(np.zeros(9), abs=1e-12)
    twice = Frame(2.0 * frame.matrix, frame.covariance, frame.middle, frame.reach)
    once = Frame(frame.matrix, frame.covariance, frame.middle, frame.reach)
    assert twice.at([(900.0, 800.0)]) == approx(once.at([(900.0, 800.0)]))
