"""The drawing model: what stands on a sheet, before any file format.

Room: draw. Everything is in mm of paper, x to the right, y **up** from the
lower left corner, so that a part keeps its hand without thinking. A `Page`
holds items: `Stroke`, `Words`, `Area` and `Group`. Two back ends print them:
`pdf` and `svg`. Text is never mirrored: what is seen from the other side is
mirrored point by point before it comes here (see `blank`).

Lines are told apart by width and dashes, in the sense of ISO 128-2, and each
sheet names them in words.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field

from foldwright.box import Box
from foldwright.errors import OutOfDomain, UnknownName

type Point = tuple[float, float]

_WIDEST_ROLL = 2000.0  # mm


@dataclass(frozen=True)
class Line:
    """A straight piece of a path."""

    a: Point
    b: Point


@dataclass(frozen=True)
class Arc:
    """A circular piece of a path; `left` turns anticlockwise, a = b is a full circle."""

    a: Point
    b: Point
    centre: Point
    left: bool = True

    @property
    def radius(self) -> float:
        """Radius [mm]."""
        return math.dist(self.a, self.centre)

    @property
    def start(self) -> float:
        """Direction of `a` from the centre [rad]."""
        return math.atan2(self.a[1] - self.centre[1], self.a[0] - self.centre[0])

    @property
    def sweep(self) -> float:
        """Angle run through [rad], positive anticlockwise, never 0."""
        if math.dist(self.a, self.b) < 1e-9:
            turn = math.tau
        else:
            end = math.atan2(self.b[1] - self.centre[1], self.b[0] - self.centre[0])
            turn = (end - self.start) % math.tau if self.left else (self.start - end) % math.tau
        return turn if self.left else -turn

    def point(self, share: float) -> Point:
        """Point at a share of the sweep, 0 at `a`, 1 at `b`."""
        angle = self.start + share * self.sweep
        return (
            self.centre[0] + self.radius * math.cos(angle),
            self.centre[1] + self.radius * math.sin(angle),
        )


type Segment = Line | Arc
type Path = tuple[Segment, ...]


@dataclass(frozen=True)
class Pen:
    """A kind of line.

    `name` is what the sheet calls it. `dashes` alternate drawn and blank
    lengths [mm], empty for a continuous line; `width` [mm]. A `soft` one is
    drawn in graphite, not in ink; a `danger` one in red where there is colour.
    """

    name: str
    width: float
    dashes: tuple[float, ...] = ()
    soft: bool = False
    danger: bool = False


# ISO 128-2: visible edges wide, all else narrow, two to one. Widths and dash
# lengths are those of the look that the project follows.
CUT = Pen("cut outline", 0.5)
MIDDLE = Pen("middle of groove", 0.25)
BEND = Pen("middle of bend", 0.25)
KERF = Pen("middle of saw kerf", 0.25)
SCORE = Pen("score line", 0.25)
HEAT = Pen("middle of heated line", 0.25)
HIDDEN = Pen("middle of groove on the other side", 0.25, (2.0, 1.0))
ZONE = Pen("edge of groove floor", 0.18, (1.6, 0.6))
CURL = Pen("where a round begins and ends", 0.25, (4.5, 0.8, 0.5, 0.8))
WITNESS = Pen("witness mark", 0.35)
# ISO 128-24, line 05.1, long dashes and two dots, narrow: outlines before forming, and
# those of the finished part within its blank. Number from memory, unchecked.
SHEET = Pen("sheet before cutting", 0.25, (6.0, 1.0, 0.6, 1.0, 0.6, 1.0))
TRIM_LINE = Pen("trim here once it is curled", 0.25, (6.0, 1.0, 0.6, 1.0, 0.6, 1.0))
CHECK = Pen("check length", 0.25, (3.5, 0.9))
DIMENSION = Pen("dimension", 0.25)
TICK = Pen("running dimension", 0.18)
HATCH = Pen("hatching", 0.18)
JOINT = Pen("joint between tiles", 0.18, (0.4, 1.1))
DRILL = Pen("drill", 0.35)
RULE_WIDE = Pen("rule", 0.7)
RULE = Pen("rule in tables", 0.35)
HAIR = Pen("hairline in tables", 0.25)
BAR = Pen("check bar", 0.35)


@dataclass(frozen=True)
class Stroke:
    """A drawn line: a connected path with one pen."""

    path: Path
    pen: Pen


@dataclass(frozen=True)
class Area:
    """A filled region; `shade` is ``"ink"``, ``"wash"``, ``"shade"`` or ``"paper"``."""

    path: Path
    shade: str = "ink"


@dataclass(frozen=True)
class Face:
    """A type face: family as the page names it, file in ``fonts/``."""

    family: str
    file: str
    weight: int = 400
    italic: bool = False


TEXT = Face("Vollkorn", "vollkorn-regular")
TEXT_BOLD = Face("Vollkorn", "vollkorn-semibold", weight=600)
LETTERING = Face("Workshop Lettering", "workshop-lettering")
LETTERING_SLOPED = Face("Workshop Lettering", "workshop-lettering-italic", italic=True)
LETTERING_NARROW = Face("Workshop Lettering Narrow", "workshop-lettering-narrow")


@dataclass(frozen=True)
class Words:
    """One line of text.

    Attributes
    ----------
    at : Point
        On the baseline.
    text : str
    size : float
        Height of the em [mm].
    face : Face
    anchor : str
        Where `at` lies along the line: ``"start"``, ``"middle"``, ``"end"``.
    turn : float
        Direction of the baseline [rad], anticlockwise.
    soft : bool
        Second text, in a lighter ink.
    danger : bool
        A warning, in red where there is colour.
    """

    at: Point
    text: str
    size: float
    face: Face = LETTERING
    anchor: str = "start"
    turn: float = 0.0
    soft: bool = False
    danger: bool = False


@dataclass(frozen=True)
class Group:
    """Items that belong together, moved by `shift`, cut off at `clip`.

    `clip` is in the frame of the items, before the shift.
    """

    items: tuple[Item, ...]
    name: str = ""
    shift: Point = (0.0, 0.0)
    clip: Box | None = None


type Item = Stroke | Area | Words | Group


@dataclass(frozen=True)
class Paper:
    """A size of paper [mm]; a roll is as high as it has to be (infinite)."""

    name: str
    width: float
    height: float

    @property
    def is_roll(self) -> bool:
        """Whether each page is cut off the roll where it ends."""
        return math.isinf(self.height)


A4 = Paper("A4", 210.0, 297.0)  # ISO 216
A3 = Paper("A3", 297.0, 420.0)  # ISO 216
LETTER = Paper("Letter", 215.9, 279.4)  # ANSI/ASME Y14.1, size A


def paper_named(name: str) -> Paper:
    """Paper by name: ``"a4"``, ``"a3"``, ``"letter"``, or ``"roll 610"`` with its width in mm.

    Raises
    ------
    UnknownName
        None of these.
    OutOfDomain
        A roll too narrow for a sheet's title block.
    """
    known = {paper.name.lower(): paper for paper in (A4, A3, LETTER)}
    asked = name.strip().lower()
    if asked in known:
        return known[asked]
    kind, _, width = asked.partition(" ")
    if kind != "roll":
        raise UnknownName("paper", name, (*known, "roll 610"))
    try:
        wide = float(width.removesuffix("mm"))
    except ValueError:
        wide = math.nan
    if not A4.width <= wide <= _WIDEST_ROLL:
        raise OutOfDomain(
            f'"{name}" is no roll to draw on; {A4.width:g} to {_WIDEST_ROLL:g} mm wide can be. '
            'Write it like "roll 610".',
            name="paper",
        )
    return Paper(f"roll {wide:g}", wide, math.inf)


@dataclass(frozen=True)
class Page:
    """One printed page.

    `fields` are the small labels and values of its title block where the
    document that it is bound into sets that block.
    """

    paper: Paper
    items: tuple[Item, ...] = field(default=())
    fields: tuple[tuple[str, str], ...] = ()


def line(a: Point, b: Point, pen: Pen) -> Stroke:
    """One straight stroke."""
    return Stroke((Line(a, b),), pen)


def polyline(points: Iterable[Point], closed: bool = False) -> Path:
    """Path through the points in order."""
    run = list(points)
    ends = run[1:] + run[:1] if closed else run[1:]
    return tuple(Line(a, b) for a, b in zip(run, ends, strict=False))


def circle(centre: Point, radius: float) -> Path:
    """Full circle, anticlockwise."""
    start = (centre[0] + radius, centre[1])
    return (Arc(start, start, centre),)


def rectangle(box: Box) -> Path:
    """Path round a box, anticlockwise."""
    return polyline(
        ((box.left, box.low), (box.right, box.low), (box.right, box.high), (box.left, box.high)),
        closed=True,
    )


def moved(path: Path, by: Callable[[Point], Point], mirrored: bool = False) -> Path:
    """Carry every point of a path through a similarity; say if it mirrors."""
    return tuple(
        Line(by(s.a), by(s.b))
        if isinstance(s, Line)
        else Arc(by(s.a), by(s.b), by(s.centre), s.left != mirrored)
        for s in path
    )


def bounds(path: Path) -> Box:
    """Smallest box round a path, arcs taken exactly."""
    xs: list[float] = []
    ys: list[float] = []
    for segment in path:
        for x, y in (segment.a, segment.b, *_extremes(segment)):
            xs.append(x)
            ys.append(y)
    return Box(min(xs), min(ys), max(xs), max(ys))


def _extremes(segment: Segment) -> list[Point]:
    """Quadrant points that an arc runs through."""
    if isinstance(segment, Line):
        return []
    found = []
    for quarter in range(4):
        angle = quarter * math.pi / 2.0
        run = (angle - segment.start) if segment.left else (segment.start - angle)
        if run % math.tau <= abs(segment.sweep):
            # not by cos and sin, which leave 6e-17 where 0 is meant
            dx, dy = ((1, 0), (0, 1), (-1, 0), (0, -1))[quarter]
            found.append(
                (segment.centre[0] + dx * segment.radius, segment.centre[1] + dy * segment.radius)
            )
    return found


def sampled(path: Path, chord_error: float = 0.05) -> list[Point]:
    """Points along a path, arcs by chords; the last point is left out if it is the first."""
    points: list[Point] = []
    for segment in path:
        points.append(segment.a)
        if isinstance(segment, Arc):
            most = 2.0 * math.acos(max(0.0, 1.0 - chord_error / max(segment.radius, chord_error)))
            count = max(2, math.ceil(abs(segment.sweep) / max(most, 1e-3)))
            points.extend(segment.point(i / count) for i in range(1, count))
    if path and math.dist(path[-1].b, path[0].a) > 1e-9:
        points.append(path[-1].b)
    return points
