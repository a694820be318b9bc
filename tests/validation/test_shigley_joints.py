"""Bolted and glued joints against a textbook on machine design.

R. G. Budynas and J. K. Nisbett, Shigley's Mechanical Engineering Design, 9th ed.,
McGraw-Hill 2011.

Examples 8-3 and 8-7 (moment and radius) and Table 8-14 were read; the torque of Example 8-3,
the forces and stresses of Example 8-7, Table 8-15 and the answer of Example 9-7 are from
memory, unchecked.
"""

import math

import pytest
from pytest import approx

from foldwright.shop.bolt_groups import bearing_stress, bolt_group, shear_stress
from foldwright.shop.glue import double_lap
from foldwright.shop.preload import (
    TORQUE_FACTORS,
    loaded_bolt,
    mean_and_scatter,
    preload_by_torque,
    tightening_torque,
)

INCH = 25.4
POUND = 4.4482216152605
PSI = POUND / INCH**2
FAHRENHEIT = 5.0 / 9.0


def test_example_8_3_bolt_under_preload_and_load():
    """3/4 in bolt, 25 kip preload, 6 kip load: 67.02 and 72.17 kpsi, C = 0.32."""
    loaded = loaded_bolt(0.373 * INCH**2, 25e3 * POUND, 6e3 * POUND, 6.5, 13.8)

    assert loaded.stiffness_constant == approx(0.320, abs=0.0005)
    assert loaded.preload_stress / PSI == approx(67.02e3, abs=5.0)
    # printed with C rounded to 0.320, worth 2 psi, and itself to 10 psi
    assert loaded.service_stress / PSI == approx(72.17e3, abs=8.0)


def test_example_8_3_torque():
    """0.2 x 25 000 lbf x 0.75 in = 3750 lbf in."""
    torque = tightening_torque(0.75 * INCH, 25e3 * POUND, 0.2)

    assert torque / (POUND * INCH) == approx(3750.0, rel=1e-9)
    assert preload_by_torque(0.75 * INCH, torque, 0.2) == approx(25e3 * POUND)


def test_table_8_14_ten_lubricated_bolts():
    """Mean 34.18 kN, standard deviation 2.88 kN at 90 N m."""
    mean, scatter = mean_and_scatter([30.3, 32.5, 32.5, 32.9, 32.9, 33.8, 34.3, 34.7, 37.4, 40.5])

    assert mean == approx(34.18, abs=0.005)
    assert scatter == approx(2.88, abs=0.005)


def test_table_8_15_torque_factors():
    assert TORQUE_FACTORS == {
        "black": 0.30, "zinc plated": 0.20, "oiled": 0.18, "cadmium plated": 0.16,
    }  # fmt: skip


def test_example_8_7_bracket_with_four_bolts():
    """16 kN at 425 mm from the middle of 150 by 120: r 96.0, F' 4, F'' 17.7, 21.0 and 14.8 kN.

    Shear on the bolt 146 MPa over 144 mm2, bearing 131 MPa on a 10 mm channel; three figures.
    """
    corners = [(-75, -60), (75, -60), (75, 60), (-75, 60)]
    group = bolt_group(corners, 16e3, (-425.0, 0.0))

    assert group.distances == approx([96.0] * 4, abs=0.06)
    assert abs(group.moment) == approx(6.8e6)
    assert group.primary == approx(4000.0)
    assert group.secondary == approx([17.7e3] * 4, rel=0.003)
    assert max(group.resultants) == approx(21.0e3, rel=0.003)
    assert min(group.resultants) == approx(14.8e3, rel=0.003)
    assert shear_stress(group.largest, 144.0) == approx(146.0, abs=0.6)
    assert bearing_stress(group.largest, 16.0, 10.0) == approx(131.0, abs=0.6)


def test_example_9_7_double_lap_cooled():
    """Steel between aluminium, 2000 lbf, cooled by 130 F: 4390 psi at the worse end."""
    lap = double_lap(
        2000.0 * POUND / INCH,
        INCH,
        10e6 * PSI * 0.15 * INCH,
        30e6 * PSI * 0.10 * INCH,
        0.2e6 * PSI,
        0.020 * INCH,
        outer_expansion=13.3e-6 / FAHRENHEIT,
        inner_expansion=6.0e-6 / FAHRENHEIT,
        warming=-130.0 * FAHRENHEIT,
    )

    assert lap.rise * INCH == approx(3.65, abs=0.005)
    assert lap.largest / PSI == approx(4390.0, abs=5.0)


def test_example_9_7_load_and_heat_by_the_books_own_sum():
    """Eq. (9-7) at x = +- l / 2, written out here from the book; unlike sheets, cold and heat."""
    load, length, g, h = 100.0, 30.0, 300.0, 0.3
    outer, inner, a_outer, a_inner, warming = 70e3, 9e3, 23e-6, 70e-6, -25.0
    omega = math.sqrt(g / h * (1 / outer + 2 / inner))
    first = load * omega / (4 * math.sinh(omega * length / 2))
    second = (
        load * omega / (4 * math.cosh(omega * length / 2))
        * (2 * outer - inner) / (2 * outer + inner)
        + (a_inner - a_outer) * warming * omega
        / ((1 / outer + 2 / inner) * math.cosh(omega * length / 2))
    )  # fmt: skip
    along = [
        first * math.cosh(omega * x) + second * math.sinh(omega * x)
        for x in (-length / 2, length / 2)
    ]
    lap = double_lap(
        load, length, outer, inner, g, h,
        outer_expansion=a_outer, inner_expansion=a_inner, warming=warming,
    )  # fmt: skip

    assert lap.largest == approx(max(map(abs, along)), rel=1e-12)


@pytest.mark.parametrize("warming", [-20.0, 20.0])
def test_heat_and_cold_shear_alike_without_load(warming):
    lap = double_lap(
        0.0, 40.0, 70e3, 9e3, 300.0, 0.3,
        outer_expansion=23e-6, inner_expansion=70e-6, warming=warming,
    )  # fmt: skip

    assert lap.largest == approx(abs(lap.thermal_end))
    assert lap.load_end == lap.load_centre == 0.0
