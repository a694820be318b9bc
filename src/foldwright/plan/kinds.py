"""Kinds of parts: what a part of each kind is, its faces, its datum.

Room: plan. Records only; `parts` reads them. Dims of the plan are outside dims.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from foldwright.plan.records import (
    Backing,
    Feature,
    Finish,
    FoldAt,
    FoldWish,
    Length,
    Parameter,
    Placement,
    SeamAt,
    SeamWish,
)


@dataclass(frozen=True, kw_only=True)
class Part:
    """What every kind of part has.

    Attributes
    ----------
    name, stock : str
        Name in the plan; name of the board on the rack (`from` in the file).
    thickness : float
        Of that board [mm].
    parameters : tuple of Parameter
        What a refit may change, in the order of the file.
    finish : Finish or None
    bare : bool
        The dims of the plan are meant before the finish.
    leave_open : tuple of str
        Faces that are not made.
    fold_at, cut_at, seam_at
        Edges that the maker forces to fold, to be cut apart, to be joined so.
    backing : Backing or None
        Strips behind the seams.
    face_from : tuple of (face, stock, thickness)
        Faces cut from another board than the rest.
    features : tuple of Feature
        What is cut into its faces.
    stiff : bool
        It keeps its shape against a hand; see `is_flexible`.
    grain : str
        ``"up"`` or ``"across"``: how the grain of its board runs on its
        largest face.
    was : str
        Earlier name, so that readings follow; empty if none.
    family : str
        Name in the plan of a part with a `count`, whose copies are parts of
        their own ("foot-1", "foot-2"); empty if there is only one.
    mirrored : bool
        The other hand: everything as the numbers say, then reflected in x = 0
        of its frame.
    mirror_of : str
        The part whose other hand this is; empty for none.
    """

    name: str
    stock: str
    thickness: float
    parameters: tuple[Parameter, ...]
    finish: Finish | None = None
    bare: bool = False
    leave_open: tuple[str, ...] = ()
    fold: FoldWish = field(default_factory=FoldWish)
    fold_at: tuple[FoldAt, ...] = ()
    cut_at: tuple[tuple[str, str], ...] = ()
    seam: SeamWish = field(default_factory=SeamWish)
    seam_at: tuple[SeamAt, ...] = ()
    backing: Backing | None = None
    face_from: tuple[tuple[str, str, float], ...] = ()
    features: tuple[Feature, ...] = ()
    grain: str = "up"
    place: Placement | None = None
    stiff: bool = True
    was: str = ""
    family: str = ""
    mirrored: bool = False
    mirror_of: str = ""

    @property
    def kind(self) -> str:
        """Kind as written in the plan."""
        return type(self).__name__.lower()

    def stock_of(self, face: str) -> tuple[str, float]:
        """Name and thickness [mm] of the board that a face is cut from."""
        return next(
            ((stock, t) for name, stock, t in self.face_from if name == face),
            (self.stock, self.thickness),
        )

    @property
    def is_flexible(self) -> bool:
        """A hand, a cap or a rib pulls it true, as far as a small force goes."""
        return not self.stiff

    @property
    def coat_outside(self) -> float:
        """Finish on outside faces and edges [mm]."""
        return self.finish.thickness if self.finish else 0.0

    @property
    def coat_inside(self) -> float:
        """Finish on inside faces [mm]."""
        return self.finish.thickness if self.finish and self.finish.inside else 0.0

    def values(self) -> dict[str, float]:
        """Parameters as drawn, by name [mm]."""
        return {p.name: p.value for p in self.parameters}


@dataclass(frozen=True, kw_only=True)
class Box(Part):
    """A rectangular box; x width, y depth, z height.

    Faces: bottom, top, front (y = 0), back, left (x = 0), right.
    Datum: the corner bottom, front, left. Parameters: width, depth, height.
    """

    width: Length
    depth: Length
    height: Length


@dataclass(frozen=True, kw_only=True)
class Profile(Part):
    """An outline in x-z pushed along +y.

    Faces: one per side of the outline, named by `sides`, and the two ends
    ``front`` (y = 0) and ``back`` (y = depth). Datum: the origin of the
    outline, on the front. `outline` is anticlockwise seen from the front
    (-y looking along +y, x right, z up). `rounds[i]`, if there, is the outside
    radius that rounds off corner i, tangent to both sides; `rises[i]` makes side
    i an arc: how far its middle bows out past its chord (negative inwards).
    Both are empty, or as long as the outline.
    """

    outline: tuple[tuple[Length, Length], ...]
    sides: tuple[str, ...]
    depth: Length
    rounds: tuple[Length | None, ...] = ()
    rises: tuple[Length | None, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Taper(Part):
    """Two parallel outlines with the same number of corners, joined by flat sides.

    Faces: the sides by name, ``bottom`` (z = 0) and ``top`` (z = height).
    Datum: the origin of the outlines, on the bottom. `lower` and `upper` are
    anticlockwise seen from above (x right, y back); side i of one is parallel
    to side i of the other, or the side would not be flat. Parameters: height,
    and those of the outlines ("x 80").
    """

    lower: tuple[tuple[Length, Length], ...]
    upper: tuple[tuple[Length, Length], ...]
    sides: tuple[str, ...]
    height: Length


@dataclass(frozen=True)
class PlaneCut:
    """A plane that cuts a block: a point on it and its outward normal, which need not be unit.

    `face` names the new face. What lies beyond the plane is cut off.
    """

    face: str
    point: tuple[Length, Length, Length]
    out: tuple[float, float, float]


@dataclass(frozen=True)
class Block:
    """A convex block: a box at `at`, cut by planes.

    `faces` are the names of its left (-x), right, front (-y), back, bottom
    (-z) and top face.
    """

    at: tuple[Length, Length, Length]
    size: tuple[Length, Length, Length]
    faces: tuple[str, str, str, str, str, str]
    cuts: tuple[PlaneCut, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Faceted(Part):
    """The union of blocks cut by planes.

    Faces: those of the blocks that are left on the outside; faces of two
    blocks with one name have to lie in one plane and become one face.
    Datum: the origin. Parameters: as in outlines, "x 80", "y 40", "z 260".
    """

    blocks: tuple[Block, ...]


@dataclass(frozen=True, kw_only=True)
class Drum(Part):
    """A curled cylinder, open at both ends.

    Faces: wall, and the open ends ``bottom`` and ``top``. Datum: centre of
    the bottom; the axis is z and the seam lies at +x. Parameters: outside_d,
    length. `former` is the name of a pipe on the rack, or empty.
    """

    outside_d: Length
    length: Length
    former: str = ""


@dataclass(frozen=True, kw_only=True)
class Plate(Part):
    """A flat piece: an outline, or a disc, or a ring.

    Faces: ``top`` (z = thickness, the face that is seen), ``bottom`` and
    ``edge``. Datum: the origin of the outline; the centre of a disc.
    Either `outline` is filled, or `diameter` (and `bore` for a ring); `rounds`
    and `rises` as in `Profile`.
    """

    outline: tuple[tuple[Length, Length], ...] = ()
    rounds: tuple[Length | None, ...] = ()
    rises: tuple[Length | None, ...] = ()
    diameter: Length | None = None
    bore: Length | None = None


@dataclass(frozen=True, kw_only=True)
class Hood(Part):
    """A curled right cone frustum, open at both ends.

    Faces: wall, bottom, top. Datum: centre of the bottom; the axis is z and
    the seam lies at +x. Parameters: bottom_d, top_d (outside), height.
    """

    bottom_d: Length
    top_d: Length
    height: Length


@dataclass(frozen=True, kw_only=True)
class Tube(Part):
    """A length of round or square tube, cut square.

    `across` is its outside diameter or side [mm], `thickness` its wall.
    Faces: wall (round), or left, right, front, back (square), and the ends
    ``bottom`` and ``top``. Datum: centre of the bottom; the axis is z.
    """

    length: Length
    across: float
    square: bool = False


@dataclass(frozen=True, kw_only=True)
class Plug(Part):
    """A disc or block that is pressed into a tube end to take a bolt.

    Faces: bottom, top, wall. Datum: centre of the bottom; the axis is z.
    `diameter` is what it is filed to; `bolt_d` a hole along the axis, or None.
    `across` is the bar it is cut from [mm]; 0 if it is sawn from board, and
    then `length` is the thickness of the board.
    """

    diameter: Length
    length: Length
    bolt_d: Length | None = None
    across: float = 0.0


@dataclass(frozen=True, kw_only=True)
class Strip(Part):
    """A strip of board: flat (backing strip, spreader), or an angle.

    Faces: ``top`` and, for an angle, ``flange``; seen from outside. Datum:
    lower-left corner of the outside of ``top`` (z = thickness there); x runs
    along `length`, y along `width`. The flange hangs down at y = width, turned
    by `turn` [rad]; None for a flat strip.
    """

    length: Length
    width: Length
    flange: Length | None = None
    turn: float = 0.0


@dataclass(frozen=True, kw_only=True)
class Rib(Part):
    """An inside section that holds a shell true.

    `of` is the part it stands in, `station` how far from its datum: along y
    for a box or profile, along z for a taper, drum or hood; of a faceted part
    along `along`, ``"x"``, ``"y"`` or ``"z"``. Its outline is the inside of the
    shell there, less `gap` (finished) all round, corners clipped by `clip` so
    that folds and glue pass. Faces and datum as a plate's, its outline in the
    coordinates of the section; for a section along y its top looks to the front.
    `shell_strays`, (name, mm), is what no drawing of the shell says, of a rib that
    is drawn for its shell as measured: see `shape.rib_shells`. A mirrored rib stands in
    the other hand of its shell: `of` is that one, in the hand that the rib is drawn in.
    """

    of: AnyPart
    station: Length
    gap: Length
    clip: Length
    along: str = "y"
    shell_strays: tuple[tuple[str, float], ...] = ()


@dataclass(frozen=True, kw_only=True)
class Bought(Part):
    """Something bought: its envelope and mass. Never scaled, never cut.

    Faces as a box's (`size`) or a drum's (`diameter`, `length`); datum too.
    `mass` [kg].
    """

    mass: float
    width: Length | None = None
    depth: Length | None = None
    height: Length | None = None
    diameter: Length | None = None
    length: Length | None = None


type AnyPart = (
    Box | Profile | Taper | Faceted | Drum | Hood | Tube | Plate | Plug | Strip | Rib | Bought
)

type FoldedPart = Box | Profile | Taper | Faceted
