"""`mark`, `scrap`, `undo`, `export` and `import`: the ledger by hand."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from foldwright.cli.root import DIR, JSON, cli, print_json

if TYPE_CHECKING:
    from foldwright.ledger import Ledger
    from foldwright.make import Made

_NOTE = click.option("--note", default="", help="Anything worth remembering.")


@cli.command()
@DIR
@click.argument("part")
@click.argument("stage")
@_NOTE
@JSON
def mark(build: Path, part: str, stage: str, note: str, as_json: bool) -> None:
    """Say how far a part is: foldwright mark DIR lamp cut.

    Stages: marked, cut, grooved, folded, closed, joined, finished.
    """
    from foldwright import progress

    made, ledger = _opened(build)
    with ledger:
        entry = progress.mark(made, ledger, part, stage, note)
    _said(as_json, f"{part} is {stage}.", {"part": part, "stage": stage}, entry)


@cli.command()
@DIR
@click.argument("part")
@_NOTE
@JSON
def scrap(build: Path, part: str, note: str, as_json: bool) -> None:
    """Say that a part is scrap and will be made again; its readings are remembered."""
    from foldwright import progress

    made, ledger = _opened(build)
    with ledger:
        entry = progress.scrap(made, ledger, part, note)
    words = f"{part} is scrap. What comes next of it is a new one: measure it when it is made."
    _said(as_json, words, {"part": part}, entry)


@cli.command()
@DIR
@_NOTE
@JSON
def undo(build: Path, note: str, as_json: bool) -> None:
    """Take back the last thing that was written down; it stays in the history."""
    from foldwright.ledger import described

    _, ledger = _opened(build)
    with ledger:
        entry = ledger.undo(note)
    _said(as_json, f"Taken back: {described(entry)}", {"entry": described(entry)}, entry)


@cli.command(name="export")
@DIR
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
@JSON
def export_(build: Path, file: Path, as_json: bool) -> None:
    """Write the ledger to a file: FILE.csv has the readings, FILE.jsonl everything."""
    from foldwright.ledger import export_history, export_readings, is_table

    _, ledger = _opened(build)
    with ledger:
        count = (export_readings if is_table(file) else export_history)(ledger, file)
    one, more = ("reading", "readings") if is_table(file) else ("entry", "entries")
    words = f"{count} {one if count == 1 else more} written to {file}."
    _said(as_json, words, {"file": str(file), "count": count})


@cli.command(name="import")
@DIR
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
@JSON
def import_(build: Path, file: Path, as_json: bool) -> None:
    """Take a file that was exported into the ledger: all of it or nothing."""
    from foldwright.ledger import import_file, imported_in_words

    _, ledger = _opened(build)
    with ledger:
        found = import_file(ledger, file)
    added = len(found.added)
    words = imported_in_words(added, found.already, found.passed_over)
    _said(as_json, words, {"file": str(file), **vars(found), "added": added})


def _opened(build: Path) -> tuple[Made, Ledger]:
    from foldwright.make import make, open_build

    plan, ledger = open_build(build)
    return make(plan, ledger), ledger


def _said(as_json: bool, words: str, body: dict[str, Any], entry: Any = None) -> None:
    if as_json:
        print_json(body if entry is None else {**body, "id": entry.id, "when": entry.when})
        return
    click.echo(words)
