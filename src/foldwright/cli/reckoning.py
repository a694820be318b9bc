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
    from foldwright.reckon import RECKONERS, in_words, listing, reckoner_named, split_pairs, sums

    if name is None:
        if as_json:
            print_json({"reckoners": [{"name": r.name, "title": r.title} for r in RECKONERS]})
            return
        click.echo(listing(RECKONERS))
        click.echo("\nAsk one what it needs: foldwright reckon NAME")
        return
    found = reckoner_named(name)
    if not inputs and not as_json and any(i.usual is None for i in found.inputs):
        click.echo(sums.asked(found))
        return
    answer = sums.reckon(found, split_pairs(inputs))
    if as_json:
        print_json(sums.as_json(answer))
        return
    click.echo(in_words(answer))
