"""Everything that Foldwright can refuse, in one tree.

::

    FoldwrightError
    |-- OutOfDomain (ValueError)      a number outside the range where a formula holds
    |-- CannotMake (ValueError)       a part that hands and stock cannot make as asked
    |-- PlanFaults (ValueError)       a plan that cannot be used; carries every fault
    |-- FormulaError (ValueError)     a formula that cannot be read, or has no value
    |-- QuantityError (ValueError)    a number with its unit that cannot be read
    |-- UnknownName (LookupError)     no such part, dim, tool, material; carries the nearest names
    |-- DoubtfulReading (ValueError)  a reading that looks like a slip; asks before it is kept
    |-- ImportFaults (ValueError)     a file that cannot be taken in; carries every fault
    |-- Overtaken (RuntimeError)      what was shown has changed meanwhile; nothing was done
    |-- NoPicture (ValueError)        a file that holds no picture that can be read
    |-- LedgerTrouble (OSError)       the ledger is locked, damaged, full or from a newer version
    `-- OutputRefused (OSError)       a file or folder that is not ours to write

Each class also inherits the builtin that a stranger would catch, and carries
its facts as attributes. A message says what is wrong with which value, what
was expected, and what to change.
"""

from __future__ import annotations

import tempfile
import traceback
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from difflib import get_close_matches


class FoldwrightError(Exception):
    """Anything that Foldwright refuses in words."""


class OutOfDomain(FoldwrightError, ValueError):
    """A number lies outside the range where a formula holds."""

    def __init__(self, message: str, *, name: str) -> None:
        super().__init__(message)
        self.name = name


class CannotMake(FoldwrightError, ValueError):
    """A part cannot be made as asked.

    `field` is the key of the plan that the maker would change, relative to
    the part (``"fold.floor"``, ``"outline"``), so that the fault can be shown
    on its own line.
    """

    def __init__(self, message: str, *, part: str, field: str, remedy: str) -> None:
        super().__init__(f"{message} {remedy}")
        self.part = part
        self.field = field
        self.problem = message
        self.remedy = remedy


@dataclass(frozen=True)
class Fault:
    """One thing wrong with a plan.

    Attributes
    ----------
    code : str
        Short stable name of the kind of fault, for programs.
    file : str
        Name of the plan file as the maker typed it.
    line : int
        1-based line; 0 when the fault belongs to no line.
    text : str
        The offending line or value, as written.
    problem, remedy : str
        What is wrong, and what would be right.
    """

    code: str
    file: str
    line: int
    text: str
    problem: str
    remedy: str

    def __str__(self) -> str:
        place = f"{self.file}:{self.line}" if self.line else self.file
        head = f"{place}: {self.text}" if self.text else place
        return f"{head}\n  {self.problem}\n  {self.remedy}"


class PlanFaults(FoldwrightError, ValueError):
    """A plan cannot be used; every fault is listed."""

    def __init__(self, faults: Sequence[Fault]) -> None:
        super().__init__("\n".join(str(fault) for fault in faults))
        self.faults = tuple(faults)


class FormulaError(FoldwrightError, ValueError):
    """A formula cannot be read, or has no value.

    `text` is the formula as written; `at` the place in it, counted from 0;
    `problem` and `remedy` are the two halves of the message.
    """

    def __init__(self, problem: str, *, text: str, at: int, remedy: str) -> None:
        super().__init__(f"{problem} {remedy}")
        self.problem = problem
        self.remedy = remedy
        self.text = text
        self.at = at


class QuantityError(FoldwrightError, ValueError):
    """A number with its unit cannot be read; fields as in `FormulaError`."""

    def __init__(self, problem: str, *, text: str, remedy: str) -> None:
        super().__init__(f"{problem} {remedy}")
        self.problem = problem
        self.remedy = remedy
        self.text = text


class UnknownName(FoldwrightError, LookupError):
    """A name is not among the known ones."""

    def __init__(self, kind: str, name: str, known: Iterable[str]) -> None:
        self.kind, self.name, self.known = kind, name, tuple(known)
        self.nearest = nearest_names(name, self.known)
        super().__init__(f'There is no {kind} "{name}". {self.offer()}')

    def offer(self) -> str:
        """Sentence that offers the nearest names, or lists what there is."""
        return offer_names(self.name, self.known)


class DoubtfulReading(FoldwrightError, ValueError):
    """A reading looks like a slip of the hand; it is kept only if the maker is sure."""

    def __init__(self, message: str, *, value: float, suggestion: float | None) -> None:
        super().__init__(message)
        self.value = value
        self.suggestion = suggestion


class ImportFaults(FoldwrightError, ValueError):
    """A file cannot be taken into the ledger; every fault is listed, and nothing was taken in."""

    def __init__(self, faults: Sequence[Fault]) -> None:
        super().__init__("\n".join(str(fault) for fault in faults))
        self.faults = tuple(faults)


class Overtaken(FoldwrightError, RuntimeError):
    """What the maker looked at has changed meanwhile, so nothing was done."""


class NoPicture(FoldwrightError, ValueError):
    """A file holds no picture that can be read, or one too large."""


class LedgerTrouble(FoldwrightError, OSError):
    """The ledger cannot be read or written; nothing in it was changed."""


class OutputRefused(FoldwrightError, OSError):
    """A file or folder that Foldwright did not write stands in the way."""


def nearest_names(name: str, known: Iterable[str], count: int = 3) -> tuple[str, ...]:
    """Known names that look most like `name`, best first; empty if none does."""
    by_lower = {k.lower(): k for k in known}
    return tuple(
        by_lower[k] for k in get_close_matches(name.lower(), by_lower, n=count, cutoff=0.5)
    )


def offer_names(name: str, known: Iterable[str]) -> str:
    """Return "Did you mean a or b?", or "There are: a, b, c." when nothing is near."""
    names = tuple(known)
    near = nearest_names(name, names)
    if near:
        return f"Did you mean {' or '.join(near)}?"
    if names:
        return f"There are: {', '.join(names)}."
    return "There are none yet."


def own_mistake(fault: BaseException) -> str:
    """Write down what went wrong in Foldwright itself; return what the maker is told."""
    with tempfile.NamedTemporaryFile(
        "w", prefix="foldwright-mistake-", suffix=".txt", delete=False
    ) as file:
        traceback.print_exception(fault, file=file)
    return (
        "Foldwright made a mistake of its own; nothing of yours was changed. "
        f"What happened is written in {file.name}; please send it with the plan."
    )
