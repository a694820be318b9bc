"""The plan as frozen records: what the maker wants, checked and in mm.

Room: plan. `reader` makes these from the text of a plan file; every later
room reads them and none changes them. All lengths are mm and already scaled;
angles are radians. Records hash by content, so that what is worked out from
a part can be kept until that part changes.

A *parameter* is one number of one part that a refit may change: a named
size as this part uses it, or a literal, which is an unnamed size. Two parts
that share a size each hold their own parameter of that name, since one may
be made and the other not.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

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
class Stock:
    """A material on the rack: the board called `name` in the plan."""

    name: str
    material: str
    thickness: float
    sheets: tuple[Sheet, ...] = ()


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
        ``"groove"``, ``"open"`` or ``"bend"``.
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
    """

    method: str | None = None
    web: float | None = None
    floor: float | None = None
    cutter: float | None = None
    radius: float | None = None
    k: float | None = None


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
    was : str
        Earlier name, so that readings follow; empty if none.
    """

    name: str
    stock: str
    thickness: float
    parameters: tuple[Parameter, ...]
    finish: Finish | None = None
    bare: bool = False
    leave_open: tuple[str, ...] = ()
    fold: FoldWish = field(default_factory=FoldWish)
    fold_edges: tuple[tuple[str, str], ...] = ()
    cut_edges: tuple[tuple[str, str], ...] = ()
    place: Placement | None = None
    stiff: bool = True
    was: str = ""

    @property
    def kind(self) -> str:
        """Kind as written in the plan."""
        return type(self).__name__.lower()

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
    (-y looking along +y, x right, z up).
    """

    outline: tuple[tuple[Length, Length], ...]
    sides: tuple[str, ...]
    depth: Length


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
    Either `outline` is filled, or `diameter` (and `bore` for a ring).
    """

    outline: tuple[tuple[Length, Length], ...] = ()
    diameter: Length | None = None
    bore: Length | None = None


type AnyPart = Box | Profile | Drum | Plate


@dataclass(frozen=True)
class Meet:
    """A place where two parts have to suit each other.

    Attributes
    ----------
    kind : str
        ``"slides-into"`` or ``"rests-on"``.
    inner, outer : str
        Parts: what slides in and what it slides into (``inner``, ``outer`` in
        the file); what rests and what it rests on (``upper``, ``lower``).
    inner_face, outer_face : str
        Faces that come together; empty where the part has only one choice.
    gap : (float, float)
        Wanted range, both finishes on [mm]: per side for ``slides-into``; for
        ``rests-on`` how far the lower part stands out past the upper all
        round (``margin``), negative where the upper one is to stand out
        (``overhang`` in the file, [3, 12] becoming (-12, -3)).
    """

    name: str
    kind: str
    inner: str
    outer: str
    gap: tuple[float, float]
    inner_face: str = ""
    outer_face: str = ""


@dataclass(frozen=True)
class Plan:
    """A whole build as the maker wants it.

    Attributes
    ----------
    path : Path
        The plan file.
    units : str
        ``"mm"`` or ``"in"``: how lengths are shown; inside all is mm.
    sizes, stocks, parts : Mapping
        By name, in the order of the file.
    materials : Mapping
        The plan's own material tables, by name, as written.
    lines : Mapping[str, int]
        Line of each dotted key ("part.lamp.outside_d", "meet.0.gap"), for
        faults that later rooms find; see `fault_at`.
    source : tuple of str
        Lines of the plan file.
    """

    path: Path
    name: str
    units: str
    scale: float
    seen_from: tuple[str, ...]
    sizes: Mapping[str, Size]
    finishes: Mapping[str, Finish]
    stocks: Mapping[str, Stock]
    formers: Mapping[str, float]
    cutters: tuple[Cutter, ...]
    materials: Mapping[str, Mapping[str, object]]
    parts: Mapping[str, AnyPart]
    meets: tuple[Meet, ...]
    lines: Mapping[str, int]
    source: tuple[str, ...] = ()
