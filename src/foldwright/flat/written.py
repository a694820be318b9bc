"""Pieces written down: from a layout to the records of a pattern.

Room: flat. A row of kerfs becomes one `Fold` for each kerf, with strips of
panel between them that lie on no face of the part.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from foldwright.flat.corners import reliefs
from foldwright.flat.develop import Layout, Sheet
from foldwright.flat.joints import SMOOTH
from foldwright.flat.outlines import path_of
from foldwright.flat.pattern import Fold, Motion, Panel, Piece, Point, Seam
from foldwright.flat.refold import bend_of
from foldwright.flat.rims import Arc
from foldwright.flat.unrolled import record_of
from foldwright.shape import Vector
from foldwright.shop import FoldSection


def piece_of(
    name: str,
    part: str,
    sheet: Sheet,
    layout: Layout,
    letters: Mapping[int, str],
    *,
    revision: int,
    grain: float | None,
    order: Sequence[int] = (),
) -> Piece:
    """Write one layout down, its lower left corner at (0, 0).

    Parameters
    ----------
    name, part : str
        Id of the piece; name of the part.
    sheet : Sheet
    layout : Layout
    letters : Mapping of int to str
        Witness letter of each edge that is a seam.
    revision : int
    grain : float or None
        As in `Piece`.
    order : sequence of int
        Edges in the order to fold them; the folds are written so, and get
        their letters so.
    """
    place = {number: i for i, number in enumerate(order)}
    shift = _upright(sheet, layout)
    stock, board = sheet.boards[layout.order[0]]

    def flat(points: Sequence[Point]) -> tuple[Point, ...]:
        return tuple(
            (float(x), float(y)) for x, y in np.array(points) @ shift[:2, :2].T + shift[:2, 2]
        )

    def turned(arc: Arc | None) -> Arc | None:
        return replace(arc, centre=flat([arc.centre])[0]) if arc else None

    panels, curved = [], []
    for face in layout.order:
        rim = layout.flats[face]
        motion, corners = shift @ layout.motion[face], flat(rim.corners)
        if face in sheet.unrolled:
            curved.append(record_of(face, sheet.unrolled[face], corners, motion))
        else:
            space = space_of(sheet.face_frames[face], motion)
            cut_back = tuple(i for i, side in enumerate(rim.sides) if side is None)
            panels.append(Panel(face, face, corners, space, cut_back))
    folds: list[Fold] = []
    for child, number in sorted(
        layout.parent.items(), key=lambda hung: place.get(hung[1], len(place))
    ):
        edge = sheet.edges[number]
        parent = edge.left if edge.right == child else edge.right
        if sheet.folds[number].method == SMOOTH:
            continue
        held = next(panel for panel in panels if panel.id == parent)
        row, strips = row_of(
            sheet.folds[number], held, child, flat(layout.zones[number]), board.thickness
        )
        folds += row
        panels += strips
    points = flat([point for point, _ in layout.tour])
    tour = [(p, turned(arc)) for p, (_, arc) in zip(points, layout.tour, strict=True)]
    return Piece(
        id=name,
        part=part,
        stock=stock,
        thickness=board.thickness,
        revision=revision,
        outline=path_of(tour),
        panels=tuple(panels),
        folds=tuple(folds),
        seams=tuple(
            seam
            for face in layout.order
            for seam in _seams(
                sheet,
                layout,
                face,
                flat(layout.flats[face].corners),
                [turned(arc) for arc in layout.flats[face].arcs],
                letters,
            )
        ),
        curved=tuple(curved),
        marks=tuple(
            mark
            for face in layout.order
            for mark in reliefs(sheet, layout, face, shift @ layout.motion[face])
        ),
        grain=None if grain is None else grain + math.atan2(shift[1, 0], shift[0, 0]),
    )


def axis_in_flat(layout: Layout, face: str) -> Point:
    """Direction of the axis of a curved face in the flat frame."""
    return float(layout.motion[face][0, 1]), float(layout.motion[face][1, 1])


def _upright(sheet: Sheet, layout: Layout) -> Vector:
    """Motion that stands curved faces with their axis along y, lower left corner at (0, 0)."""
    shift = np.eye(3)
    for face in layout.order:
        if face in sheet.unrolled:
            x, y = axis_in_flat(layout, face)
            shift[:2, :2] = [[y, -x], [x, y]]
            break
    corners = np.array(layout.outline) @ shift[:2, :2].T
    shift[:2, 2] = -corners.min(axis=0)
    return shift


def space_of(face_frame: Vector, motion: Vector) -> Motion:
    """Motion from the flat frame to the part's frame: back to the face, then out into space."""
    lift = np.eye(4)
    lift[:2, :2], lift[:2, 3] = motion[:2, :2], motion[:2, 2]
    return rows_of(face_frame @ np.linalg.inv(lift))


def rows_of(motion: Vector) -> Motion:
    """Write a motion, shape (4, 4), as a record keeps it."""
    return tuple((float(a), float(b), float(c), float(d)) for a, b, c, d in motion[:3])


def row_of(
    section: FoldSection, held: Panel, child: str, zone: Sequence[Point], thickness: float
) -> tuple[list[Fold], list[Panel]]:
    """Folds of one edge, and the strips between them.

    `zone` takes in the whole row: its first side lies on the panel that is
    held, its third on the child.
    """
    start, begin, finish, end = (np.array(p) for p in zone)
    width = section.width
    ids = [held.id, *(f"{held.id}~{child} {i}" for i in range(1, section.kerfs)), child]
    folds: list[Fold] = []
    strips: list[Panel] = []
    motion = np.vstack([np.array(held.space), [0.0, 0.0, 0.0, 1.0]])

    def across(run: float) -> tuple[Point, Point]:
        """Ends of the line that lies `run` into the row."""
        share = run / width
        one, other = begin + share * (finish - begin), start + share * (end - start)
        return (float(one[0]), float(one[1])), (float(other[0]), float(other[1]))

    for i in range(section.kerfs):
        near, far = i * section.pitch, i * section.pitch + section.zone_width
        (a, b), (d, c) = across(near), across(far)
        fold = _fold(section, (ids[i], ids[i + 1]), (b, a, d, c))
        folds.append(fold)
        motion = motion @ bend_of(fold, thickness)
        if i + 1 < section.kerfs:
            e, f = across((i + 1) * section.pitch)
            strips.append(Panel(ids[i + 1], "", (c, d, e, f), rows_of(motion)))
    return folds, strips


def _fold(section: FoldSection, panels: tuple[str, str], zone: tuple[Point, ...]) -> Fold:
    start, begin, finish, end = zone
    return Fold(
        a=_middle(begin, finish),
        b=_middle(start, end),
        panels=panels,
        turn=section.turn_each,
        method=section.method,
        cut_side=section.cut_side,
        zone_width=section.zone_width,
        zone=zone,
        web=section.web,
        k=section.k,
        inner_radius=section.inner_radius,
        cutter=section.cutter,
        floor=section.floor,
        shuts_at=section.shuts_at,
        over_fold=section.over_fold,
        corner_loss=section.corner_loss,
    )


def _seams(
    sheet: Sheet,
    layout: Layout,
    face: str,
    corners: Sequence[Point],
    arcs: Sequence[Arc | None],
    letters: Mapping[int, str],
) -> list[Seam]:
    """Seams of one face; `mate` holds the other face until `with_mates` numbers them."""
    found = []
    folded = set(layout.parent.values())
    for side in sheet.rims[face][1]:
        number = side.edge
        if number is None or number in folded:
            continue
        edge, section = sheet.edges[number], sheet.seams[(number, face)]
        mate = edge.right if edge.left == face else edge.left
        on = [i for i, lain in enumerate(layout.flats[face].sides) if lain == side]
        arc = arcs[on[0]]
        found.append(
            Seam(
                a=corners[on[0]],
                b=corners[(on[-1] + 1) % len(corners)],
                panel=face,
                kind=section.kind,
                bevel=section.bevel,
                trim=section.trim,
                trim_inside=section.trim_inside,
                mate=(mate, number),
                letter=letters[number],
                centre=arc.centre if arc else None,
                left=arc.sense > 0 if arc else True,
            )
        )
    return found


def with_mates(pieces: Sequence[Piece]) -> tuple[Piece, ...]:
    """Give every seam its mate: the piece, and its index there."""
    place = {
        (seam.panel, seam.mate[1]): (piece.id, i)
        for piece in pieces
        for i, seam in enumerate(piece.seams)
    }
    return tuple(
        replace(piece, seams=tuple(replace(seam, mate=place[seam.mate]) for seam in piece.seams))
        for piece in pieces
    )


def _middle(p: Point, q: Point) -> Point:
    return (p[0] + q[0]) / 2.0, (p[1] + q[1]) / 2.0
