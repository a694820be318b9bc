"""Entries of the ledger in words, for whoever asks what was written down.

Room: ledger.
"""

from __future__ import annotations

import math

from foldwright.ledger.records import (
    Entry,
    Forgetting,
    Reading,
    Revision,
    Scrap,
    StageReached,
)


def described(entry: Entry) -> str:
    """Say what an entry is, in one sentence; lengths in mm, angles in degrees.

    Parameters
    ----------
    entry : Entry

    Examples
    --------
    >>> described(Scrap(7, "lid", "2026-03-01T14:05:09Z", "split", 1))
    'lid was scrapped (split).'
    """
    note = f" ({entry.note})" if not isinstance(entry, Revision) and entry.note else ""
    match entry:
        case Reading():
            value = f"{entry.value:.2f} mm"
            if entry.tool == "protractor":
                value = f"{math.degrees(entry.value):.1f} degrees"
            return f"{entry.part}.{entry.dim} read {value} by {entry.tool}{note}."
        case StageReached():
            return f"{entry.part} was {entry.stage}{note}."
        case Scrap():
            return f"{entry.part} was scrapped{note}."
        case Revision():
            parts = ", ".join(dict.fromkeys(change.part for change in entry.changes))
            return f"revision {entry.number} of {parts}."
        case Forgetting():
            return f"what was learnt of {entry.process} was forgotten{note}."
        case _:
            return f"entry {entry.entry} was withdrawn{note}."
