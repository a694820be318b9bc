"""What stands in the file: its tables, their guards, and how older files come along.

Room: ledger. A *form* is a version of the tables, kept in the file. A change
of the tables is a new form, with a step in `STEPS` that brings a file of the
form before along; the steps run in the transaction of the first write, so
that a file is wholly of one form or wholly of the other.

Every entry has a line in ``entry``, which gives its order among all others,
and a row under the same id in the table of its kind.

``sent`` is no part of the history: it holds the keys of what was sent to be
written down, so that what comes twice is written once. Old keys are dropped.

Form 1 knew readings, their withdrawals, and revisions, which had no line.
Form 2 had no keys.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType

from foldwright.ledger.database import Transaction

FORM = 3

_TABLES = """
CREATE TABLE entry (
    id       INTEGER PRIMARY KEY CHECK (id >= 1),
    kind     TEXT    NOT NULL CHECK (kind IN
             ('reading', 'stage', 'scrap', 'revision', 'forgetting', 'withdrawal')),
    written  TEXT    NOT NULL
) STRICT;
CREATE TABLE reading (
    id       INTEGER PRIMARY KEY REFERENCES entry (id),
    part     TEXT    NOT NULL CHECK (part <> ''),
    dim      TEXT    NOT NULL CHECK (dim <> ''),
    value    REAL    NOT NULL,
    tool     TEXT    NOT NULL CHECK (tool <> ''),
    bare     INTEGER NOT NULL CHECK (bare IN (0, 1)),
    note     TEXT    NOT NULL,
    revision INTEGER NOT NULL CHECK (revision >= 0),
    drawn    REAL    NOT NULL,
    sigma    REAL    NOT NULL CHECK (sigma > 0),
    making   INTEGER NOT NULL CHECK (making >= 1),
    instead  INTEGER NOT NULL CHECK (instead IN (0, 1))
) STRICT;
CREATE TABLE stage (
    id       INTEGER PRIMARY KEY REFERENCES entry (id),
    part     TEXT    NOT NULL CHECK (part <> ''),
    stage    TEXT    NOT NULL CHECK (stage <> ''),
    note     TEXT    NOT NULL,
    revision INTEGER NOT NULL CHECK (revision >= 0),
    making   INTEGER NOT NULL CHECK (making >= 1)
) STRICT;
CREATE TABLE scrap (
    id       INTEGER PRIMARY KEY REFERENCES entry (id),
    part     TEXT    NOT NULL CHECK (part <> ''),
    note     TEXT    NOT NULL,
    making   INTEGER NOT NULL CHECK (making >= 1),
    was      TEXT    NOT NULL CHECK (was <> part)
) STRICT;
CREATE TABLE revision (
    id       INTEGER PRIMARY KEY REFERENCES entry (id),
    number   INTEGER NOT NULL UNIQUE CHECK (number >= 1)
) STRICT;
CREATE TABLE change (
    id         INTEGER PRIMARY KEY,
    revision   INTEGER NOT NULL REFERENCES revision (number),
    part       TEXT    NOT NULL CHECK (part <> ''),
    parameter  TEXT    NOT NULL CHECK (parameter <> ''),
    before     REAL    NOT NULL,
    after      REAL    NOT NULL,
    plan_value REAL    NOT NULL,
    why        TEXT    NOT NULL,
    UNIQUE (revision, part, parameter)
) STRICT;
CREATE TABLE forgetting (
    id       INTEGER PRIMARY KEY REFERENCES entry (id),
    process  TEXT    NOT NULL CHECK (process <> ''),
    note     TEXT    NOT NULL
) STRICT;
CREATE TABLE withdrawal (
    id       INTEGER PRIMARY KEY REFERENCES entry (id),
    entry    INTEGER NOT NULL UNIQUE REFERENCES entry (id) CHECK (entry < id),
    note     TEXT    NOT NULL
) STRICT;
"""
_KEYS = """
CREATE TABLE sent (
    id       INTEGER PRIMARY KEY,
    key      TEXT    NOT NULL UNIQUE CHECK (key <> ''),
    first    INTEGER NOT NULL,
    last     INTEGER NOT NULL
) STRICT;
"""

# "INSERT OR REPLACE" deletes without asking the delete trigger, hence the third kind.
_GUARDS = """
CREATE TRIGGER {table}_keeps_its_words BEFORE UPDATE ON {table}
BEGIN SELECT RAISE(ABORT, 'the ledger is append-only'); END;
CREATE TRIGGER {table}_keeps_its_lines BEFORE DELETE ON {table}
BEGIN SELECT RAISE(ABORT, 'the ledger is append-only'); END;
CREATE TRIGGER {table}_is_not_replaced BEFORE INSERT ON {table}
WHEN {clash}
BEGIN SELECT RAISE(ABORT, 'the ledger is append-only'); END;
"""
# A row of a kind, or a change, goes with the newest line alone: adding to an older entry
# would alter it.
_NOT_NEWEST = "NEW.id <> (SELECT max(id) FROM entry)"
_CLASHES = {
    "entry": "NEW.id <= (SELECT max(id) FROM entry)",
    "reading": f"{_NOT_NEWEST} OR EXISTS (SELECT 1 FROM reading WHERE id = NEW.id)",
    "stage": f"{_NOT_NEWEST} OR EXISTS (SELECT 1 FROM stage WHERE id = NEW.id)",
    "scrap": f"{_NOT_NEWEST} OR EXISTS (SELECT 1 FROM scrap WHERE id = NEW.id)",
    "revision": f"{_NOT_NEWEST} OR EXISTS"
    " (SELECT 1 FROM revision WHERE id = NEW.id OR number = NEW.number)",
    "change": "EXISTS (SELECT 1 FROM change WHERE id = NEW.id OR (revision = NEW.revision"
    " AND part = NEW.part AND parameter = NEW.parameter)) OR EXISTS (SELECT 1 FROM revision"
    " WHERE number = NEW.revision AND id <> (SELECT max(id) FROM entry))",
    "forgetting": f"{_NOT_NEWEST} OR EXISTS (SELECT 1 FROM forgetting WHERE id = NEW.id)",
    "withdrawal": f"{_NOT_NEWEST} OR EXISTS (SELECT 1 FROM withdrawal"
    " WHERE id = NEW.id OR entry = NEW.entry OR id = NEW.entry)",
}


def make_tables(file: Transaction) -> None:
    """Make the tables and their guards in a file that has none."""
    _make_entries(file)
    _make_keys(file)


def _make_entries(file: Transaction) -> None:
    statements = [s for s in _TABLES.split(";\n") if s.strip()]
    for table, clash in _CLASHES.items():
        guards = _GUARDS.format(table=table, clash=clash).split("END;\n")
        statements += [f"{guard}END" for guard in guards if guard.strip()]
    for statement in statements:  # one by one: executescript would end the transaction
        file.execute(statement)


def _make_keys(file: Transaction) -> None:
    """Make the table of keys; what `sent` has is lines of entries, from first to last."""
    file.execute(_KEYS.strip().removesuffix(";"))


def _from_form_1(file: Transaction) -> None:
    """Give revisions their lines; all else is carried over as it stands.

    A revision stood outside the count of lines. It is put where it was kept,
    between the readings, and the lines after it count on from there.
    """
    entries = file.execute(
        "SELECT id, written, revision FROM reading"
        " UNION ALL SELECT id, written, 0 FROM withdrawal ORDER BY id"
    ).fetchall()
    revisions = file.execute("SELECT number, written FROM revision ORDER BY number").fetchall()
    kinds = {
        "reading": file.execute(
            "SELECT id, part, dim, value, tool, bare, note, revision, drawn, sigma, 1, 0"
            " FROM reading"
        ).fetchall(),
        "withdrawal": file.execute("SELECT id, reading, note FROM withdrawal").fetchall(),
    }
    changes = file.execute(
        "SELECT id, revision, part, parameter, before, after, plan_value, why FROM change"
        " ORDER BY id"
    ).fetchall()
    for table in ("withdrawal", "reading", "change", "revision"):  # what points before its target
        file.execute(f"DROP TABLE {table}")
    _make_entries(file)
    rows = {row[0]: (kind, row) for kind, found in kinds.items() for row in found}
    new_line: dict[int, int] = {}
    for line, (old, number, written) in enumerate(_in_order(entries, revisions), start=1):
        if number:
            _insert(file, "entry", (line, "revision", written))
            _insert(file, "revision", (line, number))
            for row in changes:
                if row[1] == number:
                    _insert(file, "change", row)
            continue
        kind, row = rows[old]
        new_line[old] = line
        _insert(file, "entry", (line, kind, written))
        if kind == "withdrawal":
            _insert(file, kind, (line, new_line[row[1]], row[2]))
        else:
            _insert(file, kind, (line, *row[1:]))


def _in_order(
    entries: list[tuple[int, str, int]], revisions: list[tuple[int, str]]
) -> list[tuple[int, int, str]]:
    """Merge by time; each is (old line, 0, written) or (0, number of the revision, written).

    A reading that was taken under a revision comes after it, whatever the clock
    said. Within one second a refit follows what was read.
    """
    found: list[tuple[int, int, str]] = []
    waiting = list(revisions)
    for line, written, under in entries:
        while waiting and (waiting[0][0] <= under or waiting[0][1] < written):
            found.append((0, *waiting.pop(0)))
        found.append((line, 0, written))
    return found + [(0, *revision) for revision in waiting]


def _insert(file: Transaction, table: str, row: tuple[object, ...]) -> None:
    file.execute(f"INSERT INTO {table} VALUES ({', '.join('?' * len(row))})", row)


# What brings a file of each older form to the next one.
STEPS: Mapping[int, Callable[[Transaction], None]] = MappingProxyType(
    {1: _from_form_1, 2: _make_keys}
)
