"""The whole plan: its parts, and where they meet.

Room: plan.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from foldwright.plan.kinds import AnyPart
from foldwright.plan.records import Cutter, Finish, Size, Stock


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
    lines: Mapping[str, int]
    source: tuple[str, ...] = ()
    paper: str = "a4"
