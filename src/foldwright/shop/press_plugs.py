"""Press plugs: how large to file a plug that is driven into a tube, and how it will sit.

Room: shop. From what was measured of the tube to what a hand files, bevels and
hammers. A filing error of 0.05 mm is half to all of the window in which a thin
tube stays elastic, so the tube may yield: past first yield the pressure levels
off (`yielded_rings`), and the plug holds as well. The aim is first yield plus
one standard deviation of filing, so that a plug filed small still sits. Plastic
stretches further than is good for it before it yields: there half of `MOST_GROWTH`.

Start at `plan_press_plug`; `plug_steps` tells the job in order.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from foldwright.errors import OutOfDomain
from foldwright.shop.materials import Matter
from foldwright.shop.plug_bores import JAWS_READ_LOW, Bore, measured_bore
from foldwright.shop.rings import (
    Elastic,
    plug_yield_pressure,
    push_force,
    roughness_loss,
    von_mises,
)
from foldwright.shop.yielded_rings import YieldWindow, ring_fit, yield_window

# One standard deviation of a diameter filed by hand to a caliper [mm].
FILING = 0.05  # common practice, no source
# Rz of a drawn or extruded bore, and of a plug filed and rubbed with emery [mm];
# values from memory, unchecked.
TUBE_ROUGHNESS, PLUG_ROUGHNESS = 0.006, 0.010
# What hammering bruises at each end of a plug [mm]: common practice, no source.
TRIM = 2.0
# Angle of the bevel to the axis, at most 5 degrees, and its length, the cube root of the
# diameter in mm: DIN 7190, fits that are pressed in; from memory, unchecked.
BEVEL_ANGLE = math.radians(5.0)
# A bore stretched further than this may split at a seam or scratch; and no hand files
# so far out by chance. Common practice, no source.
MOST_GROWTH = 0.01
# Energy of a blow over weight of the hammer [mm]: a swing from the elbow strikes about as
# hard as a drop from one metre; and the share of it that moves the plug, the rest
# rebounds and bruises. Both common practice, no source, and no better than threefold.
SWING, BLOW_SHARE, BLOW_DOUBT = 1000.0, 0.5, 3.0
HAMMER = 1.0  # kg
# Modulus below which a matter is plastic or wood [MPa], far from all metals.
_CREEPS = 20_000.0
_GRAVITY = 9.80665  # m/s2, standard
# The pressure dies away beyond the end of a plug over about this many sqrt(r t):
# beam on an elastic foundation, (3 (1 - nu^2))^(1/4) = 1.3, half a wave pi / 1.3.
_END_LENGTHS = 2.4


@dataclass(frozen=True)
class Sit:
    """How a plug sits with one interference.

    Attributes
    ----------
    interference : float
        Seated, on the diameter [mm].
    pressure, hoop, von_mises : float
        Against the bore, and stresses in the tube at the bore [MPa].
    growth : float
        Share by which the bore is stretched [-].
    state : str
        ``"springs"``, ``"yields inside"``, ``"yields right through"`` or ``"loose"``.
    force : float
        To slide it, fully in [N]: presses in and pulls out.
    torque : float
        To turn it [N mm].
    """

    interference: float
    pressure: float
    hoop: float
    von_mises: float
    growth: float
    state: str
    force: float
    torque: float


@dataclass(frozen=True)
class PressPlug:
    """A plug to file and drive in.

    Attributes
    ----------
    bore : Bore
        As measured.
    wall, outside : float
        Of the tube [mm].
    length : float
        Of the finished plug [mm].
    hole : float
        Through the plug [mm]; 0 if solid.
    window : YieldWindow
    loss : float
        What crushed roughness takes off the interference [mm].
    diameter : float
        File the plug to this [mm].
    filing : float
        One standard deviation of filing [mm].
    bevel_length, bevel_angle, bevel_d : float
        Along the plug [mm], to the axis [rad], and diameter of the small end [mm].
    trim : float
        Left at each end for the hammer, taken off after [mm].
    cut_length : float
        Saw the plug to this [mm].
    grip_length : float
        What bears against the bore [mm].
    sit, sit_if_small, sit_if_large : Sit
        As aimed, and filed `filing` too small and too large.
    blows : int
        Of a hammer of `hammer` kg, threefold either way.
    hammer : float
        [kg].
    creeps : bool
        Whether tube or plug is plastic or wood, which give way slowly under load.
    """

    bore: Bore
    wall: float
    outside: float
    length: float
    hole: float
    window: YieldWindow
    loss: float
    diameter: float
    filing: float
    bevel_length: float
    bevel_angle: float
    bevel_d: float
    trim: float
    cut_length: float
    grip_length: float
    sit: Sit
    sit_if_small: Sit
    sit_if_large: Sit
    blows: int
    hammer: float
    creeps: bool

    @property
    def over_bore(self) -> float:
        """Plug less bore, as measured [mm]."""
        return self.diameter - self.bore.diameter

    @property
    def end_length(self) -> float:
        """A shorter plug than this leans on the tube beyond it [mm]."""
        return _END_LENGTHS * math.sqrt(self.bore.diameter / 2.0 * self.wall)


def plan_press_plug(
    bore: float | Sequence[float],
    wall: float,
    length: float | None = None,
    *,
    tube: Matter,
    plug: Matter,
    over_bore: float | None = None,
    hole: float = 0.0,
    jaws_low: float = JAWS_READ_LOW,
    filing: float = FILING,
    tube_roughness: float = TUBE_ROUGHNESS,
    plug_roughness: float = PLUG_ROUGHNESS,
    friction: float | None = None,
    trim: float = TRIM,
    hammer: float = HAMMER,
) -> PressPlug:
    """Plan a plug for a round tube.

    Parameters
    ----------
    bore : float or sequence of float
        Readings of the inside jaws [mm].
    wall : float
        Wall of the tube [mm], above 0.
    length : float, optional
        Of the finished plug [mm]; as long as the bore is wide if not given.
    tube, plug : Matter
        What they are of.
    over_bore : float, optional
        Plug less bore as measured [mm], above 0; what the aim needs if not given.
    hole : float
        Hole through the plug that is there before it is pressed [mm].
    jaws_low : float
        What the inside jaws read low [mm].
    filing : float
        One standard deviation of a filed diameter [mm].
    tube_roughness, plug_roughness : float
        Rz of both [mm].
    friction : float, optional
        Between the two [-]; the plug's, dry, if not given.
    trim : float
        To leave at each end [mm].
    hammer : float
        Its head [kg].

    Raises
    ------
    OutOfDomain
        Numbers that are not physical; a plug larger than the outside of the tube; a bore
        stretched by 1 % or more; a plug that would be crushed before the tube gives.

    Examples
    --------
    >>> from foldwright.shop import matters
    >>> alu = matters()["al-6060-T66"]
    >>> plan = plan_press_plug(46.10, 2.0, 30.0, tube=alu, plug=alu)
    >>> plan.sit.state
    'yields right through'
    """
    found = measured_bore(bore, jaws_low)
    d = found.diameter
    length = max(1.0, float(round(d))) if length is None else length
    mu = plug.friction.value if friction is None else friction
    for name, value in {"wall": wall, "length": length, "friction": mu, "hammer": hammer}.items():
        _above_zero(value, name)
    for name, value in {"filing": filing, "trim": trim, "hole": hole}.items():
        _not_negative(value, name)
    _check_tube(d, wall, hole)
    bevel = math.cbrt(d)
    joint = _Joint(d, d + 2.0 * wall, hole, tube, plug, _grip_length(length, bevel, trim), mu)
    window = joint.window()
    loss = roughness_loss(tube_roughness, plug_roughness)
    over = joint.aim(window, filing) + loss if over_bore is None else over_bore
    _check_over_bore(over, joint, loss)
    sit = joint.sit(over - loss)
    _check_sit(sit, joint, filing)
    return PressPlug(
        bore=found,
        wall=wall,
        outside=joint.outside,
        length=length,
        hole=hole,
        window=window,
        loss=loss,
        diameter=d + over,
        filing=filing,
        bevel_length=bevel,
        bevel_angle=BEVEL_ANGLE,
        bevel_d=d + over - 2.0 * bevel * math.tan(BEVEL_ANGLE),
        trim=trim,
        cut_length=length + 2.0 * trim,
        grip_length=joint.grip,
        sit=sit,
        sit_if_small=joint.sit(sit.interference - filing),
        sit_if_large=joint.sit(sit.interference + filing),
        blows=hammer_blows(sit.force, length, hammer),
        hammer=hammer,
        creeps=min(tube.modulus.value, plug.modulus.value) < _CREEPS,
    )


def hammer_blows(force: float, length: float, hammer: float) -> int:
    """Blows it takes to drive a plug in, threefold either way.

    The force grows as the plug goes in, so the work is half of force times way::

        n = F L / 2 / (0.5 m g h)

    Parameters
    ----------
    force : float
        F, to slide the plug when fully in [N].
    length : float
        L, way [mm].
    hammer : float
        m, head of the hammer [kg]; h is 1 m, see `SWING`.

    References
    ----------
    Work and energy; the energy of a blow is common practice, no source.

    Examples
    --------
    >>> hammer_blows(10_000.0, 30.0, 1.0)
    31
    """
    blow = BLOW_SHARE * hammer * _GRAVITY * SWING
    return max(1, math.ceil(force * length / 2.0 / blow))


@dataclass(frozen=True)
class _Joint:
    """Tube and plug as they meet: bore, outside, hole and grip [mm], both matters, friction."""

    d: float
    outside: float
    hole: float
    tube: Matter
    plug: Matter
    grip: float
    friction: float

    def window(self) -> YieldWindow:
        """Where the tube yields."""
        return yield_window(
            self.d,
            self.outside,
            self.tube.proof.value,
            plug=Elastic.of(self.plug),
            tube=Elastic.of(self.tube),
            plug_bore_d=self.hole,
        )

    def aim(self, window: YieldWindow, filing: float) -> float:
        """Seated interference to work for [mm].

        First yield and one deviation of filing; or half of the most a bore may be
        stretched, in tubes that stretch further before they yield, as of plastic.
        """
        stretch = self.sit(window.first).growth
        if stretch >= MOST_GROWTH / 2.0:
            return window.first * MOST_GROWTH / 2.0 / stretch
        return window.first + filing

    def sit(self, interference: float) -> Sit:
        """How a plug of this interference sits; 0 or less is loose."""
        fit = ring_fit(
            max(interference, 0.0),
            self.d,
            self.outside,
            self.tube.proof.value,
            plug=Elastic.of(self.plug),
            tube=Elastic.of(self.tube),
            plug_bore_d=self.hole,
        )
        force = push_force(fit.pressure, self.d, self.grip, self.friction)
        return Sit(
            interference=interference,
            pressure=fit.pressure,
            hoop=fit.hoop,
            von_mises=von_mises(fit.hoop, fit.radial),
            growth=fit.growth,
            state=fit.state if interference > 0.0 else "loose",
            force=force,
            torque=force * self.d / 2.0,
        )


def _grip_length(length: float, bevel: float, trim: float) -> float:
    """Length that bears on the bore [mm].

    The bevel goes in first; what of it is longer than the trim stays in and grips nothing.
    """
    grip = length - max(bevel - trim, 0.0)
    if grip <= 0.0:
        raise OutOfDomain(
            f"a plug {length:g} mm long is all bevel, which takes {bevel:.1f} mm. Make it longer.",
            name="length",
        )
    return grip


def _check_tube(d: float, wall: float, hole: float) -> None:
    if hole >= d:
        raise OutOfDomain(
            f"a hole of {hole:g} mm is no smaller than the plug, {d:.2f} mm. "
            "Give the bolt hole through the plug, or 0.",
            name="hole",
        )
    thickest = (math.e - 1.0) * d / 2.0  # where `yield_window` ends
    if wall > thickest:
        raise OutOfDomain(
            f"a wall of {wall:g} mm round a bore of {d:.1f} mm is a block, not a tube; up to "
            f"{thickest:.1f} mm this holds. Take a fit from ISO 286 instead, H7/p6 say.",
            name="wall",
        )


def _check_over_bore(over: float, joint: _Joint, loss: float) -> None:
    if not over > loss:  # also catches nan
        raise OutOfDomain(
            f"a plug {over:g} mm over the bore does not sit: roughness alone takes {loss:.3f} mm. "
            "Give more than that, or glue it in as a push fit.",
            name="over_bore",
        )
    if joint.d + over >= joint.outside:
        raise OutOfDomain(
            f"a plug of {joint.d + over:.2f} mm is larger than the outside of the tube, "
            f"{joint.outside:.2f} mm. Give plug less bore, a few hundredths to tenths of a "
            "millimetre.",
            name="over_bore",
        )


def _check_sit(sit: Sit, joint: _Joint, filing: float) -> None:
    if sit.growth >= MOST_GROWTH:
        raise OutOfDomain(
            f"the plug would stretch the bore by {100.0 * sit.growth:.1f} %; "
            f"{100.0 * MOST_GROWTH:.0f} % is the most, or the tube may split. File it smaller. "
            f"Where the bore is so small that filing to {filing:g} mm makes the difference, turn "
            "the plug, or glue it in as a push fit.",
            name="over_bore",
        )
    plug_takes = plug_yield_pressure(joint.plug.proof.value, joint.d, joint.hole)
    if sit.pressure >= plug_takes:
        raise OutOfDomain(
            f"the plug is crushed at {plug_takes:.0f} MPa and the tube presses with "
            f"{sit.pressure:.0f}. Use a harder plug, a smaller hole through it, or a tube with "
            "a thinner wall.",
            name="plug",
        )


def _above_zero(value: float, name: str) -> None:
    if not 0.0 < value < math.inf:  # also catches nan
        raise OutOfDomain(f"{name} is {value:g}; it has to be above 0. Measure again.", name=name)


def _not_negative(value: float, name: str) -> None:
    if not 0.0 <= value < math.inf:
        raise OutOfDomain(f"{name} is {value:g}; it is 0 or more. Check the sign.", name=name)
