"""Proof of a layout by geometry of its own.

Room: sheet. Nothing here trusts what made the layout: outlines are sampled anew
from the pieces, placed, and measured by shapely. `layout_faults` returns
sentences; a layout with one is never handed out.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from foldwright.flat import Path, Piece, Point
from foldwright.plan import Stock
from foldwright.sheet.records import SheetLayout, StockLayout

if TYPE_CHECKING:
    import shapely

TOLERANCE = 1e-6
"""By how much a distance may fall short [mm]: rounding of floats, nothing a saw could show."""

_SAGITTA = 5e-4
"""How far a chord may leave its arc [mm]."""

_SMALLEST_TURN = 1e-9  # rad


def layout_faults(layout: StockLayout, pieces: Sequence[Piece]) -> tuple[str, ...]:
    """What is wrong with a layout, in sentences; empty if nothing is.

    Parameters
    ----------
    layout : StockLayout
    pieces : sequence of Piece
        Those that were to be laid out, of this stock.

    Notes
    -----
    Holds: every piece once, laid or left out; no more sheets than there are;
    turns that the grain allows; every blank inside its sheet less the trim;
    blanks apart by kerf and gap, also where one lies in a window of another.
    Arcs are sampled by points that lie on them; a gap beside one may be judged
    too large by 0.0005 mm.
    """
    by_id = {piece.id: piece for piece in pieces}
    faults = _count_faults(layout, by_id)
    for sheet in layout.sheets:
        faults += _sheet_faults(sheet, by_id)
    return tuple(faults)


def _count_faults(layout: StockLayout, by_id: Mapping[str, Piece]) -> list[str]:
    told = Counter(spot.piece for sheet in layout.sheets for spot in sheet.spots)
    told.update(out.id for out in layout.left_out)
    faults = [f"{id} is laid out {n} times." for id, n in told.items() if n > 1]
    faults += [f"{id} is lost." for id in by_id if not told[id]]
    faults += [f"{id} is not among the pieces." for id in told if id not in by_id]
    used = Counter(sheet.sheet_index for sheet in layout.sheets)
    for index, n in used.items():
        count = layout.stock.sheets[index].count
        if count and n > count:
            faults.append(f"Sheet {index + 1} is used {n} times, there are {count}.")
    return faults


def _sheet_faults(layout: SheetLayout, by_id: Mapping[str, Piece]) -> list[str]:
    import shapely

    stock = layout.stock
    known = [spot for spot in layout.spots if spot.piece in by_id]
    shapes = [
        _placed(by_id[spot.piece], spot.x, spot.y, spot.turn, shapely.Polygon) for spot in known
    ]
    board = shapely.Polygon(layout.sheet.outline)
    faults = []
    for spot, shape in zip(known, shapes, strict=True):
        piece = by_id[spot.piece]
        if not shape.is_valid:
            faults.append(f"{piece.id} crosses itself.")
        if not _is_turn_allowed(piece, spot.turn, stock):
            faults.append(f"{piece.id} lies across the grain of {stock.name}.")
        edge = float(board.exterior.distance(shape))
        if not board.contains(shape.representative_point()) or edge < stock.trim - TOLERANCE:
            faults.append(f"{piece.id} comes within {edge:.4f} mm of the edge of its sheet.")
    least = stock.kerf + stock.gap
    tree = shapely.STRtree(shapes)
    for i, j in zip(*tree.query(shapes, predicate="dwithin", distance=least), strict=True):
        apart = float(shapes[i].distance(shapes[j])) if i < j else math.inf
        if apart < least - TOLERANCE:
            faults.append(f"{known[i].piece} and {known[j].piece} are {apart:.4f} mm apart.")
    return faults


def _is_turn_allowed(piece: Piece, turn: float, stock: Stock) -> bool:
    if not stock.grain or piece.grain is None:
        return True
    along = (math.cos(piece.grain), math.sin(piece.grain))
    across = -along[0] if piece.marked_side == "inside" else along[0]
    # x of the grain's direction once turned: nothing, if it runs along the sheet's y
    return abs(across * math.cos(turn) - along[1] * math.sin(turn)) < TOLERANCE


def _placed(piece: Piece, x: float, y: float, turn: float, polygon: Any) -> shapely.Polygon:
    """Polygon of a piece on its sheet as it is cut, holes and all."""
    outline = _sampled(piece.rough)
    corners = _true_points(piece.rough)
    low = min(p[1] for p in corners)
    if piece.marked_side == "inside":
        edge, hand = max(p[0] for p in corners), -1.0
    else:
        edge, hand = min(p[0] for p in corners), 1.0

    def on_sheet(p: Point) -> Point:
        u, v = hand * (p[0] - edge), p[1] - low
        return (
            x + u * math.cos(turn) - v * math.sin(turn),
            y + u * math.sin(turn) + v * math.cos(turn),
        )

    holes = [[on_sheet(p) for p in _sampled(cutout.path)] for cutout in piece.cutouts]
    made: shapely.Polygon = polygon([on_sheet(p) for p in outline], holes)
    return made


def _arc(last: Point, to: Point, centre: Point, left: bool) -> tuple[float, float, float]:
    radius = math.hypot(last[0] - centre[0], last[1] - centre[1])
    start = math.atan2(last[1] - centre[1], last[0] - centre[0])
    end = math.atan2(to[1] - centre[1], to[0] - centre[0])
    sweep = (end - start) % math.tau if left else -((start - end) % math.tau)
    if abs(sweep) < _SMALLEST_TURN or math.hypot(last[0] - to[0], last[1] - to[1]) < 1e-9:
        sweep = math.tau if left else -math.tau
    return radius, start, sweep


def _sampled(path: Path) -> list[Point]:
    """Points along a path, arcs by chords."""
    points: list[Point] = []
    last = path[-1].to
    for step in path:
        points.append(last)
        if step.centre is not None:
            radius, start, sweep = _arc(last, step.to, step.centre, step.left)
            most = 2.0 * math.acos(max(0.0, 1.0 - _SAGITTA / radius))
            count = max(2, math.ceil(abs(sweep) / most))
            points += [
                (
                    step.centre[0] + radius * math.cos(start + sweep * i / count),
                    step.centre[1] + radius * math.sin(start + sweep * i / count),
                )
                for i in range(1, count)
            ]
        last = step.to
    return points


def _true_points(path: Path) -> list[Point]:
    """Points whose box is the path's: ends of steps, and quadrant points of arcs."""
    points = [step.to for step in path]
    last = path[-1].to
    for step in path:
        if step.centre is not None:
            radius, start, sweep = _arc(last, step.to, step.centre, step.left)
            for dx, dy in ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0)):
                run = math.atan2(dy, dx) - start
                run = run % math.tau if sweep > 0.0 else (-run) % math.tau
                if run <= abs(sweep):
                    points.append((step.centre[0] + dx * radius, step.centre[1] + dy * radius))
        last = step.to
    return points
