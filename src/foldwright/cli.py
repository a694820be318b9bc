"""The command line: thin; everything it does is done in the rooms.

Heavy libraries are imported inside the commands, so that help comes at once.
Exit code 0: done; 2: something to mend, said in words; nothing half-written.
"""

from __future__ import annotations

import json
import sys
import tempfile
import traceback
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from foldwright.errors import DoubtfulReading, FoldwrightError, PlanFaults, UnknownName

if TYPE_CHECKING:
    from foldwright.fit import MeetForecast
    from foldwright.make import Made, Outcome

_DIR = click.argument("build", type=click.Path(path_type=Path), metavar="DIR")
_JSON = click.option("--json", "as_json", is_flag=True, help="Report as JSON.")


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="foldwright")
def cli() -> None:
    """Patterns for sheet shells, and what to change once the made parts are measured.

    A build is a folder with a plan in it (plan.toml). Begin with `start`, then
    `make` draws what to cut; `measure` what came out, and `refit` says what
    to change in the parts not made yet.
    """


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
    from foldwright.make import PLAN_FILE
    from foldwright.outputs import write_outputs, write_text
    from foldwright.plan import parse_length
    from foldwright.shop import thicknesses
    from foldwright.start import first_plan, parse_corners

    path = folder / PLAN_FILE
    if path.exists():
        raise OutputRefused(f"{path} is there already. Choose a new folder, or edit that plan.")
    boards = thicknesses()
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
    if board is None:
        names = ", ".join(boards)
        board = click.prompt(
            f"Board ({names})",
            default="acp-3-0.3",
            type=click.Choice(list(boards)),
            show_choices=False,
        )
    if board not in boards:
        raise UnknownName("board", board, boards)
    thick = parse_length(thickness) if thickness is not None else None
    if boards[board] is None and thick is None:
        thick = _asked("Thickness of the sheet", "1.5", parse_length)
    if asked and not leave_open:
        sides = ", ".join(f"side-{i + 1}" for i in range(len(corners)))
        answer = click.prompt(
            f"Faces to leave open ({sides}, front, back; none for a closed one)", default="none"
        )
        leave_open = tuple(answer.replace(",", " ").split())
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
    with tempfile.TemporaryDirectory() as trial:  # nothing is written until all of it holds
        write_text(Path(trial) / PLAN_FILE, text)
        try:
            _made(Path(trial)).require()
        except PlanFaults as refused:  # the maker knows no plan yet, only what was asked
            raise PlanFaults([replace(f, file="start", line=0) for f in refused.faults]) from None
    write_text(path, text)
    written = write_outputs(_made(folder), folder / "out", date.today().isoformat())
    click.echo(f"The plan is {path}; it grows as you add parts.")
    _say_written(written.folder, written.names)


@cli.command()
@_DIR
@_JSON
def check(build: Path, as_json: bool) -> None:
    """Say whether everything can be made and how each meet stands."""
    made = _made(build)
    made.require()
    if as_json:
        _print_json(
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
                    }
                    for pattern in made.patterns
                ],
                "meets": [_meet_json(f) for f in made.forecasts],
            }
        )
        return
    click.echo(_headline(made))
    for sentence in made.strangers():
        click.echo(f"  {sentence}")
    for pattern in made.patterns:
        folds = sum(len(piece.folds) for piece in pattern.pieces)
        pieces = len(pattern.pieces)
        what = [f"{pieces} piece{'s' if pieces > 1 else ''}"] if pieces else []
        what += [f"{folds} fold{'s' if folds > 1 else ''}"] if folds else []
        what += [f"{made.plan.stocks[c.stock].form} {c.length:.1f} mm" for c in pattern.lengths]
        click.echo(f"  {pattern.part}: {', '.join(what) or 'bought'}")
        for note in (
            *pattern.notes,
            *made.too_large(pattern.part),
            *made.edited_since(pattern.part),
        ):
            click.echo(f"    {note}")
    _say_meets(made)


@cli.command(name="make")
@_DIR
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
@_JSON
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
    from foldwright.calibration import read_printer
    from foldwright.outputs import Wish, write_outputs

    made = _made(build)
    where = made.plan.path.parent
    wish = Wish(parts, paper, read_printer(where), quick, seconds)
    if not (parts or quick or as_json):
        click.echo("Drawing; the layouts and the book take a little while.", err=True)
    written = write_outputs(made, out or where / "out", date.today().isoformat(), wish)
    if as_json:
        _print_json({"folder": str(written.folder), "files": list(written.names)})
        return
    _say_written(written.folder, written.names)


@cli.command()
@_DIR
@click.argument("across", metavar="ACROSS")
@click.argument("up", metavar="UP")
@_JSON
def printer(build: Path, across: str, up: str, as_json: bool) -> None:
    """Say what the 100 mm bars of a printed page measure: foldwright printer DIR 99.6 99.8.

    Sheets at true size are corrected from then on, for every build in the
    same folder. Say 100 100 to leave them as they are.
    """
    from foldwright.calibration import keep_printer
    from foldwright.plan import parse_length

    path = keep_printer(build, parse_length(across), parse_length(up))
    if as_json:
        _print_json({"file": str(path)})
        return
    click.echo(f"Kept in {path}. Draw again: foldwright make {build}")


@cli.command(context_settings={"ignore_unknown_options": True})  # -5 is a value, if a bad one
@_DIR
@click.argument("dim", metavar="PART.DIM")
@click.argument("value")
@click.option("--with", "tool", help="Tool: rule, tape, caliper; else the usual one.")
@click.option("--finished", is_flag=True, help="Measured with the finish on; else bare.")
@click.option("--note", default="", help="Anything worth remembering.")
@click.option("--sure", is_flag=True, help="Keep it although it looks like a slip.")
@click.option("--instead", is_flag=True, help="Withdraw the earlier readings of this dim.")
@_JSON
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

    in_danger = [f for f in made.forecasts if is_in_danger(f)]
    if as_json:
        _print_json(
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
                "in_danger": [_meet_json(f) for f in in_danger],
            }
        )
        return
    from foldwright.fit import came_out

    click.echo(f"Kept. {came_out(reading, plan.units)}")
    for found in in_danger:
        click.echo(_meet_line(made, found))
    click.echo(
        f"See what to change: foldwright refit {build}"
        if in_danger
        else "Every meet still holds well; nothing needs changing."
    )


@cli.command()
@_DIR
@click.option("--keep", is_flag=True, help="Keep the changes as a revision.")
@_JSON
def refit(build: Path, keep: bool, as_json: bool) -> None:
    """Say what to change in the parts not made yet, and why."""
    from foldwright.make import make, open_build

    plan, ledger = open_build(build)
    with ledger:
        made = make(plan, ledger)
        outcome = made.outcome
        is_kept = keep and bool(outcome.shifts)
        revision = ledger.add_revision(outcome.changes()).number if is_kept else None
    if as_json:
        _print_json(_outcome_json(outcome, revision))
        return
    _say_outcome(made, outcome)
    if revision is not None:
        click.echo(f"Kept as revision {revision}. Draw it: foldwright make {build}")
    elif outcome.shifts:
        click.echo(f"Nothing is kept yet. To keep it: foldwright refit {build} --keep")


def main() -> None:
    """Run the command line; every refusal is words and exit code 2."""
    as_json = "--json" in sys.argv
    try:
        result = cli.main(standalone_mode=False)
        sys.exit(result if isinstance(result, int) else 0)
    except click.Abort:
        _refuse("Stopped; nothing was changed.", as_json)
    except click.ClickException as fault:
        _refuse(fault.format_message(), as_json)
    except DoubtfulReading as fault:
        _refuse(f"{fault} Nothing is kept; add --sure to keep it as typed.", as_json, fault)
    except FoldwrightError as fault:
        _refuse(str(fault), as_json, fault)
    except BrokenPipeError:
        sys.exit(0)
    except Exception:  # our own mistake: the maker gets a sentence, we get the trace
        with tempfile.NamedTemporaryFile(
            "w", prefix="foldwright-mistake-", suffix=".txt", delete=False
        ) as file:
            traceback.print_exc(file=file)
        _refuse(
            "Foldwright made a mistake of its own; nothing of yours was changed. "
            f"What happened is written in {file.name}; please send it with the plan.",
            as_json,
        )


def _refuse(words: str, as_json: bool, fault: FoldwrightError | None = None) -> None:
    if as_json:
        kind = type(fault).__name__ if fault else "Refused"
        body: dict[str, Any] = {"kind": kind, "message": words}
        if isinstance(fault, PlanFaults):
            body["faults"] = [vars(f) for f in fault.faults]
        _print_json({"error": body})
    click.echo(words, err=True)
    sys.exit(2)


def _asked[T](question: str, usual: str, read: Callable[[str], T]) -> T:
    """Ask until the answer can be read; a slip of the keys costs one line, not all of them."""

    def value_of(typed: str) -> T:
        try:
            return read(typed)
        except FoldwrightError as fault:
            raise click.UsageError(str(fault)) from fault

    answer: T = click.prompt(question, default=usual, value_proc=value_of)
    return answer


def _made(build: Path) -> Made:
    from foldwright.make import make, open_build

    plan, ledger = open_build(build)
    with ledger:
        return make(plan, ledger)


_FILES = (
    ("build-book.pdf", "the build book: a route sheet for each part, cut list, layouts"),
    ("templates-", "1:1 templates to join and prick through"),
    ("marking-out-", "one page a piece: mark it out with rule and square"),
    ("gauges-", "a gauge for each fold angle"),
    ("layouts-", "how the blanks lie on the sheets of the rack"),
    ("build.glb", "the build in 3-D"),
    ("patterns.json", "the patterns, in an open format"),
)


def _say_written(folder: Path, names: tuple[str, ...]) -> None:
    click.echo(f"Drawn in {folder}:")
    for begin, words in _FILES:
        for name in names:
            if name.rpartition("/")[2].startswith(begin):
                click.echo(f"  {name:24} {words}")
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


def _headline(made: Made) -> str:
    count, lacking = len(made.parts), sum(bool(made.too_large(name)) for name in made.parts)
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
        click.echo(_meet_line(made, found))


def _meet_line(made: Made, found: MeetForecast) -> str:
    from foldwright.fit import is_in_danger
    from foldwright.make import sentence_of_chance
    from foldwright.plan import show_length

    low, high = found.meet.gap
    # An overhang is kept as a negative margin; say it the way the maker wrote it.
    sign = -1.0 if low < 0.0 and high <= 0.0 else 1.0
    word = {("slides-into", 1.0): "a side", ("rests-on", 1.0): "margin"}.get(
        (found.meet.kind, sign), "overhang"
    )

    def shown(mm: float) -> str:
        return show_length(sign * mm, made.plan.units, True)

    gaps = "; ".join(dict.fromkeys(f"{shown(c.value)} {word} {c.across}" for c in found.clearances))
    low, high = sorted((low, high), key=lambda mm: sign * mm)
    danger = "  In danger: " if is_in_danger(found) else "  "
    return (
        f"{danger}{found.meet.name}: {gaps} expected, {shown(low)} to {shown(high)} wanted; "
        f"holds {sentence_of_chance(found.chance)}."
    )


def _say_outcome(made: Made, outcome: Outcome) -> None:
    from foldwright.fit import is_in_danger
    from foldwright.make import sentence_of_chance
    from foldwright.plan import show_length

    units = made.plan.units
    if not outcome.shifts:
        click.echo(
            "No change of the parts not made yet would help."
            if any(is_in_danger(f) for f in outcome.after)
            else "Everything suits as it is drawn; no part changes."
        )
    for shift, why in zip(outcome.shifts, outcome.why, strict=True):
        by = round(shift.after, 1) - round(shift.before, 1)  # of the figures that are shown
        click.echo(
            f"{shift.part}: {shift.parameter.name} {show_length(abs(by), units)} "
            f"{'larger' if by > 0 else 'smaller'}, from {show_length(shift.before, units)} to "
            f"{show_length(shift.after, units)}."
        )
        for sentence in why:
            click.echo(f"  {sentence}")
    changed = {shift.part for shift in outcome.shifts}
    left = sum(not b.is_made for b in made.beliefs.values()) - len(changed)
    if changed:
        stand = f"The other {left} not made yet stand." if left > 1 else "The other one stands."
        click.echo(stand if left else "No other part is left.")
    for before, after in zip(outcome.before, outcome.after, strict=True):
        if abs(after.chance - before.chance) > 0.005:
            click.echo(
                f"{after.meet.name}: held {sentence_of_chance(before.chance)}, "
                f"redrawn {sentence_of_chance(after.chance)}."
            )
        elif is_in_danger(after):
            click.echo(_meet_line(made, after).strip())
            click.echo("  Look at its range, its place, and the parts that are made.")


def _outcome_json(outcome: Outcome, revision: int | None) -> dict[str, Any]:
    return {
        "changes": [
            {
                "part": s.part,
                "parameter": s.parameter.name,
                "before": s.before,
                "after": s.after,
                "plan": s.parameter.value,
                "give": s.parameter.give,
                "why": list(why),
            }
            for s, why in zip(outcome.shifts, outcome.why, strict=True)
        ],
        "meets": [
            {**_meet_json(after), "chance_before": before.chance}
            for before, after in zip(outcome.before, outcome.after, strict=True)
        ],
        "revision": revision,
    }


def _meet_json(found: MeetForecast) -> dict[str, Any]:
    return {
        "meet": found.meet.name,
        "kind": found.meet.kind,
        "chance": found.chance,
        "clearances": [
            {
                "across": c.across,
                "expected": c.value,
                "sigma": sigma,
                "low": c.low,
                "high": c.high,
                "dims": list(c.dims),
            }
            for c, sigma in zip(found.clearances, found.sigmas, strict=True)
        ],
    }


def _print_json(body: dict[str, Any]) -> None:
    click.echo(json.dumps(body, indent=1, ensure_ascii=False))
