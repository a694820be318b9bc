"""Nets: which edges fold, so that the seams are shortest and nothing overlaps.

Room: flat. An exact search, best first. Without overlaps the best net is a
maximum spanning tree of the faces, each edge weighted by its length (and more
where its seam would be seen). When two panels of that tree overlap, the cause
lies wholly in the folds on the way from one to the other; so at least one of
*those* has to become a seam. The search branches on which, and takes the
heaviest tree of each branch. The first tree that does not overlap is optimal.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterable, Mapping, Sequence
from itertools import combinations, count

from shapely import Polygon

from foldwright.errors import CannotMake
from foldwright.flat.develop import Layout, Sheet, TooNarrow, develop
from foldwright.flat.pattern import Point

# Overlaps under this are rounding [mm2].
_TOUCH = 1e-6
# A search this long means that the solid needs to come in pieces.
_MOST_NETS = 5000


def best_net(
    part: str,
    sheet: Sheet,
    weights: Sequence[float],
    must_fold: frozenset[int] = frozenset(),
) -> list[Layout]:
    """Lay out the net with the least weighted seam.

    Parameters
    ----------
    part : str
        For messages.
    sheet : Sheet
    weights : sequence of float
        Cost of a seam along each edge, 0 or more.
    must_fold : frozenset of int
        Edges that the maker forces to fold.

    Returns
    -------
    list of Layout
        One per connected piece.

    Raises
    ------
    CannotMake
        The forced folds make a ring, or every net overlaps or has a face too
        narrow for its folds.
    """
    foldable = frozenset(sheet.folds)
    start = _heaviest(sheet, weights, must_fold, foldable)
    if start is None:
        raise CannotMake(
            f"The folds forced on {part} close a ring, which cannot be laid flat.",
            part=part,
            field="fold_at",
            remedy="Take one of them out of fold_at.",
        )
    ticket = count()  # settles ties by age, so that the same plan gives the same net
    heap = [(-_total(weights, start), next(ticket), start, must_fold, foldable)]
    narrow: TooNarrow | None = None
    for _ in range(_MOST_NETS):
        if not heap:
            break
        _, _, net, include, allowed = heapq.heappop(heap)
        try:
            layouts = develop(part, sheet, net)
            cause = next(filter(None, (_overlap(sheet, layout) for layout in layouts)), None)
            if cause is None:
                return layouts
        except TooNarrow as fault:
            narrow = narrow or fault
            cause = fault.folds
        for branch_include, branch_allowed in _branches(cause, include, allowed):
            tree = _heaviest(sheet, weights, branch_include, branch_allowed)
            if tree is not None:
                weight = -_total(weights, tree)
                heapq.heappush(heap, (weight, next(ticket), tree, branch_include, branch_allowed))
    if narrow is not None:
        raise narrow
    raise CannotMake(
        f"{part} cannot be cut from one piece: every way to unfold it overlaps.",
        part=part,
        field="cut_at",
        remedy="Split it into two parts.",
    )


def _branches(
    cause: Sequence[int], include: frozenset[int], allowed: frozenset[int]
) -> list[tuple[frozenset[int], frozenset[int]]]:
    """Split the remaining nets by the first fold of the cause that becomes a seam."""
    branches = []
    for i, edge in enumerate(cause):
        if edge not in include:
            branches.append((include | frozenset(cause[:i]), allowed - {edge}))
    return branches


def _heaviest(
    sheet: Sheet, weights: Sequence[float], include: frozenset[int], allowed: frozenset[int]
) -> frozenset[int] | None:
    """Kruskal's maximum spanning forest that holds `include`; None if that makes a ring.

    It must join the faces into as few pieces as all foldable edges do.
    """
    tree = _Forest(face.name for face in sheet.faces)
    chosen = set()
    for number in include:
        if number not in allowed or not tree.join(*_ends(sheet, number)):
            return None
        chosen.add(number)
    for number in sorted(allowed - include, key=lambda n: (-weights[n], n)):
        if tree.join(*_ends(sheet, number)):
            chosen.add(number)
    whole = _Forest(face.name for face in sheet.faces)
    for number in sheet.folds:
        whole.join(*_ends(sheet, number))
    return frozenset(chosen) if tree.pieces == whole.pieces else None


def _ends(sheet: Sheet, number: int) -> tuple[str, str]:
    return sheet.edges[number].left, sheet.edges[number].right


def _total(weights: Sequence[float], net: frozenset[int]) -> float:
    return sum(weights[number] for number in net)


class _Forest:
    """Faces joined so far (union-find)."""

    def __init__(self, names: Iterable[str]) -> None:
        self.root = {name: name for name in names}
        self.pieces = len(self.root)

    def find(self, name: str) -> str:
        while self.root[name] != name:
            name = self.root[name]
        return name

    def join(self, a: str, b: str) -> bool:
        a, b = self.find(a), self.find(b)
        if a == b:
            return False
        self.root[a] = b
        self.pieces -= 1
        return True


def _overlap(sheet: Sheet, layout: Layout) -> tuple[int, ...] | None:
    """Folds between the first two panels or zones that overlap; None if none do."""
    patches: list[tuple[str, Polygon]] = [
        (face, Polygon(layout.blanks[face])) for face in layout.order
    ]
    patches += [(child, Polygon(layout.zones[number])) for child, number in layout.parent.items()]
    for (a, one), (b, other) in combinations(patches, 2):
        if _apart(one.bounds, other.bounds):
            continue
        if one.intersection(other).area > _TOUCH:
            return _way(sheet, layout.parent, a, b)
    return None


def _apart(a: tuple[float, ...], b: tuple[float, ...]) -> bool:
    return a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]


def _way(sheet: Sheet, parent: Mapping[str, int], a: str, b: str) -> tuple[int, ...]:
    """Folds on the way between two faces; that of `a` itself when they are one face."""

    def up(face: str) -> list[int]:
        numbers = []
        while face in parent:
            numbers.append(parent[face])
            left, right = _ends(sheet, parent[face])
            face = left if right == face else right
        return numbers

    way_a, way_b = up(a), up(b)
    if a == b:
        return tuple(way_a[:1])
    shared = set(way_a) & set(way_b)
    return tuple(n for n in [*way_a, *way_b] if n not in shared)


def bounds(points: Sequence[Point]) -> tuple[float, float, float, float]:
    """Least and greatest x and y: (x0, y0, x1, y1)."""
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return min(xs), min(ys), max(xs), max(ys)
