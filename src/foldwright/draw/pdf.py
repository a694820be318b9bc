"""Pages as PDF, by reportlab.

Room: draw. Import this only when a page is to be made: reportlab takes a
third of a second to load. Coordinates go from mm to points one by one, so
that the page carries no rounded scale; PDF files hold six decimals of a point
(4e-7 mm). Arcs become Bezier curves of at most 22.5 degrees, which leave the
circle by less than 1e-7 of its radius. Files depend on nothing but the pages.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from io import BytesIO
from typing import Any

from reportlab import rl_config
from reportlab.lib.colors import HexColor
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from foldwright.box import Box
from foldwright.draw.drawing import Arc, Area, Face, Group, Item, Page, Path, Stroke, Words
from foldwright.draw.fonts import font_file, printable

# Pages as bytes rather than as letters: a fifth smaller, and written in half the time.
rl_config.useA85 = 0

_POINT = 72.0 / 25.4  # points to the mm
_INK = HexColor("#10161F")
_SHADES = {
    "ink": _INK,
    "wash": HexColor("#F1F0EB"),
    "shade": HexColor("#DFDED8"),
    "paper": HexColor("#FFFFFF"),
}
_GRAPHITE = HexColor("#63686F")
_SOFT = HexColor("#4C525B")
_LARGEST_ARC = math.pi / 8.0
_ROUND, _BUTT = 1, 0


def pdf_of(
    pages: Sequence[Page], title: str, printed: tuple[float, float] = (100.0, 100.0)
) -> bytes:
    """All pages as one PDF file.

    Parameters
    ----------
    pages : sequence of Page
        At least one.
    title : str
        Shown by readers as the name of the document.
    printed : (float, float)
        What the printer makes of 100 mm, across and up [mm]; the pages, which
        hold true sizes, are stretched the other way.

    Returns
    -------
    bytes
        The same for the same pages, whenever it is made.
    """
    out = BytesIO()
    canvas = Canvas(out, invariant=1, pageCompression=1)
    canvas.setTitle(title)
    canvas.setCreator("Foldwright")
    for page in pages:
        stretch = 100.0 / printed[0], 100.0 / printed[1]
        size = page.paper.width * stretch[0] * _POINT, page.paper.height * stretch[1] * _POINT
        canvas.setPageSize(size)
        if stretch != (1.0, 1.0):
            canvas.scale(*stretch)
        canvas.setLineJoin(_ROUND)
        _draw(canvas, page.items, 0.0, 0.0)
        canvas.showPage()
    canvas.save()
    return out.getvalue()


def _draw(canvas: Any, items: Sequence[Item], dx: float, dy: float) -> None:
    for item in items:
        if isinstance(item, Stroke):
            _stroke(canvas, item, dx, dy)
        elif isinstance(item, Area):
            canvas.setFillColor(_SHADES[item.shade])
            canvas.drawPath(_path(canvas, item.path, dx, dy), stroke=0, fill=1)
        elif isinstance(item, Words):
            _words(canvas, item, dx, dy)
        else:
            _group(canvas, item, dx, dy)


def _group(canvas: Any, group: Group, dx: float, dy: float) -> None:
    dx, dy = dx + group.shift[0], dy + group.shift[1]
    if group.clip is None:
        _draw(canvas, group.items, dx, dy)
        return
    canvas.saveState()
    box = Box(*group.clip)
    edge = canvas.beginPath()
    edge.rect(
        (box.left + dx) * _POINT, (box.low + dy) * _POINT, box.width * _POINT, box.height * _POINT
    )
    canvas.clipPath(edge, stroke=0, fill=0)
    _draw(canvas, group.items, dx, dy)
    canvas.restoreState()


def _stroke(canvas: Any, stroke: Stroke, dx: float, dy: float) -> None:
    pen = stroke.pen
    canvas.setStrokeColor(_GRAPHITE if pen.soft else _INK)
    canvas.setLineWidth(pen.width * _POINT)
    canvas.setLineCap(_BUTT if pen.dashes else _ROUND)
    if pen.dashes:
        canvas.setDash([d * _POINT for d in pen.dashes])
    else:
        canvas.setDash()
    canvas.drawPath(_path(canvas, stroke.path, dx, dy), stroke=1, fill=0)


def _path(canvas: Any, path: Path, dx: float, dy: float) -> Any:
    out = canvas.beginPath()
    last, whole = None, False
    for segment in path:
        if segment.a != last:
            whole = last is None
            out.moveTo((segment.a[0] + dx) * _POINT, (segment.a[1] + dy) * _POINT)
        if isinstance(segment, Arc):
            for curve in _beziers(segment):
                out.curveTo(*((c + (dy if i % 2 else dx)) * _POINT for i, c in enumerate(curve)))
        else:
            out.lineTo((segment.b[0] + dx) * _POINT, (segment.b[1] + dy) * _POINT)
        last = segment.b
    if whole and last == path[0].a:
        out.close()
    return out


def _beziers(arc: Arc) -> list[tuple[float, float, float, float, float, float]]:
    """Cubic curves along an arc: two handles and the end of each.

    The handle length that keeps the middle of the curve on the circle is
    4/3 tan(angle/4) of the radius.
    """
    count = max(1, math.ceil(abs(arc.sweep) / _LARGEST_ARC - 1e-9))
    step = arc.sweep / count
    handle = 4.0 / 3.0 * math.tan(step / 4.0) * arc.radius
    curves = []
    for i in range(count):
        start, end = arc.start + i * step, arc.start + (i + 1) * step
        ax, ay = arc.point(i / count)
        bx, by = arc.b if i + 1 == count else arc.point((i + 1) / count)
        curves.append(
            (
                ax - handle * math.sin(start),
                ay + handle * math.cos(start),
                bx + handle * math.sin(end),
                by - handle * math.cos(end),
                bx,
                by,
            )
        )
    return curves


def _words(canvas: Any, words: Words, dx: float, dy: float) -> None:
    name = _font(words.face)
    text = printable(words.text, words.face)
    size = words.size * _POINT
    x, y = (words.at[0] + dx) * _POINT, (words.at[1] + dy) * _POINT
    share = {"start": 0.0, "middle": 0.5, "end": 1.0}[words.anchor]
    back = share * pdfmetrics.stringWidth(text, name, size)
    cos, sin = math.cos(words.turn), math.sin(words.turn)
    line = canvas.beginText()
    line.setFont(name, size)
    line.setFillColor(_SOFT if words.soft else _INK)
    line.setTextTransform(cos, sin, -sin, cos, x - back * cos, y - back * sin)
    line.textOut(text)
    canvas.drawText(line)


def _font(face: Face) -> str:
    """Register a face with reportlab the first time it is used."""
    name = f"foldwright-{face.file}"
    if name not in pdfmetrics.getRegisteredFontNames():
        pdfmetrics.registerFont(TTFont(name, str(font_file(face))))
    return name
