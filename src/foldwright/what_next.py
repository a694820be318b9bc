"""What next: which parts to make now, which to leave to suit, and why.

A wave is what can be cut together before the next measuring. Nothing in it
decides anything else in it; what is left for later waits for something that
only the made parts can tell. A part that is cut already is not made again: it
is finished and measured, and what meets it waits for that.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from foldwright.build_book import telling_of
from foldwright.draw.info import listed
from foldwright.make import Made
from foldwright.plan import Rib


@dataclass(frozen=True)
class Next:
    """What to make now, and what waits.

    Attributes
    ----------
    now : tuple of str
        Parts to cut together.
    why : Mapping of str to str
        For each of them and of those begun, what it decides, in a sentence; empty if nothing.
    waits : Mapping of str to tuple of str
        Parts left for later, and what each waits for.
    to_measure : Mapping of str to tuple of str
        Dims that tell most of the parts to make now and of those begun, by part; of those
        alone that others wait for.
    begun : tuple of str
        Parts that are cut, or further, and not measured.
    """

    now: tuple[str, ...]
    why: Mapping[str, str]
    waits: Mapping[str, tuple[str, ...]]
    to_measure: Mapping[str, tuple[str, ...]]
    begun: tuple[str, ...] = ()


def what_next(made: Made) -> Next:
    """Which parts to make now, and which to leave to suit.

    Parameters
    ----------
    made : Made

    Notes
    -----
    The order is the one of least rework (`fit.orders`); a part waits as long as another
    that it meets comes before it and is not measured.
    """
    waves = made.assembly.waves
    if not waves:
        return Next((), {}, {}, {})
    begun = tuple(part for part in waves[0] if part in made.assembly.begun)
    now = tuple(part for part in waves[0] if part not in made.assembly.begun)
    later = [part for wave in waves[1:] for part in wave]
    place = {part: i for i, wave in enumerate(waves) for part in wave}
    neighbours = _neighbours(made)
    waits = {
        part: tuple(
            other for other in neighbours[part] if place.get(other, -1) in range(place[part])
        )
        for part in later
    }
    decides = {
        part: tuple(other for other in later if part in waits[other]) for part in (*begun, *now)
    }
    why = {
        part: f"{listed(others)} {'is' if len(others) == 1 else 'are'} made to suit it."
        if others
        else ""
        for part, others in decides.items()
    }
    to_measure = {part: _told(made, part) for part, others in decides.items() if others}
    return Next(now, why, waits, to_measure, begun)


def _neighbours(made: Made) -> dict[str, tuple[str, ...]]:
    """Parts that each part shares a clearance with."""
    found: dict[str, dict[str, None]] = {name: {} for name in made.parts}
    for forecast in made.forecasts:
        for clearance in forecast.clearances:
            parts = dict.fromkeys(key.partition("/")[0] for key in clearance.slopes)
            for part in parts:
                found[part] |= {other: None for other in parts if other != part}
    for name, rib in made.parts.items():
        if isinstance(rib, Rib):
            found[name][rib.of.name] = found[rib.of.name][name] = None
    return {name: tuple(others) for name, others in found.items()}


def _told(made: Made, part: str) -> tuple[str, ...]:
    """Dims of a part whose readings tell most of its meets, one to three."""
    asked = telling_of(made, part, ())
    return tuple(dict.fromkeys(one.dim.name for one in asked))  # one may be worth reading twice
