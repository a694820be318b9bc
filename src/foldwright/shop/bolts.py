"""Bolts: what their threads hold in a tapped plug, and how near to an edge they may sit.

Room: shop. *Engagement* is the length over which bolt and plug share full
threads. *Stripping* shears the threads off, of the plug or of the bolt.

Start at `bolt_in_plug`; the other functions are its steps.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from foldwright.errors import OutOfDomain
from foldwright.shop.materials import Matter
from foldwright.shop.physical import require_above_zero, require_between
from foldwright.shop.preload import STRIP_SHARE, reused_preload, tightening_torque
from foldwright.shop.threads import (
    Thread,
    bolt_lengths,
    clearance_holes,
    property_class,
    tap_drill,
)

# Shear strength as a share of tensile strength, by distortion energy: Budynas and Nisbett,
# Shigley's Mechanical Engineering Design, 9th ed., eq. (5-21). FED-STD-H28 and VDI 2230 have
# 0.5 to 0.7 by material.
SHEAR_SHARE = 1.0 / math.sqrt(3.0)
# Threads lost to the countersink and the tap's lead; room for the bolt's end and
# for the tap under it, in pitches. Common practice, no source.
_LEAD, _ROOM, _TAP_END = 1.0, 2.0, 4.0
# Engagement aimed at, over what just breaks the bolt on basic sizes: taps wear, and nuts
# spread as they are pulled. In aluminium it comes to about the usual 1.5 diameters.
# Common practice, no source.
_AMPLE, _LEAST_ENGAGEMENT = 1.5, 1.0
# Past so many diameters the first threads carry all there is; common practice, no source.
LONGEST_ENGAGEMENT = 2.5
# Middle of the bolt to the edge of the plug, in diameters; common practice, no source.
_PLUG_EDGE = 1.5
_CLOSE = 1e-9  # [mm]


def shear_areas(thread: Thread, engagement: float) -> tuple[float, float]:
    """Areas that stripping shears: of the bolt's thread and of the plug's [mm2].

    ::

        bolt  AS_s = pi Le/P  D1 (P/2 + (d2 - D1) / sqrt 3)    = 0.75  pi Le D1
        plug  AS_n = pi Le/P  d  (P/2 + (d - d2) / sqrt 3)     = 0.875 pi Le d

    Parameters
    ----------
    thread : Thread
    engagement : float
        Le, of full threads [mm].

    References
    ----------
    FED-STD-H28/2B, and Machinery's Handbook, "Lengths of thread engagement", in metric form
    with basic dimensions: d is both the bolt's least and the plug's largest diameter.

    Examples
    --------
    >>> [round(area, 1) for area in shear_areas(Thread(6.0, 1.0), 6.0)]
    [69.5, 99.0]
    """
    require_between(engagement, 0.0, math.inf, "the engagement", name="engagement")
    turns = math.pi * engagement / thread.pitch
    d, d2, D1 = thread.nominal, thread.pitch_d, thread.bore_d
    return (
        turns * D1 * (thread.pitch / 2.0 + (d2 - D1) / math.sqrt(3.0)),
        turns * d * (thread.pitch / 2.0 + (d - d2) / math.sqrt(3.0)),
    )


def strip_loads(
    thread: Thread, engagement: float, bolt_tensile: float, plug_tensile: float
) -> tuple[float, float]:
    """Pull at which the bolt's thread shears off, and the plug's [N].

    Engagement past 2.5 diameters adds nothing: the first threads carry the load.

    Parameters
    ----------
    thread : Thread
    engagement : float
        Of full threads [mm].
    bolt_tensile, plug_tensile : float
        Rm [MPa]; sheared, 1/sqrt(3) of it is taken.
    """
    require_above_zero(bolt_tensile, "the bolt's strength", name="bolt_tensile", unit="MPa")
    require_above_zero(plug_tensile, "the plug's strength", name="plug_tensile", unit="MPa")
    counted = min(engagement, LONGEST_ENGAGEMENT * thread.nominal)
    bolt, plug = shear_areas(thread, counted)
    return bolt * SHEAR_SHARE * bolt_tensile, plug * SHEAR_SHARE * plug_tensile


def engagement_to_break(thread: Thread, bolt_tensile: float, plug_tensile: float) -> float:
    """Engagement of full threads at which the bolt breaks before anything strips [mm].

    In a soft plug it may be more than 2.5 diameters, which cannot be had: then
    the plug strips first, however deep.

    Examples
    --------
    >>> steel_in_steel = engagement_to_break(Thread(8.0, 1.25), 800.0, 800.0)
    >>> round(steel_in_steel / 8.0, 2)
    0.51
    """
    bolt, plug = (
        area * SHEAR_SHARE * tensile
        for area, tensile in zip(
            shear_areas(thread, 1.0), (bolt_tensile, plug_tensile), strict=True
        )
    )
    return thread.stress_area * bolt_tensile / min(bolt, plug)


@dataclass(frozen=True)
class Distances:
    """Of a hole from edges and from other holes [mm].

    `end` and `pitch` lie along the load, `edge` and `gauge` across it.
    """

    end: float
    edge: float
    pitch: float
    gauge: float


def least_distances(hole_d: float) -> Distances:
    """Least distances of bolt and rivet holes: 1.2, 1.2, 2.2 and 2.4 holes.

    References
    ----------
    EN 1993-1-8:2005, Table 3.3.

    Examples
    --------
    >>> round(least_distances(4.1).pitch, 2)
    9.02
    """
    require_above_zero(hole_d, "the hole", name="hole_d")
    return Distances(1.2 * hole_d, 1.2 * hole_d, 2.2 * hole_d, 2.4 * hole_d)


def good_distances(hole_d: float) -> Distances:
    """Recommended distances: 2.0, 1.5, 2.5 and 3.0 holes.

    References
    ----------
    Common practice with EN 1993-1-8; the standard itself prints the least ones only.
    """
    require_above_zero(hole_d, "the hole", name="hole_d")
    return Distances(2.0 * hole_d, 1.5 * hole_d, 2.5 * hole_d, 3.0 * hole_d)


@dataclass(frozen=True)
class BoltInPlug:
    """A bolt through a plate into a tapped plug; lengths [mm], loads [N], torque [N mm].

    Attributes
    ----------
    length : float
        Under the head, as sold.
    engagement : float
        Full threads in the plug.
    reach : float
        How far the bolt stands into the plug.
    thread_depth, drill_depth : float
        To tap and to drill; the drill's depth at most that of the plug.
    drill, clearance : float
        Diameters to drill in plug and plate.
    bolt_strips, plug_strips, bolt_breaks : float
        Pull at which each goes.
    preload, torque : float
        To tighten by hand.
    edge : float
        Least from the middle of the bolt to the plug's edge.
    needed : float
        Engagement at which the bolt would break first.
    """

    length: float
    engagement: float
    reach: float
    thread_depth: float
    drill_depth: float
    drill: float
    clearance: float
    bolt_strips: float
    plug_strips: float
    bolt_breaks: float
    preload: float
    torque: float
    edge: float
    needed: float

    @property
    def holds(self) -> float:
        """Pull at which the weakest gives way [N]; no reserve in it."""
        return min(self.bolt_strips, self.plug_strips, self.bolt_breaks)


def bolt_in_plug(
    thread: Thread,
    class_name: str,
    plug: Matter,
    plug_depth: float,
    through: float,
    torque_factor: float,
    *,
    runs_through: bool = False,
    most_preload: float = math.inf,
) -> BoltInPlug:
    """Bolt a plate to a tapped plug.

    The shortest bolt sold is taken that has half as much engagement again as
    breaks it, between 1 and 2.5 diameters; else the longest that does not touch
    the bottom.

    Parameters
    ----------
    thread : Thread
    class_name : str
        Property class of the bolt, ``"8.8"``.
    plug : Matter
    plug_depth : float
        Of the plug along the bolt [mm].
    through : float
        Plate and washers under the head [mm].
    torque_factor : float
        K [-].
    runs_through : bool
        The tapped hole comes out behind, so nothing is lost at its end.
    most_preload : float
        What the plate under the head takes [N].

    Raises
    ------
    OutOfDomain
        No bolt sold gets a full thread of hold, or sizes that are not above 0.

    Notes
    -----
    Preload is 0.75 of proof load, half of what strips, or `most_preload`, the least.

    References
    ----------
    `shear_areas`, `tightening_torque`; shares and depths as noted where they stand.
    """
    require_above_zero(plug_depth, "the plug's depth", name="plug_depth")
    require_between(through, 0.0, math.inf, "the plate", name="plate_thickness")
    steel = property_class(class_name, thread.nominal)
    pitch = thread.pitch
    room = 0.0 if runs_through else (_ROOM + _TAP_END) * pitch
    needed = engagement_to_break(thread, steel.tensile, plug.tensile.value)
    wanted = max(_AMPLE * needed, _LEAST_ENGAGEMENT * thread.nominal)
    wanted = min(wanted, LONGEST_ENGAGEMENT * thread.nominal) + _LEAD * pitch
    length = _length(thread, through, plug_depth - room, wanted)
    reach = length - through
    engagement = min(reach, plug_depth) - _LEAD * pitch
    bolt, inside = strip_loads(thread, engagement, steel.tensile, plug.tensile.value)
    preload = min(reused_preload(thread, steel), STRIP_SHARE * min(bolt, inside), most_preload)
    return BoltInPlug(
        length=length,
        engagement=engagement,
        reach=reach,
        thread_depth=plug_depth if runs_through else reach + _ROOM * pitch,
        drill_depth=plug_depth if runs_through else reach + room,
        drill=tap_drill(thread),
        clearance=clearance_holes(thread.nominal)[1],
        bolt_strips=bolt,
        plug_strips=inside,
        bolt_breaks=thread.stress_area * steel.tensile,
        preload=preload,
        torque=tightening_torque(thread.nominal, preload, torque_factor),
        edge=_PLUG_EDGE * thread.nominal,
        needed=needed,
    )


def _length(thread: Thread, through: float, deepest: float, wanted: float) -> float:
    """Return the shortest length sold that reaches as wanted, else the longest that goes in."""
    least = through + (_LEAD + 1.0) * thread.pitch
    fitting = [length for length in bolt_lengths() if least <= length <= through + deepest + _CLOSE]
    if not fitting:
        raise OutOfDomain(
            f"No {thread.name} bolt is sold that holds in the plug: from under the head it may be "
            f"{least:.1f} to {through + deepest:.1f} mm long. Make the plug deeper, tap it right "
            "through, or take a thinner thread.",
            name="plug_depth",
        )
    long_enough = [length for length in fitting if length - through >= wanted]
    return min(long_enough) if long_enough else max(fitting)
