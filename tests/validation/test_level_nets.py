"""Least squares against printed level nets.

* C. D. Ghilani, Adjustment Computations, chapter 12, weighted example: six lines
  between A, B, C and D with a deviation each, A at 437.596 m. Heights printed
  448.1087, 453.4685 and 444.9436 m: values from memory, unchecked.
* A printed adjustment of eight lines levelled forth and back from a point of
  1000 m, 5 mm each: heights, deviations, sum of squares and the deviation after
  the adjustment, read on the page.
"""

import numpy as np
from pytest import approx

from foldwright.fit.least_squares import levelled


def test_a_net_of_six_weighted_lines():
    lines = [
        ("A", "B", 10.509), ("B", "C", 5.360), ("C", "D", -8.523),
        ("D", "A", -7.348), ("B", "D", -3.167), ("A", "C", 15.881),
    ]  # fmt: skip
    heights, found = levelled({"A": 437.596}, lines, [0.006, 0.004, 0.005, 0.003, 0.004, 0.012])

    assert [heights[p] for p in "BCD"] == approx([448.1087, 453.4685, 444.9436], abs=5e-5)
    assert found.redundancy == 3


def test_a_loop_levelled_forth_and_back():
    lines = [
        ("1a", "4", -1.225), ("4", "3", -0.848), ("3", "2", 1.342), ("2", "1a", 0.720),
        ("1a", "2", -0.724), ("2", "3", -1.335), ("3", "4", 0.842), ("4", "1a", 1.231),
    ]  # fmt: skip
    heights, found = levelled({"1a": 1000.0}, lines, [0.005] * 8)
    deviations = dict(zip(heights, 1e3 * np.sqrt(np.diag(found.covariance)), strict=True))

    assert [heights[p] for p in "432"] == approx([998.77513, 997.93325, 999.27487], abs=5e-6)
    assert [deviations[p] for p in "432"] == approx([3.1, 3.5, 3.1], abs=0.05)
    assert 1e6 * float(np.sum(found.residuals**2)) == approx(146.625, abs=5e-4)
    assert 5.0 * found.factor == approx(5.42, abs=0.005)
    assert np.abs(found.standardised).max() == approx(1.68, abs=0.005)
    assert int(np.abs(found.standardised).argmax()) == 5  # the sixth line is named
