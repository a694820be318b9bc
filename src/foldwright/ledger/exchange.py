"""The ledger out to files and back: the whole history, or readings for a spreadsheet.

Room: ledger. `export_history` and `import_history` lose nothing: a ledger that
takes in what another gave out tells the same history (see `lines`).
`export_readings` and `import_readings` deal in rows that people and
spreadsheets can work with (see `table`).

Taking in is all or nothing, in one transaction; every line that cannot be
taken in is named with what is wrong with it. What is there already is passed
over, so that taking in twice changes nothing. Giving out replaces an earlier
export in one step, and nothing else.
"""

from __future__ import annotations

import os
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from foldwright.errors import Fault, FoldwrightError, ImportFaults, OutOfDomain, OutputRefused
from foldwright.ledger import lines, table
from foldwright.ledger.ledger import Ledger
from foldwright.ledger.records import Entry, Reading
from foldwright.ledger.standing import Standing

_MARK = "\ufeff"  # byte order mark: tells a spreadsheet that letters are coded in UTF-8
_MOST_SHOWN = 60  # letters of an offending line


@dataclass(frozen=True)
class Imported:
    """What came of taking in a file.

    Attributes
    ----------
    added : tuple of Entry
        As they stand in the ledger now.
    already : int
        Entries that were there already.
    passed_over : int
        Rows that say themselves that they do not stand.
    """

    added: tuple[Entry, ...]
    already: int
    passed_over: int = 0


def export_history(ledger: Ledger, path: Path) -> int:
    """Write the whole history as lines of JSON; return how many entries that are.

    Raises
    ------
    OutputRefused
        Another file stands there, or the folder cannot be written.
    """
    entries = ledger.history()
    _replace(path, lines.text_of(entries), lines.OPENING)
    return len(entries)


def export_readings(ledger: Ledger, path: Path) -> int:
    """Write every reading as a row of CSV; return how many they are.

    Raises
    ------
    OutputRefused
        Another file stands there, or the folder cannot be written.
    """
    standing = ledger.standing()
    _replace(path, _MARK + table.text_of(standing), _MARK + table.OPENING)
    return sum(isinstance(entry, Reading) for entry in standing.entries)


def import_history(
    ledger: Ledger, path: Path, content: bytes | None = None, *, only_look: bool = False
) -> Imported:
    """Take in a history that `export_history` wrote.

    Parameters
    ----------
    ledger : Ledger
    path : Path
        The file; faults name it.
    content : bytes, optional
        What it holds, if it came from elsewhere.
    only_look : bool
        Say what would be taken in; nothing is.

    It has to go on from what the ledger holds: entries that are there already
    have to be the same ones.

    Raises
    ------
    ImportFaults
        The file cannot be read, or lines of it cannot be taken in.
    """
    found = _history(path, _told(path, content))
    already = 0

    def choose(standing: Standing) -> list[Entry]:
        nonlocal already
        already = 0
        later, added = standing.copy(), list[Entry]()
        for number, line, entry in found:
            there = later.entry(entry.id)
            if there is None:
                problem = _problem(later, entry)
                if problem:
                    raise ImportFaults([_fault(path, number, line, problem)])
                later.add(entry)
                added.append(entry)
            elif there == entry:
                already += 1
            else:
                problem = (
                    f"entry {entry.id} is another one in this ledger. The two have gone different "
                    "ways, and nothing that was said is altered."
                )
                raise ImportFaults([_fault(path, number, line, problem)])
        return added

    entries = choose(ledger.standing()) if only_look else ledger.append(choose)
    return Imported(tuple(entries), already)


def import_readings(
    ledger: Ledger, path: Path, content: bytes | None = None, *, only_look: bool = False
) -> Imported:
    """Take in rows of readings, from `export_readings` or typed in a spreadsheet.

    A row is there already if the ledger has, or had, a reading that says the
    same; of two equal rows each needs one of its own. An empty ``when`` is
    now, an empty ``revision`` or ``making`` the present one, an empty
    ``sigma`` that of the tool. Values are dims as they are, corrected for the
    tool. Parameters as of `import_history`.

    Raises
    ------
    ImportFaults
        The file cannot be read, or rows of it cannot be taken in.
    """
    rows = _rows(path, _told(path, content).removeprefix(_MARK))
    standing_rows = [(number, row) for number, row in rows if row.stands]
    # Who says most is matched first, so that a vague row does not take its match away.
    standing_rows.sort(key=lambda each: sum(said is None for said in vars(each[1]).values()))
    already = 0

    def choose(standing: Standing) -> list[Entry]:
        nonlocal already
        new, faults = _new_rows(path, standing, standing_rows)
        already = len(standing_rows) - len(new)
        later, added = standing.copy(), list[Entry]()
        for number, row in sorted(new, key=lambda each: each[0]):
            reading = _reading(row, later, ledger.now())
            problem = _problem(later, reading)
            if problem:
                faults.append(_fault(path, number, _name(row), problem))
            else:
                later.add(reading)
                added.append(reading)
        if faults:
            raise ImportFaults(sorted(faults, key=lambda fault: fault.line))
        return added

    entries = choose(ledger.standing()) if only_look else ledger.append(choose)
    return Imported(tuple(entries), already, len(rows) - len(standing_rows))


def import_file(
    ledger: Ledger, path: Path, content: bytes | None = None, *, only_look: bool = False
) -> Imported:
    """Take in a file of either kind, told by its name; as `import_history`.

    Raises
    ------
    OutOfDomain
        The name says neither .csv nor .jsonl.
    ImportFaults
    """
    take_in = import_readings if is_table(path) else import_history
    return take_in(ledger, path, content, only_look=only_look)


def is_table(path: Path) -> bool:
    """Whether a file holds readings in a table, by its name; else it is a whole history.

    Raises
    ------
    OutOfDomain
        The name says neither.
    """
    if path.suffix.lower() not in (".csv", ".jsonl"):
        raise OutOfDomain(
            f"{path.name} says neither .csv nor .jsonl. Readings go in a table, like "
            "readings.csv; everything goes in lines, like ledger.jsonl.",
            name="file",
        )
    return path.suffix.lower() == ".csv"


def imported_in_words(added: int, already: int, passed_over: int) -> str:
    """Say what came of taking in a file, in a sentence or two; numbers as of `Imported`."""
    words = f"{added} added, {already} were there already."
    if passed_over:
        one = passed_over == 1
        words += f" {passed_over} {'does' if one else 'do'} not stand any more and "
        words += "was passed over." if one else "were passed over."
    return words


def _history(path: Path, told: str) -> list[tuple[int, str, Entry]]:
    """Number, text and entry of each line; every line that cannot be read is a fault."""
    numbered = [
        (number, line.rstrip("\r"))
        for number, line in enumerate(told.removeprefix(_MARK).split("\n"), start=1)
        if line.strip()
    ]
    if not numbered:
        raise ImportFaults([_fault(path, 1, "", "this file is empty.")])
    faults = []
    found = []
    count = -1
    try:
        count = lines.count_from(numbered[0][1])
    except FoldwrightError as error:
        raise ImportFaults([_fault(path, *numbered[0], str(error))]) from error
    for number, line in numbered[1:]:
        try:
            found.append((number, line, lines.entry_from(line)))
        except FoldwrightError as error:
            faults.append(_fault(path, number, line, str(error)))
    if not faults and len(found) != count:
        problem = (
            f"the heading says {count} entries, and {len(found)} follow. "
            "The file was cut short, or lines were added."
        )
        faults.append(_fault(path, *numbered[-1], problem))
    if faults:
        raise ImportFaults(faults)
    return found


def _rows(path: Path, told: str) -> list[tuple[int, table.Row]]:
    """Line and contents of each row; every row that cannot be read is a fault."""
    columns: tuple[str, ...] = ()
    found, faults = [], []
    for number, cells in table.cells_in(told):
        shown = "" if isinstance(cells, FoldwrightError) else ",".join(cells)
        try:
            if isinstance(cells, FoldwrightError):
                raise cells
            if columns:
                found.append((number, table.row_from(columns, cells)))
            else:
                columns = table.columns_from(cells)
        except FoldwrightError as error:
            faults.append(_fault(path, number, shown, str(error)))
            if not columns:
                break
    if not columns and not faults:
        faults.append(_fault(path, 1, "", "this file is empty."))
    if faults:
        raise ImportFaults(faults)
    return found


def _new_rows(
    path: Path, standing: Standing, rows: Iterable[tuple[int, table.Row]]
) -> tuple[list[tuple[int, table.Row]], list[Fault]]:
    """Rows that no reading of the ledger tells already, and faults of those at odds with one."""
    waiting: dict[tuple[str, str, float], list[Reading]] = {}
    for entry in standing.entries:
        if isinstance(entry, Reading):
            waiting.setdefault((entry.part, entry.dim, entry.value), []).append(entry)
    new, faults = [], []
    for number, row in rows:
        alike = waiting.get((row.part, row.dim, row.value), [])
        told = next((reading for reading in alike if row.tells_of(reading)), None)
        if told is not None:
            alike.remove(told)
            continue
        meant = standing.entry(row.entry) if row.entry is not None else None
        if isinstance(meant, Reading) and _place(meant) == _place(row):
            problem = (
                f"entry {meant.id} is {meant.part}.{meant.dim} {meant.value!r} in this ledger, "
                "and what was said is not altered. If it was a mistake, take that entry back, "
                "and leave the cells entry and when of this row empty."
            )
            faults.append(_fault(path, number, _name(row), problem))
        else:
            new.append((number, row))
    return new, faults


def _reading(row: table.Row, standing: Standing, now: str) -> Reading:
    """Return the entry that a row becomes."""
    return Reading(
        id=standing.next_line,
        part=row.part,
        dim=row.dim,
        value=row.value,
        tool=row.tool,
        bare=row.bare,
        when=row.when or now,
        note=row.note,
        revision=standing.revision_for(row.part) if row.revision is None else row.revision,
        drawn=row.drawn,
        sigma=row.sigma,
        making=standing.making_of(row.part) if row.making is None else row.making,
    )


def _place(told: Reading | table.Row) -> tuple[str, str, str | None]:
    return told.part, told.dim, told.when


def _name(row: table.Row) -> str:
    return f"{row.part}.{row.dim} {row.value:g}"


def _problem(standing: Standing, entry: Entry) -> str:
    """What keeps an entry from following; empty if nothing does."""
    try:
        standing.require(entry)
    except FoldwrightError as error:
        return str(error)
    return ""


def _fault(path: Path, number: int, line: str, problem: str) -> Fault:
    shown = line if len(line) <= _MOST_SHOWN else f"{line[: _MOST_SHOWN - 3]}..."
    return Fault(
        "cannot-import",
        str(path),
        number,
        shown,
        problem[:1].upper() + problem[1:],
        "Nothing was taken in. Mend the file, then do this again.",
    )


def _told(path: Path, content: bytes | None) -> str:
    """Text of a file; what cannot be read is a fault of the file."""
    try:
        content = path.read_bytes() if content is None else content
    except OSError as error:
        problem = f"it cannot be read: {error.strerror or error}."
        raise ImportFaults([_fault(path, 0, "", problem)]) from error
    try:
        return content.decode()
    except UnicodeDecodeError as error:
        number = content.count(b"\n", 0, error.start) + 1
        problem = "there are letters in it that are not coded in UTF-8. Save it as UTF-8."
        raise ImportFaults([_fault(path, number, "", problem)]) from error


def _replace(path: Path, text: str, opening: str) -> None:
    """Write a file in one step; only an earlier export of ours may be in its place."""
    beside = path.with_name(f"{path.name}.{os.getpid()}.part")
    try:
        if path.exists() and not _begins_with(path, opening.encode()):
            raise OutputRefused(
                f"{path} is there already and is no such export, so it is left alone. "
                "Give another name."
            )
        try:
            with open(beside, "xb") as file:
                file.write(text.encode())
                file.flush()
                os.fsync(file.fileno())
            os.replace(beside, path)
        finally:
            beside.unlink(missing_ok=True)
    except OutputRefused:
        raise
    except OSError as error:
        raise OutputRefused(
            f"{path} cannot be written: {error.strerror or error}. What was there is as it was. "
            "Check the folder, who owns it, and that there is room."
        ) from error


def _begins_with(path: Path, opening: bytes) -> bool:
    with open(path, "rb") as file:
        return file.read(len(opening)) == opening
