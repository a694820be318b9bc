"""The ledger: an append-only file of what was measured, made and changed.

Room: ledger. What a call has returned from is on the disk (see `database`).
Nothing is ever altered or deleted; triggers in the file itself refuse it,
whoever asks. A mistake is met by a counter-entry.

A build without entries has no ledger file: reading gives nothing, and the
file is made with the first entry.

Start at `Ledger`. What it holds is in `records`, what follows from it in
`standing`, how it stands in the file in `schema` and `rows`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from datetime import UTC, datetime
from itertools import zip_longest
from pathlib import Path
from types import MappingProxyType, TracebackType
from typing import Self

from foldwright.ledger.checks import WHEN
from foldwright.ledger.database import Database, Transaction
from foldwright.ledger.records import (
    Change,
    Entry,
    Forgetting,
    Making,
    Reading,
    Revision,
    Scrap,
    StageReached,
    Withdrawal,
)
from foldwright.ledger.rows import keep_key, last_line, lines_sent, write, written_after
from foldwright.ledger.schema import FORM, STEPS, make_tables
from foldwright.ledger.standing import Standing

# Far more than any queue of unsent readings holds; a key is some 50 bytes.
_MOST_KEYS = 2000


def _utc_now() -> datetime:
    return datetime.now(UTC)


class Ledger:
    """What was measured, made and changed in one build.

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
    ...     marked = ledger.mark("lamp", "cut")
    ...     first = ledger.add_reading(
    ...         "lamp", "girth", 694.0, tool="tape", bare=True, drawn=691.2, sigma=0.5
    ...     )
    ...     taken_back = ledger.undo("read at the wrong end")
    ...     taken_back == first, len(ledger.readings()), len(ledger.history())
    (True, 0, 3)
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
        instead: bool = False,
    ) -> Reading:
        """Write down one reading of the present making, as `Reading` describes it.

        `revision` is the one that the making was begun by unless said
        otherwise, and before it is begun the latest that changed the part.

        Raises
        ------
        OutOfDomain
            A value, drawn value or sigma that is no number, a sigma that is
            not above 0, an empty name.
        """
        return self._add(
            lambda standing: Reading(
                id=standing.next_line,
                part=part,
                dim=dim,
                value=float(value),
                tool=tool,
                bare=bare,
                when=self.now(),
                note=note,
                revision=standing.revision_for(part) if revision is None else revision,
                drawn=float(drawn),
                sigma=float(sigma),
                making=standing.making_of(part),
                instead=instead,
            )
        )

    def mark(
        self, part: str, stage: str, note: str = "", *, revision: int | None = None
    ) -> StageReached:
        """Say that a part has reached a stage, one of `STAGES`; `revision` as for a reading.

        Raises
        ------
        UnknownName
            No such stage.
        OutOfDomain
            The part is there already, or further.
        """
        return self._add(
            lambda standing: StageReached(
                id=standing.next_line,
                part=part,
                stage=stage,
                when=self.now(),
                note=note,
                revision=standing.revision_for(part) if revision is None else revision,
                making=standing.making_of(part),
            )
        )

    def scrap(self, part: str, note: str = "", *, was: str = "") -> Scrap:
        """Say that what was made of a part is spoiled; it begins anew, as planned.

        Its readings no longer stand; `all_readings` and `makings` remember
        them.

        Parameters
        ----------
        part : str
        note : str
        was : str
            Earlier name of the part, as the plan has it; what the ledger
            holds under that name ends too.
        """
        return self._add(
            lambda standing: Scrap(
                id=standing.next_line,
                part=part,
                when=self.now(),
                note=note,
                making=standing.making_of(part),
                was=was,
            )
        )

    def add_revision(self, changes: Sequence[Change]) -> Revision:
        """Keep changes together as the next revision: all of them or none.

        Raises
        ------
        OutOfDomain
            No change at all, one parameter changed twice, or a value that is
            no number.
        """
        plain = tuple(
            replace(
                c,
                before=float(c.before),
                after=float(c.after),
                plan_value=float(c.plan_value),
                why=tuple(c.why),
            )
            for c in changes
        )
        return self._add(
            lambda standing: Revision(
                standing.next_revision, self.now(), plain, id=standing.next_line
            )
        )

    def forget(self, process: str, note: str = "") -> Forgetting:
        """Say that what was learnt of a process is not to be believed from here on."""
        return self._add(lambda standing: Forgetting(standing.next_line, process, self.now(), note))

    def withdraw(self, entry: int, note: str = "") -> Withdrawal:
        """Say that an entry of any kind was a mistake; it stays in `history`.

        Parameters
        ----------
        entry : int
            Its line.
        note : str

        Raises
        ------
        UnknownName
            No such line, it is withdrawn already, or it is itself a withdrawal.
        OutOfDomain
            A scrap of a part that was begun anew since.
        """
        return self._add(lambda standing: Withdrawal(standing.next_line, entry, self.now(), note))

    def undo(self, note: str = "") -> Entry:
        """Withdraw the newest entry that stands, and return it.

        Said again, it takes back the one before. A withdrawal itself is not
        taken back: write the entry down once more.

        Raises
        ------
        OutOfDomain
            Nothing stands.
        """
        taken: list[Entry] = []

        def withdrawal(standing: Standing) -> Withdrawal:
            taken.append(standing.newest())
            return Withdrawal(standing.next_line, taken[-1].id, self.now(), note)

        self._add(withdrawal)
        return taken[-1]

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
            it is written, and the key may come again.

        Returns
        -------
        range
            Lines of the entries, written now or the time before.
        """
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

    def readings(self) -> tuple[Reading, ...]:
        """Readings that stand: of the present makings, not withdrawn; oldest first."""
        return self._standing().readings()

    def all_readings(self) -> tuple[Reading, ...]:
        """Readings of scrapped makings too, which the hand can be learnt from; oldest first."""
        return self._standing().all_readings()

    def stages(self) -> Mapping[str, str]:
        """Stage of each part that was ever marked or scrapped; others are planned."""
        return MappingProxyType(self._standing().stages())

    def makings(self, part: str) -> tuple[Making, ...]:
        """Every making of a part, the present one last; a part not begun has one."""
        return self._standing().makings(part)

    def revisions(self) -> tuple[Revision, ...]:
        """Revisions that hold, oldest first."""
        return self._standing().revisions()

    def kept(self) -> Mapping[tuple[str, str], Change]:
        """Latest change that holds of each (part, parameter)."""
        latest = {
            (change.part, change.parameter): change
            for revision in self.revisions()
            for change in revision.changes
        }
        return MappingProxyType(latest)

    def forgotten(self) -> Mapping[str, Forgetting]:
        """Latest `Forgetting` that stands of each process."""
        return MappingProxyType(self._standing().forgotten())

    def standing(self) -> Standing:
        """Everything that follows from the history up to now, as of one moment."""
        return self._standing().copy()

    def _standing(self) -> Standing:
        with self._database.reading() as file:
            return Standing() if file is None else self._stands_in(file)

    def now(self) -> str:
        """Present time, as entries have it."""
        return self._clock().astimezone(UTC).strftime(WHEN)

    def _add[E: Entry](self, chosen: Callable[[Standing], E]) -> E:
        given: list[E] = []

        def choose(standing: Standing) -> tuple[E]:
            given.append(chosen(standing))
            return (given[-1],)

        self.append(choose)
        return given[-1]

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
