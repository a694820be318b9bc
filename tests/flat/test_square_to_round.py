"""Square to round: true lengths and steps are those of the shape in space."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from foldwright.errors import OutOfDomain
from foldwright.flat.square_to_round import SquareToRound

SIZES = st.floats(10.0, 1000.0)


@given(side=SIZES, diameter=SIZES, height=SIZES, divisions=st.integers(1, 24))
def test_true_lengths_are_those_in_space(side, diameter, height, divisions):
    """From corner to circle and from division to division."""
    shape = SquareToRound(side, diameter, height)
    turns = np.linspace(0.0, math.pi / 2.0, divisions + 1)
    rim = np.column_stack(
        [diameter / 2 * np.cos(turns), diameter / 2 * np.sin(turns), np.full_like(turns, height)]
    )
    corner = np.array([side / 2, side / 2, 0.0])

    assert shape.corner_lengths(turns) == approx(np.linalg.norm(rim - corner, axis=1))
    assert np.linalg.norm(np.diff(rim, axis=0), axis=1) == approx(
        shape.step(math.pi / 2.0 / divisions), rel=1e-6
    )


def test_the_seam_stands_square_on_its_side():
    """Half a side, the seam and the first true length make a right angle."""
    shape = SquareToRound(120.0, 80.0, 60.0)

    assert math.hypot(60.0, shape.seam) == approx(float(shape.corner_lengths(0.0)))


@pytest.mark.parametrize("sizes", [(0, 80, 60), (120, -80, 60), (120, 80, math.nan), (120, 80, 0)])
def test_a_transition_without_a_size_is_refused(sizes):
    with pytest.raises(OutOfDomain, match="above 0"):
        SquareToRound(*sizes)
