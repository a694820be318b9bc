"""Where and how large a blank stands on a page, and how much of it is drawn.

Room: draw.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from foldwright.box import Box
from foldwright.draw.drawing import Point

# Scales that keep a rule useful; the first that fits is taken. ISO 5455 has
# 1:2, 1:5, 1:10, 1:20 and on; those between leave a small sheet less empty.
_SCALES = (1.0, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0)


def fitting_scale(width: float, height: float, room_width: float, room_height: float) -> float:
    """Smallest reduction (2 means 1:2) at which a drawing fits its room."""
    least = max(width / room_width, height / room_height)
    return next((s for s in _SCALES if s >= least), 100.0 * math.ceil(least / 100.0))


@dataclass(frozen=True)
class View:
    """Where a blank stands on the page.

    `origin` is the page position of the datum corner, `scale` paper mm per mm,
    `window` the part of the page that may be drawn on.
    """

    origin: Point
    scale: float
    window: Box

    def at(self, p: Point) -> Point:
        """Page position of a point of the blank."""
        return (self.origin[0] + self.scale * p[0], self.origin[1] + self.scale * p[1])


@dataclass(frozen=True)
class Detail:
    """How much of a blank is drawn.

    `checks` are pairs of points with the words for their distance; `leaders`
    takes names that find no room off the material; without `all_numbers`, points
    that find no room for their number go without.
    """

    zones: bool = False
    wash: bool = False
    witnesses: bool = True
    numbers: bool = False
    all_numbers: bool = True
    ticks: bool = True
    names: bool = True
    side_up: bool = True
    leaders: bool = False
    name_size: float = 3.5
    checks: tuple[tuple[Point, Point, str], ...] = ()
