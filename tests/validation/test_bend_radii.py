"""Least bend radii and the strain of a bend.

EN 485-2, tables of mechanical properties, column bend radius 90 degrees, as
reprinted per alloy by a stockist: EN AW-5005 H14, 1.5 to 3 mm, 1.0 t. For
EN AW-5005 H24, 0.5 to 1.5 mm, 1.0 t is from memory, unchecked.

Strain of the outer fibre, ``e = 1/(2 R/T + 1)``: S. Kalpakjian and S. R. Schmid,
Manufacturing Engineering and Technology, chapter on sheet metal (edition and
page from memory, unchecked). It takes the neutral line in the middle.
"""

import math

import pytest
from pytest import approx

from foldwright.errors import OutOfDomain
from foldwright.shop import FoldRequest, boards, choose_section


def test_skins_take_what_5005_takes():
    """1.0 t, printed to 0.5 t; the table's number is used as it is."""
    assert boards()["acp-3-0.3"].face.bend_radius.value == approx(1.0)


def test_sheet_5005_h24_takes_its_own_thickness():
    """1.0 t from memory: a tighter bend is refused, that one is made."""
    sheet = boards()["al-5005-H24"].of_thickness(1.5)
    fold = choose_section(sheet, math.pi / 2, FoldRequest(method="bend", radius=1.5), ())

    assert fold.inner_radius == 1.5
    with pytest.raises(OutOfDomain, match="Use at least 1"):
        choose_section(sheet, math.pi / 2, FoldRequest(method="bend", radius=1.45), ())


@pytest.mark.parametrize(("ratio", "strain"), [(1.0, 1 / 3), (2.0, 0.2), (4.5, 0.1), (49.5, 0.01)])
def test_strain_of_the_outer_fibre(ratio, strain):
    """R/T against e, exact by the printed formula."""
    sheet = boards()["al-5005-H24"].of_thickness(2.0)
    request = FoldRequest(method="bend", radius=2.0 * ratio)
    fold = choose_section(sheet, math.radians(60), request, ())

    assert fold.strain == approx(strain, rel=1e-12)


def test_strain_that_a_material_takes():
    """At its least radius, 1 t, aluminium 5005 is strained by a third."""
    assert boards()["al-5005-H24"].face.bend_strain == approx(1 / 3, rel=1e-12)
