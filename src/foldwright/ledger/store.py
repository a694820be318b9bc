"""The ledger: an append-only file of what was measured and what was changed.

Room: ledger. What a call has returned from is on the disk (see `database`).
Nothing is ever altered or deleted; triggers in the file itself refuse it,
whoever asks. A mistake is met by a counter-entry.

A build without readings has no ledger file: reading gives nothing, and the
file is made with the first entry.

Start at `Ledger`; `_TABLES` is what stands in the file.
"""

from __future__ import annotations

import json
import math
from collections.abc import Callable, Mapping, Sequence
from datetime import UTC, datetime
from pathlib import Path
from types import MappingProxyType, TracebackType
from typing import Any, Self

from foldwright.errors import OutOfDomain, UnknownName
from foldwright.ledger.database import Database, Transaction
from foldwright.ledger.records import Change, Reading, Revision, Withdrawal

_FORM = 1  # of the tables below; a change of them is a new form, and brings old files along

# Readings and withdrawals share one count of lines, so that their order stays known
# also within one second.
_TABLES = """
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

# "INSERT OR REPLACE" deletes without asking the delete trigger, hence the third kind.
_GUARDS = """
CREATE TRIGGER {table}_keeps_its_words BEFORE UPDATE ON {table}
BEGIN SELECT RAISE(ABORT, 'the ledger is append-only'); END;
CREATE TRIGGER {table}_keeps_its_lines BEFORE DELETE ON {table}
BEGIN SELECT RAISE(ABORT, 'the ledger is append-only'); END;
CREATE TRIGGER {table}_is_not_replaced BEFORE INSERT ON {table}
WHEN EXISTS (SELECT 1 FROM {table} WHERE {clash})
BEGIN SELECT RAISE(ABORT, 'the ledger is append-only'); END;
"""
_CLASHES = {
    "reading": "id = NEW.id",
    "withdrawal": "id = NEW.id OR reading = NEW.reading",
    "revision": "number = NEW.number",
    "change": "id = NEW.id OR (revision = NEW.revision AND part = NEW.part"
    " AND parameter = NEW.parameter)",
}

_READING_COLUMNS = "id, part, dim, value, tool, bare, written, note, revision, drawn, sigma"
_CHANGE_COLUMNS = "part, parameter, before, after, plan_value, why"


def _utc_now() -> datetime:
    return datetime.now(UTC)


class Ledger:
    """What was measured and changed in one build.

    Several programs may use one ledger at once; a writer waits for its turn.
    An object belongs to the thread that made it. Use it in a ``with``
    statement, or call `close`.

    Parameters
    ----------
    path : Path
        The file, ``ledger.sqlite`` beside the plan. It need not exist yet.
    patience : float
        How long to wait for another writer [s].
    clock : callable
        Gives the present time.

    Raises
    ------
    LedgerTrouble
        By every method: the file is damaged, locked, read-only, from a newer
        version or no ledger, or the disk is full. Nothing in it was changed.

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder, Ledger(Path(folder, "ledger.sqlite")) as ledger:
    ...     first = ledger.add_reading(
    ...         "lamp", "girth", 694.0, tool="tape", bare=True, drawn=691.2, sigma=0.5
    ...     )
    ...     withdrawn = ledger.withdraw(first.id, "read at the wrong end")
    ...     len(ledger.readings()), len(ledger.history())
    (0, 2)
    """

    def __init__(
        self,
        path: Path,
        *,
        patience: float = 10.0,
        clock: Callable[[], datetime] = _utc_now,
    ) -> None:
        self.path = path
        self._clock = clock
        self._database = Database(path, form=_FORM, schema=_statements(), patience=patience)

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    def close(self) -> None:
        """Let go of the file; the ledger opens again when it is next used."""
        self._database.close()

    def add_reading(
        self,
        part: str,
        dim: str,
        value: float,
        *,
        tool: str,
        bare: bool,
        drawn: float,
        sigma: float,
        note: str = "",
        revision: int | None = None,
    ) -> Reading:
        """Write down one reading, as `Reading` describes it.

        `revision` is the latest one unless said otherwise.

        Raises
        ------
        OutOfDomain
            A value, drawn value or sigma that is no number, a sigma that is
            not above 0, an empty name.
        """
        for name, text in {"part": part, "dim": dim, "tool": tool}.items():
            _require_name(name, text)
        for name, number in {"value": value, "drawn": drawn, "sigma": sigma}.items():
            _require_finite(name, number)
        if sigma <= 0.0:
            raise OutOfDomain(
                f"sigma is {sigma:g}, a reading is never surer than its tool. "
                "Give one standard deviation, more than 0.",
                name="sigma",
            )
        with self._database.writing() as file:
            if revision is None:
                (revision,) = file.execute("SELECT ifnull(max(number), 0) FROM revision").fetchone()
            reading = Reading(
                id=_next_line(file),
                part=part,
                dim=dim,
                value=float(value),
                tool=tool,
                bare=bare,
                when=self._now(),
                note=note,
                revision=revision,
                drawn=float(drawn),
                sigma=float(sigma),
            )
            _insert(
                file,
                "reading",
                _READING_COLUMNS,
                (
                    reading.id,
                    part,
                    dim,
                    reading.value,
                    tool,
                    int(bare),
                    reading.when,
                    note,
                    revision,
                    reading.drawn,
                    reading.sigma,
                ),
            )
        return reading

    def withdraw(self, reading_id: int, note: str) -> Withdrawal:
        """Say that a reading was a mistake; it stays in `history`.

        Raises
        ------
        UnknownName
            No such reading, or it is withdrawn already.
        """
        with self._database.writing() as file:
            standing = [
                line
                for (line,) in file.execute(
                    "SELECT id FROM reading WHERE id NOT IN (SELECT reading FROM withdrawal)"
                    " ORDER BY id"
                )
            ]
            if reading_id not in standing:
                raise UnknownName("reading to withdraw", str(reading_id), map(str, standing))
            entry = Withdrawal(_next_line(file), reading_id, self._now(), note)
            _insert(
                file,
                "withdrawal",
                "id, reading, written, note",
                (entry.id, entry.reading, entry.when, note),
            )
        return entry

    def add_revision(self, changes: Sequence[Change]) -> Revision:
        """Keep changes together as the next revision: all of them or none.

        Raises
        ------
        OutOfDomain
            No change at all, one parameter changed twice, or a value that is
            no number.
        """
        if not changes:
            raise OutOfDomain(
                "a revision without a change says nothing. Keep a refit that changes something.",
                name="changes",
            )
        seen: set[tuple[str, str]] = set()
        for change in changes:
            _check_change(change)
            key = (change.part, change.parameter)
            if key in seen:
                raise OutOfDomain(
                    f"{change.part}.{change.parameter} is changed twice in one revision. "
                    "Give one change for each parameter.",
                    name="changes",
                )
            seen.add(key)
        with self._database.writing() as file:
            (last,) = file.execute("SELECT ifnull(max(number), 0) FROM revision").fetchone()
            revision = Revision(last + 1, self._now(), tuple(changes))
            _insert(file, "revision", "number, written", (revision.number, revision.when))
            for c in changes:
                _insert(
                    file,
                    "change",
                    f"revision, {_CHANGE_COLUMNS}",
                    (
                        revision.number,
                        c.part,
                        c.parameter,
                        float(c.before),
                        float(c.after),
                        float(c.plan_value),
                        json.dumps(c.why, ensure_ascii=False),
                    ),
                )
        return revision

    def readings(self) -> tuple[Reading, ...]:
        """Readings that stand, oldest first."""
        history = self.history()
        withdrawn = {entry.reading for entry in history if isinstance(entry, Withdrawal)}
        return tuple(
            entry for entry in history if isinstance(entry, Reading) and entry.id not in withdrawn
        )

    def history(self) -> tuple[Reading | Withdrawal, ...]:
        """Every reading and withdrawal ever written down, oldest first."""
        with self._database.reading() as file:
            if file is None:
                return ()
            entries: list[Reading | Withdrawal] = [
                _reading_from(row)
                for row in file.execute(f"SELECT {_READING_COLUMNS} FROM reading")
            ]
            entries += [
                Withdrawal(*row)
                for row in file.execute("SELECT id, reading, written, note FROM withdrawal")
            ]
        return tuple(sorted(entries, key=lambda entry: entry.id))

    def revisions(self) -> tuple[Revision, ...]:
        """Every revision, oldest first."""
        with self._database.reading() as file:
            if file is None:
                return ()
            changes: dict[int, list[Change]] = {}
            for number, *row in file.execute(
                f"SELECT revision, {_CHANGE_COLUMNS} FROM change ORDER BY id"
            ):
                changes.setdefault(number, []).append(_change_from(row))
            return tuple(
                Revision(number, when, tuple(changes.get(number, ())))
                for number, when in file.execute(
                    "SELECT number, written FROM revision ORDER BY number"
                )
            )

    def kept(self) -> Mapping[tuple[str, str], Change]:
        """Latest change of each (part, parameter) that was ever changed."""
        latest = {
            (change.part, change.parameter): change
            for revision in self.revisions()
            for change in revision.changes
        }
        return MappingProxyType(latest)

    def _now(self) -> str:
        return self._clock().astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def _next_line(file: Transaction) -> int:
    (last,) = file.execute(
        "SELECT max((SELECT ifnull(max(id), 0) FROM reading),"
        " (SELECT ifnull(max(id), 0) FROM withdrawal))"
    ).fetchone()
    return int(last) + 1


def _insert(file: Transaction, table: str, columns: str, row: tuple[object, ...]) -> None:
    marks = ", ".join("?" * len(row))
    file.execute(f"INSERT INTO {table} ({columns}) VALUES ({marks})", row)


def _reading_from(row: Sequence[Any]) -> Reading:
    line, part, dim, value, tool, bare, when, note, revision, drawn, sigma = row
    return Reading(line, part, dim, value, tool, bool(bare), when, note, revision, drawn, sigma)


def _change_from(row: Sequence[Any]) -> Change:
    part, parameter, before, after, plan_value, why = row
    return Change(part, parameter, before, after, plan_value, tuple(json.loads(why)))


def _statements() -> list[str]:
    """Statements that make the tables and their guards, one by one."""
    tables = [s for s in _TABLES.split(";\n") if s.strip()]
    guards = [
        f"{guard}END"
        for table, clash in _CLASHES.items()
        for guard in _GUARDS.format(table=table, clash=clash).split("END;\n")
        if guard.strip()
    ]
    return tables + guards


def _check_change(change: Change) -> None:
    _require_name("part", change.part)
    _require_name("parameter", change.parameter)
    for name in ("before", "after", "plan_value"):
        _require_finite(name, getattr(change, name))


def _require_name(name: str, text: str) -> None:
    if not text:
        raise OutOfDomain(f"{name} is empty. Give the {name} that the plan names.", name=name)


def _require_finite(name: str, number: float) -> None:
    if not math.isfinite(number):
        raise OutOfDomain(
            f"{name} is {number:g}, which is no measure. Give a plain number.", name=name
        )
