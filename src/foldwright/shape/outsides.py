"""Outsides: the solid of any folded part, bare or with its finish on.

Room: shape. Each kind makes its own; here they come to one, and the other hand
of a part is turned over. Both are kept by content until a part changes.
"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from foldwright.plan import Box, Faceted, FoldedPart, Profile, Taper
from foldwright.shape import faceted, prisms, tapers
from foldwright.shape.solid import Solid


def solid(part: FoldedPart) -> Solid:
    """Return the bare solid of a part as drawn, in its own frame.

    Raises
    ------
    CannotMake
        Says which faces cannot be, and what to change.
    """
    return _solid(_shape_alone(part))


def finished_solid(part: FoldedPart) -> Solid:
    """Return the solid of a part with its finish on, as drawn, in its own frame."""
    return _finished_solid(_shape_alone(part))


def _shape_alone(part: FoldedPart) -> FoldedPart:
    """Leave out of a part what does not change its outside, so that it is kept through that."""
    return replace(part, features=(), place=None, was="")


@lru_cache(maxsize=256)
def _solid(part: FoldedPart) -> Solid:
    match part:
        case Box() | Profile():
            found = prisms.solid(part)
        case Taper():
            found = tapers.solid(part)
        case Faceted():
            found = faceted.solid(part)
    return found.mirrored() if part.mirrored else found


@lru_cache(maxsize=256)
def _finished_solid(part: FoldedPart) -> Solid:
    match part:
        case Box() | Profile():
            found = prisms.finished_solid(part)
        case Taper():
            found = tapers.finished_solid(part)
        case Faceted():
            found = faceted.finished_solid(part)
    return found.mirrored() if part.mirrored else found
