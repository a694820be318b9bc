"""Boxes and profiles: an outline in x-z pushed along y.

Room: shape. A box is the profile of its width and height. The outline of the
plan is the finished outside (or the bare one, if the part says so); the bare
outline lies inside it by the finish, the inside outline one board further in.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from shapely import Polygon

from foldwright.errors import CannotMake, OutOfDomain, offer_names
from foldwright.plan import Box, Number, Profile
from foldwright.plan.dual import number
from foldwright.shape.arcs import Outline, slightest_turn
from foldwright.shape.measured import Dim, Section, Span
from foldwright.shape.moving import moved, vanished_side
from foldwright.shape.rounding import outline_with_arcs
from foldwright.shape.solid import Solid, prism

BOX_SIDES = ("bottom", "right", "top", "left")
ENDS = ("front", "back")
# A side that leans more than this is not straight enough to slide.
_SQUARE = math.radians(0.1)


def given_outline(part: Box | Profile, values: Mapping[str, Number]) -> Outline:
    """Outline as the plan states it, in x-z [mm].

    Raises
    ------
    CannotMake
        A round that does not fit.
    """
    if isinstance(part, Box):
        width, height = part.width.value(values), part.height.value(values)
        corners = [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)]
        return outline_with_arcs(corners, BOX_SIDES)
    try:
        return outline_with_arcs(
            [(x.value(values), z.value(values)) for x, z in part.outline],
            part.sides,
            [r.value(values) if r is not None else None for r in part.rounds],
            [r.value(values) if r is not None else None for r in part.rises],
        )
    except OutOfDomain as fault:
        raise CannotMake(
            f"{part.name}: {fault}",
            part=part.name,
            field="rounds",
            remedy="Make the round smaller or the side longer; a side that is one bow from "
            "end to end takes a rise instead.",
        ) from fault


def bare_outline(part: Box | Profile, values: Mapping[str, Number]) -> Outline:
    """Outside of the bare board, in x-z [mm]."""
    given = given_outline(part, values)
    return given if part.bare else _moved(part, given, [part.coat_outside] * len(given))


def bare_ends(part: Box | Profile, values: Mapping[str, Number]) -> tuple[Number, Number]:
    """Where the bare ends lie on y: front, back [mm]."""
    depth, coat = part.depth.value(values), 0.0 if part.bare else part.coat_outside
    return coat, depth - coat


def outside_outline(
    part: Box | Profile, values: Mapping[str, Number], *, finished: bool
) -> Outline:
    """Outside outline in x-z, with the finish on or bare [mm]."""
    coat = part.coat_outside if finished else 0.0
    bare = bare_outline(part, values)
    return _moved(part, bare, [-coat] * len(bare))


def inside_outline(part: Box | Profile, values: Mapping[str, Number], *, finished: bool) -> Outline:
    """Inside outline in x-z; an open side stays where its edges end [mm]."""
    bare = bare_outline(part, values)
    return _moved(part, bare, [_into(part, name, finished=finished) for name in bare.names])


def depths(
    part: Box | Profile, values: Mapping[str, Number], *, finished: bool
) -> tuple[Number, Number]:
    """Outside and inside extent along y [mm]."""
    front, back = bare_ends(part, values)
    coat = part.coat_outside if finished else 0.0
    inside = back - front
    for end in ENDS:
        inside = inside - _into(part, end, finished=finished)
    return back - front + 2.0 * coat, inside


def _into(part: Box | Profile, face: str, *, finished: bool) -> float:
    """How far the inside lies in from the bare outside at a face [mm]."""
    if face in part.leave_open:
        return -part.coat_outside if finished else 0.0
    return part.stock_of(face)[1] + (part.coat_inside if finished else 0.0)


def _moved(part: Box | Profile, outline: Outline, distances: Sequence[Number]) -> Outline:
    try:
        return moved(outline, distances)
    except OutOfDomain as fault:
        raise CannotMake(
            f"{part.name}: {fault}",
            part=part.name,
            field="outline",
            remedy="Make the arc larger, or use thinner board.",
        ) from fault


def solid(part: Box | Profile) -> Solid:
    """Return the bare solid of the part as drawn.

    Raises
    ------
    CannotMake
        Two sides in line, a side that the finish swallows, an arc without an
        inside, sides that cross, no room inside.
    """
    values = part.values()
    given = given_outline(part, values)
    at = slightest_turn(given)
    if at is not None:
        raise _in_line(part, given, at)
    bare = bare_outline(part, values)
    lost = vanished_side(given, bare)
    if lost is not None:
        raise CannotMake(
            f'Side "{lost}" of {part.name} is shorter than its finish is thick.',
            part=part.name,
            field="outline",
            remedy="Make it longer, or leave out the corner.",
        )
    _require_bends(part, bare)
    _require_room(part, bare)
    front, back = bare_ends(part, values)
    return _pushed(part, bare, front, back)


def finished_solid(part: Box | Profile) -> Solid:
    """Return the solid with its finish on, as drawn."""
    values = part.values()
    coat = part.coat_outside
    front, back = bare_ends(part, values)
    return _pushed(part, outside_outline(part, values, finished=True), front - coat, back + coat)


def _pushed(part: Box | Profile, outline: Outline, front: Number, back: Number) -> Solid:
    arcs = [
        ((number(arc.centre[0]), number(arc.centre[1])), number(arc.radius), arc.sense)
        if arc
        else None
        for arc in outline.arcs
    ]
    return prism(
        outline.plain(),
        number(front),
        number(back),
        outline.names,
        ENDS,
        frozenset(part.leave_open),
        arcs,
    )


def _in_line(part: Box | Profile, outline: Outline, at: int) -> CannotMake:
    before, after = outline.names[at - 1], outline.names[at]
    if outline.arcs[at - 1] is None and outline.arcs[at] is None:
        return CannotMake(
            f'Sides "{before}" and "{after}" of {part.name} lie in one line.',
            part=part.name,
            field="outline",
            remedy="Leave out the corner between them.",
        )
    turn = math.degrees(outline.turn(at))
    return CannotMake(
        f'Sides "{before}" and "{after}" of {part.name} are nearly tangent: they turn by '
        f"{turn:.2f} degrees, too little for a fold.",
        part=part.name,
        field="rises",
        remedy="Let a round join them, or change the rise until they run into each other "
        "or make a clear corner.",
    )


def _require_bends(part: Box | Profile, bare: Outline) -> None:
    """Refuse an outward bow whose board would have no inside radius."""
    for name, arc in zip(bare.names, bare.arcs, strict=True):
        thickness = part.stock_of(name)[1]
        if arc is None or arc.sense < 0 or name in part.leave_open:
            continue
        if number(arc.radius) <= thickness:
            raise CannotMake(
                f'The bare outside of "{name}" of {part.name} bends to a radius of '
                f"{number(arc.radius):.4g} mm, and its board is {thickness:g} mm thick.",
                part=part.name,
                field="rounds" if "~" in name else "rises",
                remedy="Make the radius larger, or fold a sharp corner there.",
            )


def _require_room(part: Box | Profile, bare: Outline) -> None:
    """Refuse a part that has no inside: its boards would run into one another."""
    deep = number(depths(part, part.values(), finished=False)[1])
    within = Polygon(bare.chords())
    if not within.is_valid:
        raise CannotMake(
            f"The outline of {part.name} crosses or touches itself.",
            part=part.name,
            field="outline",
            remedy="Make its bows and rounds smaller, or move the corners apart.",
        )
    if deep > 0.0 and not within.buffer(-part.thickness, join_style="mitre").is_empty:
        return
    raise CannotMake(
        f"{part.name} has no room inside for {part.thickness:g} mm board"
        + ("." if deep > 0.0 else ", front to back."),
        part=part.name,
        field="outline" if isinstance(part, Profile) else "",
        remedy="Make it larger, or use thinner board.",
    )


def dims(part: Box | Profile, values: Mapping[str, Number], *, finished: bool) -> dict[str, Dim]:
    """Every dim of a box or profile."""
    outside = outside_outline(part, values, finished=finished)
    inside = inside_outline(part, values, finished=finished)
    depth, inside_depth = depths(part, values, finished=finished)
    found = [
        Dim("width", outside.extent(0), "outside, left to right, over the middle of the faces"),
        Dim("depth", depth, "outside, front to back, over the middle of the faces"),
        Dim("height", outside.extent(1), "outside, bottom to top, over the middle of the faces"),
        Dim("inside_depth", inside_depth, "inside, front to back"),
    ]
    if isinstance(part, Box):
        found += [
            Dim("inside_width", inside.extent(0), "inside, left to right"),
            Dim("inside_height", inside.extent(1), "inside, bottom to top"),
        ]
    else:
        for name in part.sides:
            found += _side_dims(part, name, outside, inside)
    return {dim.name: dim for dim in found}


def _side_dims(part: Profile, name: str, outside: Outline, inside: Outline) -> list[Dim]:
    i = outside.names.index(name)
    if name in part.leave_open:
        return [Dim(f"{name}_mouth", _mouth(outside, inside, i), f"inside, across the open {name}")]
    if outside.arcs[i] is None:
        length = outside.length(i)
        return [Dim(f"{name}_length", length, f"outside, along the {name}, mid-depth")]
    rise = outside.rise(i)
    bows = "out" if number(rise) > 0.0 else "in"
    return [
        Dim(f"{name}_chord", outside.chord(i), f"outside, straight across the {name}, mid-depth"),
        Dim(
            f"{name}_rise",
            rise if bows == "out" else -rise,
            f"how far the middle of the {name} bows {bows} past its chord: straight edge and rule",
        ),
    ]


def _mouth(outside: Outline, inside: Outline, i: int) -> Number:
    """Clear width of the opening at side i, along that side.

    Its ends may lie at two depths: a tangent neighbour ends square to itself.
    """
    (ax, ay), (bx, by) = outside.corners[i], outside.corners[(i + 1) % len(outside)]
    (cx, cy), (dx, dy) = inside.corners[i], inside.corners[(i + 1) % len(inside)]
    return ((bx - ax) * (dx - cx) + (by - ay) * (dy - cy)) / outside.chord(i)


def section(
    part: Box | Profile, face: str, values: Mapping[str, Number], *, mouth: bool
) -> Section:
    """Rectangle that a face offers to a meet; see `dims.section_of`."""
    outside = outside_outline(part, values, finished=True)
    outline = inside_outline(part, values, finished=True) if mouth else outside
    names = outline.names
    if not face and mouth and len(part.leave_open) == 1:
        face = part.leave_open[0]
    faces = (*names, *ENDS)
    if face not in faces:
        asked = f'face "{face}"' if face else "a face"
        raise CannotMake(
            f"A meet with {part.name} needs {asked} that it has.",
            part=part.name,
            field="",
            remedy=f'Write "{part.name}.FACE". {offer_names(face, faces)}',
        )
    if mouth and face not in part.leave_open:
        raise CannotMake(
            f'Nothing can slide into the closed face "{face}" of {part.name}.',
            part=part.name,
            field="leave_open",
            remedy=f'Add "{face}" to leave_open, or name the open face.',
        )
    depth = depths(part, values, finished=True)[1 if mouth else 0]
    depth_dim = "inside_depth" if mouth else "depth"
    if face in names:
        i = names.index(face)
        length = _mouth(outside, outline, i)
        return _side_section(part, i, outline, (length, depth), depth_dim, mouth)
    return _end_section(part, face, outline, values, mouth)


def _side_section(
    part: Box | Profile,
    i: int,
    outline: Outline,
    extents: tuple[Number, Number],
    depth_dim: str,
    mouth: bool,
) -> Section:
    if outline.arcs[i] is not None and not mouth:
        raise CannotMake(
            f'Side "{outline.names[i]}" of {part.name} is curved, and a meet compares flat faces.',
            part=part.name,
            field="",
            remedy="Let the meet use a flat face.",
        )
    if not mouth and part.kind == "profile":
        _refuse_wider_below(part, i, outline)
    plain = outline.plain()
    (ax, az), (bx, bz) = plain[i], plain[(i + 1) % len(plain)]
    along = math.hypot(bx - ax, bz - az)
    return Section(
        (
            Span(
                _side_dim(part, i, outline, mouth),
                extents[0],
                ((bx - ax) / along, 0.0, (bz - az) / along),
            ),
            Span(depth_dim, extents[1], (0.0, 1.0, 0.0)),
        ),
        ((ax + bx) / 2.0, _middle_depth(part), (az + bz) / 2.0),
    )


def _refuse_wider_below(part: Box | Profile, i: int, outline: Outline) -> None:
    names = outline.names
    for corner, neighbour in ((i, i - 1), ((i + 1) % len(names), i + 1)):
        if math.pi - outline.turn(corner) > math.pi / 2.0 + _SQUARE:
            raise CannotMake(
                f'{part.name} gets wider behind "{names[i]}": side '
                f'"{names[neighbour % len(names)]}" leans out.',
                part=part.name,
                field="outline",
                remedy="A face that slides in or rests needs upright sides behind it; "
                "give it a straight part first.",
            )


def _side_dim(part: Box | Profile, i: int, outline: Outline, mouth: bool) -> str:
    if isinstance(part, Box):
        name = "width" if i in (0, 2) else "height"
        return f"inside_{name}" if mouth else name
    return f"{outline.names[i]}_{'mouth' if mouth else 'length'}"


def _end_section(
    part: Box | Profile,
    face: str,
    outline: Outline,
    values: Mapping[str, Number],
    mouth: bool,
) -> Section:
    plain = outline.plain()
    upright = all(abs(outline.turn(i) - math.pi / 2.0) < _SQUARE for i in range(len(plain)))
    level = abs(plain[1][1] - plain[0][1]) < 1e-9
    if len(plain) != 4 or any(outline.arcs) or not upright or not level:
        raise CannotMake(
            f'The end "{face}" of {part.name} is no upright rectangle.',
            part=part.name,
            field="outline",
            remedy="Let the meet use a side of the outline instead.",
        )
    prefix = "inside_" if mouth and isinstance(part, Box) else ""
    ends = bare_ends(part, values)
    middle = (
        (plain[0][0] + plain[1][0]) / 2.0,
        number(ends[ENDS.index(face)]),
        (plain[1][1] + plain[2][1]) / 2.0,
    )
    return Section(
        (
            Span(f"{prefix}width", outline.extent(0), (1.0, 0.0, 0.0)),
            Span(f"{prefix}height", outline.extent(1), (0.0, 0.0, 1.0)),
        ),
        middle,
    )


def _middle_depth(part: Box | Profile) -> float:
    front, back = bare_ends(part, part.values())
    return (number(front) + number(back)) / 2.0
