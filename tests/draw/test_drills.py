"""Which hole takes which drill."""

import math

from foldwright.draw.blank import blank_of
from foldwright.draw.info import SheetInfo
from foldwright.draw.wording import drill_names
from foldwright.flat import pattern_of
from foldwright.plan import Cutter
from foldwright.shop import boards
from zoo import profile

CUTTERS = (Cutter("v90", math.radians(90), 2.0, 12.0),)


def test_holes_of_several_sizes_are_told_apart_by_number():
    """Every hole stands once, with its diameter; a wrong drill at a corner spoils the part."""
    wedge = profile([(0.0, 0.0), (300.0, 0.0), (0.0, 109.19)], 250.0)
    piece, *_ = pattern_of(wedge, boards()["acp-3-0.3"], CUTTERS).pieces
    names = drill_names(blank_of(piece), SheetInfo("test"))  # a 20 degree corner
    sizes = {mark.d for mark in piece.marks}
    told = [word for name in names for word in name.split(" at ")[1].replace(",", "").split()]

    assert len(names) == len(sizes) > 1
    assert sum(word.isdigit() for word in told) == len(piece.marks)
