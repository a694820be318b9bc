import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from foldwright.errors import OutOfDomain
from foldwright.shop import matters
from foldwright.shop.bolts import (
    LONGEST_ENGAGEMENT,
    bolt_in_plug,
    engagement_to_break,
    good_distances,
    least_distances,
    shear_areas,
    strip_loads,
)
from foldwright.shop.preload import (
    REUSED_SHARE,
    STRIP_SHARE,
)
from foldwright.shop.threads import Thread, bolt_lengths, property_class, thread_named

ALUMINIUM = matters()["al-5005-H24"]
LISTED = st.sampled_from(["M3", "M4", "M5", "M6", "M8", "M8x1", "M10", "M12"])


def soft(tensile):
    return replace(ALUMINIUM, tensile=replace(ALUMINIUM.tensile, value=tensile))


@given(LISTED, st.floats(0.1, 100.0))
def test_areas_on_basic_sizes_come_to_three_and_seven_eighths_quarters(name, engagement):
    """0.75 pi Le D1 and 0.875 pi Le d, as FED-STD-H28 reduces for basic sizes."""
    thread = thread_named(name)
    bolt, plug = shear_areas(thread, engagement)

    assert bolt == approx(0.75 * math.pi * engagement * thread.bore_d)
    assert plug == approx(0.875 * math.pi * engagement * thread.nominal)


def test_engagement_past_two_and_a_half_diameters_adds_nothing():
    thread = thread_named("M6")
    at_limit = strip_loads(thread, LONGEST_ENGAGEMENT * 6.0, 800.0, 200.0)

    assert strip_loads(thread, 60.0, 800.0, 200.0) == at_limit
    assert strip_loads(thread, 10.0, 800.0, 200.0) < at_limit


@given(LISTED, st.floats(50.0, 600.0))
def test_at_the_engagement_that_breaks_it_the_bolt_is_as_strong_as_the_thread(name, plug):
    thread = thread_named(name)
    needed = engagement_to_break(thread, 800.0, plug)
    areas = shear_areas(thread, needed)
    held = min(areas[0] * 800.0, areas[1] * plug) / math.sqrt(3.0)

    assert held == approx(800.0 * thread.stress_area)


def test_a_nut_as_strong_as_its_bolt_needs_about_half_a_diameter():
    """Nuts of 0.8 diameters (ISO 4032) are meant to break the bolt with something to spare."""
    for name in ("M5", "M8", "M16"):
        thread = thread_named(name)
        assert 0.4 < engagement_to_break(thread, 800.0, 800.0) / thread.nominal < 0.8


@given(LISTED, st.sampled_from(["4.6", "8.8", "12.9"]), st.floats(60.0, 500.0))
def test_a_bolt_in_a_plug_is_sold_reaches_and_is_not_overdone(name, steel, plug):
    thread = thread_named(name)
    found = bolt_in_plug(thread, steel, soft(plug), 60.0, 3.0, 0.2)

    assert found.length in bolt_lengths()
    assert found.reach == approx(found.length - 3.0)
    assert found.engagement == approx(found.reach - thread.pitch)
    assert found.reach < found.thread_depth < found.drill_depth <= 60.0
    assert found.preload <= STRIP_SHARE * min(found.bolt_strips, found.plug_strips) + 1e-9
    proof = property_class(steel, thread.nominal).proof
    assert found.preload <= REUSED_SHARE * proof * thread.stress_area + 1e-9
    assert found.torque == approx(0.2 * found.preload * thread.nominal)
    assert found.holds <= found.bolt_breaks


def test_a_weaker_plug_gets_a_longer_bolt_and_holds_no_more():
    thread = thread_named("M6")
    firm, weak = (bolt_in_plug(thread, "8.8", soft(rm), 60.0, 3.0, 0.2) for rm in (300.0, 60.0))

    assert weak.length > firm.length
    assert weak.holds < firm.holds
    assert weak.torque < firm.torque


def test_a_shallow_plug_gets_the_longest_bolt_that_does_not_touch_the_bottom():
    found = bolt_in_plug(thread_named("M6"), "8.8", ALUMINIUM, 14.0, 3.0, 0.2)

    assert found.length == 10.0
    assert found.drill_depth <= 14.0


def test_a_hole_right_through_takes_a_longer_bolt():
    blind = bolt_in_plug(thread_named("M6"), "8.8", ALUMINIUM, 14.0, 3.0, 0.2)
    through = bolt_in_plug(thread_named("M6"), "8.8", ALUMINIUM, 14.0, 3.0, 0.2, runs_through=True)

    assert through.length > blind.length
    assert through.reach <= 14.0


def test_a_plug_too_shallow_for_any_bolt_is_refused():
    with pytest.raises(OutOfDomain, match="No M6 bolt is sold") as caught:
        bolt_in_plug(thread_named("M6"), "8.8", ALUMINIUM, 5.0, 3.0, 0.2)

    assert caught.value.name == "plug_depth"


def test_a_soft_plate_limits_the_torque():
    free = bolt_in_plug(thread_named("M6"), "8.8", ALUMINIUM, 40.0, 3.0, 0.2)
    held = bolt_in_plug(
        thread_named("M6"), "8.8", ALUMINIUM, 40.0, 3.0, 0.2, most_preload=0.5 * free.preload
    )

    assert held.torque == approx(0.5 * free.torque)


@given(st.floats(0.1, 100.0))
def test_good_distances_are_no_less_than_the_least(hole):
    least, good = least_distances(hole), good_distances(hole)

    assert good.end > least.end
    assert good.edge > least.edge
    assert good.pitch > least.pitch
    assert good.gauge > least.gauge


@pytest.mark.parametrize("hole", [0.0, -1.0, math.nan, math.inf])
def test_a_hole_has_a_size(hole):
    with pytest.raises(OutOfDomain):
        least_distances(hole)
    with pytest.raises(OutOfDomain):
        good_distances(hole)


def test_an_engagement_below_nothing_is_refused():
    with pytest.raises(OutOfDomain):
        shear_areas(Thread(6.0, 1.0), -1.0)
