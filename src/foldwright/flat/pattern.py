"""Patterns: what to cut, as frozen records.

Room: flat. A part becomes one or more *pieces*; the records here hold exactly
what the open file format ``patterns.json`` holds (see `patterns_json`), with
angles in radians. The flat frame is mm, x right, y up, seen from **outside**;
the outside skin is z = 0, the inside skin z = -thickness.
"""

from __future__ import annotations

from dataclasses import dataclass

type Point = tuple[float, float]
type Path = tuple[Step, ...]
type Motion = tuple[tuple[float, float, float, float], ...]


@dataclass(frozen=True)
class Step:
    """One step of a path, from the last `to`: a line, or an arc about `centre`.

    `left` is the way of an arc: True turns anticlockwise. A path starts at its
    last `to`. Outlines run anticlockwise (material on the left), cutouts clockwise.
    """

    to: Point
    centre: Point | None = None
    left: bool = True


@dataclass(frozen=True)
class Panel:
    """A flat face of the part: what stays flat between bend zones.

    `flat` is its outside skin in the flat frame, anticlockwise. `space` maps
    (x, y, z) of the flat frame to the part's frame: three rows of a rigid
    motion, determinant +1, third column the outward normal.
    """

    id: str
    face: str
    flat: tuple[Point, ...]
    space: Motion


@dataclass(frozen=True)
class Fold:
    """A fold; `a`-`b` is the middle of its zone and panels[0] lies left of it.

    Attributes
    ----------
    turn : float
        [rad], positive folds panels[1] towards the inside.
    method : str
        ``"groove"``, ``"open"`` or ``"bend"``.
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
class Mark:
    """Something marked or drilled that is no cut line.

    `kind` is ``"drill"`` (a relief hole of diameter `d` at `at`); `why` says
    what for, in the maker's words.
    """

    kind: str
    at: Point
    d: float = 0.0
    why: str = ""


@dataclass(frozen=True)
class Piece:
    """One blank of one part.

    `deviation` is the largest distance [mm] between the outside faces as
    refolded from this record alone and the shape that was asked for.
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
    curved: tuple[Curved, ...] = ()
    marks: tuple[Mark, ...] = ()
    deviation: float = 0.0

    @property
    def marked_side(self) -> str:
        """Face that the maker marks: the one that most of the cuts go into."""
        inside = sum(fold.cut_side == "inside" for fold in self.folds)
        outside = sum(fold.cut_side == "outside" for fold in self.folds)
        return "inside" if inside > outside or (inside and inside == outside) else "outside"
