"""Clearances: what each meet asks of the dims of its two parts.

Room: fit. A meet becomes one or more clearances g with a wanted range; g is
worked out from the same dims that draw the patterns, on dual numbers, so its
derivatives are exact. Both finishes are on.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from foldwright.errors import CannotMake
from foldwright.plan import AnyPart, Dual, Meet, Number
from foldwright.plan.dual import number, slopes
from foldwright.shape import Section, Span, Vector, section_of

# Two directions count as the same within this (cosine).
_ALIGNED = 1.0 - 1e-6


@dataclass(frozen=True)
class Clearance:
    """One number that a meet wants in a range.

    Attributes
    ----------
    meet : Meet
    across : str
        Where it is taken, in words ("across the depth").
    value : float
        [mm], expected.
    slopes : Mapping of str to float
        Derivative with respect to each ``part/parameter`` [-].
    low, high : float
        Wanted [mm].
    dims : tuple of str
        The two dims it comes from, ``part.dim``.
    """

    meet: Meet
    across: str
    value: float
    slopes: Mapping[str, float]
    low: float
    high: float
    dims: tuple[str, str]


def key_of(part: str, parameter: str) -> str:
    """Name of a parameter among those of all parts."""
    return f"{part}/{parameter}"


def clearances_of(
    meet: Meet,
    parts: Mapping[str, AnyPart],
    values: Mapping[str, Mapping[str, float]],
    frames: Mapping[str, Vector],
) -> tuple[Clearance, ...]:
    """Clearances of one meet.

    Parameters
    ----------
    meet : Meet
    parts : Mapping
        By name, as the plan draws them.
    values : Mapping
        Parameters of each part [mm]: as intended, or as it came out.
    frames : Mapping
        Motion (4, 4) of each part in the build; tells which span lies along which.

    Raises
    ------
    CannotMake
        The two faces cannot come together so; the maker has to name others.
    """
    slides = meet.kind == "slides-into"
    inner = section_of(parts[meet.inner], meet.inner_face, _duals(meet.inner, values), mouth=False)
    outer = section_of(parts[meet.outer], meet.outer_face, _duals(meet.outer, values), mouth=slides)
    pairs = _pairs(meet, inner, outer, frames)
    found = []
    for across, one, other in pairs:
        gap = (other.value - one.value) / 2.0
        # A part that rests off centre, as drawn, has more margin on one side.
        offsets = {"": 0.0} if slides else _offsets(meet, parts, other, frames)
        for side, offset in offsets.items():
            found.append(
                Clearance(
                    meet=meet,
                    across=across + side,
                    value=number(gap) + offset,
                    slopes=slopes(gap),
                    low=meet.gap[0],
                    high=meet.gap[1],
                    dims=(f"{meet.inner}.{one.dim}", f"{meet.outer}.{other.dim}"),
                )
            )
    return tuple(found)


def _duals(part: str, values: Mapping[str, Mapping[str, float]]) -> dict[str, Number]:
    return {name: Dual.seed(key_of(part, name), value) for name, value in values[part].items()}


def _pairs(
    meet: Meet, inner: Section, outer: Section, frames: Mapping[str, Vector]
) -> list[tuple[str, Span, Span]]:
    """Spans that face one another: (where, inner span, outer span)."""
    if inner.is_round and outer.is_round:
        return [("all round", inner.spans[0], outer.spans[0])]
    if outer.is_round or (inner.is_round and meet.kind == "slides-into"):
        raise CannotMake(
            f"{meet.name}: a round part and a rectangular one cannot meet like this.",
            part=meet.inner,
            field="",
            remedy="Name faces of the same shape, or a round part resting on a flat face.",
        )
    if inner.is_round:
        return [(f"along the {span.dim}", inner.spans[0], span) for span in outer.spans]
    pairs = []
    for span in inner.spans:
        direction = frames[meet.inner][:3, :3] @ np.array(span.direction)
        mate = next(
            (
                other
                for other in outer.spans
                if abs(float(direction @ frames[meet.outer][:3, :3] @ np.array(other.direction)))
                > _ALIGNED
            ),
            None,
        )
        if mate is None:
            raise CannotMake(
                f"{meet.name}: the two faces stand askew to one another in the build.",
                part=meet.inner,
                field="place",
                remedy="Turn one of them with rotate_deg so that their edges run parallel.",
            )
        pairs.append((f"across the {mate.dim.replace('inside_', '')}", span, mate))
    return pairs


def _offsets(
    meet: Meet, parts: Mapping[str, AnyPart], span: Span, frames: Mapping[str, Vector]
) -> dict[str, float]:
    """How far off centre the upper part is drawn, by side of the lower one [mm].

    A maker centres it by the same measure, whatever the two came out as.
    """
    inner = section_of(parts[meet.inner], meet.inner_face, mouth=False)
    outer = section_of(parts[meet.outer], meet.outer_face, mouth=False)

    def spot(part: str, section: Section) -> Vector:
        return (frames[part] @ np.array([*section.centre, 1.0]))[:3]  # type: ignore[no-any-return]

    shift = spot(meet.inner, inner) - spot(meet.outer, outer)
    if inner.is_round and outer.is_round:
        sideways = shift - frames[meet.outer][:3, 2] * float(shift @ frames[meet.outer][:3, 2])
        return {"": -float(np.linalg.norm(sideways))}
    along = float(shift @ frames[meet.outer][:3, :3] @ np.array(span.direction))
    if abs(along) < 1e-6:
        return {"": 0.0}
    low, high = ("left", "right") if abs(span.direction[0]) > 0.5 else ("front", "back")
    return {f", {low}": along, f", {high}": -along}
