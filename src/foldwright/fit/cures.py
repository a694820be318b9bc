"""Cures: what can still be done to parts that are made, and at meets that miss.

Room: fit. What is cut can be cut again, one way: an edge or a length gets
shorter, a hole wider. What is folded or curled shut cannot. A gap that is too
wide is shimmed, or filled where it is seen. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from foldwright.fit.cannot_fit import Cure
from foldwright.fit.clearance import key_of
from foldwright.fit.minutes import FILL, MOST_FILLED, MOST_SHIMMED, MOST_TRIMMED, SHIM, TRIM
from foldwright.fit.names import dim_in_words, part_in_words
from foldwright.fit.network import Network
from foldwright.fit.stages import freedoms
from foldwright.ledger import has_reached
from foldwright.plan import AnyPart, Meet, Parameter

# Meets whose gap takes a shim without a thought; those that take one when all else is
# made, since it has to go all round; those that are seen and take filler.
_SHIMMED, _SHIMMED_AT_WORST = ("drops-between", "relation"), ("slides-into",)
_FILLED = ("reveal", "wraps")
_PACKED = ("plumb", "level-with")  # up, on whichever side is low
_WAYS = {"smaller": -1.0, "larger": 1.0}


def cures_of(
    parts: Mapping[str, AnyPart],
    stages: Mapping[str, str],
    meets: Sequence[Meet],
    network: Network,
    at_worst: Mapping[str, float] | None = None,
) -> tuple[Cure, ...]:
    """Everything that can be done about what is made.

    Parameters
    ----------
    parts : Mapping
        In the order of the network.
    stages : Mapping of str to str
        How far each is; one that is not even cut is taken to be closed, as it will be.
    meets : sequence of Meet
    network : Network
    at_worst : Mapping of str to float, optional
        Also what one does only when everything else is made: shims all round, and parts
        made again, which take so many minutes.
    """
    place = {key: i for i, key in enumerate(network.keys)}
    found = [
        Cure("trim", index, TRIM, MOST_TRIMMED, dim=place[key_of(name, dim)], way=_WAYS[freedom])
        for index, (name, part) in enumerate(parts.items())
        for dim, freedom in _trims(part, stages.get(name, "planned")).items()
    ]
    kinds = {meet.name: meet for meet in meets}
    index = {name: i for i, name in enumerate(parts)}
    for row, which in enumerate(network.meet):
        meet = kinds[network.meets[which]]
        if meet.kind in _SHIMMED or (at_worst is not None and meet.kind in _SHIMMED_AT_WORST):
            found.append(Cure("shim", index[meet.inner], SHIM, MOST_SHIMMED, clearance=row))
        elif meet.kind in _PACKED:
            found += [
                Cure("shim", index[meet.inner], SHIM, MOST_SHIMMED, clearance=row, way=way)
                for way in _WAYS.values()
            ]
        elif meet.kind in _FILLED:
            found.append(Cure("fill", index[meet.inner], FILL, MOST_FILLED, clearance=row))
    if at_worst is not None:
        found += [Cure("remake", i, at_worst[name]) for i, name in enumerate(parts)]
    return tuple(found)


def _trims(part: AnyPart, stage: str) -> dict[str, str]:
    """What trimming does to the parameters of a part, once it is made."""
    at = stage if has_reached(stage, "cut") else "closed"
    return {name: how for name, how in freedoms(part, at).items() if how in _WAYS}


def cure_in_words(
    cure: Cure, shown: str, parts: Sequence[str], network: Network, parameter: Parameter | None
) -> str:
    """Say what to do: "trim 1.4 mm off the height of the lid".

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
    part = part_in_words(parts[cure.part])
    if cure.kind == "trim":
        what = f"the {dim_in_words(parameter.name)}" if parameter is not None else "an edge"
        if cure.way > 0.0:
            return f"open {what} of the {part} by {shown}"
        return f"trim {shown} off {what} of the {part}"
    if cure.kind == "remake":
        return f"make the {part} again"
    meet = part_in_words(network.meets[network.meet[cure.clearance]])
    return f"shim {shown} at {meet}" if cure.kind == "shim" else f"fill {shown} at {meet}"
