"""`make`: everything that is drawn."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from foldwright.cli.root import DIR, JSON, cli, made_of, print_json


@cli.command(name="make")
@DIR
@click.option("--out", type=click.Path(path_type=Path), help="Folder for the drawings; DIR/out.")
@click.option("--part", "parts", multiple=True, help="Only this part; may be given again.")
@click.option("--paper", default="", help='"a4", "letter", "a3", "roll 610"; as the plan says.')
@click.option("--quick", is_flag=True, help="Patterns, SVG and DXF only; no paper, no layouts.")
@click.option(
    "--seconds",
    type=click.FloatRange(0.1, 600.0),
    default=2.0,
    show_default=True,
    help="To look for a good layout of each stock.",
)
@JSON
def make_(
    build: Path,
    out: Path | None,
    parts: tuple[str, ...],
    paper: str,
    quick: bool,
    seconds: float,
    as_json: bool,
) -> None:
    """Draw patterns, 1:1 templates, marking-out sheets, gauges, layouts and the build book."""
    from foldwright.outputs import Wish, write_outputs

    made = made_of(build)
    where = made.plan.path.parent
    wish = Wish(parts, paper, made.maker.printer, quick, seconds)
    if not (parts or quick or as_json):
        click.echo("Drawing; the layouts and the book take a little while.", err=True)
    written = write_outputs(made, out or where / "out", date.today().isoformat(), wish)
    if as_json:
        print_json({"folder": str(written.folder), "files": list(written.names)})
        return
    say_written(written.folder, written.names)


def say_written(folder: Path, names: tuple[str, ...]) -> None:
    """Say what was drawn, and where it lies."""
    from foldwright.outputs import KINDS, kind_of

    click.echo(f"Drawn in {folder}:")
    for kind in KINDS:
        for name in names:
            if kind_of(name) is kind and "/" not in kind.begin:  # those of a folder come together
                click.echo(f"  {name:24} {kind.what}")
    for inner, one, kinds in (
        ("pieces/", "piece", "at 1:1, SVG and DXF"),
        ("sheets/", "sheet", "laid out, DXF"),
    ):
        found = [name for name in names if inner in name and name.endswith(".dxf")]
        if found:
            place = found[0].partition(inner)[0] + inner
            click.echo(f"  {place:24} {len(found)} {one}{'s' if len(found) > 1 else ''} {kinds}")
    if any(name.endswith(".pdf") for name in names):
        click.echo("Print at 100 %, then lay a rule on the 100 mm bars before you cut.")
