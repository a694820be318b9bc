"""Outputs: what a build writes into its out folder, and nothing else.

A manifest lists the files that Foldwright wrote. Only those are ever replaced;
anything else in the way is left alone and refused by name. Everything is
worked out before the first byte is written, and each file changes in one step.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
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

type Say = Callable[[float, float, str], None]
"""Told how much of how much is done, and what comes now."""

_STEPS = 10  # of drawing a whole build, as it is told; the layouts take most of the time


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


@dataclass(frozen=True)
class Kind:
    """A kind of output: heading, how its names begin and end, and what it is."""

    heading: str
    begin: str
    end: str
    what: str


KINDS = (
    Kind(
        "Build book",
        "build-book",
        ".pdf",
        "the build book: a route sheet for each part, cut list, layouts",
    ),
    Kind("Templates", "templates-", ".pdf", "1:1 templates to join and prick through"),
    Kind(
        "Marking out",
        "marking-out-",
        ".pdf",
        "one page a piece: mark it out with rule and square",
    ),
    Kind("Gauges", "gauges-", ".pdf", "a gauge for each fold angle"),
    Kind("Layouts", "layouts-", ".pdf", "how the blanks lie on the sheets of the rack"),
    Kind("Sheets laid out, DXF", "sheets/", ".dxf", "a whole sheet, each blank as it is marked"),
    Kind("Pieces, DXF", "pieces/", ".dxf", "a piece at 1:1, for a machine that cuts"),
    Kind("Pieces, SVG", "pieces/", ".svg", "a piece at 1:1, for a browser or a cutting service"),
    Kind("Patterns, JSON", "patterns.json", "", "the patterns, in an open format"),
    Kind("Scene, GLB", "build.glb", "", "the build in 3-D"),
    Kind("Patterns by revision", "revisions/", ".json", "the patterns as each revision left them"),
)
"""All kinds of outputs, in the order to list them."""


def kind_of(name: str) -> Kind | None:
    """Kind of an output by its name; None for what an older version wrote."""
    _, is_part, inner = name.partition("parts/")
    inner = inner.partition("/")[2] if is_part else name
    return next((k for k in KINDS if inner.startswith(k.begin) and inner.endswith(k.end)), None)


@dataclass(frozen=True)
class Drawn:
    """An output that lies in the folder.

    Attributes
    ----------
    name : str
        Relative to the folder.
    size : int
        [bytes]
    when : float
        When it was written, seconds since 1970.
    state : str
        What it was drawn from, as `drawn_from` says it; empty if that is not known.
    """

    name: str
    size: int
    when: float
    state: str


def drawn_in(folder: Path) -> tuple[Drawn, ...]:
    """Outputs that the manifest lists and that still lie in the folder.

    Raises
    ------
    OutputRefused
        The manifest is not one of ours.
    """
    found = []
    for name, state in sorted(_listed(folder).items()):
        path = _plain_file(folder, name)
        if path is not None:
            stat = path.stat()
            found.append(Drawn(name, stat.st_size, stat.st_mtime, state))
    return tuple(found)


def place_of(folder: Path, name: str) -> Path | None:
    """Where an output lies; None unless it is a plain file of ours inside the folder.

    What a link leads to elsewhere is not ours to hand out, whatever its name says.
    """
    return _plain_file(folder, name) if name in _listed(folder) else None


def _plain_file(folder: Path, name: str) -> Path | None:
    """Where a name leads inside a folder; None if that is no plain file, or lies elsewhere."""
    if folder.is_symlink():  # what it holds lies elsewhere
        return None
    try:
        path, root = (folder / name).resolve(strict=True), folder.resolve(strict=True)
        is_ours = path.is_file() and path.is_relative_to(root) and path == root / name
        return path if is_ours else None
    except (OSError, ValueError, RuntimeError):  # it is gone, or no name at all, or a ring
        return None


def drawn_from(made: Made) -> str:
    """Short mark of all that the outputs of a build follow from: another plan, another mark."""
    plan = replace(made.plan, path=Path())  # the same build in another place is the same build
    ledger = (made.readings, made.revisions, made.marked, made.ever_read, made.forgotten)
    told = repr((plan, ledger, made.maker)).encode()
    return hashlib.sha256(told).hexdigest()[:16]


def write_outputs(
    made: Made, folder: Path, drawn_on: str, wish: Wish = Wish(), say: Say = lambda *_: None
) -> Written:
    """Write patterns, paper, layouts and book of a build.

    Parameters
    ----------
    made : Made
    folder : Path
        Made if it is not there.
    drawn_on : str
        Date to print on the sheets.
    wish : Wish
    say : Say
        Told how far it is.

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
    files = rendered(made, drawn_on, wish, say)
    ours = _listed(folder)
    for name in files:
        if (folder / name).exists() and name not in ours:
            raise OutputRefused(
                f"{folder / name} is in the way and was not written by Foldwright. "
                "Move it, or choose another folder with --out."
            )
    try:
        folder.mkdir(parents=True, exist_ok=True)
        # The list goes first: a file of ours that is not listed would be refused next time.
        # What each was drawn from goes last: whoever stops this in between sees old ones as old.
        _write_list(folder, {name: ours.get(name, "") for name in ours | files.keys()})
        for i, (name, content) in enumerate(files.items()):
            say(_STEPS - 1 + i / len(files), _STEPS, "Writing the files")
            replace_file(folder / name, content)
        _write_list(folder, ours | dict.fromkeys(files, drawn_from(made)))
    except OSError as fault:
        raise OutputRefused(
            f"{folder} cannot be written: {fault.strerror or fault}. "
            "Make room or choose another folder with --out."
        ) from fault
    return Written(folder, tuple(files))


def rendered(
    made: Made, drawn_on: str, wish: Wish = Wish(), say: Say = lambda *_: None
) -> Mapping[str, bytes]:
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
    say(0, _STEPS, "Developing the patterns")
    patterns = patterns_to_json(made.plan.name, made.pieces).encode()
    revision = max((r.number for r in made.revisions), default=0)
    files = {"patterns.json": patterns, f"revisions/patterns-r{revision}.json": patterns}
    files |= _flat_files(made.pieces, info)
    if wish.is_quick:
        return files
    say(1, _STEPS, "Drawing templates, marking-out sheets and gauges")
    files |= _paper_files(made.pieces, info)
    return files | _whole_files(made, info, wish, say)


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


def _whole_files(made: Made, info: SheetInfo, wish: Wish, say: Say) -> dict[str, bytes]:
    """Layouts, scene and book, which only a whole build has."""
    layouts = made.layouts(
        wish.seconds, lambda done, of, words: say(2 + 3 * done / of, _STEPS, words)
    )
    stocks = tuple(layouts.sheets.values())
    say(5, _STEPS, "Working out what to change, for the book")
    book = book_of(made, layouts, info)
    say(7, _STEPS, "Setting the book")
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


def _write_list(folder: Path, states: Mapping[str, str]) -> None:
    """Write the manifest: all files of ours, and what each was drawn from."""
    body = {"files": sorted(states), "from": {name: states[name] for name in sorted(states)}}
    replace_file(folder / MANIFEST, json.dumps(body, indent=1).encode())


def _listed(folder: Path) -> dict[str, str]:
    """Files of ours by the manifest, each with what it was drawn from; "" if it does not say."""
    path = folder / MANIFEST
    if not path.exists():
        return {}
    try:
        body = json.loads(path.read_text(encoding="utf-8"))
        states = body.get("from", {})
        return {str(name): str(states.get(name, "")) for name in body["files"]}
    except (ValueError, KeyError, TypeError, AttributeError, OSError) as fault:
        raise OutputRefused(
            f"{path} is not a list that Foldwright wrote, so it cannot tell which files are ours. "
            "Choose another folder with --out."
        ) from fault
