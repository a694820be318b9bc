"""Ledgers as they were written before stages and scraps: the tables of form 1, word for word."""

import sqlite3

TABLES = """
CREATE TABLE reading (
    id       INTEGER PRIMARY KEY,
    part     TEXT    NOT NULL CHECK (part <> ''),
    dim      TEXT    NOT NULL CHECK (dim <> ''),
    value    REAL    NOT NULL,
    tool     TEXT    NOT NULL CHECK (tool <> ''),
    bare     INTEGER NOT NULL CHECK (bare IN (0, 1)),
    written  TEXT    NOT NULL,
    note     TEXT    NOT NULL,
    revision INTEGER NOT NULL CHECK (revision >= 0),
    drawn    REAL    NOT NULL,
    sigma    REAL    NOT NULL CHECK (sigma > 0)
) STRICT;
CREATE TABLE withdrawal (
    id       INTEGER PRIMARY KEY,
    reading  INTEGER NOT NULL UNIQUE REFERENCES reading (id),
    written  TEXT    NOT NULL,
    note     TEXT    NOT NULL
) STRICT;
CREATE TABLE revision (
    number   INTEGER PRIMARY KEY CHECK (number >= 1),
    written  TEXT    NOT NULL
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
"""
GUARDS = """
CREATE TRIGGER {table}_keeps_its_words BEFORE UPDATE ON {table}
BEGIN SELECT RAISE(ABORT, 'the ledger is append-only'); END;
CREATE TRIGGER {table}_keeps_its_lines BEFORE DELETE ON {table}
BEGIN SELECT RAISE(ABORT, 'the ledger is append-only'); END;
CREATE TRIGGER {table}_is_not_replaced BEFORE INSERT ON {table}
WHEN EXISTS (SELECT 1 FROM {table} WHERE {clash})
BEGIN SELECT RAISE(ABORT, 'the ledger is append-only'); END;
"""
CLASHES = {
    "reading": "id = NEW.id",
    "withdrawal": "id = NEW.id OR reading = NEW.reading",
    "revision": "number = NEW.number",
    "change": "id = NEW.id OR (revision = NEW.revision AND part = NEW.part"
    " AND parameter = NEW.parameter)",
}
ROWS = """
INSERT INTO reading VALUES (1, 'lamp', 'girth', 694.03, 'tape', 1, '2026-03-01T12:00:00Z',
    'größer', 0, 691.15, 0.5);
INSERT INTO reading VALUES (2, 'lamp', 'girth', 649.03, 'tape', 1, '2026-03-01T12:01:00Z',
    '', 0, 691.15, 0.5);
INSERT INTO withdrawal VALUES (3, 2, '2026-03-01T12:02:00Z', 'figures swapped');
INSERT INTO revision VALUES (1, '2026-03-01T12:03:00Z');
INSERT INTO change VALUES (1, 1, 'lamp_cap', 'outside_d', 219.72, 220.9, 219.72,
    '["the lamp is 0.9 large"]');
INSERT INTO change VALUES (2, 1, 'lid', 'depth', 420.0, 421.5, 420.0, '[]');
INSERT INTO reading VALUES (4, 'base', 'width', 500.25, 'rule', 0, '2026-03-01T12:04:00Z',
    '', 0, 500.0, 0.25);
INSERT INTO revision VALUES (2, '2026-03-01T12:05:00Z');
INSERT INTO change VALUES (3, 2, 'lid', 'depth', 421.5, 421.0, 420.0, '[]');
INSERT INTO reading VALUES (5, 'lid', 'depth', 421.25, 'rule', 1, '2026-03-01T12:06:00Z',
    '', 2, 421.0, 0.25);
"""


def write_first_form(path, rows=ROWS):
    """Make a ledger of form 1 with these rows, as its own program did, and close it."""
    file = sqlite3.connect(path)
    try:
        file.execute("PRAGMA journal_mode = WAL")
        guards = "".join(GUARDS.format(table=t, clash=c) for t, c in CLASHES.items())
        file.executescript(
            TABLES
            + guards
            + rows
            + f"PRAGMA application_id = {0x46574C47}; PRAGMA user_version = 1;"
        )
    finally:
        file.close()
