import itertools
import math
import subprocess
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st

from foldwright.flat import CutLength
from foldwright.plan import Bar, Stock
from foldwright.sheet import cut_bars


def pipe(*bars, trim=0.0, kerf=2.0):
    return Stock("pipe", "steel", 2.0, form="tube", across=40.0, bars=bars, trim=trim, kerf=kerf)


def wanted(*lengths, stock="pipe"):
    return [CutLength(f"cut-{i}", "leg", stock, float(x)) for i, x in enumerate(lengths)]


def check(plan, cuts, stock):
    """Every length once, no bar over-full, no more bars than there are."""
    length = {cut.id: cut.length for cut in cuts}
    told = [id for bar in plan.bars for id in bar.ids] + [out.id for out in plan.left_out]
    assert sorted(told) == sorted(length)
    for bar in plan.bars:
        room = stock.bars[bar.bar_index].length - 2.0 * stock.trim
        used = sum(length[id] for id in bar.ids) + stock.kerf * (len(bar.ids) - 1)
        assert used <= room + 1e-5
        left = stock.bars[bar.bar_index].length - stock.trim - used - stock.kerf
        assert bar.offcut == pytest.approx(max(0.0, left), abs=1e-5)
    for i, bar in enumerate(stock.bars):
        if bar.count:
            assert sum(b.bar_index == i for b in plan.bars) <= bar.count


def test_kerfs_fall_between_the_cuts_only():
    """Three thirds of a metre fit with two kerfs; a tenth of a millimetre more does not."""
    stock = pipe(Bar(1000.0, 0))
    third = (1000.0 - 2 * 2.0) / 3.0

    assert len(cut_bars(wanted(third, third, third), stock).bars) == 1
    assert len(cut_bars(wanted(third, third, third + 0.1), stock).bars) == 2


def test_trim_is_lost_at_both_ends():
    stock = pipe(Bar(1000.0, 0), trim=10.0)

    assert cut_bars(wanted(980.0), stock).left_out == ()
    (out,) = cut_bars(wanted(980.1), stock).left_out
    assert "needs 980.1 mm; the longest bar of pipe is 1000.0 mm less 10 mm trim" in out.reason


def test_offcuts_come_first():
    stock = pipe(Bar(3000.0, 0, 12.0), Bar(700.0, 1))
    plan = cut_bars(wanted(600.0, 1000.0), stock)

    assert [(bar.bar_index, bar.ids) for bar in plan.bars] == [(1, ("cut-0",)), (0, ("cut-1",))]
    assert plan.price == 12.0


def test_the_cheapest_mix_of_bars_is_taken():
    """Five of 900: one long bar of three and one short of two beat any other mix."""
    stock = pipe(Bar(3000.0, 0, 12.0), Bar(2000.0, 0, 7.0), kerf=0.0)
    plan = cut_bars(wanted(*[900.0] * 5), stock)

    assert plan.price == 19.0
    assert plan.proven


def test_what_finds_no_bar_is_named_and_as_little_as_can_be():
    stock = pipe(Bar(1000.0, 2), kerf=0.0)
    cuts = wanted(600.0, 600.0, 600.0, 400.0, 400.0)
    plan = cut_bars(cuts, stock)

    check(plan, cuts, stock)
    assert len(plan.left_out) == 1
    assert "No bar is left: the rack has 2 of pipe" in plan.left_out[0].reason


def test_a_stock_without_bars_says_so():
    assert "no bar of pipe on the rack" in cut_bars(wanted(1.0), pipe()).left_out[0].reason


def test_lengths_of_other_stocks_are_passed_over():
    assert cut_bars(wanted(100.0, stock="rod"), pipe(Bar(1000.0))).bars == ()


def fewest(lengths, room, kerf):
    """Fewest equal bars, by trying every way to deal the lengths out."""
    best = len(lengths)
    bars = []

    def deal(i):
        nonlocal best
        if len(bars) >= best:
            return
        if i == len(lengths):
            best = len(bars)
            return
        for bar in bars:
            if sum(bar) + len(bar) * kerf + lengths[i] <= room + 1e-6:
                bar.append(lengths[i])
                deal(i + 1)
                bar.pop()
        bars.append([lengths[i]])
        deal(i + 1)
        bars.pop()

    deal(0)
    return best


@given(st.lists(st.integers(80, 990), min_size=1, max_size=8), st.sampled_from([0.0, 2.5]))
def test_no_plan_uses_fewer_bars(lengths, kerf):
    """Against every way to deal up to eight lengths out."""
    stock = pipe(Bar(1000.0, 0), kerf=kerf)
    cuts = wanted(*lengths)
    plan = cut_bars(cuts, stock)

    check(plan, cuts, stock)
    assert plan.proven
    assert len(plan.bars) == fewest(sorted(lengths, reverse=True), 1000.0, kerf)


@given(
    st.lists(st.floats(50.0, 1200.0), max_size=12),
    st.lists(st.tuples(st.floats(300.0, 2000.0), st.integers(0, 2)), min_size=1, max_size=3),
)
def test_any_lengths_are_sawn_or_named(lengths, bars):
    stock = pipe(*(Bar(length, count, 5.0 * count) for length, count in bars), trim=3.0)
    cuts = wanted(*lengths)

    check(cut_bars(cuts, stock), cuts, stock)


def test_many_kinds_of_length_are_planned_by_making_cuttings(monkeypatch):
    """With hardly any cuttings written down, the linear programme asks for the rest.

    The bound it proves can be checked by length alone.
    """
    monkeypatch.setattr("foldwright.sheet.bars._MOST", 10)
    lengths = list(itertools.chain.from_iterable([x] * 3 for x in range(310, 990, 40)))
    stock = pipe(Bar(6000.0, 0))
    cuts = wanted(*lengths)
    plan = cut_bars(cuts, stock)

    check(plan, cuts, stock)
    assert plan.proven
    assert len(plan.bars) == math.ceil(sum(x + 2.0 for x in lengths) / 6002.0)


def test_the_solver_prints_nothing():
    code = (
        "from foldwright.plan import Bar, Stock\n"
        "from foldwright.flat import CutLength\n"
        "from foldwright.sheet import cut_bars\n"
        "s = Stock('p', 'x', 0.0, form='bar', across=9.0, bars=(Bar(1000.0, 0),))\n"
        "assert cut_bars([CutLength('a', 'a', 'p', 300.0)] * 1, s).bars\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)

    assert (done.returncode, done.stdout, done.stderr) == (0, "", "")
