"""One entry as one line of JSON, with nothing lost on the way.

Room: ledger. The form of an export of the whole history: UTF-8, one object a
line. The first line is a heading that says what the file is and how many
entries follow, so that a file cut short is noticed. Numbers are written with
as many figures as it takes to get the same number back.

Every key has to be there, and no other may be: what is misspelt would
otherwise be lost in silence.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Mapping
from dataclasses import asdict, fields
from types import MappingProxyType
from typing import Any

from foldwright.errors import OutOfDomain, UnknownName
from foldwright.ledger.records import Change, Entry
from foldwright.ledger.rows import RECORDS, kind_of

FORM = 1  # of the lines, whatever the form of the tables
OPENING = '{"foldwright": "ledger", '  # how each such file begins


def text_of(entries: Iterable[Entry]) -> str:
    """Return a whole history as lines, the heading first."""
    told = tuple(entries)
    heading = {
        "foldwright": "ledger",
        "form": FORM,
        "entries": len(told),
        "length": "mm",
        "angle": "rad",
        "time": "UTC",
    }
    return "".join(f"{line}\n" for line in (_json(heading), *map(line_of, told)))


def line_of(entry: Entry) -> str:
    """Return one entry as a line, without its end.

    Examples
    --------
    >>> from foldwright.ledger import Withdrawal
    >>> line_of(Withdrawal(3, 1, "2026-03-01T14:05:09Z", "askew"))
    '{"kind": "withdrawal", "id": 3, "entry": 1, "when": "2026-03-01T14:05:09Z", "note": "askew"}'
    """
    return _json({"kind": kind_of(entry), **asdict(entry)})


def count_from(heading: str) -> int:
    """Return how many entries follow a heading.

    Raises
    ------
    OutOfDomain
        No heading of ours, or from a newer version.
    """
    found = _object(heading)
    if found.get("foldwright") != "ledger":
        raise OutOfDomain(
            "this is no heading of an exported ledger. "
            f"Give a file that begins with {OPENING.rstrip(', ')}.",
            name="foldwright",
        )
    form, count = _whole("form", found.get("form")), _whole("entries", found.get("entries"))
    if form != FORM:
        raise OutOfDomain(
            f"this was exported by a newer Foldwright (form {form}, this one knows {FORM}). "
            "Update Foldwright, then do this again.",
            name="form",
        )
    return count


def entry_from(line: str) -> Entry:
    """Return the entry on a line; whether it is sound and may follow is not asked here.

    Raises
    ------
    OutOfDomain
        No JSON object, a key too few or too many, a value of another kind.
    UnknownName
        No such kind of entry.
    """
    found = _object(line)
    kind = found.pop("kind", None)
    if not isinstance(kind, str) or kind not in RECORDS:
        raise UnknownName("kind of entry", str(kind), RECORDS)
    return _record(RECORDS[kind], f"a {kind}", found)


def _json(found: Mapping[str, Any]) -> str:
    return json.dumps(found, ensure_ascii=False, allow_nan=False)


def _object(line: str) -> dict[str, Any]:
    try:
        found = json.loads(line, object_pairs_hook=_once_each, parse_constant=_no_number)
    except json.JSONDecodeError as error:
        raise OutOfDomain(
            f"this is no JSON: {error.msg} at place {error.pos + 1}. "
            "Has the line been cut, or a quote been lost?",
            name="line",
        ) from error
    except OutOfDomain:
        raise
    except (ValueError, RecursionError) as error:  # a number of thousands of figures; a deep nest
        raise OutOfDomain(f"this cannot be read: {error}.", name="line") from error
    if not isinstance(found, dict):
        raise OutOfDomain("this is no JSON object. Each line is one entry in braces.", name="line")
    return found


def _once_each(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) < len(pairs):
        names = [name for name, _ in pairs]
        twice = next(name for name in names if names.count(name) > 1)
        raise OutOfDomain(f'"{twice}" is said twice. Say it once.', name=twice)
    return found


def _no_number(word: str) -> float:
    raise OutOfDomain(f"{word} is no measure. Give a plain number.", name="value")


def _record[R: (Entry, Change)](record: type[R], called: str, table: dict[str, Any]) -> R:
    """Build a record from a table that has just its fields."""
    kinds: dict[str, str] = {f.name: str(f.type) for f in fields(record)}
    for name in kinds:
        if name not in table:
            raise OutOfDomain(f'{called} has no "{name}". Give all its values.', name=name)
    for name in table:
        if name not in kinds:
            raise UnknownName(f"value of {called} called", name, kinds)
    return record(**{name: _READERS[kind](name, table[name]) for name, kind in kinds.items()})


def _whole(name: str, value: Any) -> int:
    if isinstance(value, bool) or not isinstance(value, int):
        raise _wrong(name, value, "a whole number")
    return value


def _number(name: str, value: Any) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise _wrong(name, value, "a number")
    try:
        return float(value)
    except OverflowError:
        raise _wrong(name, "of hundreds of figures", "a number") from None


def _text(name: str, value: Any) -> str:
    if not isinstance(value, str):
        raise _wrong(name, value, "text in quotes")
    return value


def _truth(name: str, value: Any) -> bool:
    if not isinstance(value, bool):
        raise _wrong(name, value, "true or false")
    return value


def _texts(name: str, value: Any) -> tuple[str, ...]:
    return tuple(_text(name, each) for each in _list(name, value))


def _changes(name: str, value: Any) -> tuple[Change, ...]:
    found = []
    for each in _list(name, value):
        if not isinstance(each, dict):
            raise _wrong(name, each, "a change in braces")
        found.append(_record(Change, "a change", each))
    return tuple(found)


def _list(name: str, value: Any) -> list[Any]:
    if not isinstance(value, list):
        raise _wrong(name, value, "a list")
    return value


def _wrong(name: str, value: Any, wanted: str) -> OutOfDomain:
    shown = json.dumps(value, ensure_ascii=False)
    shown = shown if len(shown) <= 40 else f"{shown[:37]}..."
    return OutOfDomain(f"{name} is {shown}, which is not {wanted}. Mend it.", name=name)


# By the kind that a record's field is declared to be.
_READERS: Mapping[str, Callable[[str, Any], Any]] = MappingProxyType(
    {
        "int": _whole,
        "float": _number,
        "str": _text,
        "bool": _truth,
        "tuple[str, ...]": _texts,
        "tuple[Change, ...]": _changes,
    }
)
