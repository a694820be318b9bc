"""Upright rectangles: round a blank, on a sheet of board, on a sheet of paper.

Room: box, for all. Whoever makes one says in which frame it lies.
"""

from __future__ import annotations

from typing import NamedTuple

type Point = tuple[float, float]


class Box(NamedTuple):
    """An upright rectangle, from its lower left to its upper right corner [mm]."""

    left: float
    low: float
    right: float
    high: float

    @property
    def width(self) -> float:
        """Size along x [mm]."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Size along y [mm]."""
        return self.high - self.low

    @property
    def middle(self) -> Point:
        """Centre."""
        return (0.5 * (self.left + self.right), 0.5 * (self.low + self.high))

    def grown(self, by: float) -> Box:
        """Return the box moved out by `by` [mm] on all sides."""
        return Box(self.left - by, self.low - by, self.right + by, self.high + by)

    def meets(self, other: Box) -> bool:
        """Whether the two share a point."""
        return (
            self.left <= other.right
            and other.left <= self.right
            and self.low <= other.high
            and other.low <= self.high
        )

    def holds(self, point: Point) -> bool:
        """Whether the point lies inside or on the edge."""
        return self.left <= point[0] <= self.right and self.low <= point[1] <= self.high
