"""Cures: what can still be done to parts that are made, and at meets that miss.

Room: fit. What is cut can be cut again, one way: an edge or a length gets
shorter, a hole wider. What is folded or curled shut cannot. A gap that is too
wide is shimmed, or filled where it is seen. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from foldwright.fit.cannot_fit import Cure
from foldwright.fit.minutes import FILL, MOST_FILLED, MOST_SHIMMED, MOST_TRIMMED, SHIM, TRIM
from foldwright.fit.network import Network
from foldwright.plan import (
    AnyPart,
    Box,
    Drum,
    Hood,
    Meet,
    Parameter,
    Plate,
    Plug,
    Profile,
    Rib,
    Strip,
    Tube,
)

# Meets whose gap takes a shim without a thought; those that take one when all else is
# made, since it has to go all round; those that are seen and take filler.
_SHIMMED, _SHIMMED_AT_WORST = ("drops-between", "relation"), ("slides-into",)
_FILLED = ("reveal", "level-with", "wraps")


def trimmed_dims(part: AnyPart) -> tuple[str, ...]:
    """Parameters of a made part that trimming makes smaller.

    A parameter counts only if it is the length of that edge and of nothing else: a
    size that also draws folds is fixed once they are made.
    """
    match part:
        case Tube() | Plug():
            fields = (part.length, *((part.diameter,) if isinstance(part, Plug) else ()))
        case Drum():
            fields = (part.length,)
        case Hood():
            fields = (part.height,)
        case Strip():
            fields = (part.length, part.width)
        case Plate() if part.diameter is not None:
            fields = (part.diameter,)
        case Plate() | Rib():
            return tuple(p.name for p in part.parameters)
        case Box():
            fields = (part.height,) if {"bottom", "top"} & set(part.leave_open) else ()
        case Profile():
            fields = (part.depth,) if {"front", "back"} & set(part.leave_open) else ()
        case _:
            return ()
    names = [p.name for p in part.parameters]
    return tuple(
        name
        for field in fields
        for name in field.formula.names
        if name in names and len(field.formula.names) == 1
    )


def cures_of(
    parts: Mapping[str, AnyPart],
    meets: Sequence[Meet],
    network: Network,
    minutes: Mapping[str, float],
    *,
    at_worst: bool = False,
) -> tuple[Cure, ...]:
    """Everything that can be done about what is made.

    Parameters
    ----------
    parts : Mapping
        In the order of the network.
    meets : sequence of Meet
    network : Network
    minutes : Mapping of str to float
        To make each part.
    at_worst : bool
        Also what one does only when everything else is made: shims all round, and
        parts made again.
    """
    place = {key: i for i, key in enumerate(network.keys)}
    found = [
        Cure("trim", index, TRIM, MOST_TRIMMED, dim=place[f"{name}/{dim}"])
        for index, (name, part) in enumerate(parts.items())
        for dim in trimmed_dims(part)
    ]
    kinds = {meet.name: meet for meet in meets}
    index = {name: i for i, name in enumerate(parts)}
    for row, which in enumerate(network.meet):
        meet = kinds[network.meets[which]]
        if meet.kind in _SHIMMED or (at_worst and meet.kind in _SHIMMED_AT_WORST):
            found.append(Cure("shim", index[meet.inner], SHIM, MOST_SHIMMED, clearance=row))
        elif meet.kind in _FILLED:
            found.append(Cure("fill", index[meet.inner], FILL, MOST_FILLED, clearance=row))
    if at_worst:
        found += [Cure("remake", i, minutes[name]) for i, name in enumerate(parts)]
    return tuple(found)


def cure_in_words(
    cure: Cure, shown: str, parts: Sequence[str], network: Network, parameter: Parameter | None
) -> str:
    """Say what to do: "trim 1.4 mm off the height of lid".

    Parameters
    ----------
    cure : Cure
    shown : str
        The amount as the build shows lengths; of no account for a remake.
    parts : sequence of str
        In the order of the network.
    network : Network
    parameter : Parameter or None
        What is trimmed.
    """
    part = parts[cure.part]
    if cure.kind == "trim":
        what = parameter.name if parameter is not None else "an edge"
        if cure.way > 0.0:
            return f"open {what} of {part} by {shown}"
        return f"trim {shown} off {what} of {part}"
    if cure.kind == "remake":
        return f"make {part} again"
    meet = network.meets[network.meet[cure.clearance]]
    return f"shim {shown} at {meet}" if cure.kind == "shim" else f"fill {shown} at {meet}"
