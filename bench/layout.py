"""How much board the layouts save over plain shelves, and how long they take.

Run: python bench/layout.py [seconds]

Each set of blanks is laid out on as many whole sheets as it needs. The figure
is the share of the sheets that becomes blanks, over that of plain shelves
(bounding rectangles in rows, the longest first): above 1 board is saved. The
last sheet counts only as far as it is used.
"""

import math
import random
import sys
import time

from foldwright.flat import Cutout, Piece, Step
from foldwright.plan import Sheet, Stock
from foldwright.sheet import blanks_of, lay_out
from foldwright.sheet.blanks import turned
from foldwright.sheet.outlines import ring_extent

WIDTH, HEIGHT, TRIM, SPACE = 1220.0, 2440.0, 5.0, 5.0
STOCK = Stock(
    "board",
    "acp-3-0.3",
    3.0,
    (Sheet(((0.0, 0.0), (WIDTH, 0.0), (WIDTH, HEIGHT), (0.0, HEIGHT)), 0, 68.0),),
    trim=TRIM,
    kerf=2.0,
    gap=SPACE - 2.0,
)


def piece(id, points, cutouts=()):
    outline = tuple(Step((float(x), float(y))) for x, y in points)
    return Piece(id, id, "board", 3.0, 0, outline, cutouts=tuple(cutouts))


def boxes(chance, count):
    """Crosses: the nets of open boxes."""
    for i in range(count):
        w, d, h = (chance.uniform(60.0, 320.0) for _ in range(3))
        yield piece(
            f"box{i}",
            [(h, 0), (h + w, 0), (h + w, h), (2 * h + w, h), (2 * h + w, h + d), (h + w, h + d),
             (h + w, 2 * h + d), (h, 2 * h + d), (h, h + d), (0, h + d), (0, h), (h, h)],
        )  # fmt: skip


def frames(chance, count):
    """Window frames, and panels that may lie in them."""
    for i in range(count):
        w, h = chance.uniform(250.0, 600.0), chance.uniform(250.0, 600.0)
        hole = [(50, 50), (50, h - 50), (w - 50, h - 50), (w - 50, 50)]
        cut = Cutout(tuple(Step((float(x), float(y))) for x, y in hole), "window")
        yield piece(f"frame{i}", [(0, 0), (w, 0), (w, h), (0, h)], [cut])
        a, b = chance.uniform(60.0, 240.0), chance.uniform(60.0, 240.0)
        yield piece(f"panel{i}", [(0, 0), (a, 0), (a, b), (0, b)])


def gussets(chance, count):
    """Triangles and sectors."""
    for i in range(count):
        w, h = chance.uniform(80.0, 500.0), chance.uniform(80.0, 500.0)
        yield piece(f"gusset{i}", [(0, 0), (w, 0), (0, h)])
        r, turn = chance.uniform(80.0, 300.0), chance.uniform(1.0, 2.6)
        ends = Step((r, 0.0)), Step((r * math.cos(turn), r * math.sin(turn)), (0.0, 0.0))
        yield Piece(f"sector{i}", "s", "board", 3.0, 0, (*ends, Step((0.0, 0.0))))


def shelves(blanks):
    """Sheets that plain shelves take, the last one by its height."""
    sizes = [
        sorted((b.width, b.height)) for b in blanks for _ in b.ids
    ]  # lying down: long side along the shelf
    sizes.sort(reverse=True)
    room, high = WIDTH - 2 * TRIM + SPACE, HEIGHT - 2 * TRIM + SPACE
    sheets, y, x, shelf = 0, 0.0, math.inf, 0.0
    for low, long in sizes:
        across, up = (long, low) if long + SPACE <= room else (low, long)
        if x + across + SPACE > room:
            y, x, shelf = y + shelf, 0.0, up + SPACE
        shelf = max(shelf, up + SPACE)
        if y + shelf > high:
            sheets, y, x, shelf = sheets + 1, 0.0, 0.0, up + SPACE
        x += across + SPACE
    return sheets + (y + shelf) / high


def sheets_of(layout, blanks):
    """Sheets that a layout takes, the one with the largest remainder by its length."""
    outlines = {id: b.outline for b in blanks for id in b.ids}
    used = []
    for sheet in layout.sheets:
        ends = [ring_extent(turned(outlines[s.piece], s.turn, (s.x, s.y))) for s in sheet.spots]
        up = (max(e.high for e in ends) + TRIM) / HEIGHT
        across = (max(e.right for e in ends) + TRIM) / WIDTH
        used.append(min(up, across, 1.0))
    return len(used) - 1 + min(used)


def main():
    seconds = float(sys.argv[1]) if len(sys.argv) > 1 else 5.0
    heads = ("set", "blanks", "shelves", "rectangles", "true shapes", "ratio", "s")
    print("{:10}{:>7}{:>9}{:>12}{:>13}{:>7}{:>6}".format(*heads))
    sets = (("boxes", boxes, 14), ("frames", frames, 14), ("gussets", gussets, 16))
    for name, make, count in sets:
        pieces = list(make(random.Random(7), count))
        blanks = blanks_of(pieces, "board")
        plain = shelves(blanks)
        quick = sheets_of(lay_out(pieces, STOCK, seconds=0.0), blanks)
        start = time.perf_counter()
        found = sheets_of(lay_out(pieces, STOCK, seconds=seconds), blanks)
        took = time.perf_counter() - start
        print(
            f"{name:10}{len(pieces):7}{plain:9.2f}{quick:12.2f}{found:13.2f}"
            f"{plain / found:7.2f}{took:6.1f}"
        )


if __name__ == "__main__":
    main()
