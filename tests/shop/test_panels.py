"""Panels, against numerical integration, limits and each other."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from foldwright.errors import OutOfDomain
from foldwright.shop import boards
from foldwright.shop.panels import (
    Panel,
    bending_rigidity,
    core_shear_stress,
    equivalent_modulus,
    face_stress,
    face_yield_moment,
    moment_at_middle,
    moment_spread_out,
    panel_of,
    plate_rigidity,
    sag_at_middle,
    sag_spread_out,
    section_modulus,
    shear_rigidity,
    shear_sag,
    wrinkling_stress,
)

ACP = boards()["acp-3-0.3"]
SHEET = boards()["al-1050A-H14"].of_thickness(2.0)
PANELS = st.builds(
    Panel,
    face=st.floats(0.2, 2.0),
    core=st.floats(1.0, 40.0),
    face_modulus=st.floats(1e3, 2e5),
    core_modulus=st.floats(5.0, 900.0),
    core_shear=st.floats(2.0, 300.0),
)


@given(panel=PANELS)
def test_the_rigidity_is_that_of_its_fibres(panel):
    """E y^2 summed over slices that do not lie across a face."""
    rigidity = 0.0
    half = panel.core / 2.0
    for low, high, stiff in (
        (0.0, half, panel.core_modulus),
        (half, half + panel.face, panel.face_modulus),
    ):
        y = low + (np.arange(20_000) + 0.5) * (high - low) / 20_000
        rigidity += 2.0 * stiff * float(np.sum(y**2)) * (high - low) / 20_000

    assert bending_rigidity(panel, 1.0) == approx(rigidity, rel=1e-6)


@given(panel=PANELS, span=st.floats(50.0, 2000.0), load=st.floats(0.0, 500.0))
def test_a_load_spread_out_sags_less_than_one_at_the_middle(panel, span, load):
    """By 5/8 in bending and by half in shear; both grow with the load alone."""
    middle = sag_at_middle(panel, 100.0, span, load)
    spread = sag_spread_out(panel, 100.0, span, load)

    assert 0.5 * middle <= spread * (1 + 1e-12)
    assert spread <= 0.625 * middle * (1 + 1e-12)
    assert sag_at_middle(panel, 100.0, span, 2.0 * load) == approx(2.0 * middle)


@given(panel=PANELS)
def test_a_panel_with_nothing_in_its_core_is_as_stiff_as_its_equivalent(panel):
    """E_eq h^3/12 is the rigidity of the faces, per width and without the plate's 1 - nu^2."""
    solid = equivalent_modulus(panel) * panel.thickness**3 / 12.0

    assert plate_rigidity(panel, 0.0) == approx(solid)
    core = panel.core_modulus * panel.core**3 / 12.0
    assert bending_rigidity(panel, 1.0) - core == approx(solid)


def test_solid_sheet_is_a_panel_without_a_core():
    """E b h^3/12, 5/6 G b h, sigma b h^2/6, 3 Q/(2 b h): any table of beams."""
    panel = panel_of(SHEET)
    stiff = SHEET.face.modulus.value

    assert bending_rigidity(panel, 50.0) == approx(stiff * 50.0 * 8.0 / 12.0)
    assert shear_rigidity(panel, 50.0) == approx(5.0 / 6.0 * panel.core_shear * 100.0)
    assert face_yield_moment(panel, 100.0) == approx(100.0 * 4.0 / 6.0)
    assert face_stress(panel, 50.0, 1000.0) == approx(6.0 * 1000.0 / (50.0 * 4.0))
    assert core_shear_stress(panel, 50.0, 100.0) == approx(1.5)


def test_the_yield_moment_is_the_section_modulus_times_the_yield():
    """Thin faces: W = t (h - t) is t d."""
    panel = panel_of(ACP)

    assert face_yield_moment(panel, 90.0) == approx(90.0 * section_modulus(panel))


def test_a_short_soft_panel_sags_mostly_by_shear():
    """Bending falls with the cube of the span, shear with the span."""
    panel = Panel(0.5, 20.0, 70_000.0, 10.0, 4.0)
    short, long = (
        shear_sag(panel, 100.0, moment_at_middle(span, 10.0))
        / sag_at_middle(panel, 100.0, span, 10.0)
        for span in (100.0, 5000.0)
    )

    assert short > 0.9
    assert long < 0.1


@given(span=st.floats(10.0, 3000.0), load=st.floats(0.0, 1000.0))
def test_a_load_at_the_middle_bends_twice_as_hard(span, load):
    assert moment_at_middle(span, load) == approx(2.0 * moment_spread_out(span, load))


@given(panel=PANELS, factor=st.floats(0.5, 3.0))
def test_wrinkling_goes_with_the_cube_root(panel, factor):
    """All three moduli times a factor: the stress times it."""
    stiffer = Panel(
        panel.face,
        panel.core,
        factor * panel.face_modulus,
        factor * panel.core_modulus,
        factor * panel.core_shear,
    )

    assert wrinkling_stress(stiffer) == approx(factor * wrinkling_stress(panel))
    assert wrinkling_stress(panel, 0.91) / wrinkling_stress(panel) == approx(0.91 / 0.5)


@pytest.mark.parametrize(
    ("call", "name"),
    [
        (lambda: Panel(0.0, 3.0, 7e4, 200.0, 70.0), "face"),
        (lambda: Panel(0.5, -1.0, 7e4, 200.0, 70.0), "core"),
        (lambda: Panel(0.5, 3.0, math.nan, 200.0, 70.0), "face_modulus"),
        (lambda: Panel(0.5, 3.0, 7e4, 200.0, 0.0), "core_shear"),
        (lambda: panel_of(boards()["al-1050A-H14"]), "thickness"),
        (lambda: panel_of(ACP.of_thickness(0.5)), "thickness"),
        (lambda: plate_rigidity(panel_of(ACP), 0.6), "poisson"),
        (lambda: bending_rigidity(panel_of(ACP), 0.0), "width"),
        (lambda: sag_at_middle(panel_of(ACP), 100.0, 0.0, 1.0), "span"),
        (lambda: sag_spread_out(panel_of(ACP), 100.0, 300.0, -1.0), "load"),
        (lambda: face_stress(panel_of(ACP), 100.0, math.inf), "moment"),
        (lambda: core_shear_stress(panel_of(ACP), 100.0, -5.0), "shear"),
        (lambda: face_yield_moment(panel_of(ACP), 0.0), "face_yield"),
        (lambda: wrinkling_stress(panel_of(SHEET)), "board"),
        (lambda: wrinkling_stress(panel_of(ACP), 0.0), "coefficient"),
    ],
)
def test_what_is_no_panel_is_refused(call, name):
    """The refusal names the argument."""
    with pytest.raises(OutOfDomain) as refused:
        call()

    assert refused.value.name == name
