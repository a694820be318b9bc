"""Least bend radii against printed tables and an example.

DIN 6935: an English leaflet on cold bending by DIN 6935 gives sheet of QSt 42-2
(420 MPa), 6 mm, bent across the rolling direction: 10 mm up to 120 degrees,
12 mm beyond.

Aluminum Association, Aluminum Design Manual (January 2005), part VII, Table
3-1, as reprinted; the rows of 1100, 5052 and 6061 also in a second reprint.
Printed in halves of the thickness.

EN 485-2, column bend radius of 90 degrees, as reprinted per alloy by a
stockist; and from memory, unchecked, where said.
"""

import math

import pytest

from foldwright.shop.least_radii import radius_aa, radius_din_6935, radius_en_485

COLUMNS = [1 / 64, 1 / 32, 1 / 16, 1 / 8, 3 / 16, 1 / 4, 3 / 8, 1 / 2]  # in
INCH = 25.4


@pytest.mark.parametrize(("degrees", "radius"), [(90.0, 10.0), (120.0, 10.0), (121.0, 12.0)])
def test_example_of_din_6935(degrees, radius):
    assert radius_din_6935(6.0, 420.0, math.radians(degrees)).radius == radius


@pytest.mark.parametrize(
    ("alloy", "temper", "printed"),
    [
        ("1100", "H14", [0, 0, 0, 1, 1, 1.5, 2, 2.5]),
        ("2014", "T6", [3, 4, 4, 5, 6, 8, 8.5, 9.5]),
        ("2024", "T3", [2.5, 3, 4, 5, 5, 6, 7, 7.5]),
        ("3003", "H16", [0.5, 1, 1, 1.5, 2.5, 3, 3.5, 4]),
        ("3004", "H34", [0, 1, 1, 1.5, 1.5, 2.5, 2.5, 3]),
        ("5005", "H34", [0, 0, 0, 1, 1.5, 1.5, 2, 2.5]),
        ("5052", "H32", [0, 0, 1, 1.5, 1.5, 1.5, 1.5, 2]),
        ("5052", "H34", [0, 1, 1.5, 2, 2, 2.5, 2.5, 3]),
        ("6061", "T4", [0, 0, 1, 1.5, 2.5, 3, 3.5, 4]),
        ("6061", "T6", [1, 1, 1.5, 2.5, 3, 3.5, 4.5, 5]),
    ],
)
def test_rows_of_the_aluminum_association(alloy, temper, printed):
    assert [radius_aa(alloy, temper, inches * INCH).ratio for inches in COLUMNS] == printed


@pytest.mark.parametrize(
    ("alloy", "temper", "thickness", "printed"),
    [
        ("5005", "H14", 2.0, 1.0),
        ("5052", "O", 1.0, 0.0),
        ("5052", "H32", 3.0, 1.5),
        ("5754", "H111", 1.5, 0.5),
        ("5754", "H111", 1.6, 1.0),
        ("5754", "H22", 1.5, 1.0),
        ("5754", "H22", 3.0, 1.5),
        ("6082", "T6", 1.0, 2.5),
        ("6082", "T6", 2.0, 3.5),
        ("6061", "T4", 1.0, 1.0),
        ("6061", "T6", 1.0, 2.5),
        ("1050A", "H14", 2.0, 1.0),  # from memory, unchecked
        ("3103", "H14", 1.0, 1.0),  # from memory, unchecked
        ("5251", "H22", 1.0, 1.0),  # from memory, unchecked
    ],
)
def test_rows_of_en_485_2(alloy, temper, thickness, printed):
    assert radius_en_485(alloy, temper, thickness).ratio == printed
