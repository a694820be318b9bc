"""Corners: where folds cross, and what is left open where they do.

Room: flat. Folds end a setback away from the mould line, so a corner where two
or more of them meet stays open when the part is folded up: a little star that
takes filler, or a patch behind it where it is too wide for that.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from foldwright.flat.develop import Layout, Sheet
from foldwright.flat.pattern import Mark, Panel, Piece, Step
from foldwright.flat.rims import heading, meeting, moved_arcs
from foldwright.shape import Vector
from foldwright.shop.fillers import star_volume

# Drills come in these steps [mm].
_DRILL_STEP = 0.5
# A narrower star closes with the finish; a wider one than filler bridges gets a
# patch that reaches twice as far [mm]. Common practice, no source.
_SEEN, _BRIDGED = 1.0, 6.0
_PATCH_REACH = 2.0
# Three faces that meet more flatly than this have no corner to patch.
_SPREAD = 1e-3


def reliefs(sheet: Sheet, layout: Layout, face: str, motion: Vector) -> list[Mark]:
    """Relief holes where two zones of one face cross: they clear the crossing.

    Centre at the crossing of the zone middles, radius ``g / (2 sin(beta/2))``
    with beta the angle of the face there and g the wider zone. Of a row of
    kerfs the one next to the face counts.
    """
    corners, sides = sheet.rims[face]
    folded = set(layout.parent.values()) - _smooth(sheet)
    middles = [
        sheet.folds[s.edge].setback - sheet.folds[s.edge].zone_width / 2.0
        if s.edge in folded
        else 0.0
        for s in sides
    ]
    deductions = [0.0 if s.edge in folded else None for s in sides]
    marks = []
    for i, after in enumerate(sides):
        before = sides[i - 1]
        if before.edge not in folded or after.edge not in folded:
            continue
        at = corners[after.first]
        (ux, uy), (vx, vy) = (
            heading(corners, before, at, ends=True),
            heading(corners, after, at, ends=False),
        )
        beta = math.pi - math.atan2(ux * vy - uy * vx, ux * vx + uy * vy)
        assert before.edge is not None and after.edge is not None
        zone = max(sheet.folds[n].zone_width for n in (before.edge, after.edge))
        d = math.ceil(zone / math.sin(beta / 2.0) / _DRILL_STEP - 1e-9) * _DRILL_STEP
        # At a blunt corner the zone that would run further ends square: so does its hole.
        found = meeting(corners, sides, middles, [s.arc for s in sides], i, deductions)
        crossing = min(found, key=lambda p: math.dist(p, at))
        x, y = motion[:2, :2] @ np.array(crossing) + motion[:2, 2]
        marks.append(Mark("drill", (float(x), float(y)), d, "relief where two folds cross"))
    return marks


@dataclass(frozen=True)
class OpenCorner:
    """A corner that stays open.

    Attributes
    ----------
    vertex : int
    faces : tuple of str
        Faces that meet there.
    width : float
        Largest distance between the corners of their panels [mm].
    """

    vertex: int
    faces: tuple[str, ...]
    width: float


def open_corners(sheet: Sheet, folded: frozenset[int]) -> list[OpenCorner]:
    """Corners where more than a millimetre stays open, widest first.

    Two or more folds meet there, or a panel is cut square to its fold.
    """
    found = []
    for vertex in range(len(sheet.solid.vertices)):
        folds = [
            n
            for n in folded - _smooth(sheet)
            if vertex in (sheet.edges[n].start, sheet.edges[n].end)
        ]
        faces = tuple(f.name for f in sheet.faces if vertex in f.loop and not f.cylinder)
        if not folds or len(faces) < 3:
            continue
        ends = [_panel_corner(sheet, folded, name, vertex) for name in faces]
        if len(folds) < 2 and not any(is_cut for _, is_cut in ends):
            continue
        points = np.array([point for point, _ in ends])
        apart = np.linalg.norm(points[:, None] - points[None, :], axis=2)
        if apart.max() > _SEEN:
            found.append(OpenCorner(vertex, faces, float(apart.max())))
    return sorted(found, key=lambda corner: (-corner.width, corner.vertex))


def _smooth(sheet: Sheet) -> frozenset[int]:
    """Edges over which board runs on into a curl."""
    return frozenset(n for n, section in sheet.folds.items() if section.width == 0.0)


def _panel_corner(
    sheet: Sheet, folded: frozenset[int], face: str, vertex: int
) -> tuple[Vector, bool]:
    """Where the flat of a face ends at one of its corners, in space; whether it is cut square.

    Seams take nothing off.
    """
    corners, sides = sheet.rims[face]
    inwards = [sheet.folds[s.edge].setback if s.edge in folded else 0.0 for s in sides]
    frame = sheet.face_frames[face]
    local = (np.array(sheet.solid.vertices[vertex]) - frame[:3, 3]) @ frame[:3, :2]
    i = min(range(len(sides)), key=lambda n: math.dist(corners[sides[n].first], local))
    arcs = moved_arcs(sides, inwards)
    deductions = [sheet.folds[n].deduction if (n := s.edge) in folded else None for s in sides]
    found = meeting(corners, sides, inwards, arcs, i, deductions)
    nearest = min(found, key=lambda p: math.dist(p, local))
    return frame[:3, :2] @ np.array(nearest) + frame[:3, 3], len(found) > 1


def words_for(sheet: Sheet, corners: Sequence[OpenCorner]) -> list[str]:
    """What to do about open corners: filler by volume, patches by name."""
    filled = [corner for corner in corners if not needs_patch(sheet, corner)]
    said = [
        f"The corner of {_listed(corner.faces)} stays open {corner.width:.0f} mm where its folds "
        "meet: glue its patch in from behind before filling."
        for corner in corners
        if needs_patch(sheet, corner)
    ]
    if filled:
        volume = filler_of(sheet, filled)
        many = f"{len(filled)} corners stay" if len(filled) > 1 else "One corner stays"
        said.append(
            f"{many} open up to {filled[0].width:.1f} mm where folds meet, the widest at "
            f"{_listed(filled[0].faces)}: fill, about {max(volume * 1e-3, 0.01):.2f} cm³ in all."
        )
    return said


def filler_of(sheet: Sheet, corners: Sequence[OpenCorner]) -> float:
    """Filler that corners without a patch take [mm3]."""
    return sum(
        star_volume(corner.width, sheet.boards[corner.faces[0]][1].thickness)
        for corner in corners
        if not needs_patch(sheet, corner)
    )


def needs_patch(sheet: Sheet, corner: OpenCorner) -> bool:
    """Too wide for filler, and a corner of three faces that a flat patch can bridge."""
    return corner.width > _BRIDGED and _edges_away(sheet, corner) is not None


def patch(name: str, part: str, sheet: Sheet, corner: OpenCorner, *, revision: int) -> Piece:
    """Cut the triangle that bridges an open corner from the inside.

    Its outside touches all three inside faces, along a line across each.
    """
    ways = _edges_away(sheet, corner)
    assert ways is not None
    stock, board = sheet.boards[corner.faces[0]]
    solid = sheet.solid
    normals = np.array([solid.normal(solid.face(face)) for face in corner.faces])
    depths = [-sheet.boards[face][1].thickness for face in corner.faces]
    inside = np.array(solid.vertices[corner.vertex]) + np.linalg.solve(normals, depths)
    points = inside + _PATCH_REACH * corner.width * ways
    out = np.cross(points[1] - points[0], points[2] - points[0])
    if out @ (inside - points[0]) < 0.0:
        points, out = points[::-1], -out
    out = out / np.linalg.norm(out)
    right = (points[1] - points[0]) / np.linalg.norm(points[1] - points[0])
    motion = np.column_stack([right, np.cross(out, right), out])
    local = (points - points[0]) @ motion[:, :2]
    low = local.min(axis=0)
    origin = points[0] + motion[:, :2] @ low
    flat = tuple((float(x), float(y)) for x, y in local - low)
    space = tuple(
        (float(a), float(b), float(c), float(d)) for a, b, c, d in np.column_stack([motion, origin])
    )
    return Piece(
        id=name,
        part=part,
        stock=stock,
        thickness=board.thickness,
        revision=revision,
        outline=tuple(Step(p) for p in flat),
        panels=(Panel("patch", "", flat, space),),
        role=f"patch, corner of {_listed(corner.faces)}",
    )


def _edges_away(sheet: Sheet, corner: OpenCorner) -> Vector | None:
    """Directions of the three edges that leave a corner, shape (3, 3); None if it has others."""
    solid = sheet.solid
    if len(corner.faces) != 3 or any(solid.face(name).cylinder for name in corner.faces):
        return None
    normals = np.array([solid.normal(solid.face(name)) for name in corner.faces])
    if abs(np.linalg.det(normals)) < _SPREAD:
        return None
    here = np.array(solid.vertices[corner.vertex])
    ways = []
    for edge in sheet.edges:
        if corner.vertex in (edge.start, edge.end):
            other = edge.end if edge.start == corner.vertex else edge.start
            way = np.array(solid.vertices[other]) - here
            ways.append(way / np.linalg.norm(way))
            if edge.turn <= 0.0:
                return None
    return np.array(ways) if len(ways) == 3 else None


def _listed(faces: Sequence[str]) -> str:
    return f"{', '.join(faces[:-1])} and {faces[-1]}"
