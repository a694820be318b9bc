"""Driven: which parts have a size in their formulas, by way of other sizes too.

Room: beside `make`. It reads names in the text of a plan; `sizing` draws what follows.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import lru_cache
from typing import Any

from foldwright.errors import FormulaError
from foldwright.make import Made
from foldwright.plan import AnyPart, Formula, Rib
from foldwright.plan.door import tables_of
from foldwright.plan.table import is_literal

# Keys of a part whose texts are names of things, never formulas.
_WORDS = frozenset({"name", "on", "through", "method", "kind", "over", "face", "from", "file"})


def driven_by(made: Made, text: str, sizes: Iterable[str]) -> tuple[str, ...]:
    """Parts whose shape follows from sizes, by way of other sizes too."""
    follows = with_followers(text, sizes)
    return tuple(name for name, part in made.plan.parts.items() if _follows(part, follows, text))


def _follows(part: AnyPart, sizes: set[str], text: str) -> bool:
    if isinstance(part, Rib) and _follows(part.of, sizes, text):  # a rib is as its shell
        return True
    return any(sizes & names for key, names in named_by(part, text).items() if key != "place")


def table_of(part: AnyPart, text: str) -> Mapping[str, Any]:
    """Return the table that the plan has for a part, for one of several, for the other hand."""
    tables = tables_of(text).get("part", {})
    found: dict[str, Any] = {}
    for name in _read_for(part, tables):
        found |= tables.get(name, {})
    return found


def named_by(part: AnyPart, text: str) -> Mapping[str, set[str]]:
    """Names in the formulas of each field of a part."""
    named = _named(text)
    found: dict[str, set[str]] = {}
    for name in _read_for(part, tables_of(text).get("part", {})):
        found |= named.get(name, {})
    return found


def _read_for(part: AnyPart, tables: Mapping[str, Any]) -> list[str]:
    """Names of the tables that a part is read from, its own last: hands may follow hands."""
    found = [part.family or part.name]
    while other := tables.get(found[0], {}).get("mirror_of", ""):
        name = other if other in tables else other.rpartition("-")[0]  # one of several
        if name in found:
            break
        found.insert(0, name)
    return found


@lru_cache(maxsize=8)
def _named(text: str) -> dict[str, dict[str, set[str]]]:
    """By part and field, the names in the formulas of the plan."""
    return {
        name: {key: _names_in(value, key) for key, value in table.items()}
        for name, table in tables_of(text).get("part", {}).items()
    }


def _names_in(value: object, key: str = "") -> set[str]:
    """Names in all formulas of a value, however deep in it."""
    if isinstance(value, dict):
        return {name for k, inner in value.items() for name in _names_in(inner, k)}
    if isinstance(value, list):
        return {name for inner in value for name in _names_in(inner, key)}
    return set() if key in _WORDS else set(_names_of(value))


def with_followers(text: str, sizes: Iterable[str]) -> set[str]:
    """Sizes and those that have them in their formulas."""
    rows = tables_of(text).get("size", {})
    names = {
        name: set(_names_of(row.get("plan") if isinstance(row, dict) else row))
        for name, row in rows.items()
    }
    found, grown = set(sizes), True
    while grown:
        more = {name for name, uses in names.items() if uses & found} - found
        found, grown = found | more, bool(more)
    return found


def _names_of(written: object) -> tuple[str, ...]:
    """Names in one value; none where it is no formula."""
    if not isinstance(written, str) or is_literal(written):
        return ()
    try:
        return Formula.parse(written).names
    except FormulaError:
        return ()
