"""`check`: whether everything can be made, and how each meet stands."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from foldwright.cli.meets import meet_json, meet_line
from foldwright.cli.root import DIR, JSON, cli, made_of, print_json

if TYPE_CHECKING:
    from foldwright.flat import Pattern
    from foldwright.make import Made


@cli.command()
@DIR
@JSON
def check(build: Path, as_json: bool) -> None:
    """Say whether everything can be made and how each meet stands."""
    made = made_of(build)
    made.require()
    if as_json:
        parts = [_part_json(made, pattern) for pattern in made.patterns]
        meets = [meet_json(found) for found in made.forecasts]
        print_json({"build": made.plan.name, "parts": parts, "meets": meets})
        return
    lacking = {name: sentences for name in made.parts if (sentences := made.too_large(name))}
    click.echo(_headline(made, len(lacking)))
    for sentence in made.strangers():
        click.echo(f"  {sentence}")
    for pattern in made.patterns:
        _say_part(made, pattern, lacking.get(pattern.part, ()))
    _say_meets(made)


def _part_json(made: Made, pattern: Pattern) -> dict[str, object]:
    return {
        "part": pattern.part,
        "pieces": len(pattern.pieces),
        "folds": sum(len(p.folds) for p in pattern.pieces),
        "revision": made.revision_of(pattern.part),
        "largest_deviation_mm": max((p.deviation for p in pattern.pieces), default=0.0),
        "notes": list(pattern.notes),
        "warnings": list(made.forming(pattern.part).warnings),
        "standing": list(_as_it_stands(made, pattern.part)),
    }


def _as_it_stands(made: Made, part: str) -> tuple[str, ...]:
    """What is made and what is drawn, where they do not agree."""
    return (*made.at_odds(part), *made.edited_since(part), *made.off_its_shell(part))


def _say_part(made: Made, pattern: Pattern, lacking: Sequence[str]) -> None:
    """Say what a part is cut from, and below it what its maker should know first."""
    from foldwright.plan import in_units, show_length

    units = made.plan.units
    folds, pieces = sum(len(piece.folds) for piece in pattern.pieces), len(pattern.pieces)
    what = [f"{pieces} piece{'s' if pieces > 1 else ''}"] if pieces else []
    what += [f"{folds} fold{'s' if folds > 1 else ''}"] if folds else []
    for cut in made.sawn(pattern.part):
        what.append(f"{made.plan.stocks[cut.stock].form} {show_length(cut.length, units)}")
    click.echo(f"  {pattern.part}: {', '.join(what) or 'bought'}")
    forming, standing = made.forming(pattern.part), _as_it_stands(made, pattern.part)
    for note in (*pattern.notes, *lacking, *forming.warnings, *standing):
        click.echo(f"    {in_units(note, units)}")


def _headline(made: Made, lacking: int) -> str:
    count = len(made.parts)
    said = f"{count} parts, all can be drawn" if count > 1 else "one part, and it can be drawn"
    if lacking:
        return f"{made.plan.name}: {said}; the rack is too small for {lacking} of them."
    return (
        f"{made.plan.name}: {count} parts, all can be made."
        if count > 1
        else (f"{made.plan.name}: one part, and it can be made.")
    )


def _say_meets(made: Made) -> None:
    if not made.forecasts:
        return
    click.echo("Meets, with everything not yet made as drawn:")
    for found in made.forecasts:
        click.echo(meet_line(made, found))
