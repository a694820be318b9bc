"""Two layers that grow unalike.

S. Timoshenko, Analysis of bi-metal thermostats, J. Opt. Soc. Am. 11 (1925),
pp. 233-255. Values from memory, unchecked: for layers of one thickness and one
modulus the paper prints the curvature 3/2 of the difference of strains over the
whole thickness, eq. (5) there; and it remarks that the ratio of the moduli
matters little, about 3 in 100 for moduli of 1 to 2.
"""

from dataclasses import replace

from pytest import approx

from foldwright.shop import Figure, boards
from foldwright.shop.movement import bow

LENGTH, STRAIN = 400.0, 0.001


def strip(thickness, modulus):
    sheet = boards()["steel-DC01"].of_thickness(thickness)
    return replace(
        sheet, face=replace(sheet.face, modulus=Figure(modulus, 0.0, "for this test only"))
    )


def curvature(first, second):
    return 8.0 * bow(first, second, LENGTH, STRAIN) / LENGTH**2


def test_like_layers_curve_by_three_halves():
    """Exact."""
    layer = strip(1.5, 200e3)

    assert curvature(layer, layer) == approx(1.5 * STRAIN / 3.0, rel=1e-12)


def test_the_ratio_of_the_moduli_matters_little():
    """n = 2 in place of 1 lowers the curvature by about 3 in 100, printed to one figure."""
    like = curvature(strip(1.0, 100e3), strip(1.0, 100e3))
    unlike = curvature(strip(1.0, 200e3), strip(1.0, 100e3))

    assert unlike / like == approx(0.97, abs=0.005)


def test_a_thin_coat_on_thick_sheet_curves_it_by_the_force_of_the_coat():
    """Curvature goes to 6 e n t / h^2 (G. G. Stoney, Proc. R. Soc. A 82, 1909, p. 172)."""
    coat, sheet = strip(1e-3, 70e3), strip(2.0, 210e3)

    assert curvature(coat, sheet) == approx(6 * STRAIN * (70 / 210) * 1e-3 / 4.0, rel=0.01)
