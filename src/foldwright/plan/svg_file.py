"""Lines and arcs of an SVG drawing.

Room: plan. A drawing whose width and height are lengths (mm, cm, in, pt) and
which has a viewBox is in true size; any other has 96 user units to the inch.
SVG counts y downwards; an outline has the lower left corner of the page as
its origin (the upper left one where the page has no height). Circular arcs
stay arcs; all other curves become chords within 0.02 mm.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator
from io import StringIO
from itertools import pairwise
from pathlib import Path
from typing import Any, NamedTuple
from xml.etree import ElementTree

from foldwright.plan.arcs import Point
from foldwright.plan.chains import MOST_SEGMENTS, Segment, Trouble
from foldwright.plan.dxf_file import CHORD

_INCH = 25.4
_PER_INCH = 96.0  # user units; CSS Values and Units 3, section 6.2
_LENGTH = re.compile(r"\s*([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)\s*([a-z%]*)\s*")
_MM = {"mm": 1.0, "cm": 10.0, "in": _INCH, "pt": _INCH / 72.0, "pc": _INCH / 6.0}
_MOST_CHORDS = 2000  # of one curve
_ROUND = 1e-6  # share by which the radii of a circular arc may differ


class _Page(NamedTuple):
    """Size of a user unit [mm] and height of the page in user units (0 if it has none)."""

    unit: float
    height: float


def svg_segments(path: Path, mark: str) -> list[Segment] | Trouble:
    """Lines and arcs of a drawing [mm]; of the element with the id `mark`, or of all."""
    import svgelements

    try:
        root = ElementTree.parse(path).getroot()
        if root.tag.rpartition("}")[2] != "svg":
            return Trouble("It is XML, but no SVG drawing.", "Save the drawing as SVG.")
        page = _page(root)
        # the library then leaves user units as they are, without its own rounding of an inch
        text = StringIO(ElementTree.tostring(root, encoding="unicode"))
        drawing = svgelements.SVG.parse(text, reify=True, ppi=_PER_INCH)
        shapes = [s for s in drawing.elements() if isinstance(s, svgelements.Shape)]
        if mark:
            found = [e for e in drawing.elements() if getattr(e, "id", None) == mark]
            shapes = [s for e in found for s in _shapes(e, svgelements)]
        segments: list[Segment] = []
        for shape in shapes:
            segments += _of_path(svgelements.Path(shape), page, svgelements)
            if len(segments) > MOST_SEGMENTS:
                break
    except Exception as error:  # a damaged file trips the libraries up in any way
        words = " ".join(str(error).split())[:120].rstrip(".") or type(error).__name__
        words = "".join(sign if sign.isprintable() else "?" for sign in words)
        return Trouble(
            f"It cannot be read as SVG: {words}.",
            "Open it where it was drawn and save it again as plain SVG.",
        )
    if not segments:
        marks = sorted({str(s.id) for s in drawing.elements() if getattr(s, "id", None)})
        where = f'with the id "{mark}"' if mark else "in it"
        there = f"It has the ids {', '.join(marks[:8])}." if marks else "Nothing in it has an id."
        return Trouble(f"There is no line or arc {where}. {there}", "Name one of them.")
    return segments


def _shapes(element: Any, svgelements: Any) -> list[Any]:
    if isinstance(element, svgelements.Shape):
        return [element]
    if isinstance(element, svgelements.Group):
        return [s for s in element.select() if isinstance(s, svgelements.Shape)]
    return []


def _page(root: ElementTree.Element) -> _Page:
    """Unit and height of the page; its width and height are set to user units."""
    box = [float(v) for v in re.split(r"[\s,]+", root.get("viewBox", "").strip()) if v]
    sides = [_LENGTH.fullmatch(root.get(key, "")) for key in ("width", "height")]
    usual = _INCH / _PER_INCH
    if len(box) == 4 and box[2] > 0.0 and box[3] > 0.0:
        root.set("width", repr(box[2]))
        root.set("height", repr(box[3]))
        lengths = [float(s[1]) * _MM[s[2]] for s in sides if s and s[2] in _MM]
        if len(lengths) == 2 and min(lengths) > 0.0:
            # a page of another shape than its box shows all of the box, as large as may be
            return _Page(min(lengths[0] / box[2], lengths[1] / box[3]), box[3])
        plain = [float(s[1]) for s in sides if s and s[2] in ("", "px")]
        if len(plain) == 2 and min(plain) > 0.0:
            return _Page(usual * min(plain[0] / box[2], plain[1] / box[3]), box[3])
        return _Page(usual, box[3])
    height = sides[1]
    units = 0.0
    if height and height[2] != "%":
        units = float(height[1]) * (_MM[height[2]] / usual if height[2] in _MM else 1.0)
    for key in ("width", "height", "viewBox"):
        root.attrib.pop(key, None)
    return _Page(usual, units)


def _of_path(path: Any, page: _Page, svgelements: Any) -> Iterator[Segment]:
    def flat(point: Any) -> Point:
        return (float(point.x) * page.unit, (page.height - float(point.y)) * page.unit)

    for piece in path.segments():
        if isinstance(piece, svgelements.Move) or piece.start is None or piece.end is None:
            continue
        if isinstance(piece, svgelements.Line | svgelements.Close):
            yield from _straight([flat(piece.start), flat(piece.end)])
        elif isinstance(piece, svgelements.Arc) and _is_round(piece):
            yield from _round_arc(piece, flat)
        else:
            count = _chords(piece, page.unit, svgelements)
            yield from _straight([flat(piece.point(i / count)) for i in range(count + 1)])


def _straight(points: list[Point]) -> Iterator[Segment]:
    for a, b in pairwise(points):
        if a != b:
            yield Segment(a, b)


def _is_round(arc: Any) -> bool:
    return bool(abs(arc.rx - arc.ry) <= _ROUND * max(arc.rx, arc.ry))


def _round_arc(arc: Any, flat: Callable[[Any], Point]) -> Iterator[Segment]:
    """Arcs of at most a quarter circle; their bulge from the point half way."""
    count = max(1, math.ceil(abs(arc.sweep) / (math.pi / 2.0) - 1e-9))
    points = [flat(arc.point(i / (2 * count))) for i in range(2 * count + 1)]
    for i in range(0, 2 * count, 2):
        a, m, b = points[i : i + 3]
        chord = math.dist(a, b)
        if chord == 0.0:
            continue
        right = ((b[1] - a[1]) * (m[0] - a[0]) - (b[0] - a[0]) * (m[1] - a[1])) / chord
        yield Segment(a, b, 2.0 * right / chord)


def _chords(piece: Any, unit: float, svgelements: Any) -> int:
    """Chords that keep within `CHORD` of a curve: error |B''| / (8 n^2) at most."""
    if isinstance(piece, svgelements.Arc):
        bend = max(piece.rx, piece.ry) * piece.sweep**2
    elif isinstance(piece, svgelements.CubicBezier):
        a, b, c, d = piece.start, piece.control1, piece.control2, piece.end
        bend = 6.0 * max(_second(a, b, c), _second(b, c, d))
    else:
        bend = 2.0 * _second(piece.start, piece.control, piece.end)
    count = math.ceil(math.sqrt(bend * unit / (8.0 * CHORD)))
    return min(max(count, 1), _MOST_CHORDS)


def _second(a: Any, b: Any, c: Any) -> float:
    return math.hypot(a.x - 2.0 * b.x + c.x, a.y - 2.0 * b.y + c.y)
