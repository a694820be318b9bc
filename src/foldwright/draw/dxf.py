"""DXF files: one piece, or a sheet with its blanks laid out on it.

Room: draw. Units are mm and the header says so. Layers are named in words, the
same as on paper, and told apart by width and dashes only; arcs stay arcs. A
piece is seen on the side that is marked, like every other drawing of it.

Files depend on nothing but the pieces. Loading ezdxf takes more than a
second, so it is imported with the first file.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from io import StringIO
from typing import TYPE_CHECKING, Any

from foldwright.draw.blank import Blank, blank_of
from foldwright.draw.blank_drawing import fold_pen
from foldwright.draw.drawing import (
    BEND,
    CURL,
    CUT,
    DRILL,
    HEAT,
    HIDDEN,
    KERF,
    MIDDLE,
    SCORE,
    SHEET,
    TRIM_LINE,
    WITNESS,
    ZONE,
    Arc,
    Path,
    Pen,
    Point,
    moved,
)
from foldwright.draw.info import SheetInfo
from foldwright.draw.wording import describe

if TYPE_CHECKING:
    from foldwright.flat.pattern import Piece

type Motion = Callable[[Point], Point]

CUTOUT = Pen("cutout", CUT.width)
CENTRE = Pen("centre to drill in place", DRILL.width)
WORDS = Pen("words", 0.18)
_LAYERS = (
    *(CUT, CUTOUT, MIDDLE, BEND, KERF, SCORE, HEAT, HIDDEN, ZONE),
    *(CURL, TRIM_LINE, WITNESS, DRILL, CENTRE, SHEET, WORDS),
)
_DASHED, _SHEET_LINE, _CURL_LINE = "FOLDWRIGHT_DASHED", "FOLDWRIGHT_SHEET", "FOLDWRIGHT_CHAIN"
_WITNESS_LENGTH = 6.0  # mm, to the inside of the seam
_LETTER = 4.0  # mm high
_MM = 4  # $INSUNITS


def piece_dxf(piece: Piece, info: SheetInfo, others: Sequence[Piece] = ()) -> bytes:
    """One piece at true size, seen on its marked side, datum corner at the origin.

    Parameters
    ----------
    piece : Piece
    info : SheetInfo
    others : sequence of Piece
        Pieces that it joins, so that witness marks meet across the seams.

    Returns
    -------
    bytes
        A DXF file (R2010), the same for the same piece.
    """
    document = _new()
    blank = blank_of(piece, others)
    _draw_blank(document.modelspace(), blank, lambda p: p)
    title = f"{info.build}: {blank.title}. THIS SIDE UP: {blank.side_up}."
    _words(document.modelspace(), title, (0.0, -3.0 * _LETTER), _LETTER)
    stock = f"{info.stock_of(piece.stock, piece.thickness)}, revision {piece.revision}. "
    _words(document.modelspace(), stock + describe(blank, info), (0.0, -4.6 * _LETTER), _LETTER)
    return _written(document)


def laid_out_dxf(
    blanks: Iterable[tuple[Blank, Motion]], sheet: Sequence[Point], title: str
) -> bytes:
    """Blanks as they lie on one sheet.

    Parameters
    ----------
    blanks : iterable of (Blank, motion)
        Each with the rigid motion, without mirroring, from its own frame to the sheet's.
    sheet : sequence of Point
        Corners of the sheet [mm].
    title : str

    Returns
    -------
    bytes
        A DXF file (R2010).
    """
    document = _new()
    space = document.modelspace()
    space.add_lwpolyline(list(sheet), close=True, dxfattribs={"layer": SHEET.name})
    for blank, motion in blanks:
        _draw_blank(space, blank, motion)
    _words(space, title, (0.0, -3.0 * _LETTER), _LETTER)
    return _written(document)


def _new() -> Any:
    import ezdxf

    # no dates or random names in the file
    ezdxf.options.write_fixed_meta_data_for_testing = True  # type: ignore[attr-defined]
    document = ezdxf.new("R2010")  # type: ignore[attr-defined]
    document.header["$INSUNITS"] = _MM
    document.header["$MEASUREMENT"] = 1
    document.header["$LUNITS"] = 2
    for name, pen in ((_DASHED, HIDDEN), (_SHEET_LINE, SHEET), (_CURL_LINE, CURL)):
        runs = [d if i % 2 == 0 else -d for i, d in enumerate(pen.dashes)]
        document.linetypes.add(name, pattern=[sum(pen.dashes), *runs], description=pen.name)
    for pen in _LAYERS:
        own = {SHEET.name: _SHEET_LINE, TRIM_LINE.name: _SHEET_LINE, CURL.name: _CURL_LINE}
        line = own.get(pen.name, _DASHED if pen.dashes else "CONTINUOUS")
        document.layers.add(pen.name, linetype=line, lineweight=_weight(pen))
    return document


def _weight(pen: Pen) -> int:
    """Line weight of the standard's list nearest to a pen [1/100 mm]."""
    return min((18, 25, 35, 50, 70), key=lambda w: abs(w - 100.0 * pen.width))


def _written(document: Any) -> bytes:
    # named here in one order: written by the library alone, theirs is that of a set
    for name in sorted(document.entitydb.dxf_types_in_use()):
        document.classes.add_class(name)
    out = StringIO()
    document.write(out)
    return out.getvalue().encode("utf-8")


def _draw_blank(space: Any, blank: Blank, motion: Motion) -> None:
    _polyline(space, moved(blank.outline, motion), CUT)
    for cutout in blank.cutouts:
        _polyline(space, moved(cutout, motion), CUTOUT)
    for fold in blank.folds:
        layer = {"layer": fold_pen(fold).name}
        space.add_line(motion(fold.a), motion(fold.b), dxfattribs=layer)
        if fold.zone:
            corners = [motion(q) for q in fold.zone]
            space.add_lwpolyline(corners, close=True, dxfattribs={"layer": ZONE.name})
        at = _middle(motion(fold.a), motion(fold.b))
        _words(space, fold.letter, at, _LETTER)
    for a, b in blank.curls:
        space.add_line(motion(a), motion(b), dxfattribs={"layer": CURL.name})
    for a, b in blank.trims:
        space.add_line(motion(a), motion(b), dxfattribs={"layer": TRIM_LINE.name})
    for seam in blank.seams:
        if seam.letter:
            ends = (seam.b, seam.a) if blank.side == "inside" else (seam.a, seam.b)
            _witness(space, motion(ends[0]), motion(ends[1]), motion(seam.witness), seam.letter)
    for at, mark in blank.drills:
        pen = CENTRE if mark.kind == "centre" else DRILL
        if mark.d > 0.0:
            space.add_circle(motion(at), mark.d / 2.0, dxfattribs={"layer": pen.name})
        space.add_point(motion(at), dxfattribs={"layer": pen.name})
    for panel in blank.panels:
        if panel.name:
            _words(space, panel.name, motion(_mean(panel.flat)), _LETTER)


def _polyline(space: Any, path: Path, pen: Pen) -> None:
    """Write a closed path; the bulge of an arc is the tangent of a quarter of its sweep."""
    points: list[tuple[float, float, float]] = []
    for segment in path:
        if isinstance(segment, Arc):
            if math.dist(segment.a, segment.b) < 1e-9:  # a whole circle has no bulge: two halves
                half = math.copysign(1.0, segment.sweep)
                points += [(*segment.a, half), (*segment.point(0.5), half)]
            else:
                points.append((*segment.a, math.tan(segment.sweep / 4.0)))
        else:
            points.append((*segment.a, 0.0))
    space.add_lwpolyline(points, format="xyb", close=True, dxfattribs={"layer": pen.name})


def _witness(space: Any, a: Point, b: Point, at: Point, letter: str) -> None:
    length = math.dist(a, b)
    if length < 1e-9:
        return
    # The material lies left of a to b.
    nx, ny = -(b[1] - a[1]) / length, (b[0] - a[0]) / length
    tip = (at[0] + nx * _WITNESS_LENGTH, at[1] + ny * _WITNESS_LENGTH)
    space.add_line(at, tip, dxfattribs={"layer": WITNESS.name})
    _words(space, letter, tip, _LETTER)


def _words(space: Any, text: str, at: Point, height: float) -> None:
    entity = space.add_text(text, height=height, dxfattribs={"layer": WORDS.name})
    entity.set_placement(at)


def _middle(a: Point, b: Point) -> Point:
    return (a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0


def _mean(points: Sequence[Point]) -> Point:
    return sum(p[0] for p in points) / len(points), sum(p[1] for p in points) / len(points)
