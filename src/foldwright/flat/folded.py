"""Folded parts: from a solid to its blanks, folds and seams.

Room: flat. `folded_pieces` asks `shop` for every fold and seam, `nets` for the
best net, and writes the result down as `Piece` records.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

import numpy as np

from foldwright.errors import CannotMake, OutOfDomain
from foldwright.flat.develop import Layout, Sheet, require_wide_faces, straightened
from foldwright.flat.nets import best_net, bounds
from foldwright.flat.pattern import Fold, Mark, Motion, Panel, Piece, Point, Seam, Step
from foldwright.shape import Edge, Solid, Vector, interior_angles, move_sides
from foldwright.shop import Board, FoldRequest, FoldSection, SetUp, choose_section, mitre

# A seam that is seen from where the build is looked at counts this many times.
_SEEN = 2.0
# A bevel wider than this many thicknesses is no cut of a saw any more.
_FEATHER = 2.0
# Drills come in these steps [mm].
_DRILL_STEP = 0.5
_LETTERS = "abcdefghjkmnpqrstuvwxyz"  # i, l and o read as figures


def folded_pieces(
    part: str,
    solid: Solid,
    board: Board,
    request: FoldRequest,
    set_ups: tuple[SetUp, ...],
    *,
    stock: str,
    revision: int = 0,
    fold_edges: Iterable[tuple[str, str]] = (),
    cut_edges: Iterable[tuple[str, str]] = (),
    seen_along: Sequence[Vector] = (),
) -> tuple[tuple[Piece, ...], tuple[str, ...]]:
    """Develop a solid of flat faces into pieces.

    Parameters
    ----------
    part, stock : str
        Names for the records.
    solid : Solid
        Bare outside faces.
    board : Board
    request : FoldRequest
        What the plan asks of the folds.
    set_ups : tuple of SetUp
        The maker's cutters.
    revision : int
    fold_edges, cut_edges : iterable of (face, face)
        Edges that the maker forces to be folded, or cut apart.
    seen_along : sequence of ndarray, shape (3,)
        Directions towards the eye, in the part's frame.

    Returns
    -------
    (tuple of Piece, tuple of str)
        The pieces, not yet proved, and what the maker should know of the set-ups.

    Raises
    ------
    CannotMake
        A fold that no set-up makes, a face too narrow, no net, an edge forced
        that the part does not have.
    """
    edges = _made_edges(solid)
    cut, must = _forced(part, edges, cut_edges), _forced(part, edges, fold_edges)
    sections = {
        number: _section(part, board, edge, request, set_ups)
        for number, edge in enumerate(edges)
        if number not in cut
    }
    seams = {
        (number, face): mitre(board.thickness, board.thickness, edge.dihedral)
        for number, edge in enumerate(edges)
        for face in (edge.left, edge.right)
    }
    sheet = Sheet(solid, edges, sections, seams)
    require_wide_faces(part, sheet)
    weights = [
        sheet.edge_length(number) * (_SEEN if _is_seen(solid, edge, seen_along) else 1.0)
        for number, edge in enumerate(edges)
    ]
    layouts = best_net(part, sheet, weights, frozenset(must))
    used = [n for layout in layouts for n in layout.parent.values()]
    notes = dict.fromkeys(
        f"Fold {edges[n].left} to {edges[n].right}: {sections[n].note}"
        for n in sorted(used)
        if sections[n].note
    )
    letters = _letters(sheet, used)
    for number, letter in letters.items():
        wide = seams[number, edges[number].left].trim_inside
        if wide > _FEATHER * board.thickness:
            notes[
                f"Seam {letter}, {edges[number].left} to {edges[number].right}, is a feather edge: "
                f"plane it back {wide:.1f} mm on the inside."
            ] = None
    pieces = [
        _piece(part, stock, revision, i, board, sheet, layout, letters)
        for i, layout in enumerate(layouts, 1)
    ]
    return _with_mates(pieces), tuple(notes)


def _made_edges(solid: Solid) -> tuple[Edge, ...]:
    return tuple(
        edge
        for edge in solid.edges()
        if edge.left not in solid.open_faces and edge.right not in solid.open_faces
    )


def _forced(part: str, edges: Sequence[Edge], wanted: Iterable[tuple[str, str]]) -> frozenset[int]:
    found = set()
    for a, b in wanted:
        numbers = [i for i, edge in enumerate(edges) if {edge.left, edge.right} == {a, b}]
        if not numbers:
            raise CannotMake(
                f'Faces "{a}" and "{b}" of {part} share no edge.',
                part=part,
                field="fold_at",
                remedy="Name two made faces that touch along an edge.",
            )
        found.update(numbers)
    return frozenset(found)


def _section(
    part: str, board: Board, edge: Edge, request: FoldRequest, set_ups: tuple[SetUp, ...]
) -> FoldSection:
    try:
        return choose_section(board, edge.turn, request, set_ups)
    except OutOfDomain as fault:
        raise CannotMake(
            f"Fold {edge.left} to {edge.right} of {part}: {fault}",
            part=part,
            field=fault.name,
            remedy=f'To cut it apart instead: cut_at = [["{edge.left}", "{edge.right}"]].',
        ) from fault


def _is_seen(solid: Solid, edge: Edge, seen_along: Sequence[Vector]) -> bool:
    normals = [solid.normal(solid.face(name)) for name in (edge.left, edge.right)]
    return any(float(normal @ eye) > 1e-6 for normal in normals for eye in seen_along)


def _letters(sheet: Sheet, used: Sequence[int]) -> Mapping[int, str]:
    """Witness letter of each edge that is a seam: a, b, ... z, aa, bb, ..."""
    seams = [number for number in range(len(sheet.edges)) if number not in set(used)]
    return {
        number: _LETTERS[i % len(_LETTERS)] * (1 + i // len(_LETTERS))
        for i, number in enumerate(seams)
    }


def _piece(
    part: str,
    stock: str,
    revision: int,
    index: int,
    board: Board,
    sheet: Sheet,
    layout: Layout,
    letters: Mapping[int, str],
) -> Piece:
    x0, y0, _, _ = bounds(layout.outline)

    def flat(p: Point) -> Point:
        return p[0] - x0, p[1] - y0

    shift = np.eye(3)
    shift[:2, 2] = -x0, -y0
    panels = tuple(
        Panel(
            face,
            face,
            tuple(flat(p) for p in layout.flats[face]),
            _space(sheet.face_frames[face], shift @ layout.motion[face]),
        )
        for face in layout.order
    )
    return Piece(
        id=f"{part}-{index}",
        part=part,
        stock=stock,
        thickness=board.thickness,
        revision=revision,
        outline=tuple(Step(flat(p)) for p in straightened(layout.outline)),
        panels=panels,
        folds=tuple(
            _fold(sheet, number, child, tuple(flat(p) for p in layout.zones[number]))
            for child, number in layout.parent.items()
        ),
        seams=tuple(
            seam
            for panel in panels
            for seam in _seams(sheet, layout, panel.face, panel.flat, letters)
        ),
        marks=tuple(
            mark
            for face in layout.order
            for mark in _relief(sheet, layout, face, shift @ layout.motion[face])
        ),
    )


def _space(face_frame: Vector, motion: Vector) -> Motion:
    """Motion from the flat frame to the part's frame: back to the face, then out into space."""
    lift = np.eye(4)
    lift[:2, :2], lift[:2, 3] = motion[:2, :2], motion[:2, 2]
    rows = face_frame @ np.linalg.inv(lift)
    return tuple((float(a), float(b), float(c), float(d)) for a, b, c, d in rows[:3])


def _fold(sheet: Sheet, number: int, child: str, zone: tuple[Point, ...]) -> Fold:
    edge, section = sheet.edges[number], sheet.folds[number]
    parent = edge.left if edge.right == child else edge.right
    start, begin, finish, end = zone[0], zone[1], zone[2], zone[3]
    return Fold(
        a=_middle(begin, finish),
        b=_middle(start, end),
        panels=(parent, child),
        turn=section.turn,
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
    letters: Mapping[int, str],
) -> list[Seam]:
    """Seams of one panel; `mate` holds the other panel until `_with_mates` numbers them."""
    found = []
    folded = set(layout.parent.values())
    for i, a in enumerate(corners):
        number = sheet.edge_of_side[(face, i)]
        if number is None or number in folded:
            continue
        edge, section = sheet.edges[number], sheet.seams[(number, face)]
        mate = edge.right if edge.left == face else edge.left
        found.append(
            Seam(
                a=a,
                b=corners[(i + 1) % len(corners)],
                panel=face,
                kind=section.kind,
                bevel=section.bevel,
                trim=section.trim,
                trim_inside=section.trim_inside,
                mate=(mate, number),
                letter=letters[number],
            )
        )
    return found


def _with_mates(pieces: Sequence[Piece]) -> tuple[Piece, ...]:
    place = {
        (seam.panel, seam.mate[1]): (piece.id, i)
        for piece in pieces
        for i, seam in enumerate(piece.seams)
    }
    return tuple(
        replace(piece, seams=tuple(replace(seam, mate=place[seam.mate]) for seam in piece.seams))
        for piece in pieces
    )


def _relief(sheet: Sheet, layout: Layout, face: str, motion: Vector) -> list[Mark]:
    """Relief holes where two zones of one face cross: they clear the crossing.

    Centre at the crossing of the zone middles, radius ``g / (2 sin(beta/2))``
    with beta the angle of the face there and g the wider zone.
    """
    corners, folded = sheet.outlines[face], set(layout.parent.values())
    numbers = [sheet.edge_of_side[(face, i)] for i in range(len(corners))]
    middles = move_sides(
        corners,
        [
            sheet.folds[n].setback - sheet.folds[n].zone_width / 2.0
            if n is not None and n in folded
            else 0.0
            for n in numbers
        ],
    )
    marks = []
    for i, beta in enumerate(interior_angles(corners)):
        before, after = numbers[i - 1], numbers[i]
        if before is None or after is None or not {before, after} <= folded:
            continue
        zone = max(sheet.folds[before].zone_width, sheet.folds[after].zone_width)
        d = math.ceil(zone / math.sin(beta / 2.0) / _DRILL_STEP - 1e-9) * _DRILL_STEP
        x, y = motion[:2, :2] @ np.array(middles[i], dtype=float) + motion[:2, 2]
        marks.append(Mark("drill", (float(x), float(y)), d, "relief where two folds cross"))
    return marks


def _middle(p: Point, q: Point) -> Point:
    return (p[0] + q[0]) / 2.0, (p[1] + q[1]) / 2.0
