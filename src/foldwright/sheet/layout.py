"""Layouts: what to cut from which sheet.

Room: sheet. Start here: `lay_out`. In order:

1. what fits no sheet is named (`fitting`);
2. bounding rectangles are placed (`corners`), which always answers;
3. the packing library is asked (`library`): once for the least price, once for
   offcuts first; then the emptiest sheet is packed closer, so that what
   remains of it is worth keeping;
4. every layout is proved (`verify`), and the best that holds is kept: the
   fewest blanks left out, then the least price, then the least taken from whole
   sheets, then the largest remainder.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from foldwright.box import Box
from foldwright.flat import Piece
from foldwright.plan import Stock
from foldwright.sheet.blanks import Blank, blanks_of, turned
from foldwright.sheet.corners import corner_packer
from foldwright.sheet.fitting import fitting_turns, why_not, why_unplaced
from foldwright.sheet.library import library_packer
from foldwright.sheet.outlines import ring_extent
from foldwright.sheet.packing import (
    Board,
    Item,
    PackedBoard,
    Packer,
    PackingResult,
    PackingTask,
    Placed,
)
from foldwright.sheet.records import (
    LEAST_REMAINDER,
    LeftOut,
    SheetLayout,
    Spot,
    StockLayout,
    is_offcut,
    is_rectangle,
    sheet_area,
)
from foldwright.sheet.verify import layout_faults

_LEAST_SECONDS = 0.3  # below this the library is not worth starting
_OFFCUT_COST = 1e-3  # of an offcut, as a share of what its area would cost whole
# Shares of the time: filling the offcuts, then the rest; all at once; the last sheet.
_FILL, _REST, _ALL, _LAST = 0.15, 0.4, 0.25, 0.2


@dataclass(frozen=True)
class _Job:
    """A stock, its blanks that fit some sheet, and the turns each may take."""

    stock: Stock
    blanks: tuple[Blank, ...]
    turns: tuple[tuple[float, ...], ...]

    def task(self, seconds: float, goal: str = "cheapest") -> PackingTask:
        """All blanks on all sheets."""
        wanted = sum(blank.count for blank in self.blanks)
        costs = _costs(self.stock)
        return PackingTask(
            tuple(
                Item(blank.rough, _useful(blank, self.blanks), turns, blank.count)
                for blank, turns in zip(self.blanks, self.turns, strict=True)
            ),
            tuple(
                Board(sheet.outline, cost, sheet.count or wanted)
                for sheet, cost in zip(self.stock.sheets, costs, strict=True)
            ),
            self.stock.trim,
            self.stock.kerf + self.stock.gap,
            seconds,
            goal,
        )


def lay_out(
    pieces: Sequence[Piece],
    stock: Stock,
    *,
    seconds: float = 5.0,
    packer: Packer = library_packer,
) -> StockLayout:
    """Lay the blanks of one stock out on its sheets.

    Parameters
    ----------
    pieces : sequence of Piece
        Those of other stocks are passed over.
    stock : Stock
        Board, with its sheets, trim, kerf and gap.
    seconds : float
        How long the packer may think, about; twice that on a busy machine. 0
        leaves it at bounding rectangles.
    packer : Packer

    Returns
    -------
    StockLayout
        Proved: every piece laid once or left out with the reason. The same for
        the same input, unless a busy machine cuts the search short.

    Notes
    -----
    Offcuts come first, then the least price; without prices, the least area.
    """
    blanks = blanks_of(pieces, stock.name)
    turns = [fitting_turns(blank, stock) for blank in blanks]
    left_out = tuple(
        LeftOut(id, why_not(blank, stock))
        for blank, allowed in zip(blanks, turns, strict=True)
        if not allowed
        for id in blank.ids
    )
    fitting = [(blank, allowed) for blank, allowed in zip(blanks, turns, strict=True) if allowed]
    job = _Job(stock, tuple(b for b, _ in fitting), tuple(t for _, t in fitting))
    wanted = [piece for piece in pieces if piece.stock == stock.name]
    if not fitting:
        return StockLayout(stock, (), left_out)
    best: StockLayout | None = None
    notes: list[str] = []
    for result in _results(job, seconds, packer):
        layout = _layout(job, result, left_out)
        faults = layout_faults(layout, wanted)
        if result.trouble or faults:
            notes.append(result.trouble or f"a layout was thrown away: {faults[0]}")
        elif best is None or _rank(layout, job) < _rank(best, job):
            best = layout
    assert best is not None, f"no layout of {stock.name} holds: {notes}"
    if seconds >= _LEAST_SECONDS:
        best = _closer(job, best, wanted, left_out, _LAST * seconds, packer)
    return replace(best, notes=tuple(dict.fromkeys(notes)))


def _results(job: _Job, seconds: float, packer: Packer) -> Iterator[PackingResult]:
    """Packings to choose from."""
    quick = corner_packer(job.task(0.0))
    yield quick
    offcuts = [i for i, sheet in enumerate(job.stock.sheets) if is_offcut(sheet, job.stock)]
    if offcuts:
        yield _in_two(job, offcuts, corner_packer, 0.0, 0.0)
    if seconds < _LEAST_SECONDS:
        return
    if offcuts and len(offcuts) < len(job.stock.sheets):
        yield _in_two(job, offcuts, packer, _FILL * seconds, _REST * seconds)
        share = _ALL
    else:
        share = _FILL + _REST + _ALL
    if _placed_count(quick) == sum(blank.count for blank in job.blanks):
        # Where all sheets are alike, the least price is the fewest, closely packed.
        alike = len(job.stock.sheets) == 1
        yield packer(job.task(share * seconds, "compact" if alike else "cheapest"))
        return
    # There may be too few sheets: half of the time for all of it, half for most of it.
    yield packer(job.task(0.5 * share * seconds))
    yield packer(job.task(0.5 * share * seconds, "most"))


def _in_two(
    job: _Job, offcuts: Sequence[int], packer: Packer, fill: float, rest: float
) -> PackingResult:
    """Fill the offcuts as well as can be, then lay the rest on whole sheets."""
    task = job.task(fill, "most")
    first = packer(replace(task, boards=tuple(task.boards[i] for i in offcuts)))
    if first.trouble:
        return first
    used = [0] * len(task.items)
    for board in first.boards:
        for placed in board.placed:
            used[placed.item] += 1
    others = [i for i in range(len(task.boards)) if i not in offcuts]
    remaining = [i for i, item in enumerate(task.items) if used[i] < item.count]
    boards = [PackedBoard(offcuts[b.board], b.placed) for b in first.boards]
    if not remaining:
        return PackingResult(tuple(boards))
    items = [replace(task.items[i], count=task.items[i].count - used[i]) for i in remaining]
    second = packer(
        replace(
            task,
            items=tuple(items),
            boards=tuple(task.boards[i] for i in others),
            seconds=rest,
            goal="compact" if len(others) == 1 else "cheapest",
        )
    )
    for board in second.boards:
        placed_again = tuple(replace(p, item=remaining[p.item]) for p in board.placed)
        boards.append(PackedBoard(others[board.board], placed_again))
    return PackingResult(tuple(boards), second.trouble)


def _closer(
    job: _Job,
    layout: StockLayout,
    wanted: Sequence[Piece],
    left_out: tuple[LeftOut, ...],
    seconds: float,
    packer: Packer,
) -> StockLayout:
    """Pack the emptiest whole sheet closer, if more of it remains in one piece."""
    whole = [s for s in layout.sheets if not is_offcut(s.sheet, job.stock) and s.spots]
    if not whole or seconds < _LEAST_SECONDS:
        return layout
    sheet = min(whole, key=lambda s: (s.used, s.number))
    blank_at = {id: i for i, blank in enumerate(job.blanks) for id in blank.ids}
    ids: dict[int, list[str]] = {}
    for spot in sheet.spots:
        ids.setdefault(blank_at[spot.piece], []).append(spot.piece)
    task = job.task(seconds, "compact")
    items = tuple(replace(task.items[i], count=len(those)) for i, those in ids.items())
    board = replace(task.boards[sheet.sheet_index], count=1)
    result = packer(replace(task, items=items, boards=(board,)))
    if result.trouble or _placed_count(result) != len(sheet.spots):
        return layout
    order = list(ids)
    left = {i: list(those) for i, those in ids.items()}
    spots = tuple(_spot(left[order[p.item]].pop(0), p) for b in result.boards for p in b.placed)
    closer = _with_figures(job, replace(sheet, spots=spots))
    sheets = tuple(closer if s is sheet else s for s in layout.sheets)
    trial = replace(layout, sheets=sheets)
    is_better = _kept(closer) > _kept(sheet) and not layout_faults(trial, wanted)
    return trial if is_better else layout


def _placed_count(result: PackingResult) -> int:
    return sum(len(board.placed) for board in result.boards)


def _useful(blank: Blank, others: Sequence[Blank]) -> tuple[tuple[tuple[float, float], ...], ...]:
    """Windows of a blank in which the smallest of the blanks might lie."""
    least = min(min(b.width, b.height) for b in others)
    boxes = [(window, ring_extent(window)) for window in blank.rough_windows]
    return tuple(window for window, box in boxes if min(box.width, box.height) > least)


def _costs(stock: Stock) -> list[float]:
    """What a packer is told that each sheet costs: its price, or its area's at the usual price.

    An offcut costs next to nothing, the smaller the less.
    """
    priced = [s for s in stock.sheets if s.price > 0.0]
    rate = sum(s.price for s in priced) / sum(sheet_area(s) for s in priced) if priced else 1e-4
    costs = []
    for sheet in stock.sheets:
        worth = sheet_area(sheet) * rate
        costs.append(worth * _OFFCUT_COST if is_offcut(sheet, stock) else sheet.price or worth)
    return costs


def _layout(job: _Job, result: PackingResult, left_out: tuple[LeftOut, ...]) -> StockLayout:
    """Give a packing's items the ids of the pieces."""
    left = [list(blank.ids) for blank in job.blanks]
    sheets: list[SheetLayout] = []
    for board in sorted(result.boards, key=lambda b: not is_offcut_at(job.stock, b.board)):
        # an item too many is a lost id: `verify` sees it
        spots = tuple(_spot(left[p.item].pop(0), p) for p in board.placed if left[p.item])
        if spots:
            bare = SheetLayout(job.stock, board.board, len(sheets) + 1, spots, 0.0)
            sheets.append(_with_figures(job, bare))
    more = tuple(LeftOut(id, why_unplaced(job.stock)) for ids in left for id in ids)
    price = sum(sheet.sheet.price for sheet in sheets)
    return StockLayout(job.stock, tuple(sheets), (*left_out, *more), price)


def is_offcut_at(stock: Stock, index: int) -> bool:
    """Whether a stock's sheet of this index is an offcut."""
    return is_offcut(stock.sheets[index], stock)


def _spot(id: str, placed: Placed) -> Spot:
    return Spot(id, placed.x, placed.y, placed.turn)


def _with_figures(job: _Job, layout: SheetLayout) -> SheetLayout:
    """Add the share used and the remainder."""
    areas = {id: blank.area for blank in job.blanks for id in blank.ids}
    used = sum(areas[spot.piece] for spot in layout.spots) / sheet_area(layout.sheet)
    return replace(layout, used=used, remainder=_remainder(job, layout))


def _remainder(job: _Job, layout: SheetLayout) -> Box | None:
    """Larger of what is left above and right of all blanks, a saw cut away."""
    if not is_rectangle(layout.sheet):
        return None
    outlines = {id: blank.outline for blank in job.blanks for id in blank.ids}
    boxes = [ring_extent(turned(outlines[s.piece], s.turn, (s.x, s.y))) for s in layout.spots]
    size = ring_extent(layout.sheet.outline)
    above = max(box.high for box in boxes) + job.stock.kerf
    beside = max(box.right for box in boxes) + job.stock.kerf
    strips = (
        Box(size.left, above, size.right, size.high),
        Box(beside, size.low, size.right, size.high),
    )
    worth = [s for s in strips if min(s.width, s.height) >= LEAST_REMAINDER]
    return max(worth, key=lambda s: s.width * s.height, default=None)


def _kept(layout: SheetLayout) -> float:
    return layout.remainder.width * layout.remainder.height if layout.remainder else 0.0


def _rank(layout: StockLayout, job: _Job) -> tuple[float, ...]:
    """How good a layout is, the least first."""
    costs = _costs(job.stock)
    whole = [s for s in layout.sheets if not is_offcut(s.sheet, job.stock)]
    spent = sum(costs[sheet.sheet_index] for sheet in whole)
    taken = sum(sheet.used * sheet_area(sheet.sheet) for sheet in whole)
    kept = sum(_kept(sheet) for sheet in whole)
    return (len(layout.left_out), round(spent, 6), round(taken, 3), -round(kept, 3))
