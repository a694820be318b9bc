"""`reckon`: the ready reckoner."""

from __future__ import annotations

import click

from foldwright.cli.root import JSON, cli, print_json


@cli.command(context_settings={"ignore_unknown_options": True})  # -5 is a value, if a bad one
@click.argument("name", required=False)
@click.argument("inputs", nargs=-1, metavar="[INPUT=VALUE]...")
@JSON
def reckon(name: str | None, inputs: tuple[str, ...], as_json: bool) -> None:
    """Sums done at the bench: foldwright reckon press-plug bore=46.12 wall=2.

    Without a name, lists them all; with a name alone, says what it asks.
    """
    from foldwright import reckon as room

    if name is None:
        if as_json:
            known = [{"name": r.name, "title": r.title} for r in room.RECKONERS]
            print_json({"reckoners": known})
            return
        click.echo(room.listing(room.RECKONERS))
        click.echo("\nAsk one what it needs: foldwright reckon NAME")
        return
    found = room.reckoner_named(name)
    if not inputs and not as_json and any(i.usual is None for i in found.inputs):
        click.echo(room.asked(found))
        return
    answer = room.reckon(found, room.split_pairs(inputs))
    if as_json:
        print_json(room.as_json(answer))
        return
    click.echo(room.in_words(answer))
