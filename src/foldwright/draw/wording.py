"""Sentences about a blank that more than one sheet prints.

Room: draw.
"""

from __future__ import annotations

import math
import re
from typing import TYPE_CHECKING, cast

from foldwright.draw.blank import Blank, in_words
from foldwright.draw.blank_drawing import fold_pen
from foldwright.draw.drawing import CURL, CUT, TRIM_LINE, WITNESS, ZONE, Arc, Path, Pen
from foldwright.draw.info import SheetInfo, listed
from foldwright.draw.sheet import GRAIN_SIGN, PLACE_SIGN, PRICK_SIGN, Title

if TYPE_CHECKING:
    from foldwright.flat import Cone, Curved

# What a further piece of a part is for, by the beginning of its role.
_PURPOSES = {
    "hatch lid": "It lies in the hatch with a gap all round: file it to suit the opening as cut.",
    "hatch ledge": "Glue it behind the hatch, its rim standing in all round to carry the lid.",
    "patch": "Glue it behind the open corner before you fill.",
}
_COUNTS = (
    "no",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
)


def counted(count: int, noun: str) -> str:
    """Return a count with its noun: "five folds", "one panel", "14 seams"."""
    number = _COUNTS[count] if count < len(_COUNTS) else str(count)
    first, of, rest = noun.partition(" of ")
    return f"{number} {first}{'' if count == 1 else 's'}{of}{rest}"


def describe(blank: Blank, info: SheetInfo) -> str:
    """Say what the blank is, and what it closes to if it is curled."""
    piece = blank.piece
    box = blank.box
    size = info.by(box.width, box.height)
    if piece.curved and not piece.panels:
        curl = (f"A blank {size}, to be curled.", to_trim(blank, info), closes_to(blank, info))
        return " ".join(filter(None, curl))
    if not piece.folds and not piece.curved:
        seams = f", {counted(len(piece.seams), 'seam')}" if piece.seams else ""
        text = f"One flat piece, {_disc(blank, info) or size}{seams}."
        purpose = next((w for role, w in _PURPOSES.items() if piece.role.startswith(role)), "")
        return f"{text} {purpose}".rstrip()
    flat = sum(bool(panel.face) for panel in piece.panels)
    bends = blank.bends
    rows = sum(fold.kerfs > 1 for fold in bends)
    parts = [
        (flat, "panel"),
        (len(piece.curved), "round"),
        (len(bends) - rows, "fold"),
        (rows, "row of kerfs"),
    ]
    said = ", ".join(counted(n, noun) for n, noun in parts if n)
    return f"One blank, {size}: {said}. {closes_to(blank, info)}".rstrip()


def to_trim(blank: Blank, info: SheetInfo) -> str:
    """Say what is left on at the ends of a curled blank, and where it goes; empty for none."""
    if not blank.trims:
        return ""
    apart = ""
    if not any(curve.kind == "cone" for curve in blank.piece.curved):
        (a, _), (_, d) = blank.trims
        apart = f", {info.length_with_unit(math.dist(a, d))} apart"
    return (
        f"Leave {info.length_with_unit(blank.piece.spare)} on at each end while you curl it, and "
        f"trim both off at their lines{apart}, afterwards."
    )


def _disc(blank: Blank, info: SheetInfo) -> str:
    """Say that a blank is a disc or a ring; empty if it is neither."""
    paths = (blank.outline, *blank.cutouts)
    radii = [path[0].radius for path in paths if isinstance(path[0], Arc) and _is_circle(path)]
    if len(radii) != len(paths) or len(paths) > 2:
        return ""
    hole = f" with a hole {info.length_with_unit(2.0 * radii[1])} across" if len(radii) > 1 else ""
    return f"a disc {info.length_with_unit(2.0 * radii[0])} across{hole}"


def _is_circle(path: Path) -> bool:
    return (
        all(isinstance(s, Arc) for s in path)
        and len(
            {(round(s.centre[0], 6), round(s.centre[1], 6)) for s in path if isinstance(s, Arc)}
        )
        == 1
    )


def closes_to(blank: Blank, info: SheetInfo) -> str:
    """Girth and diameter of each curled face when it is closed; radius of each round."""
    out = []
    rounds: dict[str, list[str]] = {}
    for curve in blank.piece.curved:
        if curve.kind == "cone":
            out.append(_cone_closes_to(cast("Cone", curve), info))
            continue
        curve = cast("Curved", curve)
        if not _is_whole(curve):
            rounds.setdefault(info.length_with_unit(curve.radius), []).append(in_words(curve.face))
            continue
        outside, inside = 2.0 * curve.radius, 2.0 * (curve.radius - blank.piece.thickness)
        out.append(
            f"Closed with its ends butted it measures "
            f"{info.length_with_unit(math.pi * outside)} round the outside, "
            f"{info.length_with_unit(outside)} across the outside and "
            f"{info.length_with_unit(inside)} across the inside."
        )
    out += [
        f"Curl the {listed(faces)} to {radius} radius, outside." for radius, faces in rounds.items()
    ]
    return " ".join(out)


def _is_whole(curve: Curved) -> bool:
    """Whether a curled face goes all the way round."""
    xs = [p[0] for p in curve.flat]
    return max(xs) - min(xs) > 0.999 * math.tau * curve.flat_radius


def _cone_closes_to(cone: Cone, info: SheetInfo) -> str:
    """Girths of a closed hood at its two rims, outside."""
    far = [math.dist(p, cone.flat_apex) for p in cone.flat]
    outer, inner = (
        2.0 * math.pi * (rho * math.sin(cone.half_angle) + cone.offset * math.cos(cone.half_angle))
        for rho in (max(far), min(far))
    )
    return (
        "Closed with its ends butted it measures round the outside "
        f"{info.length_with_unit(outer)} at the wide rim and "
        f"{info.length_with_unit(max(inner, 0.0))} at the narrow one."
    )


def notes_of(blank: Blank, info: SheetInfo) -> tuple[str, ...]:
    """Sentences that were handed in for this part, with its names as prose writes them.

    A strip, patch or lid has none: they speak of the part itself.
    """
    if blank.piece.role:
        return ()
    faces = [p.face for p in blank.piece.panels] + [c.face for c in blank.piece.curved]
    names = sorted({n for n in (blank.piece.part, *faces) if "_" in n or "~" in n}, key=len)
    notes = []
    for note in info.notes.get(blank.piece.part, ()):
        for name in reversed(names):  # the longest first, since one may begin another
            article = "the " if "~" in name else ""
            note = re.sub(rf"(?<![\w~]){re.escape(name)}(?![\w~])", article + in_words(name), note)
        notes.append(note[:1].upper() + note[1:])
    return tuple(notes)


def line_names(blank: Blank, *, zones: bool, witnesses: bool = True) -> list[Pen | str]:
    """Legend entries for the lines and signs that this blank has."""
    entries: list[Pen | str] = [CUT]
    for fold in blank.folds:
        pen = fold_pen(fold)
        if pen not in entries:
            entries.append(pen)
    if zones and any(fold.zone for fold in blank.folds):
        methods = {fold.fold.method for fold in blank.folds}
        edges = {"bend": "edge of bend", "hot": "edge of heated line", "score": "edge of score"}
        name = ZONE.name if methods & {"groove", "open", "kerf"} else edges[min(methods)]
        entries.append(Pen(name, ZONE.width, ZONE.dashes))
    if blank.curls:
        entries.append(CURL)
    if blank.trims:
        entries.append(TRIM_LINE)
    if witnesses and any(seam.letter for seam in blank.seams):
        entries.append(WITNESS)
    return entries


def drill_names(blank: Blank, info: SheetInfo) -> list[str]:
    """Legend entry for drilled holes, with their diameters; none if nothing is drilled."""
    drills = [(at, mark) for at, mark in blank.drills if mark.kind == "drill" and mark.d > 0.0]
    sizes = sorted({round(mark.d, 2) for _, mark in drills})
    if not sizes:
        return []
    unit = "" if info.units == "mm" else " mm"  # drills are bought in mm
    if len(sizes) == 1:
        return [f"drill ⌀{sizes[0]:g}{unit}"]
    # A hole may share its number with a corner or the end of a fold.
    numbers = {at: min(blank.points, key=lambda p: math.dist(p.at, at)).number for at, _ in drills}
    return [
        f"drill ⌀{d:g}{unit} at "
        + listed([str(numbers[at]) for at, mark in drills if round(mark.d, 2) == d])
        for d in sizes
    ]


def sign_names(blank: Blank) -> list[str]:
    """Legend entries for the other signs that this blank has."""
    found = []
    if any(fold.other_side for fold in blank.folds):
        found.append(PRICK_SIGN)
    if any(mark.kind == "centre" for _, mark in blank.drills):
        found.append(PLACE_SIGN)
    if blank.grain is not None:
        found.append(GRAIN_SIGN)
    return found


def title_of(
    blank: Blank, info: SheetInfo, scale: str, sheet: int, sheets: int, name: str = ""
) -> Title:
    """Title block of a sheet that shows one blank, or what else `name` says."""
    piece = blank.piece
    return Title(
        (
            ("Build", info.build),
            ("Part", name or blank.title),
            ("Stock", info.stock_of(piece.stock, piece.thickness)),
            ("Sizes", info.sizes),
            ("Scale", scale),
            ("Revision", str(piece.revision)),
            ("Sheet", f"{sheet} of {sheets}"),
            ("Drawn", info.drawn),
        )
    )
