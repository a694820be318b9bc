"""Profiles with rounds and rises: unrolled, cut, and rolled up again."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

import zoo
from folding import GOAL, document_of
from foldwright.errors import CannotMake
from foldwright.flat import pattern_of
from foldwright.plan import SeamWish
from foldwright.shape import solid
from foldwright.shop import boards
from oracle.refolder import judge, outline_area

SQUARE = [(0, 0), (200, 0), (200, 120), (0, 120)]
PARTS = {
    "one round": {"rounds": (0, 40, 0, 0)},
    "open ends": {"rounds": (30, 40, 30, 50), "leave_open": ("front", "back")},
    "all rounds": {"rounds": (30, 40, 30, 50)},
    "rise": {"rises": (0, 0, 15, 0)},
    "rise in": {"rises": (0, 0, -15, 0)},
    "lap": {"rounds": (0, 40, 0, 30), "seam": SeamWish("lap")},
    "butt": {"rounds": (0, 40, 0, 30), "seam": SeamWish("butt")},
    "re-entrant round": {"corners": zoo.L_CORNERS, "rounds": (0, 0, 0, 30, 0, 20)},
}


def rolled(corners=SQUARE, rounds=(), rises=(), **more):
    """A profile with outside radii at its corners, or sides that bow."""

    def lengths(values):
        return tuple(zoo.length(value) if value else None for value in values)

    return zoo.profile(corners, rounds=lengths(rounds), rises=lengths(rises), **more)


@pytest.mark.parametrize("name", PARTS)
def test_a_profile_with_arcs_rolls_up_to_what_was_asked(name):
    """Judged by the refolder that shares no code with the program."""
    verdict = judge(document_of(rolled(**PARTS[name])))

    assert verdict.deviation < GOAL, verdict.worst


@given(radius=st.floats(10.0, 55.0), rise=st.floats(-12.0, 25.0), depth=st.floats(40.0, 400.0))
def test_any_round_and_rise_rolls_up(radius, rise, depth):
    """One corner rounded off, the side across from it bowed."""
    part = rolled(rounds=(0, round(radius, 3), 0, 0), rises=(0, 0, 0, round(rise, 3)), depth=depth)
    verdict = judge(document_of(part))

    assert verdict.deviation < GOAL, verdict.worst


def test_a_round_is_as_long_as_its_neutral_line():
    """(R - t/2) pi/2 for a right angle; bowed in, (R + t/2)."""
    pieces = pattern_of(rolled(rounds=(0, 40, 0, 0)), zoo.BOARD, zoo.CUTTERS).pieces
    (curl,) = [curved for piece in pieces for curved in piece.curved]
    wide = np.ptp([p[0] for p in curl.flat])

    assert wide == approx((40.0 - 1.5) * math.pi / 2.0, rel=1e-9)


def test_the_blank_of_a_rounded_sleeve_is_as_long_as_its_middle():
    """Perimeter of the middle of the board, exactly: no folds, four quarter rounds."""
    part = rolled(rounds=(30, 40, 30, 50), leave_open=("front", "back"))
    (piece,) = pattern_of(part, zoo.BOARD, zoo.CUTTERS).pieces
    straight = 2 * (200.0 + 120.0) - 2 * (30 + 40 + 30 + 50)
    round_ = math.pi / 2.0 * (30 + 40 + 30 + 50 - 4 * 1.5)
    (area,) = [outline_area(p["outline"]) for p in document_of(part)["pieces"]]

    assert not piece.folds
    assert area == approx(220.0 * (straight + round_), rel=1e-9)


def test_an_end_keeps_its_arcs():
    """A true arc of the radius asked for, about one centre, in the outline and on its seam."""
    part = rolled(rounds=(0, 40, 0, 0))
    pieces = pattern_of(part, zoo.BOARD, zoo.CUTTERS).pieces
    arcs = [step for piece in pieces for step in piece.outline if step.centre]
    seams = [seam for piece in pieces for seam in piece.seams if seam.centre]

    assert len(arcs) == len(seams) == 2  # front and back
    for step in arcs:
        assert math.dist(step.to, step.centre) == approx(40.0, abs=1e-9)
    for seam in seams:
        assert math.dist(seam.a, seam.centre) == approx(40.0, abs=1e-9)
        # Beside a fold an arc starts on a ledge, never more than a few degrees late.
        assert math.dist(seam.a, seam.b) > 40.0 * math.sqrt(2.0) - 12.0


def test_curls_of_one_piece_lie_the_same_way():
    """The open format has their axis along y."""
    part = rolled(rounds=(0, 40, 0, 30))
    body = solid(part)
    for piece in pattern_of(part, zoo.BOARD, zoo.CUTTERS).pieces:
        for curl in piece.curved:
            assert abs(np.dot(curl.axis, body.face(curl.face).cylinder.axis)) == approx(1.0)
            ys = sorted({round(p[1], 6) for p in curl.flat})
            assert len(ys) == 2


def test_a_round_too_tight_to_curl_names_the_least_radius():
    """t/2 over the strain that the skin takes, from the middle of the board."""
    sheet = boards()["al-5005-H24"].of_thickness(3.0)
    with pytest.raises(CannotMake, match=r"curls to 6\.0 mm at the least"):
        pattern_of(rolled(rounds=(0, 5.0, 0, 0)), sheet, ())
