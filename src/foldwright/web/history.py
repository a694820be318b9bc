"""What was written down of one part, the newest first, and what of it can be taken back."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from foldwright.draw.book_names import called, measured_name
from foldwright.errors import UnknownName
from foldwright.ledger import Entry, Ledger, Reading, Revision, Scrap, StageReached, Withdrawal
from foldwright.make import LEDGER_FILE, Made
from foldwright.plan import show_length


@dataclass(frozen=True)
class Past:
    """One entry of the ledger as a sheet says it.

    Attributes
    ----------
    id : int
        Its line of the ledger.
    when, said, note : str
    is_withdrawn : bool
    can_undo : bool
        Whether the sheet offers to take it back.
    """

    id: int
    when: str
    said: str
    note: str
    is_withdrawn: bool
    can_undo: bool


def past_of(folder: Path, made: Made, part: str) -> tuple[Past, ...]:
    """Everything that was ever written down of a part, the newest first.

    Parameters
    ----------
    folder : Path
        The build folder.
    made : Made
    part : str
    """
    with Ledger(folder / LEDGER_FILE) as ledger:
        history = ledger.history()
    withdrawn = {entry.entry for entry in history if isinstance(entry, Withdrawal)}
    names = {part, made.parts[part].was} - {""}
    return tuple(
        Past(
            id=entry.id,
            when=_at_the_bench(entry.when),
            said=_said(entry, made),
            note="" if isinstance(entry, Revision) else entry.note,
            is_withdrawn=entry.id in withdrawn,
            can_undo=entry.id not in withdrawn and not isinstance(entry, Revision),
        )
        for entry in reversed(history)
        if _is_of(entry, names)
    )


def require_of(folder: Path, made: Made, part: str, line: int) -> None:
    """Refuse a line of the ledger that does not stand, or is not of this part.

    Raises
    ------
    UnknownName
        With the lines that can be taken back here.
    """
    lines = [past.id for past in past_of(folder, made, part) if past.can_undo]
    if line not in lines:
        raise UnknownName("entry of this part to take back", str(line), map(str, lines))


def _is_of(entry: Entry, names: set[str]) -> bool:
    match entry:
        case Reading() | StageReached() | Scrap():
            return entry.part in names
        case Revision():
            return any(change.part in names for change in entry.changes)
        case _:
            return False


def _said(entry: Entry, made: Made) -> str:
    match entry:
        case Reading():
            fine = entry.is_fine
            value = show_length(entry.value, made.plan.units, fine)
            drawn = show_length(entry.drawn, made.plan.units, fine)
            state = "" if entry.bare else ", finished"
            instead = ", instead of what was read before" if entry.instead else ""
            return (
                f"{measured_name(entry.dim)} {value} by {tool_of(entry)}{state}; "
                f"{drawn} as drawn{instead}"
            )
        case StageReached():
            return entry.stage[:1].upper() + entry.stage[1:]
        case Scrap():
            return "Scrapped, to be made again"
        case Revision():
            return f"Redrawn as revision {entry.number}"
        case _:
            return called(str(entry))


def tool_of(reading: Reading) -> str:
    """What it was read with, and what was taken off what was typed."""
    is_round = reading.tool == "tape" and reading.dim.endswith("girth")
    return "tape, its thickness taken off" if is_round else reading.tool


def _at_the_bench(when: str) -> str:
    """Time of an entry where the maker is: "14 May, 10:05"."""
    at = datetime.fromisoformat(when).astimezone()
    return f"{at.day} {at:%B}, {at:%H:%M}"
