"""`start`: a first plan from three questions."""

from __future__ import annotations

import tempfile
import textwrap
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path

import click

from foldwright.cli.drawing import say_written
from foldwright.cli.root import cli, made_of
from foldwright.errors import FoldwrightError, PlanFaults, UnknownName

_USUAL_SHEET = 1.5  # mm, offered where nothing nearer is sold


@cli.command()
@click.argument("folder", type=click.Path(path_type=Path), metavar="DIR")
@click.option("--name", help="What you are building.")
@click.option("--outline", help='Corners x,z of one side view: "0,0 300,0 300,200 0,120".')
@click.option("--depth", help="How deep it is, front to back.")
@click.option("--board", help="Material: acp-3-0.3, al-1050A-H14, ...")
@click.option("--thickness", help="Of the board, where the material comes in any.")
@click.option(
    "--open", "leave_open", multiple=True, help="A face left open: side-1, front, back; none."
)
def start(
    folder: Path,
    name: str | None,
    outline: str | None,
    depth: str | None,
    board: str | None,
    thickness: str | None,
    leave_open: tuple[str, ...],
) -> None:
    """Begin a build with one folded part, and print it ready to mark out."""
    from foldwright.errors import OutputRefused
    from foldwright.files import write_text
    from foldwright.make import PLAN_FILE
    from foldwright.outputs import write_outputs
    from foldwright.plan import parse_length
    from foldwright.start import first_plan, parse_corners

    path = folder / PLAN_FILE
    if path.exists():
        raise OutputRefused(f"{path} is there already. Choose a new folder, or edit that plan.")
    asked = outline is None or depth is None or board is None
    if asked:
        click.echo("Three questions, then it is drawn. Lengths are mm, or say 1 1/2 in.")
    if outline is None:
        click.echo("Corners of the outline as you look at the front: x to the right, z up,")
        corners = _asked("  going anticlockwise", "0,0 300,0 300,200 0,120", parse_corners)
    else:
        corners = parse_corners(outline)
    length = (
        _asked("Depth, front to back", "250", parse_length)
        if depth is None
        else parse_length(depth)
    )
    board, thick = _board(board, thickness)
    if asked and not leave_open:
        leave_open = _open_faces(len(corners))
    leave_open = tuple(face for face in leave_open if face not in ("", "none"))
    text = first_plan(
        name=" ".join((name or folder.resolve().name).split()),
        folder=str(folder),
        outline=corners,
        depth=length,
        board=board,
        thickness=thick,
        leave_open=leave_open,
    )
    _try(text)
    write_text(path, text)
    written = write_outputs(made_of(folder), folder / "out", date.today().isoformat())
    click.echo(f"The plan is {path}; it grows as you add parts.")
    say_written(written.folder, written.names)


def _board(board: str | None, thickness: str | None) -> tuple[str, float | None]:
    """Board by name, asked for where it was not said, and its thickness where it comes in any."""
    from foldwright.plan import parse_length
    from foldwright.shop import boards as known_boards
    from foldwright.shop import thicknesses

    boards = thicknesses()
    if board is None:
        sheets = ", ".join(n for n, b in known_boards().items() if b.thicknesses)
        click.echo(textwrap.fill(f"Boards: {sheets}.", break_on_hyphens=False))
        choice = click.Choice(list(boards))
        board = str(click.prompt("Board", default="acp-3-0.3", type=choice, show_choices=False))
    if board not in boards:
        raise UnknownName("board", board, boards)
    if thickness is not None:
        return board, parse_length(thickness)
    if boards[board] is not None:
        return board, None
    sold = known_boards()[board].thicknesses or (_USUAL_SHEET,)
    usual = min(sold, key=lambda t: abs(t - _USUAL_SHEET))
    listed = ", ".join(f"{t:g}" for t in sold)
    return board, _asked(f"Thickness of the sheet ({listed})", f"{usual:g}", parse_length)


def _open_faces(corners: int) -> tuple[str, ...]:
    sides = ", ".join(f"side-{i + 1}" for i in range(corners))
    question = f"Faces to leave open ({sides}, front, back; none for a closed one)"
    return tuple(click.prompt(question, default="none").replace(",", " ").split())


def _try(text: str) -> None:
    """Refuse a plan that cannot be made, before anything is written."""
    from foldwright.files import write_text
    from foldwright.make import PLAN_FILE

    with tempfile.TemporaryDirectory() as trial:
        write_text(Path(trial) / PLAN_FILE, text)
        try:
            made_of(Path(trial)).require()
        except PlanFaults as refused:  # the maker knows no plan yet, only what was asked
            raise PlanFaults([replace(f, file="start", line=0) for f in refused.faults]) from None


def _asked[T](question: str, usual: str, read: Callable[[str], T]) -> T:
    """Ask until the answer can be read; a slip of the keys costs one line, not all of them."""

    def value_of(typed: str) -> T:
        try:
            return read(typed)
        except FoldwrightError as fault:
            raise click.UsageError(str(fault)) from fault

    answer: T = click.prompt(question, default=usual, value_proc=value_of)
    return answer
