"""Rings: the stresses in a tube under pressure from inside, and in a plug pressed into it.

Room: shop. Lame's rings: long, round, elastic, ends free. `yielded_rings` goes
on where the tube yields, `press_plugs` turns both into what a maker files.

*Interference* is plug minus bore, on the diameter, as measured. *Seated*
interference is what is left once the roughness is crushed. Stresses are
positive in tension, pressures positive.

Start at `press_fit_pressure`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from foldwright.errors import OutOfDomain
from foldwright.shop.materials import Matter

_SQRT_3 = math.sqrt(3.0)
# Share of both roughnesses that is crushed: DIN 7190.
_CRUSHED = 0.8


@dataclass(frozen=True)
class Elastic:
    """Young's modulus [MPa] and Poisson's ratio [-] of one ring."""

    modulus: float
    poisson: float

    def __post_init__(self) -> None:
        """Refuse what no solid has."""
        if not 0.0 < self.modulus < math.inf:  # also catches nan
            raise OutOfDomain(
                f"modulus is {self.modulus:g} MPa; a solid has more than 0. "
                "Aluminium has 70000, steel 210000.",
                name="modulus",
            )
        if not 0.0 <= self.poisson < 0.5:
            raise OutOfDomain(
                f"Poisson's ratio is {self.poisson:g}; solids have 0 to 0.5. "
                "Metals have about 0.3.",
                name="poisson",
            )

    @classmethod
    def of(cls, matter: Matter) -> Elastic:
        """Elastic figures of a matter."""
        return cls(matter.modulus.value, matter.poisson.value)


def press_fit_pressure(
    interference: float,
    joint_d: float,
    outside_d: float,
    *,
    plug: Elastic,
    tube: Elastic,
    plug_bore_d: float = 0.0,
) -> float:
    """Contact pressure between a plug and the tube it is pressed into.

    Two Lame rings of equal length, elastic, ends free::

        p = delta / (d (C_t / E_t + C_p / E_p))
        C_t = (D^2 + d^2) / (D^2 - d^2) + nu_t
        C_p = (d^2 + b^2) / (d^2 - b^2) - nu_p

    Parameters
    ----------
    interference : float
        delta, seated interference on the diameter [mm], 0 or more.
    joint_d : float
        d, nominal diameter of the joint [mm].
    outside_d : float
        D, outside diameter of the tube [mm].
    plug, tube : Elastic
    plug_bore_d : float
        b, hole through the plug [mm]; 0 if solid.

    Returns
    -------
    float
        p [MPa].

    Raises
    ------
    OutOfDomain
        Negative interference, or not 0 <= b < d < D.

    Notes
    -----
    Valid while neither ring yields (`yielded_rings`), and away from the ends,
    where the true pressure peaks.

    References
    ----------
    Budynas and Nisbett, Shigley's Mechanical Engineering Design, 9th ed.,
    eq. (3-56), written with diameters.

    Examples
    --------
    >>> alu = Elastic(modulus=70_000.0, poisson=0.33)
    >>> round(press_fit_pressure(0.10, 36.0, 40.0, plug=alu, tube=alu), 2)
    18.47
    """
    check_interference(interference)
    softness = press_fit_softness(joint_d, outside_d, plug=plug, tube=tube, plug_bore_d=plug_bore_d)
    return interference / (joint_d * softness)


def press_fit_interference(
    pressure: float,
    joint_d: float,
    outside_d: float,
    *,
    plug: Elastic,
    tube: Elastic,
    plug_bore_d: float = 0.0,
) -> float:
    """Seated interference [mm] that gives a contact pressure: `press_fit_pressure` turned round."""
    check_pressure(pressure)
    softness = press_fit_softness(joint_d, outside_d, plug=plug, tube=tube, plug_bore_d=plug_bore_d)
    return pressure * joint_d * softness


def press_fit_softness(
    joint_d: float, outside_d: float, *, plug: Elastic, tube: Elastic, plug_bore_d: float = 0.0
) -> float:
    """C_t / E_t + C_p / E_p [1/MPa]: interference over diameter, for a pressure of 1 MPa."""
    check_diameters(joint_d, outside_d, plug_bore_d)
    d2, D2 = joint_d**2, outside_d**2
    tube_softness = ((D2 + d2) / (D2 - d2) + tube.poisson) / tube.modulus
    return tube_softness + plug_softness(joint_d, plug, plug_bore_d)


def plug_softness(joint_d: float, plug: Elastic, plug_bore_d: float = 0.0) -> float:
    """C_p / E_p [1/MPa]: share by which a plug narrows under a pressure of 1 MPa."""
    d2, b2 = joint_d**2, plug_bore_d**2
    return ((d2 + b2) / (d2 - b2) - plug.poisson) / plug.modulus


def ring_stress(
    pressure: float, inside_d: float, outside_d: float, at_d: float
) -> tuple[float, float]:
    """Hoop and radial stress [MPa] in a ring under pressure from inside.

    ::

        sigma = p d^2 / (D^2 - d^2) (1 +- D^2 / x^2)

    Parameters
    ----------
    pressure : float
        p [MPa], 0 or more.
    inside_d, outside_d : float
        d and D [mm].
    at_d : float
        x, where [mm], from d to D.

    Raises
    ------
    OutOfDomain
        Negative pressure, diameters that do not grow, or a place outside the ring.

    References
    ----------
    Lame's equations; Shigley, 9th ed., section 3-14.

    Examples
    --------
    >>> hoop, radial = ring_stress(60.0, 100.0, 200.0, 150.0)
    >>> round(hoop, 2), round(radial, 2)
    (55.56, -15.56)
    """
    check_pressure(pressure)
    check_diameters(inside_d, outside_d)
    if not inside_d <= at_d <= outside_d:
        raise OutOfDomain(
            f"{at_d:g} mm is not in the wall, which lies from {inside_d:g} to {outside_d:g} mm. "
            "Give a diameter in between.",
            name="at_d",
        )
    middle = pressure * inside_d**2 / (outside_d**2 - inside_d**2)
    swing = middle * (outside_d / at_d) ** 2
    return middle + swing, middle - swing


def plug_hoop(pressure: float, joint_d: float, plug_bore_d: float = 0.0) -> float:
    """Hoop stress [MPa] at the outside of a plug under pressure; Shigley, 9th ed., section 3-16."""
    d2, b2 = joint_d**2, plug_bore_d**2
    return -pressure * (d2 + b2) / (d2 - b2)


def plug_yield_pressure(yield_stress: float, joint_d: float, plug_bore_d: float = 0.0) -> float:
    """Pressure from outside [MPa] at which a plug yields by Tresca.

    ::

        solid   p = Y
        hollow  p = Y (1 - (b/d)^2) / 2     at its hole

    References
    ----------
    Tresca and Lame; DIN 7190 has 2 / sqrt(3) of these, from memory, unchecked.
    """
    if plug_bore_d == 0.0:
        return yield_stress
    return yield_stress * (1.0 - (plug_bore_d / joint_d) ** 2) / 2.0


def pressure_at_hoop(hoop: float, joint_d: float, outside_d: float) -> float:
    """Pressure [MPa] at which the hoop stress at the bore reaches a limit.

    ::

        p = s (D^2 - d^2) / (D^2 + d^2)

    Parameters
    ----------
    hoop : float
        s [MPa], 0 or more.
    joint_d, outside_d : float
        d and D [mm].

    References
    ----------
    Shigley, 9th ed., section 3-16: hoop stress of the hub at its bore, turned round.
    """
    check_diameters(joint_d, outside_d)
    if not 0.0 <= hoop < math.inf:
        raise OutOfDomain(
            f"the hoop stress allowed is {hoop:g} MPa. Give 0 or more.", name="hoop"
        )  # fmt: skip
    d2, D2 = joint_d**2, outside_d**2
    return hoop * (D2 - d2) / (D2 + d2)


def von_mises(hoop: float, radial: float) -> float:
    """Von Mises stress [MPa] of two principal stresses, the third 0: ends free."""
    return math.hypot(hoop - radial / 2.0, math.sqrt(3.0) / 2.0 * radial)


def din_7190_limits(yield_stress: float, ratio: float) -> tuple[float, float]:
    """Pressures at which a tube begins to yield, and yields right through.

    ::

        p_PA = (1 - Q^2) ReL / sqrt(3)
        p_vp = -2 ReL ln(Q) / sqrt(3)   for Q >= 1/e, else 2 ReL / sqrt(3)

    Parameters
    ----------
    yield_stress : float
        ReL of the tube [MPa], above 0.
    ratio : float
        Q, bore over outside diameter [-], above 0 and below 1.

    Returns
    -------
    tuple of float
        p_PA and p_vp [MPa].

    Notes
    -----
    A modified Tresca rule for tubes that cannot lengthen; by plain Tresca, ends
    free, both are sqrt(3)/2 of these, and that is what `yielded_rings` plans with.

    References
    ----------
    DIN 7190-1:2017, eqs (15), (27) and (28), as quoted on a public page.

    Examples
    --------
    >>> [round(p, 2) for p in din_7190_limits(235.0, 0.5)]
    [101.76, 188.09]
    """
    if not 0.0 < yield_stress < math.inf:
        raise OutOfDomain(
            f"the yield stress is {yield_stress:g} MPa; it has to be above 0. "
            "Soft aluminium has 30, structural steel 235.",
            name="yield_stress",
        )
    if not 0.0 < ratio < 1.0:
        raise OutOfDomain(
            f"bore over outside is {ratio:g}; it lies between 0 and 1. "
            "Give bore divided by outside diameter.",
            name="ratio",
        )
    through = 2.0 * yield_stress / _SQRT_3
    if ratio >= 1.0 / math.e:
        through *= -math.log(ratio)
    return (1.0 - ratio**2) * yield_stress / _SQRT_3, through


def roughness_loss(tube_roughness: float, plug_roughness: float) -> float:
    """Interference [mm] that is lost as roughness is crushed.

    ::

        U - U_w = 0.8 (Rz_A + Rz_I)

    Parameters
    ----------
    tube_roughness, plug_roughness : float
        Rz of bore and plug [mm], 0 or more.

    References
    ----------
    DIN 7190, on the diameter.
    """
    for value, name in ((tube_roughness, "tube_roughness"), (plug_roughness, "plug_roughness")):
        if not 0.0 <= value < 1.0:  # a millimetre is no roughness
            raise OutOfDomain(
                f"a roughness of {value:g} mm is none. Give Rz in mm: 0.006 drawn, 0.016 filed.",
                name=name,
            )
    return _CRUSHED * (tube_roughness + plug_roughness)


def push_force(pressure: float, joint_d: float, length: float, friction: float) -> float:
    """Force [N] to slide a plug along in its tube: F = pi d L mu p.

    Parameters
    ----------
    pressure : float
        p [MPa], 0 or more.
    joint_d, length : float
        d, and L that grips [mm], above 0.
    friction : float
        mu [-], 0 or more.

    Raises
    ------
    OutOfDomain
        Anything below that.

    References
    ----------
    Coulomb friction. Torque is F d / 2.

    Examples
    --------
    >>> round(push_force(10.0, 50.0, 30.0, 0.2))
    9425
    """
    check_pressure(pressure)
    for value, name in ((joint_d, "joint_d"), (length, "length")):
        if not 0.0 < value < math.inf:
            raise OutOfDomain(
                f"{name} is {value:g} mm; it has to be above 0. Measure again.", name=name
            )
    if not 0.0 <= friction < math.inf:
        raise OutOfDomain(
            f"friction is {friction:g}; it is 0 or more. Dry aluminium has about 0.3, oiled 0.1.",
            name="friction",
        )
    return math.pi * joint_d * length * friction * pressure


def check_interference(interference: float) -> None:
    """Refuse a plug smaller than its bore."""
    if not 0.0 <= interference < math.inf:  # also catches nan
        raise OutOfDomain(
            f"interference is {interference:g} mm, a press fit needs 0 or more. "
            "Make the plug larger than the bore, or glue it in as a push fit.",
            name="interference",
        )


def check_pressure(pressure: float) -> None:
    """Refuse a pressure that pulls."""
    if not 0.0 <= pressure < math.inf:
        raise OutOfDomain(
            f"pressure is {pressure:g} MPa; surfaces only push. Give 0 or more.", name="pressure"
        )


def check_diameters(joint_d: float, outside_d: float, plug_bore_d: float = 0.0) -> None:
    """Refuse rings that do not lie one in the other."""
    if not 0.0 <= plug_bore_d < joint_d < outside_d < math.inf:
        raise OutOfDomain(
            f"diameters must grow outwards, got hole {plug_bore_d:g}, joint {joint_d:g}, "
            f"outside {outside_d:g} mm. Check that the outside of the tube is not its bore.",
            name="outside_d",
        )
    if joint_d == 0.0:
        raise OutOfDomain("the joint has no diameter. Give the bore.", name="joint_d")
