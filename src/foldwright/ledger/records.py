"""What the ledger holds, as frozen records.

Room: ledger. A *reading* is one dim of one made part, measured once. A
*withdrawal* says that a reading was a mistake; the reading stays in the
ledger. A *revision* is a set of changes to parts not yet made, kept together.

Lengths are mm and angles rad; times are ISO 8601 in UTC, to the second
(``2026-03-01T14:05:09Z``).
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Reading:
    """One dim of one made part, measured once.

    Attributes
    ----------
    id : int
        Line of the ledger, from 1; never used twice.
    part, dim : str
        ``"lamp"`` and ``"girth"`` for what the plan calls lamp.girth.
    value : float
        As measured, corrected for the tool [mm or rad].
    tool : str
        Name of the tool (see `TOOLS`).
    bare : bool
        Measured before the finish went on.
    when : str
        When it was written down.
    note : str
        The maker's words; may be empty.
    revision : int
        Latest revision when it was written down; 0 before the first.
    drawn : float
        The dim as drawn when the part was made [mm or rad].
    sigma : float
        One standard deviation of the reading [mm or rad].
    """

    id: int
    part: str
    dim: str
    value: float
    tool: str
    bare: bool
    when: str
    note: str
    revision: int
    drawn: float
    sigma: float


@dataclass(frozen=True)
class Withdrawal:
    """The maker's word that a reading was a mistake.

    `id` is its own line of the ledger, `reading` the line it withdraws.
    """

    id: int
    reading: int
    when: str
    note: str


@dataclass(frozen=True)
class Change:
    """One parameter of one part, changed by a refit [mm].

    Attributes
    ----------
    part, parameter : str
    before, after : float
        What it was when the change was kept, and what it is since.
    plan_value : float
        What the plan said then; a plan edited since is told by comparing.
    why : tuple of str
        Reasons in words, one for each meet that forces the change.
    """

    part: str
    parameter: str
    before: float
    after: float
    plan_value: float
    why: tuple[str, ...] = ()


@dataclass(frozen=True)
class Revision:
    """Changes kept together; `number` counts from 1."""

    number: int
    when: str
    changes: tuple[Change, ...]
