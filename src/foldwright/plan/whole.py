"""The whole plan: its parts, and where they meet.

Room: plan. `meets` reads the meets, `fit` works out what they ask.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from foldwright.plan.formula import Formula
from foldwright.plan.kinds import AnyPart
from foldwright.plan.records import Cutter, Finish, Size, Stock

MEETS = (
    "slides-into",
    "rests-on",
    "presses-into",
    "drops-between",
    "bolts-to",
    "wraps",
    "level-with",
    "reveal",
    "plumb",
    "pair",
    "relation",
)
"""Kinds of meets, the last five for the eye and for whatever else has to add up."""


@dataclass(frozen=True)
class End:
    """One part of a meet.

    Attributes
    ----------
    part : str
    face : str
        The face that comes together; empty where the part has only one choice,
        or where the whole part is meant.
    holes : tuple of str
        Of a ``bolts-to``: which of its holes and bolt patterns on that face;
        empty for all of them.
    """

    part: str
    face: str = ""
    holes: tuple[str, ...] = ()


@dataclass(frozen=True)
class Meet:
    """A place where parts have to suit each other.

    Attributes
    ----------
    kind : str
        One of `MEETS`.
    ends : tuple of End
        The parts in the order of the file: what slides in, rests, is pressed
        in, drops in (one or a row of them), is bolted on or wraps comes
        first; what it goes into, on or round comes last.
    wanted : tuple of (what, (low, high))
        Wanted ranges by the word the maker writes, both finishes on [mm]:
        ``gap`` (per side for ``slides-into``; in all for ``drops-between``
        and ``wraps``; the mean for ``reveal``), ``margin``, ``overhang``,
        ``interference`` (on the diameter), ``lap``, ``step``, ``even``
        (wider at one end), ``lean`` (mm in 1 m), ``within`` (unlike),
        ``range`` (of a formula). None of a ``presses-into`` that leaves it to
        the shop.
    key : str
        Where it stands in the plan, ``"meet.2"``; copies of a part share it.
    formula : Formula or None
        Of a ``relation``, on the names in `names`.
    names : tuple of (name, part, dim)
        What each name in the formula stands for.
    dims : tuple of str
        Of a ``pair``: the dims that are compared; empty for all that show. Of
        a ``wraps``: the dim of the sheet that goes round.
    walls : tuple of str
        Of a ``drops-between``: two faces of the last end.
    bolt_d : float
        Of a ``bolts-to``: what goes through [mm]; 0 if not given.
    tapped : str
        Of a ``bolts-to``: the part whose holes hold the bolts without play;
        empty if the bolts have play in both.
    shifts : bool
        Of a ``bolts-to``: the part is moved until its bolts go in, so that
        only how the holes lie to one another counts.
    """

    name: str
    kind: str
    ends: tuple[End, ...]
    wanted: tuple[tuple[str, tuple[float, float]], ...] = ()
    key: str = ""
    formula: Formula | None = None
    names: tuple[tuple[str, str, str], ...] = ()
    dims: tuple[str, ...] = ()
    walls: tuple[str, ...] = ()
    bolt_d: float = 0.0
    tapped: str = ""
    shifts: bool = True

    @property
    def parts(self) -> tuple[str, ...]:
        """Names of the parts, each once."""
        return tuple(dict.fromkeys(end.part for end in self.ends))

    @property
    def inner(self) -> str:
        """Part of the first end: what goes in, on or round another."""
        return self.ends[0].part

    @property
    def outer(self) -> str:
        """Part of the last end: what the first goes into, on or round."""
        return self.ends[-1].part

    def range_of(self, what: str) -> tuple[float, float] | None:
        """Wanted range by the maker's word for it [mm]; None if the plan leaves it open."""
        return dict(self.wanted).get(what)


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
    paper : str
        ``"a4"``, ``"letter"``, ``"a3"``, or ``"roll 610"`` with its width [mm].
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
    lines: Mapping[str, int] = field(repr=False)  # follow from `source`
    source: tuple[str, ...] = ()
    paper: str = "a4"
