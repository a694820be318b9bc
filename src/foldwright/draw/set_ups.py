"""Set-ups and seams of a blank, as blocks for its marking-out sheet.

Room: draw. Folds that are cut alike share a set-up, with one section drawing
from its numbers; seams are listed by their witness letters.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from foldwright.draw.blank import Blank, FoldLine, in_words
from foldwright.draw.drawing import TEXT_BOLD, Arc, Item
from foldwright.draw.flow import Block, Chunk, paragraph
from foldwright.draw.info import SheetInfo, degrees, listed, runs
from foldwright.draw.section import Groove, groove_section
from foldwright.draw.sheet import HEADING, SECOND
from foldwright.draw.wording import counted

# Set-ups that differ by less than this are one [mm, rad].
_ALIKE = 3


def heading_block(text: str) -> Block:
    """Heading over a list or table."""
    return paragraph(text, HEADING, TEXT_BOLD)


def set_up_chunks(blank: Blank, info: SheetInfo) -> list[Chunk]:
    """One heading, sentence and section for each distinct set-up."""
    groups: dict[tuple[object, ...], list[FoldLine]] = {}
    for fold in blank.folds:
        f = fold.fold
        cut = f.cut_side != "none"
        numbers = (f.cutter, f.floor, f.web) if cut else (f.inner_radius,)
        groups.setdefault((cut, *(round(n, _ALIKE) for n in numbers)), []).append(fold)
    chunks: list[Chunk] = []
    for i, folds in enumerate(groups.values()):
        title = _set_up_title(folds, i, len(groups))
        chunks.append(Chunk(heading_block(title), keep=True, space=5.0))
        drawn = folds[0].fold.cut_side != "none"
        chunks.append(
            Chunk(paragraph(_setting(folds, info, blank.side), SECOND), keep=drawn, space=0.5)
        )
        if drawn:
            chunks.append(Chunk(_section_block(blank, folds[0], info), space=1.5))
    return chunks


def _set_up_title(folds: Sequence[FoldLine], index: int, count: int) -> str:
    kind = "Groove" if folds[0].fold.cut_side != "none" else "Bend"
    if count > 1:
        return f"{kind}, set-up {index + 1}: {runs([f.letter for f in folds])}"
    if len(folds) <= 2:
        return f"{kind}, one set-up" + (" for both" if len(folds) == 2 else "")
    return f"{kind}, one set-up for all {counted(len(folds), 'fold').rsplit(' ', 1)[0]}"


def _setting(folds: Sequence[FoldLine], info: SheetInfo, side: str) -> str:
    fold = folds[0].fold
    if fold.cut_side == "none":
        towards = {f.letter: (f.fold.turn > 0.0) == (side == "inside") for f in folds}
        ways = [
            f"{listed([x for x, up in towards.items() if up == way])} {words} the marked side"
            for way, words in ((True, "up, towards"), (False, "down, away from"))
            if way in towards.values()
        ]
        return (
            f"Bend on the middle line, inner radius {info.setting(fold.inner_radius)}; "
            f"nothing is cut. Bend {' and '.join(ways)}."
        )
    here = [f.letter for f in folds if not f.other_side]
    there = [f.letter for f in folds if f.other_side]
    where = "Cut on the marked side, offcut first."
    if there and here:
        where = (
            f"Cut {runs(here)} on the marked side, offcut first. Prick the ends of {runs(there)} "
            "through and cut it from the other side."
        )
    elif there:
        where = "Prick the ends through and cut from the other side, offcut first."
    cutter = (
        "Saw kerf"
        if fold.cutter == 0.0
        else f"Cutter {degrees(fold.cutter).replace('.0°', '°')}, flat floor"
    )
    text = f"{where} {cutter} {info.setting(fold.floor)} wide; leave {info.setting(fold.web)}."
    shuts = [f.fold.shuts_at for f in folds if f.fold.turn > 0.0 and f.fold.cut_side == "inside"]
    if shuts and math.isfinite(min(shuts)):
        text += f" The groove shuts at an inside angle of {degrees(math.pi - min(shuts))}."
    return text


def _section_block(blank: Blank, fold: FoldLine, info: SheetInfo) -> Block:
    groove = Groove(
        floor=fold.fold.floor,
        web=fold.fold.web,
        thickness=blank.piece.thickness,
        angle=fold.fold.cutter,
        skin=info.skins.get(blank.piece.stock, 0.0),
    )

    def block(x: float, top: float, width: float) -> tuple[list[Item], float]:
        return groove_section(groove, info, x, top, width)

    return block


def seam_chunks(blank: Blank, info: SheetInfo) -> list[Chunk]:
    """What to do to the edges that are joined, by witness letter."""
    back: dict[str, set[str]] = {}
    proud: dict[str, set[str]] = {}
    square: dict[str, list[str]] = {}
    for line in blank.seams:
        seam = line.seam
        letter = line.letter or in_words(seam.panel)
        shown = degrees(abs(seam.bevel))
        if shown == "0.0°":
            # one sentence for each kind of seam that is left square
            square.setdefault(seam.kind, [])
            if letter not in square[seam.kind]:
                square[seam.kind].append(letter)
        elif seam.trim_inside >= seam.trim:
            back.setdefault(letter, set()).add(shown)
        else:
            proud.setdefault(letter, set()).add(shown)
    texts = []
    if back:
        texts.append("Plane the inside back from square, matching letters: " + _angles(back) + ".")
    if proud:
        texts.append(
            "Plane the outside back from square, matching letters: " + _angles(proud) + "."
        )
    for kind, letters in sorted(square.items()):
        texts.append(f"Leave the edges of {listed(sorted(letters))} square: {kind} seam.")
    if not texts:
        return []
    chunks = [Chunk(heading_block("Seams"), keep=True, space=5.0)]
    return chunks + [Chunk(paragraph(text, SECOND), space=0.6) for text in texts]


def _angles(found: dict[str, set[str]]) -> str:
    return ", ".join(
        f"{letter}\u00a0{listed(sorted(found[letter]))}"
        for letter in sorted(found, key=lambda k: (len(k), k))
    )


def arc_chunks(blank: Blank, info: SheetInfo) -> list[Chunk]:
    """Edges to strike from a centre: its number, and the radius."""
    texts = []
    for path, what in ((blank.outline, "edge"), *((c, "cutout") for c in blank.cutouts)):
        seen = set()
        for segment in path:
            if not isinstance(segment, Arc):
                continue
            number = next(
                (p.number for p in blank.points if math.dist(p.at, segment.centre) < 0.05),
                0,
            )
            key = (number, round(segment.radius, 3))
            if key not in seen:
                seen.add(key)
                texts.append(
                    f"From centre {number} strike the {what}: radius "
                    f"{info.length_with_unit(segment.radius)}."
                )
    if not texts:
        return []
    chunks = [Chunk(heading_block("Arcs"), keep=True, space=5.0)]
    return chunks + [Chunk(paragraph(text, SECOND), space=0.5) for text in texts]
