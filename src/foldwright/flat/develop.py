"""Development: lay the faces of a solid out flat, thickness and all.

Room: flat. Each face keeps its outside outline, moved in by the setback where
it folds, then stands one zone away from its neighbour: so the blank is
shorter than the outside lengths by exactly the deduction of each fold. Seams
keep the mould line on the outside skin; the blank is the union of both skins.

A *net* is the set of edges that fold; it must be a forest on the faces.
Start at `develop`.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from foldwright.errors import CannotMake
from foldwright.flat.pattern import Point
from foldwright.shape import Edge, Face, Solid, Vector, is_same_way_round, level_frame, move_sides
from foldwright.shop import Board, FoldSection, SeamSection


@dataclass(frozen=True)
class Sheet:
    """A solid made ready for unfolding.

    Attributes
    ----------
    solid : Solid
    edges : tuple of Edge
        Edges between two faces that are made.
    folds : Mapping of int to FoldSection
        By edge number; an edge that must not fold has none.
    seams : Mapping of (int, str) to SeamSection
        By edge number and face.
    boards : Mapping of str to (str, Board)
        Stock and board of each face.
    """

    solid: Solid
    edges: tuple[Edge, ...]
    folds: Mapping[int, FoldSection]
    seams: Mapping[tuple[int, str], SeamSection]
    boards: Mapping[str, tuple[str, Board]] = field(default_factory=dict)

    @cached_property
    def faces(self) -> tuple[Face, ...]:
        """Faces that are made."""
        return self.solid.made_faces()

    @cached_property
    def face_frames(self) -> Mapping[str, Vector]:
        """Frame (4, 4) of each face in the part's frame; z points outwards."""
        return {
            face.name: level_frame(self.solid.corners(face), self.solid.normal(face))
            for face in self.faces
        }

    @cached_property
    def outlines(self) -> Mapping[str, list[Point]]:
        """Outside outline of each face in its own frame [mm]."""
        found: dict[str, list[Point]] = {}
        for face in self.faces:
            frame = self.face_frames[face.name]
            local = (self.solid.corners(face) - frame[:3, 3]) @ frame[:3, :2]
            found[face.name] = [(float(x), float(y)) for x, y in local]
        return found

    @cached_property
    def edge_of_side(self) -> Mapping[tuple[str, int], int | None]:
        """Edge number of side i of a face; None where the neighbour is open."""
        numbers = {}
        for number, edge in enumerate(self.edges):
            numbers[(edge.start, edge.end)] = numbers[(edge.end, edge.start)] = number
        return {
            (face.name, i): numbers.get((a, face.loop[(i + 1) % len(face.loop)]))
            for face in self.faces
            for i, a in enumerate(face.loop)
        }

    def side_of_edge(self, number: int, face: str) -> int:
        """Which side of `face` lies on an edge."""
        return next(
            i for i in range(len(self.outlines[face])) if self.edge_of_side[(face, i)] == number
        )

    def edge_length(self, number: int) -> float:
        """Length of an edge on the mould line [mm]."""
        edge = self.edges[number]
        ends = self.solid.vertices[edge.start], self.solid.vertices[edge.end]
        return math.dist(*ends)


class TooNarrow(CannotMake):
    """A face is narrower than the setbacks of its folds; `folds` are their edge numbers."""

    def __init__(self, part: str, face: str, sheet: Sheet, folds: tuple[int, ...]) -> None:
        names = [" to ".join((sheet.edges[i].left, sheet.edges[i].right)) for i in folds]
        super().__init__(
            f'Face "{face}" of {part} is narrower than the setbacks of its folds '
            f"({', '.join(names)}).",
            part=part,
            field="outline",
            remedy="Make the face wider, use a narrower floor, or cut one of these folds "
            "apart with cut_at.",
        )
        self.folds = folds


def require_wide_faces(part: str, sheet: Sheet) -> None:
    """Refuse a face too narrow for all the folds it could have, wherever the seams fall.

    Such a sliver has no flat left to fold against; the maker cuts one of its
    edges apart on purpose (``cut_at``), and is not handed a loose strip.

    Raises
    ------
    TooNarrow
    """
    for face in sheet.faces:
        panel_corners(part, sheet, frozenset(sheet.folds), face.name, blank=False)


@dataclass(frozen=True)
class Layout:
    """Faces of one connected piece, laid out flat.

    Attributes
    ----------
    order : tuple of str
        Faces, each after the one it hangs on.
    parent : Mapping of str to int
        Edge number over which a face hangs; the first face has none.
    motion : Mapping of str to ndarray, shape (3, 3)
        From the face's own frame to the flat frame.
    flats, blanks : Mapping of str to list of Point
        Outside skin between the zones; union of both skins. Flat frame [mm].
    zones : Mapping of int to tuple of Point
        By edge number, anticlockwise.
    """

    order: tuple[str, ...]
    parent: Mapping[str, int]
    motion: Mapping[str, Vector]
    flats: Mapping[str, list[Point]]
    blanks: Mapping[str, list[Point]]
    zones: Mapping[int, tuple[Point, ...]]
    outline: list[Point] = field(default_factory=list)


def develop(part: str, sheet: Sheet, net: frozenset[int]) -> list[Layout]:
    """Lay out every connected piece of a net.

    Parameters
    ----------
    part : str
        For messages.
    sheet : Sheet
    net : frozenset of int
        Edge numbers that fold; without a ring.

    Returns
    -------
    list of Layout
        One per connected piece, largest face first in each.

    Raises
    ------
    TooNarrow
        The setbacks of a face's folds leave nothing flat between them.
    """
    left = {face.name for face in sheet.faces}
    by_size = sorted(left, key=lambda name: (-_area(sheet.outlines[name]), name))
    layouts = []
    for root in by_size:
        if root in left:
            layout = _lay_out(part, sheet, net, root)
            left -= set(layout.order)
            layouts.append(layout)
    return layouts


def _lay_out(part: str, sheet: Sheet, net: frozenset[int], root: str) -> Layout:
    motion = {root: np.eye(3)}
    parent: dict[str, int] = {}
    order = [root]
    for face in order:
        for i in range(len(sheet.outlines[face])):
            number = sheet.edge_of_side[(face, i)]
            if number is None or number not in net or number == parent.get(face):
                continue
            edge = sheet.edges[number]
            child = edge.right if edge.left == face else edge.left
            motion[child] = motion[face] @ hanging(sheet, number, face, child)
            parent[child] = number
            order.append(child)
    flats, blanks = {}, {}
    for face in order:
        flats[face] = _moved(panel_corners(part, sheet, net, face, blank=False), motion[face])
        blanks[face] = _moved(panel_corners(part, sheet, net, face, blank=True), motion[face])
    zones = {number: _zone(sheet, number, child, blanks) for child, number in parent.items()}
    outline = _tour(sheet, net, root, None, blanks)
    return Layout(tuple(order), parent, motion, flats, blanks, zones, outline)


def hanging(sheet: Sheet, number: int, face: str, child: str) -> Vector:
    """Motion that hangs a child's frame on its parent's across a fold."""
    mine, its = sheet.outlines[face], sheet.outlines[child]
    i, j = sheet.side_of_edge(number, face), sheet.side_of_edge(number, child)
    a, b = np.array(mine[i]), np.array(mine[(i + 1) % len(mine)])
    c, d = np.array(its[(j + 1) % len(its)]), np.array(its[j])  # its side runs the other way
    along, its_along = (b - a) / np.linalg.norm(b - a), (d - c) / np.linalg.norm(d - c)
    cos = float(along @ its_along)
    sin = float(its_along[0] * along[1] - its_along[1] * along[0])
    turn = np.array([[cos, -sin], [sin, cos]])
    outward = np.array([along[1], -along[0]])
    motion = np.eye(3)
    motion[:2, :2] = turn
    motion[:2, 2] = a - turn @ c - sheet.folds[number].deduction * outward
    return motion


def panel_corners(
    part: str, sheet: Sheet, net: frozenset[int], face: str, *, blank: bool
) -> list[Point]:
    """Corners of a face between its zones, in its own frame."""
    corners = sheet.outlines[face]
    distances = []
    for i in range(len(corners)):
        number = sheet.edge_of_side[(face, i)]
        if number is None:
            distances.append(0.0)
        elif number in net:
            distances.append(sheet.folds[number].setback)
        else:
            seam = sheet.seams[(number, face)]
            distances.append(min(seam.trim, seam.trim_inside) if blank else seam.trim)
    moved = move_sides(corners, distances)
    kept = is_same_way_round(corners, moved)
    if not all(kept):
        lost = kept.index(False)
        beside = (lost - 1, lost, lost + 1)
        numbers = [sheet.edge_of_side[(face, i % len(corners))] for i in beside]
        raise TooNarrow(part, face, sheet, tuple(n for n in numbers if n is not None and n in net))
    return [(float(x), float(y)) for x, y in moved]  # type: ignore[arg-type]


def _moved(corners: list[Point], motion: Vector) -> list[Point]:
    return [(float(x), float(y)) for x, y in np.array(corners) @ motion[:2, :2].T + motion[:2, 2]]


def _zone(
    sheet: Sheet, number: int, child: str, blanks: Mapping[str, list[Point]]
) -> tuple[Point, ...]:
    edge = sheet.edges[number]
    face = edge.left if edge.right == child else edge.right
    mine, its = blanks[face], blanks[child]
    i, j = sheet.side_of_edge(number, face), sheet.side_of_edge(number, child)
    return (mine[(i + 1) % len(mine)], mine[i], its[(j + 1) % len(its)], its[j])


def _tour(
    sheet: Sheet,
    net: frozenset[int],
    face: str,
    entered: int | None,
    blanks: Mapping[str, list[Point]],
) -> list[Point]:
    """Walk round a face and all that hangs on it, anticlockwise: the outline of the blank.

    The net has no ring, so one walk meets every free side once; no boolean
    operation, no rounding.
    """
    corners = blanks[face]
    count = len(corners)
    first = 0 if entered is None else sheet.side_of_edge(entered, face) + 1
    points: list[Point] = []
    for step in range(count if entered is None else count - 1):
        i = (first + step) % count
        points.append(corners[i])
        number = sheet.edge_of_side[(face, i)]
        if number is not None and number in net:
            edge = sheet.edges[number]
            child = edge.right if edge.left == face else edge.left
            points += _tour(sheet, net, child, number, blanks)
    if entered is not None:
        points.append(corners[(first - 1) % count])
    return points


def straightened(points: Sequence[Point]) -> list[Point]:
    """Leave out corners that repeat the last or lie on a straight line."""
    kept = [p for i, p in enumerate(points) if math.dist(p, points[i - 1]) > 1e-9]
    return [
        p
        for i, p in enumerate(kept)
        if abs(_cross(kept[i - 1], p, kept[(i + 1) % len(kept)])) > 1e-9
    ]


def _cross(a: Point, b: Point, c: Point) -> float:
    u, v = (b[0] - a[0], b[1] - a[1]), (c[0] - b[0], c[1] - b[1])
    return (u[0] * v[1] - u[1] * v[0]) / (math.hypot(*u) * math.hypot(*v))


def _area(corners: Sequence[Point]) -> float:
    return 0.5 * sum(
        a[0] * b[1] - a[1] * b[0] for a, b in zip(corners, [*corners[1:], corners[0]], strict=True)
    )
