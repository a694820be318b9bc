import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from foldwright.errors import OutOfDomain
from foldwright.shop import matters
from foldwright.shop.rivets import (
    bearing_load,
    rivet_for,
    rivet_length,
    rivet_of,
    rivet_rule,
    riveted_row,
    rivets,
)

SHEET = matters()["al-5005-H24"]


def test_the_rules_of_the_trade():
    """Edge 2 D, pitch 3 D at least, usually up to 8 D: navy manual on sheet metal."""
    rule = rivet_rule(3.2)

    assert (rule.edge, rule.least_pitch, rule.largest_pitch) == approx((6.4, 9.6, 25.6))


@pytest.mark.parametrize(
    ("diameter", "grip", "length"),
    [(4.0, 6.0, 10), (2.4, 4.0, 9), (3.0, 0.8, 5), (4.8, 22.0, 30), (6.0, 5.0, 12)],
)
def test_bodies_grip_what_iso_15981_says(diameter, grip, length):
    """Table 1 of ISO 15981:2002, as read in a reprint."""
    assert rivet_length(rivet_of(diameter), grip) == length


def test_every_hole_is_a_tenth_over_its_rivet_and_stronger_rivets_are_thicker():
    """Application data of ISO 15977 and ISO 15981."""
    for rivet in rivets():
        assert rivet.hole == approx(rivet.diameter + 0.1)
    shears = [rivet.shear for rivet in rivets()]
    assert shears == sorted(shears)


def test_grips_of_a_rivet_leave_no_gap_between_lengths():
    for rivet in rivets():
        last = 0.0
        for tenth in range(15, 120):
            try:
                length = rivet_length(rivet, tenth / 10.0)
            except OutOfDomain:
                continue
            assert length >= last
            last = length
        assert last > 0.0


def test_thin_sheet_tilts_a_rivet_and_thick_sheet_bears_on_it():
    """EN 1999-1-4 Table 8.1, value from memory: 2.5 sqrt(t^3 d) Rm, at most 1.5 t d Rm."""
    assert bearing_load(4.0, 0.5, 200.0) == approx(2.5 * math.sqrt(0.5**3 * 4.0) * 200.0)
    assert bearing_load(4.0, 3.0, 200.0) == approx(1.5 * 3.0 * 4.0 * 200.0)


@given(
    st.sampled_from([r.diameter for r in rivets() if r.diameter < 5.5]),
    st.floats(60.0, 3000.0),
    st.floats(3.0, 12.0),
)
def test_a_row_fills_its_seam_evenly_within_the_rules(diameter, length, pitch):
    rivet = rivet_of(diameter)
    row = riveted_row(rivet, 1.0, 2.5, length, SHEET, pitch * diameter)

    assert (row.count - 1) * row.pitch + 2.0 * row.ends == approx(length)
    assert row.pitch >= rivet_rule(diameter).least_pitch - 1e-6
    assert row.count >= 2
    assert row.holds == min(row.rivets_shear, row.holes_tear, row.sheet_tears) > 0.0


def test_a_row_is_as_close_as_wished_where_the_rules_let_it():
    row = riveted_row(rivet_of(3.0), 1.0, 2.0, 300.0, SHEET, 20.0)

    assert row.pitch <= 20.0
    assert (row.count - 2) * 20.0 < 300.0 - 12.0


def test_thick_sheet_wants_a_thick_rivet():
    assert rivet_for(0.8).diameter == 2.4
    assert rivet_for(1.2).diameter == 4.0
    assert rivet_for(5.0).diameter == 6.4


@pytest.mark.parametrize(
    ("arguments", "name"),
    [
        ((1.0, 1.0, 300.0), "grip"),
        ((1.0, 40.0, 300.0), "grip"),
        ((0.0, 2.0, 300.0), "sheet"),
        ((math.nan, 2.0, 300.0), "sheet"),
        ((1.0, 2.0, 15.0), "length"),
        ((1.0, 2.0, math.inf), "length"),
        ((1.0, 2.0, 300.0, 5.0), "pitch"),
    ],
)
def test_a_row_of_nonsense_is_refused_by_name(arguments, name):
    thinner, grip, length, *pitch = arguments
    with pytest.raises(OutOfDomain) as caught:
        riveted_row(rivet_of(3.0), thinner, grip, length, SHEET, *pitch)

    assert caught.value.name == name


def test_a_rivet_that_nobody_sells_is_refused():
    with pytest.raises(OutOfDomain, match="No blind rivet is 3.3 mm"):
        rivet_of(3.3)
