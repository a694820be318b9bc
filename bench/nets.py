"""How long nets take and how short their seams are, beside a plain unfolding.

Run with ``make bench``. Thin card and random convex solids, median of a few.
The plain unfolding is what a simple script does: breadth first from the
largest face, overlaps and all. *Bound* is the seam of the maximum spanning
tree, which no net in one piece undercuts. Ratios within this run.
"""

from __future__ import annotations

import statistics
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent / "tests"))

from foldwright.flat.develop import Sheet, develop
from foldwright.flat.nets import best_net
from net_sheets import TOUCH, card, lengths, net_of, overlap, seam, tree_bound
from random_solids import convex_solid

SEEDS = 3
SIZES = (12, 40, 100, 200)
KINDS = (("points", 1.0), ("planes", 1.0), ("planes", 4.0))


def breadth_first(sheet: Sheet) -> frozenset[int]:
    """Spanning tree of a plain unfolding."""
    first = max(sheet.faces, key=lambda face: len(face.loop)).name
    seen, queue, folds = {first}, [first], set()
    for name in queue:
        for number, edge in enumerate(sheet.edges):
            if name in (edge.left, edge.right):
                far = edge.right if edge.left == name else edge.left
                if far not in seen:
                    seen.add(far)
                    queue.append(far)
                    folds.add(number)
    return frozenset(folds)


def main() -> None:
    """Measure and print."""
    for faces in SIZES:
        for kind, stretch in KINDS:
            times, seams, plain_seams, ratios, overlapping = [], [], [], [], 0
            for seed in range(SEEDS):
                sheet = card(convex_solid(kind, faces, seed, stretch))
                weights = lengths(sheet)
                begin = time.process_time()
                net = best_net("part", sheet, weights)
                times.append(time.process_time() - begin)
                begin = time.process_time()
                plain = breadth_first(sheet)
                layouts = develop("part", sheet, plain)
                ratios.append(times[-1] / (time.process_time() - begin))
                overlapping += any(overlap(layout) > TOUCH for layout in layouts)
                bound = tree_bound(sheet, weights)
                seams.append(seam(weights, net_of(net.layouts)) / bound)
                plain_seams.append(seam(weights, plain) / bound)
            print(
                f"{faces:4} {kind:6} x{stretch:g}  {statistics.median(times):6.2f} s, "
                f"{statistics.median(ratios):5.1f} times a plain unfolding; "
                f"seam {max(seams):.3f} of the bound at worst, "
                f"plain {statistics.median(plain_seams):.2f} "
                f"({overlapping} of {SEEDS} overlap)",
                flush=True,
            )


if __name__ == "__main__":
    main()
