"""Reading: what a maker typed for a reckoner, to the values its function takes.

Room: reckon. ``bore=46.12`` gives an input, ``tube=al-6060-T66`` a material by
name, ``tube.proof=190`` one figure of that material as the maker measured it
or has it from a certificate. Everything that is wrong is said at once.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import fields, replace
from typing import Any

from foldwright.errors import FoldwrightError, OutOfDomain, UnknownName, offer_names
from foldwright.reckon.definition import Input, Reckoner
from foldwright.reckon.quantities import parse_quantity
from foldwright.shop import Board, Figure, Matter, boards, matters

_OWN_SPREAD = 0.05  # of a figure that the maker gives; common practice, no source
_LONGEST_LIST = 100
_BY_NAME = ("board", "matter")
_AT_INPUT = re.compile(r"([a-z][\w.]*)(?:: | (?=is missing))")


class ReckonerFaults(FoldwrightError, ValueError):
    """What is missing or wrong among the inputs of a reckoner, all at once."""

    def __init__(self, reckoner: str, faults: Iterable[str]) -> None:
        self.reckoner = reckoner
        self.faults = tuple(faults)
        super().__init__("\n".join((f"{reckoner}:", *(f"  {fault}" for fault in self.faults))))

    @property
    def by_input(self) -> tuple[tuple[str, str], ...]:
        """Each fault as the input that it begins with, or "", and what is wrong there."""
        found = []
        for fault in self.faults:
            match = _AT_INPUT.match(fault)
            found.append((match[1], fault[match.end() :]) if match else ("", fault))
        return tuple(found)


def split_pairs(typed: Iterable[str]) -> dict[str, str]:
    """Split ``name=value`` arguments into a mapping.

    Raises
    ------
    OutOfDomain
        An argument without ``=``, or a name given twice.
    """
    found: dict[str, str] = {}
    for argument in typed:
        name, equals, value = argument.partition("=")
        name = name.strip().replace("-", "_")
        if not equals or not name:
            raise OutOfDomain(
                f'"{argument}" is not name=value. Write it like bore=46.12, without spaces round '
                "the =, and in quotes when the value has spaces.",
                name=argument,
            )
        if name in found:
            raise OutOfDomain(
                f"{name} is given twice. Give it once; several readings go in one, like "
                f"{name}=46.10,46.14.",
                name=name,
            )
        found[name] = value.strip()
    return found


def read_inputs(
    reckoner: Reckoner, typed: Mapping[str, str]
) -> tuple[dict[str, Any], dict[str, str]]:
    """Values of all inputs of a reckoner, and how each was typed, the usual ones included.

    Raises
    ------
    ReckonerFaults
        Missing or unknown inputs, or values that cannot be read.
    """
    names = [i.name for i in reckoner.inputs]
    faults = [
        f'There is no input "{name}". {offer_names(name, names)}'
        for name in typed
        if name.partition(".")[0] not in names
    ]
    values: dict[str, Any] = {}
    shown: dict[str, str] = {}
    for asked in reckoner.inputs:
        text = typed.get(asked.name, asked.usual)
        if text is None:
            faults.append(f"{asked.name} is missing: {asked.what}{_in_unit(asked)}.")
            continue
        shown[asked.name] = text
        try:
            values[asked.name] = _with_figures(asked, _value(asked, text), typed, shown)
        except UnknownName as fault:
            where = f" foldwright reckon {reckoner.name} lists all." * (asked.unit in _BY_NAME)
            faults.append(f"{asked.name}: {fault}{where}")
        except FoldwrightError as fault:
            parted = " Part several with commas." * (asked.several and "," not in text)
            faults.append(f"{asked.name}: {fault}{parted}")
    if faults:
        raise ReckonerFaults(reckoner.name, faults)
    return values, shown


def _in_unit(asked: Input) -> str:
    if asked.unit == "word" and asked.words:
        return f", one of {', '.join(asked.words)}"
    kinds = {
        "word": "",
        "matter": ", a material by name",
        "board": ", a board by name",
        "-": ", a number",
    }
    return kinds.get(asked.unit, f", in {asked.unit}")


def _value(asked: Input, text: str) -> Any:
    if text == "" and asked.usual == "":
        return None
    if not asked.several:
        return _one(asked, text)
    parts = [part.strip() for part in text.split(",")]
    if len(parts) > _LONGEST_LIST:
        raise OutOfDomain(
            f"{len(parts)} values are more than the {_LONGEST_LIST} that can be taken at once.",
            name=asked.name,
        )
    return tuple(_one(asked, part) for part in parts)


def _one(asked: Input, text: str) -> Any:
    if asked.unit == "word":
        if asked.words and text not in asked.words:
            raise UnknownName(asked.name, text, asked.words)
        return text
    if asked.unit == "matter":
        if text not in matters():
            raise UnknownName("material", text, matters())
        return matters()[text]
    if asked.unit == "board":
        if text not in boards():
            raise UnknownName("board", text, boards())
        return boards()[text]
    return parse_quantity(text, asked.unit)


def _with_figures(asked: Input, value: Any, typed: Mapping[str, str], shown: dict[str, str]) -> Any:
    """Return a material with the figures that the maker gave of it."""
    own = {
        name.partition(".")[2]: text
        for name, text in typed.items()
        if name.startswith(asked.name + ".")
    }
    if not own:
        return value
    if not isinstance(value, Matter | Board):
        raise OutOfDomain(f"{asked.name} is no material, so it has no figures.", name=asked.name)
    matter = value.face if isinstance(value, Board) else value
    known = figures_of(value)
    for name, text in own.items():
        if name not in known:
            raise UnknownName("figure", name, known)
        figure = known[name]
        number = parse_quantity(text, figure_unit(name))
        if number < 0.0 or (number == 0.0 and figure.value > 0.0):
            raise OutOfDomain(f"{name} of {text} is not above 0.", name=name)
        if name == "poisson" and number >= 0.5:
            raise OutOfDomain(f"poisson is {number:g}; solids have 0 to 0.5.", name=name)
        matter = replace(matter, **{name: Figure(number, _OWN_SPREAD, "as typed")})  # type: ignore[arg-type]
        shown[f"{asked.name}.{name}"] = text
    return replace(value, face=matter) if isinstance(value, Board) else matter


def figures_of(value: Board | Matter) -> dict[str, Figure]:
    """Figures of a material, or of the skins of a board, that a maker may give otherwise."""
    matter = value.face if isinstance(value, Board) else value
    found = {f.name: getattr(matter, f.name) for f in fields(matter)}
    return {name: figure for name, figure in found.items() if isinstance(figure, Figure)}


def figure_unit(figure: str) -> str:
    """Unit of a figure of a material, one of `UNITS`."""
    if figure == "density":
        return "kg/m3"
    if figure == "expansion":
        return "1/K"
    return "MPa" if figure in ("modulus", "strength", "proof", "tensile", "hardening") else "-"
