"""Rounds and rises: corners rolled off, sides bowed.

Room: shape. A *rise* says how far the middle of a side bows out past its chord,
which a maker reads off with a straight edge and a rule; a *round* is the
outside radius that takes a corner off, tangent to both its sides, and becomes
a side of its own.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from foldwright.errors import OutOfDomain
from foldwright.plan.dual import Number, hypot, number
from foldwright.shape.arcs import Arc, Outline, from_centre
from foldwright.shape.moving import moved_corner
from foldwright.shape.outline import Corner, sides_of

# A corner that turns less than this is none, and cannot be rolled off.
_IN_LINE = math.radians(0.5)


def outline_with_arcs(
    corners: Sequence[Corner],
    names: Sequence[str],
    rounds: Sequence[Number | None] = (),
    rises: Sequence[Number | None] = (),
) -> Outline:
    """Outline from its corners, the radii that round them off and the rises of its sides.

    Parameters
    ----------
    corners : sequence of (x, y), length n
        Anticlockwise [mm].
    names : sequence of str, length n
        Of the sides.
    rounds : sequence, length n or 0
        Outside radius at each corner [mm], or None.
    rises : sequence, length n or 0
        How far the middle of each side bows out past its chord [mm], or None;
        from corner to corner, before rounds shorten it.

    Returns
    -------
    Outline
        Sides in the order of `names`; between two of them that a round joins, a
        further one called ``"BEFORE~AFTER"``.

    Raises
    ------
    OutOfDomain
        A round that does not fit, or at a corner with hardly any turn; `name`
        is the side after it.
    """
    arcs = [
        _risen(a, b, rise) if rise is not None and number(rise) != 0.0 else None
        for (a, b), rise in zip(sides_of(corners), rises or [None] * len(corners), strict=True)
    ]
    sharp = Outline(tuple(corners), tuple(names), tuple(arcs))
    if not any(radius is not None for radius in rounds):
        return sharp
    return _rounded(sharp, rounds)


def _risen(a: Corner, b: Corner, rise: Number) -> Arc:
    """Arc from a to b whose middle lies `rise` outside the chord."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    length = hypot(dx, dy)
    sense = 1 if number(rise) > 0.0 else -1
    height = rise if sense > 0 else -rise
    radius = (length * length / 4.0 + height * height) / (2.0 * height)
    inward = (-dy / length, dx / length)  # of an anticlockwise outline
    depth = sense * (radius - height)
    return Arc(
        ((a[0] + b[0]) / 2.0 + inward[0] * depth, (a[1] + b[1]) / 2.0 + inward[1] * depth),
        radius,
        sense,
    )


def _rounded(sharp: Outline, rounds: Sequence[Number | None]) -> Outline:
    """Roll corners off: the centre lies where both sides cross, moved by the radius."""
    count = len(sharp)
    starts: list[Corner] = list(sharp.corners)  # where each side starts, and where it ends
    ends: list[Corner] = [sharp.corners[(i + 1) % count] for i in range(count)]
    rolls: list[Arc | None] = [None] * count
    for i, radius in enumerate(rounds):
        if radius is None:
            continue
        rolls[i] = roll = _roll(sharp, i, radius)
        ends[i - 1] = _touch(sharp, i - 1, roll)
        starts[i] = _touch(sharp, i, roll)
    corners: list[Corner] = []
    names: list[str] = []
    arcs: list[Arc | None] = []
    for i in range(count):
        side = (sharp.names[i], sharp.arcs[i], starts[i])
        after = (i + 1) % count
        between = (f"{sharp.names[i]}~{sharp.names[after]}", rolls[after], ends[i])
        for name, arc, corner in (side, between) if rolls[after] else (side,):
            names.append(name)
            arcs.append(arc)
            corners.append(corner)
    rounded = Outline(tuple(corners), tuple(names), tuple(arcs))
    _require_fit(sharp, rounded)
    return rounded


def _roll(sharp: Outline, i: int, radius: Number) -> Arc:
    turn = sharp.turn(i)
    if abs(turn) < _IN_LINE:
        raise OutOfDomain(
            f'Sides "{sharp.names[i - 1]}" and "{sharp.names[i]}" lie in one line, '
            "and a round needs a corner.",
            name=sharp.names[i],
        )
    sense = 1 if turn > 0.0 else -1
    distances = [0.0 * radius] * len(sharp)
    distances[i - 1] = distances[i] = sense * radius
    shifted = [
        Arc(arc.centre, arc.radius - arc.sense * d, arc.sense) if arc else None
        for arc, d in zip(sharp.arcs, distances, strict=True)
    ]
    for arc in (shifted[i - 1], shifted[i]):
        if arc is not None and not number(arc.radius) > 0.0:
            raise _no_fit(sharp.names[i - 1], sharp.names[i], number(radius))
    try:
        centre = moved_corner(sharp, i, distances, shifted)
    except OutOfDomain as fault:
        raise _no_fit(sharp.names[i - 1], sharp.names[i], number(radius)) from fault
    return Arc(centre, radius, sense)


def _touch(sharp: Outline, i: int, roll: Arc) -> Corner:
    """Where a round touches side i."""
    i %= len(sharp)
    arc = sharp.arcs[i]
    if arc is None:
        (ax, ay), (bx, by) = sharp.corners[i], sharp.corners[(i + 1) % len(sharp)]
        length = sharp.chord(i)
        ux, uy = (bx - ax) / length, (by - ay) / length
        along = (roll.centre[0] - ax) * ux + (roll.centre[1] - ay) * uy
        return (ax + along * ux, ay + along * uy)
    x, y = from_centre(arc, roll.centre)
    stretch = arc.radius / hypot(x, y)
    return (arc.centre[0] + x * stretch, arc.centre[1] + y * stretch)


def _require_fit(sharp: Outline, rounded: Outline) -> None:
    for i, name in enumerate(sharp.names):
        at = rounded.names.index(name)
        if sharp.arcs[i] is None:
            (ax, ay), (bx, by) = sharp.difference(i), rounded.difference(at)
            fits = ax * bx + ay * by > 0.0
        else:
            fits = number(rounded.sweep(at)) <= number(sharp.sweep(i))
        if not fits:
            raise OutOfDomain(
                f'The rounds at the ends of side "{name}" leave nothing of it between them.',
                name=name,
            )


def _no_fit(before: str, after: str, radius: float) -> OutOfDomain:
    return OutOfDomain(
        f'A round of {radius:g} mm does not fit between sides "{before}" and "{after}".', name=after
    )
