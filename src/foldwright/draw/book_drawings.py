"""The drawings of a build book, each as SVG for the page that it stands on.

Room: draw. Blanks, sections and gauges come from where the other sheets have
them; nothing is drawn twice.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from foldwright.box import Box
from foldwright.draw.blank import Blank, blank_of, in_words
from foldwright.draw.blank_drawing import draw_blank
from foldwright.draw.book_records import Book, Route, Standing, ToMeasure
from foldwright.draw.dimension_lines import ROOM
from foldwright.draw.drawing import (
    A4,
    SHEET,
    Area,
    Group,
    Item,
    Page,
    Paper,
    Pen,
    Point,
    Stroke,
    Words,
    bounds,
    rectangle,
)
from foldwright.draw.flow import Chunk, height_of
from foldwright.draw.fonts import text_width
from foldwright.draw.info import SheetInfo
from foldwright.draw.inking import legend
from foldwright.draw.measuring import measuring_lines
from foldwright.draw.picture import picture_of
from foldwright.draw.rings import Danger
from foldwright.draw.section import Groove, groove_section
from foldwright.draw.set_ups import seam_chunks, set_up_chunks
from foldwright.draw.sheet import ADVICE_NUMBERS, check_bars, legend_height, legend_row
from foldwright.draw.svg import svg_of, svg_on_screen
from foldwright.draw.view import Detail, View, fitting_scale
from foldwright.draw.wording import drill_names, line_names
from foldwright.plan import is_fine_range

if TYPE_CHECKING:
    from foldwright.flat.pattern import Fold, Piece
    from foldwright.shape import Body, Vector

TEXT_WIDTH = A4.width - 20.0 - 12.0
COLUMN = (TEXT_WIDTH - 8.0) / 2.0
_AIR = 4.0
# Kinds whose faces and dims speak of a front, and the ways along x, y and z of the build.
_FRONTED = frozenset({"box", "profile", "taper", "faceted"})
_WAYS = (("left", "right"), ("to the front", "to the back"), ("down", "up"))
_LETTER = Paper("Letter", 215.9, 279.4)  # ANSI/ASME Y14.1, size A
# SVG readers pick a narrow face by its stretch, not by a family of its own.
_NARROW = "font-family=\"'Workshop Lettering Narrow', Arial, sans-serif\""
_STRETCH = 'font-family="\'Workshop Lettering\'" font-stretch="condensed"'


@dataclass(frozen=True)
class Figure:
    """A drawing within 0..width, 0..height [mm], its name, and what the page says below it."""

    items: tuple[Item, ...]
    width: float
    height: float
    title: str
    caption: str = ""

    @cached_property
    def svg(self) -> str:
        """As SVG for a printed page."""
        svg = svg_of(self.items, self.width, self.height, self.title, self.caption or self.title)
        return svg.replace(_NARROW, _STRETCH)

    @cached_property
    def on_screen(self) -> str:
        """As an ``<svg>`` element for a page on a screen."""
        return svg_on_screen(self.items, self.width, self.height, self.title)


def figure_of(
    items: Sequence[Item], width: float, height: float, title: str, caption: str = ""
) -> Figure:
    """Items as a figure; within 0..width, 0..height [mm]."""
    return Figure(tuple(items), width, height, title, caption)


def page_figure(page: Page, title: str) -> Figure:
    """A whole page as a figure."""
    return figure_of(page.items, page.paper.width, page.paper.height, title)


def bars_figure(paper: str) -> Figure:
    """Check bars of a page."""
    size = A4 if paper == "a4" else _LETTER
    return figure_of(check_bars(size, ADVICE_NUMBERS), size.width, size.height, "check bars")


def cover_figure(book: Book, info: SheetInfo, eye: Sequence[float], height: float) -> Figure:
    """The whole build with its hidden lines removed, every part named."""
    made = book.made
    if made is None:
        made = frozenset(route.part for route in book.routes if route.is_made)
    named = {
        route.part: (_said(route.part), *([_family(route)] if route.same_as else []))
        for route in book.routes
    }
    drawn = picture_of(
        book.bodies,
        book.frames,
        TEXT_WIDTH,
        height,
        eye=eye,
        made=made,
        names=named,
        dangers=dangers_of(book, info),
        largest=0.5,
        sized=info,
    )
    return figure_of(drawn.items, TEXT_WIDTH, height, "the build")


def dangers_of(book: Book, info: SheetInfo) -> list[Danger]:
    """Meets to ring on the cover, with what is expected and what is wanted."""
    return [
        Danger(meet.at, expected_and_wanted(meet, info.length), meet.parts)
        for meet in book.meets
        if meet.in_danger and meet.at is not None
    ]


def expected_and_wanted(meet: Standing, length: Callable[[float, bool], str]) -> tuple[str, str]:
    """Say in two rows what a meet is expected to come to, and what is wanted of it."""
    fine = is_fine_range(*meet.wanted)
    low, high = (length(x, fine) for x in meet.wanted)
    got = length(meet.expected, fine)
    clash = " too little" if meet.expected < 0.0 <= meet.wanted[0] else ""
    got = got.removeprefix("-") if clash else got
    return f"{got}{clash} expected,", f"{low} to {high} wanted"


def _said(part: str) -> str:
    return re.sub(r"-(\d+)$", r" \1", in_words(part))


def _family(route: Route) -> str:
    return f"one of {1 + len(route.same_as)}"


def legend_figure() -> Figure:
    """Samples of ink and pencil with their words."""
    width = 110.0
    return figure_of(legend(width), width, 9.0, "how to read the picture")


def part_figure(
    route: Route, book: Book, eye: Sequence[float], info: SheetInfo, dims: Sequence[ToMeasure]
) -> Figure:
    """One part as its own words have it, letters on its folds, lines where to measure it.

    It stands in its own frame, however it is turned in the build: its front is what its
    faces, folds and dims call the front.
    """
    motion = book.frames.get(route.part)
    caption = turned_in_words(motion) if route.kind in _FRONTED and motion is not None else ""
    letters = fold_letters(route)
    return sized_figure(
        route.part, route.kind, route.body, eye, info, dims, route.is_made, letters, caption
    )


def sized_figure(
    part: str,
    kind: str,
    body: Body,
    eye: Sequence[float],
    info: SheetInfo,
    dims: Sequence[ToMeasure],
    is_made: bool,
    letters: Sequence[tuple[str, tuple[str, str]]] = (),
    caption: str = "",
) -> Figure:
    """One part in its own frame, with dimension lines, and letters on edges between faces."""
    width, height = 74.0, 52.0
    # across in another direction with the same figure says nothing more
    shown = {(dim.kind, info.length(dim.value, dim.is_fine)): dim for dim in reversed(dims)}
    dims = [dim for dim in dims if dim.kind != "diameter" or dim in shown.values()]
    drawn = picture_of(
        {part: body},
        {},
        width,
        height,
        eye=eye,
        made=None if is_made else frozenset(),
        letters=letters,
        largest=1.0,
        weight=0.85,
        air=ROOM,
    )
    lines = measuring_lines(drawn, kind, body, None, dims, info)
    # two dims along one edge with one figure are one line
    lines = list(dict.fromkeys(lines))
    # a dim of what is cut back from its box stands further out than the part
    room = _round([Box(0.0, 0.0, width, height), *(_box_of(item) for item in lines)])
    items = Group((*drawn.items, *lines), shift=(-room.left, -room.low))
    return figure_of((items,), room.width, room.height, _said(part), caption)


def _box_of(item: Item) -> Box:
    """Box round a line, an arrow or figures."""
    match item:
        case Stroke() | Area():
            return bounds(item.path)
        case Words():
            (x, y), half = item.at, text_width(item.text, item.face, item.size) / 2.0
            cos, sin = abs(math.cos(item.turn)), abs(math.sin(item.turn))
            w, h = half * cos + item.size * sin, half * sin + item.size * cos
            return Box(x - w, y - h, x + w, y + h)
        case Group():
            (x, y), inner = item.shift, _round([_box_of(one) for one in item.items])
            return Box(inner.left + x, inner.low + y, inner.right + x, inner.high + y)


def _round(boxes: Sequence[Box]) -> Box:
    """Box round boxes."""
    lefts, lows, rights, highs = zip(*boxes, strict=True)
    return Box(min(lefts), min(lows), max(rights), max(highs))


def turned_in_words(motion: Vector) -> str:
    """How a part stands in the build, where that is otherwise than in its own frame."""
    front, top = ([float(sign * row[i]) for row in motion[:3]] for i, sign in ((1, -1.0), (2, 1.0)))
    looks, points = _way(front), _way(top)
    if (looks, points) == ("to the front", "up"):
        return ""
    if not looks or not points:
        return "in the build it stands aslant"
    return f"in the build its front looks {looks}, its top {points}"


def _way(direction: Sequence[float]) -> str:
    """Direction in the build in words; empty if it is more than 10 degrees off each."""
    share, way = max((abs(x), i) for i, x in enumerate(direction))
    return _WAYS[way][direction[way] > 0.0] if share > math.cos(math.radians(10.0)) else ""


def fold_letters(route: Route) -> list[tuple[str, tuple[str, str]]]:
    """Letter of each fold with the faces that it joins; none where several pieces share letters."""
    folded = [piece for piece in route.pieces if piece.folds]
    if len(folded) != 1:
        return []
    faces = {panel.id: panel.face for panel in folded[0].panels}
    faces |= {curve.face: curve.face for curve in folded[0].curved}
    return [
        (
            fold.letter,
            (
                faces.get(fold.fold.panels[0], fold.fold.panels[0]),
                faces.get(fold.fold.panels[1], fold.fold.panels[1]),
            ),
        )
        for fold in blank_of(folded[0]).bends
    ]


def blank_figure(
    piece: Piece, pieces: Sequence[Piece], info: SheetInfo, width: float, height: float
) -> Figure:
    """A blank to scale on its marked side, with folds, seams and names."""
    blank = blank_of(piece, pieces)
    size = blank.box
    names: list[Pen | str] = [*line_names(blank, zones=False), *drill_names(blank, info)]
    foot = legend_height(names, width) + 4.0
    room = (width - 2.0 * _AIR, height - foot - 2.0 * _AIR)
    scale = 1.0 / max(1.0, fitting_scale(size.width, size.height, *room))
    deep = size.height * scale + 2.0 * _AIR + foot
    left = (width - size.width * scale) / 2.0
    view = View((left, foot + _AIR), scale, Box(0.0, foot, width, deep))
    edges = _before_cutting(blank, view)
    fences = tuple((s.a, s.b) for edge in edges for s in edge.path)
    detail = Detail(wash=True, ticks=False, leaders=True, name_size=4.0)
    drawn = draw_blank(blank, view, detail, fences=fences)
    items: list[Item] = [*edges, drawn.group(None)]
    items += legend_row([*names, *([SHEET] if edges else [])], 0.0, 1.5, width)
    caption = f"1:{1.0 / scale:g}, on the marked side"
    return figure_of(items, width, deep, blank.title, caption)


def _before_cutting(blank: Blank, view: View) -> list[Stroke]:
    """The rectangle round a blank that is not one itself."""
    if blank.is_rectangle or not (blank.folds or len(blank.points) > 4):
        return []
    box = blank.box
    low, high = view.at((box.left, box.low)), view.at((box.right, box.high))
    return [Stroke(rectangle(Box(low[0], low[1], high[0], high[1])), SHEET)]


def set_up_figures(piece: Piece, pieces: Sequence[Piece], info: SheetInfo) -> list[Figure]:
    """Set-ups and seams of a blank, each kept together."""
    blank = blank_of(piece, pieces)
    seams = seam_chunks(blank, info)
    runs = [*together(set_up_chunks(blank, info)), *([seams] if seams else [])]
    return [_chunk_figure(run) for run in runs]


def together(chunks: Sequence[Chunk]) -> list[list[Chunk]]:
    """Chunks that are not to be parted, run by run."""
    runs: list[list[Chunk]] = []
    goes_on = False
    for chunk in chunks:
        if goes_on:
            runs[-1].append(chunk)
        else:
            runs.append([chunk])
        goes_on = chunk.keep
    return runs


def _chunk_figure(chunks: Sequence[Chunk]) -> Figure:
    heights = [height_of(chunk.block, COLUMN) for chunk in chunks]
    # the page has its own air above a figure, so the first chunk brings none
    spaces = [0.0, *(chunk.space for chunk in chunks[1:])]
    total = sum(heights) + sum(spaces) + 0.5
    items: list[Item] = []
    top = total
    for chunk, space in zip(chunks, spaces, strict=True):
        found, top = chunk.block(0.0, top - space, COLUMN)
        items += found
    return figure_of(items, COLUMN, total, "set-up")


def section_figure(piece: Piece, fold: Fold, info: SheetInfo) -> Figure:
    """Section through a groove, from its numbers."""
    groove = Groove(
        floor=fold.floor,
        web=fold.web,
        thickness=piece.thickness,
        angle=fold.cutter,
        skin=info.skins.get(piece.stock, 0.0),
    )
    items, low = groove_section(groove, info, 0.0, 0.0, COLUMN)
    height = -low + 1.0
    shift: Point = (0.0, height)
    return figure_of([Group(tuple(items), shift=shift)], COLUMN, height, "section")


def alike(fold: Fold, piece: Piece) -> tuple[object, ...]:
    """What two folds share that are cut with one set-up."""
    cut = fold.cut_side != "none"
    numbers = (fold.cutter, fold.floor, fold.web) if cut else (fold.inner_radius, 0.0, 0.0)
    kerfs = getattr(fold, "kerfs", 1)
    return (piece.stock, cut, fold.method, kerfs, *(round(n, 3) for n in numbers))
