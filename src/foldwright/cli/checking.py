"""`check`: whether everything can be made, and how each meet stands."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from foldwright.cli.meets import meet_json, meet_line
from foldwright.cli.root import DIR, JSON, cli, made_of, print_json

if TYPE_CHECKING:
    from foldwright.make import Made


@cli.command()
@DIR
@JSON
def check(build: Path, as_json: bool) -> None:
    """Say whether everything can be made and how each meet stands."""
    from foldwright.plan import in_units, show_length

    made = made_of(build)
    made.require()
    if as_json:
        print_json(
            {
                "build": made.plan.name,
                "parts": [
                    {
                        "part": pattern.part,
                        "pieces": len(pattern.pieces),
                        "folds": sum(len(p.folds) for p in pattern.pieces),
                        "revision": made.revision_of(pattern.part),
                        "largest_deviation_mm": max(
                            (p.deviation for p in pattern.pieces), default=0.0
                        ),
                        "notes": list(pattern.notes),
                        "warnings": list(made.forming(pattern.part).warnings),
                    }
                    for pattern in made.patterns
                ],
                "meets": [meet_json(f) for f in made.forecasts],
            }
        )
        return
    lacking = {name: sentences for name in made.parts if (sentences := made.too_large(name))}
    click.echo(_headline(made, len(lacking)))
    for sentence in made.strangers():
        click.echo(f"  {sentence}")
    for pattern in made.patterns:
        folds = sum(len(piece.folds) for piece in pattern.pieces)
        pieces = len(pattern.pieces)
        what = [f"{pieces} piece{'s' if pieces > 1 else ''}"] if pieces else []
        what += [f"{folds} fold{'s' if folds > 1 else ''}"] if folds else []
        what += [
            f"{made.plan.stocks[c.stock].form} {show_length(c.length, made.plan.units)}"
            for c in pattern.lengths
        ]
        click.echo(f"  {pattern.part}: {', '.join(what) or 'bought'}")
        for note in (
            *pattern.notes,
            *lacking.get(pattern.part, ()),
            *made.forming(pattern.part).warnings,
            *made.edited_since(pattern.part),
        ):
            click.echo(f"    {in_units(note, made.plan.units)}")
    _say_meets(made)


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
