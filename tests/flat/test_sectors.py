"""Sectors: cones that close, and those that cannot."""

import math

import numpy as np
import pytest
from pytest import approx

from foldwright.errors import OutOfDomain
from foldwright.flat.sectors import cone_blank, sector_angle


@pytest.mark.parametrize(
    ("sizes", "name"),
    [
        ((60.0, 120.0, 80.0), "small_d"),
        ((120.0, 120.0, 80.0), "small_d"),
        ((120.0, 60.0, 0.0), "height"),
        ((math.inf, 60.0, 80.0), "large_d"),
        ((120.0, math.nan, 80.0), "small_d"),
    ],
)
def test_what_is_no_cone_is_refused(sizes, name):
    with pytest.raises(OutOfDomain) as refused:
        cone_blank(*sizes)

    assert refused.value.name == name


def test_a_cone_closes_no_tighter_than_its_sheet():
    with pytest.raises(OutOfDomain, match="closes at"):
        cone_blank(120.0, 1.0, 80.0, thickness=3.0)
    with pytest.raises(OutOfDomain, match="no more than its sheet is thick"):
        cone_blank(120.0, 60.0, 3.0, thickness=3.0)


def test_a_full_cone_of_paper_comes_to_a_point():
    """Apex angle 2 atan(r/h); inner radius 0, chord as wide as the sector opens."""
    blank = cone_blank(100.0, 0.0, 80.0)

    assert blank.sector.inner == 0.0
    assert blank.sector.angle == approx(sector_angle(2.0 * math.atan(50.0 / 80.0)))
    assert blank.sector.outer_chord == approx(
        math.dist((blank.slant, 0.0), blank.slant * np.array(
            [math.cos(blank.sector.angle), math.sin(blank.sector.angle)]
        ))
    )  # fmt: skip


@pytest.mark.parametrize("angle", [0.0, math.pi, -1.0, math.nan])
def test_no_apex_angle_no_sector(angle):
    with pytest.raises(OutOfDomain, match="apex angle"):
        sector_angle(angle)
