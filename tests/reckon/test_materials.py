"""Reckoners for materials, asked as a maker asks them."""

import pytest
from pytest import approx

from foldwright.reckon.materials import RECKONERS
from foldwright.reckon.reading import ReckonerFaults
from foldwright.reckon.sums import in_words, reckon
from foldwright.shop import boards

BY_NAME = {r.name: r for r in RECKONERS}


def ask(name, **typed):
    return reckon(BY_NAME[name], typed)


def lines(name, **typed):
    return {line.name: line for line in ask(name, **typed).answer.lines}


@pytest.mark.parametrize("name", sorted(BY_NAME))
def test_the_example_is_answered_in_words(name):
    assert "Source:" in in_words(reckon(BY_NAME[name], BY_NAME[name].example))


@pytest.mark.parametrize("name", sorted(boards()))
def test_each_material_shows_all_its_figures_with_spread_and_source(name):
    answer = ask("material", material=name).answer
    shown = {line.name: line for line in answer.lines}
    figure = boards()[name].face.proof

    assert shown["proof"].value == figure.value
    assert shown["proof"].spread == approx(figure.value * figure.spread)
    assert any(figure.source in remark for remark in answer.remarks)
    assert ("core_proof" in shown) == boards()[name].is_skinned


def test_growth_is_shown_as_a_rule_shows_it():
    """23.6e-6 over a metre and 10 K."""
    assert lines("material", material="al-5005-H24")["expansion"].value == approx(0.236)


def test_a_figure_of_ones_own_is_taken():
    shown = lines("material", material="al-6060-T66", **{"material.proof": "190"})

    assert shown["proof"].value == 190.0


@pytest.mark.parametrize(
    ("typed", "radius"),
    [
        ({"material": "al-5754-H22", "thickness": "2"}, 3.0),
        ({"material": "al-5754-H22", "thickness": "2", "angle": "180"}, 4.0),
        ({"material": "steel-S235", "thickness": "2.5", "direction": "along"}, 3.0),
        ({"material": "al-2024-T3", "thickness": "1/16 in"}, 4.0 * 25.4 / 16),
        ({"material": "al-5754-H22", "thickness": "2", "material.bend_radius": "1"}, 2.0),
    ],
)
def test_least_bend_goes_by_the_table_or_by_ones_own_figure(typed, radius):
    shown = lines("least-bend", **typed)

    assert shown["radius"].value == approx(radius)
    assert shown["rod"].value == approx(2.0 * radius)


def test_reduction_of_area_gives_a_second_opinion():
    """R = 1.5 (50/40 - 1)."""
    shown = lines("least-bend", material="steel-DC01", thickness="1.5", reduction="40 %")

    assert shown["by_reduction"].value == approx(0.375)


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"material": "acrylic", "thickness": "3"}, "not bent cold. It is folded over a heated"),
        ({"material": "acp-3-0.3", "thickness": "3"}, "not bent cold. It is folded over a groove"),
        ({"material": "brass-CuZn39Pb3", "thickness": "3"}, "not for folding"),
        ({"material": "al-5754-H22", "thickness": "-1"}, "above 0"),
        ({"material": "al-5754-H22", "thickness": "30"}, "thicker than"),
        ({"material": "al-5754-H22", "thickness": "2", "angle": "200"}, "0 to 180 deg"),
        ({"material": "al-5754-H22", "thickness": "2", "reduction": "40"}, "0 to 100 %"),
    ],
)
def test_least_bend_refuses_what_cannot_be_bent(typed, words):
    with pytest.raises(ReckonerFaults, match=words):
        ask("least-bend", **typed)


def test_heat_movement_of_acrylic_on_steel():
    """(70 - 12)e-6 by 600 mm by 30 K up and 20 K down."""
    shown = lines(
        "heat-movement", first="acrylic", second="steel-DC01", length="600", warmer="30", hole="5.5"
    )

    assert shown["grows_past"].value == approx(1.044)
    assert shown["falls_short"].value == approx(0.696)
    assert shown["slot_length"].value == approx(5.5 + 1.74)
    assert shown["bolt_off"].value == approx((1.044 - 0.696) / 2)
    assert shown["travel"].spread > 0.05


def test_fixed_in_the_middle_each_end_moves_by_half():
    end = lines("heat-movement", first="acrylic", second="steel-DC01", length="600")
    middle = lines(
        "heat-movement", first="acrylic", second="steel-DC01", length="600", fixed="middle"
    )

    assert middle["travel"].value == approx(end["travel"].value / 2)


def test_damp_air_swells_both_sheets_together():
    """Like sheets do not move apart, however the air changes."""
    shown = lines(
        "heat-movement", first="mdf", second="mdf", length="1000",
        first_moisture="3 %", second_moisture="3 %",
    )  # fmt: skip

    assert shown["travel"].value == 0.0


def test_what_is_held_stands_under_stress_and_is_told_when_it_yields():
    typed = {
        "first": "hdpe", "second": "steel-DC01", "length": "1000", "warmer": "60",
        "first_thickness": "1", "second_thickness": "10",
    }  # fmt: skip
    answer = ask("heat-movement", **typed).answer
    shown = {line.name: line.value for line in answer.lines}
    strain = (150e-6 - 12e-6) * 60

    # Steel hardly gives: the plastic takes nearly all of the difference.
    assert shown["first_stress"] == approx(-strain * 950, rel=0.01)
    assert shown["force"] == approx(10 * strain * 950, rel=0.01)
    assert "pressed" in " ".join(answer.remarks)
    hotter = ask("heat-movement", **typed | {"first": "acrylic", "first_moisture": "10 %"}).answer
    assert "yields" in " ".join(hotter.remarks)


def test_moisture_typed_as_per_cent_without_a_sign_is_caught():
    with pytest.raises(ReckonerFaults, match="first_moisture"):
        ask("heat-movement", first="mdf", second="abs", length="500", first_moisture="3")


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"length": "0"}, "above 0"),
        ({"warmer": "-5"}, "at least 0"),
        ({"warmer": "300"}, "-100 to 100 K"),
        ({"hole": "0"}, "above 0"),
        ({"first_thickness": "0", "second_thickness": "1"}, "above 0"),
    ],
)
def test_heat_movement_refuses_what_cannot_be(typed, words):
    with pytest.raises(ReckonerFaults, match=words):
        ask(
            "heat-movement", **{"first": "acrylic", "second": "steel-DC01", "length": "600"} | typed
        )
