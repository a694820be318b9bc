"""Type faces: where their files are, and how wide a line of text runs.

Room: draw. The faces ship with the package, in ``fonts/`` beside this module,
under the SIL Open Font License. Widths come from the files themselves, so
that a label is placed where it will really stand.
"""

from __future__ import annotations

import unicodedata
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from foldwright.draw.drawing import Face

if TYPE_CHECKING:
    from collections.abc import Mapping

FOLDER = Path(__file__).with_name("fonts")

# Height of capitals and of small letters as shares of the em, from the files
# (OS/2 table: 736 and 528 of 1024, 676 and 458 of 1000).
CAPITAL = 0.7
DESCENT = 0.24


def font_file(face: Face) -> Path:
    """TrueType file of a face."""
    return FOLDER / f"{face.file}.ttf"


def text_width(text: str, face: Face, size: float) -> float:
    """Length of a line of text [mm], for an em of `size` mm."""
    widths = _widths(face)
    return size * sum(widths.get(ord(c), 0.6) for c in printable(text, face))


def printable(text: str, face: Face) -> str:
    """Replace what the face lacks: accents are dropped first, then ``?`` stands in."""
    widths = _widths(face)
    if all(ord(c) in widths for c in text):
        return text
    out = []
    for c in text:
        plain = unicodedata.normalize("NFKD", c)
        kept = c if ord(c) in widths else "".join(p for p in plain if ord(p) in widths)
        out.append(kept or "?")
    return "".join(out)


def wrapped(text: str, face: Face, size: float, width: float) -> list[str]:
    """Break text at spaces into lines no longer than `width` [mm]; long words are cut."""
    lines: list[str] = []
    for paragraph in text.split("\n"):
        current = ""
        for word in paragraph.split(" "):
            trial = f"{current} {word}" if current else word
            if text_width(trial, face, size) <= width:
                current = trial
                continue
            if current:
                lines.append(current)
            while text_width(word, face, size) > width and len(word) > 1:
                cut = next(
                    n
                    for n in range(len(word) - 1, 0, -1)
                    if n == 1 or text_width(word[:n], face, size) <= width
                )
                lines.append(word[:cut])
                word = word[cut:]
            current = word
        lines.append(current)
    return lines


@cache
def _widths(face: Face) -> Mapping[int, float]:
    """How far each character of a face moves on, by its code, as a share of the em."""
    # slow to import; the PDF library knows them too, but is slower by far
    from fontTools.ttLib import TTFont

    with TTFont(font_file(face), lazy=True) as file:
        em, wide = file["head"].unitsPerEm, file["hmtx"].metrics
        return {code: wide[glyph][0] / em for code, glyph in file.getBestCmap().items()}
