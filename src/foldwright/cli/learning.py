"""`habits`: what was learnt of the maker's hand, and how to take it back."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from foldwright.cli.root import DIR, JSON, cli, print_json

if TYPE_CHECKING:
    from foldwright.make import Made


@cli.command()
@DIR
@click.option("--forget", "process", help="A process, as listed, whose habit is to be forgotten.")
@click.option("--note", default="", help="Why; it is kept beside.")
@JSON
def habits(build: Path, process: str | None, note: str, as_json: bool) -> None:
    """Say what was learnt of your hand; forget some of it: foldwright habits DIR --forget cut.

    Readings stay; what is measured from then on is learnt from anew. `undo` takes a
    forgetting back.
    """
    from foldwright.errors import UnknownName
    from foldwright.make import make, open_build

    plan, ledger = open_build(build)
    with ledger:
        made = make(plan, ledger)
        if process is not None:
            known = [name for name in made.habits if " in " not in name]
            if process not in known:
                raise UnknownName("process with a habit", process, known)
            ledger.forget(process, note)
            made = make(plan, ledger)
    if as_json:
        print_json({"forgotten": sorted(made.forgotten), "habits": _habits_json(made)})
        return
    if process is not None:
        click.echo(f"What was learnt of {process} is forgotten; the readings stay.")
    _say(made)


def _say(made: Made) -> None:
    from foldwright.fit.learning import habit_words, times_seen

    found = [name for name in made.habits if times_seen(name, made.habits[name])]
    if not found:
        click.echo("Nothing is known of your hand yet. It is learnt from what you measure.")
        return
    said: dict[str, str] = {}
    for name in found:
        process, _, stock = name.partition(" in ")
        words = habit_words(process, made.habits[name], made.plan.units)
        if said.setdefault(process, words) == words and stock:
            continue  # the stock says nothing of its own
        click.echo(f"{process:12} {words}{f' In {stock}.' if stock else ''}")
    click.echo("The next patterns make up for it.")


def _habits_json(made: Made) -> list[dict[str, object]]:
    from foldwright.fit.learning import habit_words, times_seen
    from foldwright.shop import PROCESSES

    found: list[dict[str, object]] = []
    for name, habit in made.habits.items():
        process, _, stock = name.partition(" in ")
        found.append(
            {
                "process": process,
                "stock": stock or None,
                "bias": habit.mean * PROCESSES[process].scatter,
                "unit": PROCESSES[process].unit,
                "seen": times_seen(name, habit),
                "words": habit_words(process, habit, made.plan.units),
            }
        )
    return found
