"""Pieces written by hand, awkward on purpose, and a reader of printed pages.

The reader uses pypdfium2 alone: it knows nothing of the drawing code, only
what a person sees (a line's width, what words say, where marks lie).
"""

import math
from dataclasses import dataclass, replace

import pypdfium2 as pdfium
import pypdfium2.raw as raw

from foldwright.draw import SheetInfo
from foldwright.flat.pattern import Curved, Cutout, Fold, Mark, Panel, Piece, Seam, Step

MM = 25.4 / 72.0

INFO = SheetInfo(
    build="Harbour signal lamp",
    drawn="14 May 2025",
    notes={"cheek": ("Revision 2: the flap moved 0.9 out, since the wall came out long.",)},
    stocks={"board3": "3 mm skinned board"},
    skins={"board3": 0.3},
)


def fold(a, b, panels, turn_deg=90.0, **changed):
    """A groove of 2 mm floor; the zone is a plain strip round a-b."""
    length = math.dist(a, b)
    nx, ny = -(b[1] - a[1]) / length, (b[0] - a[0]) / length
    zone = (
        (a[0] - nx, a[1] - ny),
        (b[0] - nx, b[1] - ny),
        (b[0] + nx, b[1] + ny),
        (a[0] + nx, a[1] + ny),
    )
    record = Fold(
        a=a,
        b=b,
        panels=panels,
        turn=math.radians(turn_deg),
        method="groove",
        cut_side="inside",
        zone_width=2.0,
        zone=zone,
        web=0.8,
        k=0.79,
        inner_radius=0.64,
        cutter=math.radians(90.0),
        floor=2.0,
        shuts_at=math.radians(104.0),
        over_fold=math.radians(1.5),
        corner_loss=0.6,
    )
    return replace(record, **changed)


def handed():
    """A cheek with a flap on the left and another on top: its mirror image is another part.

    The left flap is shorter than the top one is deep, so the seam's two edges
    differ in length.
    """
    front = ((0.0, 0.0), (260.0, 0.0), (260.0, 150.0), (0.0, 150.0))
    left = ((-60.0, 20.0), (0.0, 0.0), (0.0, 150.0), (-60.0, 150.0))
    top = ((0.0, 150.0), (260.0, 150.0), (240.0, 270.0), (0.0, 270.0))
    outline = (
        (-60.0, 20.0),
        (0.0, 0.0),
        (260.0, 0.0),
        (260.0, 150.0),
        (240.0, 270.0),
        (0.0, 270.0),
        (0.0, 150.0),
        (-60.0, 150.0),
    )
    return Piece(
        id="cheek-1",
        part="cheek",
        stock="board3",
        thickness=3.0,
        revision=2,
        outline=tuple(Step(p) for p in outline),
        panels=(
            Panel(
                "front",
                "front",
                front,
                ((1.0, 0.0, 0.0, 0.0), (0.0, 1.0, 0.0, 0.0), (0.0, 0.0, 1.0, 0.0)),
            ),
            Panel(
                "left",
                "left",
                left,
                ((0.0, 0.0, -1.0, 0.0), (0.0, 1.0, 0.0, 0.0), (1.0, 0.0, 0.0, 0.0)),
            ),
            Panel(
                "top",
                "top",
                top,
                ((1.0, 0.0, 0.0, 0.0), (0.0, 0.0, 1.0, 150.0), (0.0, -1.0, 0.0, 150.0)),
            ),
        ),
        folds=(
            fold((0.0, 150.0), (0.0, 0.0), ("front", "left")),
            fold((0.0, 150.0), (260.0, 150.0), ("top", "front"), 80.0),
        ),
        seams=(
            Seam(
                (0.0, 270.0),
                (0.0, 150.0),
                "top",
                "mitre",
                math.radians(45.0),
                0.0,
                3.0,
                ("cheek-1", 1),
                "a",
            ),
            Seam(
                (0.0, 150.0),
                (-60.0, 150.0),
                "left",
                "mitre",
                math.radians(45.0),
                0.0,
                3.0,
                ("cheek-1", 0),
                "a",
            ),
        ),
        marks=(Mark("drill", (0.0, 150.0), 3.0, "relief"),),
    )


def outwards():
    """A strip with a fold that turns outwards, cut from the outside."""
    return Piece(
        id="strip-1",
        part="strip",
        stock="board3",
        thickness=3.0,
        revision=0,
        outline=tuple(Step(p) for p in ((0.0, 0.0), (300.0, 0.0), (300.0, 80.0), (0.0, 80.0))),
        folds=(
            fold((100.0, 80.0), (100.0, 0.0), ("b", "a"), 90.0),
            fold((180.0, 80.0), (180.0, 0.0), ("c", "b"), -40.0, cut_side="outside"),
            fold((240.0, 80.0), (250.0, 0.0), ("d", "c"), 30.0),
        ),
    )


def drum():
    """A drum blank, 220 across the outside in 2 mm board."""
    around = math.pi * 218.0
    flat = ((0.0, 0.0), (around, 0.0), (around, 310.0), (0.0, 310.0))
    return Piece(
        id="lamp-1",
        part="lamp",
        stock="board2",
        thickness=2.0,
        revision=0,
        outline=tuple(Step(p) for p in flat),
        seams=(
            Seam(flat[1], flat[2], "wall", "butt", 0.0, 0.0, 0.0, ("lamp-1", 1), "a"),
            Seam(flat[3], flat[0], "wall", "butt", 0.0, 0.0, 0.0, ("lamp-1", 0), "a"),
        ),
        curved=(
            Curved(
                "wall",
                flat,
                (0.0, 0.0, 0.0),
                (0.0, 0.0, 1.0),
                (1.0, 0.0, 0.0),
                0.0,
                110.0,
                109.0,
                1,
            ),
        ),
    )


def lamp():
    """The same drum with a round window in it, so that a rule alone does not mark it."""
    x, y, r = 340.0, 170.0, 60.0
    window = (Step((x - r, y), (x, y), False), Step((x + r, y), (x, y), False))
    return replace(drum(), cutouts=(Cutout(window, "lens"),))


def ring():
    """A ring: nothing but arcs."""

    def circle(r, left):
        return (Step((-r, 0.0), (0.0, 0.0), left), Step((r, 0.0), (0.0, 0.0), left))

    return Piece(
        id="cap_top-1",
        part="cap_top",
        stock="board2",
        thickness=2.0,
        revision=0,
        outline=circle(115.0, True),
        cutouts=(Cutout(circle(30.0, False), "bore"),),
    )


def comb(teeth=30):
    """A strip with many folds and many corners, whose lists fill more than a page."""
    corners = [(0.0, 0.0), (24.0 * teeth, 0.0)]
    for i in reversed(range(teeth)):
        x = 24.0 * i
        corners += [(x + 20.0, 60.0 + 1.7 * i), (x + 8.0, 60.0 + 1.3 * i), (x + 4.0, 40.0 + i)]
    corners.append((0.0, 40.0))
    return Piece(
        id="comb-1",
        part="comb",
        stock="board3",
        thickness=3.0,
        revision=0,
        outline=tuple(Step(p) for p in corners),
        folds=tuple(
            fold(
                (24.0 * i, 38.0),
                (24.0 * i, 0.0),
                (f"panel {i - 1}", f"panel {i}"),
                5.0 + i,
                floor=2.0 + 0.5 * (i % 5),
            )
            for i in range(1, teeth)
        ),
    )


@dataclass(frozen=True)
class Line:
    """One drawn path of a page, in mm: its width, points, and the part of the page it shows on."""

    width: float
    points: tuple
    bounds: tuple
    shows: tuple


@dataclass(frozen=True)
class ReadPage:
    """One page as read back: size [mm], drawn lines, text."""

    size: tuple
    lines: tuple
    text: str

    def of_width(self, width):
        """Lines of one pen."""
        return [line for line in self.lines if abs(line.width - width) < 0.004]


def read_pages(pdf):
    """Read a PDF file back, as vectors."""
    document = pdfium.PdfDocument(pdf)
    try:
        return [_read_page(document[i]) for i in range(len(document))]
    finally:
        document.close()


def _read_page(page):
    width, height = page.get_size()
    lines = []
    for thing in page.get_objects(filter=[raw.FPDF_PAGEOBJ_PATH]):
        mode, stroked = raw.ctypes.c_int(), raw.ctypes.c_int()
        raw.FPDFPath_GetDrawMode(thing, mode, stroked)
        if not stroked.value:
            continue
        pen = raw.ctypes.c_float()
        raw.FPDFPageObj_GetStrokeWidth(thing, pen)
        bounds = tuple(v * MM for v in thing.get_bounds())
        shows = _clip(thing) or (0.0, 0.0, width * MM, height * MM)
        lines.append(Line(pen.value * MM, _points(thing), bounds, shows))
    text_page = page.get_textpage()
    text = text_page.get_text_bounded()
    text_page.close()
    return ReadPage((width * MM, height * MM), tuple(lines), text)


def _points(thing):
    """End points of every stretch, a break (None) before each new run; None ends are moves."""
    matrix = thing.get_matrix().get()
    points = []
    for i in range(raw.FPDFPath_CountSegments(thing)):
        segment = raw.FPDFPath_GetPathSegment(thing, i)
        if raw.FPDFPathSegment_GetType(segment) == raw.FPDF_SEGMENT_MOVETO:
            points.append(None)
        x, y = raw.ctypes.c_float(), raw.ctypes.c_float()
        raw.FPDFPathSegment_GetPoint(segment, x, y)
        a, b, c, d, e, f = matrix
        points.append((MM * (a * x.value + c * y.value + e), MM * (b * x.value + d * y.value + f)))
    return tuple(points)


def _clip(thing):
    clip = raw.FPDFPageObj_GetClipPath(thing)
    count = raw.FPDFClipPath_CountPaths(clip) if clip else 0
    boxes = []
    for i in range(max(0, count)):
        xs, ys = [], []
        for j in range(raw.FPDFClipPath_CountPathSegments(clip, i)):
            x, y = raw.ctypes.c_float(), raw.ctypes.c_float()
            raw.FPDFPathSegment_GetPoint(raw.FPDFClipPath_GetPathSegment(clip, i, j), x, y)
            xs.append(x.value * MM)
            ys.append(y.value * MM)
        boxes.append((min(xs), min(ys), max(xs), max(ys)))
    if not boxes:
        return None
    lows, highs = zip(*((b[:2], b[2:]) for b in boxes), strict=True)
    return (
        max(x for x, _ in lows),
        max(y for _, y in lows),
        min(x for x, _ in highs),
        min(y for _, y in highs),
    )


def runs(line):
    """Straight stretches of a line, as pairs of points."""
    pairs, last = [], None
    for point in line.points:
        if point is None:
            last = None
            continue
        if last is not None:
            pairs.append((last, point))
        last = point
    return pairs
