"""What next: which parts to make now, which to leave to suit, and why.

A wave is what can be cut together before the next measuring. Nothing in it
decides anything else in it; what is left for later waits for something that
only the made parts can tell.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from foldwright.make import Made
from foldwright.plan import Bought


@dataclass(frozen=True)
class Next:
    """What to make now, and what waits.

    Attributes
    ----------
    now : tuple of str
        Parts to cut together.
    why : Mapping of str to str
        For each of them, what its making decides, in a sentence; empty if nothing.
    waits : Mapping of str to tuple of str
        Parts left for later, and what each waits for.
    to_measure : Mapping of str to tuple of str
        Dims of the parts to make now that tell others most, by part.
    """

    now: tuple[str, ...]
    why: Mapping[str, str]
    waits: Mapping[str, tuple[str, ...]]
    to_measure: Mapping[str, tuple[str, ...]]


def what_next(made: Made) -> Next:
    """Which parts to make now, and which to leave to suit.

    Parameters
    ----------
    made : Made

    Notes
    -----
    The order is the one of least rework (`fit.orders`); a part waits as long as another
    that it meets comes before it and is not made.
    """
    waves = made.assembly.waves
    if not waves:
        return Next((), {}, {}, {})
    now = tuple(part for part in waves[0] if not isinstance(made.parts[part], Bought))
    later = [part for wave in waves[1:] for part in wave]
    place = {part: i for i, wave in enumerate(waves) for part in wave}
    neighbours = _neighbours(made)
    waits = {
        part: tuple(
            other for other in neighbours[part] if place.get(other, -1) in range(place[part])
        )
        for part in later
    }
    decides = {part: tuple(other for other in later if part in waits[other]) for part in now}
    why = {
        part: f"{' and '.join(others)} {'is' if len(others) == 1 else 'are'} made to suit it."
        if others
        else ""
        for part, others in decides.items()
    }
    return Next(now, why, waits, {part: _told(made, part) for part in now if decides[part]})


def _neighbours(made: Made) -> dict[str, tuple[str, ...]]:
    """Parts that each part shares a clearance with."""
    found: dict[str, dict[str, None]] = {name: {} for name in made.parts}
    for forecast in made.forecasts:
        for clearance in forecast.clearances:
            parts = dict.fromkeys(key.partition("/")[0] for key in clearance.slopes)
            for part in parts:
                found[part] |= {other: None for other in parts if other != part}
    return {name: tuple(others) for name, others in found.items()}


def _told(made: Made, part: str) -> tuple[str, ...]:
    """Dims of a part that its meets look at, at most three."""
    dims = dict.fromkeys(
        dim
        for forecast in made.forecasts
        for clearance in forecast.clearances
        for of, _, dim in (name.partition(".") for name in clearance.dims)
        if of == part
    )
    return tuple(dims)[:3]
