"""Cutouts: holes, windows and openings on the blanks that their faces became.

Room: flat. A cut comes in the frame of its bare face; the face's panel says
where it lies in space; so the cut is carried there and back into the flat
frame, whichever way the panel was turned. On a curled wall the way round
shrinks to the neutral line. Nothing may be cut across a fold, a seam or an
edge, nor into another cutout. Start at `with_cutouts`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from shapely import LineString, Polygon
from shapely import Point as Spot
from shapely.geometry.base import BaseGeometry

from foldwright.errors import CannotMake
from foldwright.flat.pattern import Curved, Cutout, Mark, Panel, Path, Piece, Point, Seam, Step
from foldwright.plan import AnyPart, Feature, Plate, Rib
from foldwright.shape import (
    FaceCut,
    bare_face_frame,
    hatch_land,
    hatch_pieces,
    in_plane,
    moved_path,
    path_area,
    path_chords,
    reversed_path,
    wall_seam,
)

# A cutout this near to what it may not touch touches it [mm].
_TOUCHES = 1e-6
# A path that no point leaves by more than this when the wall is unrolled keeps its arcs [mm].
_SAME = 0.05


@dataclass(frozen=True)
class _Placed:
    """A cut on the piece and panel that it falls on, in the flat frame."""

    piece: int
    panel: Panel | Curved
    path: Path
    centre: Point
    turn: float
    cut: FaceCut


def with_cutouts(
    pieces: Sequence[Piece], part: AnyPart, cuts: Sequence[FaceCut]
) -> tuple[tuple[Piece, ...], tuple[str, ...]]:
    """Pieces with everything that is cut into them, lids and ledges of hatches, and notes.

    Parameters
    ----------
    pieces : sequence of Piece
        Of the part, refolded and proved.
    part : AnyPart
    cuts : sequence of FaceCut
        Bare, in the frames of its bare faces.

    Returns
    -------
    pieces : tuple of Piece
        Holes that are drilled in place are marked as centres only.
    notes : tuple of str
        What is cut nearer to an edge than the board is thick.

    Raises
    ------
    CannotMake
        A cut in a face that is not made, across a fold, a seam or an edge, or
        into another cut; a hatch whose ledge has no room.
    """
    placed = [_placed(pieces, part, cut) for cut in cuts]
    notes = []
    for spot in placed:
        notes += _checked(pieces[spot.piece], part, spot)
    _require_apart(pieces, part, placed)
    found = list(pieces)
    for spot in placed:
        piece = found[spot.piece]
        if spot.cut.drilled_in_place:
            mark = Mark("centre", spot.centre, _across(spot.path), spot.cut.why)
            found[spot.piece] = replace(piece, marks=(*piece.marks, mark))
        else:
            cutout = Cutout(spot.path, spot.cut.why)
            found[spot.piece] = replace(piece, cutouts=(*piece.cutouts, cutout))
    for feature in part.features:
        if feature.kind == "hatch":
            found += _hatch(found, pieces, part, feature)
    return tuple(found), tuple(dict.fromkeys(notes))


# --- from the face to the flat -------------------------------------------------


def _placed(pieces: Sequence[Piece], part: AnyPart, cut: FaceCut) -> _Placed:
    for number, piece in enumerate(pieces):
        for curved in piece.curved:
            if curved.face == cut.face and not piece.role:
                if not isinstance(curved, Curved):
                    raise _refused(part, cut, "lies on a cone", "Cut it when the hood is curled.")
                return _on_wall(number, piece, part, curved, cut)
    choices = [
        _on_panel(number, panel, part, cut)
        for number, piece in enumerate(pieces)
        for panel in piece.panels
        if not piece.role and (panel.face == cut.face or _is_other_side(part, panel, cut.face))
    ]
    if not choices:
        raise _refused(part, cut, "has no board: that face is not made", "Use a face that is.")
    # A face in several panels: the one that holds most of the cut.
    return max(choices, key=lambda c: Polygon(c.panel.flat).intersection(_filled(c.path)).area)


def _is_other_side(part: AnyPart, panel: Panel, face: str) -> bool:
    """A flat piece is one panel, its top; its bottom is the same board."""
    return isinstance(part, Plate | Rib) and face == "bottom" and panel.face == "top"


def _on_panel(number: int, panel: Panel, part: AnyPart, cut: FaceCut) -> _Placed:
    space = np.vstack([np.array(panel.space), [0.0, 0.0, 0.0, 1.0]])
    motion = in_plane(np.linalg.inv(space) @ bare_face_frame(part, cut.face))
    path = moved_path(cut.path, motion)
    x, y, _ = motion @ np.array([*cut.centre, 1.0])
    turn = math.atan2(motion[1, 0], motion[0, 0])
    return _Placed(number, panel, path, (float(x), float(y)), turn, cut)


def _on_wall(number: int, piece: Piece, part: AnyPart, curved: Curved, cut: FaceCut) -> _Placed:
    """On the blank of a curled wall; a small hole stays as round as its drill."""
    start, axis = np.array(curved.start), np.array(curved.axis)
    seam = wall_seam(part)
    from_start = np.array([math.cos(seam), math.sin(seam), 0.0])
    ahead = math.atan2(float(from_start @ np.cross(axis, start)), float(from_start @ start))
    share = curved.sense * curved.flat_radius / curved.radius
    shift = curved.x0 + curved.sense * curved.flat_radius * ahead

    def flat(p: Point) -> Point:
        return share * p[0] + shift, p[1]

    middle = flat(cut.centre)
    # Turned so far that it falls on the blank, which is one turn long.
    turn = math.tau * curved.flat_radius
    low = min(x for x, _ in curved.flat)
    shift += low + (middle[0] - low) % turn - middle[0]
    middle = flat(cut.centre)
    stays = np.array([[1.0, 0.0, middle[0] - cut.centre[0]], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]])
    reach = max(abs(x - cut.centre[0]) for x, _ in path_chords(cut.path))
    if reach * abs(1.0 - abs(share)) <= _SAME and curved.sense > 0:
        path = moved_path(cut.path, stays)
    else:
        # Straight sides stay straight when unrolled; arcs become ovals.
        path = _clockwise(tuple(Step(flat(p)) for p in path_chords(cut.path, 0.005)))
    return _Placed(number, curved, path, middle, 0.0, cut)


def _clockwise(path: Path) -> Path:
    return path if path_area(path) < 0.0 else reversed_path(path)


# --- what is refused, and what is said -----------------------------------------


def _checked(piece: Piece, part: AnyPart, spot: _Placed) -> list[str]:
    """Refuse a cut that leaves its panel; a note if it comes near."""
    cut = _filled(spot.path)
    sound = _sound(piece, spot)
    room = float(sound.boundary.distance(cut)) if sound.contains(cut) else 0.0
    if room <= _TOUCHES:
        raise _over_edge(piece, part, spot, sound, cut)
    for mark in piece.marks:
        if mark.kind == "drill" and cut.distance(Spot(mark.at)) <= mark.d / 2.0 + _TOUCHES:
            raise _refused(
                part,
                spot.cut,
                f"runs into a hole of {mark.d:g} mm ({mark.why})",
                "Move it away from the corner of the face.",
            )
    if room < piece.thickness - _TOUCHES:
        return [
            f"{_called(spot.cut)} leaves {room:.1f} mm of board to "
            f"{_edge_name(piece, spot, cut)}, less than the board is thick."
        ]
    return []


def _sound(piece: Piece, spot: _Placed) -> Polygon:
    """What of a panel is flat in both skins: bevels of its seams taken off."""
    left: BaseGeometry = Polygon(spot.panel.flat)
    for seam in piece.seams:
        hidden = seam.trim_inside - seam.trim
        if seam.panel == _panel_id(spot.panel) and hidden > 0.0:
            left = left.difference(LineString([seam.a, seam.b]).buffer(hidden, cap_style="flat"))
    parts = [p for p in getattr(left, "geoms", [left]) if isinstance(p, Polygon)]
    return max(parts, key=lambda p: p.area, default=Polygon())


def _over_edge(
    piece: Piece, part: AnyPart, spot: _Placed, sound: Polygon, cut: Polygon
) -> CannotMake:
    if not Polygon(spot.panel.flat).intersects(cut):
        return _refused(part, spot.cut, "lies beside the face", "Give its place inside the face.")
    over = max(sound.distance(Spot(p)) for p in cut.exterior.coords)
    bevel = "" if not Polygon(spot.panel.flat).contains(cut) else "the bevel of "
    # Past the edge by so much, and one board's thickness more to keep it sound.
    by = math.ceil((over + piece.thickness) * 10.0 - 1e-6) / 10.0
    return _refused(
        part,
        spot.cut,
        f"runs across {bevel}{_edge_name(piece, spot, cut)}",
        f"Move it {by:.1f} mm away from there, or make it smaller.",
    )


def _edge_name(piece: Piece, spot: _Placed, cut: Polygon) -> str:
    """What a cut comes nearest to, or reaches furthest over: a fold, a seam, an edge."""
    panel = _panel_id(spot.panel)
    near: list[tuple[float, str]] = []
    for fold in piece.folds:
        if panel in fold.panels:
            other = fold.panels[1] if fold.panels[0] == panel else fold.panels[0]
            near.append((_depth(Polygon(fold.zone), cut), f'the fold to "{other}"'))
    for seam in piece.seams:
        if seam.panel == panel:
            near.append((_depth(LineString([seam.a, seam.b]), cut), _seam_name(seam)))
    near.append((_depth(Polygon(spot.panel.flat).exterior, cut) + 1e-3, "the edge of its face"))
    return min(near)[1]


def _depth(line: Polygon | LineString, cut: Polygon) -> float:
    """Distance of a line from a cut; negative by how much of it lies inside."""
    away: float = line.distance(cut)
    return away if away > 0.0 else -line.intersection(cut).length


def _require_apart(pieces: Sequence[Piece], part: AnyPart, placed: Sequence[_Placed]) -> None:
    """Refuse cutouts that touch one another, or those that a piece already has."""
    for number, piece in enumerate(pieces):
        taken = [(f"the {cutout.why}", _filled(cutout.path)) for cutout in piece.cutouts]
        for spot in placed:
            if spot.piece != number:
                continue
            cut = _filled(spot.path)
            for name, other in taken:
                if cut.distance(other) <= _TOUCHES:
                    raise _refused(part, spot.cut, f"runs into {name}", "Move one of them.")
            taken.append((f'{spot.cut.why} in "{spot.cut.face}"', cut))


def _refused(part: AnyPart, cut: FaceCut, what: str, remedy: str) -> CannotMake:
    return CannotMake(
        f"{_called(cut)} of {part.name} {what}.", part=part.name, field=cut.key, remedy=remedy
    )


def _called(cut: FaceCut) -> str:
    return f'{cut.why[0].upper()}{cut.why[1:]} in "{cut.face}"'


def _seam_name(seam: Seam) -> str:
    return f"seam {seam.letter}" if seam.letter else "the seam"


def _panel_id(panel: Panel | Curved) -> str:
    return panel.id if isinstance(panel, Panel) else panel.face


def _filled(path: Path) -> Polygon:
    return Polygon(path_chords(path))


def _across(path: Path) -> float:
    """Diameter of a round cut [mm]; its extent along x if it is none."""
    if path[0].centre is not None:
        return 2.0 * math.dist(path[0].to, path[0].centre)
    xs = [x for x, _ in path_chords(path)]
    return max(xs) - min(xs)


# --- hatches -------------------------------------------------------------------


def _hatch(
    found: Sequence[Piece], pieces: Sequence[Piece], part: AnyPart, feature: Feature
) -> list[Piece]:
    """Lid and ledge, from the board of the face that they close, grain as it runs there."""
    land = _placed(pieces, part, hatch_land(part, feature))
    host = pieces[land.piece]
    room = Polygon(land.panel.flat).buffer(-host.thickness, join_style="mitre")
    if isinstance(land.panel, Curved):
        raise _refused(part, land.cut, "lies on a curled wall", "Put it into a flat face.")
    if not room.contains(_filled(land.path)):
        raise _refused(
            part,
            land.cut,
            "has no room behind the face for its ledge",
            "Make lip smaller, or move the hatch further from the edges.",
        )
    made: list[Piece] = []
    for piece in hatch_pieces(part, feature):
        grain = host.grain
        if grain is not None:
            grain = (grain - land.turn - piece.turn) % math.pi
        made.append(
            Piece(
                id=f"{part.name}-{len(found) + len(made) + 1}",
                part=part.name,
                stock=host.stock,
                thickness=host.thickness,
                revision=host.revision,
                outline=piece.outline,
                cutouts=tuple(Cutout(path, "ledge") for path in piece.cutouts),
                role=piece.role
                if feature.name in ("", "hatch")
                else f"{piece.role}, {feature.name}",
                grain=grain,
            )
        )
    return made
