"""What is struck or drilled from a centre, and the curves drawn fair, as blocks for a sheet.

Room: draw. Holes that a drill makes are drilled, slots drilled at their ends
and sawn between, larger rounds struck from their centres, the arcs of a cone
from its apex, with what to check them by.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from foldwright.draw.blank import Blank, in_words
from foldwright.draw.drawing import Arc, Path
from foldwright.draw.flow import Chunk, paragraph
from foldwright.draw.info import SheetInfo, degrees, listed
from foldwright.draw.points import LARGEST_DRILL, drilled_hole
from foldwright.draw.set_ups import heading_block
from foldwright.draw.sheet import SECOND

_NEAR = 0.05  # mm


def arc_chunks(blank: Blank, info: SheetInfo) -> list[Chunk]:
    """Everything of a blank that is round, in the words of the bench."""
    texts = [
        *_cone(blank, info),
        *_edge(blank, info),
        *_cut(blank, info),
        *_placed(blank),
        *_fair(blank),
    ]
    if not texts:
        return []
    chunks = [Chunk(heading_block("Arcs and holes"), keep=True, space=5.0)]
    return chunks + [Chunk(paragraph(text, SECOND), space=0.5) for text in texts]


def _arcs(path: Path) -> list[Arc]:
    return [segment for segment in path if isinstance(segment, Arc)]


def _number(blank: Blank, at: tuple[float, float]) -> int:
    return next((p.number for p in blank.points if math.dist(p.at, at) < _NEAR), 0)


def _cone(blank: Blank, info: SheetInfo) -> list[str]:
    """How to strike a cone's sector from its apex, and the chords that prove it."""
    if not any(curve.kind == "cone" for curve in blank.piece.curved):
        return []
    arcs = _arcs(blank.outline)
    if not arcs:
        return []
    apex = arcs[0].centre
    swept: dict[float, float] = {}
    for arc in arcs:
        if math.dist(arc.centre, apex) < _NEAR:
            radius = round(arc.radius, 3)
            swept[radius] = swept.get(radius, 0.0) + abs(arc.sweep)
    radii = sorted(swept, reverse=True)
    angle = swept[radii[0]]
    sized = [info.length_with_unit(r) for r in radii]
    texts = [
        f"A cone: centre {_number(blank, apex)} is its apex{_off_board(blank, apex, info)}. From "
        f"it strike {'both arcs, radii' if len(radii) > 1 else 'the arc, radius'} {listed(sized)}. "
        f"The sector takes {degrees(angle)} of the circle."
    ]
    chords = [
        f"{info.length_with_unit(2.0 * r * math.sin(angle / 2.0))} across the {name} arc"
        for r, name in zip(radii, ("wide", "narrow"), strict=False)
    ]
    if len(radii) > 1:
        chords.append(f"{info.length_with_unit(radii[0] - radii[1])} along each straight end")
    texts.append(f"Check, end to end: {listed(chords)}.")
    return texts + _flaps(blank, info)


def _flaps(blank: Blank, info: SheetInfo) -> list[str]:
    """How to mark what is left on at the straight ends of a cone's sector."""
    if not blank.trims:
        return []
    return [
        "The straight ends are its trim lines. Square to each, "
        f"{info.length_with_unit(blank.piece.spare)} further out, rule the edge to cut, and from "
        "the ends of the arcs straight lines to it."
    ]


def _off_board(blank: Blank, at: tuple[float, float], info: SheetInfo) -> str:
    """Say where a centre lies that is not on the board."""
    box = blank.box
    if box.holds(at):
        return ""
    return (
        f", off the board, {info.length_with_unit(abs(at[0]))} "
        f"{'across' if at[0] >= 0.0 else 'left'} and {info.length_with_unit(abs(at[1]))} "
        f"{'up' if at[1] >= 0.0 else 'below'} from the datum corner: lay the board on the bench "
        "and swing a lath from a nail"
    )


def _edge(blank: Blank, info: SheetInfo) -> list[str]:
    if any(curve.kind == "cone" for curve in blank.piece.curved):
        return []
    return _struck(blank, _arcs(blank.outline), "edge", info)


def _struck(blank: Blank, arcs: Sequence[Arc], what: str, info: SheetInfo) -> list[str]:
    """Centres by radius: "From centres 9 to 12 strike the edge: radius 29.9 mm."."""
    found: dict[str, list[int]] = {}
    for arc in arcs:
        numbers = found.setdefault(info.length_with_unit(arc.radius), [])
        number = _number(blank, arc.centre)
        if number not in numbers:
            numbers.append(number)
    return [
        f"From centre{'s' if len(numbers) > 1 else ''} {spans(numbers)} strike the {what}: "
        f"radius {radius}."
        for radius, numbers in found.items()
    ]


def _cut(blank: Blank, info: SheetInfo) -> list[str]:
    """Holes to drill, slots to drill and saw, rounds to strike."""
    drilled: dict[tuple[str, str], list[int]] = {}
    names: dict[tuple[str, str], list[str]] = {}
    texts: list[str] = []
    for path, cutout in zip(blank.cutouts, blank.piece.cutouts, strict=True):
        arcs, why = _arcs(path), in_words(cutout.why)
        if (hole := drilled_hole(path)) is not None:
            key = (_drill(hole[1]), "")
            drilled.setdefault(key, []).append(_number(blank, hole[0]))
            names.setdefault(key, []).append(why)
        if not arcs:
            continue
        first = arcs[0]
        is_round = len(arcs) == len(path) and all(
            math.dist(a.centre, first.centre) < _NEAR for a in arcs
        )
        is_slot = (
            len(path) == 4
            and len(arcs) == 2
            and all(abs(abs(a.sweep) - math.pi) < 1e-3 for a in arcs)
        )
        if (is_round or is_slot) and 2.0 * first.radius <= LARGEST_DRILL:
            key = (_drill(2.0 * first.radius), "slot" if is_slot else "")
            numbers = [_number(blank, a.centre) for a in arcs]
            drilled.setdefault(key, []).extend(dict.fromkeys(numbers))
            names.setdefault(key, []).append(why)
        else:
            ends = spans([_number(blank, a.centre) for a in arcs])
            if is_slot:
                texts.append(
                    f"From centres {ends} strike the ends of the slot ({why}): radius "
                    f"{info.length_with_unit(first.radius)}."
                )
                continue
            what = f"cutout ({why})" if why not in ("", "bore", "window", "hole") else "cutout"
            texts += _struck(blank, arcs, what, info)
    for (size, slot), numbers in drilled.items():
        saw = ", then saw from one to the other" if slot else ""
        what = listed(list(dict.fromkeys(_stem(n) for n in names[size, slot] if n)))
        texts.append(
            f"Drill {size} mm at {spans(sorted(numbers))}{saw}{f': {what}' if what else ''}."
        )
    return texts


def _stem(name: str) -> str:
    """Name of one of several holes without its number: "leg bolt 3" is a leg bolt."""
    stem, _, number = name.rpartition(" ")
    return stem if stem and number.isdigit() else name


def _drill(d: float) -> str:
    """Diameter of a drill: bought in tenths of a mm, also where the rule has inches."""
    return f"{d:.1f}"


def _placed(blank: Blank) -> list[str]:
    """Holes that are drilled when two parts meet."""
    found: dict[str, list[str]] = {}
    for at, mark in blank.drills:
        if mark.kind == "centre":
            why = f" ({in_words(mark.why)})" if mark.why else ""
            found.setdefault(_drill(mark.d), []).append(f"{_number(blank, at)}{why}")
    texts = []
    for size, numbers in found.items():
        plural = "s" if len(numbers) > 1 else ""
        texts.append(
            f"Mark the centre{plural} {listed(numbers)} only: drill {size} mm in place, through "
            "both parts, when they meet."
        )
    return texts


def _fair(blank: Blank) -> list[str]:
    numbers = [p.number for p in blank.points if p.kind == "curve"]
    if not numbers:
        return []
    names = [
        in_words(cutout.why)
        for path, cutout in zip(blank.cutouts, blank.piece.cutouts, strict=True)
        if cutout.why and any(_is_on(blank, path, n) for n in numbers)
    ]
    what = f" ({listed(list(dict.fromkeys(names)))})" if names else ""
    return [
        f"Curves{what}: mark {spans(numbers)} and draw a fair line through them along a bent "
        "strip, or prick it through from the template."
    ]


def _is_on(blank: Blank, path: Path, number: int) -> bool:
    at = blank.points[number - 1].at
    return any(math.dist(segment.a, at) < _NEAR for segment in path)


def spans(numbers: Sequence[int]) -> str:
    """Numbers in words, neighbours drawn together: 3, 4, 5, 9 becomes "3 to 5 and 9"."""
    out: list[list[int]] = []
    for number in numbers:
        if out and number == out[-1][-1] + 1:
            out[-1].append(number)
        else:
            out.append([number])
    said: list[str] = []
    for run in out:
        said += [f"{run[0]} to {run[-1]}"] if len(run) > 2 else [str(n) for n in run]
    return listed(said)
