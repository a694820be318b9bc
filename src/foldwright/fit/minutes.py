"""Minutes: what it takes to make a part, and to mend one.

Room: fit. Common practice, no source: a careful amateur with hand tools, glue
drying not counted. Only their proportions matter: whether a part is trimmed or
made again, and what is made last.
"""

from __future__ import annotations

from foldwright.fit.network import USUAL_REDRAWING
from foldwright.plan import (
    AnyPart,
    Bought,
    Box,
    Drum,
    Faceted,
    Hood,
    Plate,
    Plug,
    Profile,
    Rib,
    Strip,
    Taper,
    Tube,
)

# Marking out, cutting and forming of a folded part, and what each face adds.
_FOLDED, _FACE = 30.0, 10.0
_DRUM, _HOOD, _PLATE, _CORNER, _TUBE, _PLUG, _STRIP, _RIB = (
    70.0,
    90.0,
    15.0,
    2.0,
    12.0,
    40.0,
    12.0,
    25.0,
)
_BOUGHT = 600.0  # to get another one costs a day
TRIM, SHIM, FILL = 8.0, 4.0, 12.0
"""Minutes of trimming an edge, putting a shim in, filling and rubbing down a gap."""
MOST_TRIMMED, MOST_SHIMMED, MOST_FILLED = 8.0, 3.0, 1.0
"""Most that one does of each [mm]; more looks wrong or takes too long."""


def minutes_of(part: AnyPart) -> float:
    """Minutes to make a part."""
    match part:
        case Box():
            return _FOLDED + 6.0 * _FACE
        case Profile() | Taper():
            return _FOLDED + (len(part.sides) + 2.0) * _FACE
        case Faceted():
            return _FOLDED + sum(6 + len(block.cuts) for block in part.blocks) * _FACE
        case Drum():
            return _DRUM
        case Hood():
            return _HOOD
        case Plate():
            return _PLATE + _CORNER * len(part.outline)
        case Tube():
            return _TUBE
        case Plug():
            return _PLUG
        case Strip():
            return _STRIP
        case Rib():
            return _RIB
        case Bought():
            return _BOUGHT


def redrawing_of(part: AnyPart) -> float:
    """Minutes to draw a part anew; what is sawn or filed to a number has no pattern to redraw."""
    return 0.0 if isinstance(part, Tube | Plug | Bought) else USUAL_REDRAWING
