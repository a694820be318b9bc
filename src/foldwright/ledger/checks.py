"""What an entry has to be by itself, before anybody asks what stands already.

Room: ledger. `require_sound` is asked by every write and of every line that is
taken in from a file, so that the ledger never holds a number that is none.
What an entry may be after others is the affair of `standing`.
"""

from __future__ import annotations

import math
from datetime import datetime

from foldwright.errors import OutOfDomain, UnknownName
from foldwright.ledger.records import (
    STAGES,
    Change,
    Entry,
    Forgetting,
    Reading,
    Revision,
    Scrap,
    StageReached,
    Withdrawal,
)

WHEN = "%Y-%m-%dT%H:%M:%SZ"  # ISO 8601, UTC, to the second


def require_sound(entry: Entry) -> None:
    """Raise unless an entry makes sense by itself.

    Raises
    ------
    OutOfDomain
        A number that is none, a sigma that is not above 0, an empty name, a
        time or text that cannot be kept, a revision that says nothing or the
        same thing twice.
    UnknownName
        No such stage.
    """
    match entry:
        case Reading():
            _require_reading(entry)
        case StageReached():
            _require_name("part", entry.part)
            if entry.stage not in STAGES:
                raise UnknownName("stage", entry.stage, STAGES)
            _require_revision_number(entry.revision)
        case Scrap():
            _require_name("part", entry.part)
            _require_text("was", entry.was)
            if entry.was == entry.part:
                raise OutOfDomain(
                    f"{entry.part} is said to have been {entry.was}, which is no other name. "
                    "Give its earlier name, or none.",
                    name="was",
                )
        case Revision():
            _require_changes(entry.changes)
        case Forgetting():
            _require_name("process", entry.process)
        case Withdrawal():
            pass
    if not isinstance(entry, Revision):
        _require_text("note", entry.note)
    _require_time(entry.when)


def _require_reading(reading: Reading) -> None:
    for name in ("part", "dim", "tool"):
        _require_name(name, getattr(reading, name))
    for name in ("value", "drawn", "sigma"):
        _require_finite(name, getattr(reading, name))
    if reading.sigma <= 0.0:
        raise OutOfDomain(
            f"sigma is {reading.sigma:g}, a reading is never surer than its tool. "
            "Give one standard deviation, more than 0.",
            name="sigma",
        )
    _require_revision_number(reading.revision)


def _require_changes(changes: tuple[Change, ...]) -> None:
    if not changes:
        raise OutOfDomain(
            "a revision without a change says nothing. Keep a refit that changes something.",
            name="changes",
        )
    seen: set[tuple[str, str]] = set()
    for change in changes:
        _require_name("part", change.part)
        _require_name("parameter", change.parameter)
        for name in ("before", "after", "plan_value"):
            _require_finite(name, getattr(change, name))
        for reason in change.why:
            _require_text("why", reason)
        key = (change.part, change.parameter)
        if key in seen:
            raise OutOfDomain(
                f"{change.part}.{change.parameter} is changed twice in one revision. "
                "Give one change for each parameter.",
                name="changes",
            )
        seen.add(key)


def _require_name(name: str, text: str) -> None:
    if not text:
        raise OutOfDomain(f"{name} is empty. Give the {name} that the plan names.", name=name)
    _require_text(name, text)


def _require_text(name: str, text: str) -> None:
    """Raise for what no file can hold, as half a character that a terminal passed on."""
    try:
        text.encode()
    except UnicodeEncodeError as error:
        raise OutOfDomain(
            f"{name} has a character that cannot be written down, at place {error.start + 1}. "
            "Type it anew.",
            name=name,
        ) from error


def _require_finite(name: str, number: float) -> None:
    if not math.isfinite(number):
        raise OutOfDomain(
            f"{name} is {number:g}, which is no measure. Give a plain number.", name=name
        )


# SQLite holds a whole number in 64 bits, one of them for the sign.
_MOST = 2**63 - 1


def _require_revision_number(number: int) -> None:
    if not 0 <= number <= _MOST:
        raise OutOfDomain(
            f"revision is {number}, and they count from 1. Give 0 for what is as first drawn.",
            name="revision",
        )


def _require_time(when: str) -> None:
    try:
        is_plain = datetime.fromisoformat(when).strftime(WHEN) == when
    except ValueError:
        is_plain = False
    if not is_plain:
        raise OutOfDomain(
            f'when is "{when}", which is no time in UTC. Write it like 2026-03-01T14:05:09Z.',
            name="when",
        )
