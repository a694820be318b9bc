"""The store: an append-only file of entries, and what stands in it.

Room: ledger. What a call has returned from is on the disk (see `database`).
Nothing is ever altered or deleted; triggers in the file itself refuse it,
whoever asks. A mistake is met by a counter-entry.

A build without entries has no ledger file: reading gives nothing, and the
file is made with the first entry that is not refused.

`Ledger` gives the store its words; what it holds is in `records`, what
follows from it in `standing`, how it stands in the file in `schema` and `rows`.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import UTC, datetime
from itertools import zip_longest
from pathlib import Path
from types import TracebackType
from typing import Self

from foldwright.ledger.checks import WHEN
from foldwright.ledger.database import Database, Transaction
from foldwright.ledger.records import Entry
from foldwright.ledger.rows import keep_key, last_line, lines_sent, write, written_after
from foldwright.ledger.schema import FORM, STEPS, make_tables
from foldwright.ledger.standing import Standing

# Far more than any queue of unsent readings holds; a key is some 50 bytes.
_MOST_KEYS = 2000


def _utc_now() -> datetime:
    return datetime.now(UTC)


class Store:
    """Entries of one build in their file; parameters and errors as of `Ledger`."""

    def __init__(
        self,
        path: Path,
        *,
        patience: float = 10.0,
        clock: Callable[[], datetime] = _utc_now,
    ) -> None:
        self.path = path
        self._clock = clock
        self._database = Database(
            path, form=FORM, make_tables=make_tables, steps=STEPS, patience=patience
        )
        self._seen_in: Transaction | None = None
        self._seen = Standing()

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
        self._look_afresh()

    def append(self, choose: Callable[[Standing], Sequence[Entry]]) -> tuple[Entry, ...]:
        """Write down what `choose` gives for what stands: all of it or nothing.

        Nobody else writes in between. `choose` may be asked twice, and leaves
        its argument as it is.

        Raises
        ------
        OutOfDomain, UnknownName
            An entry may not follow (see `Standing.require`).
        """
        if not self.path.exists() and not _chosen(choose, Standing()):
            return ()  # and what is refused raises here, before a file is made
        try:
            with self._database.writing() as file:
                entries = _chosen(choose, self._stands_in(file))
                for entry in entries:
                    write(file, entry)
        except BaseException:
            self._look_afresh()  # it may tell of tables that were not brought along
            raise
        return entries

    def once(self, key: str, act: Callable[[], object]) -> range:
        """Do something to this ledger in one transaction, and once only for each key.

        The key is written down with the entries, so that either both are there
        or neither; of two programs that come with one key, one acts.

        Parameters
        ----------
        key : str
            What was sent is known by it; without one, it is acted every time.
        act : callable
            Writes to this ledger by its other methods. If it raises, nothing of
            it is written, and the key may come again. It may be asked
            twice.

        Returns
        -------
        range
            Lines of the entries, written now or the time before.
        """
        if not self.path.exists():  # what is refused raises before a file is made
            self._rehearse(act)
        try:
            with self._database.writing() as file:
                before = lines_sent(file, key) if key else None
                if before is not None:
                    return before
                first = last_line(file) + 1
                act()
                lines = range(first, last_line(file) + 1)
                if key:
                    keep_key(file, key, lines, _MOST_KEYS)
                return lines
        except BaseException:
            self._look_afresh()
            raise

    def sent(self, key: str) -> range | None:
        """Lines of what was written down under a key; None if nothing has come under it."""
        with self._database.reading() as file:
            return lines_sent(file, key) if file is not None and key else None

    def history(self) -> tuple[Entry, ...]:
        """Everything that was ever written down, withdrawn or not, oldest first."""
        return self._standing().entries

    def standing(self) -> Standing:
        """Everything that follows from the history up to now, as of one moment."""
        return self._standing().copy()

    def now(self) -> str:
        """Present time, as entries have it."""
        return self._clock().astimezone(UTC).strftime(WHEN)

    def _rehearse(self, act: Callable[[], object]) -> None:
        """Do something to a ledger in memory that nothing was written into yet."""
        self._look_afresh()
        try:
            with self._database.rehearsing():
                act()
        finally:
            self._look_afresh()

    def _add[E: Entry](self, chosen: Callable[[Standing], E]) -> E:
        given: list[E] = []

        def choose(standing: Standing) -> tuple[E]:
            given.append(chosen(standing))
            return (given[-1],)

        self.append(choose)
        return given[-1]

    def _standing(self) -> Standing:
        with self._database.reading() as file:
            return Standing() if file is None else self._stands_in(file)

    def _stands_in(self, file: Transaction) -> Standing:
        """What stands in a file, read on from where it was last seen: lines never change."""
        if file is not self._seen_in:
            self._seen_in, self._seen = file, Standing()
        entries = written_after(file, self._seen.next_line - 1)
        lines = [entry.id for entry in entries]
        expected = range(self._seen.next_line, last_line(file) + 1)
        for line, wanted in zip_longest(lines, expected):
            if line != wanted:
                raise self._database.damage(f"entry {wanted or line} is not whole")
        for entry in entries:
            self._seen.add(entry)
        return self._seen

    def _look_afresh(self) -> None:
        self._seen_in, self._seen = None, Standing()


def _chosen(choose: Callable[[Standing], Sequence[Entry]], standing: Standing) -> tuple[Entry, ...]:
    """What is to be written, every entry of it held against those before."""
    entries = tuple(choose(standing))
    if len(entries) > 1:
        standing = standing.copy()
    for entry in entries:
        standing.require(entry)
        if len(entries) > 1:
            standing.add(entry)
    return entries
