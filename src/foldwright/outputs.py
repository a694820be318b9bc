"""Outputs: what a build writes into its out folder, and nothing else.

A manifest lists the files that Foldwright wrote. Only those are ever replaced;
anything else in the way is left alone and refused by name. Everything is
worked out before the first byte is written, and each file changes in one step.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from foldwright.build_book import book_of
from foldwright.draw import (
    SheetInfo,
    book_pdf,
    gauges_pdf,
    laid_blanks,
    laid_out_dxf,
    layouts_pdf,
    marking_out_pdf,
    paper_named,
    piece_dxf,
    piece_svg,
    scene_glb,
    templates_pdf,
)
from foldwright.errors import OutputRefused
from foldwright.files import replace_file
from foldwright.flat import Piece, patterns_to_json
from foldwright.make import Made, part_named
from foldwright.sheet import SheetLayout

MANIFEST = "manifest.json"


@dataclass(frozen=True)
class Written:
    """What was written where; names are relative to the folder."""

    folder: Path
    names: tuple[str, ...]


@dataclass(frozen=True)
class Wish:
    """What is to be written.

    Attributes
    ----------
    parts : tuple of str
        Only these parts, each in a folder of its own; empty for the whole build.
    paper : str
        As `paper_named` takes it; empty for that of the plan.
    printed : (float, float)
        What the printer makes of 100 mm, across and up [mm].
    is_quick : bool
        Patterns, SVG and DXF only: no paper, no layouts, no book.
    seconds : float
        How long to look for a good layout of each stock [s].
    """

    parts: tuple[str, ...] = ()
    paper: str = ""
    printed: tuple[float, float] = (100.0, 100.0)
    is_quick: bool = False
    seconds: float = 2.0


def write_outputs(made: Made, folder: Path, drawn_on: str, wish: Wish = Wish()) -> Written:
    """Write patterns, paper, layouts and book of a build.

    Parameters
    ----------
    made : Made
    folder : Path
        Made if it is not there.
    drawn_on : str
        Date to print on the sheets.
    wish : Wish

    Raises
    ------
    PlanFaults
        A part cannot be made as asked; nothing is written.
    UnknownName
        No such part or paper.
    OutputRefused
        A file that is not ours stands in the way, or the folder cannot be
        written; nothing of ours is half-written.
    """
    files = rendered(made, drawn_on, wish)
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
        replace_file(folder / MANIFEST, json.dumps({"files": listed}, indent=1).encode())
        for name, content in files.items():
            replace_file(folder / name, content)
    except OSError as fault:
        raise OutputRefused(
            f"{folder} cannot be written: {fault.strerror or fault}. "
            "Make room or choose another folder with --out."
        ) from fault
    return Written(folder, tuple(files))


def rendered(made: Made, drawn_on: str, wish: Wish = Wish()) -> Mapping[str, bytes]:
    """Every output by name; the patterns of each revision keep a name of their own."""
    parts = tuple(part_named(made, name).name for name in wish.parts)
    made.require(parts)
    info = sheet_info(made, drawn_on, wish)
    if wish.parts:
        files: dict[str, bytes] = {}
        for name in parts:
            pattern = made.pattern(name)
            found = {"patterns.json": patterns_to_json(made.plan.name, pattern.pieces).encode()}
            found |= _flat_files(pattern.pieces, info)
            if not wish.is_quick and pattern.pieces:
                found |= _paper_files(pattern.pieces, info)
            files |= {f"parts/{name}/{file}": content for file, content in found.items()}
        return files
    patterns = patterns_to_json(made.plan.name, made.pieces).encode()
    revision = max((r.number for r in made.revisions), default=0)
    files = {"patterns.json": patterns, f"revisions/patterns-r{revision}.json": patterns}
    files |= _flat_files(made.pieces, info)
    if wish.is_quick:
        return files
    return files | _paper_files(made.pieces, info) | _whole_files(made, info, wish)


def sheet_info(made: Made, drawn_on: str, wish: Wish = Wish()) -> SheetInfo:
    """What every sheet of a build says beside its drawing."""
    plan = made.plan
    return SheetInfo(
        build=plan.name,
        units=plan.units,
        drawn=drawn_on,
        notes={name: made.notes(name) for name in wish.parts or made.parts},
        stocks={name: made.called(name) for name in plan.stocks},
        skins={n: b.skin_thickness for n, b in made.boards.items() if b.is_skinned},
        paper=paper_named(wish.paper or plan.paper),
        printed=wish.printed,
    )


def _flat_files(pieces: Sequence[Piece], info: SheetInfo) -> dict[str, bytes]:
    """One SVG and one DXF file for each piece."""
    files: dict[str, bytes] = {}
    for piece in pieces:
        name = f"pieces/{piece.id}-r{piece.revision}"
        files[f"{name}.svg"] = piece_svg(piece, info, pieces).encode()
        files[f"{name}.dxf"] = piece_dxf(piece, info, pieces)
    return files


def _paper_files(pieces: Sequence[Piece], info: SheetInfo) -> dict[str, bytes]:
    size, page = (p.name.lower().replace(" ", "-") for p in (info.paper, info.page))
    return {
        f"templates-{size}.pdf": templates_pdf(pieces, info),
        f"marking-out-{page}.pdf": marking_out_pdf(pieces, info),
        f"gauges-{page}.pdf": gauges_pdf(pieces, info),
    }


def _whole_files(made: Made, info: SheetInfo, wish: Wish) -> dict[str, bytes]:
    """Layouts, scene and book, which only a whole build has."""
    layouts = made.layouts(wish.seconds)
    stocks = tuple(layouts.sheets.values())
    book = book_of(made, layouts, info)
    files = {
        "build.glb": scene_glb(made.bodies, made.frames),
        "build-book.pdf": book_pdf(book, info),
        f"layouts-{info.page.name.lower()}.pdf": layouts_pdf(stocks, made.pieces, info),
    }
    for sheet in (sheet for layout in stocks for sheet in layout.sheets):
        files[f"sheets/{sheet.stock.name}-{sheet.number}.dxf"] = _sheet_dxf(sheet, made, info)
    return files


def _sheet_dxf(sheet: SheetLayout, made: Made, info: SheetInfo) -> bytes:
    """Blanks of one sheet as they lie on it, each as it is marked."""
    title = f"{info.build}: {made.called(sheet.stock.name)}, sheet {sheet.number}"
    return laid_out_dxf(laid_blanks(sheet, made.pieces), sheet.sheet.outline, title)


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
