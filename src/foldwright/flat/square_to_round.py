"""Square to round: true lengths of a transition, by triangulation.

Room: flat. A square below joins a circle above by four flat triangles, one on
each side, and four corners curled about a corner of the square. Each quarter
of the circle is divided evenly; the lines from the corner to the divisions
are laid out one after another with the compass.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from foldwright.errors import OutOfDomain
from foldwright.shop.physical import require_above_zero, require_between


@dataclass(frozen=True)
class SquareToRound:
    """A transition with the circle above the middle of the square.

    Attributes
    ----------
    side : float
        Of the square [mm].
    diameter : float
        Of the circle [mm].
    height : float
        Between them [mm].

    Raises
    ------
    OutOfDomain
        Sizes that are not above 0.
    """

    side: float
    diameter: float
    height: float

    def __post_init__(self) -> None:
        """Refuse what has no size."""
        require_above_zero(self.side, "the side of the square", name="side")
        require_above_zero(self.diameter, "the diameter", name="diameter")
        require_above_zero(self.height, "the height", name="height")

    def corner_lengths(self, turns: ArrayLike) -> NDArray[np.float64]:
        """True lengths from a corner to points of the circle [mm].

        ::

            L = sqrt((a/2 - r cos t)^2 + (a/2 - r sin t)^2 + h^2)

        Parameters
        ----------
        turns : array_like
            t round the circle from the middle of one side beside the corner, pi/2 the other [rad].

        References
        ----------
        Triangulation, as in Coey, Pattern Development: Sheet Metal Level 1 (BCcampus).
        """
        t = np.asarray(turns, dtype=np.float64)
        if not np.isfinite(t).all():
            raise OutOfDomain("A turn is not a number. Give angles round the circle.", name="turns")
        half, r = self.side / 2.0, self.diameter / 2.0
        plan = (half - r * np.cos(t)) ** 2 + (half - r * np.sin(t)) ** 2
        return np.asarray(np.sqrt(plan + self.height**2))

    @property
    def seam(self) -> float:
        """True length from the middle of a side to the circle [mm], where the seam goes."""
        return math.hypot((self.side - self.diameter) / 2.0, self.height)

    def step(self, turn: float) -> float:
        """Straight across between two divisions of the circle that are `turn` apart [mm]."""
        require_between(turn, 0.0, math.tau, "the division", name="turn", unit="deg")
        return self.diameter * math.sin(turn / 2.0)
