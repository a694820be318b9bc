"""Unfolding: lay many nets of one solid out flat, quickly, and see what overlaps.

Room: flat. `develop` lays one net out with everything a drawing needs; a
search tries thousands. `Unfolding` asks `develop` once for the motion across
each fold and for each panel in each state (which of its sides fold), keeps
them, and from then on only multiplies: a motion of the plane is a pair of
complex numbers, z -> turn z + shift.

A *patch* is what takes up board: the panel of a face, or the zone of a fold.
A *cause* says why a net will not do, as a list of changes of which at least
one has to be made: so a search can branch on them and leave nothing out.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from foldwright.flat.develop import Sheet, TooNarrow, hanging, inwards_of, panel_rim
from foldwright.flat.rims import blunt_corners, ledge_of
from foldwright.shape import is_same_way_round, move_sides

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

type Complexes = NDArray[np.complex128]
type Pairs = NDArray[np.intp]

# Overlaps under this are rounding [mm2].
TOUCH = 1e-6
# Convex patches that sink less than this into one another only touch [mm] ...
_GRAZE = 1e-7
# ... and deeper than this overlap for certain; in between the area decides.
_SUNK = 0.05
# What two patches share is an overlap if it is wider than this on the whole [mm].
_THIN = 1e-7
# Areas are cut out on this grid [mm].
_GRID = 1e-8


@dataclass(frozen=True)
class Change:
    """Edge `edge` becomes a fold (`folds`) or a seam."""

    edge: int
    folds: bool


type Cause = tuple[Change, ...]


@dataclass(frozen=True)
class Laid:
    """A net laid out flat.

    Attributes
    ----------
    net : frozenset of int
    piece : list of int
        Number of the piece that each face belongs to.
    parent : list of int
        Edge over which each face hangs; -1 for the first of its piece.
    turn, shift : list of complex
        Motion of each face from its own frame to that of its piece.
    """

    net: frozenset[int]
    piece: list[int]
    parent: list[int]
    turn: list[complex]
    shift: list[complex]


@dataclass(frozen=True)
class Shape:
    """A panel in its face's own frame: its corners, and its convex hull padded to one length.

    `edges` names the edge that each corner leads along; None if there is none.
    """

    corners: Complexes
    hull: Complexes
    is_convex: bool
    edges: tuple[int | None, ...] = ()

    def ends(self, edge: int) -> tuple[complex, complex]:
        """Where the side on an edge starts and ends."""
        i = self.edges.index(edge)
        return self.corners[i], self.corners[(i + 1) % len(self.corners)]


class Unfolding:
    """A sheet with everything remembered that laying out a net asks for.

    Faces are numbered as in ``sheet.faces``.
    """

    def __init__(self, part: str, sheet: Sheet) -> None:
        self.part, self.sheet = part, sheet
        self.names = [face.name for face in sheet.faces]
        number = {name: i for i, name in enumerate(self.names)}
        self.ends = [(number[edge.left], number[edge.right]) for edge in sheet.edges]
        self.foldable = frozenset(sheet.folds)
        self.sides: list[list[int | None]] = [
            [sheet.edge_of_side[(name, i)] for i in range(len(sheet.outlines[name]))]
            for name in self.names
        ]
        self.edges_of = [frozenset(n for n in side if n is not None) for side in self.sides]
        self._hangings: dict[tuple[int, int], tuple[complex, complex]] = {}
        self._panels: dict[tuple[int, frozenset[int]], Shape | TooNarrow] = {}
        self._blunt = [blunt_corners(*sheet.rims[name]) for name in self.names]
        # Zones have four corners; a square cut adds up to two to a panel's hull.
        self._most = max(
            4, *(len(s) + 2 * len(b) for s, b in zip(self.sides, self._blunt, strict=True))
        )

    # --- pieces of the layout ---------------------------------------------------

    def other(self, edge: int, face: int) -> int:
        """Face on the other side of an edge."""
        left, right = self.ends[edge]
        return right if face == left else left

    def hanging(self, edge: int, face: int) -> tuple[complex, complex]:
        """Motion that hangs the face beyond `edge` on `face`."""
        key = (edge, face)
        if key not in self._hangings:
            child = self.names[self.other(edge, face)]
            motion = hanging(self.sheet, edge, self.names[face], child)
            self._hangings[key] = (
                complex(motion[0, 0], motion[1, 0]),
                complex(motion[0, 2], motion[1, 2]),
            )
        return self._hangings[key]

    def panel(self, face: int, net: frozenset[int]) -> Shape | TooNarrow:
        """Panel of a face, both skins, where the edges of a net fold; or why there is none."""
        key = (face, net & self.edges_of[face])
        if key not in self._panels:
            name = self.names[face]
            try:
                panel_rim(self.part, self.sheet, key[1], name, blank=False)
                rim = panel_rim(self.part, self.sheet, key[1], name, blank=True)
                corners = np.array([complex(x, y) for x, y in rim.corners])
                edges = tuple(side.edge if side else None for side in rim.sides)
                self._panels[key] = shape_of(corners, self._most, edges)
            except TooNarrow as fault:
                self._panels[key] = fault
        return self._panels[key]

    def lay(self, net: frozenset[int]) -> Laid:
        """Lay a net out; it has no ring."""
        count = len(self.names)
        folds: list[list[int]] = [[] for _ in range(count)]
        for edge in sorted(net):
            for face in self.ends[edge]:
                folds[face].append(edge)
        piece, parent = [-1] * count, [-1] * count
        turn, shift = [1.0 + 0.0j] * count, [0.0j] * count
        pieces = 0
        for root in range(count):
            if piece[root] >= 0:
                continue
            piece[root] = pieces
            order = [root]
            for face in order:
                for edge in folds[face]:
                    child = self.other(edge, face)
                    if edge != parent[face]:
                        its_turn, its_shift = self.hanging(edge, face)
                        turn[child] = turn[face] * its_turn
                        shift[child] = turn[face] * its_shift + shift[face]
                        piece[child], parent[child] = pieces, edge
                        order.append(child)
            pieces += 1
        return Laid(net, piece, parent, turn, shift)

    def way(self, laid: Laid, a: int, b: int) -> list[int]:
        """Folds on the way from one face to another of the same piece."""

        def up(face: int) -> list[int]:
            found = []
            while laid.parent[face] >= 0:
                found.append(laid.parent[face])
                face = self.other(laid.parent[face], face)
            return found

        way_a, way_b = up(a), up(b)
        while way_a and way_b and way_a[-1] == way_b[-1]:
            way_a.pop()
            way_b.pop()
        return way_a + way_b[::-1]

    # --- what will not do ---------------------------------------------------------

    def narrow(self, net: frozenset[int]) -> list[tuple[int, TooNarrow]]:
        """Faces too narrow for their folds, each with its fault."""
        found = []
        for face in range(len(self.names)):
            panel = self.panel(face, net)
            if isinstance(panel, TooNarrow):
                found.append((face, panel))
        return found

    def overlaps(self, laid: Laid) -> list[tuple[tuple[int, ...], tuple[int, ...]]]:
        """Pairs of patches that overlap, each patch as the one or two faces it lies on."""
        shapes, owners = self._patches(laid)
        hulls = np.array([shape.hull for shape in shapes])
        pieces = np.array([laid.piece[owner[0]] for owner in owners])
        pairs = near_between(hulls, hulls)
        first, second = pairs.T
        pairs = pairs[(first < second) & (pieces[first] == pieces[second])]
        deep = depths_between(hulls, hulls, pairs)
        return [
            (owners[i], owners[j])
            for (i, j), depth in zip(pairs.tolist(), deep.tolist(), strict=True)
            if is_overlap(shapes[i], shapes[j], depth)
        ]

    def _patches(self, laid: Laid) -> tuple[list[Shape], list[tuple[int, ...]]]:
        """Panels, then zones, as they lie; the faces that each lies on."""
        shapes = [
            moved(self.sound(face, laid.net), laid.turn[face], laid.shift[face])
            for face in range(len(self.names))
        ]
        owners: list[tuple[int, ...]] = [(face,) for face in range(len(self.names))]
        for child, edge in enumerate(laid.parent):
            if edge >= 0:
                face = self.other(edge, child)
                a, b = shapes[face].ends(edge)
                c, d = shapes[child].ends(edge)
                shapes.append(shape_of(np.array((b, a, d, c)), self._most))
                owners.append((face, child))
        return shapes, owners

    def sound(self, face: int, net: frozenset[int]) -> Shape:
        """Panel of a face that is known to be wide enough."""
        panel = self.panel(face, net)
        if isinstance(panel, TooNarrow):
            raise panel
        return panel

    # --- causes ---------------------------------------------------------------------

    @cached_property
    def _distances(self) -> list[tuple[list[float], list[float]]]:
        """How far each side of a face moves in as a seam, and as a fold [mm]."""
        none: frozenset[int] = frozenset()
        found = []
        for name, sides in zip(self.names, self.sides, strict=True):
            as_seam = [inwards_of(self.sheet, none, name, edge, blank=True) for edge in sides]
            as_fold = [
                self.sheet.folds[edge].setback if edge in self.foldable and edge is not None else d
                for edge, d in zip(sides, as_seam, strict=True)
            ]
            found.append((as_seam, as_fold))
        return found

    @cached_property
    def _cores(self) -> list[Complexes | None]:
        """What a panel holds whatever folds; None where nothing is sure."""
        cores: list[Complexes | None] = []
        for face, (as_seam, as_fold) in enumerate(self._distances):
            name = self.names[face]
            corners = self.sheet.outlines[name]
            most = [max(d, e) for d, e in zip(as_seam, as_fold, strict=True)]
            beside = {k % len(corners) for i in self._blunt[face] for k in (i - 1, i)}
            for i in beside:
                edge = self.sides[face][i]
                deduction = self.sheet.folds[edge].deduction if edge in self.foldable else 0.0
                if deduction > 0.0:
                    most[i] = max(most[i], ledge_of(deduction))
            core = None
            has_arcs = any(side.arc for side in self.sheet.rims[name][1])
            if np.isfinite(most).all() and not has_arcs:
                moved = move_sides(corners, most)
                if all(is_same_way_round(corners, moved)):
                    core = np.array([complex(float(x), float(y)) for x, y in moved])  # type: ignore[arg-type]
            cores.append(core)
        return cores

    def core(self, face: int) -> Complexes | None:
        """What a face's panel holds whatever folds, in its own frame; None if that is not sure."""
        return self._cores[face]

    def shrinking(self, face: int, net: frozenset[int]) -> list[Change]:
        """Changes of a face's own sides that move one of them further in."""
        return self._own_changes(face, net, inwards=True)

    def _own_changes(self, face: int, net: frozenset[int], *, inwards: bool) -> list[Change]:
        as_seam, as_fold = self._distances[face]
        found = []
        for i, edge in enumerate(self.sides[face]):
            if edge is None or edge not in self.foldable:
                continue
            gain = as_fold[i] - as_seam[i] if edge not in net else as_seam[i] - as_fold[i]
            if gain > 0.0 if inwards else gain < 0.0:
                found.append(Change(edge, edge not in net))
        return found

    def cause_of_narrow(self, face: int, fault: TooNarrow, net: frozenset[int]) -> Cause:
        """At least one of these has to change before a face is wide enough."""
        changes = [Change(edge, False) for edge in fault.folds]
        changes += self._own_changes(face, net, inwards=False)
        return tuple(dict.fromkeys(changes))

    def cause_of_overlap(self, laid: Laid, a: tuple[int, ...], b: tuple[int, ...]) -> Cause:
        """At least one of these has to change before two patches are clear of each other.

        Where the panels overlap even at their smallest, one of the folds on
        the way between them has to go. Else a change of their own sides may
        do as well: a side that folds moves further in than one that is a seam.
        """
        ways = [self.way(laid, i, j) for i in a for j in b]
        folds = dict.fromkeys(Change(edge, False) for way in ways for edge in way)
        if len(a) == len(b) == 1 and self._cores_overlap(laid, a[0], b[0]):
            return tuple(folds)
        for patch in (a, b):
            if len(patch) == 2:  # a zone goes with its own fold
                folds |= dict.fromkeys(Change(n, False) for n in self.way(laid, *patch))
            for face in patch:
                folds |= dict.fromkeys(self.shrinking(face, laid.net))
        return tuple(folds)

    def _cores_overlap(self, laid: Laid, a: int, b: int) -> bool:
        one, other = self.core(a), self.core(b)
        if one is None or other is None:
            return False
        placed = [laid.turn[i] * core + laid.shift[i] for i, core in ((a, one), (b, other))]
        return shared_area(*placed) > TOUCH


# --- polygons as complex numbers ---------------------------------------------------


def hull(corners: Complexes) -> Complexes:
    """Convex hull of an anticlockwise polygon; the very same array if it is convex."""
    along = np.roll(corners, -1) - corners
    if (np.imag(np.conj(np.roll(along, 1)) * along) >= -1e-9).all():  # sides in line [mm2]
        return corners
    return hull_of_points(corners)


def hull_of_points(points: Complexes) -> Complexes:
    """Corners of the convex hull of points, anticlockwise (Andrew's monotone chain)."""
    ordered = sorted(points.tolist(), key=lambda z: (z.real, z.imag))

    def half(points: Sequence[complex]) -> list[complex]:
        chain: list[complex] = []
        for z in points:
            while (
                len(chain) > 1
                and ((chain[-1] - chain[-2]).conjugate() * (z - chain[-1])).imag <= 0.0
            ):
                chain.pop()
            chain.append(z)
        return chain[:-1]

    return np.array(half(ordered) + half(ordered[::-1]))


def shape_of(corners: Complexes, most: int, edges: tuple[int | None, ...] = ()) -> Shape:
    """Shape with its hull padded to `most` corners, or left as it is if it has more."""
    outer = hull(corners)
    row = np.append(outer, np.repeat(outer[-1], max(0, most - len(outer))))
    return Shape(corners, row, outer is corners, edges)


def moved(shape: Shape, turn: complex, shift: complex) -> Shape:
    """Turn, then shift, a shape."""
    return Shape(
        turn * shape.corners + shift, turn * shape.hull + shift, shape.is_convex, shape.edges
    )


def is_overlap(one: Shape, other: Shape, depth: float) -> bool:
    """Whether two shapes share more than rounding, given how deep their hulls sink [mm]."""
    if depth <= _GRAZE:
        return False
    if depth > _SUNK and one.is_convex and other.is_convex:
        return True
    shared = _shared(one.corners, other.corners)
    # A sliver as well, if it is wider than rounding: the outline would cross itself there.
    return shared.area > TOUCH or bool(2.0 * shared.area > _THIN * shared.length)


def near_between(ones: Complexes, others: Complexes) -> Pairs:
    """Pairs (i, j) of a polygon of each list whose bounding boxes overlap, shape (n, 2)."""
    near = (ones.real.min(axis=1)[:, None] < others.real.max(axis=1) - _GRAZE) & (
        others.real.min(axis=1) < ones.real.max(axis=1)[:, None] - _GRAZE
    )
    near &= (ones.imag.min(axis=1)[:, None] < others.imag.max(axis=1) - _GRAZE) & (
        others.imag.min(axis=1) < ones.imag.max(axis=1)[:, None] - _GRAZE
    )
    return np.argwhere(near)


def are_near(ones: Complexes, others: Complexes) -> NDArray[np.bool_]:
    """Whether the bounding boxes of the polygons in one row of each list overlap, shape (n,)."""
    near = (ones.real.min(axis=1) < others.real.max(axis=1) - _GRAZE) & (
        others.real.min(axis=1) < ones.real.max(axis=1) - _GRAZE
    )
    near &= (ones.imag.min(axis=1) < others.imag.max(axis=1) - _GRAZE) & (
        others.imag.min(axis=1) < ones.imag.max(axis=1) - _GRAZE
    )
    return np.asarray(near)


def depths_between(ones: Complexes, others: Complexes, pairs: Pairs) -> NDArray[np.float64]:
    """How deep the convex polygons of each pair sink into one another [mm], 0 or less if apart.

    Separating axes: two convex polygons are apart if and only if a side of one
    of them has the other wholly on its outer side.
    """
    one, other = ones[pairs[:, 0]], others[pairs[:, 1]]
    return np.minimum(_beyond(one, other), _beyond(other, one))


def _beyond(one: Complexes, other: Complexes) -> NDArray[np.float64]:
    along = np.roll(one, -1, axis=1) - one
    length = np.abs(along)
    is_side = length > 1e-12
    unit = np.conj(np.divide(along, length, out=np.ones_like(along), where=is_side))
    inside = np.imag(unit[:, :, None] * (other[:, None, :] - one[:, :, None])).max(axis=2)
    return np.where(is_side, inside, np.inf).min(axis=1)


def shared_area(one: Complexes, other: Complexes) -> float:
    """Area that two polygons have in common [mm2]."""
    return float(_shared(one, other).area)


def _shared(one: Complexes, other: Complexes) -> BaseGeometry:
    from shapely import Polygon, intersection

    a, b = (Polygon(list(zip(p.real, p.imag, strict=True))) for p in (one, other))
    # On a grid: without one, sides that all but coincide can be cut wrongly.
    return intersection(a, b, grid_size=_GRID)


def total(weights: Sequence[float] | Mapping[int, float], edges: Iterable[int]) -> float:
    """Sum of the weights of some edges."""
    return sum(weights[edge] for edge in edges)
