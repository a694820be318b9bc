"""Sheet layouts: each sheet to scale, with what is cut from it and where.

Room: draw. `layouts_pdf` makes the document. A sheet lies as its blanks are
marked; each blank carries its number and name, and the running dimensions up
the side and along the foot say how far its datum corner lies from the sheet's
lower left corner. The list beside or below the drawing says the same once
more, with the turn.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from foldwright.draw.blank import Blank, blank_of
from foldwright.draw.blank_drawing import fold_pen
from foldwright.draw.drawing import (
    CUT,
    DIMENSION,
    LETTERING,
    LETTERING_NARROW,
    SHEET,
    TEXT,
    Area,
    Box,
    Face,
    Item,
    Page,
    Paper,
    Path,
    Pen,
    Point,
    Stroke,
    Words,
    bounds,
    circle,
    line,
    moved,
    polyline,
    sampled,
)
from foldwright.draw.flow import Chunk, Column, flow, height_of, paragraph, table
from foldwright.draw.fonts import text_width
from foldwright.draw.info import SheetInfo, degrees, listed
from foldwright.draw.placing import (
    Frame,
    Ground,
    baseline,
    is_inside,
    label_frame,
    places_within,
)
from foldwright.draw.running import Reading, band, is_crowded, scale_along
from foldwright.draw.set_ups import heading_block
from foldwright.draw.sheet import (
    ADVICE_NUMBERS,
    GRAIN_SIGN,
    LEFT,
    NAME,
    RIGHT,
    RUNNING,
    SECOND,
    TITLE,
    Title,
    caution,
    caution_height,
    check_bars,
    grain_arrow,
    heading,
    legend_height,
    legend_row,
    title_block,
)
from foldwright.draw.view import View, fitting_scale
from foldwright.draw.wording import counted
from foldwright.sheet import is_rectangle

if TYPE_CHECKING:
    from foldwright.flat import Piece
    from foldwright.sheet import SheetLayout, StockLayout

TRIM = Pen("edge trim", 0.18, (0.6, 0.9))
OUTLINE = replace(CUT, width=0.35)  # narrower: at 1:15 a saw cut would drown between two
FREE = Pen("saw cut that frees the remainder", 0.25, (3.5, 0.9))

_FOOT = 36.0  # upper edge of the title block, and air above it [mm]
_LIST = 58.0  # width of the list beside a tall sheet [mm]
_GAP = 4.0
_SAME = 0.05  # positions that print alike share a tick [mm]
_DATUM = 0.8  # radius of the ring round a datum corner [mm]
_NUMBER = 3.5

_LARGE_SHEETS = (
    "Large sheets and sharp skins.",
    "Two people carry a whole sheet. Support it on both sides of the cut, clamp it, and wear "
    "gloves to carry and glasses to cut. Follow the rules of your shop and the saw's maker.",
)


@dataclass(frozen=True)
class _Laid:
    """A blank on its sheet: number, where its datum corner lies from the sheet's, and turn."""

    number: int
    blank: Blank
    at: Point
    turn: float

    def on_sheet(self, p: Point) -> Point:
        """Where a point of the blank lies, from the sheet's lower left corner."""
        cos, sin = math.cos(self.turn), math.sin(self.turn)
        return (self.at[0] + p[0] * cos - p[1] * sin, self.at[1] + p[0] * sin + p[1] * cos)


def layouts_pdf(
    layouts: Sequence[StockLayout],
    pieces: Sequence[Piece],
    info: SheetInfo,
    paper: Paper | None = None,
) -> bytes:
    """Layouts of all sheets.

    Parameters
    ----------
    layouts : sequence of StockLayout
        In the order to print.
    pieces : sequence of Piece
        All that lie on them.
    info : SheetInfo
    paper : Paper, optional
        `info.page` unless another is given.

    Returns
    -------
    bytes
        A PDF file; one page for each sheet, more where its list is long.
    """
    from foldwright.draw.pdf import pdf_of  # loads reportlab

    return pdf_of(layout_pages(layouts, pieces, info, paper), f"{info.build}: sheet layouts")


def layout_pages(
    layouts: Sequence[StockLayout],
    pieces: Sequence[Piece],
    info: SheetInfo,
    paper: Paper | None = None,
) -> list[Page]:
    """Pages of `layouts_pdf`; none if nothing is laid out."""
    paper = paper or info.page
    by_id = {piece.id: piece for piece in pieces}
    drawn: list[tuple[StockLayout, str, list[list[Item]]]] = []
    for layout in layouts:
        for sheet in layout.sheets:
            scale, filled = _sheet_pages(layout, sheet, by_id, info, paper)
            drawn.append((layout, scale, filled))
        if layout.left_out:
            drawn.append((layout, "", _left_out_pages(layout, info, paper)))
    total = sum(len(filled) for _, _, filled in drawn)
    pages: list[Page] = []
    for layout, scale, filled in drawn:
        for items in filled:
            title = Title(
                (
                    ("Build", info.build),
                    ("Stock", info.stock_of(layout.stock.name, layout.stock.thickness)),
                    ("Sizes", "mm" if info.units == "mm" else "inches"),
                    ("Scale", scale or "none"),
                    ("Page", f"{len(pages) + 1} of {total}"),
                    ("Drawn", info.drawn),
                )
            )
            foot = [*title_block(title, paper), *check_bars(paper, ADVICE_NUMBERS)]
            pages.append(Page(paper, (*items, *foot)))
    return pages


def laid_blanks(
    sheet: SheetLayout, pieces: Sequence[Piece]
) -> list[tuple[Blank, Callable[[Point], Point]]]:
    """Blanks of a sheet, each with the motion from its own frame to the sheet's.

    What `laid_out_dxf` draws; the sheet's own frame is that of its outline on the rack.
    """
    by_id = {piece.id: piece for piece in pieces}
    left, low = _corner(sheet)

    def motion(spot: _Laid) -> Callable[[Point], Point]:
        def onto(p: Point) -> Point:
            x, y = spot.on_sheet(p)
            return (x + left, y + low)

        return onto

    return [(spot.blank, motion(spot)) for spot in _laid(sheet, by_id)]


def _sheet_pages(
    layout: StockLayout,
    sheet: SheetLayout,
    by_id: Mapping[str, Piece],
    info: SheetInfo,
    paper: Paper,
) -> tuple[str, list[list[Item]]]:
    """Scale and pages of one sheet."""
    laid = _laid(sheet, by_id)
    width = paper.width - LEFT - RIGHT
    items, top = heading(_name_of(layout, sheet, info), LEFT, paper.height - 11.0, TITLE)
    for text in (_describe(layout, sheet, info), *_notes(laid)):
        block, top = paragraph(text, RUNNING)(LEFT, top - 1.0, width)
        items += block
    items.append(Words((LEFT, top - 6.0), f"THIS SIDE UP: {_side_up(laid)}", NAME))
    chunks = _list(laid, info)
    beside, below = _arrangements(sheet, laid, chunks, Box(LEFT, _FOOT, LEFT + width, top - 9.5))
    ratios = [_fitted(sheet, laid, info, a.picture)[0] for a in (beside, below)]
    chosen = beside if ratios[0] <= ratios[1] else below
    picture, scale, bottom = _picture(sheet, laid, info, chosen.picture)
    items += picture
    if chosen is below:
        chosen = _moved_up(below, bottom - chosen.picture.low)
    side = chosen.list
    items += legend_row(_line_names(sheet, laid), *chosen.legend, side.right)
    items += caution(*_LARGE_SHEETS, *chosen.caution, side.right - chosen.caution[0])[0]
    name = f"{_name_of(layout, sheet, info)}, continued"
    return f"1:{scale:g}", _filled(items, chunks, side, name, paper)


@dataclass(frozen=True)
class _Arrangement:
    """Where picture and list stand, and where legend (baseline) and caution (top) begin."""

    picture: Box
    list: Box
    legend: Point
    caution: Point


def _arrangements(
    sheet: SheetLayout, laid: Sequence[_Laid], chunks: Sequence[Chunk], room: Box
) -> tuple[_Arrangement, _Arrangement]:
    """List, legend and caution beside the picture, or below it."""
    names = _line_names(sheet, laid)
    left = room.right - _LIST
    hazard = room.low + caution_height(*_LARGE_SHEETS, _LIST)
    legend = hazard + 4.0
    low = legend + legend_height(names, _LIST) + 4.0
    beside = _Arrangement(
        Box(room.left, room.low, left - _GAP, room.high),
        Box(left, low, room.right, room.high),
        (left, legend),
        (left, hazard),
    )
    hazard = room.low + caution_height(*_LARGE_SHEETS, room.width)
    need = sum(height_of(c.block, room.width) + c.space for c in chunks) + 6.0
    top = hazard + 3.0 + min(need, 0.4 * (room.high - hazard))
    high = top + legend_height(names, room.width) + 4.0
    below = _Arrangement(
        Box(room.left, high, room.right, room.high),
        Box(room.left, hazard + 3.0, room.right, top - 2.0),
        (room.left, top + 1.0),
        (room.left, hazard),
    )
    return beside, below


def _moved_up(below: _Arrangement, by: float) -> _Arrangement:
    """Legend and list follow a picture that leaves some of its room [mm]."""
    room = below.list
    higher = Box(room.left, room.low, room.right, room.high + by)
    return replace(below, list=higher, legend=(below.legend[0], below.legend[1] + by))


def _filled(
    items: list[Item], chunks: Sequence[Chunk], first: Box, name: str, paper: Paper
) -> list[list[Item]]:
    """Pages with the chunks set from the `first` room on, headed by `name` where they go on."""
    pages = [items]

    def columns() -> Iterator[Box]:
        yield first
        while True:
            yield Box(LEFT, _FOOT + 1.0, paper.width - RIGHT, paper.height - 28.0)

    count = 0

    def begin(_: Box) -> None:
        nonlocal count
        if count:
            pages.append(heading(name, LEFT, paper.height - 14.0)[0])
        count += 1

    if chunks:
        flow(chunks, columns(), begin, lambda more: pages[-1].extend(more))
    return pages


def _laid(sheet: SheetLayout, by_id: Mapping[str, Piece]) -> list[_Laid]:
    """Blanks of a sheet, numbered from its lower left corner, row by row."""
    left, low = _corner(sheet)
    spots = sorted(sheet.spots, key=lambda s: (round(s.y / 10.0), s.x, s.piece))
    return [
        _Laid(i, blank_of(by_id[spot.piece]), (spot.x - left, spot.y - low), spot.turn)
        for i, spot in enumerate(spots, 1)
    ]


def _corner(sheet: SheetLayout) -> Point:
    xs, ys = zip(*sheet.sheet.outline, strict=True)
    return (min(xs), min(ys))


def _size(sheet: SheetLayout) -> Point:
    xs, ys = zip(*sheet.sheet.outline, strict=True)
    return (max(xs) - min(xs), max(ys) - min(ys))


# --- words ---------------------------------------------------------------------


def _name_of(layout: StockLayout, sheet: SheetLayout, info: SheetInfo) -> str:
    stock = info.stock_of(layout.stock.name, layout.stock.thickness)
    return f"{stock}, sheet {sheet.number} of {len(layout.sheets)}"


def _describe(layout: StockLayout, sheet: SheetLayout, info: SheetInfo) -> str:
    """Say what the sheet is, how much of it is used, and what remains."""
    width, height = _size(sheet)
    what = "A sheet" if is_rectangle(sheet.sheet) else "An odd offcut within"
    where = "from the rack" if sheet.sheet.count else "to be bought"
    text = (
        f"{what} {info.by(width, height)}, {where}. "
        f"{counted(len(sheet.spots), 'blank').capitalize()}, "
        f"from {100.0 * sheet.used:.0f} in 100 of it."
    )
    if sheet.remainder:
        size = info.by(sheet.remainder.width, sheet.remainder.height)
        text += f" A piece {size} remains: mark it and put it back on the rack."
    stock = layout.stock
    return (
        f"{text} {info.length_with_unit(stock.trim)} is left along every edge and "
        f"{info.length_with_unit(stock.kerf + stock.gap)} between blanks, "
        f"{info.length_with_unit(stock.kerf)} of it for the cut."
    )


def _notes(laid: Sequence[_Laid]) -> list[str]:
    """Say how to read the figures, and which blanks are marked on the other side."""
    notes = [
        "Figures run from the sheet's lower left corner to the ringed datum corner of each blank; "
        "it is turned anticlockwise about that."
    ]
    odd = _other_side(laid)
    if odd:
        numbers = listed([str(spot.number) for spot in odd])
        verb = "is" if len(odd) == 1 else "are"
        notes.append(
            f"{numbers} {verb} marked on the {odd[0].blank.side} and shown so. If the two faces "
            "of the board differ, cut what is marked on one side from a sheet of its own."
        )
    return notes


def _other_side(laid: Sequence[_Laid]) -> list[_Laid]:
    """Blanks that are marked on the side that fewer of them are."""
    inside = [spot for spot in laid if spot.blank.side == "inside"]
    outside = [spot for spot in laid if spot.blank.side != "inside"]
    return outside if len(inside) >= len(outside) else inside if outside else []


def _side_up(laid: Sequence[_Laid]) -> str:
    sides = {spot.blank.side for spot in laid}
    odd = {spot.number for spot in _other_side(laid)} if len(sides) > 1 else set()
    side = next((s.blank.side for s in laid if s.number not in odd), "outside")
    film = "down" if side == "inside" else "up"
    return f"{side} of the parts, film side {film}"


def _list(laid: Sequence[_Laid], info: SheetInfo) -> list[Chunk]:
    """Numbers, names, places and turns as a table."""
    rows = [
        (
            str(spot.number),
            spot.blank.piece.id.replace("_", " "),
            info.length(spot.at[0]),
            info.length(spot.at[1]),
            degrees(spot.turn % math.tau).replace(".0°", "°"),
        )
        for spot in laid
    ]
    columns = (
        Column("", 8.0),
        Column("Blank", 24.0, face=TEXT),
        Column("Across", 13.0, right=True),
        Column("Up", 13.0, right=True),
        Column("Turned", 11.0, right=True),
    )
    return table(columns, rows, size=2.9)


def _left_out_pages(layout: StockLayout, info: SheetInfo, paper: Paper) -> list[list[Item]]:
    """What found no place, and why."""
    stock = info.stock_of(layout.stock.name, layout.stock.thickness)
    name = f"{stock}: no place yet"
    items, top = heading(name, LEFT, paper.height - 11.0, TITLE)
    chunks: list[Chunk] = []
    for reason, ids in _by_reason(layout).items():
        names = listed([id.replace("_", " ") for id in ids])
        chunks.append(Chunk(heading_block(names), keep=True, space=4.0))
        chunks.append(Chunk(paragraph(reason, SECOND)))
    first = Box(LEFT, _FOOT + 1.0, paper.width - RIGHT, top - 4.0)
    return _filled(items, chunks, first, f"{name}, continued", paper)


def _by_reason(layout: StockLayout) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for out in layout.left_out:
        found.setdefault(out.reason, []).append(out.id)
    return found


# --- picture -------------------------------------------------------------------


def _fitted(
    sheet: SheetLayout, laid: Sequence[_Laid], info: SheetInfo, room: Box
) -> tuple[float, bool]:
    """Reduction at which a sheet fits the room with its scales, and if these are too crowded."""
    width, height = _size(sheet)
    across, up = _readings(laid, info, 0, width), _readings(laid, info, 1, height)
    crowded = is_crowded(up, room.height - 20.0) or is_crowded(across, room.width - 30.0)
    beside, below = (2.0, 2.0) if crowded else (band(up), band(across))
    ratio = fitting_scale(width, height, room.width - beside - 2.0, room.height - below - 2.0)
    return ratio, crowded


def _picture(
    sheet: SheetLayout, laid: Sequence[_Laid], info: SheetInfo, room: Box
) -> tuple[list[Item], float, float]:
    """Sheet with its scales in the room; also the reduction and the lower end."""
    width, height = _size(sheet)
    across, up = _readings(laid, info, 0, width), _readings(laid, info, 1, height)
    ratio, crowded = _fitted(sheet, laid, info, room)
    beside, below = (2.0, 2.0) if crowded else (band(up), band(across))
    scale = 1.0 / ratio
    slack = room.width - beside - 2.0 - width * scale
    origin = (room.left + beside + 0.3 * slack, room.high - 1.0 - height * scale)
    bottom = origin[1] - below
    view = View(origin, scale, Box(room.left, bottom, room.right, room.high + 1.0))
    items = _lines(sheet, laid, view)
    if not crowded:
        # labels need their length whatever the scale
        low = min(origin[1] - 2.0, room.high - 3.3 * len(up))
        bottom = min(bottom, low - 2.0)
        items += scale_along(up, view, height, 1, (low, room.high))
        items += scale_along(across, view, width, 0, (origin[0] - 4.0, room.right - 1.5))
    items += _labels(sheet, laid, view, info)
    return items, ratio, max(bottom, room.low)


def _readings(
    laid: Sequence[_Laid], info: SheetInfo, axis: int, extent: float
) -> tuple[Reading, ...]:
    """Ticks along one edge: where datum corners lie, and the edge's own ends."""
    groups: list[tuple[float, list[int]]] = [(0.0, [])]
    for value, number in sorted((spot.at[axis], spot.number) for spot in laid):
        if value - groups[-1][0] < _SAME:
            groups[-1][1].append(number)
        else:
            groups.append((value, [number]))
    if extent - groups[-1][0] > _SAME:
        groups.append((extent, []))
    return tuple(
        Reading(value, " ".join(map(str, sorted(numbers))) or "edge", info.length(value))
        for value, numbers in groups
    )


def _line_names(sheet: SheetLayout, laid: Sequence[_Laid]) -> list[Pen | str]:
    folds = [_narrow(fold_pen(fold)) for spot in laid for fold in spot.blank.folds]
    names: list[Pen | str] = [OUTLINE, *dict.fromkeys(folds), SHEET]
    names += [TRIM] if sheet.stock.trim > 0.0 else []
    names += [FREE] if sheet.remainder else []
    names += [GRAIN_SIGN] if sheet.stock.grain else []
    return names


def _lines(sheet: SheetLayout, laid: Sequence[_Laid], view: View) -> list[Item]:
    """Sheet, trim, blanks with their folds, and the cut that frees the remainder."""
    left, low = _corner(sheet)
    outline = [(x - left, y - low) for x, y in sheet.sheet.outline]
    items: list[Item] = []
    # large ones first: a small one may lie in a window of theirs
    for spot in sorted(laid, key=lambda s: -s.blank.box.width * s.blank.box.height):
        items.append(Area(_path(spot, spot.blank.outline, view), "wash"))
        items += [Area(_path(spot, c, view), "paper") for c in spot.blank.cutouts]
    for spot in laid:
        paths = (spot.blank.outline, *spot.blank.cutouts)
        items += [Stroke(_path(spot, path, view), OUTLINE) for path in paths]
        items += [
            line(view.at(spot.on_sheet(f.a)), view.at(spot.on_sheet(f.b)), _narrow(fold_pen(f)))
            for f in spot.blank.folds
        ]
        items.append(Stroke(circle(view.at(spot.at), _DATUM), DIMENSION))
    items.append(Stroke(polyline([view.at(p) for p in outline], closed=True), SHEET))
    for ring in _inset(outline, sheet.stock.trim):
        items.append(Stroke(polyline([view.at(p) for p in ring], closed=True), TRIM))
    cut = _freeing_cut(sheet)
    if cut:
        items.append(line(view.at(cut[0]), view.at(cut[1]), FREE))
    return items


def _narrow(pen: Pen) -> Pen:
    """Pen at half the width of the outlines here."""
    return replace(pen, width=0.18)


def _path(spot: _Laid, path: Path, view: View) -> Path:
    return moved(path, lambda p: view.at(spot.on_sheet(p)))


def _inset(outline: Sequence[Point], trim: float) -> list[list[Point]]:
    """Rings a trim inside of a sheet; none without trim."""
    if trim <= 0.0:
        return []
    import shapely

    inner = shapely.Polygon(outline).buffer(-trim, join_style="mitre")
    parts = [g for g in shapely.get_parts(inner) if not g.is_empty]
    return [[(float(x), float(y)) for x, y in part.exterior.coords[:-1]] for part in parts]


def _freeing_cut(sheet: SheetLayout) -> tuple[Point, Point] | None:
    """Edge of the remainder that has to be sawn, from the sheet's corner."""
    rest = sheet.remainder
    if rest is None:
        return None
    left, low = _corner(sheet)
    width, height = _size(sheet)
    if rest.low - low > _SAME:
        return (0.0, rest.low - low), (width, rest.low - low)
    return (rest.left - left, 0.0), (rest.left - left, height)


def _labels(sheet: SheetLayout, laid: Sequence[_Laid], view: View, info: SheetInfo) -> list[Item]:
    """Number and name on each blank, words on the remainder, the grain."""
    ground = Ground(view.window)
    for spot in laid:
        for path in (spot.blank.outline, *spot.blank.cutouts):
            ground.add_path(_path(spot, path, view))
        for fold in spot.blank.folds:
            ground.add_line(view.at(spot.on_sheet(fold.a)), view.at(spot.on_sheet(fold.b)))
        ground.take(Frame(view.at(spot.at), (_DATUM, _DATUM)))
    left, low = _corner(sheet)
    outline = [(x - left, y - low) for x, y in sheet.sheet.outline]
    for ring in (outline, *_inset(outline, sheet.stock.trim)):
        ground.add_path(polyline([view.at(p) for p in ring], closed=True))
    cut = _freeing_cut(sheet)
    if cut:
        ground.add_line(view.at(cut[0]), view.at(cut[1]))
    items: list[Item] = []
    if sheet.stock.grain:
        items += _grain(sheet, view, ground)
    # the smallest blanks have the least choice
    for spot in sorted(laid, key=lambda s: s.blank.box.width * s.blank.box.height):
        items.append(_label(spot, view, ground))
    if sheet.remainder:
        items += _remainder_words(sheet, view, info, ground)
    return items


def _label(spot: _Laid, view: View, ground: Ground) -> Words:
    """Write number and name where they fit, or the number alone."""
    polygon = [view.at(spot.on_sheet(p)) for p in sampled(spot.blank.outline)]
    windows = [[view.at(spot.on_sheet(p)) for p in sampled(c)] for c in spot.blank.cutouts]
    name = f"{spot.number}  {spot.blank.piece.id.replace('_', ' ')}"
    trials: list[tuple[str, float, Face, float]] = [
        (text, size, face, turn)
        for text in (name, str(spot.number))
        for size, face in ((_NUMBER, LETTERING), (2.8, LETTERING), (2.4, LETTERING_NARROW))
        for turn in (0.0, math.pi / 2.0)
    ]
    places = [
        p
        for p in places_within(polygon, ground.window, 2.0)
        if not any(is_inside(p, w) for w in windows)
    ]
    for text, size, face, turn in trials:
        width = text_width(text, face, size)
        found = ground.first_free(label_frame(p, width, size, 0.7, turn) for p in places)
        if found:
            ground.take(found)
            return Words(baseline(found, size), text, size, face, "middle", turn)
    text, size = str(spot.number), 2.4
    box = bounds(_path(spot, spot.blank.outline, view))
    frames = _around(box, text_width(text, LETTERING_NARROW, size), size)
    best = ground.least_bad(frames)
    ground.take(best)
    return Words(baseline(best, size), text, size, LETTERING_NARROW, "middle")


def _around(box: Box, width: float, size: float) -> list[Frame]:
    """Frames on and round a small blank, the middle first."""
    (x, y), w, h = box.middle, 0.5 * (box.width + width) + 1.2, 0.5 * (box.height + size) + 1.0
    places = [(x, y), (x + w, y), (x - w, y), (x, y + h), (x, y - h)]
    return [label_frame(p, width, size, 0.3) for p in places]


def _remainder_words(
    sheet: SheetLayout, view: View, info: SheetInfo, ground: Ground
) -> Iterable[Item]:
    rest = sheet.remainder
    assert rest is not None
    left, low = _corner(sheet)
    corners = [
        (rest.left - left, rest.low - low),
        (rest.right - left, rest.low - low),
        (rest.right - left, rest.high - low),
        (rest.left - left, rest.high - low),
    ]
    polygon = [view.at(p) for p in corners]
    text = f"remains {info.by(rest.width, rest.height)}"
    for size, face, turn in (
        (NAME, LETTERING, 0.0),
        (2.6, LETTERING_NARROW, 0.0),
        (2.6, LETTERING_NARROW, math.pi / 2.0),
    ):
        width = text_width(text, face, size)
        frames = (
            label_frame(p, width, size, 0.8, turn)
            for p in places_within(polygon, ground.window, 2.0)
        )
        found = ground.first_free(frames)
        if found:
            ground.take(found)
            return [Words(baseline(found, size), text, size, face, "middle", turn)]
    return []


def _grain(sheet: SheetLayout, view: View, ground: Ground) -> Iterable[Item]:
    """Arrow along the sheet's y, where it is free."""
    left, low = _corner(sheet)
    polygon = [view.at((x - left, y - low)) for x, y in sheet.sheet.outline]
    xs, ys = zip(*polygon, strict=True)
    length = 14.0
    frames = [
        Frame(p, (1.2, length / 2.0))
        for p in places_within(polygon, ground.window, 4.0, (max(xs), max(ys)))
        if is_inside((p[0] - 1.5, p[1] + length / 2.0), polygon)
        and is_inside((p[0] + 1.5, p[1] - length / 2.0), polygon)
    ]
    if not frames:
        return []
    best = ground.first_free(frames) or ground.least_bad(frames)
    ground.take(best)
    return grain_arrow(best.middle, math.pi / 2.0, length)
