"""The words a plan is made of, as frozen records: sizes, stock, wishes, places.

Room: plan. `kinds` builds parts from them, `whole` the plan. `reader` makes
these from the text of a plan file; every later room reads them and none
changes them. All lengths are mm and already scaled; angles are radians.
Records hash by content, so that what is worked out from a part can be kept
until that part changes.

A *parameter* is one number of one part that a refit may change: a named
size as this part uses it, or a literal, which is an unnamed size. Two parts
that share a size each hold their own parameter of that name, since one may
be made and the other not.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from foldwright.plan.dual import Number
from foldwright.plan.formula import Formula


@dataclass(frozen=True)
class Size:
    """A named dimension of the plan.

    Attributes
    ----------
    plan : float
        Value as drawn [mm], scaled.
    give : float
        How far it may drift before it looks wrong [mm].
    trust : float
        How sure the drawing is: one standard deviation [mm].
    """

    name: str
    plan: float
    give: float
    trust: float


@dataclass(frozen=True)
class Parameter:
    """One number of one part that a refit may change; fields as in `Size`."""

    name: str
    value: float
    give: float
    trust: float


@dataclass(frozen=True)
class Length:
    """A length of one part, as a formula in the part's parameters.

    `value` takes the parameters (scaled, mm) as floats or duals. `constants`
    are names that stand for stock (``thickness``), which `scale` leaves alone.
    """

    formula: Formula
    scale: float = 1.0
    constants: tuple[tuple[str, float], ...] = ()

    def value(self, parameters: Mapping[str, Number]) -> Number:
        """Evaluate [mm]; derivatives follow if the parameters are duals."""
        unscaled: dict[str, Number] = {
            name: parameters[name] / self.scale for name in self.formula.names if name in parameters
        }
        unscaled.update({name: value / self.scale for name, value in self.constants})
        return self.formula.value(unscaled) * self.scale


@dataclass(frozen=True)
class Layer:
    """One layer of a finish; thickness [mm]."""

    what: str
    thickness: float


@dataclass(frozen=True)
class Finish:
    """What goes on a part after it is formed.

    `inside` says whether the inside faces get it too; by default they do,
    since a gap that was judged without its paint binds.
    """

    name: str
    layers: tuple[Layer, ...]
    inside: bool = True

    @property
    def thickness(self) -> float:
        """Build of all layers together [mm]."""
        return sum(layer.thickness for layer in self.layers)


@dataclass(frozen=True)
class Sheet:
    """Equal sheets or one odd offcut of a stock.

    `outline` holds (x, y) corners, anticlockwise [mm]; `count` 0 means as
    many as needed can be bought; `price` per sheet, 0 if not given.
    """

    outline: tuple[tuple[float, float], ...]
    count: int = 1
    price: float = 0.0


@dataclass(frozen=True)
class Bar:
    """Equal lengths of tube or bar on the rack [mm]; `count` and `price` as in `Sheet`."""

    length: float
    count: int = 1
    price: float = 0.0


@dataclass(frozen=True)
class Stock:
    """A material on the rack, called `name` in the plan.

    Attributes
    ----------
    form : str
        ``"board"``, ``"tube"`` (round), ``"square tube"``, ``"bar"`` (round)
        or ``"square bar"``.
    thickness : float
        Of board; wall of tube; 0 for bar [mm].
    across : float
        Outside diameter or side of tube and bar [mm]; 0 for board.
    sheets : tuple of Sheet
        Of board.
    bars : tuple of Bar
        Of tube and bar.
    grain : bool
        Board that looks different turned by a right angle (grain, rolling
        marks, film arrows); it runs along y of its sheets.
    trim, kerf, gap : float
        Unusable edge of a sheet; width of the saw cut; further room to leave
        between two blanks [mm].
    """

    name: str
    material: str
    thickness: float
    sheets: tuple[Sheet, ...] = ()
    form: str = "board"
    across: float = 0.0
    bars: tuple[Bar, ...] = ()
    grain: bool = False
    trim: float = 5.0
    kerf: float = 2.0
    gap: float = 3.0


@dataclass(frozen=True)
class Cutter:
    """A cutter that can groove board.

    Attributes
    ----------
    angle : float
        Included angle of the flanks [rad]; 0 for a saw blade.
    floor : float
        Narrowest flat floor it leaves [mm]; passes side by side widen it.
    widest : float
        Widest floor the maker will rout with it [mm].
    """

    name: str
    angle: float
    floor: float
    widest: float


@dataclass(frozen=True)
class FoldWish:
    """How the plan asks for a part's folds to be made; None leaves it to us.

    Attributes
    ----------
    method : str or None
        ``"groove"``, ``"kerf"``, ``"open"``, ``"bend"``, ``"score"`` or ``"hot"``.
    web : float or None
        Thickness left under the cut [mm].
    floor : float or None
        Width of the flat floor [mm].
    cutter : float or None
        Included angle of the cutter [rad].
    radius : float or None
        Inner radius of a bend of solid sheet [mm].
    k : float or None
        Neutral line from a folded test strip, as a share of the web from its
        concave face.
    kerfs : int or None
        Saw kerfs side by side that share the turn of one fold.
    pitch : float or None
        From kerf to kerf of a row [mm].
    """

    method: str | None = None
    web: float | None = None
    floor: float | None = None
    cutter: float | None = None
    radius: float | None = None
    k: float | None = None
    kerfs: int | None = None
    pitch: float | None = None


@dataclass(frozen=True)
class FoldAt:
    """An edge that is to be folded, by its two faces; without a wish as the part's other folds."""

    faces: tuple[str, str]
    wish: FoldWish | None = None


@dataclass(frozen=True)
class SeamWish:
    """How two edges are joined.

    Attributes
    ----------
    kind : str
        ``"mitre"``, ``"lap"`` or ``"butt"``.
    over : str
        Face whose board covers the edge of the other (lap), or runs through
        past the other's edge (butt); empty leaves it to us.
    """

    kind: str = "mitre"
    over: str = ""


@dataclass(frozen=True)
class SeamAt:
    """An edge between two faces that is to be a seam of its own kind."""

    faces: tuple[str, str]
    wish: SeamWish


@dataclass(frozen=True)
class Backing:
    """Strips glued behind the seams of a part: of which stock, how wide [mm]."""

    stock: str
    width: float = 30.0


@dataclass(frozen=True)
class Feature:
    """Something cut into a face.

    Its numbers are finished, in the frame of the face: from its lower-left
    corner seen from outside (from the centre of a round face; on a curved
    wall x runs round the outside from the seam). `Length` fields are None
    where the kind has no use for them.

    Attributes
    ----------
    kind : str
        ``"hole"`` (d), ``"slot"`` (length over all, width), ``"window"``
        (length across, width up, corner; or a disc of d), ``"bolts"`` (holes
        of d on a circle of pitch_d, `count` of them from `start`; or a grid
        of count by rows at pitch by row_pitch), ``"hatch"`` (a window with a
        lid, smaller all round by gap, on a ledge of lip), ``"opening"``
        (where the part `through` passes, with gap all round).
    name : str
        What to call it on drawings.
    face : str
    at : (Length, Length)
        Its centre. An opening has none: it is where the other part is.
    rotate, start : float
        [rad], anticlockwise.
    through : str
        The part that passes.
    drilled_in_place : bool
        Not cut beforehand but drilled through both parts when they meet;
        the pattern marks centres only.
    key : str
        Where the part's table says it: ``"holes.0"``.
    """

    kind: str
    name: str
    face: str
    at: tuple[Length, Length] | None = None
    d: Length | None = None
    length: Length | None = None
    width: Length | None = None
    corner: Length | None = None
    pitch_d: Length | None = None
    pitch: Length | None = None
    row_pitch: Length | None = None
    gap: Length | None = None
    lip: Length | None = None
    count: int = 1
    rows: int = 1
    rotate: float = 0.0
    start: float = 0.0
    through: str = ""
    drilled_in_place: bool = False
    key: str = ""


@dataclass(frozen=True)
class Placement:
    """Where a part stands.

    On a face of another part (`on` is its name, `face` the face): the datum
    goes to `at`, measured from the lower-left corner of the face seen from
    outside (from the centre of a round face), turned by `rotate` [rad]
    anticlockwise, lifted `lift` [mm] off the face. With `on` empty, `at` and
    `lift` are x, y and z of the build frame.
    """

    on: str = ""
    face: str = ""
    at: tuple[float, float] = (0.0, 0.0)
    lift: float = 0.0
    rotate: float = 0.0
