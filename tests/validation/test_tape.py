"""Diameters by tape: girth over pi, and what the tape's own thickness adds.

``D = C/pi - t`` for a tape of thickness t laid round the outside, its middle
keeping its length: common practice of pipe and tank gauging, no source.

Out of round: perimeter of an ellipse (complete elliptic integral), evaluated
to ten figures for 102 x 98 and 64 x 60 mm; a drum is judged by its girth, so
its diameter is girth over pi, a little over the mean of the two.
"""

import itertools
import math

import pytest
from pytest import approx

import zoo
from foldwright.ledger import corrected, tool_named
from foldwright.plan.dual import number
from foldwright.shape import dims_of


@pytest.mark.parametrize("outside_d", [60.0, 220.0, 505.5])
def test_the_tape_reads_long_by_its_thickness(outside_d):
    """A circle through the middle of the tape, divided by pi, is D + t."""
    tape = tool_named("tape")
    round_middle = math.pi * (outside_d + tape.thickness)
    girth = corrected(round_middle, "girth", tape)

    assert tape.thickness > 0.0
    assert girth / math.pi == approx(round_middle / math.pi - tape.thickness, abs=1e-12)
    assert girth / math.pi == approx(outside_d, abs=1e-12)


@pytest.mark.parametrize(
    ("widest", "narrowest", "perimeter", "equivalent"),
    [(102.0, 98.0, 314.1906821, 100.0100003), (64.0, 60.0, 194.8294187, 62.01613008)],
)
def test_an_oval_drum_has_the_diameter_of_its_girth(widest, narrowest, perimeter, equivalent):
    """Perimeter by chords of the ellipse; the drum of that girth has the tabled diameter."""
    steps = 100_000
    angles = [math.tau * i / steps for i in range(steps + 1)]
    points = [(widest / 2 * math.cos(a), narrowest / 2 * math.sin(a)) for a in angles]
    by_chords = sum(math.dist(p, q) for p, q in itertools.pairwise(points))
    drum = zoo.drum(outside_d=equivalent)
    dims = dims_of(drum, drum.values(), finished=True)

    assert by_chords == approx(perimeter, abs=1e-6)
    assert number(dims["girth"].value) == approx(perimeter, abs=1e-6)
    assert number(dims["outside_d"].value) == approx(equivalent, abs=1e-12)
