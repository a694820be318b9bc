"""Press fits and yielding rings against textbooks.

* R. L. Norton, Machine Design, 4th ed., example of a gear pressed on a shaft, as quoted.
* E. J. Hearn, Mechanics of Materials 2, eqs (3.29) to (3.32): first yield and collapse.
* DIN 7190-1:2017 and Shigley's Mechanical Engineering Design are among the reference cases.
* Second opinion: the yield condition of von Mises integrated through the wall by SciPy.
"""

import math
from itertools import pairwise

import pytest
from pytest import approx
from scipy.integrate import quad, solve_ivp

from foldwright.shop.rings import (
    Elastic,
    din_7190_limits,
    press_fit_pressure,
    ring_stress,
    roughness_loss,
)
from foldwright.shop.yielded_rings import ring_fit, yield_window

INCH, PSI = 25.4, 0.006894757
ALU = Elastic(70_000.0, 0.33)


def test_gear_pressed_on_shaft():
    """Solid steel shaft 0.781 in, iron hub 3 in, 0.0015 in of interference.

    Printed: 15 265 psi. Five figures, so half a unit is 3.3e-5.
    """
    pressure = press_fit_pressure(
        0.0015 * INCH,
        0.781 * INCH,
        3.0 * INCH,
        plug=Elastic(30e6 * PSI, 0.28),
        tube=Elastic(14e6 * PSI, 0.28),
    )

    assert pressure / PSI == approx(15_265, rel=3.3e-5)


def test_first_yield_and_collapse_of_a_thick_cylinder():
    """Hearn: p = Y/2 (1 - (R1/R2)^2) and p = Y ln(R2/R1), written out for 100 to 200 mm, 450 MPa.

    Half-way through, p = Y (ln(Rp/R1) + (1 - (Rp/R2)^2)/2) for Rp = 75.
    """
    window = yield_window(100.0, 200.0, 450.0, plug=ALU, tube=ALU)
    # For one material in both, interference = d Y/E (c/d)^2, here with c/d = 1.5.
    half = ring_fit(100.0 * 450.0 / 70_000.0 * 2.25, 100.0, 200.0, 450.0, plug=ALU, tube=ALU)

    assert window.first_pressure == approx(168.75)
    assert window.through_pressure == approx(450.0 * math.log(2.0))
    assert half.front_d == approx(150.0)
    assert half.pressure == approx(450.0 * (math.log(1.5) + 0.21875))


@pytest.mark.parametrize("ratio", [0.98, 0.92, 0.8, 0.6, 0.5])
def test_full_yield_lies_between_plain_tresca_and_din_7190(ratio):
    """Von Mises with free ends, integrated: d(sigma_r)/dr = (sigma_t - sigma_r)/r.

    Plain Tresca is at most 2/sqrt(3) below; for the walls of tubes by 4 % or less.
    """

    def slope(r, radial):
        hoop = (radial + math.sqrt(4.0 - 3.0 * radial[0] ** 2)) / 2.0
        return (hoop - radial) / r

    mises = -solve_ivp(slope, (1.0, ratio), [0.0], rtol=1e-9, atol=1e-12).y[0, -1]
    tresca = yield_window(ratio * 100.0, 100.0, 1.0, plug=ALU, tube=ALU).through_pressure

    assert tresca <= mises <= din_7190_limits(1.0, ratio)[1]
    if ratio >= 0.9:
        assert mises <= 1.04 * tresca


@pytest.mark.parametrize("share", [0.3, 1.0, 1.1, 1.3, 2.0])
def test_the_hoop_force_in_the_wall_balances_the_pressure(share):
    """Half a ring: hoop stress summed over both walls = p d, however far it yields."""
    d, D, Y = 46.0, 60.0, 185.0
    window = yield_window(d, D, Y, plug=ALU, tube=ALU)
    fit = ring_fit(share * window.first, d, D, Y, plug=ALU, tube=ALU)

    def hoop(x):
        if d < x <= fit.front_d:
            return Y * (1.0 + math.log(x / d)) - fit.pressure
        left = fit.pressure - Y * math.log(fit.front_d / d)
        return ring_stress(left, fit.front_d, D, x)[0]

    parts = [d, *(c for c in [fit.front_d] if d < c < D), D]
    force = sum(quad(hoop, a, b)[0] for a, b in pairwise(parts))

    assert force == approx(fit.pressure * d, rel=1e-6)


def test_first_yield_of_a_thin_tube():
    """50 x 2 in 6060 T66 with its least proof stress, 160 MPa (EN 755-2): d Y/E = 0.105 mm."""
    assert yield_window(46.0, 50.0, 160.0, plug=ALU, tube=ALU).first == approx(46 * 160 / 70e3)


def test_roughness_loss_as_din_7190_has_it():
    """0.8 (Rz_A + Rz_I): 6.3 and 10 micrometres take 13 off."""
    assert roughness_loss(0.0063, 0.010) == approx(0.01304)
