"""The one place that knows SQLite: opening, transactions, and its errors in words.

Room: ledger. `Database` holds one file. A file is made by the first write,
never by a read. Each write is one transaction in SQLite's write-ahead log,
synced in full before it returns (some milliseconds, which a reading typed by
hand does not feel). Before a file is used it is looked over: it must be
whole, ours, and of a form that this version knows.

What stands in the file is the affair of `schema`, which makes the tables and
brings those of an older version along. A write does so in the file, in its own
transaction; a read leaves the file as it is and looks at a copy in memory.
"""

from __future__ import annotations

import sqlite3
import time
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

from foldwright.errors import LedgerTrouble

_APPLICATION = 0x46574C47  # "FWLG": says whose file this is, kept in application_id
_REFUSALS = (
    sqlite3.SQLITE_READONLY,
    sqlite3.SQLITE_CANTOPEN,
    sqlite3.SQLITE_PERM,
    sqlite3.SQLITE_AUTH,
)

type Transaction = sqlite3.Connection


class Database:
    """One file of ours, opened when it is first needed.

    Parameters
    ----------
    path : Path
        The file; it need not exist yet.
    form : int
        Version of the tables, kept in user_version.
    make_tables : callable
        Makes them in a file that has none.
    steps : mapping
        From each older form, what brings a file to the next one.
    patience : float
        How long to wait for another writer [s].
    """

    def __init__(
        self,
        path: Path,
        *,
        form: int,
        make_tables: Callable[[Transaction], None],
        steps: Mapping[int, Callable[[Transaction], None]],
        patience: float,
    ) -> None:
        self.path = path
        self._form = form
        self._make_tables = make_tables
        self._steps = steps
        self._patience = patience
        self._connection: sqlite3.Connection | None = None

    def close(self) -> None:
        """Let go of the file; it is opened again when next used."""
        if self._connection is not None:
            self._connection.close()
            self._connection = None

    def damage(self, verdict: str) -> LedgerTrouble:
        """Return the fault of a file that does not hold together; `verdict` says where."""
        return LedgerTrouble(
            f"{self.path} is damaged ({verdict}). Nothing was changed. Put back a copy of it, "
            "or move it away and type the readings in anew."
        )

    @contextmanager
    def reading(self) -> Iterator[Transaction | None]:
        """Yield one consistent view of the file; None if nothing was ever written."""
        with self._in_words():
            if self._connection is None and not self.path.exists():
                yield None
                return
            connection = self._connection = self._connection or self._opened(create=False)
            if _is_writing(connection):  # and sees what it has written itself
                yield connection
                return
            connection.execute("BEGIN")
            try:
                form = self._form_of(connection)
                if form in (0, self._form):
                    yield connection if form else None
                else:
                    with self._brought_along(connection) as copy:
                        yield copy
            finally:
                if connection.in_transaction:
                    connection.execute("ROLLBACK")

    @contextmanager
    def writing(self) -> Iterator[Transaction]:
        """One transaction: on the disk when the block ends, undone if it raises.

        A block inside another is part of it.
        """
        with self._in_words():
            connection = self._connection = self._connection or self._opened(create=True)
            if _is_writing(connection):
                yield connection
                return
            connection.execute("BEGIN IMMEDIATE")
            try:
                self._bring_along(connection)
                yield connection
                connection.execute("COMMIT")
            except BaseException:
                if connection.in_transaction:  # SQLite undoes some failures by itself
                    connection.execute("ROLLBACK")
                raise

    @contextmanager
    def rehearsing(self) -> Iterator[None]:
        """Read and write an empty file in memory instead, which ends with the block.

        It tells what is refused without making a file. Taking away again what a block
        of `writing` made would not do: another program may write to it already.
        """
        self.close()
        connection = sqlite3.connect(":memory:", isolation_level=None)
        try:
            connection.execute("BEGIN")  # blocks inside are part of it, as in `writing`
            self._bring_along(connection)
            self._connection = connection
            yield
        finally:
            self._connection = None
            connection.close()

    def _opened(self, *, create: bool) -> sqlite3.Connection:
        connection = self._connected("rwc" if create else "rw")
        try:
            self._look_over(connection)
            self._use_log(connection)
        except sqlite3.OperationalError as error:
            connection.close()
            if create or _code(error) not in _REFUSALS or self._log_waits():
                raise
            # A write-ahead log needs a writable folder even to read. A ledger on a
            # write-protected card can still be read as it lies, since the last
            # program to close it merged the log.
            connection = self._connected("ro&immutable=1")
            try:
                self._look_over(connection)
            except BaseException:
                connection.close()
                raise
        except BaseException:
            connection.close()
            raise
        return connection

    def _connected(self, mode: str) -> sqlite3.Connection:
        return sqlite3.connect(
            f"{self.path.absolute().as_uri()}?mode={mode}",
            uri=True,
            timeout=self._patience,
            isolation_level=None,  # transactions are begun and ended in sight, here
        )

    def _log_waits(self) -> bool:
        """Return whether entries stand in the write-ahead log alone."""
        log = self.path.with_name(f"{self.path.name}-wal")
        return log.exists() and log.stat().st_size > 0

    def _look_over(self, connection: sqlite3.Connection) -> None:
        for setting in (
            "synchronous = FULL",  # NORMAL may lose the last entries when the power fails
            "fullfsync = ON",  # the same promise on systems where fsync alone does not keep it
            "foreign_keys = ON",
            "recursive_triggers = ON",
            "trusted_schema = OFF",
        ):
            connection.execute(f"PRAGMA {setting}")
        self._form_of(connection)
        (verdict,) = connection.execute("PRAGMA quick_check(1)").fetchone()
        if verdict != "ok":
            raise self.damage(verdict)

    def _use_log(self, connection: sqlite3.Connection) -> None:
        """Turn on the write-ahead log; SQLite does not wait for others here, so we do."""
        deadline = time.monotonic() + self._patience
        while True:
            try:
                connection.execute("PRAGMA journal_mode = WAL")
                return
            except sqlite3.OperationalError as error:
                if _code(error) != sqlite3.SQLITE_BUSY or time.monotonic() > deadline:
                    raise
                time.sleep(0.02)

    def _form_of(self, connection: sqlite3.Connection) -> int:
        """Return the form of the tables; 0 for a file with nothing in it yet."""
        (form,) = connection.execute("PRAGMA user_version").fetchone()
        (application,) = connection.execute("PRAGMA application_id").fetchone()
        if application == _APPLICATION and (form == self._form or form in self._steps):
            return int(form)
        if application == _APPLICATION:
            raise LedgerTrouble(
                f"{self.path} was written by a newer Foldwright (form {form}, this one knows "
                f"{self._form}). Nothing was changed. Update Foldwright, then do this again."
            )
        (things,) = connection.execute("SELECT count(*) FROM sqlite_schema").fetchone()
        if things or form or application:
            raise LedgerTrouble(
                f"{self.path} is a database, but no ledger of Foldwright's. Nothing was changed. "
                "Move it elsewhere, or give another folder."
            )
        return 0

    def _bring_along(self, connection: sqlite3.Connection) -> None:
        """Make the tables, or bring older ones to the present form, in the open transaction."""
        form = self._form_of(connection)
        if form == self._form:
            return
        if form == 0:
            self._make_tables(connection)
            connection.execute(f"PRAGMA application_id = {_APPLICATION}")
        else:
            for older in range(form, self._form):
                self._steps[older](connection)
        connection.execute(f"PRAGMA user_version = {self._form}")

    @contextmanager
    def _brought_along(self, connection: sqlite3.Connection) -> Iterator[Transaction]:
        """Yield a copy in memory of an older file, in the present form."""
        copy = sqlite3.connect(":memory:", isolation_level=None)
        try:
            connection.backup(copy)
            self._bring_along(copy)
            yield copy
        finally:
            copy.close()

    @contextmanager
    def _in_words(self) -> Iterator[None]:
        """Translate what SQLite and the file system raise to `LedgerTrouble`."""
        try:
            yield
        except LedgerTrouble:
            raise
        except sqlite3.Error as error:
            raise LedgerTrouble(self._trouble(error)) from error
        except OSError as error:
            raise LedgerTrouble(
                f"{self.path} cannot be used: {error.strerror}. Nothing was written. "
                "Check the folder and who owns it."
            ) from error

    def _trouble(self, error: sqlite3.Error) -> str:
        code = _code(error)
        if code in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
            return (
                f"{self.path} has been in use by another program for more than "
                f"{self._patience:g} s. Nothing was written. "
                "Close the other program, then do this again."
            )
        if code in (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB):
            return str(self.damage(str(error)))
        if code == sqlite3.SQLITE_FULL:
            return (
                f"The disk is full: {self.path} did not take this entry and holds all earlier "
                "ones. Make room, then do this again."
            )
        if code in _REFUSALS and not self.path.parent.is_dir():
            return f"There is no folder {self.path.parent}. Give the folder that holds plan.toml."
        if code in _REFUSALS:
            return (
                f"{self.path} cannot be opened for writing. Nothing was written. Check who owns "
                "the file and its folder, and that the disk is not write-protected."
            )
        return (
            f"{self.path} could not be used: {error}. Nothing was written. "
            "Check the disk, then do this again."
        )


def _is_writing(connection: Transaction) -> bool:
    """Whether a block of `Database.writing` is open round the caller."""
    return connection.in_transaction


def _code(error: sqlite3.Error) -> int:
    """Primary result code of SQLite; 0 if the error came from elsewhere."""
    return int(getattr(error, "sqlite_errorcode", 0)) & 0xFF
