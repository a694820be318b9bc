"""Lands: what is left of a face at full thickness, between the mouths of its grooves.

Room: flat. A groove is as wide as its zone where the web is, and wider at its
mouth. On a narrow facet or flange the mouths may meet, though the zones do
not: it then has no flat left on the side that is cut, to lay a rule or a
gauge against, and only a ridge to hold it straight. Start at `words_for_lands`.
"""

from __future__ import annotations

import math

from foldwright.flat.develop import Sheet
from foldwright.shop import Board, FoldSection

# Lands smaller than this are rounding [mm2].
_NOTHING = 1e-6


def past_the_zone(section: FoldSection, board: Board) -> float:
    """How far the mouth of a cut reaches past its zone, on each side [mm].

    The floor is as wide as the zone, so that is ``h tan(alpha/2)`` for a cut
    of depth h by a cutter of included angle alpha.

    Examples
    --------
    A 90 degree cutter 2.2 mm deep reaches as far to each side as it is deep.
    """
    if section.cut_side == "none":
        return 0.0
    return (board.thickness - section.web) * math.tan(section.cutter / 2.0)


def words_for_lands(sheet: Sheet, net: frozenset[int]) -> list[str]:
    """Name the flat faces that grooves leave no land on the side they are cut from."""
    said = []
    for face, (_, sides) in sheet.rims.items():
        folds = [s.edge for s in sides if s.edge is not None and s.edge in net]
        if face in sheet.unrolled or not folds:
            continue
        board = sheet.boards[face][1]
        for skin in ("inside", "outside"):
            cut = [n for n in folds if sheet.folds[n].cut_side == skin]
            if any(past_the_zone(sheet.folds[n], board) for n in cut) and not _has_land(
                sheet, net, face, skin
            ):
                named = (f"{sheet.edges[n].left} to {sheet.edges[n].right}" for n in cut)
                said.append(
                    f'Face "{face}" has no flat left on its {skin}: the mouths of its cuts '
                    f"({', '.join(named)}) take it up. Hold it against a rule while you fold, "
                    "make it wider, or cut one of these folds apart with cut_at."
                )
    return said


def _has_land(sheet: Sheet, net: frozenset[int], face: str, skin: str) -> bool:
    from shapely import LineString, Polygon, union_all

    corners = sheet.outlines[face]
    board = sheet.boards[face][1]
    strips = []
    for side in sheet.rims[face][1]:
        if side.edge is None:
            continue
        if side.edge in net:
            section = sheet.folds[side.edge]
            lost = section.setback
            lost += past_the_zone(section, board) if section.cut_side == skin else 0.0
        else:
            seam = sheet.seams[side.edge, face]
            lost = seam.trim_inside if skin == "inside" else seam.trim
        run = range(side.first, side.first + side.count + 1)
        line = LineString([corners[i % len(corners)] for i in run])
        if lost > 0.0:
            strips.append(line.buffer(lost, cap_style="flat"))
    return bool(Polygon(corners).difference(union_all(strips)).area > _NOTHING)
