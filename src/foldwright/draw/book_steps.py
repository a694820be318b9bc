"""The steps of a route sheet, from what a part's pieces ask for, cautions where they bite.

Room: draw. In the order of the shop: mark, cut, groove, form, join, measure,
finish. Only what this part needs is said.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from foldwright.draw import cautions
from foldwright.draw.blank import blank_of, in_words
from foldwright.draw.book_names import measured_name
from foldwright.draw.book_records import Route
from foldwright.draw.cautions import Caution
from foldwright.draw.info import SheetInfo, listed, runs

if TYPE_CHECKING:
    from foldwright.flat.pattern import Fold, Piece


# Step of pressing in which the plug is sawn, longer than it stays.
_SAWS_PLUG = "plug 2"


@dataclass(frozen=True)
class Step:
    """One step, and the caution that stands at it."""

    text: str
    caution: Caution | None = None


def steps_of(route: Route, info: SheetInfo) -> list[Step]:
    """Steps that make one part."""
    own = [piece for piece in route.pieces if not piece.role]
    further = [piece for piece in route.pieces if piece.role]
    found: list[Step] = []
    if route.is_last:
        found.append(Step("Wait. It is made to suit: measure what it meets before you cut it."))
    if route.kind == "bought":
        found.append(Step("Buy it, and measure it when it comes: others are made to suit it."))
    is_pressed = any(name == _SAWS_PLUG for name, _ in route.forming)
    for length in () if is_pressed else route.lengths:
        text = f"Saw {info.length_with_unit(length.length)} of {route.made_from}, square."
        found.append(Step(text, cautions.TUBE))
    if route.pieces:
        found += _flat_steps(route, own or list(route.pieces))
    found += _forming_steps(route, own, info)
    if further:
        found.append(Step(f"Cut what belongs to it: {_roles(further)}."))
    found += _joining_steps(route, own)
    found += [Step(words, cautions.GLUE) for name, words in route.forming if name == "fill"]
    if any(cut.drilled_in_place for cut in route.cut_into):
        # how large they are stands in the table of what is cut into it
        holes = [in_words(cut.name) for cut in route.cut_into if cut.drilled_in_place]
        text = f"Mark only the centres of {listed(holes)}; drill through both parts when they meet."
        found.append(Step(text, cautions.DRILL))
    found += _measuring_step(route)
    if route.finish:
        found.append(Step(f"Finish: {route.finish}.", cautions.GLUE))
    return _said_once(found)


def _flat_steps(route: Route, pieces: Sequence[Piece]) -> list[Step]:
    side = pieces[0].marked_side
    blanks = "the blank" if len(pieces) == 1 else f"the {len(pieces)} blanks"
    found = [
        Step(f"Mark {blanks} on the {side}, from the datum corner, or from the template at 1:1."),
    ]
    cut = "Cut the outline"
    if any(piece.cutouts for piece in pieces):
        cut += " and what is cut into it"
    if any(mark.kind == "drill" for piece in pieces for mark in piece.marks):
        cut += "; drill the relief holes first"
    found.append(Step(f"{cut}. File every edge.", cautions.SKINS))
    return found


def _forming_steps(route: Route, pieces: Sequence[Piece], info: SheetInfo) -> list[Step]:
    folds = [fold for piece in pieces for fold in piece.folds]
    found: list[Step] = []
    cut = [fold for fold in folds if fold.cut_side != "none"]
    if cut:
        words = "Score" if all(fold.method == "score" for fold in cut) else "Groove"
        text = f"{words} {_letters(pieces, cut)} as set up here; try each set-up on an offcut."
        found.append(Step(text, cautions.ROUTER))
    if any(seam.bevel for piece in pieces for seam in piece.seams):
        found.append(Step("Plane the seam edges to their bevels."))
    if any(fold.method == "hot" for fold in folds):
        text = "Heat each line and fold it to its gauge; hold it until it is cold."
        found.append(Step(text, cautions.HOT))
    elif folds:
        text = f"Fold {_letters(pieces, folds)}, each once, to its gauge, and let go."
        found.append(Step(text, cautions.ONCE if cut else None))
    hazards = {
        "curl": cautions.SPRING,
        "close": cautions.GLUE,
        "tap": cautions.DRILL,
        _SAWS_PLUG: cautions.TUBE,
    }
    for name, words in route.forming:
        if name != "fill":  # that comes once it is joined
            usual = cautions.HAMMER if name.startswith("plug") else None
            hazard = hazards.get(name, usual)
            found.append(Step(words, hazard))
    return found


def _letters(pieces: Sequence[Piece], folds: Sequence[Fold]) -> str:
    """Letters of these folds, piece by piece where there are several."""
    said = []
    for piece in pieces:
        # a row of kerfs goes by one letter
        letters = dict.fromkeys(f.row or f.letter for f in blank_of(piece).folds if f.fold in folds)
        if letters:
            said.append(runs(list(letters)))
    return "; ".join(said) if len(said) > 1 else "".join(said)


def _roles(pieces: Sequence[Piece]) -> str:
    """Further pieces in words, those that differ only in their seam together."""
    found: dict[str, list[str]] = {}
    for piece in pieces:
        what, _, which = in_words(piece.role).partition(", seam ")
        found.setdefault(what, []).extend([which] if which else [])
    said = []
    for what, seams in found.items():
        if len(seams) > 1:
            said.append(f"{what}s for seams {listed(sorted(seams, key=lambda s: (len(s), s)))}")
        else:
            said.append(f"a {what} for seam {seams[0]}" if seams else f"the {what}")
    return listed(said)


def _joining_steps(route: Route, pieces: Sequence[Piece]) -> list[Step]:
    letters = sorted(
        {seam.letter for piece in pieces for seam in piece.seams if seam.letter},
        key=lambda letter: (len(letter), letter),
    )
    if not letters or any(name == "close" for name, _ in route.forming):
        return []  # what is curled is closed while it is formed
    backed = any("backing strip" in piece.role for piece in route.pieces)
    behind = f", a backing strip behind {'each' if len(letters) > 1 else 'it'}" if backed else ""
    return [
        Step(
            f"Join {_span(letters)}{behind}. Check the diagonals before the glue takes.",
            cautions.GLUE,
        )
    ]


def _span(letters: Sequence[str]) -> str:
    if len(letters) == 1:
        return f"seam {letters[0]}"
    return f"the seams by their letters, {letters[0]} to {letters[-1]}"


def _measuring_step(route: Route) -> list[Step]:
    # what tells most first; of a part that is measured already, what was read
    asked = [dim for dim in route.to_measure if dim.worth]
    asked = asked or [dim for dim in route.to_measure if dim.measured is not None]
    asked = asked or list(route.to_measure[:2])
    if not asked:
        return []
    names = [measured_name(dim.dim).lower() for dim in asked]
    return [Step(f"Measure: {listed(names)}. Write it down before it goes further.")]


def _said_once(steps: Sequence[Step]) -> list[Step]:
    """Each caution at the first step that it bites at."""
    seen: set[str] = set()
    found = []
    for step in steps:
        again = step.caution is not None and step.caution.hazard in seen
        if step.caution is not None:
            seen.add(step.caution.hazard)
        found.append(Step(step.text) if again else step)
    return found
