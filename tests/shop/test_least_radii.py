"""Least bend radii: which row of which table, and what is outside of them."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from foldwright.errors import OutOfDomain
from foldwright.shop import boards, matters
from foldwright.shop.least_radii import (
    alloys_and_tempers,
    least_bend_radius,
    outer_strain,
    radius_aa,
    radius_by_reduction,
    radius_din_6935,
    radius_en_485,
)

EUROPEAN = alloys_and_tempers()["EN 485-2"]
AMERICAN = alloys_and_tempers()["AA"]
TURNS = st.floats(0.0, math.pi)


@given(
    thickness=st.floats(0.1, 20.0), tensile=st.floats(200.0, 640.0), turn=TURNS, along=st.booleans()
)
def test_steel_needs_more_radius_when_thicker_stronger_steeper_or_along(
    thickness, tensile, turn, along
):
    least = radius_din_6935(thickness, tensile, turn, along=along)

    assert least.ratio == approx(least.radius / thickness)
    assert radius_din_6935(thickness, tensile).radius <= least.radius
    assert radius_din_6935(min(20.0, 1.2 * thickness), tensile, turn, along=along).radius >= (
        least.radius
    )


@given(
    row=st.sampled_from(EUROPEAN), thickness=st.floats(0.2, 3.0), turn=TURNS, along=st.booleans()
)
def test_european_aluminium_never_needs_less_when_steeper_or_along(row, thickness, turn, along):
    least = radius_en_485(*row, thickness, turn, along=along)

    assert least.ratio >= radius_en_485(*row, thickness).ratio
    assert least.ratio >= radius_en_485(*row, thickness, turn).ratio
    assert radius_en_485(*row, thickness, math.pi, along=along).ratio >= least.ratio
    assert least.radius == approx(least.ratio * thickness)
    assert least.remark or not along


@given(row=st.sampled_from(AMERICAN), inches=st.floats(0.01, 0.0625), along=st.booleans())
def test_american_aluminium_takes_the_thicker_of_two_rows(row, inches, along):
    least = radius_aa(*row, inches * 25.4, along=along)
    thinner = radius_aa(*row, inches * 25.4 * 0.5, along=along)

    assert thinner.ratio <= least.ratio
    assert radius_aa(*row, inches * 25.4).ratio <= least.ratio


def test_along_and_steep_bends_take_two_classes_more():
    """DIN 6935, 390 to 490 MPa: 2 mm 3.0, 3 mm 4.0, 4 mm 5.0."""
    radii = [
        radius_din_6935(2.0, 450.0).radius,
        radius_din_6935(2.0, 450.0, along=True).radius,
        radius_din_6935(2.0, 450.0, math.radians(130.0), along=True).radius,
    ]

    assert radii == [3.0, 4.0, 5.0]


def test_120_degrees_is_not_beyond_120_degrees():
    assert radius_din_6935(2.0, 450.0, math.radians(120.0)).radius == 3.0


def test_between_90_and_180_degrees_both_columns_share():
    """EN 485-2, 5754 H22, 1.5 to 3 mm: 1.5 t and 2.0 t."""
    least = radius_en_485("5754", "H22", 2.0, math.radians(135.0))

    assert least.ratio == approx(1.75)
    assert "in proportion to the turn" in least.remark


def test_what_is_not_of_the_standard_is_said():
    assert "next thicker row" in radius_en_485("6082", "T6", 2.0, along=True).remark
    assert "no radius" in radius_en_485("6082", "T6", 2.0, math.radians(150)).remark
    assert "bend a test strip" in radius_din_6935(19.0, 450.0, along=True).remark
    assert "bend a test strip" in radius_en_485("7075", "T6", 12.0, along=True).remark
    assert "bend a test strip" in radius_aa("3105", "H25", 1.5, along=True).remark


def test_what_was_seen_and_what_is_remembered_is_told_apart():
    assert "seen in a reprint" in radius_en_485("5754", "H22", 1.0).source
    assert "from memory" in radius_en_485("5754", "H22", 5.0).source
    assert "from memory" in radius_en_485("5754", "H22", 2.0, along=True).source
    assert "seen in a reprint" in radius_aa("5052", "H32", 1.0).source
    assert "from memory" in radius_aa("7075", "T6", 1.0).source


def test_a_name_may_carry_its_prefix():
    assert radius_en_485("EN AW-5005A", "H34", 1.0) == radius_en_485("5005", "H24", 1.0)


def test_metal_that_necks_to_half_can_be_folded_flat():
    assert radius_by_reduction(2.0, 50.0) == 0.0
    assert radius_by_reduction(2.0, 70.0) == 0.0


@given(thickness=st.floats(0.1, 10.0), radius=st.floats(0.0, 1000.0))
def test_strain_of_the_outside_is_that_of_two_arcs(thickness, radius):
    """Outside arc over middle arc, less one."""
    middle, outside = radius + thickness / 2.0, radius + thickness

    assert outer_strain(thickness, radius) == approx(outside / middle - 1.0)


def test_a_matter_without_a_table_has_its_one_figure():
    least = least_bend_radius(matters()["stainless-1.4301"], 1.5)

    assert (least.radius, least.ratio) == (1.5, 1.0)
    assert "test strip" in least_bend_radius(matters()["copper-R240"], 1.0, along=True).remark


@pytest.mark.parametrize("name", [n for n, b in boards().items() if "bend" in b.folds])
def test_all_sheet_sold_for_bending_has_a_radius(name):
    for thickness in boards()[name].thicknesses:
        assert 0.0 <= least_bend_radius(boards()[name].face, thickness).ratio <= 10.0


@pytest.mark.parametrize(
    ("ask", "name", "words"),
    [
        (lambda: radius_din_6935(0.0, 300.0), "thickness", "above 0"),
        (lambda: radius_din_6935(math.nan, 300.0), "thickness", "above 0"),
        (lambda: radius_din_6935(21.0, 300.0), "thickness", "thicker than DIN 6935"),
        (lambda: radius_din_6935(1.0, 700.0), "tensile", "stronger than DIN 6935"),
        (lambda: radius_din_6935(1.0, -1.0), "tensile", "above 0"),
        (lambda: radius_din_6935(1.0, 300.0, 4.0), "turn", "0 to 180 deg"),
        (lambda: radius_en_485("5754", "H23", 1.0), "temper", "Did you mean"),
        (lambda: radius_en_485("5755", "H22", 1.0), "alloy", "Did you mean"),
        (lambda: radius_en_485("6082", "T6", 13.0), "thickness", "thicker than EN 485-2"),
        (lambda: radius_aa("5052", "H32", 13.0), "thickness", "thicker than the table"),
        (lambda: radius_aa("9999", "H32", 1.0), "alloy", "no alloy"),
        (lambda: outer_strain(1.0, -0.1), "inside_radius", "at least 0"),
        (lambda: outer_strain(1.0, math.inf), "inside_radius", "at least 0"),
        (lambda: radius_by_reduction(1.0, 0.0), "reduction", "above 0"),
        (lambda: radius_by_reduction(1.0, 120.0), "reduction", "0 to 100 %"),
    ],
)
def test_what_no_table_has_is_refused(ask, name, words):
    with pytest.raises(OutOfDomain, match=words) as refused:
        ask()

    assert refused.value.name == name
