"""A drawing as SVG, for browsers and cutting services.

Room: draw. The standard library only. One unit of the viewBox is one mm, and
width and height are given in mm, so that the file comes in at its true size.
Arcs stay arcs. Every `Group` becomes a ``<g>`` with its name as id, so that
words can be dropped and cut lines taken without guessing. Text names our
faces first and falls back to a plain sans or serif.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from xml.sax.saxutils import escape, quoteattr

from foldwright.draw.drawing import Arc, Area, Face, Group, Item, Path, Point, Words

_INK = "#10161F"
_SHADES = {"ink": _INK, "wash": "#F1F0EB", "shade": "#DFDED8", "paper": "#FFFFFF"}
_GRAPHITE = "#63686F"
_SOFT = "#4C525B"
_ANCHORS = {"start": "start", "middle": "middle", "end": "end"}


def svg_of(items: Sequence[Item], width: float, height: float, title: str, about: str) -> str:
    """One drawing as an SVG document.

    Parameters
    ----------
    items : sequence of Item
        Within 0..width, 0..height [mm], y up.
    title, about : str
        Name, and a sentence for readers that cannot see the picture.
    """
    body = "".join(_item(item, (0.0, 0.0), height) for item in items)
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{_number(width)}mm" '
        f'height="{_number(height)}mm" viewBox="0 0 {_number(width)} {_number(height)}">\n'
        f"<title>{escape(title)}</title>\n<desc>{escape(about)}</desc>\n{body}</svg>\n"
    )


def _item(item: Item, shift: Point, height: float) -> str:
    if isinstance(item, Group):
        inner = (shift[0] + item.shift[0], shift[1] + item.shift[1])
        body = "".join(_item(i, inner, height) for i in item.items)
        name = f" id={quoteattr(item.name.replace(' ', '-'))}" if item.name else ""
        return f"<g{name}>\n{body}</g>\n"
    if isinstance(item, Words):
        return _words(item, shift, height)
    data = _path(item.path, shift, height)
    if isinstance(item, Area):
        return f'<path d="{data}" fill="{_SHADES[item.shade]}" stroke="none"/>\n'
    pen = item.pen
    dashes = f' stroke-dasharray="{" ".join(map(_number, pen.dashes))}"' if pen.dashes else ""
    ends = "butt" if pen.dashes else "round"
    shade = _GRAPHITE if pen.soft else _INK
    return (
        f'<path d="{data}" fill="none" stroke="{shade}" stroke-width="{_number(pen.width)}"'
        f' stroke-linecap="{ends}" stroke-linejoin="round"{dashes}/>\n'
    )


def _path(path: Path, shift: Point, height: float) -> str:
    out: list[str] = []
    last, whole = None, False
    for segment in path:
        if segment.a != last:
            whole = last is None
            out.append(f"M{_point(segment.a, shift, height)}")
        if isinstance(segment, Arc):
            out.extend(_arc(segment, shift, height))
        else:
            out.append(f"L{_point(segment.b, shift, height)}")
        last = segment.b
    if whole and last == path[0].a:
        out.append("Z")
    return " ".join(out)


def _arc(arc: Arc, shift: Point, height: float) -> list[str]:
    """Two halves, since one command cannot draw a full circle."""
    sweep = 0 if arc.left else 1  # the y axis of SVG points down
    radius = _number(arc.radius)
    return [
        f"A{radius} {radius} 0 0 {sweep} {_point(end, shift, height)}"
        for end in (arc.point(0.5), arc.b)
    ]


def _point(point: Point, shift: Point, height: float) -> str:
    return f"{_number(point[0] + shift[0])} {_number(height - point[1] - shift[1])}"


def _words(words: Words, shift: Point, height: float) -> str:
    x, y = words.at[0] + shift[0], height - words.at[1] - shift[1]
    place = f'x="{_number(x)}" y="{_number(y)}"'
    if words.turn:
        turn = _number(-math.degrees(words.turn))
        place += f' transform="rotate({turn} {_number(x)} {_number(y)})"'
    return (
        f'<text {place} font-family="{_family(words.face)}" font-size="{_number(words.size)}"'
        f'{_style(words.face)} text-anchor="{_ANCHORS[words.anchor]}"'
        f' fill="{_SOFT if words.soft else _INK}">{escape(words.text)}</text>\n'
    )


def _family(face: Face) -> str:
    last = "Georgia, serif" if face.family == "Vollkorn" else "Arial, sans-serif"
    return f"'{face.family}', {last}"


def _style(face: Face) -> str:
    weight = f' font-weight="{face.weight}"' if face.weight != 400 else ""
    return weight + (' font-style="italic"' if face.italic else "")


def _number(x: float) -> str:
    """Up to twelve figures, no trailing zeros, no minus zero."""
    text = f"{x:.12g}"
    return "0" if text in ("-0", "0") else text
