"""Play of bolts against the fastener formulas of ASME Y14.5.

ASME Y14.5, Dimensioning and Tolerancing, appendix "Formulas for positional
tolerancing"; values from memory, unchecked. With H the smallest hole, F the
largest fastener and T the diameter of the zone that the middle of a hole may
lie in, on each of two parts::

    floating fastener   H = F + T
    fixed fastener      H = F + 2 T

Two holes that both stray the whole of T/2, apart from one another, are T apart.
"""

import pytest

from every_meet import every_meet, made_of
from foldwright.fit import clearances_of

BOLT = "bolt_d = 6\n"


def play_of(hole, bolt, tapped):
    """How far apart the desk's foot and base let the middles of two holes lie [mm]."""
    changes = [
        ("at = [200, 40], grid = [2, 1], pitch = [100, 20], d = 6.4", AT.format("[200, 40]", hole)),
        ("at = [80, 15], grid = [2, 1], pitch = [100, 20], d = 6.4", AT.format("[80, 15]", hole)),
        (BOLT, f"bolt_d = {bolt}\n" + ('tapped = "outer"\n' if tapped else "")),
    ]
    made = made_of(every_meet(*changes))
    meet = next(m for m in made.plan.meets if m.kind == "bolts-to")
    values = {name: part.values() for name, part in made.parts.items()}
    (apart,) = clearances_of(meet, made.plan.parts, values, made.frames)
    return apart.high


AT = "at = {}, grid = [2, 1], pitch = [100, 20], d = {}"


@pytest.mark.parametrize(("fastener", "zone"), [(6.0, 0.44), (3.5, 0.35), (8.0, 1.0)])
def test_floating_fasteners(fastener, zone):
    """H = F + T in both parts leaves T."""
    assert play_of(fastener + zone, fastener, tapped=False) == pytest.approx(zone)


@pytest.mark.parametrize(("fastener", "zone"), [(6.0, 0.4), (3.5, 0.2), (8.0, 0.5)])
def test_fixed_fasteners(fastener, zone):
    """H = F + 2 T in the one part, the other tapped, leaves T."""
    assert play_of(fastener + 2.0 * zone, fastener, tapped=True) == pytest.approx(zone)
