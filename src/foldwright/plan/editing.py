"""Editing: one thing in the text of a plan is changed, and every other byte stays.

Room: plan. The plan belongs to the maker, with its comments, its order and its line
ends. So nothing is written anew from what was read: the place of a value is looked
up (see `lines`), and only what stands there is replaced, or a line is put in.

`with_size`, `with_new_size`, `with_outline` and `with_holes` go from text to text.
`change_plan` reads the file, lets one of them at it, reads the result as any plan is
read, and only then writes it. What was typed wrong raises `QuantityError` or
`FormulaError`; what cannot be found raises `UnknownName`.
"""

from __future__ import annotations

import hashlib
import json
import re
import tomllib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from foldwright.errors import OutputRefused, Overtaken, QuantityError, UnknownName
from foldwright.files import replace_file
from foldwright.plan.door import read_text, tables_of
from foldwright.plan.formula import Formula
from foldwright.plan.lines import Places, places_of
from foldwright.plan.reader import parse_plan
from foldwright.plan.units import is_quantity, parse_length
from foldwright.plan.whole import Plan

_BOM = "\ufeff"
_PLAIN = re.compile(r"[+-]?(?:0|[1-9]\d*)(?:\.\d+)?")  # a number that TOML takes as it is
_NUMBER = re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)")
_NAME = re.compile(r"[A-Za-z][A-Za-z0-9_]*")
_WIDTH = 96  # columns; a longer list goes on several lines


@dataclass(frozen=True)
class Hole:
    """A hole to write into the table of a part; lengths as typed, or mm."""

    on: str
    at: tuple[str | float, str | float]
    d: str | float
    name: str = ""


def digest_of(text: str) -> str:
    """Short name for just this text: a plan that was changed since has another."""
    return hashlib.sha256(text.encode()).hexdigest()[:20]


def plan_text(path: Path) -> str:
    """Text of a plan file to the last byte, line ends and all.

    Raises
    ------
    PlanFaults
        No such file, or no text.
    """
    read_text(path)  # says in words what is wrong with the file
    return path.read_bytes().decode("utf-8")


def change_plan(
    path: Path,
    edit: Callable[[str], str],
    seen: str,
    thicknesses: Mapping[str, float | None],
    check: Callable[[Plan], object] | None = None,
) -> Plan:
    """Change a plan file in one step, or not at all.

    Parameters
    ----------
    path : Path
    edit : callable
        From the text to the text as it is to be.
    seen : str
        Digest of the text that the maker looked at when asking for the change.
    thicknesses : Mapping of str to float or None
        As for `read_plan`.
    check : callable, optional
        Raises if the changed plan is not to be written.

    Raises
    ------
    Overtaken
        The file is no longer what the maker looked at.
    PlanFaults
        The plan could not be used after the change.
    OutputRefused
        The file cannot be written.
    """
    path = path.resolve()  # the file itself is replaced, not a link to it
    before = plan_text(path)
    _require_same(before, seen)
    after = edit(before)
    plan = parse_plan(after, str(path), thicknesses)
    if check is not None:
        check(plan)
    _require_same(plan_text(path), seen)  # the check may have taken a while
    try:
        replace_file(path, after.encode())
    except OSError as fault:
        raise OutputRefused(f"{path} cannot be written: {fault.strerror or fault}.") from fault
    return plan


def _require_same(text: str, seen: str) -> None:
    if digest_of(text) != seen:
        raise Overtaken(
            "The plan was changed meanwhile, in an editor or by another hand. Nothing was written. "
            "Look at it as it is now, then change it again."
        )


def with_size(
    text: str,
    name: str,
    value: str | None = None,
    *,
    give: str | None = None,
    trust: str | None = None,
) -> str:
    r"""Return the plan with one size changed.

    Parameters
    ----------
    text : str
        The plan.
    name : str
        Of the size.
    value : str, optional
        As typed: a number in mm, a number with its unit, or a formula of sizes.
    give, trust : str, optional
        As typed, numbers with or without a unit. What is left out stays.

    Examples
    --------
    >>> print(with_size("[size]\nlamp_d = { plan = 220, give = 3 }  # the drum", "lamp_d", "224"))
    [size]
    lamp_d = { plan = 224, give = 3 }  # the drum
    >>> print(with_size("[size]\nlamp_d = 220", "lamp_d", trust="0.5"))
    [size]
    lamp_d = { plan = 220, trust = 0.5 }
    """
    known = _tables(text, "size")
    if name not in known:
        raise UnknownName("size", name, known)
    for key, typed in (("plan", value), ("give", give), ("trust", trust)):
        if typed is not None:
            text = _with_key(text, name, key, _written(typed, key))
    return text


def with_new_size(
    text: str,
    name: str,
    value: str,
    *,
    give: str | None = None,
    trust: str | None = None,
) -> str:
    """Return the plan with one more size at the foot of its [size] table; as `with_size`."""
    if not _NAME.fullmatch(name):
        raise QuantityError(
            f'"{name}" is not a name that a size can have.',
            text=name,
            remedy="Names begin with a letter and have letters a to z, digits and _.",
        )
    if name in _tables(text, "size"):
        raise QuantityError(
            f'There is a size "{name}" already.', text=name, remedy="Choose another name."
        )
    given = {"plan": value, "give": give, "trust": trust}
    said = ", ".join(f"{k} = {_written(v, k)}" for k, v in given.items() if v is not None)
    return _with_row(text, "size", name, f"{{ {said} }}")


def with_outline(text: str, part: str, points: Sequence[tuple[str | float, str | float]]) -> str:
    """Return the plan with the outline of a part replaced, or put in if it had none.

    Parameters
    ----------
    text : str
        The plan.
    part : str
    points : sequence of (x, y)
        Corners in order; numbers in mm, shown to a tenth, or texts as typed.
    """
    _require_part(text, part)
    corners = [f"[{_point(x)}, {_point(y)}]" for x, y in points]
    key = f"part.{part}.outline"
    place = _places(text).values.get(key)
    if place is None:
        return _with_row(text, f"part.{part}", "outline", _listed(corners, _line_end(text)))
    return _replaced(text, place, _listed(corners, _line_end(text)))


def with_holes(text: str, part: str, holes: Sequence[Hole]) -> str:
    """Return the plan with holes added to those that a part has already."""
    there = _require_part(text, part).get("holes", [])
    said = [_hole(hole) for hole in holes]
    rows = [f"{{ {', '.join(keys)} }}" for keys in said]
    key, places, end = f"part.{part}.holes", _places(text), _line_end(text)
    if key in places.values and there:
        last = places.values[f"{key}.{len(there) - 1}"][1]
        return text[:last] + "".join(f",{end}  {row}" for row in rows) + text[last:]
    if key in places.values:
        return _replaced(text, places.values[key], _listed(rows, end))
    if there:  # tables with a header each
        at = _line_after(text, places.tables[f"{key}.{len(there) - 1}"])
        blocks = "".join(f"{end}[[{key}]]{end}{end.join(keys)}{end}" for keys in said)
        return text[:at] + ("" if text[:at].endswith("\n") else end) + blocks + text[at:]
    return _with_row(text, f"part.{part}", "holes", _listed(rows, end))


def _hole(hole: Hole) -> list[str]:
    keys = [f"name = {_quoted(hole.name)}"] if hole.name else []
    x, y = hole.at
    at = f"at = [{_point(x)}, {_point(y)}]"
    return [*keys, f"on = {_quoted(hole.on)}", at, f"d = {_point(hole.d)}"]


def _with_key(text: str, name: str, key: str, written: str) -> str:
    """Change or add one key of a size."""
    place, places = f"size.{name}", _places(text).values
    if f"{place}.{key}" in places:
        return _replaced(text, places[f"{place}.{key}"], written)
    if place in places and not text.startswith("{", places[place][0]):  # written short
        if key == "plan":
            return _replaced(text, places[place], written)
        start, end = places[place]
        return _replaced(text, places[place], f"{{ plan = {text[start:end]}, {key} = {written} }}")
    last = max(end for of, (_, end) in places.items() if of.startswith(f"{place}."))
    if place in places:
        return f"{text[:last]}, {key} = {written}{text[last:]}"
    # a table of its own, or dotted keys: one more line that begins like that of its plan
    start, _ = places[f"{place}.plan"]
    head = text[text.rfind("\n", 0, start) + 1 : start]
    head = re.sub(r"plan([\"']?\s*=\s*)$", rf"{key}\1", head)
    at, line_end = _line_after(text, last), _line_end(text)
    before = "" if text[:at].endswith("\n") else line_end
    return f"{text[:at]}{before}{head}{written}{line_end}{text[at:]}"


def _with_row(text: str, table: str, key: str, written: str) -> str:
    """Add a line at the foot of a table, which is made if it is not there."""
    end, places = _line_end(text), _places(text)
    if table in places.tables:
        at = _line_after(text, places.tables[table])
        before = "" if text[:at].endswith("\n") else end
        new = f"{text[:at]}{before}{_aligned(text[:at], key)} = {written}{end}{text[at:]}"
    else:
        before = "" if text.endswith("\n") else end
        new = f"{text}{before}{end}[{table}]{end}{key} = {written}{end}"
    try:
        tomllib.loads(new.removeprefix(_BOM))
    except tomllib.TOMLDecodeError as fault:
        raise QuantityError(
            f"The plan writes its {table} in a way that no line can be added to.",
            text=table,
            remedy=f"Write a table [{table}] in your editor, with its keys on lines of their own.",
        ) from fault
    return new


def _aligned(before: str, key: str) -> str:
    """Key as wide as the one on the line above, where a table has its = in one column."""
    above = before.rstrip("\r\n").rpartition("\n")[2]
    found = re.match(r"[A-Za-z0-9_-]+ +(?==)", above)
    return key.ljust(len(found.group()) - 1) if found else key


def _tables(text: str, table: str) -> Mapping[str, Any]:
    found = tables_of(text).get(table, {})
    return found if isinstance(found, dict) else {}


def _require_part(text: str, part: str) -> Mapping[str, Any]:
    known = _tables(text, "part")
    if part not in known:
        raise UnknownName("part", part, known)
    record: Mapping[str, Any] = known[part]
    return record


def _places(text: str) -> Places:
    """Places in the text as it is: a mark at its very beginning counts as one character."""
    if not text.startswith(_BOM):
        return places_of(text)
    found = places_of(text.removeprefix(_BOM))
    return Places(
        {key: (start + 1, end + 1) for key, (start, end) in found.values.items()},
        {key: end + 1 for key, end in found.tables.items()},
    )


def _replaced(text: str, place: tuple[int, int], written: str) -> str:
    return text[: place[0]] + written + text[place[1] :]


def _line_after(text: str, at: int) -> int:
    """Where the next line begins: what stands after a value on its line stays with it."""
    found = text.find("\n", at)
    return len(text) if found < 0 else found + 1


def _line_end(text: str) -> str:
    return "\r\n" if "\r\n" in text else "\n"


def _listed(rows: Sequence[str], end: str) -> str:
    """Return a TOML list, on one line if it is short, else on lines as wide as they may be."""
    short = f"[{', '.join(rows)}]"
    if len(short) < _WIDTH:
        return short
    lines = [" "]
    for row in rows:
        if len(lines[-1]) + len(row) > _WIDTH:
            lines.append(" ")
        lines[-1] += f" {row},"
    return end.join(["[", *lines, "]"])


def _point(value: str | float) -> str:
    if isinstance(value, str):
        return _written(value, "at")
    shown = f"{value:.1f}".removesuffix(".0")
    return "0" if shown == "-0" else shown


def _written(typed: str, key: str) -> str:
    """Return what was typed as TOML has it: a plain number bare, all else in quotes.

    Raises
    ------
    QuantityError, FormulaError
        It is neither.
    """
    typed = typed.strip()
    if not typed:
        raise QuantityError("Nothing is typed here.", text="", remedy="Type a length, like 220.")
    if key in ("give", "trust") or is_quantity(typed) or _NUMBER.fullmatch(typed):
        length = parse_length(typed)
        if _PLAIN.fullmatch(typed):
            return typed
        return f"{length:.12g}" if _NUMBER.fullmatch(typed) else _quoted(typed)
    Formula.parse(typed)
    return _quoted(typed)


def _quoted(text: str) -> str:
    # what JSON writes in quotes TOML reads, but for this one sign
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
