"""Plates, strips, ribs and plugs from board: blanks that stay flat.

Room: flat. Their outline is the bare one, cut square; arcs stay arcs. The flat
frame is the part's own, seen from its top.
"""

from __future__ import annotations

import math

from foldwright.errors import CannotMake
from foldwright.flat.pattern import Cutout, Panel, Path, Piece
from foldwright.plan import Plate, Plug, Rib, Strip
from foldwright.plan.dual import number
from foldwright.shape import dims_of, disc, plate_path, rib_disc, rib_outline, strip_span
from foldwright.shape.tracing import circle, path_bounds, path_chords, polygon, reversed_path

_CENTRE = (0.0, 0.0)
_GRAIN = {"up": math.pi / 2.0, "across": 0.0}


def plain_piece(
    part: Plate | Strip | Rib | Plug,
    *,
    revision: int = 0,
    grained: frozenset[str] = frozenset(),
) -> Piece:
    """Blank of a part that is neither folded nor curled.

    Parameters
    ----------
    part : Plate, Strip without a flange, Rib, or Plug sawn from board
    revision : int
    grained : frozenset of str
        Names of the stocks whose grain has to run as the part says.

    Raises
    ------
    CannotMake
        The finish leaves nothing of it.
    """
    outline, cutouts = _outline(part)
    (x0, y0), (x1, y1) = path_bounds(outline)
    if x1 <= x0 or y1 <= y0:
        raise _nothing_left(part, "", min(x1 - x0, y1 - y0))
    return Piece(
        id=f"{part.name}-1",
        part=part.name,
        stock=part.stock,
        thickness=part.thickness,
        revision=revision,
        outline=outline,
        panels=(Panel("top", "top", path_chords(outline), _lifted(part.thickness)),),
        cutouts=cutouts,
        grain=_GRAIN[part.grain] if part.stock in grained else None,
    )


def rib_notes(rib: Rib) -> tuple[str, ...]:
    """What the maker should know before cutting a rib."""
    notes = []
    if rib.of.kind in ("drum", "hood"):
        notes.append(f"File a notch where the strip behind the seam of {rib.of.name} passes.")
    if rib.of.kind in ("taper", "faceted", "hood"):
        notes.append(
            f"Cut square, so it is as small as the narrower of its two faces; its middle stands "
            f"at {number(rib.station.value(rib.values())):.1f} mm."
        )
    return tuple(notes)


def _outline(part: Plate | Strip | Rib | Plug) -> tuple[Path, tuple[Cutout, ...]]:
    values = part.values()
    match part:
        case Plate() if part.diameter is not None:
            across, bore = (number(x) for x in disc(part, values, finished=False))
            return _ring(part, "diameter", across, bore, "bore")
        case Plate():
            return plate_path(part, finished=False), ()
        case Strip():
            x0, x1, y0, y1 = strip_span(part, finished=False)
            if x1 <= x0 or y1 <= y0:
                raise _nothing_left(part, "width", min(x1 - x0, y1 - y0))
            return polygon([(x0, y0), (x1, y0), (x1, y1), (x0, y1)]), ()
        case Rib():
            outline = rib_outline(part, values, finished=False)
            if outline is not None:
                return outline.path(), ()
            across_rib = rib_disc(part, values, finished=False)
            assert across_rib is not None, "a rib without an outline is round"
            return _ring(part, "gap", number(across_rib), 0.0, "")
        case Plug():
            dims = dims_of(part, finished=False)
            hole = number(dims["bolt_d"].value) if "bolt_d" in dims else 0.0
            return _ring(part, "diameter", number(dims["diameter"].value), hole, "bolt")


def _ring(
    part: Plate | Rib | Plug, field: str, across: float, hole: float, why: str
) -> tuple[Path, tuple[Cutout, ...]]:
    """Disc, with a hole in its middle if `hole` is over 0."""
    if across <= max(hole, 0.0):
        raise _nothing_left(part, field, across)
    cutouts = (Cutout(circle(_CENTRE, hole / 2.0), why),) if hole > 0.0 else ()
    return reversed_path(circle(_CENTRE, across / 2.0)), cutouts


def _nothing_left(part: Plate | Strip | Rib | Plug, field: str, across: float) -> CannotMake:
    return CannotMake(
        f"{part.name} is {across:.1f} mm across before its finish.",
        part=part.name,
        field=field,
        remedy="Make it larger.",
    )


def _lifted(z: float) -> tuple[tuple[float, float, float, float], ...]:
    return ((1.0, 0.0, 0.0, 0.0), (0.0, 1.0, 0.0, 0.0), (0.0, 0.0, 1.0, z))
