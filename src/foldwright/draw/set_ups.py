"""Set-ups and seams of a blank, as blocks for its marking-out sheet.

Room: draw. Folds that are cut alike share a set-up, with one section drawing
from its numbers; seams are listed by their witness letters.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from foldwright.draw.blank import Blank, FoldLine, SeamLine, in_words
from foldwright.draw.drawing import TEXT_BOLD, Item
from foldwright.draw.flow import Block, Chunk, paragraph
from foldwright.draw.info import SheetInfo, degrees, listed, runs
from foldwright.draw.section import Groove, groove_section
from foldwright.draw.sheet import HEADING, SECOND
from foldwright.draw.wording import counted

if TYPE_CHECKING:
    from foldwright.flat.pattern import Seam

_SET_UPS = {"bend": "Bend", "kerf": "Saw kerf", "score": "Score", "hot": "Heated line"}
_ORDER = "abcdefghjkmnpqrstuvwxyz"  # of witness letters: i, l and o read as figures

# Set-ups that differ by less than this are one [mm, rad].
_ALIKE = 3


def heading_block(text: str) -> Block:
    """Heading over a list or table."""
    return paragraph(text, HEADING, TEXT_BOLD)


@dataclass(frozen=True)
class SetUp:
    """One way of cutting, for all folds that are cut so.

    Attributes
    ----------
    title, text : str
        "Groove, one set-up for all six", and what to set.
    fold : FoldLine
        One of them, from which the section is drawn.
    is_cut : bool
        Whether anything is cut; a bend has no section.
    """

    title: str
    text: str
    fold: FoldLine
    is_cut: bool


def set_ups_of(blank: Blank, info: SheetInfo) -> list[SetUp]:
    """Each distinct set-up of a blank, in words."""
    groups: dict[tuple[object, ...], list[FoldLine]] = {}
    for fold in blank.bends:
        f = fold.fold
        cut = f.cut_side != "none"
        method = f.method if f.method in _SET_UPS else "groove"  # open or not is one set-up
        numbers = (f.cutter, f.floor, f.web, fold.pitch) if cut else (f.inner_radius,)
        key = (method, fold.kerfs, cut, *(round(n, _ALIKE) for n in numbers))
        groups.setdefault(key, []).append(fold)
    return [
        SetUp(
            _set_up_title(folds, i, len(groups)),
            _setting(folds, info, blank),
            folds[0],
            folds[0].fold.cut_side != "none",
        )
        for i, folds in enumerate(groups.values())
    ]


def set_up_chunks(blank: Blank, info: SheetInfo) -> list[Chunk]:
    """One heading, sentence and section for each distinct set-up."""
    chunks: list[Chunk] = []
    for one in set_ups_of(blank, info):
        chunks.append(Chunk(heading_block(one.title), keep=True, space=5.0))
        chunks.append(Chunk(paragraph(one.text, SECOND), keep=one.is_cut, space=0.5))
        if one.is_cut:
            chunks.append(Chunk(section_block(blank, one.fold, info), space=1.5))
    return chunks


def _set_up_title(folds: Sequence[FoldLine], index: int, count: int) -> str:
    first = folds[0]
    kind = _SET_UPS.get(first.fold.method, "Groove")
    if first.kerfs > 1:
        kind = "Rows of saw kerfs" if len(folds) > 1 else "Row of saw kerfs"
    if count > 1:
        return f"{kind}, set-up {index + 1}: {runs([f.letter for f in folds])}"
    if len(folds) <= 2:
        return f"{kind}, one set-up" + (" for both" if len(folds) == 2 else "")
    noun = "row" if first.kerfs > 1 else "fold"
    return f"{kind}, one set-up for all {counted(len(folds), noun).rsplit(' ', 1)[0]}"


def _setting(folds: Sequence[FoldLine], info: SheetInfo, blank: Blank) -> str:
    fold = folds[0].fold
    text = _how(folds, info, blank.piece.thickness)
    if fold.cut_side != "none":
        text = f"{_where_cut(folds)} {text}"
    else:
        text += f" {_which_way(folds, blank.side)}"
    shuts = [
        f.fold.shuts_at * f.kerfs
        for f in folds
        if f.fold.turn > 0.0 and f.fold.cut_side == "inside" and f.fold.method != "open"
    ]
    if shuts and min(shuts) < math.pi:
        what = "groove shuts" if folds[0].kerfs == 1 else "row shuts"
        text += f" The {what} at an inside angle of {degrees(math.pi - min(shuts))}."
    opening = [f.letter for f in folds if f.fold.method == "open" and f.fold.turn > 0.0]
    if opening:
        text += f" {listed(opening)}: the cut opens as you fold; fill it to the edge afterwards."
    inwards = [f.letter for f in folds if f.fold.method == "open" and f.fold.turn < 0.0]
    if inwards:
        text += f" {listed(inwards)}: the cut opens as you fold, on the inside, where it may stay."
    return text


def _how(folds: Sequence[FoldLine], info: SheetInfo, thickness: float) -> str:
    """What to set, by the method of these folds."""
    first, fold = folds[0], folds[0].fold
    leave = f"leave {info.setting(fold.web)}, {info.setting(thickness - fold.web)} deep"
    match fold.method:
        case "bend":
            return (
                f"Bend on the middle line, inner radius {info.setting(fold.inner_radius)}; "
                "nothing is cut."
            )
        case "hot":
            return (
                f"Heat a strip {info.setting(fold.zone_width)} wide along the middle line until "
                f"it gives, fold to inner radius {info.setting(fold.inner_radius)}, and hold it "
                "until it is cold. Try an offcut: too cold it whitens or cracks."
            )
        case "score":
            if fold.cut_side == "none":
                return "Press the line in with a blunt edge along a rule; cut nothing."
            return f"Score along a rule, {leave}; fold away from the score."
        case "kerf" if first.kerfs > 1:
            turns = sorted({degrees(abs(f.fold.turn) / f.kerfs) for f in folds})
            each = f"each turns {turns[0]}" if len(turns) == 1 else "share each turn equally"
            return (
                f"{counted(first.kerfs, 'kerf').capitalize()} to a row, "
                f"{info.setting(first.pitch)} from middle to middle; {each}. Kerf "
                f"{info.setting(fold.floor)} wide; {leave}. Fold them a little each, in turn."
            )
        case "kerf":
            return f"Saw kerf {info.setting(fold.floor)} wide; {leave}."
    cutter = (
        "Square cutter"
        if fold.cutter == 0.0
        else f"Cutter {degrees(fold.cutter).replace('.0°', '°')}"
    )
    return f"{cutter}, flat floor {info.setting(fold.floor)} wide; {leave}."


def _where_cut(folds: Sequence[FoldLine]) -> str:
    here = [f.letter for f in folds if not f.other_side]
    there = [f.letter for f in folds if f.other_side]
    if there and here:
        return (
            f"Cut {runs(here)} on the marked side, offcut first. Prick the ends of {runs(there)} "
            f"through and cut {'it' if len(there) == 1 else 'them'} from the other side."
        )
    if there:
        return "Prick the ends through and cut from the other side, offcut first."
    return "Cut on the marked side, offcut first."


def _which_way(folds: Sequence[FoldLine], side: str) -> str:
    towards = {f.letter: (f.fold.turn > 0.0) == (side == "inside") for f in folds}
    ways = [
        f"{listed([x for x, up in towards.items() if up == way])} {words} the marked side"
        for way, words in ((True, "up, towards"), (False, "down, away from"))
        if way in towards.values()
    ]
    return f"Fold {' and '.join(ways)}."


def groove_of(blank: Blank, fold: FoldLine, info: SheetInfo) -> Groove:
    """What the section of one fold's cut is drawn from."""
    return Groove(
        floor=fold.fold.floor,
        web=fold.fold.web,
        thickness=blank.piece.thickness,
        angle=fold.fold.cutter,
        skin=info.skins.get(blank.piece.stock, 0.0),
    )


def section_block(blank: Blank, fold: FoldLine, info: SheetInfo) -> Block:
    """Section of one fold's cut."""
    groove = groove_of(blank, fold, info)

    def block(x: float, top: float, width: float) -> tuple[list[Item], float]:
        return groove_section(groove, info, x, top, width)

    return block


def seam_words(blank: Blank, info: SheetInfo) -> list[str]:
    """What to do to the edges that are joined, by witness letter."""
    lettered = [(line.letter or in_words(line.seam.panel), line) for line in blank.seams]
    return [*_bevels(lettered), *_covers(lettered), *_square_edges(lettered, blank, info)]


def seam_chunks(blank: Blank, info: SheetInfo) -> list[Chunk]:
    """The same as blocks under their heading; nothing where no edge is joined."""
    texts = seam_words(blank, info)
    if not texts:
        return []
    chunks = [Chunk(heading_block("Seams"), keep=True, space=5.0)]
    return chunks + [Chunk(paragraph(text, SECOND), space=0.6) for text in texts]


type _Lettered = Sequence[tuple[str, SeamLine]]


def _is_square(seam: Seam) -> bool:
    return degrees(abs(seam.bevel)) == "0.0°"


def _bevels(lettered: _Lettered) -> list[str]:
    back: dict[str, set[str]] = {}
    proud: dict[str, set[str]] = {}
    for letter, line in lettered:
        if not _is_square(line.seam):
            found = back if line.seam.trim_inside >= line.seam.trim else proud
            found.setdefault(letter, set()).add(degrees(abs(line.seam.bevel)))
    return [
        f"Plane the {skin} back, from square (the tilt of a saw), matching letters: "
        f"{_angles(found)}."
        for skin, found in (("inside", back), ("outside", proud))
        if found
    ]


def _covers(lettered: _Lettered) -> list[str]:
    """Which board of a lap covers which: said by the one that covers, if it is on this blank."""
    over = {line.letter for _, line in lettered if line.seam.kind == "lap over"}
    said: dict[str, list[str]] = {}
    for letter, line in lettered:
        face, to = in_words(line.seam.panel), line.to or "its neighbour"
        if line.seam.kind == "lap over":
            said.setdefault(f"{face} over {to}", []).append(letter)
        elif line.seam.kind == "lap under" and line.letter not in over:
            said.setdefault(f"{face} under {to}", []).append(letter)
    if not said:
        return []
    which = [f"{runs_of(sorted(letters))}, {words}" for words, letters in said.items()]
    return [f"Lap, which covers which: {'; '.join(which)}."]


def _square_edges(lettered: _Lettered, blank: Blank, info: SheetInfo) -> list[str]:
    kinds: dict[str, list[str]] = {}
    stops: dict[str, list[str]] = {}
    for letter, line in lettered:
        if not _is_square(line.seam):
            continue
        kinds.setdefault(line.seam.kind.partition(" ")[0], []).append(letter)
        if line.seam.kind == "butt" and blank.folds:
            stops.setdefault(info.setting(max(0.0, line.seam.trim)), []).append(letter)
    texts = []
    for kind, letters in sorted(kinds.items()):
        text = f"Leave the edges of {runs_of(sorted(set(letters)))} square: {kind} seam."
        short = [
            f"{runs_of(sorted(set(which)))} by {stop}"
            for stop, which in stops.items()
            if float(stop) > 0.0
        ]
        if kind == "butt" and short:
            text += (
                f" The blank is short of the corner already, {listed(short)}, so that the inside "
                "edges meet; fill the V outside."
            )
        texts.append(text)
    return texts


def runs_of(letters: Sequence[str]) -> str:
    """Witness letters with neighbours drawn together: a, b, c, e becomes "a to c and e"."""
    out: list[list[str]] = []
    for letter in letters:
        last = out[-1][-1] if out else ""
        follows = len(last) == len(letter) == 1 and _ORDER.find(letter) == _ORDER.find(last) + 1
        if follows:
            out[-1].append(letter)
        else:
            out.append([letter])
    said = []
    for run in out:
        said += [f"{run[0]} to {run[-1]}"] if len(run) > 2 else run
    return listed(said)


def _angles(found: dict[str, set[str]]) -> str:
    """Angles by letter, those that are alike together: "a to c 45.0°, d 24.0°"."""
    alike: dict[str, list[str]] = {}
    for letter in sorted(found, key=lambda k: (len(k), k)):
        alike.setdefault(listed(sorted(found[letter])), []).append(letter)
    return ", ".join(f"{runs_of(letters)}\u00a0{angle}" for angle, letters in alike.items())
