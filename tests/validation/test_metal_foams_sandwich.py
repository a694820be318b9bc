"""Skinned board as a beam, against M. F. Ashby et al., Metal Foams: A Design Guide, ch. 10.

Equations (10.1) to (10.7), after H. G. Allen 1969. The book prints the equations;
the numbers were evaluated from them apart from this program.
"""

import pytest
from pytest import approx

from foldwright.shop.panels import (
    Panel,
    bending_rigidity,
    face_stress,
    face_yield_moment,
    moment_at_middle,
    sag_at_middle,
    shear_rigidity,
)


@pytest.mark.parametrize(
    ("panel", "width", "span", "load", "printed"),
    [
        (
            Panel(0.5, 3.0, 70_000.0, 200.0, 70.0),
            100.0,
            300.0,
            20.0,
            (21_628_333.33, 28_583.33333, 0.5726291706, 9.709486014),
        ),
        (
            Panel(1.0, 20.0, 70_000.0, 80.0, 31.0),
            200.0,
            1000.0,
            200.0,
            (3.1e9, 136_710.0, 1.709823714, 12.41935484),
        ),
    ],
)
def test_three_point_bending(panel, width, span, load, printed):
    """EI, AG, deflection and largest stress; ten figures, so half a unit is 5e-10."""
    rigidity, shear, sag, stress = printed

    assert bending_rigidity(panel, width) == approx(rigidity, rel=5e-10)
    assert shear_rigidity(panel, width) == approx(shear, rel=5e-10)
    assert sag_at_middle(panel, width, span, load) == approx(sag, rel=5e-10)
    moment = moment_at_middle(span, load)
    assert face_stress(panel, width, moment) == approx(stress, rel=5e-10)


def test_face_yield():
    """sigma_y t d = 90 0.5 3.5."""
    assert face_yield_moment(Panel(0.5, 3.0, 70_000.0, 200.0, 70.0), 90.0) == approx(157.5)
