"""Yielded rings: how hard a plug sits once the tube round it has begun to yield.

Room: shop. The exact solution for a perfectly plastic Tresca ring with free
ends, elastic outside a front at diameter c. In the yielded part hoop less
radial stress is Y and the volume changes elastically only, which gives::

    p(c) = Y (ln(c/d) + (1 - c^2/D^2) / 2)
    growth of the bore / d = (Y/E_t) (c/d)^2 - (1 - nu_t) p / E_t
    narrowing of the plug / d = (C_p / E_p) p

and interference over d is growth plus narrowing. c = d is first yield, and Lame
before it; at c = D the wall yields right through and the pressure stays at
Y ln(D/d) however much larger the plug. For one material in both and a solid
plug, interference = d (Y/E) (c/d)^2.

Plain Tresca is on the safe side of von Mises by a few per cent for thin tubes;
hardening, left out, adds a few per cent past full yield.

References
----------
R. Hill, The Mathematical Theory of Plasticity, 1950, chapter V, for the stresses;
E. J. Hearn, Mechanics of Materials 2, chapter on plastic theory, eqs (3.29) to
(3.32). The displacement follows from them as above; finite elements agree to half
a per cent (tests/validation). DIN 7190 has the same front with 2 Y / sqrt(3) for Y,
2 ln(zeta) - (Q zeta)^2 + 1 = sqrt(3) p / ReL: from memory, unchecked. It wants no
more than 30 % of a machine's hub to yield; a plug in a tube end is no machine.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from foldwright.errors import OutOfDomain
from foldwright.shop.rings import (
    Elastic,
    check_diameters,
    check_interference,
    plug_softness,
    press_fit_interference,
    press_fit_pressure,
    ring_stress,
)

_HALVINGS = 60  # of the wall, to find the front: far below rounding


@dataclass(frozen=True)
class RingFit:
    """How a plug sits in a tube.

    Attributes
    ----------
    pressure : float
        [MPa].
    front_d : float
        Diameter up to which the tube has yielded [mm]: the bore if nowhere,
        the outside if right through.
    hoop, radial : float
        Stresses in the tube at the bore [MPa].
    growth : float
        Share by which the bore is larger than it was [-].
    state : str
        ``"springs"``, ``"yields inside"`` or ``"yields right through"``.
    """

    pressure: float
    front_d: float
    hoop: float
    radial: float
    growth: float
    state: str


@dataclass(frozen=True)
class YieldWindow:
    """Seated interferences [mm] and pressures [MPa] at first yield and at yield right through."""

    first: float
    through: float
    first_pressure: float
    through_pressure: float


def yield_window(
    joint_d: float,
    outside_d: float,
    yield_stress: float,
    *,
    plug: Elastic,
    tube: Elastic,
    plug_bore_d: float = 0.0,
) -> YieldWindow:
    """Where a tube begins to yield round a plug, and where all of it has.

    Parameters
    ----------
    joint_d, outside_d : float
        d and D [mm].
    yield_stress : float
        Y of the tube [MPa], above 0.
    plug, tube : Elastic
    plug_bore_d : float
        Hole through the plug [mm]; 0 if solid.

    Raises
    ------
    OutOfDomain
        Diameters that do not grow, no yield stress, or a wall so thick (outside over
        bore above e) that the pressure would pass Y.

    Examples
    --------
    >>> alu = Elastic(70_000.0, 0.33)
    >>> window = yield_window(46.0, 50.0, 160.0, plug=alu, tube=alu)
    >>> round(window.first, 3), round(window.through, 3)
    (0.105, 0.124)
    """
    check_diameters(joint_d, outside_d, plug_bore_d)
    if not 0.0 < yield_stress < math.inf:  # also catches nan
        raise OutOfDomain(
            f"the yield stress is {yield_stress:g} MPa; it has to be above 0. "
            "Take the proof stress of the tube from its certificate.",
            name="yield_stress",
        )
    if outside_d > math.e * joint_d:
        raise OutOfDomain(
            f"the tube is {outside_d / joint_d:.2g} times as wide outside as inside; up to "
            f"{math.e:.2f} the solution holds. Treat it as a block: keep the pressure below "
            "half its yield stress.",
            name="outside_d",
        )
    ends = [_front_pressure(c, joint_d, outside_d, yield_stress) for c in (joint_d, outside_d)]
    softness = plug_softness(joint_d, plug, plug_bore_d)
    return YieldWindow(
        press_fit_interference(
            ends[0], joint_d, outside_d, plug=plug, tube=tube, plug_bore_d=plug_bore_d
        ),
        joint_d
        * (_growth(outside_d, joint_d, ends[1], yield_stress, tube) + softness * ends[1]),
        ends[0],
        ends[1],
    )  # fmt: skip


def ring_fit(
    interference: float,
    joint_d: float,
    outside_d: float,
    yield_stress: float,
    *,
    plug: Elastic,
    tube: Elastic,
    plug_bore_d: float = 0.0,
) -> RingFit:
    """Sit of a plug in a tube, elastic or yielded.

    Parameters
    ----------
    interference : float
        Seated interference on the diameter [mm], 0 or more.
    joint_d, outside_d, yield_stress, plug, tube, plug_bore_d
        As `yield_window`.

    Raises
    ------
    OutOfDomain
        As `yield_window`, or negative interference.

    Examples
    --------
    >>> alu = Elastic(70_000.0, 0.33)
    >>> fit = ring_fit(0.15, 46.0, 50.0, 160.0, plug=alu, tube=alu)
    >>> round(fit.pressure, 2), fit.state
    (13.34, 'yields right through')
    """
    check_interference(interference)
    window = yield_window(
        joint_d, outside_d, yield_stress, plug=plug, tube=tube, plug_bore_d=plug_bore_d
    )
    softness = plug_softness(joint_d, plug, plug_bore_d)
    if interference <= window.first:
        pressure = press_fit_pressure(
            interference, joint_d, outside_d, plug=plug, tube=tube, plug_bore_d=plug_bore_d
        )
        front, state = joint_d, "springs"
        hoop = ring_stress(pressure, joint_d, outside_d, joint_d)[0]
    else:
        if interference < window.through:
            front = _front(interference / joint_d, joint_d, outside_d, yield_stress, tube, softness)
            state = "yields inside"
        else:
            front, state = outside_d, "yields right through"
        pressure = _front_pressure(front, joint_d, outside_d, yield_stress)
        hoop = yield_stress - pressure
    growth = interference / joint_d - softness * pressure
    return RingFit(pressure, front, hoop, 0.0 - pressure, growth, state)


def _front_pressure(c: float, d: float, D: float, Y: float) -> float:
    return Y * (math.log(c / d) + (1.0 - (c / D) ** 2) / 2.0)


def _growth(c: float, d: float, p: float, Y: float, tube: Elastic) -> float:
    """Share by which the bore grows when the tube has yielded up to c."""
    return (Y * (c / d) ** 2 - (1.0 - tube.poisson) * p) / tube.modulus


def _front(wanted: float, d: float, D: float, Y: float, tube: Elastic, softness: float) -> float:
    """Front for an interference over d, by halving: it grows steadily with the front."""
    low, high = d, D
    for _ in range(_HALVINGS):
        c = (low + high) / 2.0
        p = _front_pressure(c, d, D, Y)
        if _growth(c, d, p, Y, tube) + softness * p < wanted:
            low = c
        else:
            high = c
    return (low + high) / 2.0
