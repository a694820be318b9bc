"""What nothing on the rack is large enough for, said before anything is laid out.

Room: sheet.
"""

from __future__ import annotations

from collections.abc import Mapping

from foldwright.flat import Pattern
from foldwright.plan import Stock
from foldwright.sheet.blanks import blanks_of
from foldwright.sheet.fitting import fitting_turns, why_not


def too_large(pattern: Pattern, stocks: Mapping[str, Stock]) -> tuple[str, ...]:
    """Say which pieces of a part fit no sheet or bar, whichever way they lie, and why.

    Parameters
    ----------
    pattern : Pattern
    stocks : Mapping of str to Stock
        The rack.
    """
    found = []
    for name in dict.fromkeys(piece.stock for piece in pattern.pieces):
        stock = stocks[name]
        for blank in blanks_of(pattern.pieces, name) if stock.sheets else ():
            if not fitting_turns(blank, stock):
                found.append(f"{', '.join(blank.ids)} cannot be cut. {why_not(blank, stock)}")
    for cut in pattern.lengths:
        longest = max((bar.length for bar in stocks[cut.stock].bars), default=None)
        if longest is not None and cut.length > longest:
            found.append(
                f"{cut.id} cannot be cut: it needs {cut.length:.1f} mm, and the longest "
                f"{cut.stock} on the rack is {longest:.1f} mm."
            )
    return tuple(found)
