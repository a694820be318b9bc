"""Readings as rows of a spreadsheet, and back.

Room: ledger. The form is CSV as RFC 4180 has it: one heading, one row a
reading. What spreadsheets make of it is understood when it comes back: a
semicolon or a tab between cells, with a decimal comma then, and a mark at the
beginning of the file that says how letters are coded.

A cell that begins like a formula would be worked out by a spreadsheet, so
that an apostrophe is put before it, and taken off when it comes back.

``value``, ``drawn`` and ``sigma`` are in the row's ``unit``. ``stands`` says
yes, or why not; only what stands is taken in. ``entry`` is the line of the
ledger that the row came from; a new row has none.
"""

from __future__ import annotations

import csv
import io
import math
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import chain, repeat
from types import MappingProxyType

from foldwright.errors import OutOfDomain, UnknownName
from foldwright.ledger.records import Reading
from foldwright.ledger.standing import Standing
from foldwright.ledger.tools import TOOLS, tool_named

COLUMNS = (
    "entry", "part", "dim", "value", "unit", "finish", "tool", "drawn", "sigma",
    "making", "revision", "stands", "when", "note",
)  # fmt: skip
_NEEDED = ("part", "dim", "value", "tool", "drawn")
OPENING = ",".join(COLUMNS)
FINISHES = MappingProxyType({"bare": True, "finished": False})
WORDS = ("yes", "scrapped", "withdrawn", "measured again")  # of the column `stands`
UNITS = MappingProxyType({"mm": 1.0, "in": 25.4, "rad": 1.0, "deg": math.pi / 180.0})
_ANGLES = ("rad", "deg")
_MEASURES = ("value", "drawn", "sigma")
_NUMBER = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?", re.ASCII)
_WHOLE = re.compile(r"\d{1,18}", re.ASCII)  # what 64 bits hold, and more than anybody counts to
_FORMULA = "=+-@\t\r'"


@dataclass(frozen=True)
class Row:
    """A row that was read: fields as in `Reading`, None where its cell is empty."""

    entry: int | None
    part: str
    dim: str
    value: float
    tool: str
    bare: bool
    when: str | None
    note: str
    revision: int | None
    drawn: float
    sigma: float
    making: int | None
    stands: bool

    def tells_of(self, reading: Reading) -> bool:
        """Whether this row says nothing but what a reading says."""
        return all(
            said is None or said == getattr(reading, name)
            for name, said in vars(self).items()
            if name not in ("entry", "stands")
        )


def text_of(standing: Standing) -> str:
    """Return every reading that was ever written down, one row each."""
    out = io.StringIO(newline="")
    writer = csv.writer(out)  # RFC 4180: commas, CR LF, quotes doubled
    writer.writerow(COLUMNS)
    whole, present = set(standing.all_readings()), set(standing.readings())
    for reading in standing.entries:
        if isinstance(reading, Reading):
            if reading in present:
                stands = "yes"
            elif reading in whole:
                stands = "scrapped"
            else:
                stands = "withdrawn" if standing.is_withdrawn(reading.id) else "measured again"
            writer.writerow(_cells(reading, stands))
    return out.getvalue()


def _cells(reading: Reading, stands: str) -> list[str]:
    cells = {
        "entry": str(reading.id),
        "part": _guarded(reading.part),
        "dim": _guarded(reading.dim),
        "value": repr(reading.value),
        "unit": "rad" if _reads_angles(reading.tool) else "mm",
        "finish": "bare" if reading.bare else "finished",
        "tool": _guarded(reading.tool),
        "drawn": repr(reading.drawn),
        "sigma": repr(reading.sigma),
        "making": str(reading.making),
        "revision": str(reading.revision),
        "stands": stands,
        "when": reading.when,
        "note": _guarded(reading.note),
    }
    return [cells[name] for name in COLUMNS]


def cells_in(text: str) -> Iterator[tuple[int, list[str] | OutOfDomain]]:
    """Yield line and cells of each row that is not empty, the heading first.

    Where no cells can be made out any more, the fault is yielded, and no row
    after it.
    """
    heading = text.partition("\n")[0]
    between = max(",;\t", key=heading.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=between, strict=True)
    line, names = 1, list[str]()
    try:
        for cells in reader:
            if any(cell.strip() for cell in cells):
                if between != ",":
                    cells = [
                        _with_point(cell) if name in _MEASURES else cell
                        for name, cell in zip(chain(names, repeat("")), cells, strict=False)
                    ]
                names = names or _names(cells)
                yield line, cells
            line = reader.line_num + 1
    except csv.Error as error:
        yield (
            line,
            OutOfDomain(f"this is no row of cells: {error}. Is a quote never closed?", name="row"),
        )


def columns_from(cells: list[str]) -> tuple[str, ...]:
    """Return the heading's columns.

    Raises
    ------
    OutOfDomain, UnknownName
        A column that is needed is missing, one is there twice, or is not known.
    """
    names = tuple(_names(cells))
    for name in filter(None, names):
        if name not in COLUMNS:
            raise UnknownName("column", name, COLUMNS)
        if names.count(name) > 1:
            raise OutOfDomain(f"there are two columns {name}. Leave one out.", name=name)
    for name in _NEEDED:
        if name not in names:
            raise OutOfDomain(
                f"there is no column {name}. A row needs {', '.join(_NEEDED)}.", name=name
            )
    return names


def row_from(columns: tuple[str, ...], cells: list[str]) -> Row:
    """Return what a row says.

    Raises
    ------
    OutOfDomain, UnknownName
        A cell too few or too many, a number that is none, a word that is not
        known, a tool whose sigma nobody knows.
    """
    if any(cell.strip() for cell in cells[len(columns) :]) or len(cells) < len(columns):
        raise OutOfDomain(
            f"this row has {len(cells)} cells, and the heading {len(columns)}. "
            "Has it been cut, or is a comma in a note without quotes?",
            name="row",
        )
    said = {name: cell for name, cell in zip(columns, cells, strict=False) if name}
    plain = {name: said.get(name, "").strip() for name in COLUMNS}
    tool = _bare_text(plain["tool"])
    unit = plain["unit"] or ("rad" if _reads_angles(tool) else "mm")
    if unit not in UNITS:
        raise UnknownName("unit", unit, UNITS)
    if tool in TOOLS and (unit in _ANGLES) != _reads_angles(tool):
        raise OutOfDomain(f"a {tool} does not read {unit}. Mend tool or unit.", name="unit")
    size = UNITS[unit]
    return Row(
        entry=_whole("entry", plain["entry"]),
        part=_bare_text(plain["part"]),
        dim=_bare_text(plain["dim"]),
        value=size * _number("value", plain["value"]),
        tool=tool,
        bare=FINISHES[_word("finish", plain["finish"] or "bare", FINISHES)],
        when=plain["when"] or None,
        note=_bare_text(said.get("note", "")),
        revision=_whole("revision", plain["revision"]),
        drawn=size * _number("drawn", plain["drawn"]),
        sigma=size * _number("sigma", plain["sigma"]) if plain["sigma"] else tool_named(tool).sigma,
        making=_whole("making", plain["making"]),
        stands=_word("stands", plain["stands"] or "yes", dict.fromkeys(WORDS)) == "yes",
    )


def _names(heading: list[str]) -> list[str]:
    return [cell.strip().lower() for cell in heading]


def _word(column: str, word: str, known: Mapping[str, object]) -> str:
    if word not in known:
        raise UnknownName(f"word for {column}", word, known)
    return word


def _number(name: str, cell: str) -> float:
    if not _NUMBER.fullmatch(cell):
        raise OutOfDomain(
            f'{name} is "{cell}", which is no number. Write it like 694.5.', name=name
        )
    return float(cell)


def _whole(name: str, cell: str) -> int | None:
    if not cell:
        return None
    if not _WHOLE.fullmatch(cell):
        raise OutOfDomain(
            f'{name} is "{cell}", which is no count. Leave it empty, or write it like 3.', name=name
        )
    return int(cell)


def _reads_angles(tool: str) -> bool:
    return tool in TOOLS and TOOLS[tool].kinds == ("angle",)


def _with_point(cell: str) -> str:
    """Cell with a decimal point, if it is a number with a decimal comma."""
    pointed = cell.strip().replace(",", ".", 1)
    return pointed if _NUMBER.fullmatch(pointed) else cell


def _guarded(text: str) -> str:
    return f"'{text}" if text.startswith(tuple(_FORMULA)) else text


def _bare_text(cell: str) -> str:
    return cell[1:] if cell.startswith("'") and cell[1:].startswith(tuple(_FORMULA)) else cell
