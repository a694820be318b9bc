"""`refit`: what to change in the parts not made yet."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from foldwright.cli.meets import meet_json, meet_line
from foldwright.cli.root import DIR, JSON, cli, print_json

if TYPE_CHECKING:
    from foldwright.make import Made, Outcome


@cli.command()
@DIR
@click.option("--keep", is_flag=True, help="Keep the changes as a revision.")
@JSON
def refit(build: Path, keep: bool, as_json: bool) -> None:
    """Say what to change in the parts not made yet, and why."""
    from foldwright.make import make, open_build

    plan, ledger = open_build(build)
    with ledger:
        made = make(plan, ledger)
        outcome = made.outcome
        is_kept = keep and bool(outcome.shifts)
        revision = ledger.add_revision(outcome.changes()).number if is_kept else None
    if as_json:
        print_json(_outcome_json(made, outcome, revision) | _cannot_fit_json(made))
        return
    _say_outcome(made, outcome)
    _say_remedies(made, build)
    if revision is not None:
        click.echo(f"Kept as revision {revision}. Draw it: foldwright make {build}")
    elif outcome.shifts:
        click.echo(f"Nothing is kept yet. To keep it: foldwright refit {build} --keep")


def _say_remedies(made: Made, build: Path) -> None:
    """Say what contradicts among what is made, and what would cure it, the cheapest first."""
    found = made.assembly.contradiction
    if found is None:
        return
    from foldwright.fit import part_in_words

    parts, meets = (part_in_words(", ".join(names)) for names in (found.made, found.meets))
    click.echo(f"Cannot fit: {parts} as made cannot satisfy {meets}, whatever the rest is cut to.")
    for sentence in made.assembly.why_no_trim:
        click.echo(f"  {sentence}")
    remedies = made.remedies
    if not remedies:
        click.echo("  No trimming, shimming or remaking of single parts cures it. Change the plan.")
    for i, remedy in enumerate(remedies, 1):
        click.echo(f"  {i}. {'; '.join(remedy.words)}: about {remedy.minutes:.0f} minutes.")
    if remedies:
        click.echo(
            f"When it is done, measure what was trimmed anew: foldwright measure {build} PART.DIM "
            f"... --instead. What is made again is scrapped first: foldwright scrap {build} PART."
        )


def _cannot_fit_json(made: Made) -> dict[str, Any]:
    found = made.assembly.contradiction
    if found is None:
        return {"contradiction": None, "why_no_trim": [], "remedies": []}
    return {
        "contradiction": {"parts": list(found.made), "meets": list(found.meets)},
        "why_no_trim": list(made.assembly.why_no_trim),
        "remedies": [
            {"words": list(remedy.words), "minutes": remedy.minutes} for remedy in made.remedies
        ],
    }


def _say_outcome(made: Made, outcome: Outcome) -> None:
    from foldwright.fit import is_in_danger
    from foldwright.make import sentence_of_chance

    if not outcome.shifts:
        click.echo(
            "No change of the parts not made yet would help."
            if outcome.shut_out or any(is_in_danger(f) for f in outcome.after)
            else "Everything suits as it is drawn; no part changes."
        )
    for sentence in (*outcome.shut_out, *made.at_odds()):
        click.echo(sentence)
    changed = dict.fromkeys(shift.part for shift in outcome.shifts)
    for part in changed:
        _say_changes(made, outcome, part)
    left = sum(not b.is_made for b in made.beliefs.values()) - len(changed)
    if changed:
        stand = f"The other {left} not made yet stand." if left > 1 else "The other one stands."
        click.echo(stand if left else "No other part is left.")
    for before, after in zip(outcome.before, outcome.after, strict=True):
        if abs(after.chance - before.chance) > 0.005:
            click.echo(
                f"{after.meet.name}: held {sentence_of_chance(before.chance)}, "
                f"redrawn {sentence_of_chance(after.chance)}."
            )
            if after.chance < before.chance and changed.keys() & set(after.meet.parts):
                click.echo("  It is drawn towards the side on which a miss is quickly put right.")
        elif is_in_danger(after):
            click.echo(meet_line(made, after).strip())
            click.echo("  Look at its range, its place, and the parts that are made.")


def _say_changes(made: Made, outcome: Outcome, part: str) -> None:
    """Say what changes in one part, then why, each reason once."""
    from foldwright.fit import dim_in_words

    reasons: dict[str, None] = {}
    for shift, why in zip(outcome.shifts, outcome.why, strict=True):
        if shift.part != part:
            continue
        figures = 2 if made.is_fine(part, shift.parameter.name) else 1
        by = round(shift.after, figures) - round(shift.before, figures)  # as they are shown
        size, before, after = (
            made.shown(part, shift.parameter.name, mm)
            for mm in (abs(by), shift.before, shift.after)
        )
        how = "larger" if by > 0 else "smaller"
        name = dim_in_words(shift.parameter.name)
        click.echo(f"{part}: {name} {size} {how}, from {before} to {after}.")
        reasons |= dict.fromkeys(why)
    for sentence in reasons:
        click.echo(f"  {sentence}")


def _outcome_json(made: Made, outcome: Outcome, revision: int | None) -> dict[str, Any]:
    return {
        "changes": [
            {
                "part": s.part,
                "parameter": s.parameter.name,
                "before": s.before,
                "after": s.after,
                "plan": s.parameter.value,
                "give": s.parameter.give,
                "why": list(why),
            }
            for s, why in zip(outcome.shifts, outcome.why, strict=True)
        ],
        "meets": [
            {**meet_json(after), "chance_before": before.chance}
            for before, after in zip(outcome.before, outcome.after, strict=True)
        ],
        "cannot_be_drawn": list(outcome.shut_out),
        "at_odds": list(made.at_odds()),
        "revision": revision,
    }
