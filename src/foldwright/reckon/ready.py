"""The ready reckoner: all reckoners, in the order of a shop's day.

Room: reckon.
"""

from __future__ import annotations

from foldwright.errors import UnknownName
from foldwright.reckon import (
    curling,
    fastening,
    finish,
    fits,
    folding,
    glue,
    materials,
    panels,
    plugs,
    shapes,
    weight,
)
from foldwright.reckon.definition import Reckoner

RECKONERS: tuple[Reckoner, ...] = (
    *folding.RECKONERS,
    *panels.RECKONERS,
    *curling.RECKONERS,
    *plugs.RECKONERS,
    *fastening.RECKONERS,
    *glue.RECKONERS,
    *finish.RECKONERS,
    *materials.RECKONERS,
    *fits.RECKONERS,
    *shapes.RECKONERS,
    *weight.RECKONERS,
)
"""All reckoners, group by group."""


def reckoner_named(name: str) -> Reckoner:
    """One reckoner by its trade name.

    Raises
    ------
    UnknownName
        With the nearest names.
    """
    found = {r.name: r for r in RECKONERS}
    if name not in found:
        raise UnknownName("reckoner", name, found)
    return found[name]
