"""How a drawing stands: what it is made true by, and what its picks come to.

Room: scans. Four known places or more straighten it; else known lengths scale
it; else the size of its page does, once somebody has said at what scale it is
drawn. Known lengths on a straightened drawing are checks of it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from foldwright.errors import OutOfDomain
from foldwright.scans.drawing import Drawing, Pick
from foldwright.scans.frame import Frame, Mapped
from foldwright.scans.scaling import USUAL_STRETCH, KnownLength, Scaled, by_page, scaled
from foldwright.scans.straightening import Straightened, straightened
from foldwright.scans.taking import (
    Taken,
    TakenHole,
    TakenOutline,
    angle_of,
    hole_from,
    hole_of,
    length_of,
    outline_of,
)

PLACES_NEEDED = 4
"""Known places that straighten a photo."""


@dataclass(frozen=True, eq=False)
class Standing:
    """What makes a drawing true.

    Attributes
    ----------
    frame : Frame or None
        None as long as nothing is known.
    by : str
        ``places``, ``lengths``, ``page``, or empty.
    places : Straightened or None
    lengths : Scaled or None
    trouble : str
        Why what is known does not make it true; empty if nothing is wrong.
    """

    frame: Frame | None
    by: str = ""
    places: Straightened | None = None
    lengths: Scaled | None = None
    trouble: str = ""


def stand(drawing: Drawing) -> Standing:
    """Work out what makes a drawing true; what is wrong with it is said, not raised."""
    places, known = drawing.of_kind("place"), drawing.of_kind("known")
    try:
        if len(places) >= PLACES_NEEDED:
            found = straightened(
                [pick.points[0] for pick in places],
                [(pick.given[0], pick.given[1]) for pick in places],
                picking=drawing.picking,
                sure=drawing.sure,
            )
            return Standing(found.frame, "places", places=found)
        if known:
            fitted = scaled(
                [KnownLength(p.points[0], p.points[1], p.given[0]) for p in known],
                picking=drawing.picking,
                sure=drawing.sure,
            )
            return Standing(fitted.frame, "lengths", lengths=fitted)
    except OutOfDomain as fault:
        return Standing(None, trouble=str(fault))
    if drawing.mm_per_pixel and drawing.page_scale:
        stretch = 0.0 if drawing.is_exact else USUAL_STRETCH
        frame = by_page(drawing.mm_per_pixel * drawing.page_scale, stretch=stretch)
        return Standing(frame, "page")
    return Standing(None)


def take(
    drawing: Drawing, standing: Standing, pick: Pick
) -> Taken | TakenHole | TakenOutline | None:
    """What a pick comes to; None as long as the drawing is not true.

    Raises
    ------
    OutOfDomain
        In words: what is wrong with the pick.
    """
    if standing.frame is None or pick.kind == "place":
        return None
    return _TAKING[pick.kind](standing.frame.mapped(pick.points, drawing.picking))


def take_hole_from(drawing: Drawing, standing: Standing, hole: Pick, outline: Pick) -> TakenHole:
    """Hole measured from the lower left of an outline.

    Raises
    ------
    OutOfDomain
        As `take`; or the drawing is not true yet.
    """
    if standing.frame is None:
        raise OutOfDomain("the drawing is not true yet. Give known lengths first.", name="hole")
    both = standing.frame.mapped([*hole.points, *outline.points], drawing.picking)
    return hole_from(both, len(hole.points))


_TAKING: Mapping[str, Callable[[Mapped], Taken | TakenHole | TakenOutline]] = {
    "known": length_of,
    "length": length_of,
    "angle": angle_of,
    "outline": outline_of,
    "hole": hole_of,
}
