import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from foldwright.errors import OutOfDomain
from foldwright.shop.finishes import (
    LOSSES,
    build_of,
    coat_mass,
    coated_area,
    covers,
    paint_for,
    tins,
    wet_film,
)


def test_a_litre_covers_ten_times_solids_over_micrometres():
    """The trade's rule, 10 x solids in per cent / dry film in micrometres: 10 x 45 / 50."""
    assert covers(0.050, 0.45) == approx(9.0)


@given(st.floats(0.1, 100.0), st.floats(0.01, 1.0), st.floats(0.1, 1.0), st.floats(0.0, 0.9))
def test_what_is_bought_leaves_the_solids_on_the_part(area, dry, solids, loss):
    litres = paint_for(area, dry, solids, loss)
    on_the_part = litres * 1e6 * (1.0 - loss) * solids  # mm3

    assert on_the_part == approx(area * 1e6 * dry)


def test_layers_add_and_stray_apart():
    build = build_of([0.03, 0.04], spread=0.2)

    assert build.thickness == approx(0.07)
    assert build.spread == approx(0.2 * 0.05)
    assert build_of([]).thickness == build_of([]).spread == 0.0


def test_thinner_makes_the_wet_film_thicker_and_no_more_dry():
    assert wet_film(0.05, 0.5) == approx(0.1)
    assert wet_film(0.05, 0.5, 0.2) == approx(0.12)


def test_glue_lands_are_not_coated():
    assert coated_area(1e6, [(400.0, 20.0), (300.0, 20.0)]) == approx(986_000.0)
    with pytest.raises(OutOfDomain, match="more than the face") as caught:
        coated_area(1000.0, [(400.0, 20.0)])
    assert caught.value.name == "lands"


@pytest.mark.parametrize(("amount", "of", "number"), [(0.9, 0.3, 3), (0.91, 0.3, 4), (0.1, 1.0, 1)])
def test_tins_are_whole(amount, of, number):
    assert tins(amount, of) == number


def test_nothing_to_coat_takes_no_tin():
    assert tins(paint_for(0.0, 0.05, 0.4, 0.1), 1.0) == 0


def test_a_dry_coat_weighs_its_volume():
    """1 m2 of 0.1 mm at 1500 kg/m3 is 0.15 kg."""
    assert coat_mass(1.0, 0.1, 1500.0) == approx(0.15)


def test_every_way_of_laying_paint_loses_some():
    assert all(0.0 < loss < 0.95 for loss in LOSSES.values())


@pytest.mark.parametrize(
    ("arguments", "name"),
    [
        ((-1.0, 0.05, 0.4, 0.1), "area"),
        ((1.0, 0.0, 0.4, 0.1), "layers"),
        ((1.0, 0.05, 0.0, 0.1), "solids"),
        ((1.0, 0.05, 45.0, 0.1), "solids"),
        ((1.0, 0.05, 0.4, 1.0), "loss"),
        ((math.nan, 0.05, 0.4, 0.1), "area"),
        ((1.0, math.nan, 0.4, 0.1), "layers"),
    ],
)
def test_paint_of_nonsense_is_refused_by_name(arguments, name):
    with pytest.raises(OutOfDomain) as caught:
        paint_for(*arguments)

    assert caught.value.name == name


@pytest.mark.parametrize("layers", [[0.0], [-0.1], [math.nan], [5.0]])
def test_a_layer_that_is_no_paint_is_refused(layers):
    with pytest.raises(OutOfDomain) as caught:
        build_of(layers)

    assert caught.value.name == "layers"
