"""The body of any kind of part: what a picture shows of it.

Room: shape. Start at `body_of`. Folded parts go through their `Solid` (see
`shells`); what is round is turned here from its radii, what is flat is
pushed up from its outline. All of it is the finished outside as drawn.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from shapely import Polygon
from shapely.affinity import translate
from shapely.geometry import box
from shapely.geometry.base import BaseGeometry

from foldwright.plan import AnyPart
from foldwright.plan.dual import number
from foldwright.plan.kinds import (
    Bought,
    Box,
    Drum,
    Faceted,
    Hood,
    Plate,
    Plug,
    Profile,
    Rib,
    Strip,
    Taper,
    Tube,
)
from foldwright.plan.records import Length
from foldwright.shape.body import (
    Body,
    Builder,
    Facet,
    Generator,
    Surface,
    chords,
    points_of,
    polygons_of,
    quad_facet,
)
from foldwright.shape.outsides import solid
from foldwright.shape.paths import FaceCut
from foldwright.shape.plates import disc, plate_outline
from foldwright.shape.shells import path_points, shell_of
from foldwright.shape.solid import Solid, Vector, prism

_AXIS = (0.0, 0.0, 1.0)
_SEAM = (1.0, 0.0, 0.0)


def body_of(part: AnyPart, cuts: Sequence[FaceCut] = ()) -> Body:
    """Body of a part in its own frame.

    Parameters
    ----------
    part : any kind of part
    cuts : sequence of FaceCut
        What is cut into its faces; drawn as holes.

    Returns
    -------
    Body

    Raises
    ------
    CannotMake
        The part cannot be made as asked; as `solid`.
    """
    match part:
        case Box() | Profile() | Taper() | Faceted():
            # without its finish the given sizes are those of the outside
            bare = part if part.bare else replace(part, finish=None)
            return shell_of(_solid(bare), lambda face: part.stock_of(face)[1], cuts)
        case Plate() | Rib():
            outline, holes = _flat_outline(part)
            body = _pushed(outline, holes, 0.0, part.thickness, cuts)
        case Strip():
            body = _strip(part, cuts)
        case Tube() if part.square:
            body = _square_tube(part, cuts)
        case Bought() if part.diameter is None:
            return shell_of(_block(part), lambda _: 1.0)
        case _:
            body = _round(part, cuts)
    return body.mirrored() if part.mirrored else body


def _solid(part: Box | Profile | Taper | Faceted) -> Solid:
    return solid(part)


def _value(part: AnyPart, length: Length | None) -> float:
    return 0.0 if length is None else number(length.value(part.values()))


def _round(part: AnyPart, cuts: Sequence[FaceCut]) -> Body:
    """Drums, hoods, round tubes, plugs and bought cylinders."""
    grown = 2.0 * part.coat_outside if part.bare else 0.0
    match part:
        case Drum():
            r = (_value(part, part.outside_d) + grown) / 2.0
            return _turned((r, r), part.thickness, _value(part, part.length) + grown, cuts)
        case Hood():
            radii = tuple((_value(part, d) + grown) / 2.0 for d in (part.bottom_d, part.top_d))
            height = _value(part, part.height)
            lean = math.atan2(radii[0] - radii[1], height)
            return _turned((radii[0], radii[1]), part.thickness / math.cos(lean), height, cuts)
        case Tube():
            r = part.across / 2.0
            return _turned((r, r), part.thickness, _value(part, part.length), cuts)
        case Plug():
            r = _value(part, part.diameter) / 2.0
            wall = r - _value(part, part.bolt_d) / 2.0
            return _turned((r, r), wall, _value(part, part.length), cuts)
        case Bought():
            r = _value(part, part.diameter) / 2.0
            return _turned((r, r), r, _value(part, part.length), cuts)
    raise AssertionError(f"{part.kind} is not round")


def _turned(
    radii: tuple[float, float], wall: float, height: float, cuts: Sequence[FaceCut]
) -> Body:
    """A wall turned round z, of some thickness; as thick as its radius it is solid."""
    build = Builder()
    inner = tuple(max(0.0, r - wall) for r in radii)
    count = max(12, chords(max(radii), math.tau))
    angles = np.linspace(0.0, math.tau, count + 1)
    outside = Generator((0.0, 0.0, 0.0), _AXIS, _SEAM, radii, height)
    inside = replace(outside, radii=(inner[0], inner[1]), sense=-1)
    step = math.tau / count
    holes = [
        _unrolled(cut, radii, height, step)
        for cut in cuts
        if cut.face == "wall" and not cut.drilled_in_place
    ]
    build.surfaces.append(_curved("wall", outside, angles, holes))
    rings = [outside.points(angles[:-1], share) for share in (0.0, 1.0)]
    hollow = max(inner) > 1e-6
    if hollow:
        build.surfaces.append(_curved("wall", inside, angles, holes, turned_in=True))
    bores = [inside.points(angles[:-1], share) for share in (0.0, 1.0)]
    for ring, bore, face, up in zip(rings, bores, ("bottom", "top"), (-1.0, 1.0), strict=True):
        i = 0 if up < 0.0 else 1
        if radii[i] > 1e-6:
            own = [
                _on_end(c, face, height) for c in cuts if c.face == face and not c.drilled_in_place
            ]
            loops = [*([bore] if inner[i] > 1e-6 else []), *own]
            build.flat(face, ring[:: int(up)], np.array([0.0, 0.0, up]), loops)
            build.ridge(ring, ("wall", face), closed=True)
            for loop in own:
                build.ridge(loop, (face, face), closed=True)
        if inner[i] > 1e-6:
            build.ridge(bore, ("wall", face), closed=True, inside=True)
    for hole in holes:
        _hole_in_wall(build, hole, step, outside, inside if hollow else None)
    return build.body()


def _on_end(cut: FaceCut, face: str, height: float) -> Vector:
    """Cutout of a round end; seen from below its frame is turned over about x."""
    xy = np.array(path_points(cut.path))
    if face == "top":
        return np.column_stack([xy, np.full(len(xy), height)])
    return np.column_stack([xy[:, 0], -xy[:, 1], np.zeros(len(xy))])


def _unrolled(cut: FaceCut, radii: tuple[float, float], height: float, step: float) -> Vector:
    """Cutout of a wall as (angle, share of the height), shape (n, 2).

    Its sides are cut short at every chord of the wall, `step` [rad] apart. On a
    cylinder x runs round the outside; on a cone it is taken at the mean radius.
    """
    girth = (radii[0] + radii[1]) / 2.0
    run = [(x / girth, y / height) for x, y in path_points(cut.path)]
    found = []
    for (ax, ay), (bx, by) in zip(run, [*run[1:], run[0]], strict=True):
        first, last = sorted((ax / step, bx / step))
        crossed = [n * step for n in range(math.ceil(first + 1e-9), math.ceil(last - 1e-9))]
        shares = sorted((angle - ax) / (bx - ax) for angle in crossed)
        found += [(ax + (bx - ax) * t, ay + (by - ay) * t) for t in (0.0, *shares)]
    return np.array(found)


def _curved(
    face: str, wall: Generator, angles: Vector, holes: Sequence[Vector], *, turned_in: bool = False
) -> Surface:
    """Strip of chords between the ends of a wall, without its holes."""
    low, high = (wall.points(angles, share) for share in (0.0, 1.0))
    cutters = [Polygon(hole) for hole in holes]
    # a hole over the seam shows on either end of the sweep
    cutters += [translate(c, xoff=turn) for c in cutters for turn in (-math.tau, math.tau)]
    facets: list[Facet] = []
    for i in range(len(angles) - 1):
        quad = np.array([low[i], low[i + 1], high[i + 1], high[i]])
        facet = quad_facet(quad[::-1] if turned_in else quad)
        if facet is None:
            continue
        strip = box(angles[i], 0.0, angles[i + 1], 1.0)
        met = [c for c in cutters if c.intersects(strip)]
        if not met:
            facets.append(facet)
            continue
        left: BaseGeometry = strip
        for cutter in met:
            left = left.difference(cutter)
        for polygon in polygons_of(left):
            loops = [
                _on_quad(np.array(ring.coords)[:-1], quad, float(angles[i]), float(angles[i + 1]))
                for ring in (polygon.exterior, *polygon.interiors)
            ]
            facets.append(
                Facet(tuple(points_of(p[::-1] if turned_in else p) for p in loops), facet.normal)
            )
    shown = tuple(tuple((float(a), float(h)) for a, h in hole) for hole in holes)
    return Surface(face, tuple(facets), wall, turned_in, shown)


def _on_quad(places: Vector, quad: Vector, first: float, last: float) -> Vector:
    """Points of a chord quad at (angle, share of the height)."""
    u = ((places[:, 0] - first) / (last - first))[:, None]
    v = places[:, 1][:, None]
    return np.asarray(
        (1.0 - v) * ((1.0 - u) * quad[0] + u * quad[1]) + v * ((1.0 - u) * quad[3] + u * quad[2])
    )


def _hole_in_wall(
    build: Builder, hole: Vector, step: float, outside: Generator, inside: Generator | None
) -> None:
    """Edges of a hole in a wall, and the thickness of the board in it."""

    def on(wall: Generator) -> Vector:
        """The hole on the chords of a wall."""
        first = np.floor(hole[:, 0] / step)
        share = (hole[:, 0] / step - first)[:, None]
        ends = [
            np.array(
                [
                    wall.points(np.array([n * step]), h)[0]
                    for n, h in zip(at, hole[:, 1], strict=True)
                ]
            )
            for at in (first, first + 1.0)
        ]
        return np.asarray((1.0 - share) * ends[0] + share * ends[1])

    near = on(outside)
    build.ridge(near, ("wall", "wall"), closed=True)
    if inside is not None:
        far = on(inside)
        build.ridge(far, ("wall", "wall"), closed=True, inside=True)
        build.wall("wall", near[::-1], far[::-1], closed=True)


def _flat_outline(part: Plate | Rib) -> tuple[list[tuple[float, float]], list[Vector]]:
    """Finished outline of a plate and its own bore."""
    if isinstance(part, Rib):
        raise AssertionError("ribs have no outline yet")
    values = part.values()
    if part.diameter is None:
        corners = plate_outline(part, values, finished=True)
        return [(number(x), number(y)) for x, y in corners], []
    across, bore = (number(d) for d in disc(part, values, finished=True))
    rings = [_circle(d / 2.0) for d in (across, bore) if d > 0.0]
    return [(float(x), float(y)) for x, y in rings[0]], rings[1:]


def _circle(radius: float) -> Vector:
    angles = np.linspace(0.0, math.tau, max(12, chords(radius, math.tau)), endpoint=False)
    return radius * np.column_stack([np.cos(angles), np.sin(angles)])


def _pushed(
    outline: Sequence[tuple[float, float]],
    holes: Sequence[Vector],
    low: float,
    high: float,
    cuts: Sequence[FaceCut] = (),
) -> Body:
    """An outline pushed from one height to another, with faces top, bottom and edge."""
    build = Builder()
    ring = np.array(outline)
    inner = [*holes, *_in_outline(ring, cuts)]

    def at(points: Vector, z: float) -> Vector:
        return np.column_stack([points, np.full(len(points), z)])

    for face, z, up in (("bottom", low, -1), ("top", high, 1)):
        build.flat(
            face, at(ring, z)[::up], np.array([0.0, 0.0, float(up)]), [at(h, z) for h in inner]
        )
        for loop in (ring, *inner):
            build.ridge(at(loop, z), (face, "edge"), closed=True)
    build.wall("edge", at(ring, low), at(ring, high), closed=True, inside=False)
    _upright(build, ring, low, high)
    for hole in inner:
        clockwise = hole if _area(hole) < 0.0 else hole[::-1]
        build.wall("edge", at(clockwise, low), at(clockwise, high), closed=True)
        _upright(build, clockwise, low, high)
    return build.body()


def _area(loop: Vector) -> float:
    x, y = loop[:, 0], loop[:, 1]
    return float(x @ np.roll(y, -1) - y @ np.roll(x, -1)) / 2.0


def _in_outline(ring: Vector, cuts: Sequence[FaceCut]) -> list[Vector]:
    """Cutouts of the two sides of a plate, in its own frame."""
    found = []
    low, high = ring.min(axis=0), ring.max(axis=0)
    is_round = len(ring) >= 12 and np.ptp(np.hypot(*ring.T)) < 1e-6
    for cut in cuts:
        if cut.drilled_in_place or cut.face not in ("top", "bottom"):
            continue
        xy = np.array(path_points(cut.path))
        if cut.face == "bottom":  # turned over about its lower edge, or about x
            xy = xy * (1.0, -1.0) if is_round else np.column_stack([xy[:, 0], -xy[:, 1]])
        found.append(xy if is_round else xy + (low if cut.face == "top" else (low[0], high[1])))
    return found


def _upright(build: Builder, ring: Vector, low: float, high: float) -> None:
    """Upright lines at the corners of an outline; where it is curved they are smooth."""
    before, after = ring - np.roll(ring, 1, axis=0), np.roll(ring, -1, axis=0) - ring
    turn = np.arctan2(
        before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0], (before * after).sum(axis=1)
    )
    # chords of small holes turn up to 30 degrees
    is_curve = len(ring) >= 12
    for (x, y), angle in zip(ring, turn, strict=True):
        smooth = abs(angle) < (0.55 if is_curve else 2e-3)
        build.ridge(np.array([(x, y, low), (x, y, high)]), ("edge", "edge"), smooth=smooth)


def _strip(part: Strip, cuts: Sequence[FaceCut]) -> Body:
    """A strip, and its flange if it is an angle."""
    length, width, t = _value(part, part.length), _value(part, part.width), part.thickness
    if part.flange is None:
        corners = [(0.0, 0.0), (length, 0.0), (length, width), (0.0, width)]
        return _pushed(corners, [], 0.0, t, cuts)
    return shell_of(_angle(length, width, _value(part, part.flange), t, part.turn), lambda _: t)


def _angle(length: float, width: float, flange: float, t: float, turn: float) -> Solid:
    """Section of an angle in y-z pushed along x."""
    c, s = math.cos(turn), math.sin(turn)
    inner = t * math.tan(turn / 2.0)
    corner = (width, t)
    toe = (width + flange * c, t - flange * s)
    heel = (toe[0] - t * s, toe[1] - t * c)
    section = [(0.0, 0.0), (width - inner, 0.0), heel, toe, corner, (0.0, t)]
    # `prism` pushes x-z along y; turned about z, its outline stands in y-z
    names = ("bottom", "inside", "toe", "flange", "top", "edge")
    # turned round, side i runs between the corners of side n - 2 - i
    back = (*names[-2::-1], names[-1])
    corners = [(-y, z) for y, z in section[::-1]]
    flat = prism(corners, 0.0, length, back, ("left", "right"), frozenset())
    turned = tuple((y, -x, z) for x, y, z in flat.vertices)
    return replace(flat, vertices=turned)


def _square_tube(part: Tube, cuts: Sequence[FaceCut]) -> Body:
    half, length = part.across / 2.0, _value(part, part.length)
    outline = [(-half, -half), (half, -half), (half, half), (-half, half)]
    names = ("front", "right", "back", "left")
    whole = prism(
        [(x, z) for x, z in outline],
        0.0,
        length,
        names,
        ("bottom", "top"),
        frozenset({"bottom", "top"}),
    )
    # from x-z along y to x-y along z: a quarter turn about x keeps the hand
    turned = tuple((x, -z, y) for x, y, z in whole.vertices)
    whole = replace(whole, vertices=turned)
    return shell_of(_renamed_square(whole), lambda _: part.thickness, cuts)


def _renamed_square(tube: Solid) -> Solid:
    """Name the four sides by where they look."""
    looks = {(0, -1): "front", (0, 1): "back", (-1, 0): "left", (1, 0): "right"}
    faces = []
    for face in tube.faces:
        x, y, z = (round(float(n)) for n in tube.normal(face))
        faces.append(replace(face, name=face.name if z else looks[x, y]))
    return replace(tube, faces=tuple(faces))


def _block(part: Bought) -> Solid:
    """Envelope of what is bought, a box of its sizes."""
    w, d, h = (_value(part, x) for x in (part.width, part.depth, part.height))
    outline = [(0.0, 0.0), (w, 0.0), (w, h), (0.0, h)]
    return prism(
        outline, 0.0, d, ("bottom", "right", "top", "left"), ("front", "back"), frozenset()
    )
