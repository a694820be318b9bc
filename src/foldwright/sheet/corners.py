"""The packer that always answers: bounding rectangles, each as low and as far left as it goes.

Room: sheet. Largest first, on the cheapest board that has room. It wastes what
lies between a shape and its rectangle, and takes milliseconds: the layout to
fall back on, and the one to beat.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from foldwright.box import Box
from foldwright.sheet.blanks import turned
from foldwright.sheet.outlines import is_upright, ring_extent
from foldwright.sheet.packing import Board, Item, PackedBoard, PackingResult, PackingTask, Placed

_TOUCH = 1e-9  # mm; rectangles may touch, floats may round


@dataclass
class _Filling:
    """A board while it is filled: the room that is taken, spacing included."""

    number: int
    board: Board
    taken: list[tuple[float, float, float, float]] = field(default_factory=list)
    placed: list[Placed] = field(default_factory=list)


def corner_packer(task: PackingTask) -> PackingResult:
    """Place the items' bounding rectangles bottom-left, largest first."""
    order = sorted(
        (i for i, item in enumerate(task.items) for _ in range(item.count)),
        key=lambda i: (-_area(task.items[i]), i),
    )
    boards = sorted(range(len(task.boards)), key=lambda i: (task.boards[i].cost, i))
    left = [board.count for board in task.boards]
    open_boards: list[_Filling] = []
    full: dict[int, int] = {}  # item: boards (in order of opening) that have no room for it
    for item in order:
        for filling in open_boards[full.get(item, 0) :]:
            if _place(filling, item, task):
                break
            full[item] = full.get(item, 0) + 1
        else:
            for number in boards:
                if left[number]:
                    fresh = _Filling(number, task.boards[number])
                    if _place(fresh, item, task):
                        left[number] -= 1
                        open_boards.append(fresh)
                        break
    return PackingResult(tuple(PackedBoard(f.number, tuple(f.placed)) for f in open_boards))


def _area(item: Item) -> float:
    box = ring_extent(item.outline)
    return box.width * box.height


def _place(filling: _Filling, number: int, task: PackingTask) -> bool:
    """Put an item on a board where it lies lowest, then furthest left."""
    best: tuple[float, float, float, float, Box] | None = None
    for turn in task.items[number].turns:
        box = ring_extent(turned(task.items[number].outline, turn))
        spot = _lowest(filling, box.width, box.height, task)
        if spot:
            # the upper edge decides, so that a long item lies down
            rank = (spot[1] + box.height, spot[1], spot[0], turn, box)
            best = min(best, rank, key=lambda r: r[:3]) if best else rank
    if best is None:
        return False
    _, y, x, turn, box = best
    filling.placed.append(Placed(number, x - box.left, y - box.low, turn))
    space = task.spacing
    filling.taken.append((x - space, y - space, x + box.width + space, y + box.height + space))
    return True


def _lowest(
    filling: _Filling, width: float, height: float, task: PackingTask
) -> tuple[float, float] | None:
    """Lower left corner [mm] for a rectangle, lowest first; None if there is no room.

    Candidates are the right and upper edges of what lies there, and the
    board's own corners less trim.
    """
    import shapely

    outline = filling.board.outline
    taken = np.array(filling.taken, dtype=np.float64).reshape(-1, 4)
    edges = np.array(outline, dtype=np.float64)
    xs = np.unique(np.concatenate([taken[:, 2], edges[:, 0] + task.trim]))
    ys = np.unique(np.concatenate([taken[:, 3], edges[:, 1] + task.trim]))
    if is_upright(outline):
        box = ring_extent(outline)
        xs = xs[(xs >= box.left + task.trim) & (xs + width <= box.right - task.trim + _TOUCH)]
        ys = ys[(ys >= box.low + task.trim) & (ys + height <= box.high - task.trim + _TOUCH)]
        inside = None
    else:
        inside = shapely.Polygon(outline).buffer(-task.trim, join_style="mitre").buffer(_TOUCH)
        shapely.prepare(inside)
    for y in ys:
        free = xs[_is_free(taken, xs, float(y), width, height)]
        if inside is not None and len(free):
            boxes = shapely.box(free, y, free + width, y + height)
            free = free[shapely.covers(inside, boxes)]
        if len(free):
            return float(free[0]), float(y)
    return None


def _is_free(
    taken: NDArray[np.float64], xs: NDArray[np.float64], y: float, width: float, height: float
) -> NDArray[np.bool_]:
    """For each x, whether the rectangle there keeps off what is taken."""
    near = taken[(taken[:, 1] < y + height - _TOUCH) & (taken[:, 3] > y + _TOUCH)]
    hit = (near[None, :, 0] < xs[:, None] + width - _TOUCH) & (
        near[None, :, 2] > xs[:, None] + _TOUCH
    )
    return np.asarray(~hit.any(axis=1), dtype=np.bool_)
