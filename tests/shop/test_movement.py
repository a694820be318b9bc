"""Movement with heat and moisture."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from foldwright.errors import OutOfDomain
from foldwright.shop import boards
from foldwright.shop.movement import (
    Change,
    bow,
    expansion,
    growth,
    held,
    moves_apart,
    slot,
    stretch_stiffness,
    swelling,
)

STEEL = boards()["steel-DC01"].of_thickness(1.0)
ACRYLIC = boards()["acrylic"].of_thickness(3.0)
PLY = boards()["birch-ply"].of_thickness(6.0)
PANEL = boards()["acp-3-0.5"]
ANY = st.sampled_from([STEEL, ACRYLIC, PLY, PANEL, boards()["mdf"].of_thickness(3.0)])
HEATS = st.floats(-80.0, 80.0)


def test_a_metre_of_steel_grows_12_micrometres_a_kelvin():
    assert growth(STEEL, 1000.0, Change(heat=1.0)) == approx(0.012)


def test_wood_moves_with_the_air_more_than_with_heat():
    """3 per cent of moisture against 20 K."""
    assert growth(PLY, 1000.0, Change(moisture=3.0)) > 3 * growth(PLY, 1000.0, Change(heat=20.0))


def test_skins_keep_their_core_from_growing():
    alone = PANEL.face.expansion.value

    assert alone < expansion(PANEL) < 1.1 * alone
    assert PANEL.core.expansion.value > 5 * alone
    assert swelling(PANEL) == 0.0


@given(first=ANY, second=ANY, length=st.floats(0.0, 3000.0), heat=HEATS, wet=st.floats(-6.0, 6.0))
def test_moving_apart_changes_sign_with_the_order_and_adds_up_over_the_length(
    first, second, length, heat, wet
):
    change = Change(heat, wet)
    apart = moves_apart(first, second, length, change)

    assert moves_apart(second, first, length, change) == approx(-apart, abs=1e-12)
    assert moves_apart(first, second, 2.0 * length, change) == approx(2.0 * apart, abs=1e-12)
    assert moves_apart(first, first, length, change) == 0.0


@given(first=ANY, second=ANY, e=st.floats(-0.003, 0.003))
def test_held_sheets_balance_and_end_at_one_length(first, second, e):
    """The forces are equal and opposite, and the strains make up the difference."""
    stiff = held(first, second, e)
    strains = stiff.first / first.face.modulus.value, stiff.second / second.face.modulus.value

    assert strains[1] - strains[0] == approx(e, abs=1e-15)
    assert stretch_stiffness(first) * strains[0] == approx(stiff.force, abs=1e-9)
    assert stretch_stiffness(second) * strains[1] == approx(-stiff.force, abs=1e-9)


@given(least=st.floats(-5.0, 0.0), most=st.floats(0.0, 5.0), hole=st.floats(1.0, 20.0))
def test_a_bolt_just_reaches_both_ends_of_its_slot(least, most, hole):
    """The slot goes out with the sheet by `most`, and in by ``-least``."""
    made = slot(hole, least, most)
    free = (made.length - made.width) / 2.0

    assert made.off_middle - most == approx(-free)
    assert made.off_middle - least == approx(free)


@given(e=st.floats(-0.002, 0.002), length=st.floats(10.0, 1000.0))
def test_the_bow_is_the_same_seen_from_either_side(e, length):
    """Swap the two and the difference of their strains changes sign, and so does the bow."""
    assert bow(STEEL, ACRYLIC, length, e) == approx(-bow(ACRYLIC, STEEL, length, -e), abs=1e-12)


def test_sheets_that_grow_alike_do_not_bow():
    assert bow(STEEL, ACRYLIC, 500.0, 0.0) == 0.0


@pytest.mark.parametrize(
    ("ask", "name", "words"),
    [
        (lambda: growth(STEEL, -1.0, Change()), "length", "at least 0"),
        (lambda: growth(STEEL, math.nan, Change()), "length", "at least 0"),
        (lambda: growth(STEEL, 1.0, Change(heat=150.0)), "heat", "-100 to 100 K"),
        (lambda: growth(PLY, 1.0, Change(moisture=40.0)), "moisture", "-30 to 30 %"),
        (lambda: stretch_stiffness(boards()["acrylic"]), "thickness", "above 0"),
        (lambda: held(STEEL, boards()["acrylic"], 0.001), "thickness", "above 0"),
        (lambda: slot(0.0, -1.0, 1.0), "hole", "above 0"),
        (lambda: slot(5.0, 0.5, 1.0), "least", "has to be"),
        (lambda: slot(5.0, -0.5, -0.1), "most", "at least 0"),
        (lambda: bow(PANEL, STEEL, 100.0, 0.001), "board", "Give solid sheet"),
        (lambda: bow(STEEL, ACRYLIC, -1.0, 0.001), "length", "at least 0"),
    ],
)
def test_what_cannot_be_is_refused(ask, name, words):
    with pytest.raises(OutOfDomain, match=words) as refused:
        ask()

    assert refused.value.name == name
