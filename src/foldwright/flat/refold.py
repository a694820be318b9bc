"""Refolding: the proof of a pattern, from nothing but the pattern.

Room: flat. Starting from the first panel, each fold is bent round the centre
of its own arc, zone by zone, and every other panel is carried along. Where a
panel ends up is compared with where the pattern says it should be, with the
faces of the solid that was asked for, and with the seams it has to meet.
Nothing here uses setbacks, deductions or nets.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from foldwright.flat.pattern import Cone, Curved, Fold, Piece, Point, Seam
from foldwright.shape import Solid, Vector

# A start of a sector read this much short of its start is not a whole turn on [rad].
_HAIR = 1e-9


def refolded(piece: Piece) -> dict[str, Vector]:
    """Fold a piece up.

    Returns
    -------
    dict of str to ndarray, shape (4, 4)
        For each panel, the motion from the flat frame to the part's frame.
        The first panel is put where the pattern says.
    """
    motions = {}
    for start in piece.panels:
        if start.id in motions:
            continue
        motions[start.id] = np.vstack([np.array(start.space), [0.0, 0.0, 0.0, 1.0]])
        carried = [start.id]
        for panel in carried:
            for fold in piece.folds:
                if panel not in fold.panels:
                    continue
                other = fold.panels[1] if fold.panels[0] == panel else fold.panels[0]
                if other not in motions:
                    bend = bend_of(fold, piece.thickness)
                    step = bend if fold.panels[0] == panel else np.linalg.inv(bend)
                    motions[other] = motions[panel] @ step
                    carried.append(other)
    return motions


def bend_of(fold: Fold, thickness: float) -> Vector:
    """Motion of panels[1] when a fold is made and panels[0] is held, shape (4, 4).

    The neutral line of the web keeps its length: the zone rolls up on a circle
    about the centre of the web's concave face, which lies towards the inside
    for a positive turn, towards the outside for a negative one.
    """
    low, high = -thickness, 0.0
    if fold.cut_side == "inside":
        low = -fold.web
    elif fold.cut_side == "outside":
        high = -thickness + fold.web
    theta = abs(fold.turn)
    inwards = fold.turn > 0.0
    centre_z = low - fold.inner_radius if inwards else high + fold.inner_radius
    along = np.subtract(fold.b, fold.a)
    along = along / np.linalg.norm(along)
    across = np.array([along[1], -along[0]])  # from panels[0] to panels[1]
    begin = np.array(fold.a) - across * fold.zone_width / 2.0
    # The zone of the neutral line, r + k w, is what becomes the arc; whatever
    # of the flat zone is longer or shorter than that shows up as a deviation.
    arc = theta * (fold.inner_radius + fold.k * fold.web)
    centre = np.array([*begin, centre_z])
    axis = np.array([*along, 0.0])
    spin = _rotation(axis, theta if inwards else -theta)
    back = np.eye(4)
    back[:2, 3] = -across * arc
    motion = np.eye(4)
    motion[:3, :3] = spin
    motion[:3, 3] = centre - spin @ centre
    return np.asarray(motion @ back, dtype=np.float64)


def deviation(pieces: Sequence[Piece], solid: Solid) -> float:
    """Largest distance between what the pieces fold into and the solid [mm].

    Compares, for every panel: its corners as refolded and as its ``space``
    says; its plane with the plane of the face; its seams, moved out by their
    trim, with the edge of the face; and every seam with its mate.
    """
    worst = 0.0
    placed = {piece.id: refolded(piece) for piece in pieces}
    for piece in pieces:
        for panel in piece.panels:
            motion = placed[piece.id][panel.id]
            said = np.array(panel.space)
            flat = np.array([(*p, 0.0, 1.0) for p in panel.flat])
            worst = max(worst, float(np.abs(flat @ motion[:3].T - flat @ said.T).max()))
            if not panel.face:  # a strip between two kerfs, or one behind a seam
                continue
            face = solid.face(panel.face)
            heights = (flat @ motion[:3].T - solid.corners(face)[0]) @ solid.normal(face)
            worst = max(worst, float(np.abs(heights).max()))
        for seam in piece.seams:
            line = seam_in_space(seam, placed[piece.id][seam.panel])
            face = solid.face(next(p.face for p in piece.panels if p.id == seam.panel))
            worst = max(worst, _off_boundary(line, solid.corners(face)))
            mate_piece = next(p for p in pieces if p.id == seam.mate[0])
            mate = mate_piece.seams[seam.mate[1]]
            mate_line = seam_in_space(mate, placed[mate_piece.id][mate.panel])
            worst = max(worst, max(off_line(p, mate_line) for p in line))
    return worst


def seam_in_space(seam: Seam, motion: Vector) -> Vector:
    """Ends of the mould line of a seam in the part's frame, shape (2, 3)."""
    along = np.subtract(seam.b, seam.a)
    outward = np.array([along[1], -along[0]]) / np.linalg.norm(along)
    ends = [np.array(p) + outward * seam.trim for p in (seam.a, seam.b)]
    return np.array([(motion @ np.array([*p, 0.0, 1.0]))[:3] for p in ends])


def drum_deviation(piece: Piece, radius: float, length: float) -> float:
    """Largest distance between the curled blank and the drum asked for [mm].

    Compares the two ends of the seam, the radius of the outside, and the length.
    """
    curved = piece.curved[0]
    assert isinstance(curved, Curved), "a drum is a cylinder"
    worst = 0.0
    for p in curved.flat:
        spot = curled(curved, p) - np.array(curved.origin)
        axial = float(spot @ np.array(curved.axis))
        radial = float(np.linalg.norm(spot - axial * np.array(curved.axis)))
        worst = max(worst, abs(radial - radius), min(abs(axial), abs(axial - length)))
    first, last = piece.seams
    ends = zip((first.a, first.b), (last.b, last.a), strict=True)
    for one, other in ends:
        worst = max(worst, float(np.linalg.norm(curled(curved, one) - curled(curved, other))))
    return worst


def cone_deviation(piece: Piece, radii: tuple[float, float], heights: tuple[float, float]) -> float:
    """Largest distance between the curled blank and the hood asked for [mm].

    Parameters
    ----------
    piece : Piece
        Its flat corners lie on the two arcs.
    radii, heights : (float, float)
        Of the outside rims, bottom and top, in the part's frame.

    Notes
    -----
    Compares every corner with the nearer rim and the two ends of the seam with
    one another; both rims have to be there.
    """
    curved = piece.curved[0]
    worst, found = 0.0, set()
    for p in curved.flat:
        x, y, z = curled(curved, p)
        off = [
            math.hypot(math.hypot(x, y) - radius, z - height)
            for radius, height in zip(radii, heights, strict=True)
        ]
        worst = max(worst, min(off))
        found.add(off.index(min(off)))
    if found != {0, 1}:
        return math.inf
    first, last = piece.seams
    for one, other in ((first.a, last.b), (first.b, last.a)):
        worst = max(worst, float(np.linalg.norm(curled(curved, one) - curled(curved, other))))
    return worst


def curled(curved: Curved | Cone, p: Point) -> Vector:
    """Where a flat point lies on the outside of the curled face, shape (3,)."""
    if isinstance(curved, Cone):
        return _on_cone(curved, p)
    angle = curved.sense * (p[0] - curved.x0) / curved.flat_radius
    axis, start = np.array(curved.axis), np.array(curved.start)
    radial = math.cos(angle) * start + math.sin(angle) * np.cross(axis, start)
    return np.asarray(np.array(curved.origin) + p[1] * axis + curved.radius * radial)


def _on_cone(cone: Cone, p: Point) -> Vector:
    x, y = p[0] - cone.flat_apex[0], p[1] - cone.flat_apex[1]
    slope, rho = math.sin(cone.half_angle), math.hypot(x, y)
    # Into the range after flat_start, so that a whole sector is one run of angles.
    turned = (math.atan2(y, x) - cone.flat_start + _HAIR) % math.tau - _HAIR
    angle = cone.sense * turned / slope
    axis, start = np.array(cone.axis), np.array(cone.start)
    radial = math.cos(angle) * start + math.sin(angle) * np.cross(axis, start)
    level = math.cos(cone.half_angle)
    outward = level * radial - slope * axis
    return np.asarray(
        np.array(cone.apex) + rho * (level * axis + slope * radial) + cone.offset * outward
    )


def off_line(point: Vector, line: Vector) -> float:
    """Distance of a point from the endless line through two points [mm]."""
    along = line[1] - line[0]
    return float(np.linalg.norm(np.cross(point - line[0], along)) / np.linalg.norm(along))


def _off_boundary(line: Vector, corners: Vector) -> float:
    """Distance of a seam from the side of the face that it runs along best."""
    sides = zip(corners, np.roll(corners, -1, axis=0), strict=True)
    return min(max(off_line(p, np.array(side)) for p in line) for side in sides)


def _rotation(axis: Vector, angle: float) -> Vector:
    """Rodrigues' rotation about a unit axis, shape (3, 3)."""
    x, y, z = axis
    skew = np.array([[0.0, -z, y], [z, 0.0, -x], [-y, x, 0.0]])
    return np.asarray(np.eye(3) + math.sin(angle) * skew + (1.0 - math.cos(angle)) * (skew @ skew))
