import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from foldwright.errors import OutOfDomain, UnknownName
from foldwright.shop.threads import (
    Thread,
    bolt_lengths,
    clearance_holes,
    head_of,
    least_tensile_load,
    nominal_named,
    property_class,
    property_classes,
    tap_drill,
    tensile_load,
    thread_depth_share,
    thread_named,
    threads_listed,
)


@pytest.mark.parametrize("written", ["M8x1", "m8X1", "M 8 x 1.0", "M8\u00d71", "M8*1", "M8x1,0"])
def test_a_thread_is_read_as_people_write_it(written):
    assert thread_named(written) == Thread(8.0, 1.0)


@pytest.mark.parametrize("written", ["", "8", "M", "Mx1", "G1/2", "M8x", "M" * 50, "M8 fine"])
def test_what_is_no_thread_is_refused(written):
    with pytest.raises(OutOfDomain, match="no metric thread") as caught:
        thread_named(written)

    assert caught.value.name == "thread"


def test_a_size_without_coarse_pitch_asks_for_its_pitch():
    with pytest.raises(OutOfDomain, match="no coarse pitch"):
        thread_named("M15")

    assert thread_named("M15x1.5").pitch == 1.5


@pytest.mark.parametrize("thread", [(0.0, 1.0), (8.0, 0.0), (1.0, 8.0), (math.nan, 1.0)])
def test_a_thread_with_no_core_is_refused(thread):
    with pytest.raises(OutOfDomain):
        Thread(*thread)


@given(st.floats(1.0, 100.0), st.floats(0.05, 0.5))
def test_the_basic_profile_has_the_constants_of_the_standard(nominal, share):
    """0.649519, 1.226869 and 1.082532 pitches, as printed to six decimals."""
    thread = Thread(nominal, share * nominal)

    assert (nominal - thread.pitch_d) / thread.pitch == approx(0.649519, abs=6e-7)
    assert (nominal - thread.root_d) / thread.pitch == approx(1.226869, abs=6e-7)
    assert (nominal - thread.bore_d) / thread.pitch == approx(1.082532, abs=6e-7)


def test_every_listed_thread_reads_back_by_its_name():
    for thread in threads_listed():
        assert thread_named(thread.name) == thread


def test_no_thread_is_listed_twice():
    assert len(set(threads_listed())) == len(threads_listed())


def test_a_thread_that_no_list_has_gets_nominal_less_pitch():
    assert tap_drill(Thread(13.0, 0.77)) == approx(12.2)


def test_a_larger_drill_leaves_less_thread():
    thread = Thread(6.0, 1.0)

    assert thread_depth_share(thread, 5.2) < thread_depth_share(thread, 5.0) < 1.0
    assert thread_depth_share(thread, thread.bore_d) == approx(1.0)


def test_large_bolts_have_clearance_holes_whatever_their_pitch():
    """ISO 273:1979; value from memory, unchecked."""
    assert clearance_holes(nominal_named("M100")) == (104.0, 107.0, 112.0)
    assert nominal_named("M8x1") == 8.0


def test_a_size_off_the_clearance_table_names_the_nearest():
    with pytest.raises(OutOfDomain, match="nearest bolt it lists is M9|M10|M12"):
        clearance_holes(11.0)
    with pytest.raises(OutOfDomain):
        clearance_holes(math.nan)


def test_heads_and_lengths_are_listed_or_refused():
    assert bolt_lengths() == tuple(sorted(bolt_lengths()))
    with pytest.raises(OutOfDomain, match="No head and washer"):
        head_of(11.0)


def test_classes_go_by_thickness():
    assert property_class("8.8", 16.0).tensile == 800.0
    assert property_class("8.8", 18.0).tensile == 830.0
    with pytest.raises(OutOfDomain, match="up to M16") as caught:
        property_class("9.8", 20.0)
    assert caught.value.name == "property_class"
    with pytest.raises(UnknownName):
        property_class("8.9", 8.0)


def test_the_name_of_a_class_tells_its_strengths():
    """ISO 898-1: hundredth of Rm, and ten times the yield ratio, as nominal values."""
    for name in property_classes():
        if name[0] in "A3":
            continue
        hundreds, tenths = map(int, name.split("."))
        steel = property_class(name, 8.0)
        assert steel.tensile == approx(100.0 * hundreds, rel=0.05)
        assert steel.limit == approx(10.0 * hundreds * tenths, rel=0.07)
        assert steel.proof < steel.limit < steel.tensile


def test_a_fine_thread_holds_more_than_the_coarse_one():
    fine, coarse = (least_tensile_load(thread_named(n), "8.8") for n in ("M8x1", "M8"))

    assert fine > coarse


@pytest.mark.parametrize("bad", [0.0, -1.0, math.nan, math.inf])
def test_a_load_needs_area_and_strength(bad):
    with pytest.raises(OutOfDomain):
        tensile_load(bad, 800.0)
    with pytest.raises(OutOfDomain):
        tensile_load(58.0, bad)
