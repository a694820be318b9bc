"""Entries as rows of the file, and back.

Room: ledger. Each kind of entry has a table whose columns are called as the
fields of its record (see `schema`); line, kind and time stand in ``entry``.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import fields
from types import MappingProxyType
from typing import Any

from foldwright.ledger.database import Transaction
from foldwright.ledger.records import (
    Change,
    Entry,
    Forgetting,
    Reading,
    Revision,
    Scrap,
    StageReached,
    Withdrawal,
)

# Each kind by the name of its table, which is its name in an export too.
RECORDS: Mapping[str, type[Entry]] = MappingProxyType(
    {
        "reading": Reading,
        "stage": StageReached,
        "scrap": Scrap,
        "revision": Revision,
        "forgetting": Forgetting,
        "withdrawal": Withdrawal,
    }
)
_KIND_OF = {record: kind for kind, record in RECORDS.items()}
_TRUTHS = ("bare", "instead")  # kept as 0 or 1
_COLUMNS = {
    kind: tuple(f.name for f in fields(record) if f.name not in ("id", "when", "changes"))
    for kind, record in RECORDS.items()
}
_CHANGE_COLUMNS = tuple(f.name for f in fields(Change))


def kind_of(entry: Entry) -> str:
    """Name of an entry's kind, as in `RECORDS`."""
    return _KIND_OF[type(entry)]


def write(file: Transaction, entry: Entry) -> None:
    """Append one entry."""
    kind = kind_of(entry)
    columns = _COLUMNS[kind]
    _insert(file, "entry", ("id", "kind", "written"), (entry.id, kind, entry.when))
    values = tuple(_kept(getattr(entry, name)) for name in columns)
    _insert(file, kind, ("id", *columns), (entry.id, *values))
    if isinstance(entry, Revision):
        for change in entry.changes:
            _insert(
                file,
                "change",
                ("revision", *_CHANGE_COLUMNS),
                (entry.number, *(_kept(getattr(change, name)) for name in _CHANGE_COLUMNS)),
            )


def last_line(file: Transaction) -> int:
    """Return the newest line of the file; 0 if there is none."""
    (line,) = file.execute("SELECT ifnull(max(id), 0) FROM entry").fetchone()
    return int(line)


def written_after(file: Transaction, line: int) -> tuple[Entry, ...]:
    """Entries that stand in the file after a line, oldest first."""
    changes: dict[int, list[Change]] = {}
    for number, *values in file.execute(
        f"SELECT revision, {', '.join(_CHANGE_COLUMNS)} FROM change WHERE revision IN"
        " (SELECT number FROM revision WHERE id > ?) ORDER BY id",
        (line,),
    ):
        row = dict(zip(_CHANGE_COLUMNS, values, strict=True))
        row["why"] = tuple(json.loads(row["why"]))
        changes.setdefault(number, []).append(Change(**row))
    found: list[Entry] = []
    for kind, columns in _COLUMNS.items():
        for line_of, when, *values in file.execute(
            f"SELECT id, written, {', '.join(columns)} FROM {kind} JOIN entry USING (id)"
            " WHERE id > ?",
            (line,),
        ):
            row = dict(zip(columns, values, strict=True), id=line_of, when=when)
            row |= {name: bool(row[name]) for name in _TRUTHS if name in row}
            if kind == "revision":
                row["changes"] = tuple(changes.get(row["number"], ()))
            found.append(RECORDS[kind](**row))
    return tuple(sorted(found, key=lambda entry: entry.id))


def lines_sent(file: Transaction, key: str) -> range | None:
    """Lines of what was written down under a key; None if nothing has come under it."""
    row = file.execute("SELECT first, last FROM sent WHERE key = ?", (key,)).fetchone()
    return None if row is None else range(row[0], row[1] + 1)


def keep_key(file: Transaction, key: str, lines: range, most: int) -> None:
    """Remember a key with its lines, and no more than so many keys: the oldest goes."""
    _insert(file, "sent", ("key", "first", "last"), (key, lines.start, lines.stop - 1))
    file.execute("DELETE FROM sent WHERE id <= (SELECT max(id) FROM sent) - ?", (most,))


def _kept(value: Any) -> Any:
    return json.dumps(value, ensure_ascii=False) if isinstance(value, tuple) else value


def _insert(
    file: Transaction, table: str, columns: tuple[str, ...], row: tuple[object, ...]
) -> None:
    marks = ", ".join("?" * len(row))
    file.execute(f"INSERT INTO {table} ({', '.join(columns)}) VALUES ({marks})", row)
