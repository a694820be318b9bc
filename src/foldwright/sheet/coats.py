"""Coats: what of a part is painted, how much paint that takes and what it adds.

Room: sheet. Boards count by the net area of their blanks, on the outside or on
both faces as the finish says; edges, and the glue lands that are masked, are
neglected, which about make up for one another. Backing strips and patches are
no area of their own: they cover as much as they add. Of a paint nothing is
known but the thickness of its layers, so the rest is as usual (`shop.finishes`);
the spread says how far that goes. Start at `paints_of`.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from foldwright.flat import Pattern
from foldwright.plan import AnyPart, Bought, Plug, Stock, Tube
from foldwright.plan.dual import number
from foldwright.sheet.outlines import moments
from foldwright.shop.finishes import (
    LOSSES,
    USUAL_DRY_DENSITY,
    USUAL_SOLIDS,
    USUAL_TIN,
    USUAL_WAY,
    coat_mass,
    paint_for,
    paint_spread,
    tins,
)

_M2 = 1e-6  # m2 in a mm2
_COVERED = ("backing strip", "patch")  # pieces that lie on others


@dataclass(frozen=True)
class Paint:
    """All that is needed of one paint.

    Attributes
    ----------
    what : str
        As the plan calls the layer.
    area : float
        Coated with it [m2].
    litres : float
        As it is in the tin.
    spread : float
        One standard deviation of that [l].
    tins : int
        Of `USUAL_TIN` litres, enough for a standard deviation more.
    """

    what: str
    area: float
    litres: float
    spread: float
    tins: int


def coated_area_of(part: AnyPart, pattern: Pattern | None, stocks: Mapping[str, Stock]) -> float:
    """Area of a part that its finish goes on [m2]; 0 without a finish.

    Parameters
    ----------
    part : AnyPart
    pattern : Pattern or None
    stocks : Mapping of str to Stock
        The rack; gives the section of tubes and bars.
    """
    if isinstance(part, Bought) or part.finish is None or pattern is None:
        return 0.0
    faces = 2.0 if part.finish.inside else 1.0
    boards = math.fsum(
        moments(piece.outline).area + sum(moments(c.path).area for c in piece.cutouts)
        for piece in pattern.pieces
        if not piece.role.startswith(_COVERED)
    )
    lengths = math.fsum(
        _around(part, stocks[cut.stock], part.finish.inside) * cut.length
        for cut in pattern.lengths
    )  # fmt: skip
    return (faces * boards + lengths) * _M2


def coats_mass(part: AnyPart, area: float) -> float:
    """Mass that the finish of a part adds [kg], from the coated area [m2]."""
    if isinstance(part, Bought) or part.finish is None or area <= 0.0:
        return 0.0
    return math.fsum(
        coat_mass(area, layer.thickness, USUAL_DRY_DENSITY)
        for layer in part.finish.layers
        if layer.thickness > 0.0
    )


def paints_of(
    parts: Sequence[AnyPart], patterns: Mapping[str, Pattern], stocks: Mapping[str, Stock]
) -> tuple[Paint, ...]:
    """Paints of a build, those of one name together, in the order of the plan.

    Parameters
    ----------
    parts : sequence of AnyPart
    patterns : Mapping of str to Pattern
        By name of part.
    stocks : Mapping of str to Stock
    """
    areas: dict[str, float] = {}
    litres: dict[str, float] = {}
    loss = LOSSES[USUAL_WAY]
    for part in parts:
        area = coated_area_of(part, patterns.get(part.name), stocks)
        if isinstance(part, Bought) or part.finish is None or area <= 0.0:
            continue
        for layer in part.finish.layers:
            if layer.thickness > 0.0:
                wet = paint_for(area, layer.thickness, USUAL_SOLIDS, loss)
                areas[layer.what] = areas.get(layer.what, 0.0) + area
                litres[layer.what] = litres.get(layer.what, 0.0) + wet
    share = paint_spread(loss)
    return tuple(
        Paint(what, areas[what], wet, share * wet, tins((1.0 + share) * wet, USUAL_TIN))
        for what, wet in litres.items()
    )


def _around(part: AnyPart, stock: Stock, inside: bool) -> float:
    """Girth of a length of tube or bar that is coated [mm]."""
    across = stock.across
    if isinstance(part, Plug):
        across = number(part.diameter.value(part.values()))
    bore = across - 2.0 * stock.thickness if isinstance(part, Tube) and inside else 0.0
    return (4.0 if stock.form.startswith("square") else math.pi) * (across + max(0.0, bore))
