"""`printer`, `strip` and `curl`: what belongs to the maker, kept for every build in a folder."""

from __future__ import annotations

from pathlib import Path

import click

from foldwright.cli.root import DIR, JSON, cli, made_of, print_json
from foldwright.errors import OutOfDomain, UnknownName

_STOCK = click.argument("stock", metavar="STOCK")


@cli.command()
@DIR
@click.argument("across", metavar="ACROSS")
@click.argument("up", metavar="UP")
@JSON
def printer(build: Path, across: str, up: str, as_json: bool) -> None:
    """Say what the 100 mm bars of a printed page measure: foldwright printer DIR 99.6 99.8.

    Sheets at true size are corrected from then on, for every build in the
    same folder. Say 100 100 to leave them as they are.
    """
    from foldwright.calibration import keep_printer
    from foldwright.plan import parse_length

    path = keep_printer(build, parse_length(across), parse_length(up))
    if as_json:
        print_json({"file": str(path)})
        return
    click.echo(f"Kept in {path}. Draw again: foldwright make {build}")


@cli.command()
@DIR
@_STOCK
@click.argument("lengths", nargs=-1, metavar="FLAT LEG LEG")
@click.option("--method", default="groove", show_default=True, help="How it was folded.")
@click.option("--angle", default="90", show_default=True, help="Turn, measured after letting go.")
@click.option("--web", help="Left under the cut; the usual one.")
@click.option("--floor", help="Flat of the cut; of a groove, kerf or open cut.")
@click.option("--radius", help="Inside radius of a bend.")
@click.option("--strips", type=click.IntRange(1, 100), default=1, help="How many were folded.")
@click.option("--forget", is_flag=True, help="Forget what strips and curls of this stock said.")
@JSON
def strip(
    build: Path,
    stock: str,
    lengths: tuple[str, ...],
    method: str,
    angle: str,
    web: str | None,
    floor: str | None,
    radius: str | None,
    strips: int,
    forget: bool,
    as_json: bool,
) -> None:
    """Say what a folded test strip measured: foldwright strip DIR board3 100 50.4 50.5 --floor 2.

    Its length before, and its two outside legs after. Folds of that board, made
    like the strip, are developed by it from then on, in every build in the folder.
    """
    from foldwright.calibration import keep_strip
    from foldwright.plan import parse_angle, parse_length
    from foldwright.shop import StripFold, strip_result

    board, key = _board_on_rack(build, stock)
    if forget:
        _forget(build, key, as_json)
        return
    fold = StripFold(
        parse_angle(angle),
        method,
        parse_length(web) if web else None,
        parse_length(floor) if floor else None,
        parse_length(radius) if radius else None,
    )
    result = strip_result(board, fold, [parse_length(text) for text in lengths], strips)
    path = keep_strip(build, key, result)
    if as_json:
        print_json({"file": str(path), "board": key, **vars(result)})
        return
    click.echo(
        f"{key}: neutral line {result.k:.2f} of the web, give or take {result.spread:.2f}. "
        f"Kept in {path}; "
        f"draw again: foldwright make {build}"
    )


@cli.command()
@DIR
@_STOCK
@click.argument("former", required=False)
@click.argument("free", required=False)
@click.option("--forget", is_flag=True, help="Forget what strips and curls of this stock said.")
@JSON
def curl(
    build: Path, stock: str, former: str | None, free: str | None, forget: bool, as_json: bool
) -> None:
    """Say what a test curl sprang to: foldwright curl DIR board2 114 136.5.

    The pipe it was curled over, and its outside diameter once it was let go, the
    mean of three directions. Drums of that board are formed by it from then on.
    """
    from foldwright.calibration import keep_curl
    from foldwright.plan import parse_length
    from foldwright.shop import yield_from_test_curl

    board, key = _board_on_rack(build, stock)
    if forget:
        _forget(build, key, as_json)
        return
    if former is None or free is None:
        raise OutOfDomain(
            "A test curl says two diameters: the pipe, and the curl once it is let go. Write "
            f"them like foldwright curl {build} {stock} 114 136.5.",
            name="former",
        )
    habit = yield_from_test_curl(board, parse_length(former), parse_length(free))
    path = keep_curl(build, key, habit)
    if as_json:
        print_json({"file": str(path), "board": key, **vars(habit)})
        return
    click.echo(
        f"{key}: yields at {habit.factor:.2f} of the table, give or take "
        f"{100.0 * habit.spread * habit.factor:.0f} in 100. Kept in {path}; "
        f"see its drums: foldwright check {build}"
    )


def _forget(build: Path, key: str, as_json: bool) -> None:
    from foldwright.calibration import forget_board

    was_there = forget_board(build, key)
    if as_json:
        print_json({"board": key, "forgotten": was_there})
        return
    click.echo(f"{key}: forgotten." if was_there else f"{key}: nothing was kept.")


def _board_on_rack(build: Path, stock: str):  # type: ignore[no-untyped-def]
    """Board of a stock without what was kept of it, and what it goes by in the file."""
    from dataclasses import replace

    from foldwright.calibration import board_key

    made = made_of(build)
    boards = {n: b for n, b in made.boards.items() if made.plan.stocks[n].form == "board"}
    if stock not in boards:
        raise UnknownName("board on the rack", stock, boards)
    record = made.plan.stocks[stock]
    return replace(boards[stock], strips=()), board_key(record.material, record.thickness)
