"""Reckoners: a sum done at the bench, defined once.

Room: reckon. A *reckoner* has a trade name, inputs with their units, a
function from one of the rooms below that answers, and says where its formula
comes from and where it holds. The command line, the page and the
documentation are all made from this one definition.

`Input` says what is asked, `Line` is one number of an answer, `Answer` all of
it. `reading` turns what a maker typed into values, `spread` says how sure the
answer is, `ready` lists all reckoners.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class Input:
    """One thing that a reckoner asks.

    Attributes
    ----------
    name : str
        As typed, one word of lower case letters and underscores: ``bore``.
    what : str
        What it is, and where to lay the tool: "bore of the tube, mean of your readings".
    unit : str
        One of the units in `reading`: ``"mm"``, ``"deg"``, ``"MPa"``, ``"N"``, ``"N mm"``,
        ``"kg"``, ``"kg/m3"``, ``"K"``, ``"1/K"``, ``"mm2"``, ``"m2"``, ``"min"``, ``"-"``
        (a plain number or per cent), ``"word"``, ``"matter"`` (a material by name) or
        ``"board"`` (a board or sheet by name). Angles reach the function in radians,
        everything else in the unit named.
    usual : object
        Taken when nothing is typed, as it would be typed ("0.05", "al-5005-H24");
        None: it has to be typed; "" : may be left out, and the function gets None.
    several : bool
        Takes more than one value, separated by commas; the function gets a tuple.
    spread : float
        How sure such an input is: one standard deviation, in the unit named (degrees
        for angles). Materials bring their own.
    words : tuple of str
        What may be typed, for ``"word"``; empty if the function itself looks at it.
    """

    name: str
    what: str
    unit: str
    usual: str | None = None
    several: bool = False
    spread: float = 0.0
    words: tuple[str, ...] = ()


@dataclass(frozen=True)
class Line:
    """One number or word of an answer.

    Attributes
    ----------
    name : str
        For ``--json``: ``plug_d``.
    what : str
        In words: "file the plug to".
    value : float, int or str
        In `unit`; angles in degrees here, since this is what is shown.
    unit : str
        As in `Input`; ``""`` for words and counts.
    digits : int
        Decimals worth showing: what a hand can work to.
    spread : float
        One standard deviation of `value`; filled in by `spread`.
    """

    name: str
    what: str
    value: float | int | str
    unit: str = ""
    digits: int = 1
    spread: float = 0.0


@dataclass(frozen=True)
class Answer:
    """What a reckoner says: lines, then steps to do in order, then remarks and cautions.

    `remarks` are about these very numbers (the domain is left, a limit is near);
    `cautions` are about the hazard of doing it.
    """

    lines: tuple[Line, ...]
    steps: tuple[str, ...] = ()
    remarks: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True)
class Reckoner:
    """A sum done at the bench.

    Attributes
    ----------
    name : str
        Trade name as typed: ``press-plug``.
    group : str
        Heading it stands under: "Folding", "Curling", "Press plugs", "Fastening",
        "Finish and heat", "Fits and tolerances", "Shapes", "Weight".
    title : str
        One line, what it tells the maker; no full stop.
    inputs : tuple of Input
    answer : Callable
        Takes the inputs by name as keyword arguments, returns an `Answer`. Raises
        `OutOfDomain` (its `name` an input's) for values that are not physical or
        outside the formula.
    formula : str
        Name of the formula, and the formula in plain text.
    source : str
        Author, title, edition, equation; or "common practice, no source".
    domain : str
        Where it holds, in words.
    cautions : tuple of str
        Usual cautions where the work can hurt, deferring to local rules.
    example : Mapping of str to str
        Inputs as typed of a worked example; the documentation runs it.
    """

    name: str
    group: str
    title: str
    inputs: tuple[Input, ...]
    answer: Callable[..., Answer]
    formula: str
    source: str
    domain: str
    example: Mapping[str, str]
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True)
class Reckoned:
    """A reckoner with what was typed and what it answers.

    `typed` holds each input as it was read, shown in its unit, in order.
    """

    reckoner: Reckoner
    values: Mapping[str, Any]
    typed: Mapping[str, str]
    answer: Answer
