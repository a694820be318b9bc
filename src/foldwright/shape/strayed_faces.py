"""Faces of a part as made: where its strays put the corners.

Room: shape. A part that leans, tapers or rocks has its corners elsewhere than
drawn; so `face_corners` moves them. What moves is what the spare dims see
(`spare`), and as they see it: the lower front left corner stays where it is,
but for a taper, which is shared by both sides. Over the block that a part
fills, u, v and w run from 0 to 1 to the right, to the back and up::

    dx = lean_right w + skew v + (u - 1/2) (taper (v - 1/2) + flare (w - 1/2))
    dy = lean_back w + depth_taper (v - 1/2) (u - 1/2)
    dz = w (tilt_right (u - 1/2) + tilt_back (v - 1/2)) + twist u v

The end of a round part that is cut askew stands higher at the seam than half
round from it. That a round part is oval moves no face; its girth is what it is.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence

from foldwright.plan import AnyPart, Bought, Drum, Hood, Number, Plate, Rib, Strip, Tube
from foldwright.plan.dual import number
from foldwright.shape.planes import Spot

type _Ask = Callable[[str], Number]
type Faces = dict[str, tuple[Spot, ...]]


def strayed(part: AnyPart, faces: Faces, values: Mapping[str, Number]) -> Faces:
    """Return the points of all faces of a part where its strays put them.

    Parameters
    ----------
    part : AnyPart
    faces : dict of str to tuple of Spot
        Points of each face as drawn, in the part's frame [mm].
    values : Mapping
        With the strays that are known [mm]; without any, the faces stay.
    """
    if not any(name.startswith("~") for name in values):
        return faces

    def stray(name: str) -> Number:
        return values.get(f"~{name}", 0.0)

    match part:
        case Drum() | Hood() | Tube():
            slopes = (stray("slope_0"), stray("slope_90"))
            return {
                name: tuple(_sloped(point, slopes) for point in points) if name == "top" else points
                for name, points in faces.items()
            }
        case Bought():
            return faces
    block = [_span([p[k] for points in faces.values() for p in points]) for k in range(3)]
    return {
        name: tuple(_moved(part, point, block, stray) for point in points)
        for name, points in faces.items()
    }


def _sloped(point: Spot, slopes: tuple[Number, Number]) -> Spot:
    """Point of an upper end, which rises towards the seam and towards a quarter round from it."""
    x, y, z = point
    across = math.hypot(number(x), number(y))
    c, s = (number(x) / across, number(y) / across) if across else (0.0, 0.0)
    return (x, y, z + c * slopes[0] + s * slopes[1])


def _span(values: Sequence[Number]) -> tuple[Number, Number]:
    ordered = sorted(values, key=number)
    return ordered[0], ordered[-1]


def _moved(part: AnyPart, point: Spot, block: Sequence[tuple[Number, Number]], stray: _Ask) -> Spot:
    u, v, w = (
        (c - low) / (high - low) if number(high) > number(low) else 0.0
        for c, (low, high) in zip(point, block, strict=True)
    )
    x, y, z = point
    if isinstance(part, Strip):
        return (x, y + stray("taper") * (u - 0.5) * (v - 0.5), z)
    if isinstance(part, Plate | Rib):  # they lie, and their height is along y
        return (x + stray("skew") * v + stray("taper") * (u - 0.5) * (v - 0.5), y, z)
    skew = stray("skew") * v + stray("lower_skew") * v * (1.0 - w) + stray("upper_skew") * v * w
    wider = stray("taper") * (v - 0.5) + stray("flare") * (w - 0.5)
    higher = stray("tilt_right") * (u - 0.5) + stray("tilt_back") * (v - 0.5)
    return (
        x + stray("lean_right") * w + skew + (u - 0.5) * wider,
        y + stray("lean_back") * w + stray("depth_taper") * (u - 0.5) * (v - 0.5),
        z + w * higher + stray("twist") * u * v,
    )
