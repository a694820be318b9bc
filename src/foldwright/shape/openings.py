"""Openings: where another placed part passes through a flat face of board.

Room: shape. An opening is cut square to the board, so it is what every level
of the board needs, from the outside skin to the inside skin, seen together:
for a cylinder askew the ellipses of both skins and everything between them.
Around it goes the clearance, and both finishes; the finish on the two skins
counts as board. Start at `opening`.

The other part is taken as solid, without what is cut into it: a round one as
a cylinder, one with a convex outline as a convex body, any other as an
outline pushed along its axis.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np
from shapely import MultiPoint, Polygon, unary_union
from shapely import Point as Spot
from shapely.geometry.base import BaseGeometry
from shapely.geometry.polygon import orient

from foldwright.errors import CannotMake
from foldwright.plan import AnyPart, Feature
from foldwright.plan.dual import number
from foldwright.shape.bare_faces import bare_face_frame, bare_face_paths
from foldwright.shape.outline import interior_angles, move_sides
from foldwright.shape.passing import Passing, passing_of
from foldwright.shape.paths import FaceCut, Path, Point
from foldwright.shape.solid import Vector
from foldwright.shape.tracing import circle, path_chords, polygon

# How far the chords of an oval opening may stand outside it [mm], and how many there may be.
_CHORD_ERROR, _MOST_CHORDS = 0.01, 396
# An oval within this of a circle is cut as one [mm].
_ROUND = 0.002
# A part that reaches less far than this into a board stands on it [mm].
_STANDS = 0.05
# An axis nearer to the face than this passes through no hole that could be cut (cosine).
_FLATTEST = math.cos(math.radians(80.0))
# Corners sharper than this are blunted when an opening is grown: no long spikes.
_SHARP = math.radians(45.0)
# Sides about this short are left out of an opening [mm].
_SPECK = 1e-3
# Points nearer than this to the line of their neighbours are no corners [mm].
_IN_LINE = 1e-9


def opening(
    part: AnyPart, feature: Feature, other: AnyPart, frame: Vector, other_frame: Vector
) -> FaceCut:
    """Exact opening in a flat face where another part passes through.

    Parameters
    ----------
    part : AnyPart
        Whose face is cut.
    feature : Feature
        Of kind ``"opening"``; its `gap` is finished, all round, in the plane
        of the face.
    other : AnyPart
        What passes: a drum, tube, plug, plate, box, profile, flat strip or
        something bought.
    frame, other_frame : ndarray, shape (4, 4)
        Motions of both parts to the build frame.

    Returns
    -------
    FaceCut
        Bare, clockwise, in the frame of the bare face. A circle where a
        cylinder passes square to the face; otherwise straight chords that
        never cut into what is needed. An oval's stand at most 0.01 mm outside
        it (0.03 where it is metres across: there are at most 396 chords).

    Raises
    ------
    CannotMake
        The other part stands on the face, does not reach it, lies too flat to
        it, or its opening runs over the edge of the face; or it has a shape
        that no opening is worked out for.

    Notes
    -----
    A plane at an angle `a` to the square section of a cylinder of diameter d
    cuts it in an ellipse d by ``d / cos a``; board of thickness t makes the
    opening ``t tan a`` longer.
    """
    to_face = np.linalg.inv(frame @ bare_face_frame(part, feature.face))
    passing = _passing(part, feature, other).moved(to_face @ other_frame)
    skins = (-part.stock_of(feature.face)[1] - part.coat_inside, part.coat_outside)
    _require_through(part, feature, other, passing, skins)
    gap = number(feature.gap.value(part.values())) if feature.gap else 0.0
    path, centre = _outline(part, feature, other, passing, skins, gap + part.coat_outside)
    named = feature.name if not feature.name.startswith(feature.kind) else ""
    why = named or f"opening for {other.name}"
    cut = FaceCut(feature.face, path, why, centre, key=feature.key)
    _require_inside(part, cut, other)
    return cut


def openings_of(
    parts: Mapping[str, AnyPart], frames: Mapping[str, Vector]
) -> Mapping[str, tuple[FaceCut, ...]]:
    """Openings of all parts of a plan, by the name of the part that is cut.

    Parameters
    ----------
    parts : Mapping of str to AnyPart
    frames : Mapping of str to ndarray, shape (4, 4)
        Motion of each part to the build frame; see `frames`.

    Raises
    ------
    CannotMake
        See `opening`; or there is no such part to pass.
    """
    found = {}
    for name, part in parts.items():
        cuts = []
        for feature in part.features:
            if feature.kind != "opening":
                continue
            other = parts.get(feature.through)
            if other is None or other is part:
                raise CannotMake(
                    f'There is no other part "{feature.through}" to pass through '
                    f'"{feature.face}" of {name}.',
                    part=name,
                    field=feature.key,
                    remedy="Name a part of this plan.",
                )
            cuts.append(opening(part, feature, other, frames[name], frames[other.name]))
        if cuts:
            found[name] = tuple(cuts)
    return found


# --- what it needs -------------------------------------------------------------


def _outline(
    part: AnyPart,
    feature: Feature,
    other: AnyPart,
    passing: Passing,
    skins: tuple[float, float],
    grow: float,
) -> tuple[Path, Point]:
    """Opening and its middle, in the frame of the face."""
    if not passing.radius and _is_convex(passing):
        hull, lost = _hull(_within(passing, skins))
        return _straight(_grown(hull, grow + lost))
    if abs(float(passing.axis[2])) < _FLATTEST:
        raise CannotMake(
            f'The axis of {other.name} lies too flat to "{feature.face}" of {part.name}: '
            f"{math.degrees(math.asin(abs(float(passing.axis[2])))):.0f} degrees.",
            part=part.name,
            field=feature.key,
            remedy="Place it at 10 degrees at least, or cut a notch by hand.",
        )
    if passing.radius:
        return _oval(passing, skins, grow)
    return _straight(_swept(passing, skins, grow))


def _straight(corners: Sequence[Point]) -> tuple[Path, Point]:
    middle = Polygon(corners).centroid
    return polygon(corners[::-1]), (float(middle.x), float(middle.y))


def _oval(passing: Passing, skins: tuple[float, float], grow: float) -> tuple[Path, Point]:
    """Opening of a cylinder: the hull of its ellipses at both skins, grown."""
    axis, radius = passing.axis, passing.radius
    steep = abs(float(axis[2]))
    high, low = (_crossing(passing.base[0], axis, z) for z in (skins[1], skins[0]))
    centre = (float(high[0] + low[0]) / 2.0, float(high[1] + low[1]) / 2.0)
    half_major, half_shift = radius / steep, float(np.hypot(*(high - low))) / 2.0
    if half_major - radius + half_shift < _ROUND:
        return circle(centre, half_major + half_shift + grow), centre
    across = axis[:2] / np.hypot(*axis[:2])
    corners = _oval_corners(half_major, radius, half_shift, grow)
    turn = np.array([[across[0], -across[1]], [across[1], across[0]]])
    placed = corners @ turn.T + centre
    return polygon([(float(x), float(y)) for x, y in placed[::-1]]), centre


def _oval_corners(major: float, minor: float, shift: float, grow: float) -> Vector:
    """Corners of the polygon round a swept and grown ellipse, anticlockwise, shape (n, 2).

    The ellipse of half axes `major` (along x) and `minor` goes from -`shift`
    to `shift` along x and is grown by `grow` [mm]. Every side is a tangent: at
    the normal angle f it lies ``h + shift |cos f| + grow`` from the middle, with
    ``h = sqrt(major^2 cos^2 f + minor^2 sin^2 f)``. Two tangents df apart meet
    ``rho df^2 / 8`` outside, rho = ``major^2 minor^2 / h^3 + grow`` being the
    radius of curvature there, so they stand closer where rho is large.
    """
    fine = np.linspace(0.0, math.pi / 2.0, 2001)
    rho = (major * minor) ** 2 / _reach(major, minor, fine) ** 3 + grow
    steps = np.sqrt((rho[1:] + rho[:-1]) / 2.0) * np.diff(fine)
    along = np.concatenate([[0.0], np.cumsum(steps)])
    # A little closer than the rule, which is the first term of a series.
    wanted = math.ceil(1.03 * along[-1] / math.sqrt(8.0 * _CHORD_ERROR))
    count = min(max(8, wanted), _MOST_CHORDS // 4)
    quarter = np.interp(np.linspace(0.0, along[-1], count + 1), along, fine)
    # The straight flanks of the sweep have the normal angles 90 and 270 degrees.
    quarter[-1] = math.pi / 2.0
    half = np.concatenate([quarter, math.pi - quarter[-2::-1]])
    angles = np.concatenate([half, math.pi + half[1:-1]])
    reach = _reach(major, minor, angles) + shift * np.abs(np.cos(angles)) + grow
    normals = np.column_stack([np.cos(angles), np.sin(angles)])
    after, reach_after = np.roll(normals, -1, axis=0), np.roll(reach, -1)
    turn = normals[:, 0] * after[:, 1] - normals[:, 1] * after[:, 0]
    x = (reach * after[:, 1] - reach_after * normals[:, 1]) / turn
    y = (normals[:, 0] * reach_after - after[:, 0] * reach) / turn
    return np.column_stack([x, y])


def _reach(major: float, minor: float, angles: Vector) -> Vector:
    return np.asarray(np.hypot(major * np.cos(angles), minor * np.sin(angles)))


def _swept(passing: Passing, skins: tuple[float, float], grow: float) -> list[Point]:
    """Opening of an outline pushed along its axis: its sections at both skins and between."""
    high, low = (
        np.array([_crossing(p, passing.axis, z) for p in passing.base])
        for z in (skins[1], skins[0])
    )
    count = len(high)
    shapes: list[BaseGeometry] = [Polygon(high), Polygon(low)]
    shapes += [
        MultiPoint([high[i], high[(i + 1) % count], low[(i + 1) % count], low[i]]).convex_hull
        for i in range(count)
    ]
    whole = unary_union([shape for shape in shapes if shape.area > 0.0])
    assert isinstance(whole, Polygon), "a sweep hangs together"
    # What such a sweep closes in falls out with the rest. Sides far shorter than any
    # cut would lose their mitres; what goes with them is given back by growing more.
    plain = Polygon(whole.exterior).simplify(_SPECK)
    limit = 1.0 / math.sin(_SHARP / 2.0)
    grown = plain.buffer(grow + _SPECK, join_style="mitre", mitre_limit=limit)
    assert isinstance(grown, Polygon), "grown, it still does"
    return _corners(Polygon(grown.exterior).simplify(_IN_LINE))


def _within(passing: Passing, skins: tuple[float, float]) -> Vector:
    """Corners of what of a pushed outline lies between two levels, seen from above, (n, 2)."""
    base, top = passing.base, passing.base + passing.push
    around = np.roll(base, -1, axis=0), np.roll(top, -1, axis=0)
    starts = np.concatenate([base, top, base])
    ends = np.concatenate([around[0], around[1], top])
    low, high = skins
    found = [p[:2] for p in np.concatenate([base, top]) if low <= p[2] <= high]
    for a, b in zip(starts, ends, strict=True):
        for z in skins:
            if (a[2] - z) * (b[2] - z) < 0.0:
                found.append((a + (b - a) * (z - a[2]) / (b[2] - a[2]))[:2])
    return np.array(found)


def _is_convex(passing: Passing) -> bool:
    base, axis = passing.base, passing.axis
    sides = np.roll(base, -1, axis=0) - base
    turns = np.cross(sides, np.roll(sides, -1, axis=0)) @ axis
    return bool((turns >= 0.0).all() or (turns <= 0.0).all())


def _crossing(point: Vector, axis: Vector, z: float) -> Vector:
    """Where the line through a point along the axis crosses a level, shape (2,)."""
    return np.asarray((point + axis * (z - point[2]) / axis[2])[:2])


def _hull(points: Vector) -> tuple[list[Point], float]:
    """Corners of a hull, anticlockwise, and how far outside them it may lie [mm].

    A part that stands all but square has sides far shorter than any cut; their
    directions are noise, so they are left out.
    """
    hull = MultiPoint(points).convex_hull
    assert isinstance(hull, Polygon), "a part that passes has some width"
    exact, coarse = (_corners(hull.simplify(tolerance)) for tolerance in (_IN_LINE, _SPECK))
    return (exact, 0.0) if len(exact) == len(coarse) else (coarse, _SPECK)


def _corners(shape: BaseGeometry) -> list[Point]:
    """Corners of a polygon, anticlockwise."""
    assert isinstance(shape, Polygon), "made plainer, it stays one polygon"
    ring = orient(shape, 1.0).exterior.coords
    return [(float(x), float(y)) for x, y in list(ring)[:-1]]


def _grown(corners: list[Point], by: float) -> list[Point]:
    """Convex outline moved out all round; sharp corners are blunted, never cut too close."""
    moved = [(number(x), number(y)) for x, y in move_sides(corners, [-by] * len(corners))]
    found: list[Point] = []
    for i, angle in enumerate(interior_angles(corners)):
        if angle >= _SHARP or by <= 0.0:
            found.append(moved[i])
            continue
        # Cut the spike off square, where a circle of `by` about the corner ends.
        (cx, cy), (mx, my) = corners[i], moved[i]
        spike = math.dist(corners[i], moved[i])
        ux, uy = (mx - cx) / spike, (my - cy) / spike
        half = (spike - by) * math.tan(angle / 2.0)
        bx, by_ = cx + by * ux, cy + by * uy
        found += [(bx + half * uy, by_ - half * ux), (bx - half * uy, by_ + half * ux)]
    return found


# --- what is refused -----------------------------------------------------------


def _passing(part: AnyPart, feature: Feature, other: AnyPart) -> Passing:
    found = passing_of(other)
    if found is None:
        raise CannotMake(
            f'No opening in "{feature.face}" of {part.name} is worked out for {other.name}, '
            f"a {other.kind} of this shape.",
            part=part.name,
            field=feature.key,
            remedy="Cut a window for it by hand.",
        )
    return found


def _require_through(
    part: AnyPart, feature: Feature, other: AnyPart, passing: Passing, skins: tuple[float, float]
) -> None:
    low, high = passing.heights()
    deep = skins[0] + _STANDS
    if low <= deep and high >= skins[1] - _STANDS:
        return
    where = f'"{feature.face}" of {part.name}'
    if low > deep and low > skins[1] - _STANDS:
        stands = low < skins[1] + _STANDS
        what = (
            f"{other.name} stands on {where} and does not pass through it."
            if stands
            else f"{other.name} does not reach {where}: it ends {low - skins[1]:.1f} mm before it."
        )
    elif low > deep or high > skins[0]:
        short = low - skins[0] if low > deep else skins[1] - high
        what = f"{other.name} ends inside the board of {where}, {short:.1f} mm short."
    else:
        what = f"{other.name} does not reach {where}: it lies behind it."
    raise CannotMake(
        what,
        part=part.name,
        field=feature.key,
        remedy="Place it so that it goes right through the board, or leave out the opening.",
    )


def _require_inside(part: AnyPart, cut: FaceCut, other: AnyPart) -> None:
    """Refuse an opening over the edge of a face; folds and seams are for `flat` to mind."""
    outlines = bare_face_paths(part, cut.face)
    if not outlines:
        return
    needed = Polygon(path_chords(cut.path))
    face = Polygon(path_chords(outlines[0]), [path_chords(bore) for bore in outlines[1:]])
    if face.contains(needed):
        return
    where = f'"{cut.face}" of {part.name}'
    if not face.intersects(needed):
        what = f"{other.name} passes beside {where}, not through it."
    else:
        over = max(face.distance(Spot(p)) for p in needed.exterior.coords)
        what = f"The opening for {other.name} runs {over:.1f} mm over the edge of {where}."
    raise CannotMake(what, part=part.name, field=cut.key, remedy=f"Move {other.name}, or the face.")
