"""How names and numbers are said in a build book.

Room: draw. A name is said as prose says it, a number as a bench does.
"""

from __future__ import annotations

import re

from foldwright.draw.blank import in_words
from foldwright.draw.info import SheetInfo
from foldwright.plan import is_fine_range

NONE = "\N{EN DASH}"


def title(name: str) -> str:
    """Name as a heading has it: ``lamp_cap`` is "Lamp cap"."""
    words = called(name)
    return words[:1].upper() + words[1:]


def called(name: str) -> str:
    """Name as prose has it; of copies with their number: ``leg-2`` is "leg 2"."""
    return re.sub(r"-(\d+)$", r" \1", in_words(name))


def piece_called(piece: str) -> str:
    """Name of a blank, or of a length of tube or bar, as prose has it.

    Examples
    --------
    >>> piece_called("lamp_cap-1"), piece_called("pedestal-10"), piece_called("leg-3-1")
    ('lamp cap', 'pedestal, piece 10', 'leg 3')
    """
    part, _, number = piece.rpartition("-")
    return called(part) if number == "1" else f"{called(part)}, piece {number}"


def measured_name(dim: str) -> str:
    """Name of a dim, as a row of a table has it.

    Examples
    --------
    >>> measured_name("outside_d"), measured_name("bottom_d_120"), measured_name("bore_60")
    ('Outside diameter', 'Bottom diameter at 120°', 'Bore at 60°')
    """
    dim = re.sub(r"\b([a-z]+)_\1\b", r"\1", dim)  # a mouth that its side is named for
    words = re.sub(r"^(.+)~(.+)_length$", r"edge of \1 and \2", dim)
    words = re.sub(r"(^|_)d(_\d+)?$", r"\1diameter\2", words)
    # what is read in several directions, each by its degrees from the seam
    words = re.sub(r"^(bore|length|.*diameter)_(\d+)$", "\\1 at \\2\N{DEGREE SIGN}", words)
    return title(re.sub(r"-(\d+)(?![0-9])", r" \1", words))


def mass(kilograms: float) -> str:
    """Mass as a scale shows it: grams below a kilogram."""
    if kilograms < 1.0:
        return f"{1000.0 * kilograms:.0f}\N{NO-BREAK SPACE}g"
    return f"{kilograms:.1f}\N{NO-BREAK SPACE}kg"


def money(amount: float | None) -> str:
    """An amount with two decimals; a dash where it is not known."""
    return NONE if amount is None else f"{amount:.2f}"


def chance(share: float | None) -> str:
    """``97 in 100``; never 0 or 100, since nothing by hand is certain."""
    return NONE if share is None else f"{min(99, max(1, round(100.0 * share)))} in 100"


def span(wanted: tuple[float, float], info: SheetInfo) -> str:
    """``0.20 to 0.80``; a range below nothing is said by its size."""
    low, high = wanted
    if high <= 0.0:
        low, high = -high, -low
    fine = is_fine_range(low, high)
    return f"{info.length(low, fine)} to {info.length(high, fine)}"


def expected(value: float, wanted: tuple[float, float], info: SheetInfo) -> str:
    """The number beside its range, with the sign that the range is said with."""
    return info.length(-value if wanted[1] <= 0.0 else value, is_fine_range(*wanted))
