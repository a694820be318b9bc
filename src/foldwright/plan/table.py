"""Reading tables of a plan without stopping at the first fault.

Room: plan. `Faults` gathers what is wrong; a `Table` hands out the values of
one TOML table, checked for type and range. A getter that finds a fault notes
it and returns None, and its caller carries on with what else there is to
check. Every kind of fault has a short code, listed in `FAULT_CODES`.
"""

from __future__ import annotations

import datetime
import math
import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

from foldwright.errors import Fault, QuantityError, nearest_names, offer_names
from foldwright.plan.door import shown
from foldwright.plan.functions import RESERVED
from foldwright.plan.lines import line_of
from foldwright.plan.units import is_quantity, parse_angle, parse_length

FAULT_CODES: Mapping[str, str] = {
    "bad-drawing": "a drawing that cannot be read, or does not hold just one closed outline",
    "bad-formula": "a formula that cannot be read, or has no value",
    "bad-name": "a name with signs in it that a name cannot have, or a reserved word",
    "bad-quantity": "a text that is no number with its unit",
    "empty": "a plan without a line or without a part",
    "geometry": "an outline or a set of dims that no part can have",
    "loop": "sizes or placements that depend on themselves",
    "missing": "a key that has to be there",
    "name-twice": "one name for two things",
    "no-file": "no such file, a folder, or a file that cannot be opened",
    "not-built": "a kind or key that is planned and not built yet",
    "not-toml": "text that does not hold together as TOML",
    "not-utf-8": "bytes that are no UTF-8 text",
    "out-of-range": "a number that no workshop could mean",
    "too-large": "a file, line, list or key beyond any plan",
    "unknown-key": "a key that its table does not have",
    "unknown-name": "a size, board, finish, former, part or face that is not there",
    "wrong-kind": "a text where a number belongs, or the like",
}
"""What each code of a `Fault` stands for."""

LONGEST = 100_000.0
"""mm; 100 m. A longer part is a slip of the unit."""

_NAME = re.compile(r"[A-Za-z][A-Za-z0-9_]*")
_LABEL = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]*")
_LONGEST_NAME = 40


class Faults:
    """What is wrong with one plan so far."""

    def __init__(self, file: str, lines: Mapping[str, int], source: Sequence[str]) -> None:
        self.file = file
        self.lines = lines
        self.source = source
        self.found: list[Fault] = []
        self.noted = 0  # times that a fault was noted, the same one twice too

    def add(self, code: str, key: str, problem: str, remedy: str) -> None:
        """Note a fault at a dotted key of the plan."""
        assert code in FAULT_CODES, code
        self.noted += 1
        line = line_of(self.lines, key)
        text = shown(self.source[line - 1]) if line else ""
        fault = Fault(code, self.file, line, text, problem, remedy)
        if fault not in self.found:
            self.found.append(fault)

    def unknown(self, key: str, what: str, name: str, known: Iterable[str], remedy: str) -> None:
        """Note a name that is not there, and offer the nearest."""
        known = tuple(known)
        self.add(
            "unknown-name",
            key,
            f'There is no {what} "{shown(name)}". {offer_names(name, known)}',
            remedy,
        )

    def name(self, key: str, name: str, what: str) -> bool:
        """Whether a name can stand in formulas and file names; notes it if not."""
        if name in RESERVED or name == "thickness":
            self.add(
                "bad-name",
                key,
                f'"{name}" means something in formulas already, so no {what} can have it.',
                f'Call it "{name}_1", or better by what it is.',
            )
        elif not _NAME.fullmatch(name) or len(name) > _LONGEST_NAME:
            self.add(
                "bad-name",
                key,
                f'"{shown(name)}" is not a name that a {what} can have.',
                f"Names begin with a letter and have letters a to z, digits and _, at most "
                f"{_LONGEST_NAME}.",
            )
        else:
            return True
        return False

    def label(self, key: str, name: str, what: str) -> bool:
        """Whether a name can stand on the rack or on a face; notes it if not."""
        if _LABEL.fullmatch(name) and len(name) <= _LONGEST_NAME:
            return True
        self.add(
            "bad-name",
            key,
            f'"{shown(name)}" is not a name that a {what} can have.',
            f"Use letters a to z, digits, _ and -, at most {_LONGEST_NAME}.",
        )
        return False


class Table:
    """One table of the plan; `path` is its dotted key, `what` what to call it."""

    def __init__(self, data: Mapping[str, object], path: str, what: str, faults: Faults) -> None:
        self.data = data
        self.path = path
        self.what = what
        self.faults = faults

    @property
    def within(self) -> str:
        """What to call it inside a sentence."""
        return f"the {self.what[4:]}" if self.what.startswith("The ") else self.what

    def key(self, key: str) -> str:
        """Dotted path of one of its keys."""
        return f"{self.path}.{key}" if self.path else key

    def has(self, key: str) -> bool:
        """Whether the plan says anything about this key."""
        return key in self.data

    def fault(self, code: str, key: str, problem: str, remedy: str) -> None:
        """Note a fault at one of its keys ("" for the table itself)."""
        self.faults.add(code, self.key(key) if key else self.path, problem, remedy)

    def only(self, known: Sequence[str], later: Sequence[str] = ()) -> None:
        """Note every key that is not among those known; `later` are not built yet."""
        for key in self.data:
            if key in later:
                problem = f'"{key}" is not built yet.'
                self.fault("not-built", key, problem, f"{self._subject} takes {', '.join(known)}.")
            elif key not in known:
                near = nearest_names(key, known)
                remedy = f"Did you mean {' or '.join(near)}?" if near else ""
                self.fault(
                    "unknown-key",
                    key,
                    f'{self._subject} has no "{shown(key)}".',
                    remedy or f"It takes {', '.join(known)}.",
                )

    def missing(self, key: str, remedy: str) -> None:
        """Note that a key is not there."""
        self.fault("missing", "", f'{self._subject} does not say "{key}".', remedy)

    @property
    def _subject(self) -> str:
        return self.what[:1].upper() + self.what[1:]

    def wrong_kind(self, key: str, value: object, wanted: str, remedy: str) -> None:
        """Note a value of the wrong kind."""
        problem = f'"{key}" is {kind_of(value)}; {wanted} is wanted.'
        self.fault("wrong-kind", key, problem, remedy)

    def text(self, key: str, example: str, default: str | None = None) -> str | None:
        """Text; without a default it has to be there."""
        value = self.data.get(key, default)
        if value is None:
            self.missing(key, f'Add {key} = "{example}".')
        elif not isinstance(value, str):
            self.wrong_kind(key, value, "a text", f'Write {key} = "{example}".')
        else:
            return value
        return None

    def choice(self, key: str, known: Sequence[str], default: str | None = None) -> str | None:
        """One of a few words."""
        value = self.text(key, known[0], default)
        if value is None or value in known:
            return value
        problem = f'"{shown(value)}" is no {key} here.'
        self.fault("unknown-name", key, problem, offer_names(value, known))
        return None

    def flag(self, key: str, default: bool) -> bool:
        """Yes or no."""
        value = self.data.get(key, default)
        if isinstance(value, bool):
            return value
        self.wrong_kind(key, value, "true or false", f"Write {key} = true, without quotes.")
        return default

    def words(self, key: str) -> tuple[str, ...] | None:
        """List of texts, empty if it is not there."""
        value = self.data.get(key, [])
        if isinstance(value, list) and all(isinstance(word, str) for word in value):
            return tuple(value)
        self.wrong_kind(key, value, "a list of texts", f'Write it like {key} = ["top", "left"].')
        return None

    def pairs(self, key: str) -> tuple[tuple[object, object], ...] | None:
        """List of pairs, empty if it is not there."""
        value = self.data.get(key, [])
        if isinstance(value, list) and all(isinstance(p, list) and len(p) == 2 for p in value):
            return tuple((a, b) for a, b in value)
        self.wrong_kind(key, value, "a list of pairs", f'Write it like {key} = [["a", "b"]].')
        return None

    def table(self, key: str, what: str) -> Table:
        """Table within; an empty one if it is not there or no table."""
        value = self.data.get(key, {})
        if not isinstance(value, dict):
            self.wrong_kind(key, value, "a table", f"Write {key} = {{ ... }} or [{self.key(key)}].")
            value = {}
        return Table(value, self.key(key), what, self.faults)

    def tables(self, what: str) -> Iterator[tuple[str, Table]]:
        """Tables by name, when each key of this table is to be one."""
        for name, value in self.data.items():
            if isinstance(value, dict):
                yield name, Table(value, self.key(name), f"{what} {shown(name)}", self.faults)
            else:
                remedy = f"Write [{self.key(name)}] and its keys on the lines below."
                self.wrong_kind(name, value, "a table", remedy)

    def rows(self, key: str, what: str) -> list[Table] | None:
        """Tables of an array of tables, empty if it is not there."""
        value = self.data.get(key, [])
        if not isinstance(value, list) or not all(isinstance(row, dict) for row in value):
            remedy = f"Write it like {key} = [{{ ... }}, {{ ... }}], or as [[{self.key(key)}]]."
            self.wrong_kind(key, value, "a list of tables", remedy)
            return None
        path = self.key(key)
        return [Table(row, f"{path}.{i}", what, self.faults) for i, row in enumerate(value)]

    def length(
        self, key: str, low: float, high: float = LONGEST, *, above: bool = False
    ) -> float | None:
        """Length in mm from low to high; `above` leaves `low` itself out."""
        return self._measured(key, self.data.get(key), parse_length, "mm", low, high, above)

    def degrees(self, key: str, low: float, high: float) -> float | None:
        """Angle in radians; `low` and `high` are in degrees."""
        value = self.data.get(key)
        angle = self._measured(
            key, value, lambda t: math.degrees(parse_angle(t)), "degrees", low, high, False
        )
        return None if angle is None else math.radians(angle)

    def number(self, key: str, low: float, high: float, *, above: bool = False) -> float | None:
        """Plain number from low to high."""
        value = self.data.get(key)
        if isinstance(value, str):
            self.wrong_kind(key, value, "a number", f"Write {key} = 1, without quotes.")
            return None
        return self._measured(key, value, float, "", low, high, above)

    def quantity(self, key: str, value: object, path: str = "") -> float | None:
        """Length in mm, of either sign, from a number or a text with its unit."""
        number = self._read(path or self.key(key), key, value, parse_length)
        if number is None or abs(number) <= LONGEST:
            return number
        problem = f'"{key}" is {number:g} mm; {LONGEST:g} is the most.'
        self.faults.add("out-of-range", path or self.key(key), problem, "Check the unit.")
        return None

    def lengths(self, key: str, count: int, example: str) -> tuple[float, ...] | None:
        """Return a list of lengths [mm], just so many."""
        value = self.data.get(key)
        if value is None:
            self.missing(key, f"Add {key} = {example}.")
        elif not isinstance(value, list) or len(value) != count:
            remedy = f"Write it like {key} = {example}."
            self.wrong_kind(key, value, f"a list of {count} lengths", remedy)
        else:
            read = [self.quantity(key, v, f"{self.key(key)}.{i}") for i, v in enumerate(value)]
            known = tuple(v for v in read if v is not None)
            return known if len(known) == count else None
        return None

    def _read(
        self, path: str, key: str, value: object, parse: Callable[[str], float]
    ) -> float | None:
        if isinstance(value, str):
            try:
                return parse(value)
            except QuantityError as error:
                self.faults.add("bad-quantity", path, error.problem, error.remedy)
                return None
        number = plain_number(value)
        if number is None:
            problem = f'"{key}" is {kind_of(value)}; a number is wanted.'
            self.faults.add("wrong-kind", path, problem, 'Write it like 12.5 or "1/2 in".')
        return number

    def _measured(
        self,
        key: str,
        value: object,
        parse: Callable[[str], float],
        unit: str,
        low: float,
        high: float,
        above: bool,
    ) -> float | None:
        if value is None:
            return None
        number = self._read(self.key(key), key, value, parse)
        if number is None or (low <= number <= high and not (above and number == low)):
            return number
        least = f"more than {low:g}" if above else f"{low:g}"
        self.fault(
            "out-of-range",
            key,
            f'"{key}" is {number:g}; {least} to {high:g}{" " + unit if unit else ""} can be used.',
            "Check the number and its unit.",
        )
        return None


def plain_number(value: object) -> float | None:
    """Finite float of a TOML number, or None; true and false are no numbers."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        return None
    try:
        number = float(value)
    except OverflowError:
        return None
    return number if math.isfinite(number) else None


def is_literal(value: object) -> bool:
    """Whether a value stands for a length by itself, without a formula."""
    return is_quantity(value) if isinstance(value, str) else plain_number(value) is not None


def kind_of(value: object) -> str:
    """Name the kind of a TOML value, as a maker would."""
    match value:
        case bool():
            return "yes or no"
        case str():
            return "a text"
        case int() | float():
            return "a number" if plain_number(value) is not None else "a number beyond all bounds"
        case list():
            return f"a list of {len(value)}"
        case dict():
            return "a table"
        case datetime.date() | datetime.time():
            return "a date or time"
    return "nothing"
