"""Names of the plan as one says them: what users read has no underscores and no dots.

Room: fit. What a user types at the command line keeps the names of the plan.
"""

from __future__ import annotations

import re

# Dims read in several directions, and those that are named for a figure of their outline.
_ROUND = re.compile(r"(bore|(?:\w+_)?d|length)_(\d+)")
_CORNERS = re.compile(r"[xz] [\d.]+")
_SIZES = {
    "d": "diameter",
    "outside_d": "outside diameter",
    "bottom_d": "bottom diameter",
    "top_d": "top diameter",
    "bolt_d": "bolt hole",
}


def part_in_words(name: str) -> str:
    """A name of the plan as one says it.

    Examples
    --------
    >>> part_in_words("leg_plug-1")
    'leg plug 1'
    """
    return re.sub(r"-(\d+)\b", r" \1", name.replace("_", " "))


def dim_in_words(name: str) -> str:
    """A dim or size as one says it.

    Examples
    --------
    >>> dim_in_words("bore_0"), dim_in_words("d_60")
    ('bore at the seam', 'diameter 60 degrees from the seam')
    >>> dim_in_words("x 120"), dim_in_words("cheek-1_length")
    ('corners at x 120', 'cheek 1 length')
    >>> dim_in_words("bottom_d_120")
    'bottom diameter 120 degrees from the seam'
    """
    if found := _ROUND.fullmatch(name):
        what, degrees = found[1], int(found[2])
        where = f"{degrees} degrees from the seam" if degrees else "at the seam"
        return f"{_SIZES.get(what, what)} {where}"
    if _CORNERS.fullmatch(name):
        return f"corners at {name}"
    return _SIZES.get(name, part_in_words(name.replace("~", " to ")))


def dim_of_part(part: str, dim: str) -> str:
    """A dim of a part within a sentence.

    Examples
    --------
    >>> dim_of_part("lamp_cap", "outside_d")
    'outside diameter of the lamp cap'
    """
    return f"{dim_in_words(dim)} of the {part_in_words(part)}"
