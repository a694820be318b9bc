"""The body of any kind of part: what a picture shows of it.

Room: shape. Start at `body_of`. Folded parts go through their finished solid
(see `shells`), what is curled or turned through `turned`; what is flat is
pushed up from its outline here. All of it is the finished outside as drawn.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from foldwright.plan import (
    AnyPart,
    Bought,
    Box,
    Drum,
    Faceted,
    Hood,
    Length,
    Plate,
    Plug,
    Profile,
    Rib,
    Strip,
    Taper,
    Tube,
)
from foldwright.plan.dual import number
from foldwright.shape.bare_faces import bare_face_frame
from foldwright.shape.body import Body, Builder
from foldwright.shape.bought import envelope
from foldwright.shape.outsides import finished_solid
from foldwright.shape.paths import FaceCut, Path, Step
from foldwright.shape.plates import disc, plate_path
from foldwright.shape.ribs import rib_disc, rib_outline
from foldwright.shape.shells import path_corners, path_points, shell_of
from foldwright.shape.solid import Solid, Vector, prism
from foldwright.shape.strips import strip_dims, strip_span
from foldwright.shape.tubes import plug_dims, tube_dims
from foldwright.shape.turned import curled, pipe


def body_of(part: AnyPart, cuts: Sequence[FaceCut] = ()) -> Body:
    """Body of a part in its own frame.

    Parameters
    ----------
    part : any kind of part
    cuts : sequence of FaceCut
        What is cut into its faces; drawn as holes. What is drilled in place
        is not there yet. On curved faces of profiles and on angles none are drawn.

    Returns
    -------
    Body

    Raises
    ------
    CannotMake
        The part cannot be made as asked.
    """
    open_cuts = [cut for cut in cuts if not cut.drilled_in_place]
    match part:
        case Box() | Profile() | Taper() | Faceted():
            return shell_of(
                finished_solid(part),
                lambda face: part.stock_of(face)[1] + part.coat_outside + part.coat_inside,
                open_cuts,
                lambda face: bare_face_frame(part, face),
            )
        case Drum() | Hood():
            return curled(part, open_cuts)
        case Plate() | Rib():
            path, bores = _flat_outline(part)
            return _pushed(path, [*bores, *_holes(part, open_cuts)], 0.0, part.thickness)
        case Strip() if part.flange is None:
            x0, x1, y0, y1 = strip_span(part, finished=True)
            path = tuple(Step(p) for p in ((x0, y0), (x1, y0), (x1, y1), (x0, y1)))
            return _pushed(path, _holes(part, open_cuts), 0.0, part.thickness)
        case Strip():
            return shell_of(_angle(part), lambda _: part.thickness)
        case Tube():
            return _tube(part)
        case Plug():
            dims = plug_dims(part, part.values(), finished=True)
            bore = _value(part, part.bolt_d)
            return pipe(number(dims["diameter"].value), bore, number(dims["length"].value))
        case Bought():
            found = envelope(part)
            if isinstance(found, Drum):
                d, long = (number(x.value(part.values())) for x in (found.outside_d, found.length))
                return pipe(d, 0.0, long)
            return shell_of(finished_solid(found), lambda _: 0.0)


def _value(part: AnyPart, length: Length | None) -> float:
    return 0.0 if length is None else number(length.value(part.values()))


def _tube(part: Tube) -> Body:
    long = number(tube_dims(part, part.values(), finished=True)["length"].value)
    if not part.square:
        return pipe(part.across, part.across - 2.0 * part.thickness, long)
    half = part.across / 2.0
    outline = [(-half, -half), (half, -half), (half, half), (-half, half)]
    # seen from the front (-y) before the quarter turn about x that stands it up
    names = ("back", "right", "front", "left")
    ends = ("bottom", "top")
    lying = prism(outline, 0.0, long, names, ends, frozenset(ends))
    stood = replace(lying, vertices=tuple((x, -z, y) for x, y, z in lying.vertices))
    return shell_of(stood, lambda _: part.thickness)


def _flat_outline(part: Plate | Rib) -> tuple[Path, list[Path]]:
    """Finished outline of a plate or rib, anticlockwise, and its own bore."""
    if isinstance(part, Rib):
        outline = rib_outline(part, part.values(), finished=True)
        if outline is not None:
            return outline.path(), []
        across = rib_disc(part, part.values(), finished=True)
        return _circle(number(across or 0.0)), []
    if part.diameter is None:
        return plate_path(part, finished=True), []
    diameter, bore = (number(d) for d in disc(part, part.values(), finished=True))
    return _circle(diameter), [_circle(bore)] if bore > 0.0 else []


def _circle(diameter: float) -> Path:
    right, left = (diameter / 2.0, 0.0), (-diameter / 2.0, 0.0)
    return (Step(left, (0.0, 0.0)), Step(right, (0.0, 0.0)))


def _holes(part: Plate | Rib | Strip, cuts: Sequence[FaceCut]) -> list[Path]:
    """Cutouts of the two sides of a flat part, in its own frame, by chords."""
    found = []
    for cut in cuts:
        if cut.face in ("top", "bottom"):
            frame = bare_face_frame(part, cut.face)
            flat = np.array([(x, y, 0.0) for x, y in path_points(cut.path)])
            placed = flat @ frame[:3, :3].T + frame[:3, 3]
            found.append(tuple(Step((float(x), float(y))) for x, y, _ in placed))
    return found


def _pushed(outline: Path, holes: Sequence[Path], low: float, high: float) -> Body:
    """An outline pushed from one height to another, with faces top, bottom and edge."""
    build = Builder()
    rings = []
    for path, way in ((outline, 1.0), *((hole, -1.0) for hole in holes)):
        corners = path_corners(path)
        ring = np.array([point for point, _ in corners])
        # chords of a hole turn a little at each: what is nearly straight is no corner
        smooth = [is_smooth or _is_slight(ring, i) for i, (_, is_smooth) in enumerate(corners)]
        turned = _area(ring) * way < 0.0
        rings.append((ring[::-1], smooth[::-1]) if turned else (ring, smooth))

    def at(points: Vector, z: float) -> Vector:
        return np.column_stack([points, np.full(len(points), z)])

    for face, z, up in (("bottom", low, -1), ("top", high, 1)):
        normal = np.array([0.0, 0.0, float(up)])
        cutters = [at(ring, z) for ring, _ in rings[1:]]
        build.flat(face, at(rings[0][0], z)[::up], normal, cutters)
        for ring, _ in rings:
            build.ridge(at(ring, z), (face, "edge"), closed=True)
    for i, (ring, smooth) in enumerate(rings):
        build.wall("edge", at(ring, low), at(ring, high), closed=True, inside=i > 0)
        for (x, y), is_smooth in zip(ring, smooth, strict=True):
            upright = np.array([(x, y, low), (x, y, high)])
            build.ridge(upright, ("edge", "edge"), smooth=is_smooth)
    return build.body()


def _area(loop: Vector) -> float:
    x, y = loop[:, 0], loop[:, 1]
    return float(x @ np.roll(y, -1) - y @ np.roll(x, -1)) / 2.0


def _is_slight(ring: Vector, i: int) -> bool:
    """Whether a corner turns no more than a chord of a hole does."""
    before, after = ring[i] - ring[i - 1], ring[(i + 1) % len(ring)] - ring[i]
    turn = math.atan2(float(before[0] * after[1] - before[1] * after[0]), float(before @ after))
    return len(ring) >= 12 and abs(turn) < math.radians(31.0)


def _angle(part: Strip) -> Solid:
    """Board of an angle: its section in y-z pushed along x."""
    x0, x1, y0, y1 = strip_span(part, finished=True)
    long = number(strip_dims(part, part.values(), finished=True)["flange"].value)
    t, c, s = part.thickness, math.cos(part.turn), math.sin(part.turn)
    inner = t * math.tan(part.turn / 2.0)
    toe = (y1 + long * c, t - long * s)
    section = [
        (y0, 0.0),
        (y1 - inner, 0.0),
        (toe[0] - t * s, toe[1] - t * c),
        toe,
        (y1, t),
        (y0, t),
    ]
    names = ("bottom", "inside", "toe", "flange", "top", "edge")
    # turned round, side i runs between the corners of side n - 2 - i
    back = (*names[-2::-1], names[-1])
    corners = [(-y, z) for y, z in section[::-1]]
    flat = prism(corners, x0, x1, back, ("left end", "right end"), frozenset())
    return replace(flat, vertices=tuple((y, -x, z) for x, y, z in flat.vertices))
