"""Outlines: corners as the plan writes them, checked to enclose something.

Room: plan. An outline goes round anticlockwise. One that is written clockwise
is turned round together with its side names, so that every name stays on the
side that the maker meant: side i runs from corner i to the next one, as
written, and the first corner stays first.

Only what can be seen from the numbers as drawn is checked here: enough
corners, none twice, no side across another, nothing folded back on itself,
rounded corners that fit their sides.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from foldwright.plan.arcs import CLOSEST, Point, Run, headings, runs, setback, turn_between

type Trouble = tuple[int, str, str]

MOST_CORNERS = 500
"""More would be a curve drawn as corners, which no hand folds."""

_STRAIGHT = math.radians(0.1)  # rad; a fold by less cannot be made, seen or measured
_LEAST_FLAT = 0.1  # mm of a folded side between its rounds; the finest that is marked out
_MOST_RISE = 2.0  # chords; an arc of 300 degrees


def is_clockwise(corners: Sequence[Point]) -> bool:
    """Whether the outline runs clockwise (x right, y up)."""
    return signed_area(corners) < 0.0


def signed_area(corners: Sequence[Point]) -> float:
    """Area inside [mm2], positive for anticlockwise outlines."""
    return 0.5 * sum(
        a[0] * b[1] - b[0] * a[1] for a, b in zip(corners, [*corners[1:], corners[0]], strict=True)
    )


def turned_round[T](corners: Sequence[T]) -> list[T]:
    """Corners in the other direction, the first one still first."""
    return [corners[0], *reversed(corners[1:])]


def outline_trouble(
    corners: Sequence[Point],
    sides: Sequence[str],
    axes: str,
    *,
    folded: bool,
    rounds: Sequence[float] = (),
    rises: Sequence[float] = (),
) -> Trouble | None:
    """First thing wrong with an outline, or None.

    Parameters
    ----------
    corners : sequence of (float, float)
        As drawn [mm], in the order and direction of the plan.
    sides : sequence of str
        Name of the side that starts at each corner.
    axes : str
        Names of the two axes, ``"xz"``.
    folded : bool
        Whether each corner becomes a fold, so that none may be straight.
    rounds, rises : sequence of float
        Radius of each corner and rise of each side [mm], 0 for none; empty
        if there are none at all.

    Returns
    -------
    (int, str, str) or None
        Corner to point at, counted from 0; what is wrong; what to change.
    """
    if len(corners) < 3:
        return 0, f"The outline has {len(corners)} corners.", "It takes 3 or more to go round."
    if len(corners) > MOST_CORNERS:
        return (
            MOST_CORNERS,
            f"The outline has {len(corners)} corners; {MOST_CORNERS} is the most.",
            "Leave out corners that nobody would fold or see.",
        )
    rounds = rounds or [0.0] * len(corners)
    rises = rises or [0.0] * len(corners)
    way = -1 if is_clockwise(corners) else 1
    return (
        _repeated(corners, axes)
        or _bowed_too_far(corners, sides, rises)
        or _bent_wrong(corners, sides, axes, folded, rounds, rises)
        or _rounds_too_large(corners, sides, rounds, _LEAST_FLAT if folded else -CLOSEST)
        or _crossing(runs(corners, rounds, rises, way), sides)
    )


def _shown(corner: Point, axes: str) -> str:
    return f"{axes[0]} {corner[0]:.6g}, {axes[1]} {corner[1]:.6g}"


def _repeated(corners: Sequence[Point], axes: str) -> Trouble | None:
    count = len(corners)
    for i, a in enumerate(corners):
        for j in range(i + 1, count):
            if math.dist(a, corners[j]) > CLOSEST:
                continue
            problem = f"Corners {i + 1} and {j + 1} are both at {_shown(a, axes)}."
            if i == 0 and j == count - 1:
                return j, problem, "Leave out the last: the outline closes by itself."
            if j == i + 1:
                return j, problem, "Leave one of them out."
            return j, problem, "An outline goes round once; split it into two parts."
    return None


def _bowed_too_far(
    corners: Sequence[Point], sides: Sequence[str], rises: Sequence[float]
) -> Trouble | None:
    for i, rise in enumerate(rises):
        chord = math.dist(corners[i], corners[(i + 1) % len(corners)])
        if abs(rise) > _MOST_RISE * chord:
            return (
                i,
                f'Side "{sides[i]}" rises {rise:g} mm over a chord of {chord:.6g} mm, nearly a '
                "full circle.",
                f"Make the rise at most {_MOST_RISE:g} times the chord, or put corners between.",
            )
    return None


def _bent_wrong(
    corners: Sequence[Point],
    sides: Sequence[str],
    axes: str,
    folded: bool,
    rounds: Sequence[float],
    rises: Sequence[float],
) -> Trouble | None:
    count = len(corners)
    way = -1 if is_clockwise(corners) else 1
    ways = [headings(corners[i], corners[(i + 1) % count], rises[i], way) for i in range(count)]
    for i in range(count):
        turn = turn_between(ways[i - 1][1], ways[i][0])
        two = f'"{sides[i - 1]}" and "{sides[i]}"'
        at = f"at corner {i + 1} ({_shown(corners[i], axes)})"
        bows = bool(rises[i - 1] or rises[i])
        if abs(turn) > math.pi - _STRAIGHT:
            return i, f"Sides {two} fold back on each other {at}.", "Move or leave out a corner."
        if rounds[i] and bows:
            return (
                i,
                f"Corner {i + 1} ({_shown(corners[i], axes)}) cannot be rounded off, since a side "
                "that meets it rises.",
                "Leave the round out, or draw the side as straight lines with rounded corners.",
            )
        if abs(turn) < _STRAIGHT and rounds[i]:
            problem = f"Sides {two} run straight on {at}, so there is nothing to round."
            return i, problem, "Leave the round or the corner out."
        if folded and abs(turn) < _STRAIGHT and not bows:  # an arc may well begin tangent
            return (
                i,
                f"Sides {two} run straight on {at}, so there is nothing to fold.",
                "Leave this corner out, and one of the two side names.",
            )
    return None


def _rounds_too_large(
    corners: Sequence[Point], sides: Sequence[str], rounds: Sequence[float], least: float
) -> Trouble | None:
    count = len(corners)
    take = []
    for i in range(count):
        before, here, after = corners[i - 1], corners[i], corners[(i + 1) % count]
        turn = turn_between(headings(before, here, 0.0, 1)[1], headings(here, after, 0.0, 1)[0])
        take.append(setback(turn, rounds[i]) if rounds[i] else 0.0)
    for i in range(count):
        j = (i + 1) % count
        length = math.dist(corners[i], corners[j])
        if take[i] + take[j] and length - take[i] - take[j] < least:
            return (
                i if take[i] >= take[j] else j,
                f'Side "{sides[i]}" is {length:.6g} mm long, and its rounded corners take '
                f"{take[i]:.6g} and {take[j]:.6g} of it.",
                "Make the rounds smaller, or the side longer.",
            )
    return None


def _crossing(around: Sequence[Run], sides: Sequence[str]) -> Trouble | None:
    boxes = [_box(run.points) for run in around]
    count = len(around)
    for i, one in enumerate(around):
        for j in range(i + 1, count):
            if boxes[i][2] < boxes[j][0] or boxes[j][2] < boxes[i][0]:
                continue
            if boxes[i][3] < boxes[j][1] or boxes[j][3] < boxes[i][1]:
                continue
            other = around[j]
            follows, leads = j == i + 1, i == 0 and j == count - 1
            if _touching(one.points, other.points, follows, leads):
                return (
                    other.corner,
                    f"The outline crosses or touches itself: {_called(one, sides)} "
                    f"meets {_called(other, sides)}.",
                    "Put the corners in the order in which a finger would run round the outline.",
                )
    return None


def _touching(a: Sequence[Point], b: Sequence[Point], follows: bool, leads: bool) -> bool:
    """Whether two runs meet anywhere but in the point where one follows the other."""
    for i in range(len(a) - 1):
        for j in range(len(b) - 1):
            if follows and i == len(a) - 2 and j == 0:
                continue
            if leads and i == 0 and j == len(b) - 2:
                continue
            if _apart(a[i], a[i + 1], b[j], b[j + 1]) <= CLOSEST:
                return True
    return False


def _box(points: Sequence[Point]) -> tuple[float, float, float, float]:
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return min(xs) - CLOSEST, min(ys) - CLOSEST, max(xs) + CLOSEST, max(ys) + CLOSEST


def _called(run: Run, sides: Sequence[str]) -> str:
    if run.is_round:
        return f"the round of corner {run.corner + 1}"
    return f'side "{sides[run.corner]}" (from corner {run.corner + 1})'


def _apart(a: Point, b: Point, c: Point, d: Point) -> float:
    """Distance between two segments [mm]; 0 if they cross."""
    if _left(a, b, c) * _left(a, b, d) < 0.0 and _left(c, d, a) * _left(c, d, b) < 0.0:
        return 0.0
    return min(_from(c, a, b), _from(d, a, b), _from(a, c, d), _from(b, c, d))


def _left(a: Point, b: Point, p: Point) -> float:
    """Positive if p lies left of a to b."""
    return (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0])


def _from(p: Point, a: Point, b: Point) -> float:
    """Distance of a point from a segment [mm]."""
    along = (b[0] - a[0], b[1] - a[1])
    if along == (0.0, 0.0):
        return math.dist(p, a)
    share = ((p[0] - a[0]) * along[0] + (p[1] - a[1]) * along[1]) / math.dist(a, b) ** 2
    share = min(1.0, max(0.0, share))
    return math.dist(p, (a[0] + share * along[0], a[1] + share * along[1]))
