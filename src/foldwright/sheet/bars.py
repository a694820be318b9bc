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
from collections.abc import Sequence
from dataclasses import dataclass, replace

from foldwright.errors import OutOfDomain
from foldwright.flat import CutLength
from foldwright.plan import Bar, Stock
from foldwright.sheet.programme import Programme, duals, shares_of, whole_numbers
from foldwright.sheet.records import LeftOut

_MOST = 20_000  # cuttings that the integer programme is given at most
_MOST_LOOKS = 300_000  # steps of a search
_QUICK_LOOKS = 2_000
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
    offcuts = [i for i, bar in enumerate(stock.bars) if is_bar_offcut(bar, stock)]
    if offcuts:
        cuttings = _from_offcuts(task, cuttings, offcuts, seconds)
    bars = _handed_out(cuttings, list(groups.values()), stock)
    placed = {id for bar in bars for id in bar.ids}
    left_out += [LeftOut(c.id, _why_unplaced(stock)) for c in fitting if c.id not in placed]
    price = sum(stock.bars[bar.bar_index].price for bar in bars)
    return BarPlan(stock, bars, tuple(left_out), price, proven)


def fractional_bars(lengths: Sequence[CutLength], stock: Stock) -> float:
    """Bars that the linear programme takes, fractions allowed: no plan takes fewer.

    Parameters
    ----------
    lengths : sequence of CutLength
        Those of other stocks are passed over; each fits the bar.
    stock : Stock
        With one kind of bar, as many as are wanted.

    Raises
    ------
    OutOfDomain
        Several kinds of bar, too few, or a length that fits none; or so many kinds of
        length that the making of cuttings stopped early, and no bound is known.

    References
    ----------
    As the module: Gilmore and Gomory's linear programme.
    """
    groups: dict[float, list[CutLength]] = {}
    for cut in sorted(lengths, key=lambda c: -c.length):
        if cut.stock == stock.name:
            groups.setdefault(round(cut.length, 6), []).append(cut)
    if not groups:
        return 0.0
    task = _task(groups, stock)
    total = sum(task.wanted)
    if len(task.rooms) != 1 or task.counts[0] < total or task.widths[0] > task.rooms[0]:
        raise OutOfDomain(
            f"The bound is for one kind of bar that holds every length, and as many as are "
            f"wanted; {stock.name} has {len(task.rooms)}. Give one bar, count = 0, long enough.",
            name="stock",
        )
    _, bound = _made_as_asked(task, ())
    if math.isinf(bound):
        raise OutOfDomain(
            f"{len(task.widths)} kinds of length are too many for a bound. Round them to fewer.",
            name="lengths",
        )
    return bound / task.costs[0]


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
    cuttings = _all_cuttings(task)
    if cuttings is not None:
        _, _, counts, proven = whole_numbers(_programme(task, cuttings), seconds)
        return _repeated(cuttings, counts), proven
    cuttings, bound = _made_as_asked(task, ())
    # No bar gives length for less than the cheapest by length does.
    length = sum(w * n for w, n in zip(task.widths, task.wanted, strict=True))
    cheapest = min(cost / room for cost, room in zip(task.costs, task.rooms, strict=True))
    bound = max(bound, length * cheapest)
    # Costs that are all one price step up by it: the bound may be rounded up.
    step = task.costs[0] if len(set(task.costs)) == 1 else 0.0
    least = step * math.ceil(bound / step - 1e-6) if step else bound
    taken, cuttings = _dived(task, cuttings)
    if taken is None or _cost(task, taken) > least * (1.0 + 1e-9):
        missing, cost, counts, _ = whole_numbers(_programme(task, cuttings), seconds)
        if taken is None or (missing == 0 and cost < _cost(task, taken)):
            taken = _repeated(cuttings, counts)
        if missing:
            return taken, False
    return taken, _cost(task, taken) <= least * (1.0 + 1e-9)


def _from_offcuts(
    task: _Task, cuttings: list[_Cutting], offcuts: Sequence[int], seconds: float
) -> list[_Cutting]:
    """Plan that fills the offcuts first, if it leaves out no more and whole bars cost no more."""
    left, counts = list(task.wanted), list(task.counts)
    filled: list[_Cutting] = []
    for bar in sorted(offcuts, key=lambda i: task.rooms[i]):
        for _ in range(task.counts[bar]):
            rest = replace(task, wanted=tuple(left))
            best, _, _ = _most_worth(rest, task.rooms[bar], task.widths, _MOST_LOOKS)
            if any(best):
                filled.append(_Cutting(bar, best))
                left = [a - b for a, b in zip(left, best, strict=True)]
        counts[bar] = 0
    if any(left):
        filled += _solve(replace(task, wanted=tuple(left), counts=tuple(counts)), seconds)[0]

    def rank(plan: Sequence[_Cutting]) -> tuple[int, float]:
        made = [sum(c.counts[i] for c in plan) for i in range(len(task.wanted))]
        missing = sum(max(0, w - m) for w, m in zip(task.wanted, made, strict=True))
        return missing, round(_cost(task, [c for c in plan if c.bar not in offcuts]), 6)

    return filled if rank(filled) <= rank(cuttings) else cuttings


def _repeated(cuttings: Sequence[_Cutting], counts: Sequence[int]) -> list[_Cutting]:
    return [c for c, n in zip(cuttings, counts, strict=True) for _ in range(n)]


def _cost(task: _Task, taken: Sequence[_Cutting]) -> float:
    return sum(task.costs[cutting.bar] for cutting in taken)


def _dived(task: _Task, cuttings: list[_Cutting]) -> tuple[list[_Cutting] | None, list[_Cutting]]:
    """Round the linear programme down again and again, making cuttings for what remains.

    Returns a whole-number plan, None if bars run short, and all cuttings made,
    of which the integer programme may find a better one.
    """
    left, counts = list(task.wanted), list(task.counts)
    taken: list[_Cutting] = []
    while any(left):
        rest = replace(task, wanted=tuple(left), counts=tuple(counts))
        fresh, _ = _made_as_asked(rest, cuttings)
        cuttings = list(dict.fromkeys([*cuttings, *fresh]))
        shares = shares_of(_programme(rest, cuttings))
        whole = [math.floor(share + 1e-9) for share in shares]
        if not any(whole):
            best = max(range(len(shares)), key=lambda i: (shares[i], -i))
            if shares[best] < 1e-6:
                return None, cuttings
            whole[best] = 1
        for cutting, n in zip(cuttings, whole, strict=True):
            for _ in range(n):
                used = tuple(min(a, b) for a, b in zip(cutting.counts, left, strict=True))
                if any(used) and counts[cutting.bar]:
                    taken.append(_Cutting(cutting.bar, used))
                    counts[cutting.bar] -= 1
                    left = [a - b for a, b in zip(left, used, strict=True)]
    return taken, cuttings


def _programme(task: _Task, cuttings: Sequence[_Cutting]) -> Programme:
    return Programme(
        tuple(task.costs[c.bar] for c in cuttings),
        tuple(c.counts for c in cuttings),
        task.wanted,
        tuple(c.bar for c in cuttings),
        task.counts,
    )


def _all_cuttings(task: _Task) -> list[_Cutting] | None:
    """Cuttings to which no further wanted length can be added; None if there are too many."""
    found: list[_Cutting] = []
    looks = 0
    tails = [0.0]
    for width, wanted in zip(reversed(task.widths), reversed(task.wanted), strict=True):
        tails.append(tails[-1] + width * wanted)
    tails.reverse()  # length of all that is wanted from here on

    def fill(bar: int, counts: tuple[int, ...], room: float, least: float) -> bool:
        """Go on with the next length; `least` is the shortest that could still be added."""
        nonlocal looks
        looks += 1
        i = len(counts)
        if room - tails[i] >= least:
            return True  # room for one more stays, whatever follows
        if i == len(task.widths):
            if any(counts):
                found.append(_Cutting(bar, counts))
            return len(found) <= _MOST and looks <= _MOST_LOOKS
        for n in range(min(task.wanted[i], int(room / task.widths[i])), -1, -1):
            short = task.widths[i] if n < task.wanted[i] else math.inf
            left = room - n * task.widths[i]
            if not fill(bar, (*counts, n), left, min(least, short)):
                return False
        return True

    if all(fill(bar, (), room, math.inf) for bar, room in enumerate(task.rooms)):
        return found
    return None


def _made_as_asked(task: _Task, known: Sequence[_Cutting]) -> tuple[list[_Cutting], float]:
    """Cuttings that the linear programme asks for, and its bound on the cost.

    No bound (minus infinity) if the making of cuttings stops early.
    """
    cuttings = list(dict.fromkeys([*_to_start_with(task), *known]))
    for _ in range(_ROUNDS):
        value, worth, rent = duals(_programme(task, cuttings))
        fresh = []
        for quick in (True, False):  # the full search only when a short one finds no gain
            for bar, cost in enumerate(task.costs):
                looks = _QUICK_LOOKS if quick else _MOST_LOOKS
                counts, gain, is_most = _most_worth(task, task.rooms[bar], worth, looks)
                if gain > cost + rent[bar] + _GAIN:
                    fresh.append(_Cutting(bar, counts))
                elif not quick and not is_most:
                    return cuttings, -math.inf
            if fresh:
                break
        if not fresh:
            return cuttings, value
        cuttings = list(dict.fromkeys([*cuttings, *fresh]))
    return cuttings, -math.inf


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


def _most_worth(
    task: _Task, room: float, worth: Sequence[float], most_looks: int
) -> tuple[tuple[int, ...], float, bool]:
    """Cutting of most worth that fits the room: branch and bound by worth per length.

    The last value says whether the search was finished.
    """
    kinds = [i for i in range(len(worth)) if worth[i] > 0.0 and task.wanted[i]]
    order = sorted(kinds, key=lambda i: -worth[i] / task.widths[i])
    rates = [worth[i] / task.widths[i] for i in order]
    best, best_worth = [0] * len(worth), 0.0
    counts = [0] * len(worth)
    looks = 0

    def look(depth: int, rest: float, so_far: float) -> None:
        nonlocal best, best_worth, looks
        looks += 1
        if so_far > best_worth:
            best, best_worth = counts.copy(), so_far
        if depth == len(order) or looks > most_looks:
            return
        i = order[depth]
        for n in range(min(task.wanted[i], int(rest / task.widths[i])), -1, -1):
            left, value = rest - n * task.widths[i], so_far + n * worth[i]
            rate = rates[depth + 1] if depth + 1 < len(order) else 0.0
            if value + left * rate <= best_worth + 1e-12:
                break  # fewer of this one leaves more room to poorer ones: worse still
            counts[i] = n
            look(depth + 1, left, value)
        counts[i] = 0

    look(0, room, 0.0)
    return tuple(best), best_worth, looks <= most_looks


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
