"""What the route sheet of one part says in sentences and tables.

Room: draw. Its steps are in `book_steps`, its drawings in `book_drawings`.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from foldwright.draw.blank import Blank, in_words
from foldwright.draw.book_names import called, chance, expected, mass, measured_name, span
from foldwright.draw.book_records import Neighbour, Route, ToMeasure
from foldwright.draw.info import SheetInfo, degrees, listed
from foldwright.draw.wording import counted, describe

type Said = dict[str, Any]

# So many dims have a row on a route sheet, and so many more stand in a sentence.
TO_MEASURE, _ALSO = 4, 8


def opening(route: Route, blanks: Sequence[Blank], info: SheetInfo) -> list[str]:
    """First sentences of a route sheet: what it is made from, how many, what it weighs."""
    found = []
    own = [blank for blank in blanks if not blank.piece.role]
    if len(own) == 1:
        found.append(describe(own[0], info))
    elif own:
        found.append(f"{counted(len(own), 'blank').capitalize()}, joined along their letters.")
    for length in route.lengths:
        found.append(f"Sawn square, {info.length_with_unit(length.length)} long.")
    if route.mirror_of:
        found.append(f"The other hand of the {called(route.mirror_of)}: do not mix them up.")
    if route.same_as:
        others = listed([called(name) for name in route.same_as])
        found.append(f"Make {1 + len(route.same_as)} alike: this one, {others}.")
    if route.mass is not None and route.mass > 0.0:
        found.append(f"It will weigh {mass(route.mass)}.")
    return found


def to_measure(route: Route, info: SheetInfo) -> Said:
    """Rows to fill in, what tells most first, and a sentence on what else can be measured."""
    dims = measured_first(route)
    rows = [
        [
            measured_name(dim.dim),
            dim.how,
            info.length(dim.value, dim.is_fine),
            "" if dim.measured is None else info.length(dim.measured, dim.is_fine),
        ]
        for dim in dims[:TO_MEASURE]
    ]
    rest = dims[TO_MEASURE:]
    more = [
        f"{measured_name(d.dim).lower()} {info.length(d.value, d.is_fine)}" for d in rest[:_ALSO]
    ]
    if len(rest) > _ALSO:
        more.append(f"and {len(rest) - _ALSO} more")
    return {"measure": rows, "more": f"Also as drawn: {', '.join(more)}." if more else ""}


def measured_first(route: Route) -> list[ToMeasure]:
    """Dims of a part, what tells most first, then what is measured already."""
    return sorted(route.to_measure, key=lambda dim: (not dim.worth, dim.measured is None))


def neighbour_row(meet: Neighbour, info: SheetInfo) -> list[str]:
    """A row of what a part has to suit."""
    others = listed([called(part) for part in meet.parts])
    what = f"{meet.does[:1].upper()}{meet.does[1:]} the {others}"
    gap = f"{meet.word} {span(meet.wanted, info)}"
    return [what, gap, expected(meet.expected, meet.wanted, info), chance(meet.chance)]


def fold_table(blank: Blank, info: SheetInfo, *, many: bool) -> Said:
    """Folds of one blank, with the words that go below."""
    faces = {panel.id: in_words(panel.face) for panel in blank.piece.panels}
    rows = [
        [
            fold.letter,
            ", ".join(faces.get(p, in_words(p)) for p in fold.fold.panels)
            + (f", {fold.kerfs} kerfs" if fold.kerfs > 1 else ""),
            degrees(fold.inside_angle),
            degrees(fold.fold_to),
            info.length(fold.length),
        ]
        for fold in blank.bends
    ]
    outwards = [fold.letter for fold in blank.bends if fold.fold.turn < 0.0]
    note = "Fold each to its gauge, let go, and measure the inside angle."
    if outwards:
        note += f" {listed(outwards)}: fold the other way, so that the inside angle opens."
    piece = blank.title.partition(", ")[2] or "piece 1"
    return {"title": f"Folds, {piece}" if many else "Folds", "rows": rows, "note": note}
