"""Lengths: how many bars to buy for a list of lengths, and how long a strip for an area.

Room: sheet. The bars are planned by `bars` exactly; here are the bare numbers
for one kind of bar, with the bounds that show how far from waste they are.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from foldwright.errors import OutOfDomain
from foldwright.flat import CutLength
from foldwright.plan import Bar, Stock
from foldwright.sheet.bars import BarPlan, cut_bars, fractional_bars
from foldwright.shop.physical import require_above_zero, require_between, require_whole

_NAME = "bar"
_MOST = 5000  # lengths in all; more is no work for hands
# Sums of decimals may come out this much over what they fill exactly [share].
_ROUNDING = 1e-9


@dataclass(frozen=True)
class BarNeed:
    """Bars for a list of lengths.

    Attributes
    ----------
    plan : BarPlan
        Which lengths come from which bar; ids are numbers from 1 in the order given.
    stock : Stock
    cuts : tuple of CutLength
    """

    plan: BarPlan
    stock: Stock
    cuts: tuple[CutLength, ...]

    @property
    def bars(self) -> int:
        """How many bars."""
        return len(self.plan.bars)

    @property
    def is_least(self) -> bool:
        """Whether no plan takes fewer: proven, or as few as the material is."""
        return self.plan.proven or self.bars == self.material_bound

    @property
    def length(self) -> float:
        """All lengths, end to end, without saw cuts [mm]."""
        return math.fsum(cut.length for cut in self.cuts)

    @property
    def material_bound(self) -> int:
        """Bars that the material and the saw cuts fill at the least."""
        room = self.stock.bars[0].length - 2.0 * self.stock.trim + self.stock.kerf
        filled = (self.length + len(self.cuts) * self.stock.kerf) / room
        return math.ceil(filled * (1.0 - _ROUNDING))

    @cached_property
    def programme_bound(self) -> float:
        """Bars that the linear programme takes, fractions allowed."""
        return fractional_bars(self.cuts, self.stock)

    @property
    def offcuts(self) -> tuple[float, ...]:
        """What is left of each bar [mm]."""
        return tuple(bar.offcut for bar in self.plan.bars)


def bars_for(
    bar_length: float,
    lengths: Sequence[float],
    counts: Sequence[int] | None = None,
    *,
    kerf: float = 0.0,
    trim: float = 0.0,
    seconds: float = 30.0,
) -> BarNeed:
    """Bars of one length to buy for a list of lengths.

    Parameters
    ----------
    bar_length : float
        As sold [mm].
    lengths : sequence of float
        Wanted [mm].
    counts : sequence of int, optional
        How many of each; one of each if left out.
    kerf : float
        Width of the saw cut [mm].
    trim : float
        Lost at each end of a bar [mm].
    seconds : float
        Time that the solver may take.

    Returns
    -------
    BarNeed

    Raises
    ------
    OutOfDomain
        Nothing wanted, a length that fits no bar, or counts that do not go with the lengths.

    References
    ----------
    As `foldwright.sheet.bars`.

    Examples
    --------
    >>> need = bars_for(3000.0, [950.0, 1200.0], [2, 2], kerf=2.0)
    >>> need.bars, need.is_least
    (2, True)
    """
    require_above_zero(bar_length, "the bar", name="bar_length")
    require_between(kerf, 0.0, math.inf, "the saw cut", name="kerf")
    require_between(trim, 0.0, math.inf, "what is lost at an end", name="trim")
    wanted = _wanted(lengths, counts)
    longest, room = max(wanted), bar_length - 2.0 * trim
    if longest > room:
        raise OutOfDomain(
            f"A length of {longest:g} mm fits no bar of {bar_length:g} mm, of which {room:g} mm "
            "can be used. Take longer bars, or join two lengths.",
            name="lengths",
        )
    bar = Bar(bar_length, count=0, price=1.0)
    stock = Stock(_NAME, "any", 0.0, form="bar", bars=(bar,), trim=trim, kerf=kerf)
    cuts = tuple(CutLength(str(i), _NAME, _NAME, x) for i, x in enumerate(wanted, 1))
    return BarNeed(cut_bars(cuts, stock, seconds=seconds), stock, cuts)


def strip_length(area: float, width: float, *, share: float = 1.0) -> float:
    """Length of a strip or roll that pieces of an area come from [mm].

    ::

        L = A / (w u)

    Parameters
    ----------
    area : float
        A of all pieces [mm2].
    width : float
        w of the strip [mm].
    share : float
        u, of the strip that ends up as pieces, above 0 to 1; at 1 the length is the
        least that any layout can have.

    Raises
    ------
    OutOfDomain
        Sizes that are not above 0, or a share over 1.

    Examples
    --------
    >>> strip_length(600_000.0, 1000.0, share=0.75)
    800.0
    """
    require_above_zero(area, "the area", name="area", unit="mm2")
    require_above_zero(width, "the width", name="width")
    require_above_zero(share, "the share used", name="share", unit="")
    require_between(share, 0.0, 1.0, "the share used", name="share", unit="")
    return area / (width * share)


def _wanted(lengths: Sequence[float], counts: Sequence[int] | None) -> list[float]:
    """Each length as often as it is wanted."""
    if not lengths:
        raise OutOfDomain("No length is wanted. Give one or more.", name="lengths")
    times = [1] * len(lengths) if counts is None else list(counts)
    if len(times) == 1:
        times *= len(lengths)
    if len(times) != len(lengths):
        raise OutOfDomain(
            f"There are {len(lengths)} lengths and {len(times)} counts. Give a count for each "
            "length, or one for all.",
            name="counts",
        )
    for length in lengths:
        require_above_zero(length, "a length", name="lengths")
    whole = [require_whole(n, 1, "a count", name="counts") for n in times]
    if sum(whole) > _MOST:
        raise OutOfDomain(
            f"{sum(whole)} lengths are more than the {_MOST} that can be planned at once.",
            name="counts",
        )
    return [float(x) for x, n in zip(lengths, whole, strict=True) for _ in range(n)]
