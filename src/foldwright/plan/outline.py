"""Outlines: corners as the plan writes them, checked to enclose something.

Room: plan. An outline goes round anticlockwise. One that is written clockwise
is turned round together with its side names, so that every name stays on the
side that the maker meant: side i runs from corner i to the next one, as
written, and the first corner stays first.

Only what can be seen from the numbers as drawn is checked here: enough
corners, none twice, no side across another, nothing folded back on itself.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

type Point = tuple[float, float]

CLOSEST = 1e-6
"""mm; what lies nearer touches. Far below any cut, far above rounding."""

MOST_CORNERS = 500
"""More would be a curve drawn as corners, which no hand folds."""

_STRAIGHT = math.radians(0.1)  # rad; a fold by less cannot be made, seen or measured


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
    corners: Sequence[Point], sides: Sequence[str], axes: str, *, folded: bool
) -> tuple[int, str, str] | None:
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
    return (
        _repeated(corners, axes)
        or _bent_wrong(corners, sides, axes, folded)
        or _crossing(corners, sides)
    )


def _shown(corner: Point, axes: str) -> str:
    return f"{axes[0]} {corner[0]:.6g}, {axes[1]} {corner[1]:.6g}"


def _repeated(corners: Sequence[Point], axes: str) -> tuple[int, str, str] | None:
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


def _bent_wrong(
    corners: Sequence[Point], sides: Sequence[str], axes: str, folded: bool
) -> tuple[int, str, str] | None:
    count = len(corners)
    for i in range(count):
        (px, py), (x, y), (nx, ny) = corners[i - 1], corners[i], corners[(i + 1) % count]
        a, b = (x - px, y - py), (nx - x, ny - y)
        turn = math.atan2(a[0] * b[1] - a[1] * b[0], a[0] * b[0] + a[1] * b[1])
        two = f'"{sides[i - 1]}" and "{sides[i]}"'
        at = f"at corner {i + 1} ({_shown(corners[i], axes)})"
        if abs(turn) > math.pi - _STRAIGHT:
            return i, f"Sides {two} fold back on each other {at}.", "Move or leave out a corner."
        if folded and abs(turn) < _STRAIGHT:
            return (
                i,
                f"Sides {two} run straight on {at}, so there is nothing to fold.",
                "Leave this corner out, and one of the two side names.",
            )
    return None


def _crossing(corners: Sequence[Point], sides: Sequence[str]) -> tuple[int, str, str] | None:
    count = len(corners)
    for i in range(count):
        a, b = corners[i], corners[(i + 1) % count]
        low_x, high_x = min(a[0], b[0]) - CLOSEST, max(a[0], b[0]) + CLOSEST
        for j in range(i + 2, count if i else count - 1):
            c, d = corners[j], corners[(j + 1) % count]
            if max(c[0], d[0]) < low_x or min(c[0], d[0]) > high_x:
                continue
            if _apart(a, b, c, d) > CLOSEST:
                continue
            return (
                j,
                f'The outline crosses or touches itself: side "{sides[i]}" (from corner {i + 1}) '
                f'meets side "{sides[j]}" (from corner {j + 1}).',
                "Put the corners in the order in which a finger would run round the outline.",
            )
    return None


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
    share = ((p[0] - a[0]) * along[0] + (p[1] - a[1]) * along[1]) / math.dist(a, b) ** 2
    share = min(1.0, max(0.0, share))
    return math.dist(p, (a[0] + share * along[0], a[1] + share * along[1]))
