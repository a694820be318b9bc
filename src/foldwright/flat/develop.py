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
from foldwright.flat.outlines import crossing_sides, is_indented, tour
from foldwright.flat.pattern import Point
from foldwright.flat.rims import Arc, Rim, Side, Vanished, chords, moved_rim
from foldwright.flat.unrolled import Unrolled, unrolled
from foldwright.shape import Edge, Face, Solid, Vector, level_frame
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
    beyond : Mapping of int to (int, int)
        Of an edge that stands for a round, the vertices of its side of the
        right face; its own are those of the left one.
    """

    solid: Solid
    edges: tuple[Edge, ...]
    folds: Mapping[int, FoldSection]
    seams: Mapping[tuple[int, str], SeamSection]
    boards: Mapping[str, tuple[str, Board]] = field(default_factory=dict)
    beyond: Mapping[int, tuple[int, int]] = field(default_factory=dict)

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
            for start, end in ((edge.start, edge.end), self.beyond.get(number, (edge.end,) * 2)):
                numbers[(start, end)] = numbers[(end, start)] = number
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
    def indented(self) -> frozenset[str]:
        """Faces whose outline turns in somewhere."""
        return frozenset(name for name, points in self.outlines.items() if is_indented(points))

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
    """A face is narrower than what its folds and seams take off it.

    Attributes
    ----------
    folds : tuple of int
        Of the side that has no length left and its neighbours, those that fold.
    seams : tuple of int
        Those that do not, and take something off.
    """

    def __init__(
        self,
        part: str,
        face: str,
        sheet: Sheet,
        folds: tuple[int, ...],
        seams: tuple[int, ...] = (),
    ) -> None:
        names = [" to ".join((sheet.edges[i].left, sheet.edges[i].right)) for i in folds]
        what = [f"the setbacks of its folds ({', '.join(names)})"] if names else []
        remedies = ["make the face wider"]
        if names:
            remedies += ["use a narrower floor", "cut one of these folds apart with cut_at"]
        if seams or not names:
            what.append("what its seams take off")
            remedies.append("ask for a mitre there with seam_at")
        super().__init__(
            f'Face "{face}" of {part} is narrower than {" and ".join(what)}.',
            part=part,
            field="outline",
            remedy=f"{', '.join(remedies[:-1])}, or {remedies[-1]}.".capitalize(),
        )
        self.folds = folds
        self.seams = seams


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
    flats : Mapping of str to Rim
        Outside skin between the zones. Flat frame [mm].
    blanks : Mapping of str to list of Point
        Union of both skins.
    zones : Mapping of int to tuple of Point
        By edge number, anticlockwise.
    tour : tuple of (Point, Arc or None)
        Corners of the blank, arcs as chords, each with the arc it leads into;
        see `outlines.path_of`.
    """

    order: tuple[str, ...]
    parent: Mapping[str, int]
    motion: Mapping[str, Vector]
    flats: Mapping[str, Rim]
    blanks: Mapping[str, list[Point]]
    zones: Mapping[int, tuple[Point, ...]]
    tour: tuple[tuple[Point, Arc | None], ...]

    @property
    def outline(self) -> list[Point]:
        """Corners of the blank, arcs as chords."""
        return [point for point, _ in self.tour]


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
    flats, blanks = (
        {
            face: _moved(panel_rim(part, sheet, net, face, blank=both), motion[face])
            for face in order
        }
        for both in (False, True)
    )
    return Layout(
        tuple(order),
        parent,
        motion,
        flats,
        {face: rim.corners for face, rim in blanks.items()},
        {number: _zone(sheet, number, child, blanks) for child, number in parent.items()},
        tuple(tour(sheet.edges, net, blanks, root)),
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
    inwards = [inwards_of(sheet, net, face, side.edge, blank=blank) for side in sides]
    outside = [inwards_of(sheet, net, face, side.edge, blank=False) for side in sides]
    deductions = [sheet.folds[n].deduction if (n := side.edge) in net else None for side in sides]
    try:
        rim = moved_rim(corners, sides, inwards, deductions, outside)
        crossed = crossing_sides(rim.corners) if face in sheet.indented else None
        if crossed is None:
            return rim
        # A neck between two sides far apart round the face has closed.
        count = len(rim.sides)
        near = [rim.sides[(i + k) % count] for i in crossed for k in (-1, 0, 1)]
        numbers = list(dict.fromkeys(side.edge for side in near if side))
    except Vanished as vanished:
        beside = (vanished.side + k for k in (-1, 0, 1))
        numbers = [sides[i % len(sides)].edge for i in beside]
    folds = tuple(n for n in numbers if n is not None and n in net)
    seams = tuple(
        n
        for n in numbers
        if n is not None and n not in net and sheet.seams[n, face].kind != "mitre"
    )
    raise TooNarrow(part, face, sheet, folds, seams)


def inwards_of(
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
    return Rim(moved[:count], [placed[arc] if arc else None for arc in rim.arcs], rim.sides)


def _zone(sheet: Sheet, number: int, child: str, rims: Mapping[str, Rim]) -> tuple[Point, ...]:
    edge = sheet.edges[number]
    face = edge.left if edge.right == child else edge.right
    (a, b), (c, d) = rims[face].ends(number), rims[child].ends(number)
    return b, a, d, c


def _area(corners: Sequence[Point]) -> float:
    return 0.5 * sum(
        a[0] * b[1] - a[1] * b[0] for a, b in zip(corners, [*corners[1:], corners[0]], strict=True)
    )
