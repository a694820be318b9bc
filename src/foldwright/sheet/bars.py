"""Tubes and bars: which lengths to saw from which bar, by an exact integer programme.

Room: sheet. Start here: `cut_bars`. A *cutting* says how many of each length
come from one bar; the programme takes as many bars of each cutting as make all
lengths, first leaving as few as can be, then at least cost::

    least  sum cost_b x_bp    with  sum a_ip x_bp >= d_i,  sum_p x_bp <= count_b

While there are few enough cuttings that hold no further length (`_MOST`), all
of them are in it and the answer is exact. Past that, cuttings are made as the
linear programme asks for them (Gilmore and Gomory); the answer is then called
proven only if it meets the bound of the linear programme.

References
----------
P. C. Gilmore and R. E. Gomory, A linear programming approach to the
cutting-stock problem, Operations Research 9 (1961).
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from foldwright.flat import CutLength
from foldwright.plan import Bar, Stock
from foldwright.sheet.programme import Programme, whole_numbers
from foldwright.sheet.records import LeftOut

_MOST = 20_000  # cuttings that the integer programme is given
_ROUNDING = 1e-6  # mm; lengths that add up to the bar exactly fit it
_OFFCUT_COST = 1e-3  # of an offcut, as a share of what its length would cost whole
_ROUNDS = 300  # of making cuttings
_GAIN = 1e-7  # a cutting worth less than this is no gain


@dataclass(frozen=True)
class BarCuts:
    """One bar and what is sawn from it.

    Attributes
    ----------
    bar_index : int
        Which entry of `stock.bars`.
    number : int
        Of the bars used, from 1.
    ids : tuple of str
        Lengths in the order to saw them, longest first.
    offcut : float
        What is left at the far end, its rough end included [mm].
    """

    bar_index: int
    number: int
    ids: tuple[str, ...]
    offcut: float


@dataclass(frozen=True)
class BarPlan:
    """All bars of one stock; `proven` if no plan leaves less out, or costs less."""

    stock: Stock
    bars: tuple[BarCuts, ...]
    left_out: tuple[LeftOut, ...] = ()
    price: float = 0.0
    proven: bool = True


@dataclass(frozen=True)
class _Cutting:
    """How many of each length come from one bar of one kind."""

    bar: int
    counts: tuple[int, ...]


@dataclass(frozen=True)
class _Task:
    """Lengths with a kerf each, longest first; how many; room, cost and count of each bar."""

    widths: tuple[float, ...]
    wanted: tuple[int, ...]
    rooms: tuple[float, ...]
    costs: tuple[float, ...]
    counts: tuple[int, ...]


def cut_bars(lengths: Sequence[CutLength], stock: Stock, *, seconds: float = 10.0) -> BarPlan:
    """Plan the saw cuts of one tube or bar.

    Parameters
    ----------
    lengths : sequence of CutLength
        Those of other stocks are passed over.
    stock : Stock
        With its bars; `trim` is lost at each end of a bar, `kerf` at each cut.
    seconds : float
        Time that the solver may take; past it the best plan so far is given,
        not proven.

    Returns
    -------
    BarPlan

    Notes
    -----
    Offcuts (short bars that are there and cost nothing) come first, then the
    least price; without prices, the least length.

    Examples
    --------
    >>> from foldwright.plan import Bar
    >>> pipe = Stock("pipe", "steel", 2.0, form="tube", across=40.0, trim=0.0, kerf=2.0,
    ...              bars=(Bar(1000.0, count=0, price=9.0),))
    >>> wanted = [CutLength(f"leg-{i}", "leg", "pipe", 332.0) for i in (1, 2, 3)]
    >>> [(bar.ids, bar.offcut) for bar in cut_bars(wanted, pipe).bars]
    [(('leg-1', 'leg-2', 'leg-3'), 0.0)]
    """
    mine = [length for length in lengths if length.stock == stock.name]
    longest = max((bar.length for bar in stock.bars), default=0.0) - 2.0 * stock.trim
    too_long = [c for c in mine if c.length > longest + _ROUNDING]
    left_out = [LeftOut(c.id, _why_not(c, stock)) for c in too_long]
    fitting = [c for c in mine if c not in too_long]
    groups: dict[float, list[CutLength]] = {}
    for cut in sorted(fitting, key=lambda c: -c.length):
        groups.setdefault(round(cut.length, 6), []).append(cut)
    if not groups:
        return BarPlan(stock, (), tuple(left_out))
    task = _task(groups, stock)
    cuttings, proven = _solve(task, seconds)
    bars = _handed_out(cuttings, list(groups.values()), stock)
    placed = {id for bar in bars for id in bar.ids}
    left_out += [LeftOut(c.id, _why_unplaced(stock)) for c in fitting if c.id not in placed]
    price = sum(stock.bars[bar.bar_index].price for bar in bars)
    return BarPlan(stock, bars, tuple(left_out), price, proven)


def is_bar_offcut(bar: Bar, stock: Stock) -> bool:
    """Whether a bar is left over from a longer one: it is there, short, and cost nothing."""
    longer = any(other.length > bar.length for other in stock.bars)
    return bar.count > 0 and bar.price == 0.0 and longer


def _task(groups: dict[float, list[CutLength]], stock: Stock) -> _Task:
    total = sum(len(group) for group in groups.values())
    priced = [bar for bar in stock.bars if bar.price > 0.0]
    rate = sum(b.price for b in priced) / sum(b.length for b in priced) if priced else 1e-3
    costs = []
    for bar in stock.bars:
        worth = rate * bar.length
        costs.append(worth * _OFFCUT_COST if is_bar_offcut(bar, stock) else bar.price or worth)
    # n lengths need n - 1 cuts between them: give each its kerf, and the bar one more
    return _Task(
        tuple(width + stock.kerf for width in groups),
        tuple(len(group) for group in groups.values()),
        tuple(bar.length - 2.0 * stock.trim + stock.kerf + _ROUNDING for bar in stock.bars),
        tuple(costs),
        tuple(bar.count or total for bar in stock.bars),
    )


def _solve(task: _Task, seconds: float) -> tuple[list[_Cutting], bool]:
    """Cuttings to make, one for each bar, and whether they are proven best."""
    cuttings: list[_Cutting] = []
    for cutting in _all_cuttings(task):
        cuttings.append(cutting)
        if len(cuttings) > _MOST:
            break
    bound = -math.inf
    if len(cuttings) > _MOST:
        cuttings, bound = _made_as_asked(task)
    missing, cost, counts, exact = whole_numbers(_programme(task, cuttings), seconds)
    if math.isfinite(bound):
        # Costs that are all one price step up by it: the bound may be rounded up.
        step = task.costs[0] if len(set(task.costs)) == 1 else 0.0
        least = step * math.ceil(bound / step - 1e-6) if step else bound
        exact = exact and missing == 0 and cost <= least * (1.0 + 1e-9)
    return [c for c, n in zip(cuttings, counts, strict=True) for _ in range(n)], exact


def _programme(task: _Task, cuttings: Sequence[_Cutting]) -> Programme:
    return Programme(
        tuple(task.costs[c.bar] for c in cuttings),
        tuple(c.counts for c in cuttings),
        task.wanted,
        tuple(c.bar for c in cuttings),
        task.counts,
    )


def _all_cuttings(task: _Task) -> Iterator[_Cutting]:
    """Cuttings to which no further wanted length can be added, bar by bar."""
    for bar, room in enumerate(task.rooms):
        for counts in _fillings(task, 0, room):
            if any(counts):
                yield _Cutting(bar, counts)


def _fillings(task: _Task, first: int, room: float) -> Iterator[tuple[int, ...]]:
    """Counts of the lengths from `first` on that leave no room for one more of them."""
    if first == len(task.widths):
        yield ()
        return
    most = min(task.wanted[first], int(room / task.widths[first]))
    for count in range(most, -1, -1):
        rest = room - count * task.widths[first]
        fits_one_more = count < task.wanted[first] and rest >= task.widths[first]
        for tail in _fillings(task, first + 1, rest):
            used = sum(n * w for n, w in zip(tail, task.widths[first + 1 :], strict=True))
            if not (fits_one_more and rest - used >= task.widths[first]):
                yield (count, *tail)


def _made_as_asked(task: _Task) -> tuple[list[_Cutting], float]:
    """Cuttings that the linear programme asked for, and its bound on the cost.

    The bound is Farley's where the making of cuttings stops early.
    """
    from foldwright.sheet.programme import duals

    cuttings = _to_start_with(task)
    known = set(cuttings)
    bound = -math.inf
    for _ in range(_ROUNDS):
        value, worth, rent = duals(_programme(task, cuttings))
        fresh = []
        for bar, cost in enumerate(task.costs):
            counts, gain = _most_worth(task, task.rooms[bar], worth)
            if gain > cost + rent[bar] + _GAIN and _Cutting(bar, counts) not in known:
                fresh.append(_Cutting(bar, counts))
        if not fresh:
            bound = value
            break
        cuttings += fresh
        known.update(fresh)
    return cuttings, bound


def _to_start_with(task: _Task) -> list[_Cutting]:
    """Each length by itself on each bar, and greedy fillings, so that all can be made."""
    found: dict[_Cutting, None] = {}
    kinds = len(task.widths)
    for bar, room in enumerate(task.rooms):
        left = list(task.wanted)
        while any(left[i] and task.widths[i] <= room for i in range(kinds)):
            rest, counts = room, [0] * kinds
            for i, width in enumerate(task.widths):
                counts[i] = min(left[i], int(rest / width))
                rest -= counts[i] * width
                left[i] -= counts[i]
            found[_Cutting(bar, tuple(counts))] = None
        for i, width in enumerate(task.widths):
            if width <= room:
                most = min(task.wanted[i], int(room / width))
                alone = tuple(most if j == i else 0 for j in range(kinds))
                found[_Cutting(bar, alone)] = None
    return list(found)


def _most_worth(task: _Task, room: float, worth: Sequence[float]) -> tuple[tuple[int, ...], float]:
    """Cutting of most worth that fits the room: branch and bound by worth per length."""
    order = sorted(
        (i for i in range(len(worth)) if worth[i] > 0.0),
        key=lambda i: -worth[i] / task.widths[i],
    )
    best, best_worth = [0] * len(worth), 0.0
    counts = [0] * len(worth)

    def look(depth: int, rest: float, so_far: float) -> None:
        nonlocal best, best_worth
        if so_far > best_worth:
            best, best_worth = counts.copy(), so_far
        if depth == len(order):
            return
        i = order[depth]
        if so_far + rest * worth[i] / task.widths[i] <= best_worth + 1e-12:
            return
        for n in range(min(task.wanted[i], int(rest / task.widths[i])), -1, -1):
            counts[i] = n
            look(depth + 1, rest - n * task.widths[i], so_far + n * worth[i])
        counts[i] = 0

    look(0, room, 0.0)
    return tuple(best), best_worth


def _handed_out(
    cuttings: Sequence[_Cutting], groups: list[list[CutLength]], stock: Stock
) -> tuple[BarCuts, ...]:
    """Give each bar its lengths by name; offcuts first, then the fullest."""
    left = [list(group) for group in groups]
    order = sorted(
        cuttings,
        key=lambda c: (
            not is_bar_offcut(stock.bars[c.bar], stock),
            c.bar,
            [-n for n in c.counts],
        ),
    )
    bars: list[BarCuts] = []
    for cutting in order:
        cuts: list[CutLength] = []
        for i, count in enumerate(cutting.counts):
            cuts += left[i][:count]
            del left[i][:count]
        if not cuts:
            continue
        length = stock.bars[cutting.bar].length
        used = stock.trim + sum(cut.length + stock.kerf for cut in cuts)
        offcut = max(0.0, length - used)
        ids = tuple(cut.id for cut in cuts)
        bars.append(BarCuts(cutting.bar, len(bars) + 1, ids, offcut))
    return tuple(bars)


def _why_not(cut: CutLength, stock: Stock) -> str:
    if not stock.bars:
        return (
            f"There is no bar of {stock.name} on the rack. "
            f"Add bars = [{{ length = 2000 }}] to [rack.{stock.name}]."
        )
    longest = max(bar.length for bar in stock.bars)
    return (
        f"It needs {cut.length:.1f} mm; the longest bar of {stock.name} is {longest:.1f} mm less "
        f"{stock.trim:g} mm trim at each end. Put a longer bar on the rack."
    )


def _why_unplaced(stock: Stock) -> str:
    total = sum(bar.count for bar in stock.bars)
    return (
        f"No bar is left: the rack has {total} of {stock.name}, and the other lengths use "
        f"{'it' if total == 1 else 'them'} up. Add a bar to [rack.{stock.name}], or write "
        "count = 0 for bars that can be bought."
    )
