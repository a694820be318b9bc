"""Lengths: no plan beats its bounds, and nothing is planned that cannot be sawn."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pytest import approx

from foldwright.errors import OutOfDomain
from foldwright.sheet.lengths import bars_for, strip_length


@settings(max_examples=15)
@given(
    st.lists(st.integers(50, 900), min_size=1, max_size=8),
    st.integers(1, 4),
    st.sampled_from([0.0, 2.0]),
    st.sampled_from([0.0, 5.0]),
)
def test_bounds_lie_below_and_every_length_is_sawn(lengths, times, kerf, trim):
    need = bars_for(1000.0, lengths, [times], kerf=kerf, trim=trim)
    sawn = [id for bar in need.plan.bars for id in bar.ids]

    assert need.is_least
    assert sorted(sawn, key=int) == [cut.id for cut in need.cuts]
    assert len(sawn) == times * len(lengths)
    assert need.material_bound <= math.ceil(need.programme_bound - 1e-6) <= need.bars
    for bar in need.plan.bars:
        used = sum(next(c.length for c in need.cuts if c.id == id) for id in bar.ids)
        assert used + kerf * (len(bar.ids) - 1) <= 1000.0 - 2.0 * trim + 1e-5


def test_a_kerf_can_cost_a_bar():
    """Ten lengths of 100 come from a bar of 1000 only without sawdust."""
    assert bars_for(1000.0, [100.0], [10]).bars == 1
    assert bars_for(1000.0, [100.0], [10], kerf=2.0).bars == 2
    assert bars_for(1018.0, [100.0], [10], kerf=2.0).bars == 1


def test_tenths_that_fill_a_bar_need_no_second_one():
    """Three times 33.3 and 0.1 are 100, though not in binary."""
    need = bars_for(100.0, [33.3, 33.3, 33.3, 0.1])

    assert (need.bars, need.material_bound) == (1, 1)


@pytest.mark.parametrize(
    ("call", "name"),
    [
        (lambda: bars_for(0.0, [1.0]), "bar_length"),
        (lambda: bars_for(1000.0, []), "lengths"),
        (lambda: bars_for(1000.0, [1001.0]), "lengths"),
        (lambda: bars_for(1000.0, [995.0], trim=5.0), "lengths"),
        (lambda: bars_for(1000.0, [math.nan]), "lengths"),
        (lambda: bars_for(1000.0, [10.0, 20.0], [1, 2, 3]), "counts"),
        (lambda: bars_for(1000.0, [10.0], [0]), "counts"),
        (lambda: bars_for(1000.0, [10.0], [5001]), "counts"),
        (lambda: bars_for(1000.0, [10.0], kerf=-1.0), "kerf"),
        (lambda: bars_for(1000.0, [10.0], trim=math.inf), "trim"),
        (lambda: strip_length(0.0, 100.0), "area"),
        (lambda: strip_length(100.0, -1.0), "width"),
        (lambda: strip_length(100.0, 10.0, share=1.2), "share"),
        (lambda: strip_length(100.0, 10.0, share=0.0), "share"),
    ],
)
def test_what_cannot_be_bought_is_refused(call, name):
    with pytest.raises(OutOfDomain) as refused:
        call()

    assert refused.value.name == name


def test_a_strip_is_never_shorter_than_its_area():
    assert strip_length(600.0, 20.0) == approx(30.0)
    assert strip_length(600.0, 20.0, share=0.5) == approx(60.0)
