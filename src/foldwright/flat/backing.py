"""Backing strips: what is glued behind the seams of a part.

Room: flat. A seam between two faces at an angle gets a strip folded to that
angle, half of its width on either face, if its board folds so; else two flat
strips. Faces in one plane get one flat strip. Every strip ends short of the
inside faces across its ends, and of the strips that were fitted before it;
the longest go in first. Start at `backing_pieces`.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from foldwright.errors import OutOfDomain
from foldwright.flat.develop import Sheet
from foldwright.flat.pattern import Fold, Motion, Panel, Piece, Point, Step
from foldwright.flat.written import row_of, rows_of
from foldwright.shape import Vector
from foldwright.shop import Board, FoldRequest, FoldSection, SetUp, choose_section

# Room left at each end of a strip [mm]; common practice, no source.
_CLEAR = 1.0
# A strip shorter than this, or with less to glue on a face, holds nothing [mm].
_SHORTEST, _NARROWEST = 20.0, 4.0
# Faces nearer to one plane than this get a flat strip [rad].
_FLAT = math.radians(0.5)
# Edges that run into a face more gently than this do not end at it.
_GENTLE = 1e-6


@dataclass(frozen=True)
class _Seat:
    """Where the strip of one seam sits: an edge seen from the inside of the part.

    `leg` is how far the strip reaches along either face [mm].
    """

    sheet: Sheet
    number: int
    board: Board
    leg: float

    @cached_property
    def faces(self) -> tuple[str, str]:
        edge = self.sheet.edges[self.number]
        return edge.left, edge.right

    @cached_property
    def ends(self) -> tuple[Vector, Vector]:
        edge, vertices = self.sheet.edges[self.number], self.sheet.solid.vertices
        return np.array(vertices[edge.start]), np.array(vertices[edge.end])

    @cached_property
    def along(self) -> Vector:
        a, b = self.ends
        return np.asarray((b - a) / np.linalg.norm(b - a))

    @cached_property
    def turn(self) -> float:
        return self.sheet.edges[self.number].turn

    def normal(self, face: str) -> Vector:
        solid = self.sheet.solid
        return solid.normal(solid.face(face))

    def inward(self, face: str) -> Vector:
        """Direction in a face away from the edge."""
        way = self.along if face == self.faces[0] else -self.along
        return np.asarray(np.cross(self.normal(face), way))

    def line(self, depth: float) -> Vector:
        """From the edge to the line where both faces meet once moved in.

        Each moves in by its board, and `depth` [mm] further.
        """
        one, other = self.faces
        rows = np.array([self.normal(one), self.normal(other), self.along])
        boards = [self.sheet.boards[face][1].thickness for face in self.faces]
        if abs(self.turn) < _FLAT:
            return np.asarray(-(boards[0] + depth) * self.normal(one))
        return np.linalg.solve(rows, [-boards[0] - depth, -boards[1] - depth, 0.0])

    def on(self, face: str) -> tuple[Vector, Vector]:
        """Inner and outer end of the strip on the inside of one face, from the edge."""
        start = self.line(0.0)
        return start, start + self.leg * self.inward(face)

    def profile(self) -> list[Vector]:
        """Corners of the strip in cross-section, from the edge."""
        t = self.board.thickness
        corners = [
            point - depth * self.normal(face)
            for face in self.faces
            for point in self.on(face)
            for depth in (0.0, t)
        ]
        return [*corners, self.line(t)]

    def free(self, earlier: list[_Seat]) -> tuple[float, float]:
        """Range along the edge that a strip has to itself, from its start [mm]."""
        length = float(np.linalg.norm(self.ends[1] - self.ends[0]))
        edge = self.sheet.edges[self.number]
        gaps = [
            self._gap(vertex, way, earlier)
            for vertex, way in ((edge.start, self.along), (edge.end, -self.along))
        ]
        return gaps[0], length - gaps[1]

    def _gap(self, vertex: int, way: Vector, earlier: list[_Seat]) -> float:
        """How far a strip stays from one end of its edge [mm]; `way` leads away from that end."""
        gap = _CLEAR
        for face in self.sheet.faces:
            if vertex not in face.loop or face.name in self.faces:
                continue
            normal = self.normal(face.name)
            closing = -float(normal @ way)
            if closing > _GENTLE:
                depth = self.sheet.boards[face.name][1].thickness + _CLEAR
                reach = max(float(normal @ point) for point in self.profile())
                gap = max(gap, (reach + depth) / closing)
        for other in earlier:
            edge = self.sheet.edges[other.number]
            for name in set(self.faces) & set(other.faces):
                if vertex not in (edge.start, edge.end):
                    continue
                across = other.inward(name)
                opening = float(across @ way)
                if opening > _GENTLE:
                    taken = float(other.on(name)[1] @ across) + _CLEAR
                    least = min(float(point @ across) for point in self.on(name))
                    gap = max(gap, (taken - least) / opening)
        return gap


def backing_pieces(
    part: str,
    sheet: Sheet,
    letters: Mapping[int, str],
    stock: str,
    board: Board,
    width: float,
    set_ups: tuple[SetUp, ...],
    *,
    first: int,
    revision: int,
) -> tuple[list[Piece], list[str]]:
    """Cut a strip for every straight seam of a part.

    Parameters
    ----------
    part : str
    sheet : Sheet
    letters : Mapping of int to str
        Witness letter of each edge that is a seam.
    stock, board : str, Board
        What strips are cut from.
    width : float
        Over both faces [mm].
    set_ups : tuple of SetUp
        The maker's cutters.
    first : int
        Number of the first strip, for its id.
    revision : int

    Returns
    -------
    (list of Piece, list of str)
        The strips, and which seams get none.
    """
    pieces: list[Piece] = []
    bare: list[str] = []
    fitted: list[_Seat] = []
    for number in sorted(letters, key=lambda n: (-sheet.edge_length(n), n)):
        edge = sheet.edges[number]
        if sheet.solid.face(edge.left).cylinder or sheet.solid.face(edge.right).cylinder:
            bare.append(f"Seam {letters[number]} runs along a curved face: back it by hand.")
            continue
        seat = _Seat(sheet, number, board, _leg(sheet, number, width / 2.0))
        start, end = seat.free(fitted)
        if end - start < _SHORTEST or seat.leg < _NARROWEST:
            bare.append(f"Seam {letters[number]} has no room for a backing strip.")
            continue
        fitted.append(seat)
        for outline, panels, folds in _strips(seat, start, end, set_ups):
            pieces.append(
                Piece(
                    id=f"{part}-{first + len(pieces)}",
                    part=part,
                    stock=stock,
                    thickness=board.thickness,
                    revision=revision,
                    outline=tuple(Step(p) for p in outline),
                    panels=tuple(panels),
                    folds=tuple(folds),
                    role=f"backing strip, seam {letters[number]}",
                )
            )
    return pieces, bare


def _leg(sheet: Sheet, number: int, half: float) -> float:
    """How far a strip may reach along both faces: half its width, or all that they have."""
    edge, solid = sheet.edges[number], sheet.solid
    start = np.array(solid.vertices[edge.start])
    along = np.array(solid.vertices[edge.end]) - start
    leg = half
    for name, way in ((edge.left, along), (edge.right, -along)):
        face = solid.face(name)
        inward = np.cross(solid.normal(face), way / np.linalg.norm(way))
        reach = float(((solid.corners(face) - start) @ inward).max())
        leg = min(leg, reach - 2.0 * sheet.boards[name][1].thickness - _CLEAR)
    return leg


type _Strip = tuple[list[Point], list[Panel], list[Fold]]


def _strips(seat: _Seat, start: float, end: float, set_ups: tuple[SetUp, ...]) -> list[_Strip]:
    """Outlines, panels and folds of the strips behind one seam."""
    if abs(seat.turn) < _FLAT:
        return [_flat_strip(seat, seat.faces[0], start, end, -seat.leg, seat.leg)]
    try:
        section = choose_section(seat.board, abs(seat.turn), FoldRequest(), set_ups)
    except OutOfDomain:
        section = None
    wraps = seat.board.thickness * math.tan(abs(seat.turn) / 2.0) if seat.turn < 0.0 else 0.0
    if section is not None and seat.leg + wraps - section.setback >= _NARROWEST:
        return [_folded_strip(seat, section, start, end, seat.leg + wraps)]
    # Square edges: the first keeps off the other face, the second off the first.
    t, phi = seat.board.thickness, math.pi - seat.turn
    one = max(0.0, t / math.tan(phi)) if seat.turn > 0.0 else 0.0
    other = t * max(1.0, 1.0 + math.cos(phi)) / math.sin(phi) if seat.turn > 0.0 else 0.0
    return [
        _flat_strip(seat, face, start, end, inner, seat.leg)
        for face, inner in zip(seat.faces, (one, other), strict=True)
        if seat.leg - inner >= _NARROWEST
    ]


def _flat_strip(
    seat: _Seat, face: str, start: float, end: float, inner: float, outer: float
) -> _Strip:
    """Strip on the inside of one face, from `inner` to `outer` off the inside line."""
    way = seat.along if face == seat.faces[0] else -seat.along
    first = start if face == seat.faces[0] else end
    up = seat.inward(face)
    corner = seat.ends[0] + first * seat.along + seat.line(0.0) + inner * up
    outline = _rectangle(0.0, outer - inner, end - start)
    space = _space(way, up, seat.normal(face), corner)
    return outline, [Panel(f"behind {face}", "", tuple(outline), space)], []


def _folded_strip(
    seat: _Seat, section: FoldSection, start: float, end: float, leg: float
) -> _Strip:
    """Strip folded about the inside line: behind the right face below, the left face above.

    At a convex seam the outside of the strip lies against the boards; at a
    re-entrant one it wraps round their inside line with its own inside.
    """
    one, other = seat.faces
    convex = seat.turn > 0.0
    side = 1.0 if convex else -1.0
    along, length = side * seat.along, end - start
    mould = seat.ends[0] + (start if convex else end) * seat.along
    mould = mould + seat.line(0.0 if convex else seat.board.thickness)
    flat = leg - section.setback
    upper = flat + section.width
    below, above = _rectangle(0.0, flat, length), _rectangle(upper, upper + flat, length)
    up, down = seat.inward(one), -seat.inward(other)
    held = Panel(
        f"behind {one}",
        "",
        tuple(above),
        _space(along, up, side * seat.normal(one), mould - (upper - section.setback) * up),
    )
    hung = Panel(
        f"behind {other}",
        "",
        tuple(below),
        _space(along, down, side * seat.normal(other), mould - leg * down),
    )
    zone = ((length, upper), (0.0, upper), (0.0, flat), (length, flat))
    folds, strips = row_of(section, held, hung.id, zone, seat.board.thickness)
    outline = _rectangle(0.0, upper + flat, length)
    return outline, [held, hung, *strips], folds


def _rectangle(low: float, high: float, length: float) -> list[Point]:
    return [(0.0, low), (length, low), (length, high), (0.0, high)]


def _space(along: Vector, up: Vector, out: Vector, corner: Vector) -> Motion:
    motion = np.eye(4)
    motion[:3, :4] = np.column_stack([along, up, out, corner])
    return rows_of(motion)
