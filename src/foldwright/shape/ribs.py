"""Ribs: inside sections that hold a shell true.

Room: shape. A rib stands square to an axis of its shell, its middle at the
station. Its edge is cut square too, so where a wall leans, the rib is as small
as the smaller of its two faces has to be, and touches along one rim. Each side
of the section of the bare outside belongs to a face of normal n; it moves in by::

    (t + c + gap + |n_s| h) / |n_p|

t and c the board of that face and the finish inside, n_s and n_p the parts of n
along the axis and in the section, h half the thickness of the rib, finished. At
an open face the rib ends flush with the edges of the shell, less the gap.

Corners are then clipped: where the shell folds outwards a chamfer, `clip` along
both sides; where it folds inwards a notch as deep, since there the corner of
the shell stands against the rib. Start at `rib_outline` and `rib_disc`.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np
from shapely import Polygon

from foldwright.errors import CannotMake, OutOfDomain, offer_names
from foldwright.plan import Box, Drum, Faceted, Hood, Number, Profile, Rib, Taper
from foldwright.plan.dual import cos, hypot, number, sin
from foldwright.shape.arcs import Arc, Outline, from_centre
from foldwright.shape.cutting import PLANES, CuttingPlane, cut_through
from foldwright.shape.hoods import hood_wall
from foldwright.shape.measured import Dim, Section, Span
from foldwright.shape.moving import moved, vanished_side
from foldwright.shape.outline import Corner, interior_angles
from foldwright.shape.outsides import solid
from foldwright.shape.rib_shells import sized_section, sized_shell
from foldwright.shape.rounds import drum_dims
from foldwright.shape.solid import Solid, Vector

# A face whose normal leans less than this from the axis lies along the rib (sine).
_LEVEL = 1e-6
# A rib and a board that share no more than this touch [mm2].
_TOUCHES = 1e-6
# Overlaps are judged on this grid [mm]; without one, polygons that share a side may overlap.
_GRID = 1e-8
_SQUARE = math.radians(0.1)


def rib_plane(rib: Rib) -> CuttingPlane:
    """Plane that a rib lies in.

    Raises
    ------
    CannotMake
        No kind of part that has ribs.
    """
    match rib.of:
        case Box() | Profile():
            return PLANES["y"]
        case Taper() | Drum() | Hood():
            return PLANES["z"]
        case Faceted():
            return PLANES[rib.along]
        case _:
            raise CannotMake(
                f"{rib.name} is to stand in {rib.of.name}, and a {rib.of.kind} takes no rib.",
                part=rib.name,
                field="of",
                remedy="A rib stands in a box, profile, taper, faceted part, drum or hood.",
            )


def rib_disc(rib: Rib, values: Mapping[str, Number], *, finished: bool) -> Number | None:
    """Diameter of the rib of a drum or hood [mm]; None for other shells.

    Raises
    ------
    CannotMake
        It stands out of an end, or nothing is left of it.
    """
    shell = sized_shell(rib)
    if not isinstance(shell, Drum | Hood):
        return None
    own = 0.0 if finished else rib.coat_outside
    across = inside_across(rib, shell, values, shell.values()) - 2.0 * own
    if not number(across) > 0.0:
        raise _nothing_left(rib, "gap")
    return across


def inside_across(
    rib: Rib, shell: Drum | Hood, values: Mapping[str, Number], sizes: Mapping[str, Number]
) -> Number:
    """Diameter that a drum or hood leaves for a finished rib, less its gap [mm].

    Parameters
    ----------
    rib : Rib
    shell : Drum or Hood
    values, sizes : Mapping
        Parameters of the rib, and of the shell [mm]; floats or duals.

    Raises
    ------
    CannotMake
        The rib stands out of an end.
    """
    station, gap, half = rib.station.value(values), rib.gap.value(values), _half(rib)
    if isinstance(shell, Drum):
        dims = drum_dims(shell, sizes, finished=True)
        _require_between(rib, number(station), 0.0, number(dims["length"].value))
        return dims["bore"].value - 2.0 * gap
    wall = hood_wall(shell, sizes, finished=True)
    _require_between(rib, number(station), 0.0, number(wall.height))
    narrow = station + half if number(wall.lean) > 0.0 else station - half
    rim_z = wall.bottom_z - wall.through * sin(wall.lean)
    fall = 2.0 * sin(wall.lean) / cos(wall.lean)
    inside = wall.bore(wall.bottom_d) - (narrow - rim_z) * fall
    return inside - 2.0 * gap / cos(wall.lean)


def rib_outline(
    rib: Rib, values: Mapping[str, Number], *, finished: bool, clipped: bool = True
) -> Outline | None:
    """Outline of the rib of a folded part in the coordinates of the section; None for a disc.

    Of a mirrored rib: that of the other hand; its `of` is in the first.

    Raises
    ------
    CannotMake
        The section falls apart, the rib stands in an end board or out of an
        open end, or nothing is left of it.
    """
    plane, shell = rib_plane(rib), sized_shell(rib)
    if not isinstance(shell, Box | Profile | Taper | Faceted):
        return None
    body = solid(shell)
    station = rib.station.value(values)
    section = sized_section(rib, body, plane, _section(rib, body, plane, station), station)
    distances = _distances(rib, body, plane, section, values, finished=finished)
    inside = _moved_in(rib, section, distances)
    _require_sound(rib, section, distances, inside)
    _require_clear_ends(rib, body, plane, inside, number(station))
    if clipped:
        inside = _clipped(rib, inside, rib.clip.value(values))
    return inside.mirrored() if rib.mirrored and plane.right == 0 else inside


def rib_motion(rib: Rib) -> Vector:
    """Motion from the rib's frame to that of the shell it stands in, shape (4, 4)."""
    plane, station = rib_plane(rib), number(rib.station.value(rib.values()))
    motion = np.zeros((4, 4))
    motion[plane.right, 0] = motion[plane.up, 1] = motion[3, 3] = 1.0
    motion[plane.along, 2] = plane.way
    if rib.mirrored and plane.along == 0:
        station = -station
    motion[plane.along, 3] = station - plane.way * rib.thickness / 2.0
    return motion


def rib_dims(rib: Rib, values: Mapping[str, Number], *, finished: bool) -> dict[str, Dim]:
    """Every dim of a rib."""
    outline = rib_outline(rib, values, finished=finished)
    if outline is None:
        across = rib_disc(rib, values, finished=finished)
        assert across is not None
        across = across + values.get("~diameter_off", 0.0)
        found = [
            Dim("diameter", across, "across, the mean of three directions", "diameter"),
            Dim("girth", across * math.pi, "tape once round the edge", "girth"),
        ]
    else:
        found = [
            Dim("width", _extent(outline, 0, values), "left to right, over all"),
            Dim("height", _extent(outline, 1, values), "bottom to top of the outline, over all"),
        ]
    return {dim.name: dim for dim in found}


def rib_section(rib: Rib, face: str, values: Mapping[str, Number], *, mouth: bool) -> Section:
    """Circle or rectangle that a rib offers to a meet, its corners taken as sharp."""
    if face not in ("", "top", "bottom") or mouth:
        raise CannotMake(
            f"Nothing can slide into {rib.name}."
            if mouth
            else f'A meet cannot use face "{face}" of {rib.name}.',
            part=rib.name,
            field="",
            remedy="Let another part be the outer one."
            if mouth
            else offer_names(face, ("top", "bottom")),
        )
    z = 0.0 if face == "bottom" else rib.thickness
    # As drawn: the section of the other hand is reflected as a whole by `dims.section_of`.
    outline = rib_outline(replace(rib, mirrored=False), values, finished=True, clipped=False)
    if outline is None:
        across = rib_dims(rib, values, finished=True)["diameter"].value
        return Section((Span("diameter", across, (1.0, 0.0, 0.0)),), (0.0, 0.0, z))
    plain = outline.plain()
    square = all(abs(angle - math.pi / 2.0) < _SQUARE for angle in interior_angles(plain))
    level = all(min(abs(x), abs(y)) < 1e-6 for x, y in map(outline.difference, range(len(plain))))
    if len(plain) != 4 or not square or not level or any(outline.arcs):
        raise CannotMake(
            f"{rib.name} is no upright rectangle, so a meet cannot tell its margins.",
            part=rib.name,
            field="of",
            remedy="Let the meet use another part.",
        )
    xs, ys = [x for x, _ in plain], [y for _, y in plain]
    return Section(
        (
            Span("width", _extent(outline, 0, values), (1.0, 0.0, 0.0)),
            Span("height", _extent(outline, 1, values), (0.0, 1.0, 0.0)),
        ),
        ((min(xs) + max(xs)) / 2.0, (min(ys) + max(ys)) / 2.0, z),
    )


def _extent(outline: Outline, axis: int, values: Mapping[str, Number]) -> Number:
    """Over all, with what the rib strays from the section of its shell."""
    return outline.extent(axis) + values.get(("~width_off", "~height_off")[axis], 0.0)


def _half(rib: Rib) -> float:
    """Half the thickness of the rib, finished [mm]."""
    return rib.thickness / 2.0 + rib.coat_outside


def _section(rib: Rib, body: Solid, plane: CuttingPlane, station: Number) -> Outline:
    """Section of the shell, one loop that keeps its sides over the rib's thickness."""
    loops = cut_through(body, plane, station)
    if len(loops) != 1:
        what = f"falls into {len(loops)} outlines" if loops else "is not there"
        raise CannotMake(
            f"The section of {rib.of.name} at {number(station):.1f} mm {what}.",
            part=rib.name,
            field="station",
            remedy="Move the station to where the shell is one outline."
            if not loops
            else "Move the station, or cut each rib as a plate.",
        )
    for end in (-1.0, 1.0):
        other = cut_through(body, plane, number(station) + end * _half(rib))
        if len(other) != 1 or not _same_sides(loops[0].names, other[0].names):
            raise CannotMake(
                f"{rib.of.name} changes its outline, or ends, within the thickness of {rib.name} "
                f"at {number(station):.1f} mm.",
                part=rib.name,
                field="station",
                remedy="Move the station away from that edge of the shell.",
            )
    return loops[0]


def _same_sides(one: tuple[str, ...], other: tuple[str, ...]) -> bool:
    turns = (other[i:] + other[:i] for i in range(len(other)))
    return any(one == turned for turned in turns)


def _distances(
    rib: Rib,
    body: Solid,
    plane: CuttingPlane,
    section: Outline,
    values: Mapping[str, Number],
    *,
    finished: bool,
) -> list[Number]:
    """How far each side of the section moves in [mm]."""
    shell, gap = rib.of, rib.gap.value(values)
    found: list[Number] = []
    for name in section.names:
        face = body.face(name)
        along = 0.0 if face.cylinder else abs(float(body.normal(face)[plane.along]))
        in_plane = math.sqrt(1.0 - along * along)
        into = shell.stock_of(name)[1] + shell.coat_inside
        if name in shell.leave_open:
            into = -shell.coat_outside
        own = 0.0 if finished else rib.coat_outside
        found.append((into + gap + along * _half(rib)) / in_plane + own)
    return found


def _moved_in(rib: Rib, section: Outline, distances: list[Number]) -> Outline:
    """Sides moved in; a facet that vanishes behind its neighbours is left out."""
    while True:
        try:
            inside = moved(section, distances)
        except OutOfDomain as fault:
            raise CannotMake(
                f"{rib.name}: {fault}", part=rib.name, field="gap", remedy="Make the gap smaller."
            ) from fault
        gone = vanished_side(section, inside)
        if gone is None:
            return inside
        at = section.names.index(gone)
        before, after = at - 1, (at + 1) % len(section)
        if len(section) < 4 or any(section.arcs[i] for i in (before, at, after)):
            raise _nothing_left(rib, "gap")
        meeting = _crossing(section, before, after)
        if meeting is None:
            raise _nothing_left(rib, "gap")
        keep = [i for i in range(len(section)) if i != at]
        corners = {**dict(enumerate(section.corners)), after: meeting}
        section = Outline(
            tuple(corners[i] for i in keep),
            tuple(section.names[i] for i in keep),
            tuple(section.arcs[i] for i in keep),
        )
        distances = [distances[i] for i in keep]


def _crossing(section: Outline, one: int, other: int) -> Corner | None:
    """Where the lines of two straight sides cross; None if they run side by side."""
    (ax, ay), (bx, by) = section.corners[one], section.corners[(one + 1) % len(section)]
    (cx, cy), (dx, dy) = section.corners[other], section.corners[(other + 1) % len(section)]
    ux, uy, vx, vy = bx - ax, by - ay, dx - cx, dy - cy
    cross = ux * vy - uy * vx
    if abs(number(cross)) < _LEVEL * number(hypot(ux, uy)) * number(hypot(vx, vy)):
        return None
    share = ((cx - ax) * vy - (cy - ay) * vx) / cross
    return ax + share * ux, ay + share * uy


def _require_sound(
    rib: Rib, section: Outline, distances: Sequence[Number], inside: Outline
) -> None:
    """Refuse a rib that crosses itself or a board: a neck of the shell too narrow for two."""
    shape = Polygon(inside.chords())
    if not shape.is_valid or number(inside.area()) <= 0.0:
        raise _nothing_left(rib, "station")
    # Chords of an arc that bows in stray outside it by less than this.
    if not Polygon(section.chords()).buffer(0.5).contains(shape):
        raise _nothing_left(rib, "station")
    corners = section.plain()
    for i, distance in enumerate(distances):
        if section.arcs[i] is None and number(distance) > 0.0:
            (ax, ay), (bx, by) = corners[i], corners[(i + 1) % len(corners)]
            share = number(distance) / math.dist((ax, ay), (bx, by))
            dx, dy = share * (ay - by), share * (bx - ax)
            board = Polygon([(ax, ay), (bx, by), (bx + dx, by + dy), (ax + dx, ay + dy)])
            if board.intersection(shape, grid_size=_GRID).area > _TOUCHES:
                raise CannotMake(
                    f'{rib.name} would cut into the board of "{section.names[i]}" of '
                    f"{rib.of.name}.",
                    part=rib.name,
                    field="station",
                    remedy="That face is too short there, or too near another one: move the "
                    "station, or cut this rib as a plate.",
                )


def _require_clear_ends(
    rib: Rib, body: Solid, plane: CuttingPlane, inside: Outline, station: float
) -> None:
    """Refuse a rib that stands in a board which lies along it."""
    shell, shape = rib.of, Polygon(inside.chords())
    for face in body.faces:
        if face.cylinder:
            continue
        normal = body.normal(face)
        if math.hypot(normal[plane.right], normal[plane.up]) > _LEVEL:
            continue
        corners = body.corners(face)
        away = abs(float(corners[0][plane.along]) - station)
        board = 0.0
        if face.name not in shell.leave_open:
            board = shell.stock_of(face.name)[1] + shell.coat_inside
        over = (
            Polygon(corners[:, [plane.right, plane.up]]).intersection(shape, grid_size=_GRID).area
        )
        if away < board + _half(rib) and over > _TOUCHES:
            raise _in_an_end(rib, station, face.name, board)


def _require_between(rib: Rib, station: float, low: float, high: float) -> None:
    """Refuse a rib that stands out of an open end."""
    for end, name in ((low, "bottom"), (high, "top")):
        beyond = (station - _half(rib) < low) if end == low else (station + _half(rib) > high)
        if beyond:
            raise _in_an_end(rib, station, name, 0.0)


def _in_an_end(rib: Rib, station: float, face: str, board: float) -> CannotMake:
    where = f'would stand in the board of "{face}"' if board else f'stands out of the open "{face}"'
    return CannotMake(
        f"{rib.name}, {rib.thickness:g} mm thick at {station:.1f} mm, {where} of {rib.of.name}.",
        part=rib.name,
        field="station",
        remedy=f"Keep its middle at least {board + _half(rib):.1f} mm from that end.",
    )


def _nothing_left(rib: Rib, field: str) -> CannotMake:
    return CannotMake(
        f"Inside {rib.of.name} there is no room for {rib.name} in one piece.",
        part=rib.name,
        field=field,
        remedy="Make the gap smaller, or move the station to where the shell is wider.",
    )


def _clipped(rib: Rib, outline: Outline, clip: Number) -> Outline:
    """Corners cut off where the shell folds outwards, notched where it folds inwards."""
    if number(clip) <= 0.0:
        return outline
    turns = [0.0 if outline.is_tangent(i) else outline.turn(i) for i in range(len(outline))]
    corners: list[Corner] = []
    names: list[str] = []
    arcs: list[Arc | None] = []
    for i, turn in enumerate(turns):
        ends = int(turn != 0.0) + int(turns[(i + 1) % len(turns)] != 0.0)
        if number(outline.length(i)) <= ends * number(clip):
            raise CannotMake(
                f"{rib.name} is {number(outline.length(i)):.1f} mm along "
                f'"{outline.names[i]}", too short for clips of {number(clip):.1f} mm.',
                part=rib.name,
                field="clip",
                remedy="Make clip smaller.",
            )
        if turn != 0.0:
            before = _along(outline, i - 1, clip, from_end=True)
            corners.append(before)
            names.append("clip")
            arcs.append(None)
            after = _along(outline, i, clip, from_end=False)
            if turn < 0.0:
                corners.append(_notch(outline.corners[i], before, after, clip))
                names.append("clip")
                arcs.append(None)
            corners.append(after)
        else:
            corners.append(outline.corners[i])
        names.append(outline.names[i])
        arcs.append(outline.arcs[i])
    return Outline(tuple(corners), tuple(names), tuple(arcs))


def _along(outline: Outline, i: int, distance: Number, *, from_end: bool) -> Corner:
    """Return the point of side i that lies `distance` along it from one of its ends."""
    i %= len(outline)
    ends = outline.corners[i], outline.corners[(i + 1) % len(outline)]
    (x, y), (tx, ty) = ends[::-1] if from_end else ends
    arc = outline.arcs[i]
    if arc is None:
        share = distance / outline.chord(i)
        return x + share * (tx - x), y + share * (ty - y)
    angle = distance / arc.radius * (-arc.sense if from_end else arc.sense)
    ax, ay = from_centre(arc, (x, y))
    c, s = cos(angle), sin(angle)
    return arc.centre[0] + c * ax - s * ay, arc.centre[1] + s * ax + c * ay


def _notch(corner: Corner, before: Corner, after: Corner, clip: Number) -> Corner:
    """Bottom of the notch at a corner that the shell pushes into the rib: across from it."""
    x = before[0] + after[0] - 2.0 * corner[0]
    y = before[1] + after[1] - 2.0 * corner[1]
    share = clip / hypot(x, y)
    return corner[0] - share * x, corner[1] - share * y
