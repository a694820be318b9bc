"""What the build takes from the rack, and what has to be bought for it.

Room: sheet. A sheet or bar with a count of its own is on the rack; one with
count 0 has to be bought. Prices are those of the plan; nothing is looked up.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from foldwright.plan import AnyPart, Bought, Sheet, Stock
from foldwright.sheet.bars import BarPlan
from foldwright.sheet.coats import Paint
from foldwright.sheet.filling import filling_mass, mixed
from foldwright.sheet.outlines import ring_extent
from foldwright.sheet.records import LeftOut, StockLayout, is_rectangle
from foldwright.shop.fillers import USUAL_FILLER
from foldwright.shop.finishes import USUAL_TIN


@dataclass(frozen=True)
class PurchaseLine:
    """One thing, and how many of it.

    Attributes
    ----------
    stock : str
        Name on the rack; empty for a bought part.
    what : str
        In words: "1220.0 by 2440.0 mm sheet".
    from_rack, to_buy : int
    price : float
        Of one; 0 if the plan gives none.
    """

    stock: str
    what: str
    from_rack: int
    to_buy: int
    price: float

    @property
    def cost(self) -> float:
        """What buying takes."""
        return self.to_buy * self.price


@dataclass(frozen=True)
class PurchaseList:
    """All lines; `cost` is what buying takes, `unplaced` what no sheet or bar was found for."""

    lines: tuple[PurchaseLine, ...]
    cost: float
    unpriced: tuple[str, ...]
    unplaced: tuple[LeftOut, ...]


def purchase_list(
    layouts: Iterable[StockLayout],
    bars: Iterable[BarPlan],
    parts: Sequence[AnyPart] = (),
    *,
    paints: Sequence[Paint] = (),
    filler: float = 0.0,
) -> PurchaseList:
    """List what is taken and what is bought.

    Parameters
    ----------
    layouts, bars
        For each stock used.
    parts : sequence of AnyPart
        All parts of the build; those of kind `bought` are listed, families as one.
    paints : sequence of Paint
        What its finishes take, all parts together.
    filler : float
        That stays in all gaps [mm3].

    Returns
    -------
    PurchaseList
        `unpriced` names what has to be bought and has no price in the plan, so
        that nobody takes the sum for the whole.
    """
    lines: list[PurchaseLine] = []
    unplaced: list[LeftOut] = []
    for layout in layouts:
        used = Counter(sheet.sheet_index for sheet in layout.sheets)
        lines += [_sheet_line(layout.stock, i, used[i]) for i in sorted(used)]
        unplaced += layout.left_out
    for plan in bars:
        sawn = Counter(bar.bar_index for bar in plan.bars)
        for i in sorted(sawn):
            bar = plan.stock.bars[i]
            what = f"{bar.length:.1f} mm length"
            lines.append(_line(plan.stock.name, what, sawn[i], bar.count, bar.price))
        unplaced += plan.left_out
    families = Counter(part.family or part.name for part in parts if isinstance(part, Bought))
    lines += [PurchaseLine("", name, 0, count, 0.0) for name, count in families.items()]
    lines += [_paint_line(paint) for paint in paints]
    if filler > 0.0:
        lines.append(_filler_line(filler))
    unpriced = tuple(
        f"{line.stock} {line.what}".strip() for line in lines if line.to_buy and not line.price
    )
    return PurchaseList(tuple(lines), sum(line.cost for line in lines), unpriced, tuple(unplaced))


def _line(stock: str, what: str, used: int, count: int, price: float) -> PurchaseLine:
    from_rack = min(used, count)
    return PurchaseLine(stock, what, from_rack, used - from_rack, price)


def _paint_line(paint: Paint) -> PurchaseLine:
    what = (
        f"{paint.what}, {paint.litres:.2f} litres, give or take {paint.spread:.2f}, for "
        f"{paint.area:.1f} m²; tins of {USUAL_TIN:g} litre"
    )
    return PurchaseLine("", what, 0, paint.tins, 0.0)


def _filler_line(volume: float) -> PurchaseLine:
    mix = mixed(volume)
    what = f"{USUAL_FILLER} filler, mix {mix * 1e-3:.1f} cm³ ({1e3 * filling_mass(mix):.0f} g)"
    return PurchaseLine("", what, 0, 1, 0.0)


def _sheet_line(stock: Stock, index: int, used: int) -> PurchaseLine:
    sheet = stock.sheets[index]
    return _line(stock.name, sheet_in_words(sheet), used, sheet.count, sheet.price)


def sheet_in_words(sheet: Sheet) -> str:
    """Return "1220.0 by 2440.0 mm sheet", or what rectangle an odd offcut would fill."""
    box = ring_extent(sheet.outline)
    size = f"{box.width:.1f} by {box.height:.1f} mm"
    return f"{size} sheet" if is_rectangle(sheet) else f"odd offcut within {size}"
