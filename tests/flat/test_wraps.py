"""Wraps: points of a cut lie where they should in space, and what cannot be cut is refused."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from foldwright.errors import OutOfDomain
from foldwright.flat.wraps import angled_cut, branch_cut, elbow, saddle_depth, wrap_width

TURNS = np.linspace(0.0, math.tau, 37)
NAN, INF = math.nan, math.inf


@given(radius=st.floats(1.0, 500.0), angle=st.floats(0.0, math.radians(85.0)))
def test_an_angled_cut_is_flat(radius, angle):
    """Wrapped round the tube, its points lie in one plane at that angle."""
    up = angled_cut(radius, angle, TURNS)
    across = radius * np.cos(TURNS)

    assert up == approx(radius * math.tan(angle) - math.tan(angle) * across, abs=1e-9 * radius)
    assert up.min() == approx(0.0, abs=1e-9 * radius)


@given(
    main=st.floats(10.0, 300.0),
    share=st.floats(0.05, 1.0),
    slack=st.floats(-1.0, 1.0),
    angle=st.floats(math.radians(20.0), math.radians(160.0)),
)
def test_a_branch_ends_on_the_main_tube(main, share, slack, angle):
    """Each point, put into space by the axes, is a main radius away from the main axis."""
    branch = main * share
    offset = slack * (main - branch)
    out = branch_cut(main, branch, angle, TURNS, offset=offset)
    y = branch * np.sin(TURNS) + offset
    z = out * math.sin(angle) + branch * np.cos(TURNS) * math.cos(angle)

    assert np.hypot(y, z) == approx(np.full_like(y, main), rel=1e-9)
    assert (z >= -1e-6 * main).all()


def test_a_saddle_is_the_square_branch_measured_from_the_crown():
    square = branch_cut(60.0, 40.0, math.pi / 2.0, TURNS)

    assert saddle_depth(60.0, 40.0, TURNS) == approx(60.0 - square, abs=1e-12)


def test_a_branch_as_wide_as_the_main_tube_is_mitred_on_both_sides():
    """Equal tubes at a right angle meet in two planes at 45 degrees."""
    out = branch_cut(30.0, 30.0, math.pi / 2.0, TURNS)

    assert out == approx(30.0 * np.abs(np.cos(TURNS)), abs=1e-6)


def test_the_mirrored_lean_turns_the_wrap_by_half():
    lean, other = (branch_cut(60.0, 40.0, a, TURNS) for a in (math.pi / 3.0, 2.0 * math.pi / 3.0))

    assert other == approx(branch_cut(60.0, 40.0, math.pi / 3.0, TURNS + math.pi), abs=1e-9)
    assert lean[0] < lean[18]  # shorter on the obtuse side than in the crotch


@given(
    bend=st.floats(0.1, 3.0), segments=st.integers(0, 6), radius=st.floats(5.0, 100.0),
    wide=st.floats(1.0, 5.0),
)  # fmt: skip
def test_segments_of_an_elbow_close_it(bend, segments, radius, wide):
    """Half angles add up to the bend, and the axis is as long as its chords."""
    made = elbow(radius, wide * radius, bend, segments, [0.0, math.pi / 2.0, math.pi])
    half = bend / (2 * (segments + 1))

    assert 2 * (segments + 1) * made.half_angle == approx(bend)
    assert made.ordinates[0] == approx(made.throat, abs=1e-9)
    assert made.ordinates[1] == approx(wide * radius * math.tan(half), rel=1e-9)
    assert made.ordinates[2] == approx(made.back)


def test_a_plain_mitre_is_an_elbow_without_segments():
    made = elbow(20.0, 20.0, math.pi / 2.0, 0, TURNS)

    assert made.throat == 0.0
    assert made.ordinates == approx(angled_cut(20.0, math.pi / 4.0, TURNS))


def test_one_turn_gives_one_number():
    assert float(branch_cut(60.0, 40.0, math.pi / 2.0, 0.0)) == approx(60.0)


@pytest.mark.parametrize(
    ("call", "name"),
    [
        (lambda: wrap_width(0.0), "radius"),
        (lambda: wrap_width(10.0, -0.1), "thickness"),
        (lambda: angled_cut(-1.0, 0.3, 0.0), "radius"),
        (lambda: angled_cut(10.0, math.radians(89.5), 0.0), "angle"),
        (lambda: angled_cut(10.0, NAN, 0.0), "angle"),
        (lambda: angled_cut(10.0, 0.3, [0.0, NAN]), "turns"),
        (lambda: branch_cut(60.0, 61.0, 1.0, 0.0), "branch_radius"),
        (lambda: branch_cut(60.0, 40.0, 1.0, 0.0, offset=-21.0), "offset"),
        (lambda: branch_cut(60.0, 40.0, 0.0, 0.0), "angle"),
        (lambda: branch_cut(INF, 40.0, 1.0, 0.0), "main_radius"),
        (lambda: branch_cut(60.0, 40.0, 1.0, 0.0, offset=NAN), "offset"),
        (lambda: elbow(50.0, 49.0, 1.0, 2, 0.0), "bend_radius"),
        (lambda: elbow(50.0, NAN, 1.0, 2, 0.0), "bend_radius"),
        (lambda: elbow(50.0, 120.0, math.pi, 0, 0.0), "bend_angle"),
        (lambda: elbow(50.0, 120.0, 0.0, 2, 0.0), "bend_angle"),
        (lambda: elbow(50.0, 120.0, 1.0, 1.5, 0.0), "full_segments"),
        (lambda: elbow(50.0, 120.0, 1.0, -1, 0.0), "full_segments"),
    ],
)
def test_what_cannot_be_cut_is_refused(call, name):
    with pytest.raises(OutOfDomain) as refused:
        call()

    assert refused.value.name == name


def test_a_refusal_says_by_how_much():
    with pytest.raises(OutOfDomain, match="1 mm past the side"):
        branch_cut(60.0, 40.0, 1.0, 0.0, offset=21.0)
