"""Clearances of the demo: figures that can be checked in the head."""

import math
from pathlib import Path

import pytest

from foldwright.fit import belief, clearances_of
from foldwright.ledger import Reading
from foldwright.make import Made, open_build

EXAMPLE = Path(__file__).parents[2] / "examples" / "harbour-signal-lamp"


@pytest.fixture(scope="module")
def made():
    """The demo as drawn."""
    plan, _ = open_build(EXAMPLE)
    return Made(plan)


def values_of(made):
    """Parameters of every part."""
    return {name: part.values() for name, part in made.parts.items()}


def test_the_gap_of_cap_and_lamp_counts_both_finishes(made):
    """Lamp 220 less two boards and two coats inside; cap 220 - 4 - 1.5 over its paint."""
    meet = next(m for m in made.plan.meets if m.inner == "lamp_cap")
    (gap,) = clearances_of(meet, made.parts, values_of(made), made.frames)
    bore = (220 - 2 * 0.14) - 2 * 2.0 - 2 * 0.14
    cap = 220 - 2 * 2.0 - 1.5

    assert gap.value == pytest.approx((bore - cap) / 2)


def test_the_base_stands_out_as_the_plan_places_the_pedestal(made):
    """20 mm on each of four sides."""
    meet = next(m for m in made.plan.meets if m.inner == "pedestal" and m.kind == "rests-on")

    assert [c.value for c in clearances_of(meet, made.parts, values_of(made), made.frames)] == (
        pytest.approx([20.0, 20.0])
    )


def reading(dim, value, sigma, bare=True):
    """A reading of the lamp."""
    return Reading(
        id=1, part="lamp", dim=dim, value=value, tool="tape", bare=bare,
        when="2030-01-01T00:00:00Z", note="", revision=0, drawn=0.0, sigma=sigma,
    )  # fmt: skip


def test_a_reading_decides_alone(made):
    """Girth 694 bare is 694/pi + 2 coats across, finished; not drawn towards the plan."""
    known = belief(made.parts["lamp"], [reading("girth", 694.0, 0.5)])

    assert known.mean["outside_d"] == pytest.approx(694.0 / math.pi + 0.28, abs=1e-3)
    assert math.sqrt(known.covariance[0][0]) == pytest.approx(0.5 / math.pi, rel=1e-3)


def test_what_no_reading_sees_keeps_the_scatter_of_the_hand(made):
    """The length of the lamp stays as intended, give or take a cut."""
    known = belief(made.parts["lamp"], [reading("girth", 694.0, 0.5)])
    names = list(known.mean)
    i = names.index("length")

    assert known.mean["length"] == pytest.approx(310.0, abs=1e-9)
    assert math.sqrt(known.covariance[i][i]) == pytest.approx(0.3)
