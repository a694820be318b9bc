"""`next`: what to make now, and what to leave to suit."""

from __future__ import annotations

from pathlib import Path

import click

from foldwright.cli.root import DIR, JSON, cli, made_of, print_json


@cli.command(name="next")
@DIR
@JSON
def next_(build: Path, as_json: bool) -> None:
    """Say which parts to make now, which to leave to suit, and why."""
    from foldwright.what_next import what_next

    made = made_of(build)
    made.require()
    found = what_next(made)
    if as_json:
        print_json(
            {
                "begun": list(found.begun),
                "now": list(found.now),
                "why": {part: why for part, why in found.why.items() if why},
                "waits": {part: list(others) for part, others in found.waits.items()},
                "to_measure": {part: list(dims) for part, dims in found.to_measure.items()},
            }
        )
        return
    if not found.now and not found.begun:
        click.echo("Everything is made.")
        return
    if found.begun:
        click.echo("Begun and not measured; finish it and measure it:")
    for part in found.begun:
        why = f" {found.why[part]}" if found.why[part] else ""
        click.echo(f"  {part}: {made.stage(part)}.{why}")
    if found.now:
        click.echo("Make now, in one wave; nothing in it decides anything else in it:")
    for part in found.now:
        click.echo(f"  {part}{': ' + found.why[part] if found.why[part] else ''}")
    for part, dims in found.to_measure.items():
        if dims:
            shown = ", ".join(f"{part}.{dim}" for dim in dims)
            click.echo(f"Then measure {shown}: foldwright measure {build} {part}.{dims[0]} ...")
    if found.waits:
        click.echo("Leave until those are measured, to be made to suit:")
    for part, others in found.waits.items():
        click.echo(f"  {part}: waits for {', '.join(others)}")
