"""What every sheet says beside its drawing.

Room: draw. `SheetInfo` is handed in by whoever makes the sheets; nothing here
is looked up, least of all the date.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction

from foldwright.draw.drawing import A4, Paper
from foldwright.plan import show_length


@dataclass(frozen=True)
class SheetInfo:
    """Words for the sheets of one build.

    Attributes
    ----------
    build : str
        Name of the build.
    units : str
        ``"mm"`` or ``"in"``: how lengths are shown.
    drawn : str
        Date, as it is to be printed.
    notes : Mapping[str, tuple of str]
        For each part, sentences for its map and marking-out sheet: what a
        revision changed and why, what a fold needs.
    stocks : Mapping[str, str]
        What to call each stock ("3 mm skinned board"); absent, its own name.
    skins : Mapping[str, float]
        Thickness of the skins of each stock that has them [mm].
    paper : Paper
        What sheets are printed on; what needs no roll comes on A4 then.
    printed : (float, float)
        What the printer makes of a 100 mm bar, across and up the page [mm].
    """

    build: str
    units: str = "mm"
    drawn: str = ""
    notes: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    stocks: Mapping[str, str] = field(default_factory=dict)
    skins: Mapping[str, float] = field(default_factory=dict)
    paper: Paper = A4
    printed: tuple[float, float] = (100.0, 100.0)

    @property
    def page(self) -> Paper:
        """Paper of sheets that need no true size."""
        return A4 if self.paper.is_roll else self.paper

    def at_true_size(self, paper: Paper) -> Paper:
        """What a page of this paper really measures once such a printer has stretched it."""
        across, up = self.printed
        return Paper(paper.name, paper.width * across / 100.0, paper.height * up / 100.0)

    @property
    def correction(self) -> str:
        """Say how the sheets at true size are corrected; empty if they are not."""
        across, up = self.printed
        if self.printed == (100.0, 100.0):
            return ""
        return (
            f"Drawn for a printer that makes {across:g} mm across and {up:g} mm up of 100: "
            "on another one the bars are wrong."
        )

    def length(self, mm: float, fine: bool = False) -> str:
        """Length without its unit, which the title block gives: tenths, or 64ths of an inch."""
        if self.units == "in" and not fine:
            return _sixty_fourths(mm)
        return show_length(mm, self.units, fine).removesuffix(f" {self.units}")

    def length_with_unit(self, mm: float, fine: bool = False) -> str:
        """Length with its unit, for running text."""
        shown = f"{self.length(mm, fine)} {self.units}"
        return shown if self.units == "mm" else shown.replace(" ", "\u00a0")  # 12 13/64 in

    def by(self, across: float, up: float) -> str:
        """Two lengths as "497.2 by 398.1 mm"."""
        return f"{self.length(across)} by {self.length_with_unit(up)}"

    def setting(self, mm: float) -> str:
        """Length to set a tool to: hundredths where it has them, thousandths of an inch."""
        if self.units != "mm":
            return self.length(mm, True)
        shown = f"{mm:.2f}"
        return shown[:-1] if shown.endswith("0") else shown

    def stock_of(self, name: str, thickness: float) -> str:
        """Name of a stock with its thickness."""
        return self.stocks.get(name) or f"{self.length_with_unit(thickness)} {name}"

    @property
    def sizes(self) -> str:
        """What the numbers are; a rule has 64ths of an inch, a dial thousandths."""
        return "mm, outside" if self.units == "mm" else "inches, outside: to 1/64, set-ups 0.001"


def _sixty_fourths(mm: float) -> str:
    """Nearest 64th of an inch, in lowest terms: 320 mm is "12 19/32"."""
    steps = round(abs(mm) / 25.4 * 64.0)
    whole, part = divmod(steps, 64)
    words = [str(whole)] if whole or not part else []
    words += [str(Fraction(part, 64))] if part else []
    # Set wide and never broken, since "1 11/64" set close reads as 111/64.
    return ("-" if mm < 0.0 and steps else "") + "\u00a0\u00a0".join(words)


def degrees(angle: float) -> str:
    """Angle in degrees, to a tenth: ``140.8°``; no minus zero."""
    shown = f"{math.degrees(angle):.1f}"
    return f"{shown.lstrip('-') if float(shown) == 0.0 else shown}°"


def listed(words: list[str] | tuple[str, ...]) -> str:
    """Join words as prose does: a; a and b; a, b and c."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"


def runs(letters: list[str]) -> str:
    """Neighbouring capitals drawn together: A, B, C, F becomes "A to C, F"."""
    out: list[str] = []
    i = 0
    order = "ABCDEFGHJKLMNPQRSTUVWXYZ"  # as folds are lettered
    while i < len(letters):
        j = i
        while (
            j + 1 < len(letters)
            and len(letters[j]) == len(letters[j + 1]) == 1
            and order.index(letters[j + 1]) == order.index(letters[j]) + 1
        ):
            j += 1
        if j - i >= 2:
            out.append(f"{letters[i]} to {letters[j]}")
        else:
            out.extend(letters[i : j + 1])
        i = j + 1
    return ", ".join(out)
