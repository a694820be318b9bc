"""Outputs: what a build writes into its out folder, and nothing else.

A manifest lists the files that Foldwright wrote. Only those are ever replaced;
anything else in the way is left alone and refused by name. Everything is
worked out before the first byte is written, and each file changes in one step.
"""

from __future__ import annotations

import json
import os
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from foldwright.errors import OutputRefused
from foldwright.make import Made
from foldwright.shop import Board

MANIFEST = "manifest.json"


@dataclass(frozen=True)
class Written:
    """What was written where; names are relative to the folder."""

    folder: Path
    names: tuple[str, ...]


def write_outputs(made: Made, folder: Path, drawn_on: str) -> Written:
    """Write patterns and paper of a build.

    Parameters
    ----------
    made : Made
    folder : Path
        Made if it is not there.
    drawn_on : str
        Date to print on the sheets.

    Raises
    ------
    PlanFaults
        A part cannot be made as asked; nothing is written.
    OutputRefused
        A file that is not ours stands in the way, or the folder cannot be
        written; nothing of ours is half-written.
    """
    files = rendered(made, drawn_on)
    ours = _listed(folder)
    for name in files:
        if (folder / name).exists() and name not in ours:
            raise OutputRefused(
                f"{folder / name} is in the way and was not written by Foldwright. "
                "Move it, or choose another folder with --out."
            )
    try:
        folder.mkdir(parents=True, exist_ok=True)
        listed = sorted(ours | set(files))
        # The list goes first: a file of ours that is not listed would be refused next time.
        _replace(folder / MANIFEST, json.dumps({"files": listed}, indent=1).encode())
        for name, content in files.items():
            _replace(folder / name, content)
    except OSError as fault:
        raise OutputRefused(
            f"{folder} cannot be written: {fault.strerror or fault}. "
            "Make room or choose another folder with --out."
        ) from fault
    return Written(folder, tuple(files))


def rendered(made: Made, drawn_on: str) -> Mapping[str, bytes]:
    """Every output by name; the patterns of each revision keep a name of their own."""
    from foldwright.draw import SheetInfo, gauges_pdf, marking_out_pdf, piece_svg, templates_pdf
    from foldwright.flat import patterns_to_json

    pieces = made.pieces
    plan = made.plan
    info = SheetInfo(
        build=plan.name,
        units=plan.units,
        drawn=drawn_on,
        notes={name: made.notes(name) for name in made.parts},
        stocks={name: _called(board) for name, board in made.boards.items()},
        skins={n: b.skin_thickness for n, b in made.boards.items() if b.is_skinned},
    )
    patterns = patterns_to_json(plan.name, pieces).encode()
    revision = max((r.number for r in made.revisions), default=0)
    files = {
        "patterns.json": patterns,
        f"revisions/patterns-r{revision}.json": patterns,
        "templates-a4.pdf": templates_pdf(pieces, info),
        "marking-out-a4.pdf": marking_out_pdf(pieces, info),
        "gauges-a4.pdf": gauges_pdf(pieces, info),
    }
    for piece in pieces:
        files[f"pieces/{piece.id}-r{piece.revision}.svg"] = piece_svg(piece, info).encode()
    return files


def _called(board: Board) -> str:
    return f"{board.thickness:g} mm {'skinned board' if board.is_skinned else 'sheet'}"


def write_text(path: Path, text: str) -> None:
    """Write a text file in one step.

    Raises
    ------
    OutputRefused
        The folder cannot be written.
    """
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        _replace(path, text.encode())
    except OSError as fault:
        raise OutputRefused(f"{path} cannot be written: {fault.strerror or fault}.") from fault


def _listed(folder: Path) -> set[str]:
    path = folder / MANIFEST
    if not path.exists():
        return set()
    try:
        listed = json.loads(path.read_text(encoding="utf-8"))["files"]
        return {str(name) for name in listed}
    except (ValueError, KeyError, TypeError, OSError) as fault:
        raise OutputRefused(
            f"{path} is not a list that Foldwright wrote, so it cannot tell which files are ours. "
            "Choose another folder with --out."
        ) from fault


def _replace(path: Path, content: bytes) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    beside = path.with_name(path.name + ".part")
    with open(beside, "wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())
    os.replace(beside, path)
