"""Clearances: what each meet asks of the dims of its parts.

Room: fit. A meet becomes one or more clearances g with a wanted range; g is
worked out from the same dims that draw the patterns, on dual numbers, so its
derivatives are exact. All finishes are on. Each family of meets has a module
of its own; see `clearance` for what they share.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType

from foldwright.fit.alike import pair, relation
from foldwright.fit.bolt_holes import bolts_to
from foldwright.fit.clearance import Clearance, Scene, key_of
from foldwright.fit.gaps import rests_on, slides_into, wraps
from foldwright.fit.presses import presses_into
from foldwright.fit.rows import drops_between
from foldwright.fit.seen import level_with, plumb, reveal
from foldwright.fit.standing_in import STANDS_IN, stands_in
from foldwright.plan import AnyPart, Meet
from foldwright.shape import Vector
from foldwright.shop import Board

_WORKED_OUT: Mapping[str, Callable[[Meet, Scene], tuple[Clearance, ...]]] = {
    "slides-into": slides_into,
    "rests-on": rests_on,
    "presses-into": presses_into,
    "drops-between": drops_between,
    "bolts-to": bolts_to,
    "wraps": wraps,
    "level-with": level_with,
    "reveal": reveal,
    "plumb": plumb,
    "pair": pair,
    "relation": relation,
    STANDS_IN: stands_in,
}

_NO_BOARDS: Mapping[str, Board] = MappingProxyType({})


def clearances_of(
    meet: Meet,
    parts: Mapping[str, AnyPart],
    values: Mapping[str, Mapping[str, float]],
    frames: Mapping[str, Vector],
    boards: Mapping[str, Board] = _NO_BOARDS,
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
    boards : Mapping
        Board of each stock. Without it no floppy panel is pulled true, and a
        ``presses-into`` has to state its interference.

    Returns
    -------
    tuple of Clearance
        None for holes that are drilled in place, since they cannot miss.

    Raises
    ------
    CannotMake
        The parts cannot come together so; the maker has to name others.
    """
    return clearances_in(Scene(parts, values, frames, boards), meet)


def clearances_in(scene: Scene, meet: Meet) -> tuple[Clearance, ...]:
    """Clearances of one meet of a scene; several meets of one scene share what they ask of it."""
    return _WORKED_OUT[meet.kind](meet, scene)


__all__ = ["Clearance", "Scene", "clearances_in", "clearances_of", "key_of"]
