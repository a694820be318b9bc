"""General tolerances: what a drawing allows where it says nothing.

Room: shop. The tables of ISO 2768-1: classes f (fine), m (medium), c (coarse)
and v (very coarse). Each function gives plus or minus for every class that the
standard provides at that size.

References
----------
ISO 2768-1:1989, Tables 1 to 3; compared with three reprints, the v column of
Table 3 with one.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from types import MappingProxyType

from foldwright.errors import OutOfDomain

CLASSES: Mapping[str, str] = MappingProxyType(
    {"f": "fine", "m": "medium", "c": "coarse", "v": "very coarse"}
)
_SMALLEST = 0.5  # [mm]; below it the standard wants the tolerance beside the size
_NONE = math.nan

# Up to and including [mm], then f, m, c, v: plus or minus [mm].
_LINEAR = (
    (3.0, (0.05, 0.1, 0.2, _NONE)),
    (6.0, (0.05, 0.1, 0.3, 0.5)),
    (30.0, (0.1, 0.2, 0.5, 1.0)),
    (120.0, (0.15, 0.3, 0.8, 1.5)),
    (400.0, (0.2, 0.5, 1.2, 2.5)),
    (1000.0, (0.3, 0.8, 2.0, 4.0)),
    (2000.0, (0.5, 1.2, 3.0, 6.0)),
    (4000.0, (_NONE, 2.0, 4.0, 8.0)),
)
_EDGES = (
    (3.0, (0.2, 0.2, 0.4, 0.4)),
    (6.0, (0.5, 0.5, 1.0, 1.0)),
    (math.inf, (1.0, 1.0, 2.0, 2.0)),
)
# In minutes of arc.
_ANGLES = (
    (10.0, (60.0, 60.0, 90.0, 180.0)),
    (50.0, (30.0, 30.0, 60.0, 120.0)),
    (120.0, (20.0, 20.0, 30.0, 60.0)),
    (400.0, (10.0, 10.0, 15.0, 30.0)),
    (math.inf, (5.0, 5.0, 10.0, 20.0)),
)
type _Table = Sequence[tuple[float, tuple[float, float, float, float]]]


def linear_tolerances(size: float) -> Mapping[str, float]:
    """Plus or minus on a length, diameter, distance or radius of a part [mm], by class.

    Parameters
    ----------
    size : float
        Nominal [mm], 0.5 to 4000.

    Raises
    ------
    OutOfDomain
        Outside that range.

    References
    ----------
    ISO 2768-1:1989, Table 1.

    Examples
    --------
    >>> linear_tolerances(100.0)["m"], "v" in linear_tolerances(2.0)
    (0.3, False)
    """
    if size > _LINEAR[-1][0]:
        raise OutOfDomain(
            f"{size:g} mm is longer than the {_LINEAR[-1][0]:g} mm of the table. "
            "Write the tolerance beside the size.",
            name="size",
        )
    return _row(_LINEAR, size, _SMALLEST)


def edge_tolerances(size: float) -> Mapping[str, float]:
    """Plus or minus on the radius or chamfer of a broken edge [mm], by class.

    Parameters
    ----------
    size : float
        Radius, or height of the chamfer [mm], 0.5 or more.

    Raises
    ------
    OutOfDomain
        Smaller than that.

    References
    ----------
    ISO 2768-1:1989, Table 2.

    Examples
    --------
    >>> edge_tolerances(5.0)["c"]
    1.0
    """
    return _row(_EDGES, size, _SMALLEST)


def angular_tolerances(shorter_side: float) -> Mapping[str, float]:
    """Plus or minus on an angle [rad], by class.

    Parameters
    ----------
    shorter_side : float
        Length of the shorter side of the angle [mm], above 0.

    Raises
    ------
    OutOfDomain
        Not above 0.

    References
    ----------
    ISO 2768-1:1989, Table 3.

    Examples
    --------
    >>> round(math.degrees(angular_tolerances(300.0)["c"]), 3)
    0.25
    """
    if not shorter_side > 0.0:
        raise OutOfDomain(
            f"the shorter side is {shorter_side:g} mm; it has to be above 0. "
            "Give the length of the shorter side of the angle.",
            name="shorter_side",
        )
    return {
        name: math.radians(minutes / 60.0)
        for name, minutes in _row(_ANGLES, shorter_side, 0.0).items()
    }


def _row(table: _Table, size: float, smallest: float) -> Mapping[str, float]:
    if not smallest <= size < math.inf:  # also catches nan
        raise OutOfDomain(
            f"{size:g} mm is no size of the table, which begins at {smallest:g} mm. "
            "Write the tolerance beside the size.",
            name="size",
        )
    values = next(values for up_to, values in table if size <= up_to)
    return {name: v for name, v in zip(CLASSES, values, strict=True) if not math.isnan(v)}
