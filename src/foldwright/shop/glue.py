"""Glue: what a lap holds, and why twice the overlap does not hold twice as much.

Room: shop. The sheets stretch along the lap, so the glue is sheared most at
its two ends. *Stiffness* of a sheet here is its modulus times its thickness
[N/mm]; loads are per width of lap [N/mm].

Start at `lap_shear` (one lap), `double_lap` (a sheet between two),
`best_overlap`. Peel, which a single lap has as well, is not counted.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from foldwright.errors import OutOfDomain
from foldwright.shop.physical import require_above_zero, require_between

# Of all that a lap could ever hold, what the best overlap reaches; beyond it
# each millimetre adds next to nothing. Common practice, no source.
NEARLY_ALL = 0.95
# Work to this share of what a lap holds: glue creeps, ages and is never spread
# as in a test. Common practice, no source.
WORKING_SHARE = 0.25
# So near to its limit a lap would have to be endlessly long.
_ENDLESS = 1e-9


@dataclass(frozen=True)
class Glue:
    """A kind of glue, cured: shear strength and modulus [MPa], usual film [mm]."""

    what: str
    strength: float
    modulus: float
    film: float


# On metal that is abraded and degreased, at room temperature. Middle of what data sheets
# of each kind give, by memory, unchecked; they differ by half among products.
GLUES: Mapping[str, Glue] = MappingProxyType(
    {
        "epoxy": Glue("two-part epoxy, toughened", 18.0, 800.0, 0.2),
        "acrylic": Glue("two-part acrylic", 16.0, 300.0, 0.25),
        "polyurethane": Glue("two-part polyurethane", 8.0, 30.0, 0.5),
        "elastic": Glue("elastic one-part joint glue", 2.0, 1.0, 2.0),
        "contact": Glue("contact glue", 1.5, 1.0, 0.1),
    }
)


@dataclass(frozen=True)
class LapShear:
    """Shear in the glue of one lap [MPa], and `rise`, omega [1/mm].

    `largest` is at the end where the stiffer sheet stops, `other_end` at the other.
    """

    rise: float
    average: float
    largest: float
    other_end: float

    @property
    def peak_factor(self) -> float:
        """Largest over average [-]."""
        return self.largest / self.average


def average_shear(load: float, width: float, overlap: float) -> float:
    """Shear if all of the glue took the same [MPa]: F / (b L).

    References
    ----------
    EN 1465:2009, which tests laps 25 wide and 12.5 long.

    Examples
    --------
    >>> average_shear(5000.0, 25.0, 12.5)
    16.0
    """
    require_between(load, 0.0, math.inf, "the load", name="load", unit="N")
    require_above_zero(width, "the width", name="width")
    require_above_zero(overlap, "the overlap", name="overlap")
    return load / (width * overlap)


def lap_rise(stiffness_1: float, stiffness_2: float, glue_modulus: float, film: float) -> float:
    """How steeply the shear rises to the ends of a lap, omega [1/mm].

    ::

        omega^2 = G / h (1 / (E1 t1) + 1 / (E2 t2))
    """
    require_above_zero(stiffness_1, "the sheet's E t", name="stiffness_1", unit="N/mm")
    require_above_zero(stiffness_2, "the sheet's E t", name="stiffness_2", unit="N/mm")
    require_above_zero(glue_modulus, "the glue's modulus", name="glue_modulus", unit="MPa")
    require_above_zero(film, "the film of glue", name="film")
    return math.sqrt(glue_modulus / film * (1.0 / stiffness_1 + 1.0 / stiffness_2))


def lap_shear(
    line_load: float,
    overlap: float,
    stiffness_1: float,
    stiffness_2: float,
    glue_modulus: float,
    film: float,
) -> LapShear:
    """Shear at the ends of a single lap, by shear lag.

    ::

        end = average x (coth x +- tanh x (E1 t1 - E2 t2) / (E1 t1 + E2 t2)),  x = omega L / 2

    Parameters
    ----------
    line_load : float
        On the lap, per width [N/mm], above 0.
    overlap : float
        L [mm].
    stiffness_1, stiffness_2 : float
        E t of each sheet [N/mm].
    glue_modulus, film : float
        G [MPa], h [mm].

    Notes
    -----
    Sheets and glue elastic, sheets stretched and not bent: peel is not counted.

    References
    ----------
    Volkersen 1938, as in Adams, Comyn and Wake, Structural Adhesive Joints in Engineering,
    2nd ed., chapter 2.

    Examples
    --------
    >>> lap = lap_shear(200.0, 12.5, 112e3, 112e3, 1000.0, 0.2)
    >>> round(lap.largest, 2), round(lap.peak_factor, 3)
    (31.34, 1.959)
    """
    require_above_zero(line_load, "the load", name="line_load", unit="N/mm")
    average = average_shear(line_load, 1.0, overlap)
    rise = lap_rise(stiffness_1, stiffness_2, glue_modulus, film)
    x = rise * overlap / 2.0
    even = 1.0 / math.tanh(x)
    uneven = math.tanh(x) * _unlike(stiffness_1, stiffness_2)
    return LapShear(rise, average, average * x * (even + uneven), average * x * (even - uneven))


def lap_holds(
    strength: float,
    overlap: float,
    stiffness_1: float,
    stiffness_2: float,
    glue_modulus: float,
    film: float,
) -> float:
    """Load per width at which the end of a single lap reaches the glue's strength [N/mm].

    Glue that yields before it breaks holds more, at most strength times overlap.
    """
    require_above_zero(strength, "the glue's strength", name="strength", unit="MPa")
    unit = lap_shear(1.0, overlap, stiffness_1, stiffness_2, glue_modulus, film)
    return strength / unit.largest


def lap_limit(
    strength: float, stiffness_1: float, stiffness_2: float, glue_modulus: float, film: float
) -> float:
    """Load per width that no overlap takes an elastic lap beyond [N/mm].

    ::

        2 tau / (omega (1 + a)),  a = |E1 t1 - E2 t2| / (E1 t1 + E2 t2)
    """
    require_above_zero(strength, "the glue's strength", name="strength", unit="MPa")
    rise = lap_rise(stiffness_1, stiffness_2, glue_modulus, film)
    return 2.0 * strength / (rise * (1.0 + _unlike(stiffness_1, stiffness_2)))


def overlap_for(
    line_load: float,
    strength: float,
    stiffness_1: float,
    stiffness_2: float,
    glue_modulus: float,
    film: float,
) -> float:
    """Overlap at which a single lap holds a load, its end peaks counted [mm].

    `lap_shear` solved for L: with c = 2 tau / (omega q) and u = tanh(omega L / 2),
    ``1/u + a u = c``.

    Raises
    ------
    OutOfDomain
        More than `lap_limit`: no overlap holds it.
    """
    require_above_zero(line_load, "the load", name="line_load", unit="N/mm")
    most = lap_limit(strength, stiffness_1, stiffness_2, glue_modulus, film)
    if line_load >= most * (1.0 - _ENDLESS):
        raise OutOfDomain(
            f"{line_load:.1f} N per mm of width is more than the {most:.1f} that this glue holds "
            "at any overlap: its ends break first. Use a softer or thicker film, thicker sheet, "
            "or a second lap.",
            name="line_load",
        )
    rise = lap_rise(stiffness_1, stiffness_2, glue_modulus, film)
    unlike = _unlike(stiffness_1, stiffness_2)
    c = 2.0 * strength / (rise * line_load)
    u = 2.0 / (c + math.sqrt(c**2 - 4.0 * unlike))
    return 2.0 * math.atanh(u) / rise


def best_overlap(stiffness_1: float, stiffness_2: float, glue_modulus: float, film: float) -> float:
    """Overlap that holds 95 % of all that a single lap ever can [mm]; strength plays no part.

    Examples
    --------
    >>> round(best_overlap(112e3, 112e3, 1000.0, 0.2), 1)
    12.3
    """
    limit = lap_limit(1.0, stiffness_1, stiffness_2, glue_modulus, film)
    return overlap_for(NEARLY_ALL * limit, 1.0, stiffness_1, stiffness_2, glue_modulus, film)


def overlap_for_yield(thickness: float, sheet_yield: float, strength: float) -> float:
    """Overlap at which evenly sheared glue holds until the sheet yields [mm]: sigma t / tau.

    References
    ----------
    Common practice, no source; the balance of pull and shear.

    Examples
    --------
    >>> overlap_for_yield(1.0, 140.0, 10.0)
    14.0
    """
    require_above_zero(thickness, "the sheet", name="thickness")
    require_above_zero(sheet_yield, "the sheet's yield", name="sheet_yield", unit="MPa")
    require_above_zero(strength, "the glue's strength", name="strength", unit="MPa")
    return sheet_yield * thickness / strength


@dataclass(frozen=True)
class DoubleLap:
    """Shear in the glue of a double lap [MPa], and `rise`, omega [1/mm].

    `load_end` and `thermal_end` are at the end where both together are largest;
    `load_centre` is the load's at mid-lap, where heat makes none.
    """

    rise: float
    load_end: float
    load_centre: float
    thermal_end: float
    largest: float


def double_lap(
    line_load: float,
    overlap: float,
    outer_stiffness: float,
    inner_stiffness: float,
    glue_modulus: float,
    film: float,
    *,
    outer_expansion: float = 0.0,
    inner_expansion: float = 0.0,
    warming: float = 0.0,
) -> DoubleLap:
    """Shear in a double lap: an inner sheet glued between two like outer ones, warmed or cooled.

    ::

        omega^2 = G / h (1 / (Eo to) + 2 / (Ei ti)),  x = omega l / 2
        load, at the ends    P omega / (4 b) (coth x +- a tanh x)
                             a = (2 Eo to - Ei ti) / (2 Eo to + Ei ti)
        load, at the middle  P omega / (4 b sinh x)
        heat, at the ends    +- (ai - ao) dT omega tanh x / (1 / (Eo to) + 2 / (Ei ti))

    Parameters
    ----------
    line_load : float
        P / b on the inner sheet [N/mm], 0 or more.
    overlap : float
        l [mm].
    outer_stiffness, inner_stiffness : float
        Eo to of each outer sheet, Ei ti [N/mm].
    glue_modulus, film : float
        G [MPa]; h of each film [mm].
    outer_expansion, inner_expansion : float
        ao, ai [1/K].
    warming : float
        dT since the glue set [K]; negative when colder.

    References
    ----------
    Budynas and Nisbett, Shigley's Mechanical Engineering Design, 9th ed., eq. (9-7),
    Example 9-7.

    Examples
    --------
    >>> round(double_lap(350.25, 25.4, 262.69e3, 525.38e3, 1378.95, 0.508).load_end, 1)
    13.3
    """
    require_between(line_load, 0.0, math.inf, "the load", name="line_load", unit="N/mm")
    require_above_zero(overlap, "the overlap", name="overlap")
    for value, name in ((outer_expansion, "outer_expansion"), (inner_expansion, "inner_expansion")):
        require_between(value, -1e-3, 1e-3, "the expansion", name=name, unit="1/K")
    require_between(warming, -500.0, 500.0, "the warming", name="warming", unit="K")
    # two films share the inner sheet, so each has half of it
    rise = lap_rise(outer_stiffness, inner_stiffness / 2.0, glue_modulus, film)
    x = rise * overlap / 2.0
    share = line_load * rise / 4.0
    twice = 2.0 * outer_stiffness
    uneven = share * math.tanh(x) * (twice - inner_stiffness) / (twice + inner_stiffness)
    softness = 1.0 / outer_stiffness + 2.0 / inner_stiffness
    heat = (inner_expansion - outer_expansion) * warming * rise * math.tanh(x) / softness
    ends = [(share / math.tanh(x) + sign * uneven, sign * heat) for sign in (1.0, -1.0)]
    load_end, thermal_end = max(ends, key=lambda end: abs(sum(end)))
    return DoubleLap(
        rise=rise,
        load_end=load_end,
        # 1 / sinh x, in a form that does not overflow
        load_centre=share * 2.0 * math.exp(-x) / -math.expm1(-2.0 * x),
        thermal_end=thermal_end,
        largest=abs(load_end + thermal_end),
    )


@dataclass(frozen=True)
class Strap:
    """A strap glued behind a butted seam: average shear on each half [MPa], whole load [N]."""

    average_shear: float
    total_load: float


def strap(line_load: float, half_width: float, seam_length: float) -> Strap:
    """Strap behind a seam that is pulled apart: each half of it is a lap.

    ::

        tau = q / half width,  F = q length

    Parameters
    ----------
    line_load : float
        q across the seam [N/mm].
    half_width : float
        Of the strap on each side of the seam [mm].
    seam_length : float
        [mm].

    References
    ----------
    The balance of pull and shear; common practice, no source.

    Examples
    --------
    >>> strap(2.0, 20.0, 300.0)
    Strap(average_shear=0.1, total_load=600.0)
    """
    require_above_zero(seam_length, "the seam", name="seam_length")
    return Strap(average_shear(line_load, 1.0, half_width), line_load * seam_length)


def _unlike(stiffness_1: float, stiffness_2: float) -> float:
    """How unlike the sheets are [-]: 0 for equal ones, towards 1 when one is far stiffer."""
    return abs(stiffness_1 - stiffness_2) / (stiffness_1 + stiffness_2)
