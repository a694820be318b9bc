"""What stands: the meaning of a run of entries, in plain Python.

Room: ledger. Nothing in the ledger is ever altered, so what holds now is
worked out from all that was said, in order. `Standing` takes one entry after
another, says of the next whether it may follow (`require`), and answers what
stands. It knows nothing of files: writing and taking in both ask it.

Withdrawing is for good: a withdrawal is not withdrawn, the entry is written
once more.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Self

from foldwright.errors import OutOfDomain, UnknownName
from foldwright.ledger.checks import require_sound
from foldwright.ledger.records import (
    STAGES,
    Entry,
    Forgetting,
    Making,
    Reading,
    Revision,
    Scrap,
    StageReached,
    Withdrawal,
)


class Standing:
    """What stands after a run of entries.

    Examples
    --------
    >>> when = "2026-03-01T14:05:09Z"
    >>> standing = Standing()
    >>> standing.add(StageReached(1, "lamp", "cut", when, "", revision=0, making=1))
    >>> standing.add(Scrap(2, "lamp", when, "cut short", making=1))
    >>> standing.making_of("lamp"), standing.stages()["lamp"]
    (2, 'planned')
    >>> standing.add(Withdrawal(3, 2, when, "long enough after all"))
    >>> standing.making_of("lamp"), standing.stages()["lamp"]
    (1, 'cut')
    """

    def __init__(self, entries: Iterable[Entry] = ()) -> None:
        self._entries: dict[int, Entry] = {}
        self._of_part: dict[str, list[Reading | StageReached]] = {}
        self._withdrawn: set[int] = set()
        self._scraps: dict[str, list[Scrap]] = {}  # that stand, by each name whose making ended
        self._last_revision = 0
        for entry in entries:
            self.add(entry)

    def copy(self) -> Self:
        """Return another one that stands at the same point."""
        return type(self)(self._entries.values())

    def add(self, entry: Entry) -> None:
        """Go on to the next entry, which may follow (see `require`)."""
        self._entries[entry.id] = entry
        match entry:
            case Scrap():
                for name in _names(entry):
                    self._scraps.setdefault(name, []).append(entry)
            case Revision():
                self._last_revision = entry.number
            case Withdrawal():
                self._withdrawn.add(entry.entry)
                taken = self._entries[entry.entry]
                if isinstance(taken, Scrap):
                    for name in _names(taken):
                        self._scraps[name].remove(taken)
            case Reading() | StageReached():
                self._of_part.setdefault(entry.part, []).append(entry)
            case Forgetting():
                pass

    def require(self, entry: Entry) -> None:
        """Raise unless an entry is sound and may follow.

        Raises
        ------
        OutOfDomain
            Out of its turn: a line, making or revision that is not the next,
            a stage that is behind the part already, a scrap that later
            entries rest on.
        UnknownName
            No such stage, or nothing stands where a withdrawal points.
        """
        require_sound(entry)
        if entry.id != self.next_line:
            raise OutOfDomain(
                f"entry {entry.id} would follow entry {self.next_line - 1}, and they count one by "
                "one. Give them all, in their order.",
                name="id",
            )
        match entry:
            case Reading() | StageReached() | Scrap():
                self._require_making(entry)
            case Revision():
                if entry.number != self.next_revision:
                    raise OutOfDomain(
                        f"revision {entry.number} would follow revision {self._last_revision}, "
                        "and they count one by one. Give them all, in their order.",
                        name="number",
                    )
            case Withdrawal():
                self._require_withdrawable(entry.entry)
            case Forgetting():
                pass
        if isinstance(entry, StageReached):
            self._require_progress(entry)

    @property
    def next_line(self) -> int:
        """Line of the entry to come."""
        return next(reversed(self._entries), 0) + 1

    @property
    def next_revision(self) -> int:
        """Number of the revision to come; one that was withdrawn keeps its number."""
        return self._last_revision + 1

    @property
    def entries(self) -> tuple[Entry, ...]:
        """Every entry, withdrawn or not, oldest first."""
        return tuple(self._entries.values())

    def entry(self, line: int) -> Entry | None:
        """Entry on a line; None if there is no such line."""
        return self._entries.get(line)

    def is_withdrawn(self, line: int) -> bool:
        """Whether the entry on a line was taken back."""
        return line in self._withdrawn

    def newest(self) -> Entry:
        """Newest entry that stands, which `Ledger.undo` takes back.

        Raises
        ------
        OutOfDomain
            Nothing stands.
        """
        for entry in self._backwards():
            return entry
        raise OutOfDomain(
            "nothing stands in this ledger, so there is nothing to take back. "
            "Look at its history for what was withdrawn.",
            name="entry",
        )

    def making_of(self, part: str) -> int:
        """Number of the making that is on the bench now."""
        return 1 + len(self._scraps.get(part, ()))

    def revision_for(self, part: str) -> int:
        """Revision of the pattern by which a part is made now.

        A making keeps the revision it was begun by; one that is not begun is
        made by the latest that changed the part, 0 if none did.
        """
        begun = self.makings(part)[-1].revision
        if begun is not None:
            return begun
        return max(
            (r.number for r in self.revisions() if any(c.part == part for c in r.changes)),
            default=0,
        )

    def readings(self) -> tuple[Reading, ...]:
        """Readings that stand in the present makings, oldest first."""
        return tuple(r for r in self.all_readings() if r.making == self.making_of(r.part))

    def all_readings(self) -> tuple[Reading, ...]:
        """Readings of scrapped makings too; none that was withdrawn or done over."""
        return _not_done_over(e for e in self._backwards() if isinstance(e, Reading))

    def stages(self) -> dict[str, str]:
        """Stage of every part that was ever marked or scrapped."""
        found: dict[str, str] = {}
        for entry in self._entries.values():
            if isinstance(entry, StageReached):
                found.setdefault(entry.part, STAGES[0])
                if entry.id not in self._withdrawn and entry.making == self.making_of(entry.part):
                    found[entry.part] = entry.stage
            elif isinstance(entry, Scrap):
                for name in _names(entry):
                    found.setdefault(name, STAGES[0])
        return found

    def makings(self, part: str) -> tuple[Making, ...]:
        """Every making of a part, the present one last; a part not begun has one."""
        ends = [*self._scraps.get(part, ()), None]
        told = [e for e in reversed(self._of_part.get(part, ())) if self._may_be_withdrawn(e)]
        readings = _not_done_over(e for e in told if isinstance(e, Reading))
        stages = [e for e in told if isinstance(e, StageReached)]
        found = []
        for number, end in enumerate(ends, start=1):
            marked = next((e for e in stages if e.making == number), None)
            measured = tuple(r for r in readings if r.making == number)
            latest = marked or (measured[-1] if measured else None)
            found.append(
                Making(
                    part=part,
                    number=number,
                    stage=marked.stage if marked else STAGES[0],
                    revision=latest.revision if latest else None,
                    readings=measured,
                    scrap=end,
                )
            )
        return tuple(found)

    def revisions(self) -> tuple[Revision, ...]:
        """Revisions that hold, oldest first."""
        return tuple(e for e in self._forwards() if isinstance(e, Revision))

    def forgotten(self) -> dict[str, Forgetting]:
        """Latest word on each process whose habit is to be forgotten."""
        return {e.process: e for e in self._forwards() if isinstance(e, Forgetting)}

    def _forwards(self) -> Iterator[Entry]:
        """Entries that may be withdrawn, oldest first."""
        return (e for e in self._entries.values() if self._may_be_withdrawn(e))

    def _backwards(self) -> Iterator[Entry]:
        return (e for e in reversed(self._entries.values()) if self._may_be_withdrawn(e))

    def _may_be_withdrawn(self, entry: Entry) -> bool:
        return entry.id not in self._withdrawn and not isinstance(entry, Withdrawal)

    def _require_making(self, entry: Reading | StageReached | Scrap) -> None:
        now = self.making_of(entry.part)
        if entry.making != now:
            raise OutOfDomain(
                f"making {entry.making} of {entry.part} is not on the bench, making {now} is. "
                "An entry belongs to the making that is worked on when it is written.",
                name="making",
            )

    def _require_progress(self, entry: StageReached) -> None:
        part, now = entry.part, self.makings(entry.part)[-1].stage
        left = STAGES[STAGES.index(now) + 1 :]
        if entry.stage in left:
            return
        said = f"{part} is {now} already"
        if entry.stage != now:
            said += f", which takes in {entry.stage}"
        what_next = f"mark what comes next: {', '.join(left)}" if left else "let it be"
        raise OutOfDomain(
            f"{said}. Take that back if it was a mistake, or {what_next}.", name="stage"
        )

    def _require_withdrawable(self, line: int) -> None:
        entry = self._entries.get(line)
        if entry is None or not self._may_be_withdrawn(entry):
            lines = [str(e.id) for e in self._forwards()]
            raise UnknownName("entry to withdraw", str(line), lines)
        if isinstance(entry, Scrap):
            names = _names(entry)
            later = [
                str(e.id)
                for e in self._forwards()
                if e.id > line
                and (
                    (isinstance(e, Reading | StageReached) and e.part in names)
                    or (isinstance(e, Scrap) and set(names) & set(_names(e)))
                )
            ]
            if later:
                raise OutOfDomain(
                    f"{entry.part} was begun anew after it was scrapped: see "
                    f"entr{'ies' if len(later) > 1 else 'y'} {', '.join(later)}. "
                    "Take those back first, the newest first.",
                    name="entry",
                )


def _not_done_over(backwards: Iterable[Reading]) -> tuple[Reading, ...]:
    """Readings, newest first, without those that a later one stands in place of; oldest first."""
    done_over: set[tuple[str, str, int]] = set()
    found = []
    for reading in backwards:
        key = (reading.part, reading.dim, reading.making)
        if key not in done_over:
            found.append(reading)
        if reading.instead:
            done_over.add(key)
    return tuple(reversed(found))


def _names(scrap: Scrap) -> tuple[str, ...]:
    """Names under which a making ended."""
    return (scrap.part, scrap.was) if scrap.was else (scrap.part,)
