"""The ledger: what was measured, made and changed in one build.

Room: ledger. Each thing that can be said of a build is a method here, and each
question that follows from what was said. How entries are kept is in `store`.

Start at `Ledger`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType

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
from foldwright.ledger.standing import Standing
from foldwright.ledger.store import Store


class Ledger(Store):
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
    >>> from pathlib import Path
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
