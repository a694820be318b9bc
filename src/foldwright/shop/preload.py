"""Preload: how hard to tighten a bolt, and what it feels when the joint is pulled.

Room: shop. *Preload* is the pull in a bolt that is tightened and not yet
loaded. While the joint stays shut the bolt feels only a share of what pulls
at it; the members that it clamps give up the rest.

Start at `tightening_torque` and `loaded_bolt`.
"""

from __future__ import annotations

import math
import statistics
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from foldwright.errors import OutOfDomain
from foldwright.shop.physical import require_above_zero, require_between
from foldwright.shop.threads import PropertyClass, Thread

# All from Budynas and Nisbett, Shigley's Mechanical Engineering Design, 9th ed.; the last two
# from memory, unchecked. Torque factors K: Table 8-15.
TORQUE_FACTORS: Mapping[str, float] = MappingProxyType(
    {"black": 0.30, "zinc plated": 0.20, "oiled": 0.18, "cadmium plated": 0.16}
)
# Of proof load, for a joint that is to be taken apart again: eq. (8-31).
REUSED_SHARE = 0.75
STEEL_MODULUS = 207e3  # [MPa]; Table 8-8
# Of the general expression for clamped members: Table 8-8.
_CONE, _CONE_RISE = 0.78952, 0.62914
# Of the torque or load that strips a thread: torque by hand scatters by about a third, so
# this leaves a third unused at worst. Common practice, no source.
STRIP_SHARE = 0.5


def tightening_torque(nominal: float, preload: float, torque_factor: float) -> float:
    """Torque that gives a preload [N mm]: T = K F d.

    Parameters
    ----------
    nominal : float
        d of the bolt [mm].
    preload : float
        F [N].
    torque_factor : float
        K [-], of `TORQUE_FACTORS`, 0.05 to 0.5.

    Raises
    ------
    OutOfDomain
        Not above 0, or a K that no bolt has.

    References
    ----------
    Budynas and Nisbett, Shigley's Mechanical Engineering Design, 9th ed., eq. (8-27).

    Examples
    --------
    >>> round(tightening_torque(6.0, 8743.5, 0.2), 1)
    10492.2
    """
    require_above_zero(nominal, "the thread's diameter", name="nominal")
    require_between(preload, 0.0, math.inf, "the preload", name="preload", unit="N")
    require_between(torque_factor, 0.05, 0.5, "the torque factor", name="torque_factor", unit="")
    return torque_factor * preload * nominal


def reused_preload(thread: Thread, steel: PropertyClass) -> float:
    """Preload of a bolt that is to come out again [N]: 0.75 of its proof load.

    References
    ----------
    Budynas and Nisbett, Shigley's Mechanical Engineering Design, 9th ed., eq. (8-31).
    """
    return REUSED_SHARE * steel.proof * thread.stress_area


def preload_by_torque(nominal: float, torque: float, torque_factor: float) -> float:
    """Preload that a torque [N mm] gives [N]; `tightening_torque` read backwards."""
    require_between(torque, 0.0, math.inf, "the torque", name="torque", unit="N mm")
    return torque / tightening_torque(nominal, 1.0, torque_factor)


@dataclass(frozen=True)
class Loaded:
    """A tightened bolt under load: C [-], stress of preload and in service [MPa]."""

    stiffness_constant: float
    preload_stress: float
    service_stress: float


def loaded_bolt(
    stress_area: float, preload: float, load: float, bolt_stiffness: float, members_stiffness: float
) -> Loaded:
    """Stress in a tightened bolt when the joint is pulled.

    ::

        C = k_b / (k_b + k_m),  sigma_i = F_i / A_t,  sigma_b = C P / A_t + sigma_i

    Parameters
    ----------
    stress_area : float
        A_t [mm2].
    preload, load : float
        F_i and P on this bolt [N].
    bolt_stiffness, members_stiffness : float
        k_b and k_m [N/mm]; only their ratio matters.

    Raises
    ------
    OutOfDomain
        Not above 0, or a load that parts the joint: the bolt then carries it all.

    References
    ----------
    Budynas and Nisbett, Shigley's Mechanical Engineering Design, 9th ed., eqs. (8-24)
    and (8-28), Example 8-3.

    Examples
    --------
    >>> round(loaded_bolt(240.64, 111_206.0, 26_689.0, 6.5, 13.8).stiffness_constant, 2)
    0.32
    """
    require_above_zero(stress_area, "the stress area", name="stress_area", unit="mm2")
    require_between(preload, 0.0, math.inf, "the preload", name="preload", unit="N")
    require_between(load, 0.0, math.inf, "the load", name="load", unit="N")
    require_above_zero(bolt_stiffness, "the bolt's stiffness", name="bolt_stiffness", unit="N/mm")
    require_above_zero(
        members_stiffness, "the members' stiffness", name="members_stiffness", unit="N/mm"
    )
    constant = bolt_stiffness / (bolt_stiffness + members_stiffness)
    parts_at = preload / (1.0 - constant)
    if load > parts_at:
        raise OutOfDomain(
            f"A load of {load:g} N parts the joint; with {preload:g} N of preload it holds to "
            f"{parts_at:.0f} N. Tighten more, or use more bolts.",
            name="load",
        )
    stress = preload / stress_area
    return Loaded(constant, stress, constant * load / stress_area + stress)


def bolt_stiffness(thread: Thread, modulus: float, grip: float) -> float:
    """Stiffness of a bolt threaded over its whole grip [N/mm]: k_b = As E / l.

    Parameters
    ----------
    thread : Thread
    modulus : float
        E of the bolt [MPa].
    grip : float
        l, of all that it clamps [mm].

    References
    ----------
    Budynas and Nisbett, Shigley's Mechanical Engineering Design, 9th ed., eq. (8-17) without
    a plain shank.
    """
    require_above_zero(modulus, "the bolt's modulus", name="modulus", unit="MPa")
    require_above_zero(grip, "the grip", name="grip")
    return thread.stress_area * modulus / grip


def members_stiffness(nominal: float, modulus: float, grip: float) -> float:
    """Stiffness of what a bolt clamps, all of one material [N/mm].

    ::

        k_m = E d 0.78952 exp(0.62914 d / l)

    Parameters
    ----------
    nominal : float
        d of the bolt [mm].
    modulus : float
        E of the clamped material [MPa].
    grip : float
        l [mm].

    References
    ----------
    Budynas and Nisbett, Shigley's Mechanical Engineering Design, 9th ed., eq. (8-23) and the
    general expression of Table 8-8, after Wileman, Choudhury and Green 1991.
    """
    require_above_zero(nominal, "the thread's diameter", name="nominal")
    require_above_zero(modulus, "the members' modulus", name="modulus", unit="MPa")
    require_above_zero(grip, "the grip", name="grip")
    return modulus * nominal * _CONE * math.exp(_CONE_RISE * nominal / grip)


@dataclass(frozen=True)
class StripTrial:
    """Torques at which trial bolts stripped, and what to tighten to [N mm]."""

    mean: float
    scatter: float
    tighten_to: float


def strip_trial(torques: Sequence[float]) -> StripTrial:
    """Torque to tighten to, from trial bolts that were stripped in scrap.

    Half of the mean, or three scatters under it, the lesser.

    Raises
    ------
    OutOfDomain
        Fewer than two trials, or so scattered that nothing is left.

    References
    ----------
    Common practice, no source.

    Examples
    --------
    >>> strip_trial([2000.0, 2200.0, 2400.0]).tighten_to
    1100.0
    """
    for torque in torques:
        require_above_zero(torque, "a torque", name="torques", unit="N mm")
    mean, scatter = mean_and_scatter(torques)
    tighten_to = min(STRIP_SHARE * mean, mean - 3.0 * scatter)
    if tighten_to <= 0.0:
        raise OutOfDomain(
            f"Torques that scatter by {scatter:.0f} round {mean:.0f} N mm promise nothing. "
            "Drill and tap anew, and try again.",
            name="torques",
        )
    return StripTrial(mean, scatter, tighten_to)


def mean_and_scatter(readings: Sequence[float]) -> tuple[float, float]:
    """Mean of readings and their sample standard deviation, with n - 1.

    Raises
    ------
    OutOfDomain
        Fewer than two, or one that is no number.

    References
    ----------
    JCGM 100:2008, 4.2.1 and 4.2.2; Budynas and Nisbett, Shigley's Mechanical Engineering
    Design, 9th ed., Table 8-14, has ten tightened bolts worked out.
    """
    if len(readings) < 2 or not all(map(math.isfinite, readings)):
        raise OutOfDomain(
            f"{len(readings)} readings give no scatter. Two or more numbers do; measure again.",
            name="readings",
        )
    return statistics.fmean(readings), statistics.stdev(readings)
