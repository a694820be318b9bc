"""Domes: caps of a sphere, and the petals that a flat sheet makes them of.

Room: shape. A *cap* is what a plane cuts off a sphere; half a sphere is one. No
flat sheet becomes a cap without stretch, so a dome is made of *petals* that
are curled one way only and meet at the crown.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from foldwright.errors import OutOfDomain
from foldwright.shop.physical import require_above_zero, require_between, require_whole

# A cap as high as its whole sphere may read this much higher [share].
_ROUNDING = 1e-12


@dataclass(frozen=True)
class Cap:
    """Cap of a sphere.

    Attributes
    ----------
    radius : float
        R of the sphere [mm].
    height : float
        h of the cap [mm], above 0, up to 2 R.

    Raises
    ------
    OutOfDomain
        Anything else.

    References
    ----------
    Solid geometry: ``A = 2 pi R h``, ``a^2 = 2 R h - h^2``, ``V = pi h^2 (3 R - h) / 3``.

    Examples
    --------
    >>> half = Cap(75.0, 75.0)
    >>> round(half.area, 3), half.base_radius
    (35342.917, 75.0)
    """

    radius: float
    height: float

    def __post_init__(self) -> None:
        """Refuse what is no cap."""
        require_above_zero(self.radius, "the radius of the sphere", name="radius")
        require_above_zero(self.height, "the height of the cap", name="height")
        if self.height > 2.0 * self.radius * (1.0 + _ROUNDING):
            raise OutOfDomain(
                f"The cap is {self.height:g} mm high, more than its sphere, "
                f"{2.0 * self.radius:g} mm across. Make it lower, or the sphere larger.",
                name="height",
            )

    @property
    def area(self) -> float:
        """Curved area [mm2]."""
        return math.tau * self.radius * self.height

    @property
    def base_radius(self) -> float:
        """Radius a of the circle it stands on [mm]."""
        return math.sqrt(max(0.0, 2.0 * self.radius * self.height - self.height**2))

    @property
    def content(self) -> float:
        """Volume [mm3]."""
        return math.pi * self.height**2 * (3.0 * self.radius - self.height) / 3.0

    @property
    def opening(self) -> float:
        """Angle at the middle of the sphere from the crown to the rim [rad]."""
        return math.atan2(self.base_radius, self.radius - self.height)

    @property
    def crown_to_rim(self) -> float:
        """Along the sphere from the crown straight down to the rim [mm]."""
        return self.radius * self.opening

    def petal_widths(self, petals: int, along: ArrayLike) -> NDArray[np.float64]:
        """Widths of one petal, once round the dome shared out evenly [mm].

        ::

            w = 2 pi R sin(s / R) / n

        Parameters
        ----------
        petals : int
            n, 3 or more.
        along : array_like
            s from the crown along the middle of the petal [mm].

        Raises
        ------
        OutOfDomain
            Beyond the rim.

        Notes
        -----
        Each petal is curled along its length and stays straight across: the dome has n
        flats, whose middles lie a little inside the sphere and whose ribs a little outside.
        """
        count = require_whole(petals, 3, "the number of petals", name="petals")
        s = np.asarray(along, dtype=np.float64)
        if not (np.isfinite(s).all() and (s >= 0.0).all()) or s.max(initial=0.0) > (
            self.crown_to_rim * (1.0 + _ROUNDING)
        ):
            raise OutOfDomain(
                f"From crown to rim it is {self.crown_to_rim:g} mm. Give marks from 0 to that.",
                name="along",
            )
        return np.asarray(math.tau * self.radius * np.sin(s / self.radius) / count)


def cap_on(base_d: float, height: float) -> Cap:
    """Cap of a given rim and height, as a rule and a straight edge measure it.

    ::

        R = (a^2 + h^2) / (2 h)

    Parameters
    ----------
    base_d : float
        2 a, across the rim [mm].
    height : float
        h, from the plane of the rim to the crown [mm].

    Raises
    ------
    OutOfDomain
        A size that is not above 0.

    Examples
    --------
    >>> cap_on(150.0, 75.0).radius
    75.0
    """
    require_above_zero(base_d, "the rim", name="base_d")
    require_above_zero(height, "the height of the cap", name="height")
    require_between(height / base_d, 1e-6, math.inf, "height over rim", name="height", unit="")
    return Cap(((base_d / 2.0) ** 2 + height**2) / (2.0 * height), height)
