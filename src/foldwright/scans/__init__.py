"""Scans: drawings, photos and pages as a source of sizes.

A picture is taken in (`Drawings.put`), made true by known places or lengths
(`stand`), and lengths, angles, outlines and holes are taken off it (`take`), each
with its trust. Nothing here knows parts; what is taken off is numbers in mm.
"""

from __future__ import annotations

from foldwright.scans.drawing import KINDS, Drawing, Pick
from foldwright.scans.frame import Frame, Mapped
from foldwright.scans.keeping import FOLDER, Drawings, Unreadable
from foldwright.scans.pictures import MOST_BYTES, Picture, small_picture, take_picture, too_large
from foldwright.scans.scaling import USUAL_STRETCH, KnownLength, Scaled, by_page, scaled
from foldwright.scans.standing import (
    PLACES_NEEDED,
    Standing,
    stand,
    take,
    take_hole_from,
)
from foldwright.scans.straight_picture import Board, board_of, resampled, straight_picture
from foldwright.scans.straightening import MOST_PLACES, Straightened, straightened
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

__all__ = [
    "FOLDER",
    "KINDS",
    "MOST_BYTES",
    "MOST_PLACES",
    "PLACES_NEEDED",
    "USUAL_STRETCH",
    "Board",
    "Drawing",
    "Drawings",
    "Frame",
    "KnownLength",
    "Mapped",
    "Pick",
    "Picture",
    "Scaled",
    "Standing",
    "Straightened",
    "Taken",
    "TakenHole",
    "TakenOutline",
    "Unreadable",
    "angle_of",
    "board_of",
    "by_page",
    "hole_from",
    "hole_of",
    "length_of",
    "outline_of",
    "resampled",
    "scaled",
    "small_picture",
    "stand",
    "straight_picture",
    "straightened",
    "take",
    "take_hole_from",
    "take_picture",
    "too_large",
]
