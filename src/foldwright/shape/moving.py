"""Moving the sides of an outline in or out: what a finish or the board takes off.

Room: shape. `moved` does for outlines with arcs what `outline.move_sides` does
for polygons: sides move parallel, corners are where they cross.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from foldwright.errors import OutOfDomain
from foldwright.plan.dual import Number, hypot, number, sqrt
from foldwright.shape.arcs import Arc, Outline, from_centre
from foldwright.shape.outline import Corner


def moved(outline: Outline, distances: Sequence[Number]) -> Outline:
    """Move each side inwards by its own distance; negative moves it out.

    Corner i is where the moved sides i - 1 and i cross; where they are tangent
    it moves straight in by the larger of the two distances, so that sides
    moved alike stay tangent, and an open side ends at the edges of its neighbours.

    Raises
    ------
    OutOfDomain
        Sides that no longer meet, or an arc without radius left; `name` is the side.
    """
    if all(distance == 0.0 for distance in distances):  # never so of one with slopes
        return outline
    arcs = []
    for name, arc, distance in zip(outline.names, outline.arcs, distances, strict=True):
        grown = None
        if arc is not None:
            grown = Arc(arc.centre, arc.radius - arc.sense * distance, arc.sense)
            if not number(grown.radius) > 0.0:
                raise OutOfDomain(
                    f'Side "{name}" bends to a radius of {number(arc.radius):g} mm, '
                    f"and {number(distance):g} mm further in nothing of it is left.",
                    name=name,
                )
        arcs.append(grown)
    corners = [moved_corner(outline, i, distances, arcs) for i in range(len(outline))]
    return Outline(tuple(corners), outline.names, tuple(arcs))


def vanished_side(before: Outline, after: Outline) -> str | None:
    """Name of a side that runs the other way after a move, or None if all have length left."""
    for i, name in enumerate(before.names):
        if before.arcs[i] is None:
            (ax, ay), (bx, by) = before.difference(i), after.difference(i)
            keeps = ax * bx + ay * by > 0.0
        else:
            # An arc that shrank past nothing comes back as nearly a whole turn.
            keeps = abs(number(after.sweep(i)) - number(before.sweep(i))) < math.pi
        if not keeps:
            return name
    return None


def moved_corner(
    outline: Outline, i: int, distances: Sequence[Number], arcs: Sequence[Arc | None]
) -> Corner:
    """Corner i after its two sides were moved; `arcs` are the moved ones."""
    d, e = distances[i - 1], distances[i]
    before, after = arcs[i - 1], arcs[i]
    if before is None and after is None:
        return _lines_cross(outline, i, d, e)
    if outline.is_tangent(i):
        return _straight_in(outline, i, d if number(d) >= number(e) else e)
    if before is None and after is not None:
        return _line_meets_arc(outline, i, i - 1, d, after)
    if before is not None and after is None:
        return _line_meets_arc(outline, i, i, e, before)
    assert before is not None and after is not None
    return _arcs_cross(outline, i, before, after)


def _lines_cross(outline: Outline, i: int, d: Number, e: Number) -> Corner:
    x, y = outline.corners[i]
    ux, uy = outline.inward(i - 1)
    vx, vy = outline.inward(i)
    cross = ux * vy - uy * vx
    # Solve u.p = d, v.p = e for the shift p of the corner.
    return (x + (d * vy - e * uy) / cross, y + (e * ux - d * vx) / cross)


def _straight_in(outline: Outline, i: int, distance: Number) -> Corner:
    """Along the radius of the arc, so that the corner stays on it."""
    arc = outline.arcs[i] or outline.arcs[i - 1]
    assert arc is not None
    x, y = from_centre(arc, outline.corners[i])
    stretch = (arc.radius - arc.sense * distance) / hypot(x, y)
    return (arc.centre[0] + x * stretch, arc.centre[1] + y * stretch)


def _line_meets_arc(outline: Outline, i: int, line: int, distance: Number, arc: Arc) -> Corner:
    """Where a moved straight side meets a moved arc, on the same side of its centre as before."""
    ux, uy = outline.inward(line)
    x, y = from_centre(arc, outline.corners[i])
    tx, ty = uy, -ux  # along the side
    height = x * ux + y * uy + distance
    square = arc.radius * arc.radius - height * height
    if not number(square) > 0.0:
        raise _apart(outline, i)
    along = sqrt(square)
    if number(x * tx + y * ty) < 0.0:
        along = -along
    return (
        arc.centre[0] + height * ux + along * tx,
        arc.centre[1] + height * uy + along * ty,
    )


def _arcs_cross(outline: Outline, i: int, one: Arc, other: Arc) -> Corner:
    """Where two moved arcs cross, on the same side of the line of centres as before."""
    dx, dy = other.centre[0] - one.centre[0], other.centre[1] - one.centre[1]
    apart = hypot(dx, dy)
    dx, dy = dx / apart, dy / apart
    along = (apart * apart + one.radius**2 - other.radius**2) / (2.0 * apart)
    square = one.radius * one.radius - along * along
    if not number(square) > 0.0:
        raise _apart(outline, i)
    across = sqrt(square)
    x, y = from_centre(one, outline.corners[i])
    if number(dx * y - dy * x) < 0.0:
        across = -across
    return (
        one.centre[0] + along * dx - across * dy,
        one.centre[1] + along * dy + across * dx,
    )


def _apart(outline: Outline, i: int) -> OutOfDomain:
    before, after = outline.names[i - 1], outline.names[i]
    return OutOfDomain(
        f'Sides "{before}" and "{after}" no longer meet when they are moved.', name=after
    )
