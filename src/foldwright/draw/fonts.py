"""Type faces: where their files are, and how wide a line of text runs.

Room: draw. The faces ship with the package, in ``fonts/`` beside this module,
under the SIL Open Font License. Widths come from the files themselves, so
that a label is placed where it will really stand. They are read here (ISO/IEC
14496-22, tables head, hhea, hmtx, cmap): the first picture need not wait for
the PDF library to load.
"""

from __future__ import annotations

import struct
import unicodedata
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from foldwright.draw.drawing import Face

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

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
    data = font_file(face).read_bytes()
    tables = {
        tag: offset
        for tag, _, offset, _ in struct.iter_unpack(">4sIII", data[12 : 12 + 16 * _short(data, 4)])
    }
    em = _short(data, tables[b"head"] + 18)
    count = _short(data, tables[b"hhea"] + 34)
    wide = struct.unpack_from(f">{2 * count}H", data, tables[b"hmtx"])[::2]
    # glyphs past the last that has a width of its own share that one
    return {
        code: wide[min(glyph, count - 1)] / em for code, glyph in _glyphs(data, tables[b"cmap"])
    }


def _glyphs(data: bytes, cmap: int) -> Iterator[tuple[int, int]]:
    """Codes of all characters with their glyphs: subtable of format 4 for Windows, Unicode."""
    records = struct.iter_unpack(">HHI", data[cmap + 4 : cmap + 4 + 8 * _short(data, cmap + 2)])
    at = next(cmap + offset for platform, kind, offset in records if (platform, kind) == (3, 1))
    twice = _short(data, at + 6)
    ends, starts, deltas, ranges = (
        struct.unpack_from(f">{twice // 2}H", data, at + 14 + skipped + k * twice)
        for k, skipped in enumerate((0, 2, 2, 2))
    )
    for i, (end, start, delta, offset) in enumerate(zip(ends, starts, deltas, ranges, strict=True)):
        for code in range(start, min(end, 0xFFFE) + 1):
            glyph = code
            if offset:
                place = at + 16 + 3 * twice + 2 * i
                glyph = _short(data, place + offset + 2 * (code - start))
            if not offset or glyph:
                glyph = (glyph + delta) % 0x10000
            if glyph:
                yield code, glyph


def _short(data: bytes, at: int) -> int:
    """Unsigned number of two bytes."""
    return int.from_bytes(data[at : at + 2], "big")
