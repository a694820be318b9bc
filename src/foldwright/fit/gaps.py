"""Gaps: what slides into another, what rests on another, what is wrapped round another.

Room: fit. Round parts meet by girth: a drum is never quite round, and a stiff
cap pulls it so; their diameters are girth / pi.
"""

from __future__ import annotations

import math

import numpy as np

from foldwright.fit.clearance import (
    Clearance,
    Scene,
    cannot_meet,
    clearance,
    wanted_of,
)
from foldwright.fit.floppy import pull_along
from foldwright.plan import Drum, Meet, Number, Plate, Strip
from foldwright.plan.dual import number
from foldwright.shape import Section, Span, Vector
from foldwright.shop.girths import neutral_girth

# Two directions count as the same within this (cosine).
_ALIGNED = 1.0 - 1e-6
_CENTRED = 1e-6  # mm


def slides_into(meet: Meet, scene: Scene) -> tuple[Clearance, ...]:
    """Gap on each side, across each way that the mouth is wide."""
    inner = scene.section(meet.ends[0], mouth=False)
    outer = scene.section(meet.ends[-1], mouth=True)
    return tuple(
        clearance(
            meet,
            across,
            (other.value - one.value) / 2.0,
            wanted_of(meet, "gap"),
            _dims(meet, scene, one, other),
            "gap a side",
            pulled=0.0 if inner.is_round else _pulled(meet, scene, other),
        )
        for across, one, other in _pairs(meet, inner, outer, scene)
    )


def rests_on(meet: Meet, scene: Scene) -> tuple[Clearance, ...]:
    """How far the one stands out past the other, on each side."""
    upper = scene.section(meet.ends[0], mouth=False)
    lower = scene.section(meet.ends[-1], mouth=False)
    what = "margin" if meet.range_of("margin") else "overhang"
    sign = 1.0 if what == "margin" else -1.0
    return tuple(
        clearance(
            meet,
            across + side,
            sign * ((other.value - one.value) / 2.0 + offset),
            wanted_of(meet, what),
            _dims(meet, scene, one, other),
            what,
        )
        for across, one, other in _pairs(meet, upper, lower, scene)
        # A part that rests off centre, as drawn, has more margin on one side.
        for side, offset in _offsets(meet, other, scene, sign).items()
    )


def wraps(meet: Meet, scene: Scene) -> tuple[Clearance, ...]:
    """What is left between the ends of a sheet laid round something, or how far they lap.

    Sheet that lies round a core of diameter D closes at the girth of its own
    neutral line, see `neutral_girth`. A drum is closed already, and what it is
    round has to be smaller than its bore.
    """
    sheet, core = meet.ends[0].part, meet.ends[-1].part
    section = scene.section(meet.ends[-1], mouth=False)
    if not section.is_round:
        raise cannot_meet(
            meet,
            f"{core} is not round, so sheet laid round it has no one girth.",
            "Lay it round a drum, a disc or a round tube.",
            part=core,
        )
    across = section.spans[0]
    dim, length = _laid_round(meet, scene)
    if isinstance(scene.parts[sheet], Drum):
        gap = math.pi * (length - across.value)
    else:
        part = scene.parts[sheet]
        outside = across.value + 2.0 * (part.thickness + part.coat_inside)
        gap = neutral_girth(outside, part.thickness) - length
    dims = (f"{sheet}.{dim}", f"{core}.{_girth_of(scene, core, across.dim)}")
    if meet.range_of("lap"):
        return (clearance(meet, "", -gap, wanted_of(meet, "lap"), dims, "lap"),)
    return (clearance(meet, "", gap, wanted_of(meet, "gap"), dims, "gap round the girth"),)


def _laid_round(meet: Meet, scene: Scene) -> tuple[str, Number]:
    """Dim of the sheet that goes round; the bore of a drum."""
    sheet = meet.ends[0].part
    part, dims = scene.parts[sheet], scene.dims(sheet)
    usual = "length" if isinstance(part, Strip) else "width"
    name = meet.dims[0] if meet.dims else "bore" if isinstance(part, Drum) else usual
    if name not in dims or (isinstance(part, Plate) and part.diameter is not None):
        raise cannot_meet(
            meet,
            f'{sheet} has no "{name}" to go round.',
            f"Write along with one of its dims: {', '.join(dims)}.",
            part=sheet,
        )
    return name, dims[name].value


def _girth_of(scene: Scene, part: str, dim: str) -> str:
    return "girth" if "girth" in scene.dims(part) else dim


def _dims(meet: Meet, scene: Scene, one: Span, other: Span) -> tuple[str, ...]:
    return (*_dim(scene, meet.inner, one), *_dim(scene, meet.outer, other))


def _dim(scene: Scene, part: str, span: Span) -> tuple[str, ...]:
    """Dim that a span is measured by; of an open side, whose edges are bare, the nearest to it."""
    if span.dim in scene.dims(part):
        return (f"{part}.{span.dim}",)
    return scene.dims_behind([part], span.value)


def _pulled(meet: Meet, scene: Scene, span: Span) -> float:
    """How far the walls of both parts give across a span, on each side [mm]."""
    way = scene.way(meet.outer, span.direction)
    return sum(pull_along(scene, part, way) for part in (meet.inner, meet.outer))


def _pairs(
    meet: Meet, inner: Section, outer: Section, scene: Scene
) -> list[tuple[str, Span, Span]]:
    """Spans that face one another: (where, inner span, outer span)."""
    if inner.is_round and outer.is_round:
        return [("all round", inner.spans[0], outer.spans[0])]
    rests = meet.kind == "rests-on"
    if inner.is_round != outer.is_round and not (rests and inner.is_round):
        raise cannot_meet(
            meet,
            "a round part and a rectangular one cannot meet like this.",
            "Name faces of the same shape, or a round part resting on a flat face.",
        )
    if inner.is_round:
        return [(f"along the {span.dim}", inner.spans[0], span) for span in outer.spans]
    pairs = []
    for span in inner.spans:
        direction = scene.way(meet.inner, span.direction)
        mate = next(
            (
                other
                for other in outer.spans
                if abs(float(direction @ scene.way(meet.outer, other.direction))) > _ALIGNED
            ),
            None,
        )
        if mate is None:
            raise cannot_meet(
                meet,
                "the two faces stand askew to one another in the build.",
                "Turn one of them with rotate_deg so that their edges run parallel.",
                field="place",
            )
        pairs.append((f"across the {mate.dim.replace('inside_', '')}", span, mate))
    return pairs


def _offsets(meet: Meet, span: Span, scene: Scene, sign: float) -> dict[str, float]:
    """How far off centre the upper part is drawn, by side of the lower one [mm].

    A maker centres it by the same measure, whatever the two came out as.
    """
    inner, outer = (scene.drawn.section(end, mouth=False) for end in meet.ends)

    def spot(part: str, section: Section) -> Vector:
        centre = [number(c) for c in section.centre]
        return (scene.frames[part] @ np.array([*centre, 1.0]))[:3]  # type: ignore[no-any-return]

    frame = scene.frames[meet.outer]
    shift = spot(meet.inner, inner) - spot(meet.outer, outer)
    if inner.is_round and outer.is_round:
        sideways = shift - frame[:3, 2] * float(shift @ frame[:3, 2])
        off = float(np.linalg.norm(sideways))
        if off < _CENTRED:
            return {"": 0.0}
        return {", where it is least": -sign * off, ", where it is most": sign * off}
    along = float(shift @ frame[:3, :3] @ np.array(span.direction))
    if abs(along) < _CENTRED:
        return {"": 0.0}
    low, high = ("left", "right") if abs(span.direction[0]) > 0.5 else ("front", "back")
    return {f", {low}": along, f", {high}": -along}
