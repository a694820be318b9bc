"""Lines and arcs of a DXF drawing.

Room: plan. Reads what an outline can be drawn with: lines, arcs, circles,
polylines with bulges; ellipses and splines as chords within 0.02 mm; blocks
that are inserted, as what they hold. Text, dimensions, hatches and the like
are passed over. Units come from the header ($INSUNITS); a drawing without
units is in mm.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from itertools import islice
from pathlib import Path
from typing import Any

from foldwright.plan.arcs import Point
from foldwright.plan.chains import MOST_SEGMENTS, Segment, Trouble

CHORD = 0.02
"""mm; how far a chord may lie from a curve that is no arc."""

_DEEPEST = 8  # blocks within blocks
_MOST_ENTITIES = 100_000  # blocks within blocks can multiply beyond all bounds
_QUARTER = math.tan(math.pi / 8.0)  # bulge of a quarter circle
_UPRIGHT = 1e-9  # how far the normal of an entity may lie from the z axis


class _NotFlat(Exception):
    """An entity that does not lie in the plane of the drawing."""


def dxf_segments(path: Path, layer: str) -> list[Segment] | Trouble:
    """Lines and arcs of a drawing [mm]; of one `layer`, or of all if that is empty."""
    from ezdxf.enums import InsertUnits
    from ezdxf.filemanagement import readfile
    from ezdxf.units import conversion_factor

    try:
        drawing = readfile(path)
        # the library takes a drawing that says nothing to be in metres
        says = b"$INSUNITS" in path.read_bytes()
        unit = InsertUnits(drawing.units) if says else InsertUnits.Unitless
        factor = conversion_factor(unit, InsertUnits.Millimeters) if unit else 1.0
        entities = list(islice(_unpacked(drawing.modelspace(), 0), _MOST_ENTITIES))
        layers = sorted({e.dxf.layer for e in entities if e.dxftype() in _READERS})
        found: list[Segment] = []
        for entity in entities:
            if entity.dxftype() not in _READERS:
                continue
            if not layer or entity.dxf.layer.lower() == layer.lower():
                found += _READERS[entity.dxftype()](entity, factor)
            if len(found) > MOST_SEGMENTS:
                break
    except _NotFlat:
        return Trouble(
            "Some of its lines do not lie flat in the x-y plane.",
            "Draw the outline flat, seen from above.",
        )
    except Exception as error:  # a damaged file trips the library up in any way
        return Trouble(
            f"It cannot be read as DXF: {_in_a_line(error)}.",
            "Open it where it was drawn and save it again as DXF.",
        )
    if not found:
        where = f'on layer "{layer}"' if layer else "in it"
        there = f"It has lines on {', '.join(layers[:8])}." if layers else "It has none at all."
        return Trouble(f"There is no line or arc {where}. {there}", "Name one of its layers.")
    return found


def _unpacked(entities: Iterable[Any], depth: int) -> Iterator[Any]:
    for entity in entities:
        if entity.dxftype() == "INSERT" and depth < _DEEPEST:
            yield from _unpacked(entity.virtual_entities(), depth + 1)
        else:
            yield entity


def _side(entity: Any) -> float:
    """1 if the entity is seen from above, -1 if from below, where left and right change."""
    x, y, z = entity.dxf.extrusion
    if math.hypot(x, y) > _UPRIGHT * abs(z):
        raise _NotFlat
    return math.copysign(1.0, z)


def _flat(point: Any, factor: float) -> Point:
    return (float(point[0]) * factor, float(point[1]) * factor)


def _line(entity: Any, factor: float) -> list[Segment]:
    return [Segment(_flat(entity.dxf.start, factor), _flat(entity.dxf.end, factor))]


def _arc(entity: Any, factor: float) -> list[Segment]:
    sweep = math.radians((entity.dxf.end_angle - entity.dxf.start_angle) % 360.0)
    if sweep == 0.0:
        return _circle(entity, factor)
    bulge = _side(entity) * math.tan(sweep / 8.0)  # of each half
    a, m, b = (
        _on_circle(entity, math.radians(entity.dxf.start_angle) + share * sweep, factor)
        for share in (0.0, 0.5, 1.0)
    )
    if sweep > math.pi:
        return [Segment(a, m, bulge), Segment(m, b, bulge)]
    return [Segment(a, b, _side(entity) * math.tan(sweep / 4.0))]


def _circle(entity: Any, factor: float) -> list[Segment]:
    corners = [_on_circle(entity, i * math.pi / 2.0, factor) for i in range(4)]
    bulge = _side(entity) * _QUARTER
    return [Segment(corners[i], corners[(i + 1) % 4], bulge) for i in range(4)]


def _on_circle(entity: Any, angle: float, factor: float) -> Point:
    x, y, z = entity.dxf.center
    r = entity.dxf.radius
    point = (x + r * math.cos(angle), y + r * math.sin(angle), z)
    return _flat(entity.ocs().to_wcs(point), factor)


def _light_polyline(entity: Any, factor: float) -> list[Segment]:
    points = [_flat(p, factor) for p in entity.vertices_in_wcs()]
    bulges = [_side(entity) * float(b) for (b,) in entity.get_points("b")]
    return _joined(points, bulges, entity.closed)


def _polyline(entity: Any, factor: float) -> list[Segment]:
    if not entity.is_2d_polyline and not entity.is_3d_polyline:
        return []  # a mesh
    points = [_flat(p, factor) for p in entity.points_in_wcs()]
    side = _side(entity) if entity.is_2d_polyline else 1.0
    bulges = [side * float(v.dxf.bulge) for v in entity.vertices]
    return _joined(points, bulges, entity.is_closed)


def _curve(entity: Any, factor: float) -> list[Segment]:
    points = [_flat(p, factor) for p in entity.flattening(CHORD / factor)]
    return _joined(points, [0.0] * len(points), False)


def _joined(points: list[Point], bulges: list[float], closed: bool) -> list[Segment]:
    if closed:
        points = [*points, points[0]]
    return [
        Segment(a, b, bulge)
        for a, b, bulge in zip(points[:-1], points[1:], bulges[: len(points) - 1], strict=True)
        if a != b
    ]


_READERS = {
    "LINE": _line,
    "ARC": _arc,
    "CIRCLE": _circle,
    "LWPOLYLINE": _light_polyline,
    "POLYLINE": _polyline,
    "ELLIPSE": _curve,
    "SPLINE": _curve,
}


def _in_a_line(error: Exception) -> str:
    words = " ".join(str(error).split())[:120].rstrip(".") or type(error).__name__
    return "".join(sign if sign.isprintable() else "?" for sign in words)
