"""What a build book is made from: plain records of results, worked out elsewhere.

Room: draw. `outputs` fills them; `book` sets them. Lengths are mm, angles rad,
masses kg; prices are in whatever money the plan's rack speaks of. Names are
as the plan has them ("lamp_cap"); the book writes them as prose does.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from foldwright.draw.drawing import Page

if TYPE_CHECKING:
    from foldwright.flat import CutLength, Piece
    from foldwright.shape import Body, Vector


@dataclass(frozen=True)
class ToMeasure:
    """One dim of a part that can be measured.

    Attributes
    ----------
    dim : str
        Its name ("girth").
    value : float
        Finished, as it is intended now [mm].
    how : str
        Where the tool goes, in the maker's words.
    kind : str
        ``"length"``, ``"diameter"`` or ``"girth"``.
    measured : float or None
        Latest reading [mm].
    worth : bool
        Measure this one first: it tells most about what the part has to suit.
    is_fine : bool
        Filed to and read off a caliper: shown to 0.01 mm.
    """

    dim: str
    value: float
    how: str
    kind: str = "length"
    measured: float | None = None
    worth: bool = False
    is_fine: bool = False


@dataclass(frozen=True)
class Neighbour:
    """A meet, as one of its parts sees it.

    Attributes
    ----------
    parts : tuple of str
        The other ones.
    does : str
        What this part does to the other: "slides into", "carries".
    wanted : (float, float)
        Least and largest gap, finished [mm].
    expected : float
        Of its clearances the one nearest to missing [mm].
    spread : float
        One standard deviation of that [mm].
    chance : float or None
        That the meet holds, 0 to 1; None if it was not reckoned.
    word : str
        What the number is: "gap a side", "margin", "step".
    """

    parts: tuple[str, ...]
    does: str
    wanted: tuple[float, float]
    expected: float
    spread: float = 0.0
    chance: float | None = None
    word: str = "gap"


@dataclass(frozen=True)
class CutInto:
    """A feature of a face, in words: "8 holes ⌀5 on a circle of 120", face "top"."""

    name: str
    face: str
    what: str
    drilled_in_place: bool = False


@dataclass(frozen=True)
class Route:
    """All that the route sheet of one part says.

    Attributes
    ----------
    part, kind : str
        Name and kind as the plan has them.
    body : Body
        For its picture, in the part's own frame.
    made_from : str
        Its stock in words ("3 mm skinned board").
    pieces : tuple of Piece
    lengths : tuple of CutLength
        What is sawn off tube or bar for it.
    to_measure, neighbours, cut_into
        See there.
    notes : tuple of str
        Sentences: set-ups, finish, revisions.
    stage : str
        How far it is ("planned", "cut", "closed", ...).
    is_made : bool
        Drawn in ink rather than in pencil.
    is_last : bool
        Made to suit: not to be cut before the others are measured.
    revision : int
    mass : float or None
        [kg].
    finish : str
        In words: "grey, 0.14 mm on each face".
    forming : tuple of (str, str)
        Steps of curling or pressing, each with what it is called.
    same_as : tuple of str
        Further parts that this sheet serves (other copies of a `count`).
    mirror_of : str
        The part whose other hand this is.
    """

    part: str
    kind: str
    body: Body
    made_from: str = ""
    pieces: tuple[Piece, ...] = ()
    lengths: tuple[CutLength, ...] = ()
    to_measure: tuple[ToMeasure, ...] = ()
    neighbours: tuple[Neighbour, ...] = ()
    cut_into: tuple[CutInto, ...] = ()
    notes: tuple[str, ...] = ()
    stage: str = "planned"
    is_made: bool = False
    is_last: bool = False
    revision: int = 0
    mass: float | None = None
    finish: str = ""
    forming: tuple[tuple[str, str], ...] = ()
    same_as: tuple[str, ...] = ()
    mirror_of: str = ""


@dataclass(frozen=True)
class Standing:
    """How one meet stands: for the page that says how things are.

    `said` is what it is ("Lid slides over pedestal."); `wanted`, `expected`,
    `spread` and `chance` as in `Neighbour`; `after` is the chance once the
    refit that is on offer is kept, None if there is none. A meet that is
    `in_danger` is ringed on the cover, at its place in the build [mm]. `parts` are those
    that meet.
    """

    said: str
    wanted: tuple[float, float]
    expected: float
    spread: float = 0.0
    chance: float | None = None
    after: float | None = None
    in_danger: bool = False
    at: tuple[float, float, float] | None = None
    parts: tuple[str, ...] = ()


FROM_RACK = "from the rack"
"""Why a line of the purchase list costs nothing now."""


@dataclass(frozen=True)
class Purchase:
    """A line of the purchase list.

    `each` and `total` are prices, None where the rack gives none; `why` says
    what it is for, or that nothing on the rack is large enough.
    """

    what: str
    count: int
    each: float | None = None
    total: float | None = None
    why: str = ""


@dataclass(frozen=True)
class Layout:
    """One sheet of the rack with blanks laid out on it: what to call it, and its drawing."""

    title: str
    page: Page


@dataclass(frozen=True)
class Weight:
    """Mass of the build and where its centre lies.

    Attributes
    ----------
    total : float
        [kg].
    centre : (float, float, float)
        x right, y back, z up in the build frame [mm].
    parts : tuple of (str, float)
        Name and mass [kg] of each.
    notes : tuple of str
        What is counted and what is not.
    """

    total: float
    centre: tuple[float, float, float]
    parts: tuple[tuple[str, float], ...] = ()
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class Changed:
    """What a refit changes in one part, for the page that says so.

    Attributes
    ----------
    part : str
    rows : tuple of (str, float, float)
        What is changed, before and after [mm].
    why : tuple of str
        Sentences.
    meets : tuple of (str, float or None, float)
        What it has to suit, in words, and the chance that it does before and after; None
        where what is kept is drawn already.
    revision : int
        Number of the revision that was kept; 0 while it is on offer.
    fine : tuple of str
        Those of the rows that are worked to a hundredth.
    family : str
        What copies of one part are called together; "" for a part by itself.
    """

    part: str
    rows: tuple[tuple[str, float, float], ...]
    why: tuple[str, ...] = ()
    meets: tuple[tuple[str, float | None, float], ...] = ()
    revision: int = 0
    fine: tuple[str, ...] = ()
    family: str = ""


@dataclass(frozen=True)
class Book:
    """All that a build book says.

    Attributes
    ----------
    routes : tuple of Route
        In the order to make them.
    frames : Mapping[str, Vector]
        Motion of each part into the build frame, shape (4, 4).
    bodies : Mapping[str, Body]
        All parts for the picture on the cover, also those without a route.
    how_things_stand : tuple of str
        Sentences, the most important first.
    meets : tuple of Standing
    layouts, purchases
        See there; empty where there are none.
    changes : tuple of Changed
        What a refit changed or would change, part by part.
    weight : Weight or None
    unplaced : tuple of (str, str)
        Blanks that no sheet takes, with the reason.
    parts_count : int
        How many parts the build has, copies counted; 0 counts the bodies.
    made : frozenset of str or None
        Parts in ink on the cover, each copy for itself; None takes those whose route is made.
    made_count : int or None
        How many of them are made; None counts the routes.
    paper : str
        ``"a4"`` or ``"us-letter"``.
    seen_from : tuple of str
        Sides that the picture shows: "front", "right", "above".
    """

    routes: tuple[Route, ...]
    bodies: Mapping[str, Body]
    frames: Mapping[str, Vector]
    how_things_stand: tuple[str, ...] = ()
    meets: tuple[Standing, ...] = ()
    layouts: tuple[Layout, ...] = ()
    purchases: tuple[Purchase, ...] = ()
    weight: Weight | None = None
    unplaced: tuple[tuple[str, str], ...] = ()
    parts_count: int = 0
    made: frozenset[str] | None = None
    made_count: int | None = None
    paper: str = "a4"
    seen_from: tuple[str, ...] = ("front", "right", "above")
    cautions: tuple[tuple[str, str], ...] = field(default=())
    changes: tuple[Changed, ...] = ()
