"""How small a route sheet is printed so that it comes on one page.

The browser sets the page; here it is only reckoned how much there is to set, in
columns of the printed sheet, and by how much that has to shrink.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from foldwright.draw.book_drawings import Figure

# What a browser can be told by a class: shares of the usual size, in hundredths.
SIZES = (100, 92, 84, 76, 68, 60, 52, 46)
# Two columns of a page of Letter, which is the shorter, less title and title block [mm].
_ROOM, _COLUMN = 2.0 * 208.0, 86.0
# At 9.5 pt: letters to the line, and its height [mm].
_LETTERS, _LINE = 54.0, 4.4
# Air and rules beside the words of a paragraph, a row, a heading [mm].
_PARAGRAPH = 1.8


def print_size(texts: Iterable[str], figures: Sequence[tuple[Figure, float]]) -> int:
    """Share of the usual size to print at, one of `SIZES` [hundredths].

    Parameters
    ----------
    texts : iterable of str
        Every paragraph, row and heading.
    figures : sequence of (Figure, float)
        Each with the height that it takes at most [mm].

    Examples
    --------
    >>> print_size(["Saw it square."], [])
    100
    """
    paragraphs = [len(text) for text in texts]
    for size in SIZES:
        share = size / 100.0
        letters = _LETTERS / share  # smaller letters, longer lines
        lines = sum(math.ceil(count / letters) for count in paragraphs)
        words = share * (_LINE * lines + _PARAGRAPH * len(paragraphs))
        drawn = sum(
            min(share * most, _COLUMN * figure.height / figure.width) + share * 2.0
            for figure, most in figures
        )
        if words + drawn <= _ROOM:
            return size
    return SIZES[-1]
