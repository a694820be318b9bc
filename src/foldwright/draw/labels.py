"""Letters, numbers, names and words on a blank, each where it can be read.

Room: draw. Every function asks the `Ground` for room and tells it what it
took. They are called in the order of how little freedom they have; see
`blank_drawing`.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from foldwright.draw.blank import Blank, outline_points
from foldwright.draw.drawing import (
    CHECK,
    DIMENSION,
    LETTERING,
    LETTERING_NARROW,
    TICK,
    TRIM_LINE,
    Area,
    Face,
    Item,
    Point,
    Stroke,
    Words,
    circle,
    line,
    sampled,
)
from foldwright.draw.fonts import text_width
from foldwright.draw.placing import (
    Frame,
    Ground,
    baseline,
    between,
    clipped,
    is_inside,
    label_frame,
    places_within,
)
from foldwright.draw.points import MarkedPoint
from foldwright.draw.sheet import grain_arrow
from foldwright.draw.view import Detail, View

_CIRCLE = 2.6  # radius of a fold letter's circle [mm]
_SHORT_FOLD = 9.0  # a fold shorter than this on paper gets its letter beside it [mm]
_NUMBER = 2.7
# Where the words of a check may stand along its line, the best first.
_ALONG = sorted(
    (i / 40.0 for i in range(5, 36)), key=lambda t: (min(abs(t - 0.3), abs(t - 0.7)), t)
)
_NEAR = 2.2  # points closer than this on paper share one label [mm]


def fold_letters(blank: Blank, view: View, ground: Ground) -> list[Item]:
    """Ring a letter on every fold that the window shows."""
    items: list[Item] = []
    seen = []
    for fold in blank.bends:  # one letter for a whole row of kerfs, on its middle
        ends = clipped(view.at(fold.a), view.at(fold.b), view.window)
        if ends and math.dist(*ends) > 3.0:
            seen.append((fold, *ends))
    for fold, a, b in seen:
        if math.dist(a, b) >= _SHORT_FOLD:
            items += _letter_on(fold.letter, a, b, ground)
    for fold in blank.folds:
        if ends := clipped(view.at(fold.a), view.at(fold.b), view.window):
            ground.add_line(*ends)
    for fold, a, b in seen:
        if math.dist(a, b) < _SHORT_FOLD:
            items += _letter_beside(fold.letter, a, b, ground)
    return items


def _letter_on(letter: str, a: Point, b: Point, ground: Ground) -> list[Item]:
    frames = [
        Frame(between(a, b, t), (_CIRCLE + 0.4, _CIRCLE + 0.4))
        for t in (0.5, 0.42, 0.58, 0.35, 0.65, 0.28, 0.72, 0.22, 0.78)
    ]
    best = ground.first_free(frames) or ground.least_bad(frames)
    ground.take(best)
    return _ringed(letter, best.middle)


def _letter_beside(letter: str, a: Point, b: Point, ground: Ground) -> list[Item]:
    """Put the letter of a short fold beside it, on a leader."""
    mid = between(a, b, 0.5)
    frames = [
        Frame(
            (
                mid[0] + reach * math.cos(k * math.pi / 8),
                mid[1] + reach * math.sin(k * math.pi / 8),
            ),
            (_CIRCLE + 0.4, _CIRCLE + 0.4),
        )
        for reach in (6.0, 8.0, 10.0, 13.0)
        for k in range(16)
    ]
    best = ground.first_free(frames) or ground.least_bad(frames)
    ground.take(best)
    away = math.dist(mid, best.middle)
    edge = between(mid, best.middle, 1.0 - _CIRCLE / away)
    ground.add_line(mid, edge)
    return [line(mid, edge, DIMENSION), Area(circle(mid, 0.45)), *_ringed(letter, best.middle)]


def _ringed(letter: str, at: Point) -> list[Item]:
    ring = circle(at, _CIRCLE)
    size = 3.3 if len(letter) == 1 else 2.5
    return [
        Area(ring, "paper"),
        Stroke(ring, DIMENSION),
        Words((at[0], at[1] - 0.36 * size), letter, size, LETTERING, "middle"),
    ]


def clusters(points: tuple[MarkedPoint, ...], view: View) -> list[list[MarkedPoint]]:
    """Points that lie too close on paper for a number each, together."""
    groups: list[list[MarkedPoint]] = []
    for point in points:
        near = [g for g in groups if any(math.dist(point.at, q.at) * view.scale < _NEAR for q in g)]
        merged = [q for g in near for q in g] + [point]
        groups = [g for g in groups if g not in near] + [merged]
    return sorted((sorted(g, key=lambda q: q.number) for g in groups), key=lambda g: g[0].number)


def numbers_of(numbers: list[int]) -> str:
    """Write rising numbers short: 3, 4, 5, 9 becomes "3 to 5, 9" with a dash."""
    out: list[str] = []
    i = 0
    while i < len(numbers):
        j = i
        while j + 1 < len(numbers) and numbers[j + 1] == numbers[j] + 1:
            j += 1
        if j - i >= 2:
            out.append(f"{numbers[i]}\N{EN DASH}{numbers[j]}")
        else:
            out += [str(n) for n in numbers[i : j + 1]]
        i = j + 1
    return " ".join(out)


def point_numbers(blank: Blank, view: View, ground: Ground, all_of_them: bool) -> list[Item]:
    """Number the points; those that lie together share a label."""
    items: list[Item] = []
    polygon = [view.at(p) for p in outline_points(blank)]
    for group in clusters(blank.points, view):
        places = [view.at(p.at) for p in group]
        mid = (sum(p[0] for p in places) / len(places), sum(p[1] for p in places) / len(places))
        if not ground.window.grown(3.0).holds(mid):
            continue  # the apex of a slender cone lies off the page; words say where
        text = numbers_of([p.number for p in group])
        width = text_width(text, LETTERING, _NUMBER)
        frames = list(_around(mid, width, polygon))
        free = ground.first_free(frames)
        if free is None and not all_of_them:
            continue
        best = free or ground.least_bad(frames)
        ground.take(best)
        items.append(Words(baseline(best, _NUMBER), text, _NUMBER, LETTERING, "middle"))
        gap = math.dist(mid, best.middle)
        if gap > 5.2 + width / 2.0:  # too far away to belong by nearness alone
            end = between(mid, best.middle, 1.0 - (width / 2.0 + 1.0) / gap)
            ground.add_line(mid, end)
            items.append(line(mid, end, TICK))
    return items


def _around(mid: Point, width: float, polygon: list[Point]) -> Iterator[Frame]:
    """Frames round a point, nearest first, outside the material before inside."""
    candidates = []
    for reach in (1.9, 2.6, 3.4, 4.6, 6.5, 9.0, 12.0, 16.0):
        for k in range(16):
            angle = (k + 0.5) * math.pi / 8.0
            if reach > 4.0 and k % 4 in (0, 3):
                continue  # a leader along a sheet edge would vanish in the lines there
            cos, sin = math.cos(angle), math.sin(angle)
            at = (
                mid[0] + reach * cos + 0.5 * width * cos,
                mid[1] + reach * sin,
            )
            inner = is_inside(at, polygon)
            candidates.append((reach + 1.5 * inner, k, label_frame(at, width, _NUMBER, 0.35)))
    yield from (frame for _, _, frame in sorted(candidates, key=lambda c: c[:2]))


def panel_names(blank: Blank, view: View, ground: Ground, detail: Detail) -> list[Item]:
    """Name the panels, on the material or on leaders beside it."""
    items: list[Item] = []
    left: list[tuple[str, list[Point]]] = []
    holes = _holes(blank, view)
    for panel in blank.panels:
        polygon = [view.at(p) for p in panel.flat]
        found = _name_in(panel.name, polygon, holes, ground, detail.name_size)
        if found:
            items.append(found)
        else:
            left.append((panel.name, polygon))
    if detail.leaders:
        outline = [view.at(p) for p in outline_points(blank)]
        for name, polygon in left:
            items += _name_beside(name, polygon, outline, holes, ground)
    return items


def _name_beside(
    name: str,
    polygon: list[Point],
    outline: list[Point],
    holes: list[list[Point]],
    ground: Ground,
) -> list[Item]:
    """Name of a panel that has no room for it, off the material on a leader."""
    size = 2.8
    spots = list(_on_material(polygon, holes, ground, 1.2))
    dot = next((p for p in spots if ground.is_free(Frame(p, (0.6, 0.6)))), None)
    if dot is None:
        return []
    width = text_width(name, LETTERING, size)
    best: tuple[float, Frame] | None = None
    for reach in range(6, 60, 3):
        if best is not None and best[0] <= reach:  # further off none costs less
            break
        for k in range(24):
            angle = k * math.pi / 12.0
            at = (dot[0] + reach * math.cos(angle), dot[1] + reach * math.sin(angle))
            frame = label_frame(at, width, size, 1.0)
            if is_inside(at, outline) or not ground.is_free(frame):
                continue
            cost = reach + 12.0 * ground.crossed(dot, at)
            if best is None or cost < best[0]:
                best = (cost, frame)
    if best is None:
        return []
    frame = best[1]
    ground.take(frame)
    end = _edge_of(frame, dot)
    ground.add_line(dot, end)
    text = Words(baseline(frame, size), name, size, LETTERING, "middle")
    return [line(dot, end, DIMENSION), Area(circle(dot, 0.5)), text]


def _edge_of(frame: Frame, away: Point) -> Point:
    """Where the line from `away` to the middle of an upright frame enters it."""
    dx, dy = away[0] - frame.middle[0], away[1] - frame.middle[1]
    t = min(
        frame.half[0] / abs(dx) if dx else math.inf, frame.half[1] / abs(dy) if dy else math.inf
    )
    return (frame.middle[0] + t * dx, frame.middle[1] + t * dy)


def _holes(blank: Blank, view: View) -> list[list[Point]]:
    """Cutouts as they lie on the page."""
    return [[view.at(p) for p in sampled(cutout)] for cutout in blank.cutouts]


def _on_material(
    polygon: list[Point], holes: list[list[Point]], ground: Ground, step: float
) -> Iterator[Point]:
    """Places for words on the material: what is cut out falls to the floor with its words."""
    # most places are above or below most holes: only the others are worth a closer look
    spans = [(min(y for _, y in hole), max(y for _, y in hole), hole) for hole in holes]
    for at in places_within(polygon, ground.window, step):
        if not any(low <= at[1] <= high and is_inside(at, hole) for low, high, hole in spans):
            yield at


def _name_in(
    name: str, polygon: list[Point], holes: list[list[Point]], ground: Ground, size: float
) -> Words | None:
    """Largest way to write a name inside a polygon, upright if possible; None if none."""
    trials: tuple[tuple[float, Face, float], ...] = (
        (size, LETTERING, 0.0),
        (size * 0.8, LETTERING, 0.0),
        (size * 0.8, LETTERING, math.pi / 2.0),
        (size * 0.7, LETTERING_NARROW, 0.0),
        (size * 0.7, LETTERING_NARROW, math.pi / 2.0),
    )
    for height, face, turn in trials:
        width = text_width(name, face, height)
        frames = (
            label_frame(at, width, height, 1.0, turn)
            for at in _on_material(polygon, holes, ground, 2.5)
        )
        found = ground.first_free(frames)
        if found:
            ground.take(found)
            return Words(baseline(found, height), name, height, face, "middle", turn)
    return None


def side_up_words(blank: Blank, view: View, ground: Ground) -> list[Item]:
    """Write THIS SIDE UP on the material; smaller where room is short, left out where none is."""
    polygon = [view.at(p) for p in outline_points(blank)]
    holes = _holes(blank, view)
    below = blank.side_up
    for capitals, small in ((6.2, 2.9), (4.8, 2.6), (3.6, 2.3)):
        gap = 0.75 * small
        width = max(
            text_width("THIS SIDE UP", LETTERING, capitals), text_width(below, LETTERING, small)
        )
        height = 0.72 * capitals + gap + 0.95 * small
        found = ground.first_free(
            Frame(at, (width / 2.0 + 1.5, height / 2.0 + 1.5))
            for at in _on_material(polygon, holes, ground, 4.0)
            if _holds(polygon, at, width, height)
        )
        if found:
            ground.take(found)
            x, y = found.middle
            top = y + height / 2.0 - 0.72 * capitals
            return [
                Words((x, top), "THIS SIDE UP", capitals, LETTERING, "middle"),
                Words((x, top - gap - 0.72 * small), below, small, LETTERING, "middle", soft=True),
            ]
    return []


def trim_words(blank: Blank, view: View, ground: Ground) -> list[Item]:
    """Say along each trim line what it is for, on what is cut off if it can be.

    Smaller or shorter where room is short, left out where none is.
    """
    short = TRIM_LINE.name.partition(" once")[0]
    trials = (
        (TRIM_LINE.name, 2.8, LETTERING),
        (TRIM_LINE.name, 2.4, LETTERING_NARROW),
        (TRIM_LINE.name, 2.0, LETTERING_NARROW),
        (short, 2.4, LETTERING_NARROW),
        (short, 2.0, LETTERING_NARROW),
    )
    items: list[Item] = []
    polygon = [view.at(p) for p in outline_points(blank)]
    holes = _holes(blank, view)
    for a, b in blank.trims:
        ends = clipped(view.at(a), view.at(b), view.window)
        if ends is None or math.dist(*ends) < 3.0:
            continue
        frames = (
            (frame, text, size, face)
            for text, size, face in trials
            for frame in _beside(*ends, text_width(text, face, size), size)
            if all(_is_on(corner, polygon, holes) for corner in frame.corners())
        )
        found = next((f for f in frames if ground.is_free(f[0])), None)
        if found:
            frame, text, size, face = found
            ground.take(frame)
            where = baseline(frame, size)
            items.append(Words(where, text, size, face, "middle", frame.turn))
    return items


def _beside(a: Point, b: Point, width: float, size: float) -> Iterator[Frame]:
    """Frames along a line, to its right first, from the middle to its ends."""
    length = math.dist(a, b)
    along = ((b[0] - a[0]) / length, (b[1] - a[1]) / length)
    turn = math.atan2(along[1], along[0])
    if not -math.pi / 2.0 < turn <= math.pi / 2.0 + 1e-9:
        turn -= math.copysign(math.pi, turn)
    for side in (1.0, -1.0):
        for t in sorted(_ALONG, key=lambda t: abs(t - 0.5)):
            at = between(a, b, t)
            away = side * (0.5 * size + 0.9)
            middle = (at[0] + away * along[1], at[1] - away * along[0])
            yield label_frame(middle, width, size, 0.35, turn)


def _is_on(at: Point, polygon: list[Point], holes: list[list[Point]]) -> bool:
    return is_inside(at, polygon) and not any(is_inside(at, hole) for hole in holes)


def grain_sign(blank: Blank, grain: float, view: View, ground: Ground) -> list[Item]:
    """Draw the grain arrow on the material where there is room; shorter where it is short."""
    polygon = [view.at(p) for p in outline_points(blank)]
    holes = _holes(blank, view)
    cos, sin = math.cos(grain), math.sin(grain)
    for length in (24.0, 14.0, 8.0):
        half = length / 2.0
        found = ground.first_free(
            Frame(at, (half + 1.0, 1.6), grain)
            for at in _on_material(polygon, holes, ground, 4.0)
            if all(
                is_inside((at[0] + s * half * cos, at[1] + s * half * sin), polygon)
                for s in (-1, 1)
            )
        )
        if found:
            ground.take(found)
            return grain_arrow(found.middle, grain, length)
    return []


def _holds(polygon: list[Point], at: Point, width: float, height: float) -> bool:
    return all(
        is_inside((at[0] + sx * width / 2.0, at[1] + sy * height / 2.0), polygon)
        for sx in (-1, 1)
        for sy in (-1, 1)
    )


def check_line(
    a: Point, b: Point, words: str, ground: Ground, others: list[tuple[Point, Point]]
) -> tuple[list[Item], list[Item]]:
    """Draw a check length with its words in a gap of the line, off the `others` if it can be."""
    turn = math.atan2(b[1] - a[1], b[0] - a[0])
    upright = turn if abs(turn) <= math.pi / 2.0 else turn - math.copysign(math.pi, turn)
    length = math.dist(a, b)
    frames = [
        (label_frame(between(a, b, t), width, size, 0.9, upright), size, face)
        for size, face in ((2.8, LETTERING), (2.4, LETTERING_NARROW))
        for width in (text_width(words, face, size),)
        for t in _ALONG
        if min(t, 1.0 - t) * length > width / 2.0 + 3.0
    ]
    if not frames:
        ground.add_line(a, b)
        return [line(a, b, CHECK)], []
    across = [o for o in others if o != (a, b)]
    best, size, face = min(
        frames,
        key=lambda f: ground.clashes(f[0]) + sum(f[0].crosses(p, q) for p, q in across),
    )
    ground.take(best)
    half = best.half[0]
    cos, sin = math.cos(turn), math.sin(turn)
    before = (best.middle[0] - half * cos, best.middle[1] - half * sin)
    after = (best.middle[0] + half * cos, best.middle[1] + half * sin)
    ground.add_line(a, before)
    ground.add_line(after, b)
    text = Words(baseline(best, size), words, size, face, "middle", upright)
    return [line(a, before, CHECK), line(after, b, CHECK)], [text]
