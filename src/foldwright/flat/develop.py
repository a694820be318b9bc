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
from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np

from foldwright.errors import CannotMake
from foldwright.flat.pattern import Path, Point, Step
from foldwright.flat.rims import Arc, Rim, Side, Vanished, chords, moved_rim
from foldwright.flat.unrolled import Unrolled, unrolled
from foldwright.shape import Edge, Face, Solid, Vector, is_same_way_round, level_frame, move_sides
from foldwright.shop import Board, FoldSection, SeamSection

# Corners nearer than this are one; turns less than this are none [mm, rad].
_SAME = 1e-9


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
        """Frame (4, 4) of each flat face in the part's frame; z points outwards."""
        return {
            face.name: level_frame(self.solid.corners(face), self.solid.normal(face))
            for face in self.faces
            if not face.cylinder
        }

    @cached_property
    def unrolled(self) -> Mapping[str, Unrolled]:
        """Frame of each curved face; see `Unrolled`."""
        return {
            face.name: unrolled(self.solid, face, self.boards[face.name][1].thickness)
            for face in self.faces
            if face.cylinder
        }

    @cached_property
    def rims(self) -> Mapping[str, tuple[list[Point], list[Side]]]:
        """Corners of each face in its own frame, arcs as chords, and its sides [mm]."""
        numbers = {}
        for number, edge in enumerate(self.edges):
            numbers[(edge.start, edge.end)] = numbers[(edge.end, edge.start)] = number
        return {face.name: self._rim(face, numbers) for face in self.faces}

    def _rim(
        self, face: Face, numbers: Mapping[tuple[int, int], int]
    ) -> tuple[list[Point], list[Side]]:
        if face.cylinder:
            corners = self.unrolled[face.name].corners
        else:
            frame = self.face_frames[face.name]
            local = (self.solid.corners(face) - frame[:3, 3]) @ frame[:3, :2]
            corners = [(float(x), float(y)) for x, y in local]
        points: list[Point] = []
        sides: list[Side] = []
        for i, a in enumerate(face.loop):
            b = face.loop[(i + 1) % len(face.loop)]
            arc = None if face.cylinder else self._arc(face, a, b)
            first = len(points)
            points.append(corners[i])
            if arc:
                points += chords(arc, corners[i], corners[(i + 1) % len(corners)])
            sides.append(Side(numbers.get((a, b)), first, len(points) - first, arc))
        return points, sides

    def _arc(self, face: Face, start: int, end: int) -> Arc | None:
        """Arc between two neighbouring corners of a flat face, in its own frame."""
        other = next(
            f
            for f in self.solid.faces
            if f is not face and (end, start) in zip(f.loop, (*f.loop[1:], f.loop[0]), strict=True)
        )
        found = self.solid.edge_centre(Edge(face.name, other.name, start, end, math.pi))
        if found is None:
            return None
        centre, way = found
        frame = self.face_frames[face.name]
        x, y = (centre - frame[:3, 3]) @ frame[:3, :2]
        radius = float(np.linalg.norm(np.array(self.solid.vertices[start]) - centre))
        return Arc((float(x), float(y)), radius, way)

    @cached_property
    def outlines(self) -> Mapping[str, list[Point]]:
        """Outside outline of each face in its own frame, arcs as chords [mm]."""
        return {name: points for name, (points, _) in self.rims.items()}

    @cached_property
    def edge_of_side(self) -> Mapping[tuple[str, int], int | None]:
        """Edge number of side i of an outline; None where the neighbour is open."""
        return {
            (name, side.first + i): side.edge
            for name, (_, sides) in self.rims.items()
            for side in sides
            for i in range(side.count)
        }

    def side_of_edge(self, number: int, face: str) -> int:
        """Which side of `face` lies on an edge."""
        return next(
            i for i in range(len(self.outlines[face])) if self.edge_of_side[(face, i)] == number
        )

    def edge_length(self, number: int) -> float:
        """Length of an edge on the mould line [mm]."""
        return self.solid.edge_length(self.edges[number])


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
    outline : list of Point
        Corners of the blank, arcs as chords.
    arcs : Mapping of str to list of (Arc or None)
        What each corner of `flats` leads into.
    tour : tuple of (Point, Arc or None)
        `outline`, each corner with the arc it leads into; see `path_of`.
    """

    order: tuple[str, ...]
    parent: Mapping[str, int]
    motion: Mapping[str, Vector]
    flats: Mapping[str, list[Point]]
    blanks: Mapping[str, list[Point]]
    zones: Mapping[int, tuple[Point, ...]]
    outline: list[Point] = field(default_factory=list)
    arcs: Mapping[str, list[Arc | None]] = field(default_factory=dict)
    tour: tuple[tuple[Point, Arc | None], ...] = ()


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
    flats = {
        face: _moved(panel_rim(part, sheet, net, face, blank=False), motion[face]) for face in order
    }
    rims = {
        face: _moved(panel_rim(part, sheet, net, face, blank=True), motion[face]) for face in order
    }
    blanks = {face: rim.corners for face, rim in rims.items()}
    zones = {number: _zone(sheet, number, child, blanks) for child, number in parent.items()}
    tour = _tour(sheet, net, root, None, rims)
    return Layout(
        tuple(order),
        parent,
        motion,
        {face: rim.corners for face, rim in flats.items()},
        blanks,
        zones,
        [point for point, _ in tour],
        {face: rim.arcs for face, rim in flats.items()},
        tuple(tour),
    )


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
    return panel_rim(part, sheet, net, face, blank=blank).corners


def panel_rim(part: str, sheet: Sheet, net: frozenset[int], face: str, *, blank: bool) -> Rim:
    """Corners of a face between its zones, in its own frame, and its arcs.

    Raises
    ------
    TooNarrow
    """
    corners, sides = sheet.rims[face]
    inwards = [_inwards(sheet, net, face, side.edge, blank=blank) for side in sides]
    if all(side.arc is None for side in sides):
        moved = move_sides(corners, inwards)
        kept = is_same_way_round(corners, moved)
        if all(kept):
            return Rim([(float(x), float(y)) for x, y in moved], [None] * len(moved))  # type: ignore[arg-type]
        lost = kept.index(False)
    else:
        try:
            ledges = [sheet.folds[n].deduction if (n := s.edge) in net else 0.0 for s in sides]
            return moved_rim(corners, sides, inwards, ledges)
        except Vanished as vanished:
            lost = vanished.side
    beside = (lost - 1, lost, lost + 1)
    numbers = [sides[i % len(sides)].edge for i in beside]
    raise TooNarrow(part, face, sheet, tuple(n for n in numbers if n is not None and n in net))


def _inwards(
    sheet: Sheet, net: frozenset[int], face: str, number: int | None, *, blank: bool
) -> float:
    """How far a side of a panel lies inside the mould line [mm]."""
    if number is None:
        return 0.0
    if number in net:
        return sheet.folds[number].setback
    seam = sheet.seams[(number, face)]
    return min(seam.trim, seam.trim_inside) if blank else seam.trim


def _moved(rim: Rim, motion: Vector) -> Rim:
    arcs = dict.fromkeys(arc for arc in rim.arcs if arc)
    spots = np.array([*rim.corners, *(arc.centre for arc in arcs)])
    moved = [(float(x), float(y)) for x, y in spots @ motion[:2, :2].T + motion[:2, 2]]
    count = len(rim.corners)
    placed = {
        arc: replace(arc, centre=centre) for arc, centre in zip(arcs, moved[count:], strict=True)
    }
    return Rim(moved[:count], [placed[arc] if arc else None for arc in rim.arcs])


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
    rims: Mapping[str, Rim],
) -> list[tuple[Point, Arc | None]]:
    """Walk round a face and all that hangs on it, anticlockwise: the outline of the blank.

    The net has no ring, so one walk meets every free side once; no boolean
    operation, no rounding. Each corner comes with the arc that it leads into.
    """
    corners, arcs = rims[face].corners, rims[face].arcs
    count = len(corners)
    first = 0 if entered is None else sheet.side_of_edge(entered, face) + 1
    points: list[tuple[Point, Arc | None]] = []
    for step in range(count if entered is None else count - 1):
        i = (first + step) % count
        points.append((corners[i], arcs[i]))
        number = sheet.edge_of_side[(face, i)]
        if number is not None and number in net:
            edge = sheet.edges[number]
            child = edge.right if edge.left == face else edge.left
            points += _tour(sheet, net, child, number, rims)
    if entered is not None:
        points.append((corners[(first - 1) % count], None))
    return points


def path_of(tour: Sequence[tuple[Point, Arc | None]]) -> Path:
    """Outline of lines and arcs from a tour of its corners.

    Chords of one arc become that arc; corners that repeat the last, or lie on
    a straight line, are left out.
    """
    kept = [
        (point, arc)
        for i, (point, arc) in enumerate(tour)
        if math.dist(point, tour[i - 1][0]) > _SAME or arc or tour[i - 1][1]
    ]
    steps = []
    for i, (point, leading) in enumerate(kept):
        before, arc = kept[i - 1]
        after = kept[(i + 1) % len(kept)][0]
        if arc is None and leading is None:
            if abs(_cross(before, point, after)) > _SAME:
                steps.append(Step(point))
        elif arc is None or arc != leading:
            steps.append(Step(point, arc.centre, arc.sense > 0) if arc else Step(point))
    return tuple(steps)


def _cross(a: Point, b: Point, c: Point) -> float:
    u, v = (b[0] - a[0], b[1] - a[1]), (c[0] - b[0], c[1] - b[1])
    return (u[0] * v[1] - u[1] * v[0]) / (math.hypot(*u) * math.hypot(*v))


def _area(corners: Sequence[Point]) -> float:
    return 0.5 * sum(
        a[0] * b[1] - a[1] * b[0] for a, b in zip(corners, [*corners[1:], corners[0]], strict=True)
    )
