"""Boxes and profiles: an outline in x-z pushed along y.

Room: shape. A box is the profile of its width and height. The outline of the
plan is the finished outside (or the bare one, if the part says so); the bare
outline lies inside it by the finish, the inside outline one board further in.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from shapely import Polygon

from foldwright.errors import CannotMake, offer_names
from foldwright.plan import Box, Number, Profile
from foldwright.plan.dual import number
from foldwright.shape.measured import Dim, Section, Span
from foldwright.shape.outline import (
    Corner,
    extent,
    interior_angles,
    is_same_way_round,
    move_sides,
    side_lengths,
)
from foldwright.shape.solid import Solid, prism

BOX_SIDES = ("bottom", "right", "top", "left")
ENDS = ("front", "back")
# A side that leans more than this is not straight enough to slide.
_SQUARE = math.radians(0.1)


def side_names(part: Box | Profile) -> tuple[str, ...]:
    """Names of the faces over the sides of the outline, in order."""
    return BOX_SIDES if isinstance(part, Box) else part.sides


def given_outline(part: Box | Profile, values: Mapping[str, Number]) -> list[Corner]:
    """Outline as the plan states it: corners (x, z) [mm]."""
    if isinstance(part, Box):
        width, height = part.width.value(values), part.height.value(values)
        return [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)]
    return [(x.value(values), z.value(values)) for x, z in part.outline]


def bare_outline(part: Box | Profile, values: Mapping[str, Number]) -> list[Corner]:
    """Outside of the bare board: corners (x, z) [mm]."""
    given = given_outline(part, values)
    return given if part.bare else move_sides(given, [part.coat_outside] * len(given))


def bare_ends(part: Box | Profile, values: Mapping[str, Number]) -> tuple[Number, Number]:
    """Where the bare ends lie on y: front, back [mm]."""
    depth, coat = part.depth.value(values), 0.0 if part.bare else part.coat_outside
    return coat, depth - coat


def outside_outline(
    part: Box | Profile, values: Mapping[str, Number], *, finished: bool
) -> list[Corner]:
    """Outside outline, with the finish on or bare: corners (x, z) [mm]."""
    coat = part.coat_outside if finished else 0.0
    bare = bare_outline(part, values)
    return move_sides(bare, [-coat] * len(bare))


def inside_outline(
    part: Box | Profile, values: Mapping[str, Number], *, finished: bool
) -> list[Corner]:
    """Inside outline; an open side stays where its edges end [mm]."""
    into = part.thickness + (part.coat_inside if finished else 0.0)
    out = -part.coat_outside if finished else 0.0
    distances = [out if name in part.leave_open else into for name in side_names(part)]
    return move_sides(bare_outline(part, values), distances)


def depths(
    part: Box | Profile, values: Mapping[str, Number], *, finished: bool
) -> tuple[Number, Number]:
    """Outside and inside extent along y [mm]."""
    front, back = bare_ends(part, values)
    coat = part.coat_outside if finished else 0.0
    into = part.thickness + (part.coat_inside if finished else 0.0)
    inside = back - front
    for end in ENDS:
        inside = inside - (-coat if end in part.leave_open else into)
    return back - front + 2.0 * coat, inside


def solid(part: Box | Profile) -> Solid:
    """Return the bare solid of the part as drawn.

    Raises
    ------
    CannotMake
        Two sides in line, or a side that the finish swallows.
    """
    values = part.values()
    given = [(number(x), number(z)) for x, z in given_outline(part, values)]
    names = side_names(part)
    for i, angle in enumerate(interior_angles(given)):
        if abs(angle - math.pi) < math.radians(0.5):
            raise CannotMake(
                f'Sides "{names[i - 1]}" and "{names[i]}" of {part.name} lie in one line.',
                part=part.name,
                field="outline",
                remedy="Leave out the corner between them.",
            )
    bare = [(number(x), number(z)) for x, z in bare_outline(part, values)]
    if not all(is_same_way_round(given, bare)):
        side = names[is_same_way_round(given, bare).index(False)]
        raise CannotMake(
            f'Side "{side}" of {part.name} is shorter than its finish is thick.',
            part=part.name,
            field="outline",
            remedy="Make it longer, or leave out the corner.",
        )
    _require_room(part, bare)
    front, back = bare_ends(part, values)
    return prism(bare, number(front), number(back), names, ENDS, frozenset(part.leave_open))


def _require_room(part: Box | Profile, bare: list[tuple[float, float]]) -> None:
    """Refuse a part that has no inside: its boards would run into one another."""
    deep = number(depths(part, part.values(), finished=False)[1])
    if deep > 0.0 and not Polygon(bare).buffer(-part.thickness, join_style="mitre").is_empty:
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
        Dim("width", extent(outside, 0), "outside, left to right, over the middle of the faces"),
        Dim("depth", depth, "outside, front to back, over the middle of the faces"),
        Dim("height", extent(outside, 1), "outside, bottom to top, over the middle of the faces"),
        Dim("inside_depth", inside_depth, "inside, front to back"),
    ]
    if isinstance(part, Box):
        found += [
            Dim("inside_width", extent(inside, 0), "inside, left to right"),
            Dim("inside_height", extent(inside, 1), "inside, bottom to top"),
        ]
    else:
        lengths, mouths = side_lengths(outside), side_lengths(inside)
        for name, length, mouth in zip(part.sides, lengths, mouths, strict=True):
            if name in part.leave_open:
                found.append(Dim(f"{name}_mouth", mouth, f"inside, across the open {name}"))
            else:
                found.append(Dim(f"{name}_length", length, f"outside, along the {name}, mid-depth"))
    return {dim.name: dim for dim in found}


def section(
    part: Box | Profile, face: str, values: Mapping[str, Number], *, mouth: bool
) -> Section:
    """Rectangle that a face offers to a meet; see `dims.section_of`."""
    names = side_names(part)
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
    outline = (
        inside_outline(part, values, finished=True)
        if mouth
        else outside_outline(part, values, finished=True)
    )
    depth = depths(part, values, finished=True)[1 if mouth else 0]
    depth_dim = "inside_depth" if mouth else "depth"
    if face in names:
        return _side_section(part, names.index(face), outline, depth, depth_dim, mouth)
    return _end_section(part, face, outline, values, mouth)


def _side_section(
    part: Box | Profile,
    i: int,
    outline: list[Corner],
    depth: Number,
    depth_dim: str,
    mouth: bool,
) -> Section:
    plain = [(number(x), number(z)) for x, z in outline]
    angles = interior_angles(plain)
    if not mouth and part.kind == "profile":
        _refuse_wider_below(part, i, angles)
    (ax, az), (bx, bz) = plain[i], plain[(i + 1) % len(plain)]
    length = side_lengths(outline)[i]
    along = math.hypot(bx - ax, bz - az)
    return Section(
        (
            Span(_side_dim(part, i, mouth), length, ((bx - ax) / along, 0.0, (bz - az) / along)),
            Span(depth_dim, depth, (0.0, 1.0, 0.0)),
        ),
        ((ax + bx) / 2.0, _middle_depth(part), (az + bz) / 2.0),
    )


def _refuse_wider_below(part: Box | Profile, i: int, angles: list[float]) -> None:
    for corner, neighbour in ((i, i - 1), ((i + 1) % len(angles), i + 1)):
        if angles[corner] > math.pi / 2.0 + _SQUARE:
            names = side_names(part)
            raise CannotMake(
                f'{part.name} gets wider behind "{names[i]}": side '
                f'"{names[neighbour % len(names)]}" leans out.',
                part=part.name,
                field="outline",
                remedy="A face that slides in or rests needs upright sides behind it; "
                "give it a straight part first.",
            )


def _side_dim(part: Box | Profile, i: int, mouth: bool) -> str:
    if isinstance(part, Box):
        name = "width" if i in (0, 2) else "height"
        return f"inside_{name}" if mouth else name
    return f"{part.sides[i]}_{'mouth' if mouth else 'length'}"


def _end_section(
    part: Box | Profile,
    face: str,
    outline: list[Corner],
    values: Mapping[str, Number],
    mouth: bool,
) -> Section:
    plain = [(number(x), number(z)) for x, z in outline]
    upright = all(abs(angle - math.pi / 2.0) < _SQUARE for angle in interior_angles(plain))
    level = abs(plain[1][1] - plain[0][1]) < 1e-9
    if len(outline) != 4 or not upright or not level:
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
            Span(f"{prefix}width", extent(outline, 0), (1.0, 0.0, 0.0)),
            Span(f"{prefix}height", extent(outline, 1), (0.0, 0.0, 1.0)),
        ),
        middle,
    )


def _middle_depth(part: Box | Profile) -> float:
    front, back = bare_ends(part, part.values())
    return (number(front) + number(back)) / 2.0
