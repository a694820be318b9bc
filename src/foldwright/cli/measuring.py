"""`measure`: readings of made parts into the ledger."""

from __future__ import annotations

from pathlib import Path

import click

from foldwright.cli.meets import meet_json, meet_line
from foldwright.cli.root import DIR, JSON, cli, print_json
from foldwright.errors import FoldwrightError


@cli.command(context_settings={"ignore_unknown_options": True})  # -5 is a value, if a bad one
@DIR
@click.argument("dim", metavar="PART.DIM")
@click.argument("value")
@click.option("--with", "tool", help="Tool: rule, tape, caliper; else the usual one.")
@click.option("--finished", is_flag=True, help="Measured with the finish on; else bare.")
@click.option("--note", default="", help="Anything worth remembering.")
@click.option("--sure", is_flag=True, help="Keep it although it looks like a slip.")
@click.option("--instead", is_flag=True, help="Withdraw the earlier readings of this dim.")
@JSON
def measure(
    build: Path,
    dim: str,
    value: str,
    tool: str | None,
    finished: bool,
    note: str,
    sure: bool,
    instead: bool,
    as_json: bool,
) -> None:
    """Keep a reading of a made part: foldwright measure DIR lamp.girth 694.5 --with tape."""
    from foldwright.make import make, open_build
    from foldwright.readings import take

    plan, ledger = open_build(build)
    with ledger:
        reading = take(make(plan, ledger), ledger, dim, value, tool, finished, note, sure, instead)
        made = make(plan, ledger)
    from foldwright.fit import is_in_danger

    untold = ""  # the reading is kept by now: what cannot be told of the meets is no refusal
    try:
        in_danger = [f for f in made.forecasts if is_in_danger(f)]
    except FoldwrightError as fault:
        in_danger, untold = [], str(fault)
    if as_json:
        print_json(
            {
                "reading": {
                    "id": reading.id,
                    "part": reading.part,
                    "dim": reading.dim,
                    "value": reading.value,
                    "drawn": reading.drawn,
                    "tool": reading.tool,
                    "bare": reading.bare,
                    "when": reading.when,
                },
                "at_odds": list(made.at_odds()),
                "in_danger": [meet_json(f) for f in in_danger],
                "untold": untold,
            }
        )
        return
    from foldwright.fit import came_out

    click.echo(f"Kept. {came_out(reading, plan.units)}")
    for sentence in made.at_odds():
        click.echo(f"  {sentence}")
    if untold:
        click.echo(f"How the meets stand cannot be told yet. {untold}")
        return
    touched = [f for f in in_danger if made.looks_at(f, reading.part)]
    for found in touched:
        click.echo(meet_line(made, found))
    others = [f.meet.name for f in in_danger if f not in touched]
    if others:
        click.echo(f"  In danger without it: {'; '.join(others)}.")
    click.echo(
        f"See what to change: foldwright refit {build}"
        if in_danger
        else "Every meet still holds well; nothing needs changing."
    )
