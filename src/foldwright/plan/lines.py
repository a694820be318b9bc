"""Which line of a plan file each key stands on.

Room: plan. The TOML reader of the standard library gives values without
places. `LinesOfKeys` goes over the same text, which the reader has already
accepted, and notes the 1-based line of every key under its dotted path:

* ``part.lamp.outside_d`` for a key of a table, of an inline table too
  (``part.lamp.place.on``); ``part.lamp`` for the table itself;
* arrays of tables and elements of arrays are counted from 0:
  ``meet.2.gap``, ``part.pedestal.outline.3``, ``rack.board3.sheets.1.size``.

`line_of` looks a path up and, if it is not there (a key that is missing), the
table that it should have stood in.

`places_of` goes over a text in the same way and notes where its values stand, for
whoever changes one of them and nothing else (see `editing`).
"""

from __future__ import annotations

import re
import tomllib
from bisect import bisect_right
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import lru_cache

_BLANK = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")
_STRING = re.compile(
    r'"""(?:\\.|[^\\])*?"""(?:"{0,2})'
    r"|'''.*?'''(?:'{0,2})"
    r'|"(?:\\.|[^"\\\n])*"'
    r"|'[^'\n]*'",
    re.DOTALL,
)
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
_SCALAR = re.compile(r"[^,\]}#\n]+")  # numbers, dates, true, false
_DOT = re.compile(r"[ \t]*\.[ \t]*")


def line_of(lines: Mapping[str, int], key: str) -> int:
    """Line of a dotted key, or of the nearest table around it; 0 if of none."""
    while key:
        if key in lines:
            return lines[key]
        key = key.rpartition(".")[0]
    return 0


class LinesOfKeys(Mapping[str, int]):
    """1-based line of every dotted key of a TOML text; found when the first is asked for.

    Most plans are read without a fault, and then nobody asks.

    Parameters
    ----------
    text : str
        TOML that `tomllib` accepts and that ends its lines in plain newlines.
    """

    def __init__(self, text: str) -> None:
        self._text = text

    def __getitem__(self, key: str) -> int:
        return _scanned(self._text).lines[key]

    def __iter__(self) -> Iterator[str]:
        return iter(_scanned(self._text).lines)

    def __len__(self) -> int:
        return len(_scanned(self._text).lines)


@dataclass(frozen=True)
class Places:
    """Where things stand in a TOML text, counted in characters from 0.

    Attributes
    ----------
    values : Mapping of str to (int, int)
        Start and end of the value of each dotted key.
    tables : Mapping of str to int
        Of each table with a header of its own: where its last value ends, or its header.
    """

    values: dict[str, tuple[int, int]] = field(default_factory=dict)
    tables: dict[str, int] = field(default_factory=dict)


def places_of(text: str) -> Places:
    """Places of all values of a TOML text.

    Parameters
    ----------
    text : str
        TOML that `tomllib` accepts, with line ends of any kind.
    """
    return _scanned(text).places


@lru_cache(maxsize=8)
def _scanned(text: str) -> _Scanner:
    """A scanner at the end of a text; who tries one change asks for the same text again."""
    scanner = _Scanner(text)
    scanner.scan()
    return scanner


class _Scanner:
    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.lines: dict[str, int] = {}
        self.places = Places()
        self._ends = [m.start() for m in re.finditer("\n", text)]
        self._counts: dict[str, int] = {}  # tables so far in each array of tables

    def scan(self) -> None:
        table = ""
        self._skip(_BLANK)
        while self.at < len(self.text):
            if self.text[self.at] == "[":
                table = self._header()
                self.places.tables[table] = self.at
            else:
                self._assignment(table)
                if table:
                    self.places.tables[table] = self.at
            self._skip(_BLANK)

    def _skip(self, pattern: re.Pattern[str]) -> str:
        found = pattern.match(self.text, self.at)
        if found is None:
            raise AssertionError(f"not the TOML that was accepted, at {self.at}")
        self.at = found.end()
        return found.group()

    def _note(self, path: str) -> None:
        line = bisect_right(self._ends, self.at - 1) + 1
        while path and path not in self.lines:
            self.lines[path] = line
            path = path.rpartition(".")[0]

    def _header(self) -> str:
        start = self.at
        double = self.text.startswith("[[", start)
        self.at += 2 if double else 1
        self._skip(_BLANK)
        names = self._key()
        self._skip(_BLANK)
        self.at += 2 if double else 1
        path = ""
        for i, name in enumerate(names):
            path = _joined(path, name)
            if double and i == len(names) - 1:
                self._counts[path] = self._counts.get(path, -1) + 1
            if path in self._counts:  # [meet.x] belongs to the last [[meet]]
                path = f"{path}.{self._counts[path]}"
        end, self.at = self.at, start
        self._note(path)
        self.at = end
        return path

    def _assignment(self, table: str) -> None:
        start = self.at
        path = table
        for name in self._key():
            path = _joined(path, name)
        end, self.at = self.at, start
        self._note(path)
        self.at = end
        self._skip(_BLANK)
        self.at += 1  # the =
        self._skip(_BLANK)
        self._value(path)

    def _key(self) -> list[str]:
        names = []
        while True:
            if self.text[self.at] in "\"'":
                raw = self._skip(_STRING)
                names.append(next(iter(tomllib.loads(f"{raw} = 0"))))
            else:
                names.append(self._skip(_BARE_KEY))
            dot = _DOT.match(self.text, self.at)
            if dot is None:
                return names
            self.at = dot.end()

    def _value(self, path: str) -> None:
        start = self.at
        first = self.text[start]
        if first == "[":
            self._members(path, "]")
        elif first == "{":
            self._members(path, "}")
        elif first in "\"'":
            self._skip(_STRING)
        else:
            self.at = start + len(self._skip(_SCALAR).rstrip())
        self.places.values[path] = (start, self.at)

    def _members(self, path: str, close: str) -> None:
        self.at += 1
        count = 0
        while True:
            self._skip(_BLANK)
            if self.text[self.at] == close:
                self.at += 1
                return
            if self.text[self.at] == ",":
                self.at += 1
                continue
            if close == "}":
                self._assignment(path)
            else:
                self._note(_joined(path, str(count)))
                self._value(_joined(path, str(count)))
                count += 1


def _joined(path: str, name: str) -> str:
    return f"{path}.{name}" if path else name
