"""Mass of aluminium composite panel against a maker's data sheet (brand withheld).

Skins 0.5 mm; printed 4.5 kg/m2 for 3 mm and 5.5 kg/m2 for 4 mm panel.
"""

import pytest
from pytest import approx

from foldwright.shop import boards


@pytest.mark.parametrize(("name", "mass"), [("acp-3-0.5", 4.5), ("acp-4-0.5", 5.5)])
def test_mass_of_a_square_metre(name, mass):
    """Printed to 0.1 kg, so half a unit is 0.05."""
    assert boards()[name].areal_mass == approx(mass, abs=0.05)
