"""Handling: what each hook carries, and whether one person should lift it.

Room: sheet. Knows masses and places; `weights` and `lumps` say them.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from foldwright.errors import OutOfDomain, offer_names
from foldwright.shop.physical import require_above_zero, require_between

GRAVITY = 9.80665
"""Standard acceleration of free fall [m/s2] (ISO 80000-3)."""

# Revised NIOSH lifting equation, metric, with lengths in mm and angles in degrees.
LOAD_CONSTANT = 23.0
"""Mass that nearly all may lift under the best conditions [kg]."""
_NEAREST, _FURTHEST = 250.0, 630.0  # mm, hands from the middle between the ankles
_KNUCKLES, _HIGHEST = 750.0, 1750.0  # mm, hands over the floor
_PER_MM_OFF = 0.0003  # of height off the knuckles
_TRAVEL_BASE, _TRAVEL_SHARE = 0.82, 45.0  # -, mm
_LEAST_TRAVEL, _MOST_TRAVEL = 250.0, 1750.0  # mm
_PER_DEGREE, _MOST_TWIST = 0.0032, math.radians(135.0)

# Frequency multiplier by lifts a minute, for work of up to 1, 2 and 8 hours:
# (hands start below 750 mm, at or above it). Waters et al. 1993, table 5; from memory.
_FREQUENCY: tuple[tuple[float, tuple[tuple[float, float], ...]], ...] = (
    (0.2, ((1.00, 1.00), (0.95, 0.95), (0.85, 0.85))),
    (0.5, ((0.97, 0.97), (0.92, 0.92), (0.81, 0.81))),
    (1.0, ((0.94, 0.94), (0.88, 0.88), (0.75, 0.75))),
    (2.0, ((0.91, 0.91), (0.84, 0.84), (0.65, 0.65))),
    (3.0, ((0.88, 0.88), (0.79, 0.79), (0.55, 0.55))),
    (4.0, ((0.84, 0.84), (0.72, 0.72), (0.45, 0.45))),
    (5.0, ((0.80, 0.80), (0.60, 0.60), (0.35, 0.35))),
    (6.0, ((0.75, 0.75), (0.50, 0.50), (0.27, 0.27))),
    (7.0, ((0.70, 0.70), (0.42, 0.42), (0.22, 0.22))),
    (8.0, ((0.60, 0.60), (0.35, 0.35), (0.18, 0.18))),
    (9.0, ((0.52, 0.52), (0.30, 0.30), (0.00, 0.15))),
    (10.0, ((0.45, 0.45), (0.26, 0.26), (0.00, 0.13))),
    (11.0, ((0.41, 0.41), (0.00, 0.23), (0.00, 0.00))),
    (12.0, ((0.37, 0.37), (0.00, 0.21), (0.00, 0.00))),
    (13.0, ((0.00, 0.34), (0.00, 0.00), (0.00, 0.00))),
    (14.0, ((0.00, 0.31), (0.00, 0.00), (0.00, 0.00))),
    (15.0, ((0.00, 0.28), (0.00, 0.00), (0.00, 0.00))),
)
_HOURS = (1.0, 2.0, 8.0)
# Coupling multiplier by grip: (hands start below 750 mm, at or above it). The same, table 7.
_GRIPS: Mapping[str, tuple[float, float]] = MappingProxyType(
    {"good": (1.00, 1.00), "fair": (0.95, 1.00), "poor": (0.90, 0.90)}
)
GRIPS = tuple(_GRIPS)
"""How well the hands hold: handles; fingers bent under; neither."""


@dataclass(frozen=True)
class LiftingGuide:
    """What a standard says of single lifts [kg].

    `reference` is the heaviest under the best conditions by `workers`, `lowest` the
    lightest load that the standard is about.
    """

    standard: str
    reference: float
    lowest: float
    workers: str
    source: str


# ISO 11228-1 and EN 1005-2: scope limit of 3 kg as in the previews of both; reference masses
# from memory, unchecked.
GUIDES: Mapping[str, LiftingGuide] = MappingProxyType(
    {
        guide.standard: guide
        for guide in (
            LiftingGuide(
                "ISO 11228-1", 25.0, 3.0, "men at work", "ISO 11228-1:2003 and 2021; memory"
            ),
            LiftingGuide(
                "EN 1005-2", 25.0, 3.0, "adults at work", "EN 1005-2:2003+A1:2008; memory"
            ),
        )
    }
)
# The same standard for everyone: women, the young and the old included; from memory.
GENERAL_REFERENCE = 15.0
"""Heaviest single lift for a general population, ISO 11228-1 and EN 1005-2 [kg]; from memory."""

BACKPACK_SHARES = (0.10, 0.20)
"""Of body mass, carried on the back: guidance for long and for short; common practice."""


def hanging_reactions(
    force: float, at: float, supports: tuple[float, float]
) -> tuple[float, float]:
    """What each of two supports carries.

    Moments about either::

        R_1 = W (x - x_0) / (x_1 - x_0),    R_0 = W - R_1

    Parameters
    ----------
    force : float
        W, weight [N], or mass if shares of mass are wanted.
    at : float
        x of the centre of mass [mm].
    supports : (float, float)
        x_0, x_1 [mm].

    Returns
    -------
    (float, float)
        R_0, R_1 in the unit of `force`. Negative where the centre lies beyond the
        other support: this one has to hold it down.

    Raises
    ------
    OutOfDomain
        Both supports in one place, or no weight.

    Examples
    --------
    >>> hanging_reactions(50.0, 120.0, (0.0, 300.0))
    (30.0, 20.0)
    """
    require_above_zero(force, "the weight", name="force", unit="")
    first, second = supports
    for place, name in ((at, "at"), (first, "supports"), (second, "supports")):
        require_between(place, -math.inf, math.inf, "a place", name=name)
    if first == second:
        raise OutOfDomain(f"Both supports are at {first:g} mm. Put them apart.", name="supports")
    far = force * (at - first) / (second - first)
    return force - far, far


def recommended_limit(
    horizontal: float,
    height: float,
    travel: float,
    twist: float,
    *,
    frequency_factor: float = 1.0,
    coupling_factor: float = 1.0,
    constant: float = LOAD_CONSTANT,
) -> float:
    """Recommended weight limit of the revised NIOSH lifting equation [kg].

    ::

        RWL = LC (25/H) (1 - 0.003 |V - 75|) (0.82 + 4.5/D) (1 - 0.0032 A) FM CM

    with H, V, D in cm and A in degrees; hands nearer than 25 cm and travel
    under 25 cm count as 25, and beyond 63 cm, 175 cm or 135 degrees the
    limit is 0: such a lift is not to be done.

    Parameters
    ----------
    horizontal : float
        H, hands in front of the middle between the ankles [mm].
    height : float
        V, hands over the floor at the start [mm].
    travel : float
        D, how far up or down [mm].
    twist : float
        A, turn of the body to the side [rad].
    frequency_factor, coupling_factor : float
        FM, CM from 0 to 1; see `frequency_factor` and `coupling_factor`.
    constant : float
        LC [kg].

    Raises
    ------
    OutOfDomain
        Negative distances, or factors that are not from 0 to 1.

    References
    ----------
    T. R. Waters, V. Putz-Anderson, A. Garg, L. J. Fine, Ergonomics 36 (1993); NIOSH
    publication 94-110, Applications manual for the revised NIOSH lifting equation.

    Examples
    --------
    >>> round(recommended_limit(250.0, 750.0, 250.0, 0.0), 6)
    23.0
    """
    _require_reach(horizontal, height, travel, twist)
    for factor, name in ((frequency_factor, "frequency"), (coupling_factor, "coupling")):
        require_between(factor, 0.0, 1.0, f"the {name} factor", name=f"{name}_factor", unit="")
    require_above_zero(constant, "the load constant", name="constant", unit="kg")
    if horizontal > _FURTHEST or height > _HIGHEST or travel > _MOST_TRAVEL or twist > _MOST_TWIST:
        return 0.0
    return (
        constant
        * (_NEAREST / max(horizontal, _NEAREST))
        * (1.0 - _PER_MM_OFF * abs(height - _KNUCKLES))
        * (_TRAVEL_BASE + _TRAVEL_SHARE / max(travel, _LEAST_TRAVEL))
        * (1.0 - _PER_DEGREE * math.degrees(twist))
        * frequency_factor
        * coupling_factor
    )


def frequency_factor(per_minute: float, hours: float, height: float) -> float:
    """Frequency multiplier FM [-] for so many lifts a minute.

    Between rows of the table the next busier one holds, between columns the longer.

    Parameters
    ----------
    per_minute : float
        Lifts a minute, mean of 15 minutes.
    hours : float
        Of lifting in one go, up to 8.
    height : float
        V, hands over the floor at the start [mm].

    References
    ----------
    As `recommended_limit`; NIOSH 94-110, table 5, from memory.

    Examples
    --------
    >>> frequency_factor(1.0, 1.0, 700.0), frequency_factor(9.0, 8.0, 750.0)
    (0.94, 0.15)
    """
    require_between(per_minute, 0.0, math.inf, "lifts a minute", name="per_minute", unit="")
    require_between(hours, 0.0, _HOURS[-1], "the time of lifting", name="hours", unit="h")
    column = next(i for i, most in enumerate(_HOURS) if hours <= most)
    is_high = height >= _KNUCKLES
    return next(
        (row[column][is_high] for most, row in _FREQUENCY if per_minute <= most),
        0.0,
    )


def coupling_factor(grip: str, height: float) -> float:
    """Coupling multiplier CM [-] of a grip, one of `GRIPS`, starting at a height [mm].

    References
    ----------
    As `recommended_limit`; NIOSH 94-110, table 7.
    """
    if grip not in _GRIPS:
        raise OutOfDomain(f'There is no grip "{grip}". {offer_names(grip, _GRIPS)}', name="grip")
    return _GRIPS[grip][height >= _KNUCKLES]


def lifting_index(mass: float, limit: float) -> float:
    """Mass over its recommended limit [-]; over 1 strains some backs, over 3 many.

    Raises
    ------
    OutOfDomain
        A limit of 0: there is no such lift.
    """
    require_above_zero(mass, "the mass", name="mass", unit="kg")
    if not limit > 0.0:
        raise OutOfDomain(
            "No weight may be lifted like this: it is too far, too high, too twisted or too "
            "often. Change the place, share the load, or use a hoist.",
            name="horizontal",
        )
    return mass / limit


def backpack_guidance(body_mass: float) -> tuple[float, float]:
    """Mass to carry on the back, for long and for short [kg]: 10 and 20 % of body mass.

    References
    ----------
    Common practice of school and walking advice, no standard.
    """
    require_above_zero(body_mass, "the body mass", name="body_mass", unit="kg")
    low, high = BACKPACK_SHARES
    return low * body_mass, high * body_mass


def _require_reach(horizontal: float, height: float, travel: float, twist: float) -> None:
    require_above_zero(horizontal, "the reach", name="horizontal")
    require_between(height, 0.0, math.inf, "the height of the hands", name="height")
    require_between(travel, 0.0, math.inf, "the travel", name="travel")
    require_between(twist, 0.0, math.pi, "the twist", name="twist", unit="deg")
