"""The refit as a job: what to change, why, how it looks, and what to make next.

All of it is worked out in one go in a process of its own, drawings too, and handed back
as plain records. `Refit` knows from which plan and ledger it follows, so that it is kept
only if both are still the same.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from foldwright.build_book import offer_for
from foldwright.draw import Changed
from foldwright.errors import Overtaken
from foldwright.fit import MeetForecast, is_in_danger
from foldwright.ledger import Ledger, Revision
from foldwright.ledger.standing import Standing
from foldwright.make import Cured, Made, Outcome, make, open_build
from foldwright.plan.editing import digest_of
from foldwright.sizing import DrivenPart, redrawn
from foldwright.web.jobs import Say
from foldwright.what_next import Next, what_next

KIND = "refit"
_STEPS = 5
# A chance that moves by less shows the same hundredth.
_SEEN = 0.005
OVERTAKEN = (
    "The build changed since this was worked out: a reading came in, or the plan was changed. "
    "Nothing was kept. It is worked out anew; look at it again before you keep it."
)


@dataclass(frozen=True)
class Redrawn:
    """A part that changes: the words of it, and how it looks before and after."""

    change: Changed
    drifts: tuple[tuple[str, float, float], ...]
    before: DrivenPart
    after: DrivenPart


@dataclass(frozen=True)
class Refit(Outcome):
    """An outcome with what a page shows of it; the first fields as in `Outcome`.

    Attributes
    ----------
    plan, line : str, int
        Digest of the plan and next line of the ledger that it follows from.
    parts : tuple of Redrawn
        `drifts` are by parameter: how far it is from the drawing then, and its give [mm].
    standing : int
        How many parts that are not made yet stand as they are.
    odds : tuple of (str, float, float, bool)
        Meets whose chance changes: name, before, after, and whether it is drawn towards
        the side on which a miss is quickly put right.
    dangers : tuple of str
        Meets that stay in danger.
    contradiction : tuple of (parts, meets) or None
    at_odds : tuple of str
        Readings that do not agree, in words.
    why_no_trim : tuple of str
        Sentences; empty if trimming alone can cure it.
    cures : tuple of Cured
    next : Next
    """

    plan: str = ""
    line: int = 0
    at_odds: tuple[str, ...] = ()
    parts: tuple[Redrawn, ...] = ()
    standing: int = 0
    odds: tuple[tuple[str, float, float, bool], ...] = ()
    dangers: tuple[str, ...] = ()
    contradiction: tuple[tuple[str, ...], tuple[str, ...]] | None = None
    why_no_trim: tuple[str, ...] = ()
    cures: tuple[Cured, ...] = ()
    next: Next | None = None

    @property
    def key(self) -> str:
        """What its keeping is known by: once it is kept, the ledger is a line further."""
        return f"refit-{self.line}-{self.plan[:20]}"


def work_out(folder: Path, *, say: Say) -> Refit:
    """Work a refit out; what `jobs` runs."""
    say(0, _STEPS, "Reading the plan and what was measured")
    plan, ledger = open_build(folder)
    with ledger:
        line = ledger.standing().next_line  # before the readings: too old is refused, never kept
        made = make(plan, ledger)
    say(1, _STEPS, "Working out how each meet stands")
    _ = made.forecasts
    say(2, _STEPS, "Looking for the fewest changes that make everything meet")
    outcome = made.outcome
    say(3, _STEPS, "Looking whether what is made can be met at all")
    found = made.assembly.contradiction
    cures = made.remedies if found is not None else ()
    say(4, _STEPS, "Drawing what changes")
    changed = tuple(dict.fromkeys(shift.part for shift in outcome.shifts))
    return Refit(
        outcome.shifts,
        outcome.why,
        outcome.before,
        outcome.after,
        outcome.of_shells,
        outcome.shut_out,
        plan=_digest(made),
        line=line,
        at_odds=made.at_odds(),
        parts=_redrawn(made, outcome, changed),
        standing=sum(not b.is_made for b in made.beliefs.values()) - len(changed),
        odds=tuple(_odds(outcome.before, outcome.after, changed)),
        dangers=tuple(found.meet.name for found in outcome.after if is_in_danger(found)),
        contradiction=(found.made, found.meets) if found is not None else None,
        why_no_trim=made.assembly.why_no_trim,
        cures=cures,
        next=what_next(made),
    )


def keep(refit: Refit, made: Made, ledger: Ledger) -> None:
    """Keep a refit as a revision.

    Raises
    ------
    Overtaken
        Plan or ledger are no longer those that it follows from.
    """
    if _digest(made) != refit.plan:
        raise Overtaken(OVERTAKEN)

    def choose(standing: Standing) -> Sequence[Revision]:
        if standing.next_line != refit.line:
            raise Overtaken(OVERTAKEN)
        return (
            Revision(standing.next_revision, ledger.now(), refit.changes(), id=standing.next_line),
        )

    ledger.append(choose)


def _digest(made: Made) -> str:
    return digest_of("\n".join(made.plan.source))


def _redrawn(made: Made, outcome: Outcome, changed: Sequence[str]) -> tuple[Redrawn, ...]:
    if not changed:
        return ()
    number = max((r.number for r in made.revisions), default=0) + 1
    then = replace(made, revisions=(*made.revisions, Revision(number, "", outcome.changes())))
    drawn: dict[tuple[object, ...], tuple[DrivenPart, DrivenPart]] = {}
    found = []
    for part in changed:
        # equal parts that change alike look alike: drawn once, told one by one
        alike = made.plan.parts[part].family or part, then.parts[part].parameters
        if alike not in drawn:
            drawn[alike] = redrawn(then, made, part), redrawn(made, then, part)
        drifts = tuple(
            (s.parameter.name, s.after - s.parameter.value, s.parameter.give)
            for s in outcome.shifts
            if s.part == part
        )
        found.append(Redrawn(offer_for(made, part), drifts, *drawn[alike]))
    return tuple(found)


def _odds(
    before: Sequence[MeetForecast], after: Sequence[MeetForecast], changed: Sequence[str]
) -> list[tuple[str, float, float, bool]]:
    return [
        (
            then.meet.name,
            now.chance,
            then.chance,
            then.chance < now.chance and bool(set(changed) & set(then.meet.parts)),
        )
        for now, then in zip(before, after, strict=True)
        if abs(then.chance - now.chance) > _SEEN
    ]
