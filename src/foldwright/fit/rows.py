"""Rows: a part, or several side by side, that drop between two walls of another.

Room: fit. What the wall leaves free, less the sum of what drops in, all
finished. The way is square to the walls, as they stand in the build.
"""

from __future__ import annotations

from foldwright.fit.clearance import Clearance, Scene, cannot_meet, clearance, wanted_of
from foldwright.fit.floppy import pull_along
from foldwright.plan import AnyPart, Meet, Number
from foldwright.plan.dual import number
from foldwright.shape import Vector, face_corners, face_frame, reach_along
from foldwright.shape.planes import Spot, dot

# Two walls face one another within this (cosine).
_ALIGNED = 1.0 - 1e-6


def drops_between(meet: Meet, scene: Scene) -> tuple[Clearance, ...]:
    """Gap that is left in all."""
    outer = meet.outer
    ways = [face_frame(scene.parts[outer], wall)[:3, 2] for wall in meet.walls]
    if not float(ways[0] @ ways[1]) < -_ALIGNED:
        raise cannot_meet(
            meet,
            f'the walls "{meet.walls[0]}" and "{meet.walls[1]}" of {outer} do not face each other.',
            "Name two walls that stand parallel.",
            part=outer,
        )
    gap = _clear_width(scene, outer, meet.walls, ways)
    dims = list(scene.dims_behind([outer], gap))
    in_build = scene.way(outer, ways[0])
    for end in meet.ends[:-1]:
        own = scene.frames[end.part][:3, :3].T @ in_build
        low, high = reach_along(scene.parts[end.part], scene.duals[end.part], own.tolist())
        dims += scene.dims_behind([end.part], high - low)
        gap = gap - (high - low)
    low_end, high_end = wanted_of(meet, "gap")
    # One push goes through the whole row and both walls; nothing holds a floppy part wide.
    pulled = 2.0 * sum(pull_along(scene, part, in_build) for part in meet.parts)
    return (
        clearance(
            meet,
            "",
            gap,
            (low_end, high_end - pulled),
            tuple(dict.fromkeys(dims)),
            "gap in all",
            pulled=pulled,
        ),
    )


def _clear_width(scene: Scene, name: str, walls: tuple[str, ...], ways: list[Vector]) -> Number:
    """Inside, from wall to wall, finished [mm]."""
    part = scene.parts[name]
    clear: Number = 0.0
    for wall, way in zip(walls, ways, strict=True):
        corners = face_corners(part, wall, scene.duals[name])
        out: Spot = (float(way[0]), float(way[1]), float(way[2]))
        nearest = min((dot(out, corner) for corner in corners), key=number)
        clear = clear + nearest - wall_thickness(part, wall)
    return clear


def wall_thickness(part: AnyPart, wall: str) -> float:
    """Board of a wall with its finish on both faces [mm]."""
    return part.stock_of(wall)[1] + part.coat_outside + part.coat_inside
