"""Openings for askew cylinders against a worked truncated cylinder.

Source: a web page on the truncated right circular cylinder, read 2026, with
the worked example r = 5, heights 8 and 12: the oblique cut is an ellipse with
half axes r and r / cos(theta), tan(theta) = (h2 - h1) / (2 r), and an area of
84.590, printed to three decimals.
"""

import math

import numpy as np
import pytest

import zoo
from foldwright.plan import Feature
from foldwright.shape import opening, path_bounds


def test_the_section_of_a_truncated_cylinder():
    """Printed: 84.590. The extents of an opening are exact, so half a unit is 5e-4.

    Board as good as without thickness, since the page cuts with a plane.
    """
    leaf = zoo.box(100.0, 100.0, 100.0, name="leaf", face_from=(("top", "foil", 1e-7),))
    lean = math.atan((12.0 - 8.0) / (2.0 * 5.0))
    c, s = math.cos(lean), math.sin(lean)
    where = np.array(
        [[c, 0.0, s, 50.0], [0.0, 1.0, 0.0, 50.0], [-s, 0.0, c, 100.0], [0.0, 0.0, 0.0, 1.0]]
    )
    middle = np.eye(4)
    middle[2, 3] = -20.0
    pipe = zoo.drum(10.0, 40.0, name="pipe")
    feature = Feature("opening", "", "top", gap=zoo.length(0.0), through="pipe")

    low, high = path_bounds(opening(leaf, feature, pipe, np.eye(4), where @ middle).path)

    area = math.pi / 4.0 * (high[0] - low[0]) * (high[1] - low[1])
    assert area == pytest.approx(84.590, abs=5e-4)
