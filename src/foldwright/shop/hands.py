"""Hands: how far what is made strays from what was meant, process by process.

Room: shop. A *process* is one thing that a hand does: cutting to a line,
placing a fold, turning it, curling. Each strays by a *scatter*, new every
time, and by a *bias*, which one maker keeps and which differs from maker to
maker. `PROCESSES` holds what is usual of each, used wherever nothing has been
measured yet; readings of the maker's own parts tell better.

A *set-up* is set once and used for many cuts (a fence, the depth of a router):
its error is one and the same in all that was cut with it. A *blunder* is a
slip, many scatters large, in one or two of a hundred parts.

All figures are common practice, no source.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from types import MappingProxyType

SOURCE = "common practice, no source"


@dataclass(frozen=True)
class Process:
    """One thing that hands do, and how it strays.

    Attributes
    ----------
    name : str
        As the ledger knows it.
    what : str
        In the maker's words: "the place of a fold".
    scatter : float
        Usual scatter, one standard deviation [mm; rad for what is an angle].
    unit : str
        ``"mm"`` or ``"rad"``.
    bias : float
        How the biases of makers differ, one standard deviation, in usual scatters.
    worth : float
        How many readings the usual scatter is worth.
    is_set_up : bool
        Set once and used for many cuts, so that they stray alike.
    more, less : str
        What a maker does whose bias is above or below 0, braces for how much: "fold {}
        long", "fold {} short".
    source : str
    """

    name: str
    what: str
    scatter: float
    more: str
    less: str
    unit: str = "mm"
    bias: float = 0.5
    worth: float = 10.0
    is_set_up: bool = False
    source: str = SOURCE


PROCESSES = MappingProxyType(
    {
        process.name: process
        for process in (
            Process(
                "cut", "cutting to a line with knife and rule", 0.3, "cut {} long", "cut {} short"
            ),
            Process(
                "saw", "sawing to a line by hand or bandsaw", 0.7, "saw {} long", "saw {} short"
            ),
            Process("file", "filing to a line", 0.25, "file {} long", "file {} short"),
            Process("hole", "drilling a hole by hand", 0.4, "drill {} high", "drill {} low"),
            # Moving a fold lengthens one panel and shortens the next.
            Process(
                "fold line",
                "the place of a fold",
                0.3,
                "place folds {} late",
                "place folds {} early",
            ),
            # What a fold adds to the panels beside it, against what it was reckoned to.
            Process("fold", "what a fold adds to its panels", 0.2, "fold {} long", "fold {} short"),
            Process(
                "web", "the depth of a groove", 0.12, "leave webs {} thick", "leave webs {} thin"
            ),
            Process(
                "fold angle",
                "turning a fold by eye",
                math.radians(2.0),
                "fold {} too far",
                "fold {} too little",
                unit="rad",
            ),
            Process(
                "fold angle to a gauge",
                "turning a fold to a gauge",
                math.radians(0.7),
                "fold {} too far",
                "fold {} too little",
                unit="rad",
            ),
            Process(
                "closing",
                "pulling the last seam shut",
                0.3,
                "close seams {} wide",
                "close seams {} tight",
            ),
            Process(
                "curl", "curling and closing, on the girth", 1.0, "curl {} large", "curl {} small"
            ),
            # Across the widest, less across the narrowest.
            Process(
                "rounding",
                "rounding a drum",
                1.5,
                "leave drums {} wide across the seam",
                "leave drums {} narrow there",
            ),
            Process("plug", "filing a plug to a diameter", 0.03, "file {} large", "file {} small"),
            Process(
                "stock", "tube and bar as they come", 0.1, "get them {} large", "get them {} small"
            ),
            Process("bought", "what is bought", 0.1, "get it {} large", "get it {} small"),
            Process(
                "fence",
                "the setting of a fence for parallel cuts",
                0.2,
                "set the fence {} wide",
                "set the fence {} narrow",
                is_set_up=True,
            ),
            Process(
                "router depth",
                "the setting of the router's depth",
                0.1,
                "set the router {} high",
                "set the router {} low",
                is_set_up=True,
            ),
        )
    }
)
"""By name."""

BLUNDER = 0.015
"""Share of parts in which one dim is cut or folded wrong: one or two in a hundred."""
BLUNDER_SIZE = (4.0, 10.0)
"""How wrong, in usual scatters of that dim."""
