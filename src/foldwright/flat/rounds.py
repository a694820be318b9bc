"""Drums and hoods: blanks to curl, developed on the middle of the board.

Room: flat. A drum unrolls to a rectangle; a hood to the sector of a ring about
the tip of the cone through the middle of its board (`sectors`).

Both are butted end to end, with the seam at +x of the part's frame. What cannot
be bent at the ends is left on as `Piece.spare` (see `rough`).
"""

from __future__ import annotations

import math
from dataclasses import replace

from foldwright.errors import CannotMake, OutOfDomain
from foldwright.flat.pattern import Cone, Curved, Piece, Point, Seam, Step
from foldwright.flat.refold import cone_deviation, drum_deviation
from foldwright.flat.rough import widest_flap
from foldwright.flat.sectors import HARDLY_A_CONE, RingSector, middle_radius, ring_sector
from foldwright.plan import Drum, Hood
from foldwright.plan.dual import number
from foldwright.shape import bare_drum, blank_length, hood_wall
from foldwright.shape.tracing import moved_path, path_bounds, path_chords, plane_motion
from foldwright.shop import Board, curl_strain, may_wrinkle, most_strain, tightest_curl

# Less than this is not worth a word [mm].
_SEEN = 0.05
_GRAIN = {"up": math.pi / 2.0, "across": 0.0}

type Curl = tuple[Piece, tuple[str, ...], float]


def drum_piece(
    drum: Drum,
    board: Board,
    *,
    revision: int = 0,
    grained: frozenset[str] = frozenset(),
    spare: float = 0.0,
) -> Curl:
    """Blank of a drum: a rectangle on the neutral line, butted end to end.

    The flat frame is seen from outside, x round the drum, y up its axis.

    Parameters
    ----------
    drum : Drum
    board : Board
    revision : int
    grained : frozenset of str
        Names of the stocks whose grain has to run as the part says.
    spare : float
        To leave on beyond each seam edge until it is curled [mm].

    Returns
    -------
    (Piece, tuple of str, float)
        The blank, what the maker should know of it, and how far it curls from
        the drum asked for [mm].

    Raises
    ------
    CannotMake
        The drum is tighter than its board can take, or has no length.
    OutOfDomain
        `spare` below 0 or not a number.
    """
    _require_spare(spare)
    values = drum.values()
    outside_d, length = (number(x) for x in bare_drum(drum, values))
    if length <= 0.0:
        raise _no_length(drum, "length", length)
    notes = _gentle_curl(drum, board, outside_d, 1.0, "outside_d")
    round_ = number(blank_length(drum, values))
    flat = ((0.0, 0.0), (round_, 0.0), (round_, length), (0.0, length))
    curved = Curved(
        face="wall",
        flat=flat,
        origin=(0.0, 0.0, 0.0 if drum.bare else drum.coat_outside),
        axis=(0.0, 0.0, 1.0),
        start=_seam_at(drum),
        x0=0.0,
        radius=outside_d / 2.0,
        flat_radius=(outside_d - drum.thickness) / 2.0,
        sense=1,
    )
    piece = _blank(drum, tuple(Step(p) for p in flat), flat, curved, revision, grained)
    piece = replace(piece, spare=spare)
    return piece, notes, drum_deviation(piece, outside_d / 2.0, length)


def hood_piece(
    hood: Hood,
    board: Board,
    *,
    revision: int = 0,
    grained: frozenset[str] = frozenset(),
    spare: float = 0.0,
) -> Curl:
    """Blank of a hood: a sector of a ring with true arcs, butted end to end.

    The flat frame is seen from outside, with the axis of the hood up the middle.

    Parameters
    ----------
    hood : Hood
    board, revision, grained, spare
        As for `drum_piece`. Where the ends of the sector lie too close for so
        much, less is left on, and a note says how much.

    Returns
    -------
    (Piece, tuple of str, float)
        As `drum_piece`.

    Raises
    ------
    CannotMake
        The hood is tighter than its board can take (a full cone always is, at
        its tip), hardly conical, or has no height.
    OutOfDomain
        As `drum_piece`.
    """
    _require_spare(spare)
    wall = hood_wall(hood, hood.values(), finished=False)
    lean, slant = number(wall.lean), number(wall.slant)
    rims = number(wall.bottom_d), number(wall.top_d)
    if abs(rims[0] - rims[1]) < HARDLY_A_CONE:
        raise CannotMake(
            f"{hood.name} is as wide at the top as at the bottom.",
            part=hood.name,
            field="top_d",
            remedy='Make it a drum: kind = "drum", outside_d and length.',
        )
    if slant <= 0.0:
        raise _no_length(hood, "height", slant)
    narrow = "top_d" if lean > 0.0 else "bottom_d"
    notes = _gentle_curl(hood, board, min(rims), math.cos(lean), narrow)
    middle = hood.thickness / 2.0
    radii = [middle_radius(d, hood.thickness, lean) for d in rims]
    ring = ring_sector(max(radii), min(radii), abs(lean))
    outline, apex, first = _sector(ring, lean)
    corners = tuple(step.to for step in outline)
    tip = number(wall.bottom_z) - middle * math.sin(lean) + radii[0] / math.tan(lean)
    curved = Cone(
        face="wall",
        flat=path_chords(outline),
        apex=(0.0, 0.0, tip),
        axis=(0.0, 0.0, -math.copysign(1.0, lean)),
        start=_seam_at(hood),
        half_angle=abs(lean),
        flat_apex=apex,
        flat_start=first,
        offset=middle,
        sense=-1,
    )
    # The outline ends with its start: last corner, then the far end of the outer arc, and so on.
    ends = (corners[3], corners[0], corners[1], corners[2])
    piece = _blank(hood, outline, ends, curved, revision, grained)
    piece = replace(piece, spare=_flap(ring, spare))
    notes = (*notes, *_short_flaps(piece.spare, spare))
    rim_heights = (number(wall.bottom_z), number(wall.top_z))
    off = cone_deviation(piece, (rims[0] / 2.0, rims[1] / 2.0), rim_heights)
    lower = hood.thickness * abs(math.sin(lean))
    return piece, (*notes, *_square_ends(lean, lower)), off


def _require_spare(spare: float) -> None:
    if not (math.isfinite(spare) and spare >= 0.0):
        raise OutOfDomain(
            f"What is left on at each end is {spare:g} mm; it has to be a length of 0 or more. "
            "Leave on what cannot be bent, as the lengths of the curl say.",
            name="spare",
        )


def _flap(ring: RingSector, spare: float) -> float:
    """What can be left on at each end of a sector, whole mm if it is less than wanted [mm]."""
    most = widest_flap(ring)
    return spare if spare <= most else math.floor(most)


def _short_flaps(left: float, wanted: float) -> tuple[str, ...]:
    if left >= wanted:
        return ()
    ends = f"Its ends lie so close in the flat that {left:g} mm can be left on at each"
    if left == 0.0:
        ends = "Its ends lie so close in the flat that nothing can be left on"
    return (
        f"{ends}, not the {wanted:g} mm that cannot be bent: press what stays flat beside the "
        "seam round once it is closed.",
    )


def _sector(ring: RingSector, lean: float) -> tuple[tuple[Step, ...], Point, float]:
    """Ring sector, anticlockwise: outer arc, edge, inner arc, edge; its centre and first angle.

    The lower left corner of the rectangle round it lies at (0, 0).
    """
    outer, inner, half = ring.outer, ring.inner, ring.angle / 2.0
    # A hood that narrows upwards hangs below its tip, the other one stands above it.
    middle = -math.pi / 2.0 if lean > 0.0 else math.pi / 2.0
    first, last = middle - half, middle + half
    origin = (0.0, 0.0)

    def at(rho: float, angle: float) -> Point:
        return rho * math.cos(angle), rho * math.sin(angle)

    drawn = (
        Step(at(outer, last), origin, left=True),
        Step(at(inner, last)),
        Step(at(inner, first), origin, left=False),
        Step(at(outer, first)),
    )
    (x, y), _ = path_bounds(drawn)
    return moved_path(drawn, plane_motion(0.0, (-x, -y))), (-x, -y), first


def _blank(
    part: Drum | Hood,
    outline: tuple[Step, ...],
    ends: tuple[Point, Point, Point, Point],
    curved: Curved | Cone,
    revision: int,
    grained: frozenset[str],
) -> Piece:
    """Piece whose second and fourth side are the seam; `ends` are its corners in order."""
    name = f"{part.name}-1"

    def seam(a: Point, b: Point, mate: int) -> Seam:
        return Seam(a, b, "wall", "butt", 0.0, 0.0, 0.0, (name, mate), "a")

    return Piece(
        id=name,
        part=part.name,
        stock=part.stock,
        thickness=part.thickness,
        revision=revision,
        outline=outline,
        seams=(seam(ends[1], ends[2], 1), seam(ends[3], ends[0], 0)),
        curved=(curved,),
        grain=_GRAIN[part.grain] if part.stock in grained else None,
    )


def _seam_at(part: Drum | Hood) -> tuple[float, float, float]:
    """Where round the axis the seam lies; the other hand has it reflected in x = 0."""
    return (-1.0, 0.0, 0.0) if part.mirrored else (1.0, 0.0, 0.0)


def _gentle_curl(
    part: Drum | Hood, board: Board, outside_d: float, leaning: float, field: str
) -> tuple[str, ...]:
    """Refuse a curl that cracks the skin; `leaning` is the cosine of the half angle.

    A cone bends about the line square to its skin, which reaches the axis
    1/cos(half angle) further away than the rim does.
    """
    radius = (outside_d / leaning - board.thickness) / 2.0
    least = tightest_curl(board)
    if radius < least:
        # Of a hood the half angle moves with the diameter: enough for any.
        least_d = 2.0 * least + board.thickness + _growth(part)
        strain = "apart"
        if radius > 0.0:
            strain = f"by {100.0 * curl_strain(board, radius):.1f} in 100"
        raise CannotMake(
            f"{part.name} is curled to {outside_d:.1f} mm across before its finish, which "
            f"stretches the skin of {board.thickness:g} mm {board.what} {strain}; it takes "
            f"{100.0 * most_strain(board):.1f} in 100.",
            part=part.name,
            field=field,
            remedy=f"Make {field} at least {math.ceil(least_d * 10.0 - 1e-9) / 10.0:.1f} mm, or "
            "use thinner board.",
        )
    if may_wrinkle(board, radius):
        return (
            f"Curled to an inside radius of {radius - board.thickness / 2.0:.0f} mm: skinned "
            "board may wrinkle on the inside. Curl a test strip first.",
        )
    return ()


def _growth(part: Drum | Hood) -> float:
    """What the finish adds to a diameter of the plan [mm]."""
    return 0.0 if part.bare else 2.0 * part.coat_outside


def _square_ends(lean: float, lower: float) -> tuple[str, ...]:
    if lower < _SEEN:
        return ()
    return (
        f"Both ends are cut square to the sheet: the inside rims stand {lower:.1f} mm "
        f"{'lower' if lean > 0.0 else 'higher'} than the outside ones.",
    )


def _no_length(part: Drum | Hood, field: str, length: float) -> CannotMake:
    return CannotMake(
        f"{part.name} is {length:.1f} mm long before its finish.",
        part=part.name,
        field=field,
        remedy="Make it longer.",
    )
