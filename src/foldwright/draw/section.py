"""Section through a groove: what to set the cutter to, drawn from the numbers.

Room: draw. The board lies with the side that the cutter enters up. All lines
follow from floor, web, thickness and cutter angle.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from foldwright.draw.drawing import (
    CUT,
    DIMENSION,
    HATCH,
    LETTERING,
    Arc,
    Area,
    Item,
    Point,
    Stroke,
    Words,
    line,
    polyline,
)
from foldwright.draw.fonts import text_width
from foldwright.draw.info import SheetInfo, degrees
from foldwright.draw.sheet import READ, arrow

_SCALES = (5.0, 4.0, 3.0, 2.0, 1.0)
_FLANK = 11.0  # board shown on each side of the groove [mm]
_RIGHT = 12.0  # room for the thickness on the right [mm]


@dataclass(frozen=True)
class Groove:
    """One groove: mm and radians; `angle` 0 is a saw kerf, `skin` 0 solid board."""

    floor: float
    web: float
    thickness: float
    angle: float
    skin: float = 0.0

    @property
    def depth(self) -> float:
        """Depth of the cut [mm]."""
        return self.thickness - self.web

    @property
    def half_mouth(self) -> float:
        """Half the width of the cut at the surface [mm]."""
        return self.floor / 2.0 + self.depth * math.tan(self.angle / 2.0)


def section_scale(groove: Groove, width: float) -> float:
    """Largest usual enlargement at which the section fits a column."""
    room = width - _RIGHT - 2.0 * _FLANK
    return next((s for s in _SCALES if 2.0 * groove.half_mouth * s <= room), 1.0)


def groove_section(
    groove: Groove, info: SheetInfo, x: float, top: float, width: float
) -> tuple[list[Item], float]:
    """Draw the section below `top`; return its items and where it ends."""
    s = section_scale(groove, width)
    mouth, floor = groove.half_mouth * s, groove.floor * s / 2.0
    thick, web = groove.thickness * s, groove.web * s
    mid = x + _FLANK + mouth
    right = mid + mouth + _FLANK
    over = 6.5 if _is_slit(info, groove, s) else _over(groove, s)
    low = top - over - thick
    high = low + thick
    items = _board(groove, x, right, mid, low, s)
    if groove.angle > 0.0:
        items += _angle(groove, mid, low, s)
    if _is_slit(info, groove, s):
        items += _web_above(info, groove, mid, low, web, high)
    else:
        items += _web(info, groove, mid - min(floor * 0.4, 1.6), low, web)
    below = low - 7.2
    items += _floor(info, groove, mid, floor, low, web, below)
    items += _thickness(info, groove, right, low, high)
    items.append(Words((x, below - 3.2), f"section {s:g}:1", READ, soft=True))
    return items, below - 5.0


def plain_section(groove: Groove, width: float) -> list[Item]:
    """Draw the board alone, its numbers left to words."""
    s = section_scale(groove, width)
    right = 2.0 * (_FLANK + groove.half_mouth * s)
    return _board(groove, 0.0, right, right / 2.0, 0.0, s)


def _board(groove: Groove, x: float, right: float, mid: float, low: float, s: float) -> list[Item]:
    """The board cut through: outline, hatching, skins."""
    mouth, floor = groove.half_mouth * s, groove.floor * s / 2.0
    high, web, skin = low + groove.thickness * s, groove.web * s, groove.skin * s
    profile: list[Point] = [
        (x, high),
        (mid - mouth, high),
        (mid - floor, low + web),
        (mid + floor, low + web),
        (mid + mouth, high),
        (right, high),
    ]
    body = [(x, low), (right, low), *reversed(profile)]
    items = _hatched(_core(body, low, high, skin), 2.2)
    if skin > 0.0:
        items += _skins(groove, x, right, mid, low, high, s)
    return [*items, Stroke(polyline(profile), CUT), line((x, low), (right, low), CUT)]


def _reach(groove: Groove, s: float) -> tuple[float, float]:
    """Depth of the apex below the floor, and radius of the arc that shows the angle [mm]."""
    half = groove.angle / 2.0
    below = groove.floor * s / 2.0 / math.tan(half)
    return below, (below + 0.45 * groove.depth * s) / math.cos(half)


def _over(groove: Groove, s: float) -> float:
    """Room above the board for the arc and its number, and for the arrow on the floor [mm]."""
    least = max(1.0, 5.5 - groove.depth * s)
    if groove.angle == 0.0:
        return least
    below, reach = _reach(groove, s)
    return max(least, reach - below - groove.depth * s + 1.0 + READ)


def _core(body: Sequence[Point], low: float, high: float, skin: float) -> list[Point]:
    return [(x, min(max(y, low + skin), high - skin)) for x, y in body]


def _skins(
    groove: Groove, x: float, right: float, mid: float, low: float, high: float, s: float
) -> list[Item]:
    skin, mouth = groove.skin * s, groove.half_mouth * s
    inner = mouth - skin * math.tan(groove.angle / 2.0)
    shapes = (
        ((x, low), (right, low), (right, low + skin), (x, low + skin)),
        ((x, high), (mid - mouth, high), (mid - inner, high - skin), (x, high - skin)),
        ((right, high), (mid + mouth, high), (mid + inner, high - skin), (right, high - skin)),
    )
    return [Area(polyline(shape, closed=True)) for shape in shapes]


def _angle(groove: Groove, mid: float, low: float, s: float) -> list[Item]:
    """Arc between the flanks, about the point where they would meet."""
    half = groove.angle / 2.0
    below, reach = _reach(groove, s)
    apex = (mid, low + groove.web * s - below)
    tips = [
        (apex[0] + sign * reach * math.sin(half), apex[1] + reach * math.cos(half))
        for sign in (1.0, -1.0)
    ]
    # heads lie along the chord of their own length, not along the tangent
    lean = 1.9 / reach / 2.0
    items: list[Item] = [
        Stroke((Arc(tips[0], tips[1], apex),), DIMENSION),
        arrow(tips[0], -half + lean, 1.9),
        arrow(tips[1], math.pi + half - lean, 1.9),
    ]
    text = degrees(groove.angle).replace(".0°", "°")
    items.append(Words((mid, apex[1] + reach + 1.0), text, READ, LETTERING, "middle"))
    return items


def _is_slit(info: SheetInfo, groove: Groove, s: float) -> bool:
    """Whether the cut is too narrow on paper for the number of its web."""
    text = info.setting(groove.web)
    return (groove.floor + 2.0 * groove.half_mouth) * s / 2.0 < text_width(
        text, LETTERING, READ
    ) + 4.0


def _web_above(
    info: SheetInfo, groove: Groove, mid: float, low: float, web: float, high: float
) -> list[Item]:
    """Thickness of the web with its number above the board, where the cut is a slit."""
    return [
        line((mid, high + 5.0), (mid, low + web), DIMENSION),
        arrow((mid, low + web), -math.pi / 2.0, 1.9),
        line((mid, low - 3.6), (mid, low), DIMENSION),
        arrow((mid, low), math.pi / 2.0, 1.9),
        Words((mid + 0.8, high + 2.6), info.setting(groove.web), READ, LETTERING),
    ]


def _web(info: SheetInfo, groove: Groove, x: float, low: float, web: float) -> list[Item]:
    text = info.setting(groove.web)
    return [
        line((x, low + web + 5.2), (x, low + web), DIMENSION),
        arrow((x, low + web), -math.pi / 2.0, 1.9),
        line((x, low - 3.6), (x, low), DIMENSION),
        arrow((x, low), math.pi / 2.0, 1.9),
        Words((x + 0.8, low + web + 2.9), text, READ, LETTERING),
    ]


def _floor(
    info: SheetInfo, groove: Groove, mid: float, half: float, low: float, web: float, below: float
) -> list[Item]:
    text = info.setting(groove.floor)
    items: list[Item] = [
        line((mid + sign * half, low + web), (mid + sign * half, below - 1.2), DIMENSION)
        for sign in (1.0, -1.0)
    ]
    wide = text_width(text, LETTERING, READ)
    if 2.0 * half > wide + 5.0:
        items += [
            line((mid - half, below), (mid + half, below), DIMENSION),
            arrow((mid - half, below), math.pi, 1.9),
            arrow((mid + half, below), 0.0, 1.9),
            Words((mid, below + 0.8), text, READ, LETTERING, "middle"),
        ]
    else:
        items += [
            line((mid - half - 5.0, below), (mid + half + wide + 6.0, below), DIMENSION),
            arrow((mid - half, below), 0.0, 1.9),
            arrow((mid + half, below), math.pi, 1.9),
            Words((mid + half + 4.0, below + 0.8), text, READ, LETTERING),
        ]
    return items


def _thickness(
    info: SheetInfo, groove: Groove, right: float, low: float, high: float
) -> list[Item]:
    x = right + 5.0
    text = info.setting(groove.thickness)
    return [
        line((right + 1.0, low), (x + 1.4, low), DIMENSION),
        line((right + 1.0, high), (x + 1.4, high), DIMENSION),
        line((x, low), (x, high), DIMENSION),
        arrow((x, low), -math.pi / 2.0, 1.9),
        arrow((x, high), math.pi / 2.0, 1.9),
        Words((x - 0.8, (low + high) / 2.0), text, READ, LETTERING, "middle", math.pi / 2.0),
    ]


def _hatched(polygon: Sequence[Point], spacing: float) -> list[Item]:
    """Lines at 45 degrees inside a polygon."""
    step = spacing * math.sqrt(2.0)
    offsets = [y - x for x, y in polygon]
    items: list[Item] = []
    offset = min(offsets) + step / 2.0
    while offset < max(offsets):
        hits = []
        for (ax, ay), (bx, by) in zip(polygon, [*polygon[1:], polygon[0]], strict=True):
            da, db = ay - ax - offset, by - bx - offset
            if (da > 0.0) != (db > 0.0):
                hits.append(ax + da / (da - db) * (bx - ax))
        hits.sort()
        for x0, x1 in zip(hits[::2], hits[1::2], strict=False):
            if x1 - x0 > 0.3:
                items.append(line((x0, x0 + offset), (x1, x1 + offset), HATCH))
        offset += step
    return items
