"""How much of a printed route sheet is left for the drawing of the blank.

The browser sets the page, in type of 9 points whatever there is to say; here it is
reckoned how high that will come, so that the drawing can be drawn for what is left,
its figures as large as on every drawing. What was reckoned a little wrong the browser
makes good: it draws the blank so much smaller.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

_MARGINS = 18.0  # above and below, as the style sheet has them [mm]
# A column of two, in letters of 9 points, and the height of a line [mm].
_LETTERS, _LINE = 60.0, 3.85
_NARROW = 38.0  # letters to the line beside the drawing
_TITLE_BLOCK, _HEADING, _APART = 11.0, 7.2, 1.0
_TITLE, _PICTURE = 20.0, 37.0
_LEAST, _STEP = 60.0, 6.0
_UNEVEN = 1.05  # two columns never come out equal


def lines(text: str, letters: float = _LETTERS) -> int:
    """Lines that a text takes at most in a column."""
    return math.ceil(len(text) / letters)


def height_of_words(texts: Iterable[str], letters: float = _LETTERS) -> float:
    """Height of paragraphs or rows, one below the other [mm].

    Examples
    --------
    >>> round(height_of_words(["Saw it square.", "File it."]), 1)
    9.7
    """
    return sum(_LINE * lines(text, letters) + _APART for text in texts)


def _in_narrow(suits: Sequence[str]) -> float:
    """Height of title and what a part has to suit in the narrow column [mm]."""
    return _TITLE + _HEADING + height_of_words((f"{text}{' ' * 28}" for text in suits), _NARROW)


@dataclass(frozen=True)
class Room:
    """What a printed sheet leaves.

    Attributes
    ----------
    high : float
        For the blank [mm], in steps, so that a word more or less draws nothing anew.
    how : str
        ``""``: what is filled in stands beside the blank; ``"full"``: it has to go below;
        ``"full swapped"``: there, and what the part has to suit in its place;
        ``"full swapped unpictured"``: the same without the picture, which takes the room;
        ``"full fullest"``: what it has to suit and what it weighs are left to the screen.
    """

    high: float
    how: str = ""


def room_for_blank(
    page: float,
    doing: float,
    headings: int,
    suits: Sequence[str],
    beside: Sequence[str],
    below: Sequence[str],
) -> Room:
    """Work out what is left for the blank.

    Parameters
    ----------
    page : float
        Height of the paper [mm].
    doing : float
        Height of all that is set in two columns, one below the other [mm].
    headings : int
        Headings in it.
    suits : sequence of str
        One for each neighbour, as it is said.
    beside : sequence of str
        Words that stand beside the drawing.
    below : sequence of str
        Words under the drawing.
    """
    suited = [height_of_words([text]) + _LINE for text in suits]
    rows = (max(suited[i : i + 2]) for i in range(0, len(suited), 2))
    suiting = (_HEADING if suited else 0.0) + sum(rows)
    used = _TITLE_BLOCK + suiting + _UNEVEN * (doing + _HEADING * headings) / 2.0
    under = height_of_words(below, _LETTERS * 1.35) + _HEADING
    used += under
    left = page - _MARGINS - used
    column = (
        _TITLE
        + _PICTURE
        + _HEADING
        + sum(height_of_words([text], _NARROW) + _LINE for text in beside)
    )
    how = ""
    if column > left + 12.0:
        how = "full"
        left -= _HEADING + math.ceil(len(beside) / 2.0) * (_LINE + _APART)
        swapped, narrow = left + suiting, _in_narrow(suits)
        if suits and narrow + _PICTURE < swapped + under:
            how, left = "full swapped", swapped
        elif suits and left < _LEAST and narrow < swapped + under:
            how, left = "full swapped unpictured", swapped
        elif left < _LEAST:
            how = "full fullest"
            left = swapped + 2.0 * _LINE
    return Room(max(_LEAST, _STEP * math.floor(left / _STEP)), how)
