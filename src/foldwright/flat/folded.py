"""Folded parts: from a solid to its blanks, folds and seams.

Room: flat. `folded_pieces` asks `joints` for every fold and seam, `nets` for
the best net, and has `written` put the result down as `Piece` records.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

from foldwright.errors import CannotMake
from foldwright.flat.backing import backing_pieces
from foldwright.flat.common_length import words_for_gaps
from foldwright.flat.corners import filler_of, needs_patch, open_corners, patch, words_for
from foldwright.flat.develop import Layout, Sheet, require_wide_faces
from foldwright.flat.joints import SMOOTH, Joints, Wishes, joints_of
from foldwright.flat.lands import words_for_lands
from foldwright.flat.nets import Net, best_net
from foldwright.flat.outlines import doubled_back
from foldwright.flat.pattern import Piece
from foldwright.flat.rack_fit import Fits
from foldwright.flat.unrolled import curl_notes
from foldwright.flat.written import axis_in_flat, piece_of, with_mates
from foldwright.shape import Edge, Solid, Vector
from foldwright.shop import Board, FoldRequest, SetUp

# A seam that is seen from where the build is looked at counts this many times.
_SEEN = 2.0
# A seam where a flat face runs on into a curl is a line where none should be; so is this.
_SMOOTH = 2.0
# Curls that lie less askew than this in the flat lie the same way [-].
_ASKEW = 1e-9
# Zones whose distances from a spot differ by less are equally near [mm].
_NEAR = 1e-3
# A bevel wider than this many thicknesses is no cut of a saw any more.
_FEATHER = 2.0
_LETTERS = "abcdefghjkmnpqrstuvwxyz"  # i, l and o read as figures
_GRAIN = {"up": math.pi / 2.0, "across": 0.0}


def folded_pieces(
    part: str,
    solid: Solid,
    board: Board,
    request: FoldRequest,
    set_ups: tuple[SetUp, ...],
    *,
    stock: str,
    wishes: Wishes | None = None,
    backing: tuple[str, Board, float] | None = None,
    revision: int = 0,
    seen_along: Sequence[Vector] = (),
    fits: Fits | None = None,
    grained: frozenset[str] = frozenset(),
    grain: str = "up",
) -> tuple[tuple[Piece, ...], tuple[str, ...], float]:
    """Develop a solid into pieces.

    Parameters
    ----------
    part, stock : str
        Names for the records.
    solid : Solid
        Bare outside faces.
    board : Board
        Of all faces that `wishes` gives no other.
    request : FoldRequest
        What the plan asks of the folds; `wishes` may ask more of some.
    set_ups : tuple of SetUp
        The maker's cutters.
    wishes : Wishes or None
        What the plan asks edge by edge, and of other boards.
    backing : (str, Board, float) or None
        Stock, board and width [mm] of the strips behind its seams.
    revision : int
    seen_along : sequence of ndarray, shape (3,)
        Directions towards the eye, in the part's frame.
    fits : callable or None
        Whether an outline fits a sheet of the rack; see `best_net`.
    grained : frozenset of str
        Stocks whose grain has to run along `grain`, ``"up"`` or ``"across"``
        the largest face of each piece.

    Returns
    -------
    (tuple of Piece, tuple of str, float)
        The pieces, not yet proved, what the maker should know of the set-ups, and
        the filler that open corners take [mm3].

    Raises
    ------
    CannotMake
        A fold that no set-up makes, a face too narrow, no net, an edge forced
        that the part does not have.
    """
    own = (stock, board)
    joints = joints_of(part, solid, own, request, set_ups, wishes or Wishes())
    try:
        curls, net = _unfolded(part, joints, seen_along, fits)
    except CannotMake:
        if not joints.notes:
            raise
        # The rows of kerfs may be what stands in the way: curl the rounds, if they can be.
        joints = joints_of(
            part, solid, own, request, set_ups, wishes or Wishes(), saws_rounds=False
        )
        curls, net = _unfolded(part, joints, seen_along, fits)
    sheet, layouts = joints.sheet, net.layouts
    used = [n for layout in layouts for n in layout.parent.values()]
    letters = letters_of(sheet, used)
    pieces = [
        piece_of(
            f"{part}-{i}",
            part,
            sheet,
            layout,
            letters,
            revision=revision,
            grain=_GRAIN[grain] if sheet.boards[layout.order[0]][0] in grained else None,
            order=net.order,
        )
        for i, layout in enumerate(layouts, 1)
    ]
    corners = open_corners(sheet, frozenset(used))
    notes = (
        *joints.notes,
        *_notes(joints, used, letters),
        *words_for_gaps(part, sheet, frozenset(used), letters),
        *words_for_lands(sheet, frozenset(used)),
        *net.notes,
        *words_for(sheet, corners),
        *curls,
    )
    for corner in corners:
        if needs_patch(sheet, corner):
            name = f"{part}-{len(pieces) + 1}"
            pieces.append(patch(name, part, sheet, corner, revision=revision))
    strips: list[Piece] = []
    if backing is not None:
        their_stock, theirs, width = backing
        strips, bare = backing_pieces(
            part,
            sheet,
            letters,
            their_stock,
            theirs,
            width,
            set_ups,
            first=len(pieces) + 1,
            revision=revision,
        )
        notes = (*notes, *bare)
    return (*with_mates(pieces), *strips), notes, filler_of(sheet, corners)


def _unfolded(
    part: str, joints: Joints, seen_along: Sequence[Vector], fits: Fits | None
) -> tuple[list[str], Net]:
    """What to say of curls, and the best net."""
    sheet = joints.sheet
    curls = curl_notes(part, sheet.unrolled, {f: b for f, (_, b) in sheet.boards.items()})
    require_wide_faces(part, sheet)
    weights = [
        sheet.edge_length(number)
        * (_SEEN if _is_seen(sheet.solid, edge, seen_along) else 1.0)
        * (_SMOOTH if number in sheet.folds and sheet.folds[number].method == SMOOTH else 1.0)
        for number, edge in enumerate(sheet.edges)
    ]
    return curls, _laid_out(part, joints, weights, fits)


def _laid_out(part: str, joints: Joints, weights: Sequence[float], fits: Fits | None) -> Net:
    """Lay the best net out that fits the rack; or the best one, if nothing does.

    What fits no sheet is still drawn, since a larger sheet can be had; the
    layout names it.
    """
    if fits is not None:
        try:
            return _aligned(part, joints, weights, fits)
        except CannotMake:
            pass  # told again below, unless only the rack was too small
    return _aligned(part, joints, weights, None)


def _aligned(part: str, joints: Joints, weights: Sequence[float], fits: Fits | None) -> Net:
    """Lay the best net out that can be cut and curled.

    On each piece all curls lie one way, as `Curved` has to, and no two cuts
    fall on one line: such a slit would be no part of an outline.
    """
    sheet = joints.sheet
    while True:
        net = best_net(part, sheet, weights, joints.must, fits=fits)
        found = (_astray(sheet, layout) or _slit(layout) for layout in net.layouts)
        amiss = next(filter(None, found), None)
        if amiss is None:
            return net
        loose = [number for number in amiss if number not in joints.must]
        if not loose:
            raise CannotMake(
                f"The folds forced on {part} lay its faces out across or against one another.",
                part=part,
                field="fold_at",
                remedy="Take one of them out of fold_at.",
            )
        cut = min(loose, key=lambda number: (weights[number], number))
        sheet = replace(sheet, folds={n: s for n, s in sheet.folds.items() if n != cut})


def _slit(layout: Layout) -> list[int] | None:
    """Folds nearest to where the outline of a piece meets itself; None if it does not."""
    from shapely import Point, Polygon
    from shapely.validation import explain_validity

    spots = doubled_back(layout.outline)
    shape = Polygon(layout.outline)
    if not shape.is_valid:
        x, y = explain_validity(shape).partition("[")[2].rstrip("]").split()[:2]
        spots.append((float(x), float(y)))
    if not spots or not layout.zones:
        return None
    far = {
        n: min(Polygon(zone).exterior.distance(Point(spot)) for spot in spots)
        for n, zone in layout.zones.items()
    }
    return [n for n in far if far[n] <= min(far.values()) + _NEAR]


def _astray(sheet: Sheet, layout: Layout) -> list[int] | None:
    """Folds between two curls of a piece that do not lie the same way; None if all do."""
    curls = [face for face in layout.order if face in sheet.unrolled]
    for face in curls[1:]:
        (ax, ay), (bx, by) = axis_in_flat(layout, curls[0]), axis_in_flat(layout, face)
        if abs(ax * by - ay * bx) > _ASKEW:
            one, other = _way_up(sheet, layout, curls[0]), _way_up(sheet, layout, face)
            apart = set(one) ^ set(other)
            return sorted(n for n in apart if sheet.folds[n].method != SMOOTH)
    return None


def _way_up(sheet: Sheet, layout: Layout, face: str) -> list[int]:
    """Folds from a face to the first of its piece."""
    found = []
    while face in layout.parent:
        number = layout.parent[face]
        edge = sheet.edges[number]
        found.append(number)
        face = edge.left if edge.right == face else edge.right
    return found


def _is_seen(solid: Solid, edge: Edge, seen_along: Sequence[Vector]) -> bool:
    normals = [solid.normal(solid.face(name)) for name in (edge.left, edge.right)]
    return any(float(normal @ eye) > 1e-6 for normal in normals for eye in seen_along)


def letters_of(sheet: Sheet, used: Sequence[int]) -> Mapping[int, str]:
    """Witness letter of each edge that is a seam: a, b, ... z, aa, bb, ..."""
    seams = [number for number in range(len(sheet.edges)) if number not in set(used)]
    return {
        number: _LETTERS[i % len(_LETTERS)] * (1 + i // len(_LETTERS))
        for i, number in enumerate(seams)
    }


def _notes(joints: Joints, used: Sequence[int], letters: Mapping[int, str]) -> tuple[str, ...]:
    """What the maker should know of folds and seams, each said once."""
    sheet = joints.sheet
    said: dict[str, None] = {}
    for number in sorted(used):
        edge, section = sheet.edges[number], sheet.folds[number]
        if section.note:
            said[f"Fold {edge.left} to {edge.right}: {section.note}"] = None
        if section.kerfs > 1:
            said[
                f"Fold {edge.left} to {edge.right}: {section.kerfs} kerfs side by side, "
                f"{section.pitch:.1f} mm from one to the next."
            ] = None
    for number, letter in letters.items():
        edge = sheet.edges[number]
        what = f"Seam {letter}, {edge.left} to {edge.right}"
        if number in joints.mitred:
            said[f"{what}, is mitred: {joints.mitred[number]}."] = None
        for face in (edge.left, edge.right):
            section_of = sheet.seams[number, face]
            back = abs(section_of.trim_inside - section_of.trim)
            if back > _FEATHER * sheet.boards[face][1].thickness:
                side = "inside" if section_of.trim_inside > section_of.trim else "outside"
                said[f"{what}, is a feather edge: plane it back {back:.1f} mm on the {side}."] = (
                    None
                )
    return tuple(said)
