"""Drawings that a plan takes its outlines from: found beside the plan, and read.

Room: plan. ``outline = { file = "bracket.dxf", layer = "..." }``. The file
lies in the build folder, so that the folder can be copied as a whole and a
plan cannot reach for what is not its own. What is wrong inside the file is
told at the line of the plan that names it.
"""

from __future__ import annotations

import math
from pathlib import Path

from foldwright.plan.chains import Segment, Trouble, one_outline
from foldwright.plan.door import shown
from foldwright.plan.dxf_file import dxf_segments
from foldwright.plan.svg_file import svg_segments
from foldwright.plan.table import LONGEST, Table

LARGEST_DRAWING = 20_000_000
"""Bytes; a drawing of one outline has a few thousand."""

_LEAST_SCALE, _MOST_SCALE = 0.0001, 10_000.0
_MARKS = {".dxf": "layer", ".svg": "id"}  # how each format names a part of itself


def read_drawing(row: Table, folder: str) -> tuple[Segment, ...] | None:
    """Closed outline of ``{ file, layer or id, scale }`` [mm]; faults go to the table."""
    before = row.faults.noted
    name = row.text("file", "bracket.dxf")
    if name is None:
        return None
    mark = _MARKS.get(Path(name).suffix.lower(), "layer") if name.isprintable() else "layer"
    row.only(("file", mark, "scale"))
    marked = row.text(mark, "OUTLINE", "") or ""
    scale = row.number("scale", _LEAST_SCALE, _MOST_SCALE) if row.has("scale") else 1.0
    path = _in_the_folder(row, name, folder)
    if path is None or scale is None or row.faults.noted > before:
        return None
    read = dxf_segments if path.suffix.lower() == ".dxf" else svg_segments
    found = read(path, marked)
    outline: tuple[Segment, ...] | Trouble
    if isinstance(found, Trouble):
        outline = found
    else:
        outline = _beyond_bounds(found, scale) or one_outline(found)
    if isinstance(outline, Trouble):
        row.fault("bad-drawing", "file", f"{shown(name)}: {outline.problem}", outline.remedy)
        return None
    return tuple(_scaled(segment, scale) for segment in outline)


def _in_the_folder(row: Table, name: str, folder: str) -> Path | None:
    """Path of a drawing that may be read, or None and a fault."""
    try:
        home = Path(folder).resolve()
        path = (home / name).resolve()
        inside = path.is_relative_to(home)
        there = inside and path.is_file()
        size = path.stat().st_size if there else 0
    except (OSError, ValueError):  # a name that no file can have
        inside, there, size = True, False, 0
        path = Path(name.replace("\0", "?"))
    if not inside:
        problem = f'"{shown(name)}" lies outside the folder of the plan.'
        row.fault("no-file", "file", problem, "Copy the drawing into the build folder.")
    elif path.suffix.lower() not in _MARKS:
        problem = f'"{shown(name)}" is neither a DXF nor an SVG drawing.'
        remedy = "Save the outline as .dxf or .svg, in true size."
        row.fault("bad-drawing", "file", problem, remedy)
    elif not there:
        problem = f'There is no drawing "{shown(name)}" beside the plan.'
        row.fault("no-file", "file", problem, "Check the name; it counts from the build folder.")
    elif size > LARGEST_DRAWING:
        problem = f'"{shown(name)}" has over {LARGEST_DRAWING:,} bytes.'
        remedy = "Leave only the outline in the drawing, and save it anew."
        row.fault("too-large", "file", problem, remedy)
    else:
        return path
    return None


def _beyond_bounds(segments: list[Segment], scale: float) -> Trouble | None:
    for segment in segments:
        numbers = (*segment.start, *segment.end, segment.bulge)
        if not all(math.isfinite(n) for n in numbers) or max(map(abs, numbers)) > LONGEST / scale:
            return Trouble(
                f"It has a line that ends beyond {LONGEST:g} mm.",
                "Check the units that the drawing was saved in, and its scale in the plan.",
            )
    return None


def _scaled(segment: Segment, scale: float) -> Segment:
    (ax, ay), (bx, by) = segment.start, segment.end
    return Segment((ax * scale, ay * scale), (bx * scale, by * scale), segment.bulge)
