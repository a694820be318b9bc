"""Bolt groups: what each bolt of a bracket carries when the load passes beside them.

Room: shop. The load is in the plane of the plate. It is shared evenly
(*primary*), and its moment about the middle of the bolts is shared by distance
from there (*secondary*); the two add as arrows. All bolts are alike.

Start at `bolt_group`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from foldwright.errors import OutOfDomain
from foldwright.shop.physical import require_above_zero, require_between

type _Points = npt.NDArray[np.float64]
# Bolts nearer to one another are one bolt [mm].
_APART = 1e-6


@dataclass(frozen=True)
class BoltGroup:
    """Shares of a load among bolts.

    Attributes
    ----------
    middle : tuple of float
        Centre of the bolts, x and y [mm].
    moment : float
        About the middle [N mm], positive counter-clockwise.
    distances : tuple of float
        Of each bolt from the middle [mm].
    primary : float
        On every bolt [N].
    secondary, resultants : tuple of float
        On each bolt [N], in the order given.
    """

    middle: tuple[float, float]
    moment: float
    distances: tuple[float, ...]
    primary: float
    secondary: tuple[float, ...]
    resultants: tuple[float, ...]

    @property
    def largest(self) -> float:
        """On the bolt that carries most [N]."""
        return max(self.resultants)

    @property
    def worst(self) -> int:
        """Which bolt that is, counted from 0."""
        return self.resultants.index(self.largest)


def bolt_group(
    bolts: Sequence[tuple[float, float]],
    load: float,
    through: tuple[float, float],
    direction: tuple[float, float] = (0.0, -1.0),
) -> BoltGroup:
    """Share a load in the plane of a plate among its bolts.

    ::

        F' = V / n,   F''_i = M r_i / sum r^2,   F_i = F' + F''_i as arrows

    Parameters
    ----------
    bolts : sequence of pairs
        x and y of each bolt [mm].
    load : float
        V [N].
    through : pair
        A point that the load passes through [mm].
    direction : pair
        Where the load pulls, of any length; down if left out.

    Raises
    ------
    OutOfDomain
        No bolts, two in one place, a load with a lever but one bolt alone.

    Notes
    -----
    Plate taken as stiff and bolts as elastic. Friction under the heads is not
    counted, so tight bolts carry less than this.

    References
    ----------
    Budynas and Nisbett, Shigley's Mechanical Engineering Design, 9th ed., section 8-12,
    eq. (8-57), Example 8-7.

    Examples
    --------
    >>> group = bolt_group([(0, -40), (0, 0), (0, 40)], 1000.0, (150.0, 0.0))
    >>> round(group.largest, 1), group.worst
    (1904.4, 0)
    """
    points = _checked(bolts)
    require_between(load, 0.0, math.inf, "the load", name="load", unit="N")
    force = load * _unit(direction)
    middle = points.mean(axis=0)
    arms = points - middle
    distances = np.hypot(arms[:, 0], arms[:, 1])
    lever = np.array(through, dtype=np.float64) - middle
    if not np.isfinite(lever).all():
        raise OutOfDomain("The load passes nowhere. Give two numbers in mm.", name="through")
    moment = float(lever[0] * force[1] - lever[1] * force[0])
    spread = float((distances**2).sum())
    if spread == 0.0 and abs(moment) > 0.0:
        raise OutOfDomain(
            f"One bolt cannot hold a load {np.hypot(*lever):.0f} mm beside it from turning. "
            "Use two or more.",
            name="bolts",
        )
    per_arm = moment / spread if spread else 0.0
    turning = per_arm * np.stack((-arms[:, 1], arms[:, 0]), axis=1)
    carried = force / len(points) + turning
    return BoltGroup(
        middle=(float(middle[0]), float(middle[1])),
        moment=moment,
        distances=tuple(map(float, distances)),
        primary=load / len(points),
        secondary=tuple(abs(per_arm) * float(r) for r in distances),
        resultants=tuple(map(float, np.hypot(carried[:, 0], carried[:, 1]))),
    )


def shear_stress(load: float, area: float) -> float:
    """Shear stress in a bolt [MPa] from the load on it [N] and the area sheared [mm2]."""
    require_above_zero(area, "the sheared area", name="area", unit="mm2")
    return load / area


def bearing_stress(load: float, bolt_d: float, plate_thickness: float) -> float:
    """Pressure of a bolt on the wall of its hole [MPa]: F / (d t)."""
    require_above_zero(bolt_d, "the bolt", name="bolt_d")
    require_above_zero(plate_thickness, "the plate", name="plate_thickness")
    return load / (bolt_d * plate_thickness)


def _checked(bolts: Sequence[tuple[float, float]]) -> _Points:
    points = np.array(bolts, dtype=np.float64).reshape(-1, 2)
    if not len(points) or not np.isfinite(points).all():
        raise OutOfDomain(
            "There are no bolts. Give x and y of each in mm.",
            name="bolts",
        )
    for i, point in enumerate(points):
        near = np.hypot(*(points[i + 1 :] - point).T) < _APART
        if near.any():
            raise OutOfDomain(
                f"Bolts {i + 1} and {i + 2 + int(near.argmax())} are in one place. Give each once.",
                name="bolts",
            )
    return points


def _unit(direction: tuple[float, float]) -> _Points:
    way = np.array(direction, dtype=np.float64)
    length = float(np.hypot(*way))
    if not (math.isfinite(length) and length > 0.0):
        raise OutOfDomain(
            "The load pulls nowhere. Give its direction, like 0,-1 for down.", name="direction"
        )
    return np.asarray(way / length, dtype=np.float64)
