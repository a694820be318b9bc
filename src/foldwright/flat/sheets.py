"""Drums and plates: blanks without folds.

Room: flat.
"""

from __future__ import annotations

import math

from foldwright.errors import CannotMake
from foldwright.flat.pattern import Curved, Cutout, Panel, Path, Piece, Point, Seam, Step
from foldwright.plan import Drum, Plate
from foldwright.plan.dual import number
from foldwright.shape import bare_drum, blank_length, disc, plate_outline

_AS_IT_LIES = ((1.0, 0.0, 0.0, 0.0), (0.0, 1.0, 0.0, 0.0), (0.0, 0.0, 1.0, 0.0))


def drum_piece(drum: Drum, *, revision: int = 0) -> Piece:
    """Blank of a drum: a rectangle on the neutral line, butted end to end.

    The flat frame is seen from outside, x round the drum, y up its axis; the
    seam lies at +x of the part's frame.

    Raises
    ------
    CannotMake
        The drum is no larger than its board is thick.
    """
    values = drum.values()
    outside_d, length = (number(x) for x in bare_drum(drum, values))
    if outside_d <= 4.0 * drum.thickness or length <= 0.0:
        raise CannotMake(
            f"{drum.name} is {outside_d:.1f} mm across and {length:.1f} mm long before its finish, "
            f"in {drum.thickness:g} mm board.",
            part=drum.name,
            field="outside_d",
            remedy="Make it larger, or use thinner board.",
        )
    round_ = number(blank_length(drum, values))
    flat = ((0.0, 0.0), (round_, 0.0), (round_, length), (0.0, length))
    name = f"{drum.name}-1"

    def seam(a: Point, b: Point, mate: int) -> Seam:
        return Seam(a, b, "wall", "butt", 0.0, 0.0, 0.0, (name, mate), "a")

    return Piece(
        id=name,
        part=drum.name,
        stock=drum.stock,
        thickness=drum.thickness,
        revision=revision,
        outline=tuple(Step(p) for p in flat),
        seams=(seam(flat[1], flat[2], 1), seam(flat[3], flat[0], 0)),
        curved=(
            Curved(
                face="wall",
                flat=flat,
                origin=(0.0, 0.0, 0.0 if drum.bare else drum.coat_outside),
                axis=(0.0, 0.0, 1.0),
                start=(1.0, 0.0, 0.0),
                x0=0.0,
                radius=outside_d / 2.0,
                flat_radius=(outside_d - drum.thickness) / 2.0,
                sense=1,
            ),
        ),
    )


def plate_piece(plate: Plate, *, revision: int = 0) -> Piece:
    """Blank of a plate: its bare outline, cut square; arcs stay arcs.

    Raises
    ------
    CannotMake
        The finish leaves nothing of it.
    """
    values = plate.values()
    cutouts: tuple[Cutout, ...] = ()
    if plate.diameter is not None:
        diameter, bore = (number(x) for x in disc(plate, values, finished=False))
        if diameter <= max(bore, 0.0):
            raise CannotMake(
                f"{plate.name} is {diameter:.1f} mm across before its finish.",
                part=plate.name,
                field="diameter",
                remedy="Make it larger.",
            )
        outline = _circle(diameter, left=True)
        flat = _polygon_of_circle(diameter)
        if plate.bore is not None:
            cutouts = (Cutout(_circle(bore, left=False), "bore"),)
    else:
        corners = plate_outline(plate, values, finished=False)
        flat = tuple((number(x), number(y)) for x, y in corners)
        outline = tuple(Step(p) for p in flat)
    return Piece(
        id=f"{plate.name}-1",
        part=plate.name,
        stock=plate.stock,
        thickness=plate.thickness,
        revision=revision,
        outline=outline,
        panels=(Panel("top", "top", flat, _lifted(plate.thickness)),),
        cutouts=cutouts,
    )


def _circle(diameter: float, *, left: bool) -> Path:
    r, centre = diameter / 2.0, (0.0, 0.0)
    return (Step((-r, 0.0), centre, left), Step((r, 0.0), centre, left))


def _polygon_of_circle(diameter: float, chord_error: float = 0.01) -> tuple[Point, ...]:
    """Corners on the circle; chords stray at most `chord_error` [mm] inside it."""
    r = diameter / 2.0
    count = max(12, math.ceil(math.pi / math.acos(max(0.0, 1.0 - chord_error / r))))
    return tuple(
        (r * math.cos(2.0 * math.pi * i / count), r * math.sin(2.0 * math.pi * i / count))
        for i in range(count)
    )


def _lifted(z: float) -> tuple[tuple[float, float, float, float], ...]:
    return (*_AS_IT_LIES[:2], (0.0, 0.0, 1.0, z))
