"""The drawings of a route sheet on a screen: part, where tools go, blanks, set-ups.

Room: draw. The same drawings as in the build book, with the page's own inks, and as
wide as a telephone shows them with letters that can be read at arm's length.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from foldwright.box import Box
from foldwright.draw.blank import Blank, FoldLine, blank_of
from foldwright.draw.book_drawings import Figure, figure_of, fold_letters
from foldwright.draw.book_names import called, measured_name, title
from foldwright.draw.book_records import Neighbour, Route, ToMeasure
from foldwright.draw.dimension_lines import ROOM
from foldwright.draw.drawing import (
    LETTERING,
    RULE,
    Area,
    Group,
    Item,
    Pen,
    Point,
    Stroke,
    Words,
    bounds,
    line,
    polyline,
)
from foldwright.draw.fonts import text_width
from foldwright.draw.info import SheetInfo, listed
from foldwright.draw.leaders import Name, column_width, set_names
from foldwright.draw.marking_drawing import Drawn, drawing_with_scales, largest_with_scales
from foldwright.draw.measuring import measuring_lines
from foldwright.draw.picture import picture_of
from foldwright.draw.placing import between
from foldwright.draw.section import plain_section
from foldwright.draw.set_ups import groove_of, seam_words, section_block, set_ups_of
from foldwright.plan import is_fine_range

if TYPE_CHECKING:
    from foldwright.flat import Piece
    from foldwright.shape import Body, Vector

# ISO 128-2: long dash, double dot, narrow.
NEIGHBOUR = Pen("neighbouring part", 0.22, (3.2, 0.8, 0.5, 0.8, 0.5, 0.8), soft=True)
_WIDE, _HIGH = 80.0, 66.0  # picture of a part [mm of its letters]
_TOOL = (48.0, 40.0)  # picture of where a tool goes [mm]
_BLANK_WIDE, _BLANK_HIGH = 112.0, 120.0  # picture of a blank [mm]
_MARGIN = 4.0  # beside it, where crowded figures run out to [mm]
_SECTION = 64.0  # room across for a section of a cut [mm]
_SHORT = 0.15  # shorter than this on paper is left out [mm]
# On a printed sheet: how much larger a blank comes than it is drawn, so that its least
# letters have 9 points; the picture of a part, and the room for a section [mm].
_LARGER = 1.18
_PAPER_WIDE, _PAPER_HIGH = 58.0, 38.0
_PAPER_SECTION = 54.0  # without its figures, which words beside it say
_GAP = (76.0, 10.5)  # gap scale [mm]
_ENDS = 9.0  # room for its end figures [mm]
_ROUND = 1.0  # air round a drawing that is cropped [mm]
_NOTHING = Box(math.inf, math.inf, -math.inf, -math.inf)
_NEAR = 0.72  # share of a picture that the part itself takes at least


def part_on_screen(
    name: str,
    neighbours: Sequence[str],
    bodies: Mapping[str, Body],
    frames: Mapping[str, Vector],
    eye: Sequence[float],
    *,
    made: frozenset[str],
    is_printed: bool = False,
) -> Figure:
    """Picture of a part as it stands in the build, its neighbours in long dash, double dot.

    Parameters
    ----------
    name : str
    neighbours : sequence of str
    bodies, frames, eye
        As for `picture_of`.
    made : frozenset of str
        Parts in ink, named upright; the others are in pencil, their names sloped.
    is_printed : bool
        For the narrow column of a printed sheet.
    """
    from foldwright.draw.seen import box_of, seen_of  # loads NumPy and Shapely

    wide, tall = (_PAPER_WIDE, _PAPER_HIGH) if is_printed else (_WIDE, _HIGH)
    around = [n for n in neighbours if n in bodies and n != name]
    names = [Name(n, (called(n),), n not in made) for n in around]
    beside = column_width(names) if names and not is_printed else 2.0
    room = wide - 2.0 * min(beside, 0.3 * wide)
    some = {n: bodies[n] for n in (name, *around)}
    low, high = box_of(some, frames, eye)
    # a neighbour far larger than the part runs off the picture: the part is what is looked at
    own_low, own_high = box_of({name: bodies[name]}, frames, eye)
    scale = max(
        min(room / (high[0] - low[0]), (tall - 4.0) / (high[1] - low[1])),
        _NEAR * min(room / (own_high[0] - own_low[0]), (tall - 4.0) / (own_high[1] - own_low[1])),
    )
    drawn = picture_of(
        {name: bodies[name]}, frames, wide, tall, eye=eye, made=made & {name}, largest=scale
    )
    middle = [(a + b) / 2.0 for a, b in zip(own_low, own_high, strict=True)]

    def place(p: Point) -> Point:
        return (
            wide / 2.0 + scale * (p[0] - middle[0]),
            tall / 2.0 + scale * (p[1] - middle[1]),
        )

    board = Box((wide - room) / 2.0, 0.0, (wide + room) / 2.0, tall)
    outlines: dict[str, list[list[Point]]] = {}
    dots: dict[str, Point] = {}
    for other in around:
        seen = seen_of({other: bodies[other]}, frames, eye)
        runs = [[place(p) for p in one.points] for one in seen.lines if one.kind != "ruling"]
        runs = [run for run in runs if _extent(run) > _SHORT]
        dot = _spot(runs, board)
        if dot is not None:  # else a corner of it would stand there, and nobody knew of what
            outlines[other], dots[other] = runs, dot
    page = Box(0.0, 0.0, wide, tall)
    caption, named = "", []
    if is_printed:  # its column has no room for names beside it
        caption = f"In dash and double dot: {listed([called(n) for n in dots])}." if dots else ""
    else:
        named = set_names(names, dots, board, page)
    # what runs off the picture ends before the names on that side
    ends = [word.at[0] for name in named for word in name.words if isinstance(word, Words)]
    window = Box(
        board.left if any(x < board.left for x in ends) else page.left,
        page.low,
        board.right if any(x > board.right for x in ends) else page.right,
        page.high,
    )
    items: list[Item] = list(drawn.items)
    for runs in outlines.values():
        items += [Stroke(polyline(run), NEIGHBOUR) for run in _within(runs, window)]
    items += [item for name in named for item in (*name.leader, *name.words)]
    said = f"Picture of the {called(name)}, {'in ink' if name in made else 'in pencil'}"
    if around:
        said += f"; in dash and double dot its neighbours: {', '.join(map(called, around))}"
    return figure_of(items, wide, tall, f"{said}.", caption)


def _extent(run: Sequence[Point]) -> float:
    xs, ys = [p[0] for p in run], [p[1] for p in run]
    return max(max(xs) - min(xs), max(ys) - min(ys))


def _within(runs: Sequence[Sequence[Point]], window: Box) -> list[list[Point]]:
    """Lines as far as they lie in a window."""
    import shapely

    pane = shapely.box(window.left, window.low, window.right, window.high)
    parts = shapely.get_parts(shapely.intersection([shapely.LineString(r) for r in runs], pane))
    return [list(one.coords) for one in parts if one.length > _SHORT]


def _spot(runs: Sequence[Sequence[Point]], board: Box) -> Point | None:
    """Where the leader of a neighbour ends: on its outline, well inside the board."""
    kept = _within(runs, Box(board.left, board.low + 3.0, board.right, board.high - 3.0))
    inside = [between(a, b, 0.5) for run in kept for a, b in pairwise(run)]
    # away from the middle, where the part itself is
    return max(inside, key=lambda p: abs(p[0] - board.middle[0]), default=None)


def tool_on_screen(
    route: Route, dim: ToMeasure, eye: Sequence[float], info: SheetInfo
) -> Figure | None:
    """Where the tool goes to read one dim; None for what a picture cannot show plainly."""
    width, height = _TOOL
    drawn = picture_of(
        {route.part: route.body},
        {},
        width,
        height,
        eye=eye,
        made=None if route.is_made else frozenset(),
        largest=2.0,
        weight=0.85,
        air=ROOM,
    )
    lines = measuring_lines(drawn, route.kind, route.body, None, [dim], info)
    if not lines:
        return None
    label = f"Where to measure: {measured_name(dim.dim).lower()}. {dim.how}"
    # a narrow part keeps air beside it, or its letters would be blown up to the column
    return _cropped((*drawn.items, *lines), label, width)


def _cropped(items: Sequence[Item], label: str, least: float = 0.0) -> Figure:
    """A drawing without the air round it, but for what makes it as wide as the least [mm]."""
    boxes = [_box_of(item) for item in items]
    low = (min(b.left for b in boxes) - _ROUND, min(b.low for b in boxes) - _ROUND)
    high = (max(b.right for b in boxes) + _ROUND, max(b.high for b in boxes) + _ROUND)
    wide = max(least, high[0] - low[0])
    aside = (wide - (high[0] - low[0])) / 2.0
    moved = Group(tuple(items), shift=(aside - low[0], -low[1]))
    return figure_of([moved], wide, high[1] - low[1], label)


def _box_of(item: Item) -> Box:
    """What an item covers; a group that is not moved only."""
    if isinstance(item, Group):
        inner = [_box_of(one) for one in item.items]
        if not inner:
            return _NOTHING
        return Box(
            min(b.left for b in inner),
            min(b.low for b in inner),
            max(b.right for b in inner),
            max(b.high for b in inner),
        )
    if not isinstance(item, Words):
        return bounds(item.path) if item.path else _NOTHING
    long = text_width(item.text, item.face, item.size)
    before = {"start": 0.0, "middle": 0.5, "end": 1.0}[item.anchor] * long
    along = (math.cos(item.turn), math.sin(item.turn))
    corners = [
        (
            item.at[0] + x * along[0] - y * along[1],
            item.at[1] + x * along[1] + y * along[0],
        )
        for x in (-before, long - before)
        for y in (0.0, item.size)
    ]
    xs, ys = zip(*corners, strict=True)
    return Box(min(xs), min(ys), max(xs), max(ys))


def lettered_on_screen(route: Route, eye: Sequence[float]) -> Figure | None:
    """Picture of a part in its own frame with a letter on each fold; None without folds."""
    letters = fold_letters(route)
    if not letters:
        return None
    width, height = _WIDE, 0.7 * _WIDE
    drawn = picture_of(
        {route.part: route.body},
        {},
        width,
        height,
        eye=eye,
        made=None if route.is_made else frozenset(),
        letters=letters,
        largest=1.5,
        weight=0.85,
        air=3.0,
    )
    label = f"The {called(route.part)} with a letter on each fold."
    return figure_of(drawn.items, width, height, label)


def blank_on_screen(piece: Piece, pieces: Sequence[Piece], info: SheetInfo) -> Figure:
    """A blank as it is marked: running dimensions from the datum corner, folds, seams."""
    room = Box(0.0, 0.0, _BLANK_WIDE, _room_for(blank_of(piece, pieces)))
    drawn = drawing_with_scales(blank_of(piece, pieces), info, room)
    return _blank(piece, pieces, drawn, room, f"1:{drawn.ratio:g}, on")


def blank_on_paper(
    piece: Piece, pieces: Sequence[Piece], info: SheetInfo, width: float, height: float
) -> Figure:
    """The same, drawn for what a printed sheet leaves to it [mm], to be printed as wide."""
    room = Box(0.0, 0.0, width / _LARGER - 2.0 * _MARGIN, height / _LARGER)
    drawn = largest_with_scales(blank_of(piece, pieces), info, room)
    return _blank(piece, pieces, drawn, room, "On")


def _blank(piece: Piece, pieces: Sequence[Piece], drawn: Drawn, room: Box, begin: str) -> Figure:
    blank = blank_of(piece, pieces)
    caption = f"{begin} the marked side, from the ringed datum corner."
    if drawn.crowded:
        caption = (
            f"{begin} the marked side. Too crowded for running dimensions here: they are on its "
            "marking-out sheet, from the ringed datum corner."
        )
    return figure_of(
        [Group(tuple(drawn.items), shift=(_MARGIN, -drawn.bottom))],
        room.width + 2.0 * _MARGIN,
        room.high - drawn.bottom + 1.5,
        f"Blank of the {called(piece.part)} on its marked side: {blank.title}.",
        caption,
    )


def _room_for(blank: Blank) -> float:
    """Height for a blank: as its shape asks, and what its legend takes."""
    size = blank.box
    return min(_BLANK_HIGH, max(58.0, _BLANK_WIDE * size.height / max(size.width, 1.0) + 34.0))


@dataclass(frozen=True)
class SetUpTold:
    """A set-up, or what to do to seams: heading, sentences, and its section if it has one.

    `on_paper` is the section for the narrow column of a printed sheet.
    """

    title: str
    sentences: tuple[str, ...]
    section: Figure | None = None
    on_paper: Figure | None = None


def set_ups_on_screen(
    pieces: Sequence[Piece], all_pieces: Sequence[Piece], info: SheetInfo
) -> list[SetUpTold]:
    """Set-ups and seams of a part's blanks; what two of them share stands once."""
    found: dict[tuple[str, str], SetUpTold] = {}
    seams: dict[tuple[str, tuple[str, ...]], SetUpTold] = {}
    for piece in pieces:
        blank = blank_of(piece, all_pieces)
        for one in set_ups_of(blank, info):
            if (one.title, one.text) not in found:
                sections = _sections(blank, one.fold, info) if one.is_cut else ()
                found[one.title, one.text] = SetUpTold(one.title, (one.text,), *sections)
        which = blank.title.partition(", ")[2] if len(pieces) > 1 else ""
        heading = f"Seams, {which}" if which else "Seams"
        if texts := tuple(seam_words(blank, info)):
            seams.setdefault((heading, texts), SetUpTold(heading, texts))
    return [*found.values(), *seams.values()]


def _sections(blank: Blank, fold: FoldLine, info: SheetInfo) -> tuple[Figure, Figure]:
    """Section of a cut for the screen, and for the narrow column of a printed sheet."""
    items, _ = section_block(blank, fold, info)(0.0, 0.0, _SECTION)
    said = "; ".join(item.text for item in items if isinstance(item, Words))
    plain = plain_section(groove_of(blank, fold, info), _PAPER_SECTION)
    return _cropped(items, f"Section of the cut: {said}"), _cropped(plain, "Section of the cut")


def gap_scale(meet: Neighbour, info: SheetInfo) -> Figure:
    """What is wanted as a thick bar, what is expected as a triangle with its spread.

    What misses its range is a cross. The whisker reaches two spreads each way.
    """
    width, height = _GAP
    low, high = meet.wanted
    sign = -1.0 if high <= 0.0 else 1.0  # a range below nothing is said by its size
    low, high = sorted((sign * low, sign * high))
    value, spread = sign * meet.expected, 2.0 * meet.spread
    ends = (min(low, value - spread), max(high, value + spread))
    # what lies very far off is drawn at the edge: the numbers say how far
    reach = 2.0 * (high - low)
    left, right = max(ends[0], low - reach), min(ends[1], high + reach)
    span = max(right - left, 1e-6)

    def x(at: float) -> float:
        share = (min(max(at, left), right) - left) / span
        return _ENDS + share * (width - 2.0 * _ENDS)

    base = 4.6
    bar = Pen("wanted", 1.1)
    items: list[Item] = [
        line((2.0, base), (width - 2.0, base), RULE),
        line((x(low), base), (x(high), base), bar),
    ]
    for end in (low, high):
        items.append(line((x(end), base - 1.4), (x(end), base + 1.4), RULE))
    fine = is_fine_range(low, high)
    shown = [info.length(end, fine) for end in (low, high)]
    if x(high) - x(low) < 12.0:  # the figures would run into one another
        items.append(Words((x(low), 0.4), shown[0], 3.2, LETTERING, "end"))
        items.append(Words((x(high), 0.4), shown[1], 3.2, LETTERING, "start"))
    else:
        items.append(Words((x(low), 0.4), shown[0], 3.2, LETTERING, "middle"))
        items.append(Words((x(high), 0.4), shown[1], 3.2, LETTERING, "middle"))
    over = base + 3.2
    if spread > 0.0:
        items.append(line((x(value - spread), over), (x(value + spread), over), RULE))
        for end in (value - spread, value + spread):
            items.append(line((x(end), over - 0.8), (x(end), over + 0.8), RULE))
    at = x(value)
    if low <= value <= high:
        tip = [(at, base + 1.0), (at - 1.5, over + 0.6), (at + 1.5, over + 0.6)]
        items.append(Area(polyline(tip, closed=True)))
    else:
        cross = Pen("misses", 0.45, danger=True)
        for way in (-1.0, 1.0):
            a, b = (at - 1.6, base - 1.6 * way), (at + 1.6, base + 1.6 * way)
            items.append(line(a, b, cross))
    label = (
        f"{title(meet.word)}: wanted {shown[0]} to {shown[1]}, "
        f"expected {info.length(value, fine)}"
        + (f", give or take {info.length(spread, fine)}." if spread else ".")
    )
    return figure_of(items, width, height, label)
