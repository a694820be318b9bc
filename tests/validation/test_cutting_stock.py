"""Saw plans against published cutting-stock and bin-packing instances.

* Encyclopedia article "Cutting stock problem" (Wikipedia), paper-machine example: master
  rolls of 5600 mm, 13 widths; 73 rolls, which is the material bound.
* V. Chvatal, Linear Programming (W. H. Freeman, 1983), chapter 13: raws of 100 in, finals
  of 45, 36, 31 and 14 in; linear programme 452.25, 453 raws. From memory; the bound was
  checked anew with the dual prices 1/2, 1/2, 1/4, 0.
* E. Falkenauer, A hybrid grouping genetic algorithm for bin packing, Journal of Heuristics 2
  (1996): triplets data set, t60_00, as kept in the OR-Library; 60 items in 20 bins without
  waste, by construction.

Rolls and bins have no kerf and no trim.
"""

import math

import pytest

from foldwright.flat import CutLength
from foldwright.plan import Bar, Stock
from foldwright.sheet import cut_bars

T60_00 = [
    36.6, 26.8, 36.6, 43.0, 26.3, 30.7, 41.4, 28.7, 29.9, 49.5, 25.1, 25.4, 47.4, 25.2, 27.4,
    37.0, 26.9, 36.1, 47.3, 25.2, 27.5, 47.2, 25.9, 26.9, 44.4, 25.8, 29.8, 43.9, 27.3, 28.8,
    44.5, 27.2, 28.3, 41.9, 26.1, 32.0, 36.3, 27.1, 36.6, 35.5, 27.3, 37.2, 46.6, 26.2, 27.2,
    35.7, 29.2, 35.1, 39.5, 25.5, 35.0, 35.0, 30.3, 34.7, 45.0, 25.2, 29.8, 41.0, 27.5, 31.5,
]  # fmt: skip

PAPER = {
    1380: 22, 1520: 25, 1560: 12, 1710: 14, 1820: 18, 1880: 18, 1930: 20,
    2000: 10, 2050: 12, 2100: 14, 2140: 16, 2150: 18, 2200: 20,
}  # fmt: skip
RAWS = {45: 97, 36: 610, 31: 395, 14: 211}


def plan_of(room, lengths, seconds=10.0):
    stock = Stock("roll", "paper", 0.0, form="bar", bars=(Bar(room, 0, 1.0),), trim=0.0, kerf=0.0)
    cuts = [CutLength(str(i), "roll", "roll", float(x)) for i, x in enumerate(lengths)]
    plan = cut_bars(cuts, stock, seconds=seconds)
    by_id = {cut.id: cut.length for cut in cuts}
    assert sorted(id for bar in plan.bars for id in bar.ids) == sorted(by_id)
    assert all(sum(by_id[id] for id in bar.ids) <= room + 1e-5 for bar in plan.bars)
    return plan


@pytest.mark.parametrize("most", [20_000, 50], ids=["all cuttings", "cuttings made as asked"])
def test_paper_machine(most, monkeypatch):
    """73 master rolls; 407 160 mm of widths cannot come from fewer."""
    monkeypatch.setattr("foldwright.sheet.bars._MOST", most)
    lengths = [w for w, n in PAPER.items() for _ in range(n)]
    assert math.ceil(sum(lengths) / 5600) == 73
    plan = plan_of(5600.0, lengths)

    assert len(plan.bars) == 73
    assert plan.proven


@pytest.mark.parametrize("most", [20_000, 5], ids=["all cuttings", "cuttings made as asked"])
def test_raws_and_finals(most, monkeypatch):
    """453 raws, one less than rounding up each pattern of the linear programme gives."""
    monkeypatch.setattr("foldwright.sheet.bars._MOST", most)
    plan = plan_of(100.0, [w for w, n in RAWS.items() for _ in range(n)])

    assert len(plan.bars) == 453
    assert plan.proven


def test_triplets():
    """20 bins, each of three items and quite full."""
    plan = plan_of(100.0, T60_00, seconds=60.0)

    assert len(plan.bars) == 20
    assert {len(bar.ids) for bar in plan.bars} == {3}
    assert plan.proven
