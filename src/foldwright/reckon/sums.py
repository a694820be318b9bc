"""Sums: ask a reckoner, and say what it answers in words, JSON or a page.

Room: reckon.
"""

from __future__ import annotations

import math
import textwrap
from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

from foldwright.errors import OutOfDomain
from foldwright.reckon.definition import Input, Line, Reckoned, Reckoner
from foldwright.reckon.quantities import show_number
from foldwright.reckon.reading import ReckonerFaults, read_inputs
from foldwright.reckon.spread import with_spread
from foldwright.shop import boards, matters

_WIDTH = 34  # columns of the words before the numbers
_PAGE = 90  # columns of a list of names
_LARGE = 1e4
_LARGER = {"N": "kN", "N mm": "N m"}


def reckon(reckoner: Reckoner, typed: Mapping[str, str]) -> Reckoned:
    """Ask a reckoner.

    Parameters
    ----------
    reckoner : Reckoner
    typed : Mapping of str to str
        Inputs by name, as the maker typed them.

    Raises
    ------
    ReckonerFaults
        Inputs that are missing, unknown, not to be read, or outside the formula.
    """
    values, shown = read_inputs(reckoner, typed)
    try:
        answer = with_spread(reckoner, values, reckoner.answer(**values))
    except OutOfDomain as fault:
        raise ReckonerFaults(reckoner.name, [f"{fault.name}: {fault}"]) from fault
    cautions = dict.fromkeys((*reckoner.cautions, *answer.cautions))
    return Reckoned(reckoner, values, shown, replace(answer, cautions=tuple(cautions)))


def in_words(reckoned: Reckoned) -> str:
    """Inputs, answer with spread, steps, formula, source, domain and cautions, as text."""
    r, answer = reckoned.reckoner, reckoned.answer
    said = [f"{r.title}", ""]
    said += [f"  {name:{_WIDTH}} {text}" for name, text in typed_in_words(reckoned)]
    said.append("")
    said += [f"  {line.what:{_WIDTH}} {shown(line)}" for line in answer.lines]
    if answer.steps:
        said += ["", *(f"  {i}. {step}" for i, step in enumerate(answer.steps, 1))]
    for heading, sentences in (("Note", answer.remarks), ("Take care", answer.cautions)):
        if sentences:
            said += ["", *(f"{heading}: {sentence}" for sentence in sentences)]
    said += ["", f"Formula: {r.formula}", f"Source: {r.source}", f"Holds: {r.domain}"]
    return "\n".join(said)


def typed_in_words(reckoned: Reckoned) -> list[tuple[str, str]]:
    """Inputs with their units as they were taken, the usual ones included."""
    what = {i.name: i for i in reckoned.reckoner.inputs}
    return [
        (_described(what, name), _with_unit(what.get(name), text))
        for name, text in reckoned.typed.items()
        if text
    ]


def shown(line: Line) -> str:
    """One line's value with unit and spread: ``46.21 mm, give or take 0.03``.

    The spread is one standard deviation. Both are shown no finer than two figures
    of the spread, and large forces and torques in kN and N m.
    """
    if isinstance(line.value, str):
        return line.value
    if isinstance(line.value, int):
        return f"{line.value} {line.unit}".rstrip() if line.unit != "-" else str(line.value)
    value, spread, unit, digits = line.value, line.spread, line.unit, line.digits
    if unit in _LARGER and abs(value) >= _LARGE:
        value, spread, unit, digits = value / 1e3, spread / 1e3, _LARGER[unit], 2
    if spread > 0.0 and math.isfinite(spread):
        seen = 1 - math.floor(math.log10(spread))
        if value:  # its first figure is shown however unsure it is
            seen = max(seen, -math.floor(math.log10(abs(value))))
        digits = min(digits, seen)
    number = show_number(round(value, digits), max(digits, 0))
    said = f"{number} {unit}" if unit not in ("", "-") else number
    # a spread that the digits shown do not see is not worth a word
    if spread >= 0.5 * 10.0**-digits:
        said += f", give or take {show_number(round(spread, digits), max(digits, 0))}"
    return said


def as_json(reckoned: Reckoned) -> dict[str, Any]:
    """Return the same as plain values for ``--json``."""
    r, answer = reckoned.reckoner, reckoned.answer
    return {
        "reckoner": r.name,
        "title": r.title,
        "inputs": dict(reckoned.typed),
        "answer": [
            {
                "name": line.name,
                "what": line.what,
                "value": line.value,
                "unit": line.unit,
                "spread": line.spread,
            }
            for line in answer.lines
        ],
        "steps": list(answer.steps),
        "remarks": list(answer.remarks),
        "cautions": list(answer.cautions),
        "formula": r.formula,
        "source": r.source,
        "domain": r.domain,
    }


def listing(reckoners: Iterable[Reckoner]) -> str:
    """All reckoners by trade name, one line each, under their headings."""
    said: list[str] = []
    group = ""
    ordered = list(reckoners)
    width = max(len(r.name) for r in ordered)
    for r in ordered:
        if r.group != group:
            group = r.group
            said += ["", group] if said else [group]
        said.append(f"  {r.name:{width}}  {r.title}")
    return "\n".join(said)


def asked(reckoner: Reckoner) -> str:
    """What a reckoner asks: each input with its unit and what is usual."""
    said = [f"{reckoner.name}: {reckoner.title}", "", "It asks:"]
    for i in reckoner.inputs:
        unit = f" [{', '.join(i.words)}]" if i.words else f" [{i.unit}]" * (i.unit != "-")
        usual = {None: "", "": "; may be left out"}.get(i.usual, f"; {i.usual} if nothing is said")
        several = ", several with commas" * i.several
        said.append(f"  {i.name:16} {i.what}{unit}{several}{usual}")
    said += _names_for(reckoner)
    example = " ".join(f"{k}={_quoted(v)}" for k, v in reckoner.example.items())
    said += ["", f"For instance: foldwright reckon {reckoner.name} {example}"]
    return "\n".join(said)


def _names_for(reckoner: Reckoner) -> list[str]:
    """Return the names that may be typed for a board or a material, wrapped."""
    said: list[str] = []
    units = {i.unit for i in reckoner.inputs}
    for unit, heading, names in (
        ("board", "Boards and sheets by name", tuple(boards())),
        ("matter", "Materials by name", tuple(matters())),
    ):
        if unit in units:
            wrapped = textwrap.wrap(", ".join(names), _PAGE, break_on_hyphens=False)
            said += ["", f"{heading}:", *(f"  {line}" for line in wrapped)]
    if "board" in units:
        said += ["  (acp-4-0.5: skinned board 4 mm thick in all, with aluminium skins of 0.5 mm)"]
    return said


def page(reckoners: Iterable[Reckoner]) -> str:
    """Return the page of the documentation on the ready reckoner, as Markdown."""
    said = [
        "# Ready reckoner",
        "",
        "Written from the definitions in `src/foldwright/reckon`; a test holds the two equal.",
        "Ask with `foldwright reckon NAME input=value ...`; `--json` gives the same for a program.",
        "A number without a unit is in the unit named; inches and fractions are welcome",
        '(`bore="1 1/2 in"`). One figure of a material can be given apart: `tube.proof=190`.',
        '"Give or take" is one standard deviation, from what is known of the inputs.',
        "",
        f"Boards and sheets: {', '.join(boards())}.",
        "",
        f"Materials: {', '.join(matters())}.",
    ]
    group = ""
    for r in reckoners:
        if r.group != group:
            group = r.group
            said += ["", f"## {group}"]
        said += ["", f"### {r.name}", "", f"{r.title}.", "", "| input | what | unit | usual |"]
        said += ["|---|---|---|---|"]
        for i in r.inputs:
            unit = ", ".join(i.words) if i.words else i.unit
            several = ", several" * i.several
            usual = {None: "", "": "may be left out"}.get(i.usual, i.usual)
            said.append(f"| `{i.name}` | {_cell(i.what)} | {unit}{several} | {usual} |")
        said += ["", f"Formula: {r.formula}", "", f"Source: {r.source}", "", f"Holds: {r.domain}"]
        for caution in r.cautions:
            said += ["", f"Take care: {caution}"]
        example = " ".join(f"{k}={_quoted(v)}" for k, v in r.example.items())
        said += ["", f"    foldwright reckon {r.name} {example}", ""]
        for line in reckon(r, r.example).answer.lines:
            said.append(f"    {line.what}: {shown(line)}")
    return "\n".join(said) + "\n"


def _described(what: Mapping[str, Input], name: str) -> str:
    return name.replace("_", " ") if name in what else name


def _with_unit(asked_for: Input | None, text: str) -> str:
    if asked_for is None or asked_for.unit in ("-", "word", "matter", "board"):
        return text
    plain = text.replace(",", "").replace(".", "").replace(" ", "").lstrip("+-").isdigit()
    return f"{text} {asked_for.unit}" if plain else text


def _quoted(text: str) -> str:
    return f'"{text}"' if " " in text else text


def _cell(text: str) -> str:
    return text.replace("|", "\\|")
