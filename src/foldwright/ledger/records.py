"""What the ledger holds, as frozen records.

Room: ledger. Every *entry* stands on a line of its own, counted from 1:

* a `Reading`: one dim of one made part, measured once;
* a `StageReached`: a part has got as far as one of the `STAGES`;
* a `Scrap`: what was made of a part is spoiled, and the part begins anew;
* a `Revision`: changes to parts not yet made, kept together;
* a `Forgetting`: what was learnt of a process is not believed from here on;
* a `Withdrawal`: one of the above was a mistake. It stays in the ledger.

A *making* of a part is one try at it, counted from 1; readings and stages
belong to the making that was on the bench when they were written down.

Lengths are mm and angles rad; times are ISO 8601 in UTC, to the second
(``2026-03-01T14:05:09Z``).
"""

from __future__ import annotations

from dataclasses import dataclass

from foldwright.errors import UnknownName

# In the order of the work. Which of them a part goes through depends on its kind: what
# is not grooved, folded or closed goes from cut to joined.
STAGES = ("planned", "marked", "cut", "grooved", "folded", "closed", "joined", "finished")
# A tool as sure as this reads hundredths [mm].
_FINE = 0.05


def has_reached(stage: str, wanted: str) -> bool:
    """Whether a part at `stage` has `wanted` behind it; each stage takes in those before it.

    Raises
    ------
    UnknownName
        One of them is no stage.

    Examples
    --------
    >>> has_reached("folded", "cut"), has_reached("marked", "cut")
    (True, False)
    """
    for name in (stage, wanted):
        if name not in STAGES:
            raise UnknownName("stage", name, STAGES)
    return STAGES.index(stage) >= STAGES.index(wanted)


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
        Revision of the pattern that the part was made by; 0 as first drawn.
    drawn : float
        The dim as drawn when the part was made [mm or rad].
    sigma : float
        One standard deviation of the reading [mm or rad].
    making : int
        Which making of the part was measured, from 1.
    instead : bool
        It stands in place of the earlier readings of this dim in this
        making. If it is withdrawn, they stand again.
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
    making: int = 1
    instead: bool = False

    @property
    def is_fine(self) -> bool:
        """Whether its tool reads hundredths, as a caliper does in a bore."""
        return self.sigma <= _FINE


@dataclass(frozen=True)
class StageReached:
    """A part has got as far as `stage`, one of `STAGES`; fields as in `Reading`."""

    id: int
    part: str
    stage: str
    when: str
    note: str
    revision: int
    making: int


@dataclass(frozen=True)
class Scrap:
    """Making number `making` of a part is spoiled; what comes after is the next making.

    `was` is an earlier name of the part, as the plan has it, whose making
    ends too; empty if it had none.
    """

    id: int
    part: str
    when: str
    note: str
    making: int
    was: str = ""


@dataclass(frozen=True)
class Withdrawal:
    """The maker's word that an entry was a mistake.

    `id` is its own line of the ledger, `entry` the line it withdraws.
    """

    id: int
    entry: int
    when: str
    note: str


@dataclass(frozen=True)
class Forgetting:
    """What was learnt of a process up to here is not believed any more.

    Learning looks at readings whose line comes after `id` alone.
    """

    id: int
    process: str
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
    """Changes kept together; `number` counts from 1, `id` is the line of the ledger."""

    number: int
    when: str
    changes: tuple[Change, ...]
    id: int = 0


type Entry = Reading | StageReached | Scrap | Revision | Forgetting | Withdrawal


@dataclass(frozen=True)
class Making:
    """One try at a part, as the ledger tells it.

    Attributes
    ----------
    part : str
    number : int
        From 1.
    stage : str
        As far as it got.
    revision : int or None
        Revision of the pattern it was made by; None if nothing was written
        down of it yet.
    readings : tuple of Reading
        That stand, or stood when it was scrapped; oldest first.
    scrap : Scrap or None
        How it ended; None while it is on the bench, or good.
    """

    part: str
    number: int
    stage: str
    revision: int | None
    readings: tuple[Reading, ...]
    scrap: Scrap | None
