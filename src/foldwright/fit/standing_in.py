"""How a rib stands in its shell: the gap all round, as the two came out.

Room: fit. No plan writes this meet, since every rib has it: `rib_meets` makes
it of the rib's own gap, which is the middle of what is wanted. The gap is taken
at both ends of each straight side of the rib, square to the wall, where the rib
comes nearest to it. A rib is shoved about until it fits, so its place does not
count, only its size; nor does a lean of the shell, which the rib takes out.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from foldwright.errors import CannotMake
from foldwright.fit.clearance import Clearance, Scene, cannot_meet, clearance, wanted_of
from foldwright.fit.floppy import pull_along
from foldwright.plan import (
    AnyPart,
    Box,
    Drum,
    End,
    Faceted,
    FoldedPart,
    Hood,
    Meet,
    Number,
    Profile,
    Rib,
    Taper,
)
from foldwright.plan.dual import hypot, number
from foldwright.shape import (
    Vector,
    corners_by_face,
    dims_of,
    face_frame,
    inside_across,
    is_followed,
    rib_outline,
    rib_plane,
    way_in_hand,
    with_offs,
)
from foldwright.shape.planes import Spot

STANDS_IN = "stands-in"
# A rib that is this much off its gap still does its work; the scatter of a cut with knife
# and rule [mm]. Common practice, no source.
_LEAST_ROOM = 0.3
# A wall that runs along the rib is none that it stands against (sine).
_ALONG = 1e-6

type _Corner = tuple[Number, Number]


def rib_meets(parts: Mapping[str, AnyPart]) -> tuple[Meet, ...]:
    """The meet of each rib with the shell it stands in.

    Parameters
    ----------
    parts : Mapping of str to AnyPart
        By name.
    """
    found = []
    for name, rib in parts.items():
        if isinstance(rib, Rib):
            gap = number(rib.gap.value(rib.values()))
            room = max(gap, _LEAST_ROOM)
            ends = End(name, ""), End(rib.of.name, "")
            wanted = (("gap", (gap - room, gap + room)),)
            found.append(Meet(f"{name} in {rib.of.name}", STANDS_IN, ends, wanted))
    return tuple(found)


def stands_in(meet: Meet, scene: Scene) -> tuple[Clearance, ...]:
    """Gap between a rib and its shell: at both ends of each side, or all round.

    Raises
    ------
    CannotMake
        The rib cannot be drawn, touches no flat wall, or stands out of an end.
    """
    rib = scene.parts[meet.inner]
    assert isinstance(rib, Rib), "only a rib stands in its shell"
    rib = replace(rib, mirrored=False)  # both are looked at in the hand that it is drawn in
    of, values = meet.outer, scene.duals[meet.inner]
    shell = replace(scene.parts[of], mirrored=rib.of.mirrored)
    # a lean, a skew and a twist are the rib's to take out
    sizes = {
        name: value * way_in_hand(rib, scene.parts[of], name)
        for name, value in scene.duals[of].items()
        if is_followed(name)
    }
    if isinstance(shell, Drum | Hood):
        across = dims_of(rib, values, finished=True)["diameter"].value
        room = inside_across(rib, with_offs(shell, sizes), values, sizes)
        gaps = [("all round", rib.gap.value(values) + (room - across) / 2.0, 0.0)]
    else:
        assert isinstance(shell, Box | Profile | Taper | Faceted), "rib_plane refuses others"
        gaps = _by_side(meet, scene, rib, shell, values, sizes)
    return tuple(
        clearance(
            meet,
            across,
            gap,
            wanted_of(meet, "gap"),
            scene.dims_behind((meet.inner, of), gap),
            "gap to the wall",
            pulled=pulled,
        )
        for across, gap, pulled in gaps
    )


def _by_side(
    meet: Meet,
    scene: Scene,
    rib: Rib,
    shell: FoldedPart,
    values: Mapping[str, Number],
    sizes: Mapping[str, Number],
) -> list[tuple[str, Number, float]]:
    """Where, how wide the gap is there, and how far the wall gives, at each end of each side."""
    outline = rib_outline(rib, values, finished=True, clipped=False)
    assert outline is not None, "a rib is a disc or has an outline"
    corners = _as_cut(outline.corners, values)
    walls, wanted = corners_by_face(shell, sizes), rib.gap.value(values)
    where, off, out, pulled = [], [], [], []
    for i, side in enumerate(outline.names):
        if side not in walls or outline.arcs[i] is not None:
            continue
        ends = corners[i], corners[(i + 1) % len(corners)]
        for gap in _to_wall(rib, shell, side, ends, walls[side]):
            (ax, ay), (bx, by) = outline.plain()[i], outline.plain()[(i + 1) % len(corners)]
            length = math.dist((ax, ay), (bx, by))
            where.append(f'at "{side}"')
            off.append(gap - wanted)
            out.append(((by - ay) / length, (ax - bx) / length))
            pulled.append(_gives(meet, scene, side))
    if not off:
        raise cannot_meet(meet, "the rib has no flat wall to stand against.", "Use a plate.")
    return [
        (side, wanted + gap, give)
        for side, gap, give in zip(where, _shoved(off, np.array(out)), pulled, strict=True)
    ]


def _as_cut(corners: tuple[_Corner, ...], values: Mapping[str, Number]) -> list[_Corner]:
    """Corners of a rib that was cut a little wider, higher or more tapered than drawn."""
    (left, right), (low, high) = (
        (min(number(c[k]) for c in corners), max(number(c[k]) for c in corners)) for k in (0, 1)
    )
    wider, higher, taper = (values.get(f"~{n}", 0.0) for n in ("width_off", "height_off", "taper"))
    found = []
    for x, y in corners:
        u, v = ((number(x) - left) / (right - left) - 0.5, (number(y) - low) / (high - low) - 0.5)
        found.append((x + u * (wider + v * taper), y + v * higher))
    return found


def _to_wall(
    rib: Rib,
    shell: FoldedPart,
    side: str,
    ends: tuple[_Corner, _Corner],
    wall: tuple[Spot, ...],
) -> list[Number]:
    """How far each end of a side of the rib is from the inside of its wall, square to it."""
    plane = rib_plane(rib)
    lean = float(face_frame(shell, side)[plane.along, 2])
    square = math.sqrt(max(1.0 - lean * lean, _ALONG))
    narrow = math.copysign(rib.thickness / 2.0 + rib.coat_outside, lean) if lean else 0.0
    station = number(rib.station.value(rib.values())) + narrow
    (ax, ay), (bx, by) = _line_at(rib, wall, station, ends)
    length = hypot(bx - ax, by - ay)
    board = 0.0
    if side not in shell.leave_open:
        board = shell.coat_outside + shell.stock_of(side)[1] + shell.coat_inside
    found = []
    for x, y in ends:
        inwards = ((bx - ax) * (y - ay) - (by - ay) * (x - ax)) / length
        found.append(inwards * square - board)
    return found


def _line_at(
    rib: Rib,
    corners: tuple[Spot, ...],
    station: float,
    ends: tuple[_Corner, _Corner],
) -> tuple[_Corner, _Corner]:
    """Ends of the line that a wall makes on a rib's plane, run the way of the rib's side.

    Raises
    ------
    CannotMake
        The wall does not reach that plane.
    """
    plane, found = rib_plane(rib), []
    for a, b in zip(corners, (*corners[1:], corners[0]), strict=True):
        if (number(a[plane.along]) >= station) != (number(b[plane.along]) >= station):
            share = (station - a[plane.along]) / (b[plane.along] - a[plane.along])
            x, y = (a[k] + share * (b[k] - a[k]) for k in (plane.right, plane.up))
            found.append((x, y))
    way = [number(ends[1][k]) - number(ends[0][k]) for k in (0, 1)]
    if not found:
        raise CannotMake(
            f"{rib.name} stands at {station:.1f} mm, where its shell as it came out has ended.",
            part=rib.name,
            field="station",
            remedy="Move the station.",
        )
    found.sort(key=lambda point: number(point[0]) * way[0] + number(point[1]) * way[1])
    return found[0], found[-1]


def _shoved(off: list[Number], out: Vector) -> list[Number]:
    """What is left of the gaps when the rib is shoved to where it fits best."""
    stays = np.eye(len(off)) - out @ np.linalg.pinv(out)
    found = []
    for row in stays:
        total: Number = 0.0
        for share, gap in zip(row, off, strict=True):
            total = total + float(share) * gap
        found.append(total)
    return found


def _gives(meet: Meet, scene: Scene, side: str) -> float:
    """How far a floppy wall gives to its rib [mm]."""
    shell = scene.parts[meet.outer]
    if not shell.is_flexible:
        return 0.0
    return pull_along(scene, meet.outer, scene.way(meet.outer, face_frame(shell, side)[:3, 2]))
