"""Patterns: what to cut, as frozen records.

Room: flat. A part becomes one or more *pieces*; the records here hold exactly
what the open file format ``patterns.json`` holds (see `patterns_json`), with
angles in radians. The flat frame is mm, x right, y up, seen from **outside**;
the outside skin is z = 0, the inside skin z = -thickness.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from foldwright.flat.rough import rough_path
from foldwright.shape import Path, Point, Step

__all__ = [
    "Cone",
    "Curved",
    "Cutout",
    "Fold",
    "Mark",
    "Motion",
    "Panel",
    "Path",
    "Piece",
    "Point",
    "Seam",
    "Step",
]

type Motion = tuple[tuple[float, float, float, float], ...]


@dataclass(frozen=True)
class Panel:
    """A flat face of the part: what stays flat between bend zones.

    `flat` is its outside skin in the flat frame, anticlockwise. `space` maps
    (x, y, z) of the flat frame to the part's frame: three rows of a rigid
    motion, determinant +1, third column the outward normal. `cut_back` names
    the sides of `flat` (side i starts at corner i) that lie on no edge of the
    face: there the panel is cut square to a fold, at its end.
    """

    id: str
    face: str
    flat: tuple[Point, ...]
    space: Motion
    cut_back: tuple[int, ...] = ()


@dataclass(frozen=True)
class Fold:
    """A fold; `a`-`b` is the middle of its zone and panels[0] lies left of it.

    Attributes
    ----------
    turn : float
        [rad], positive folds panels[1] towards the inside.
    method : str
        ``"groove"``, ``"kerf"``, ``"open"``, ``"bend"``, ``"score"`` or ``"hot"``.
    cut_side : str
        ``"inside"``, ``"outside"`` or ``"none"``.
    zone_width, web, k, inner_radius : float
        Developed width of the zone [mm]; what is left under the cut [mm];
        neutral line as a share of the web from its concave face; radius of
        the concave face of what bends [mm].
    zone : tuple of Point
        The zone, anticlockwise.
    cutter : float
        Included angle of the cutter [rad]; 0 for none or a saw.
    floor : float
        Width of the flat floor to rout [mm]; 0 if nothing is cut.
    shuts_at : float
        Turn at which the cut shuts [rad]; infinite if it never does.
    over_fold : float
        How much further to fold, for springback [rad].
    corner_loss : float
        How far the rounded fold stands inside the mould line [mm].
    """

    a: Point
    b: Point
    panels: tuple[str, str]
    turn: float
    method: str
    cut_side: str
    zone_width: float
    zone: tuple[Point, ...]
    web: float
    k: float
    inner_radius: float
    cutter: float
    floor: float
    shuts_at: float
    over_fold: float
    corner_loss: float


@dataclass(frozen=True)
class Seam:
    """An edge cut apart and joined again; runs with the outline, its mate the other way.

    `trim`, `trim_inside` [mm]: how far each skin stops short of the mould
    line (signed). `bevel` [rad]: saw tilt from square. `mate` is the piece id
    and the index of the mating seam in it. `letter` is the witness mark.
    `kind` is ``"mitre"``, ``"lap over"``, ``"lap under"`` or ``"butt"``. A seam
    along an arc of the outline has its `centre` and `left` as a `Step` has.
    """

    a: Point
    b: Point
    panel: str
    kind: str
    bevel: float
    trim: float
    trim_inside: float
    mate: tuple[str, int]
    letter: str = ""
    centre: Point | None = None
    left: bool = True


@dataclass(frozen=True)
class Cutout:
    """A hole in a piece, clockwise, and what it is for."""

    path: Path
    why: str


@dataclass(frozen=True)
class Curved:
    """A curled face: where its flat region lies in space (a cylinder).

    Maps (x, y) to ``origin + y axis + radius (cos a start + sin a axis x start)``,
    ``a = sense (x - x0) / flat_radius``; `radius` is the outside, `flat_radius`
    the neutral line [mm].
    """

    face: str
    flat: tuple[Point, ...]
    origin: tuple[float, float, float]
    axis: tuple[float, float, float]
    start: tuple[float, float, float]
    x0: float
    radius: float
    flat_radius: float
    sense: int
    kind: str = "cylinder"


@dataclass(frozen=True)
class Cone:
    """A curled face on a right cone: where its flat region lies in space.

    Flat polar (rho, f) about `flat_apex` goes to the angle
    ``sense (f - flat_start) / sin(half_angle)`` round the axis, rho along the
    neutral cone from `apex`, then `offset` outwards [mm]; angles in rad.
    `axis` points from the apex into the cone.
    """

    face: str
    flat: tuple[Point, ...]
    apex: tuple[float, float, float]
    axis: tuple[float, float, float]
    start: tuple[float, float, float]
    half_angle: float
    flat_apex: Point
    flat_start: float
    offset: float
    sense: int
    kind: str = "cone"


@dataclass(frozen=True)
class Mark:
    """Something marked or drilled that is no cut line.

    `kind` is ``"drill"`` (a relief hole of diameter `d` at `at`) or
    ``"centre"`` (drilled in place through the other part, diameter `d`);
    `why` says what for, in the maker's words.
    """

    kind: str
    at: Point
    d: float = 0.0
    why: str = ""


@dataclass(frozen=True)
class Piece:
    """One blank of one part.

    Attributes
    ----------
    deviation : float
        Largest distance [mm] between the outside faces as refolded from this
        record alone and the shape that was asked for.
    role : str
        What a piece is that is not the part's own faces: "backing strip,
        seam a", "patch", "hatch lid"; empty for the part itself.
    grain : float or None
        Direction in the flat frame in which the grain (or film arrow) of its
        board has to run, either way [rad]; None if it does not matter.
    spare : float
        Sheet left on beyond each of its seam edges until it is curled [mm];
        `outline` is without it, `rough` with it.
    """

    id: str
    part: str
    stock: str
    thickness: float
    revision: int
    outline: Path
    panels: tuple[Panel, ...] = ()
    folds: tuple[Fold, ...] = ()
    seams: tuple[Seam, ...] = ()
    cutouts: tuple[Cutout, ...] = ()
    curved: tuple[Curved | Cone, ...] = ()
    marks: tuple[Mark, ...] = ()
    deviation: float = 0.0
    role: str = ""
    grain: float | None = None
    spare: float = 0.0

    @cached_property
    def rough(self) -> Path:
        """Outline to cut: longer by `spare` at both seam edges (see `rough_path`)."""
        return rough_path(self.outline, self.trim_lines, self.spare) if self.spare else self.outline

    @property
    def trim_lines(self) -> tuple[tuple[Point, Point], ...]:
        """Where it is trimmed once it is curled: its seam edges; none without `spare`."""
        return tuple((seam.a, seam.b) for seam in self.seams) if self.spare else ()

    @property
    def marked_side(self) -> str:
        """Face that the maker marks: the one that most of the cuts go into."""
        inside = sum(fold.cut_side == "inside" for fold in self.folds)
        outside = sum(fold.cut_side == "outside" for fold in self.folds)
        return "inside" if inside > outside or (inside and inside == outside) else "outside"
