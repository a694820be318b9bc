"""Push plugs: plugs with room for glue, where tube or plug is too soft to be pressed.

Room: shop. For tubes of plastic or card, plugs of wood or plastic, square
tubes, and walls too thin to hold a press plug. What glue holds is the average
shear that a lap of the same glue and surfaces broke at, times the glued area.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from foldwright.errors import OutOfDomain
from foldwright.shop.plug_bores import JAWS_READ_LOW, Bore, measured_bore

# Room for glue on each side [mm]: common practice for stiff two-part glue, no source.
GAP = 0.1
# Thicker, and the glue is weaker and runs out: common practice, no source.
MOST_GAP = 0.5
# Share of what breaks it that one plans with: common practice, no source.
WORKING_SHARE = 0.25
# Glue to mix over glue that stays: common practice, no source.
_WASTE = 1.5


@dataclass(frozen=True)
class PushPlug:
    """A plug that is glued in.

    Attributes
    ----------
    bore : Bore
        Across the flats if square.
    size : float
        Diameter of the plug, or its side [mm].
    corner : float
        Chamfer or round of its corners [mm]; 0 if round.
    gap, length : float
        Glue on each side, and plug, [mm].
    area : float
        Glued [mm2].
    glue : float
        To mix [mm3].
    pull_out, torque : float
        That break it [N], [N mm].
    """

    bore: Bore
    square: bool
    size: float
    corner: float
    gap: float
    length: float
    area: float
    glue: float
    pull_out: float
    torque: float


def plan_push_plug(
    bore: float | Sequence[float],
    length: float,
    lap_shear: float,
    *,
    gap: float = GAP,
    square: bool = False,
    corner: float = 0.0,
    jaws_low: float = JAWS_READ_LOW,
) -> PushPlug:
    """Plan a plug that slides in with glue.

    ::

        round   A = pi d L,       F = tau A,  T = F d / 2
        square  A = 4 (w - 2 r) L,  F = tau A,  T = F w / 2

    with d and w midway in the glue; a square plug leaves the corners of the tube out.

    Parameters
    ----------
    bore : float or sequence of float
        Readings across the bore [mm], across the flats if square.
    length : float
        Of the plug [mm].
    lap_shear : float
        tau, average shear at which a lap of this glue on these surfaces breaks [MPa].
    gap : float
        Room for glue on each side [mm].
    square : bool
        A square tube.
    corner : float
        r, inside corner radius of a square tube [mm].
    jaws_low : float
        What the inside jaws read low [mm].

    Raises
    ------
    OutOfDomain
        No gap, or a gap over 0.5 mm; length or strength not above 0; corners that leave no flat.

    Notes
    -----
    Ends of a glued joint carry more than its middle: a plug longer than the bore is wide
    holds little more. Torque of a square plug counts glue alone.

    References
    ----------
    Average shear of a glued sleeve, elementary mechanics; strength from lap tests as
    EN 1465 or the maker's own.

    Examples
    --------
    >>> plug = plan_push_plug(30.0, 25.0, 6.0, jaws_low=0.0)
    >>> round(plug.size, 2), round(plug.pull_out)
    (29.8, 14090)
    """
    found = measured_bore(bore, jaws_low)
    across = found.diameter
    for value, name in ((length, "length"), (lap_shear, "lap_shear")):
        if not 0.0 < value < math.inf:  # also catches nan
            raise OutOfDomain(
                f"{name} is {value:g}; it has to be above 0. Measure again.", name=name
            )
    if not 0.0 < gap <= min(MOST_GAP, across / 4.0):
        raise OutOfDomain(
            f"a gap of {gap:g} mm leaves no glue that holds; more than 0 and up to {MOST_GAP:g} "
            f"mm does. Use {GAP:g}, or shim a loose plug with paper or tape.",
            name="gap",
        )
    if not 0.0 <= 2.0 * corner < across or (corner and not square):
        raise OutOfDomain(
            f"a corner radius of {corner:g} mm does not fit this tube. "
            "Measure it with a radius gauge; round tubes have none.",
            name="corner",
        )
    middle = across - gap
    # A corner cut by the tube's own radius clears it whatever the gap.
    around = 4.0 * (middle - 2.0 * corner) if square else math.pi * middle
    area = around * length
    pull_out = lap_shear * area
    return PushPlug(
        bore=found,
        square=square,
        size=across - 2.0 * gap,
        corner=corner,
        gap=gap,
        length=length,
        area=area,
        glue=_WASTE * area * gap,
        pull_out=pull_out,
        torque=pull_out * middle / 2.0,
    )


def push_plug_steps(plug: PushPlug) -> tuple[str, ...]:
    """Steps to make and glue a push plug, in order; common practice, no source."""
    shape = "square" if plug.square else "round"
    corners = f", corners taken off by {plug.corner:.1f} mm" if plug.corner else ""
    return (
        f"Cut the plug {plug.length:.1f} mm long and bring it to {plug.size:.2f} mm {shape}"
        f"{corners}: {plug.gap:.2f} mm of room on each side.",
        "Break its leading edge, roughen plug and bore with coarse cloth, wipe off the dust with "
        "what the glue maker names, and do not touch it again.",
        f"Keep it centred: two turns of thread or {plug.gap:.1f} mm wire laid along at three "
        "places.",
        f"Mix {plug.glue / 1000.0:.1f} ml of glue. Spread it in the bore as well as on the plug, "
        "and turn the plug as it goes in, so that no air stays.",
        "Stand the tube so that it cannot slide out; leave it for the whole time the glue maker "
        "names. Drill for a pin only after that.",
    )
