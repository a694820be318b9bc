"""A drawing as SVG, for browsers and cutting services, and for a page on a screen.

Room: draw. The standard library only. One unit of the viewBox is one mm, and
width and height are given in mm, so that the file comes in at its true size.
Arcs stay arcs. In a file every `Group` becomes a ``<g>`` with its name as id, so
that words can be dropped and cut lines taken without guessing. Text names our
faces first and falls back to a plain sans or serif.

On a screen several drawings stand in one page: names of groups become classes,
since an id must not stand twice; inks are the page's own (``var(--ink)`` and its
kin), so that they follow light and dark; and a hundredth is as fine as a screen shows.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import groupby
from xml.sax.saxutils import escape, quoteattr

from foldwright.draw.drawing import Arc, Area, Face, Group, Item, Path, Pen, Point, Stroke, Words

_ON_PAPER = {
    "ink": "#10161F",
    "wash": "#F1F0EB",
    "shade": "#DFDED8",
    "paper": "#FFFFFF",
    "graphite": "#63686F",
    "soft": "#4C525B",
    "danger": "#10161F",  # a printed sheet tells by its lines and words alone
}
_ON_SCREEN = {name: f"var(--{name})" for name in _ON_PAPER}
_ANCHORS = {"start": "start", "middle": "middle", "end": "end"}


@dataclass(frozen=True)
class Link:
    """Where a group leads, and what it is called for those who do not see it."""

    address: str
    label: str


@dataclass(frozen=True)
class _Manner:
    """How a drawing is written: for a file, or for a screen."""

    height: float
    shades: Mapping[str, str]
    on_screen: bool = False
    links: Mapping[str, Link] = field(default_factory=dict)

    def number(self, x: float) -> str:
        """Write a number; a file keeps twelve figures, a screen two decimals."""
        return _number(round(x, 2) if self.on_screen else x)

    def point(self, point: Point, shift: Point) -> str:
        """Write a point, y down."""
        x, y = point[0] + shift[0], self.height - point[1] - shift[1]
        if self.on_screen:
            x, y = round(x, 2), round(y, 2)
        return f"{_number(x)} {_number(y)}"


def svg_of(items: Sequence[Item], width: float, height: float, title: str, about: str) -> str:
    """One drawing as an SVG document.

    Parameters
    ----------
    items : sequence of Item
        Within 0..width, 0..height [mm], y up.
    title, about : str
        Name, and a sentence for readers that cannot see the picture.
    """
    manner = _Manner(height, _ON_PAPER)
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{_number(width)}mm" '
        f'height="{_number(height)}mm" viewBox="0 0 {_number(width)} {_number(height)}">\n'
        f"<title>{escape(title)}</title>\n<desc>{escape(about)}</desc>\n"
        f"{_written(items, (0.0, 0.0), manner)}</svg>\n"
    )


def svg_on_screen(
    items: Sequence[Item],
    width: float,
    height: float,
    label: str,
    links: Mapping[str, Link] | None = None,
) -> str:
    """One drawing as an ``<svg>`` element to stand in a page.

    It has no size of its own: the page's style sheet gives it one. Its inks are custom
    properties of the page: ink, wash, shade, paper, graphite, soft and danger.

    Parameters
    ----------
    items : sequence of Item
        Within 0..width, 0..height [mm], y up.
    label : str
        Name for readers that cannot see the picture.
    links : Mapping of str to Link, optional
        Where each group of that name leads. With links it is a group of them,
        without it is one image.

    Examples
    --------
    >>> from foldwright.draw.drawing import Area, polyline
    >>> print(svg_on_screen([Area(polyline([(0, 0), (1, 0), (0, 1)]))], 1, 1, "corner"))
    <svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 1 1" role="img" aria-label="corner">
    <path d="M0 1 1 1 0 0" fill="var(--ink)"/>
    </svg>
    """
    manner = _Manner(height, _ON_SCREEN, on_screen=True, links=links or {})
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_number(width)} {_number(height)}" '
        f'role="{"group" if links else "img"}" aria-label={quoteattr(label)}>\n'
        f"{_written(items, (0.0, 0.0), manner)}</svg>"
    )


def _written(items: Sequence[Item], shift: Point, manner: _Manner) -> str:
    if not manner.on_screen:
        return "".join(_item(item, shift, manner) for item in items)
    out = []
    # lines of one pen are one path: half of a large picture are the same few attributes
    for pen, run in groupby(items, lambda i: i.pen if isinstance(i, Stroke) else None):
        if pen is None:
            out += [_item(item, shift, manner) for item in run]
        else:
            paths = [_path(item.path, shift, manner) for item in run if isinstance(item, Stroke)]
            out.append(_stroke("".join(paths), pen, manner))
    return "".join(out)


def _item(item: Item, shift: Point, manner: _Manner) -> str:
    if isinstance(item, Group):
        inner = (shift[0] + item.shift[0], shift[1] + item.shift[1])
        return _group(item.name, _written(item.items, inner, manner), manner)
    if isinstance(item, Words):
        return _words(item, shift, manner)
    data = _path(item.path, shift, manner)
    if isinstance(item, Area):
        stroke = "" if manner.on_screen else ' stroke="none"'
        return f'<path d="{data}" fill="{manner.shades[item.shade]}"{stroke}/>\n'
    return _stroke(data, item.pen, manner)


def _group(name: str, body: str, manner: _Manner) -> str:
    called = quoteattr(name.replace(" ", "-"))
    if not manner.on_screen:
        return f"<g{f' id={called}' if name else ''}>\n{body}</g>\n"
    link = manner.links.get(name)
    if link is None:
        return f"<g{f' class={called}' if name else ''}>\n{body}</g>\n"
    # what lies hidden shows no trace: the keyboard passes it over, since it could not be seen there
    passed = "" if body else ' tabindex="-1"'
    return (
        f"<a href={quoteattr(link.address)} aria-label={quoteattr(link.label)}{passed}>"
        f"<title>{escape(link.label)}</title>\n{body}</a>\n"
    )


def _stroke(data: str, pen: Pen, manner: _Manner) -> str:
    dashes = ""
    if pen.dashes:
        dashes = f' stroke-dasharray="{" ".join(map(manner.number, pen.dashes))}"'
    ends = "butt" if pen.dashes else "round"
    shade = manner.shades["danger" if pen.danger else "graphite" if pen.soft else "ink"]
    return (
        f'<path d="{data}" fill="none" stroke="{shade}" stroke-width="{manner.number(pen.width)}"'
        f' stroke-linecap="{ends}" stroke-linejoin="round"{dashes}/>\n'
    )


def _path(path: Path, shift: Point, manner: _Manner) -> str:
    out: list[str] = []
    last, whole, is_line = None, False, False
    for segment in path:
        if segment.a != last:
            whole = last is None
            out.append(f"M{manner.point(segment.a, shift)}")
            is_line = True  # what follows a move goes on in lines
        if isinstance(segment, Arc):
            out.extend(_arc(segment, shift, manner))
            is_line = False
        else:
            # a file says so each time, which is plainer to read
            command = "" if is_line and manner.on_screen else "L"
            out.append(f"{command}{manner.point(segment.b, shift)}")
            is_line = True
        last = segment.b
    if whole and last == path[0].a:
        out.append("Z")
    return " ".join(out)


def _arc(arc: Arc, shift: Point, manner: _Manner) -> list[str]:
    """Two halves, since one command cannot draw a full circle."""
    sweep = 0 if arc.left else 1  # the y axis of SVG points down
    radius = manner.number(arc.radius)
    return [
        f"A{radius} {radius} 0 0 {sweep} {manner.point(end, shift)}"
        for end in (arc.point(0.5), arc.b)
    ]


def _words(words: Words, shift: Point, manner: _Manner) -> str:
    x, y = words.at[0] + shift[0], manner.height - words.at[1] - shift[1]
    number = manner.number
    place = f'x="{number(x)}" y="{number(y)}"'
    if words.turn:
        turn = number(-math.degrees(words.turn))
        place += f' transform="rotate({turn} {number(x)} {number(y)})"'
    shade = manner.shades["danger" if words.danger else "soft" if words.soft else "ink"]
    return (
        f'<text {place} font-family="{_family(words.face)}" font-size="{number(words.size)}"'
        f'{_style(words.face)} text-anchor="{_ANCHORS[words.anchor]}"'
        f' fill="{shade}">{escape(words.text)}</text>\n'
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
