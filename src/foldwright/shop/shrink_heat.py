"""Shrink heat: how warm a tube has to be for a plug to drop in.

Room: shop. A help for plugs that would take too much hammering: the tube grows,
the plug goes in by hand, the tube shrinks on it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from foldwright.errors import OutOfDomain

# Age-hardened 6060, 6063, 6082 keep their temper for the minutes that this takes up to
# here [C]. R. Donovan, R. Fortune and R. Trout, Elevated Temperature Effects on the
# Mechanical Properties of Age Hardened 6xxx Series Aluminum Alloy Extrusions, senior
# project, 2015: 6063-T6 held its least yield strength at 177 C for all of 64 hours, at
# 199 C for 16, at 218 C for 4. The rest is a margin for hot spots.
TEMPER_HOLDS = 150.0
TEMPER_GOES = 200.0  # from here on it is a matter of hours, then minutes; the same tests
ROOM = 20.0  # C
# Room all round to drop the plug in before it jams [mm on the diameter]: common practice,
# no source.
CLEARANCE = 0.05
_ABSOLUTE_ZERO = -273.15


@dataclass(frozen=True)
class ShrinkHeat:
    """What heat does for a plug.

    Attributes
    ----------
    rise : float
        Of the tube over the plug as it is [K].
    temperature : float
        Of the tube [C].
    plug_shrinks : float
        What the cold takes off the plug [mm].
    """

    rise: float
    temperature: float
    plug_shrinks: float


def temperature_rise(
    interference: float, clearance: float, expansion: float, diameter: float
) -> float:
    """Rise in temperature that makes a bore so much larger [K].

    ::

        dT = (interference + clearance) / (alpha d)

    Parameters
    ----------
    interference, clearance : float
        Plug less bore, and room to drop it in, on the diameter [mm], 0 or more.
    expansion : float
        alpha of what is heated [1/K], above 0.
    diameter : float
        d of the bore [mm], above 0.

    Raises
    ------
    OutOfDomain
        Anything below that.

    References
    ----------
    Thermal expansion.

    Examples
    --------
    >>> round(temperature_rise(0.05, 0.05, 23.6e-6, 60.0), 1)
    70.6
    """
    for value, name in ((expansion, "expansion"), (diameter, "diameter")):
        if not 0.0 < value < math.inf:  # also catches nan
            raise OutOfDomain(
                f"{name} is {value:g}; it has to be above 0. Aluminium grows 23.6e-6 a kelvin.",
                name=name,
            )
    for value, name in ((interference, "interference"), (clearance, "clearance")):
        if not 0.0 <= value < math.inf:
            raise OutOfDomain(
                f"{name} is {value:g} mm; it is 0 or more. A plug smaller than the bore needs "
                "no heat.",
                name=name,
            )
    return (interference + clearance) / (expansion * diameter)


def shrink_heat(
    interference: float,
    diameter: float,
    tube_expansion: float,
    *,
    clearance: float = CLEARANCE,
    room: float = ROOM,
    plug_cold: float | None = None,
    plug_expansion: float | None = None,
) -> ShrinkHeat:
    """Plan the heat for a plug, with the plug cooled beforehand or not.

    Parameters
    ----------
    interference : float
        Plug less bore as measured at room temperature [mm].
    diameter : float
        Of the bore [mm].
    tube_expansion : float
        Of the tube [1/K].
    clearance : float
        To drop it in [mm].
    room : float
        [C].
    plug_cold : float, optional
        Temperature of the plug [C], of the freezer say, no warmer than the room.
    plug_expansion : float, optional
        Of the plug [1/K]; the tube's if not given.

    Raises
    ------
    OutOfDomain
        As `temperature_rise`, or a plug warmer than the room.

    Examples
    --------
    >>> heat = shrink_heat(0.10, 46.0, 23.4e-6, plug_cold=-18.0)
    >>> round(heat.temperature), round(heat.plug_shrinks, 3)
    (121, 0.041)
    """
    cold = room if plug_cold is None else plug_cold
    if not _ABSOLUTE_ZERO < cold <= room:
        raise OutOfDomain(
            f"a plug of {cold:g} C is not colder than the room of {room:g}. "
            "A household freezer has -18.",
            name="plug_cold",
        )
    shrinks = diameter * (plug_expansion or tube_expansion) * (room - cold)
    wanted = interference + clearance - shrinks
    temperature_rise(interference, clearance, tube_expansion, diameter)  # refuses what is amiss
    rise = temperature_rise(0.0, max(wanted, 0.0), tube_expansion, diameter)
    return ShrinkHeat(rise, room + rise, shrinks)
