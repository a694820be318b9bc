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

from foldwright.flat.curves import boundary, curled, curve_of, seam_points
from foldwright.flat.pattern import Curved, Fold, Panel, Piece
from foldwright.shape import Solid, Vector

# A panel this near to the edge of a curl runs on from it [mm].
_TOUCHES = 1e-6
_LAST_ROW = (0.0, 0.0, 0.0, 1.0)


def refolded(piece: Piece) -> dict[str, Vector]:
    """Fold a piece up.

    A curled face carries the motion from one of its straight edges to the
    other; a panel or curl that touches it there without a seam goes along.

    Returns
    -------
    dict of str to ndarray, shape (4, 4)
        For each panel, the motion from the flat frame to the part's frame;
        for each curled cylinder, by its face, that of its edge at least x.
        The first panel (the first curl, if there is none) is put where the
        pattern says.
    """
    curls = [curved for curved in piece.curved if isinstance(curved, Curved)]
    steps = _steps(piece, curls)
    starts = {p.id: np.vstack([np.array(p.space), _LAST_ROW]) for p in piece.panels}
    starts |= {curl.face: _first_edge(curl) for curl in curls}
    motions: dict[str, Vector] = {}
    for name, start in starts.items():
        if name in motions:
            continue
        motions[name] = start
        carried = [name]
        for here in carried:
            for other, step in steps.get(here, ()):
                if other not in motions:
                    motions[other] = motions[here] @ step
                    carried.append(other)
    return motions


def _steps(piece: Piece, curls: Sequence[Curved]) -> dict[str, list[tuple[str, Vector]]]:
    """Motions from each panel and curl to those that it is joined to."""
    found: dict[str, list[tuple[str, Vector]]] = {}

    def join(one: str, other: str, step: Vector) -> None:
        found.setdefault(one, []).append((other, step))
        found.setdefault(other, []).append((one, np.linalg.inv(step)))

    for fold in piece.folds:
        join(*fold.panels, bend_of(fold, piece.thickness))
    for curl in curls:
        for name, at_far_end in _beside(piece, curl, curls):
            join(curl.face, name, rolling_of(curl) if at_far_end else np.eye(4))
    return found


def _beside(piece: Piece, curl: Curved, curls: Sequence[Curved]) -> list[tuple[str, bool]]:
    """What runs on from a curl; True at its edge at most x.

    Of two curls side by side only the first of them, whose far edge it is, has the other.
    """
    low, high = _reach(curl)
    found = []
    panels = {panel.id: panel.flat for panel in piece.panels}
    rolled = {other.face: other.flat for other in curls if other is not curl}
    for x, upwards, others in ((low, False, panels), (high, True, panels | rolled)):
        if any(
            seam.panel == curl.face and max(abs(seam.a[0] - x), abs(seam.b[0] - x)) < _TOUCHES
            for seam in piece.seams
        ):
            continue
        ends = [p[1] for p in curl.flat]
        for name, flat in others.items():
            for (px, py), (qx, qy) in zip(flat, (*flat[1:], flat[0]), strict=True):
                on = max(abs(px - x), abs(qx - x)) < _TOUCHES
                # Material lies left of a side: beyond the far edge sides run down.
                shared = min(max(ends), max(py, qy)) - max(min(ends), min(py, qy))
                if on and (qy < py) == upwards and shared > _TOUCHES:
                    found.append((name, upwards))
    return found


def _reach(curl: Curved) -> tuple[float, float]:
    return min(p[0] for p in curl.flat), max(p[0] for p in curl.flat)


def _first_edge(curl: Curved) -> Vector:
    """Motion of the flat next to the edge at least x of a curl, as its record places it."""
    x = _reach(curl)[0]
    angle = curl.sense * (x - curl.x0) / curl.flat_radius
    axis, start = np.array(curl.axis), np.array(curl.start)
    radial = math.cos(angle) * start + math.sin(angle) * np.cross(axis, start)
    out = curl.sense * radial
    motion = np.eye(4)
    motion[:3, :3] = np.column_stack([np.cross(axis, out), axis, out])
    motion[:3, 3] = np.array(curl.origin) + curl.radius * radial - x * motion[:3, 0]
    return motion


def rolling_of(curl: Curved) -> Vector:
    """Motion of what lies beyond the far edge of a curl while its near edge is held, (4, 4)."""
    low, high = _reach(curl)
    angle = curl.sense * (high - low) / curl.flat_radius
    centre = np.array([low, 0.0, -curl.sense * curl.radius])
    spin = _rotation(np.array([0.0, 1.0, 0.0]), angle)
    back, motion = np.eye(4), np.eye(4)
    back[0, 3] = low - high
    motion[:3, :3] = spin
    motion[:3, 3] = centre - spin @ centre
    return np.asarray(motion @ back)


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
    says; its plane with the plane of the face; the same for every curl and its
    cylinder; every seam, moved out by its trim, with the edge of the face; and
    every seam with its mate.
    """
    worst = 0.0
    placed = {piece.id: refolded(piece) for piece in pieces}
    by_id = {piece.id: piece for piece in pieces}
    for piece in pieces:
        motions = placed[piece.id]
        for panel in piece.panels:
            worst = max(worst, _panel_off(panel, motions[panel.id], solid))
        for curl in piece.curved:
            if isinstance(curl, Curved):
                worst = max(worst, _curl_off(curl, motions[curl.face], solid))
        for seam in piece.seams:
            points = seam_points(seam, piece, motions)
            name = next((p.face for p in piece.panels if p.id == seam.panel), seam.panel)
            edges = boundary(solid, name)
            worst = max(worst, min(max(edge.off(p) for p in points) for edge in edges))
            mate_piece = by_id[seam.mate[0]]
            mate = curve_of(mate_piece.seams[seam.mate[1]], mate_piece, placed[mate_piece.id])
            worst = max(worst, max(mate.off(p) for p in points))
    return worst


def _panel_off(panel: Panel, motion: Vector, solid: Solid) -> float:
    flat = np.array([(*p, 0.0, 1.0) for p in panel.flat])
    placed = flat @ motion[:3].T
    off = float(np.abs(placed - flat @ np.array(panel.space).T).max())
    if not panel.face:  # a strip between two kerfs, or one behind a seam
        return off
    face = solid.face(panel.face)
    heights = (placed - solid.corners(face)[0]) @ solid.normal(face)
    return max(off, float(np.abs(heights).max()))


def _curl_off(curl: Curved, motion: Vector, solid: Solid) -> float:
    """A curl as carried here against its own record, and against the cylinder asked for."""
    cylinder = solid.face(curl.face).cylinder
    if cylinder is None:
        return math.inf
    low, _ = _reach(curl)
    far = motion @ rolling_of(curl)
    off = abs(curl.radius - cylinder.radius) + abs(curl.sense - cylinder.sense)
    for p in curl.flat:
        carried = ((motion if abs(p[0] - low) < _TOUCHES else far) @ [*p, 0.0, 1.0])[:3]
        off = max(off, float(np.linalg.norm(carried - curled(curl, p))))
        arm = carried - np.array(cylinder.origin)
        across = float(np.linalg.norm(np.cross(arm, np.array(cylinder.axis))))
        off = max(off, abs(across - cylinder.radius))
    return off


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


def _rotation(axis: Vector, angle: float) -> Vector:
    """Rodrigues' rotation about a unit axis, shape (3, 3)."""
    x, y, z = axis
    skew = np.array([[0.0, -z, y], [z, 0.0, -x], [-y, x, 0.0]])
    return np.asarray(np.eye(3) + math.sin(angle) * skew + (1.0 - math.cos(angle)) * (skew @ skew))
