"""Whether a blank fits the rack, and which folds make it too large.

Room: flat. Asked while nets are searched, with plain outlines; the layout of
sheets comes later and knows more. A predicate is fair game if whatever lies
inside a fitting outline fits as well.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence

import numpy as np
from numpy.typing import NDArray

from foldwright.flat.pattern import Point
from foldwright.flat.unfolding import Cause, Change, Laid, Unfolding, hull_of_points

type Fits = Callable[[Sequence[Point]], bool]

# An outline may stand over by this much: rounding [mm].
_ROUNDING = 1e-6
# Panels are joined on this grid [mm], so that rounding leaves no crack between them.
_GRID = 1e-5
# Panels farthest out of a piece, between which causes are looked for.
_FARTHEST = 6


def fits_rectangles(
    sizes: Iterable[tuple[float, float]], turns: Sequence[float] | None = None
) -> Fits:
    """Predicate: does an outline fit one of these rectangles.

    Parameters
    ----------
    sizes : iterable of (float, float)
        Along x and y [mm].
    turns : sequence of float or None
        Turns that the grain allows [rad], of the outline against the
        rectangle; None for any.

    Returns
    -------
    callable
        Takes an outline, tells whether it fits.

    Notes
    -----
    In the turn a, a convex outline spans w(a) and h(a) = w(a + pi/2). Between
    the turns of its sides both are arcs of cosines, so the turns in which both
    fit begin or end at the turn of a side, at w(a) = W or at h(a) = H; these
    are all that is tried.

    Examples
    --------
    >>> is_on_rack = fits_rectangles([(600.0, 420.0)])
    >>> is_on_rack([(0.0, 0.0), (410.0, 0.0), (410.0, 590.0), (0.0, 590.0)])
    True
    >>> is_on_rack([(0.0, 0.0), (430.0, 0.0), (430.0, 590.0), (0.0, 590.0)])
    False
    """
    rectangles = tuple(sizes)

    def fits(outline: Sequence[Point]) -> bool:
        corners = hull_of_points(np.array([complex(x, y) for x, y in outline]))
        return any(_fits_one(corners, size, turns) for size in rectangles)

    return fits


def _fits_one(
    corners: NDArray[np.complex128], size: tuple[float, float], turns: Sequence[float] | None
) -> bool:
    if turns is not None:
        return _any_turn(corners, np.array(turns), size)
    sides = np.angle(np.roll(corners, -1) - corners)
    square = np.concatenate([[0.0], -sides])
    if _any_turn(corners, np.concatenate([square, square + math.pi / 2.0]), size):
        return True
    across = (corners[:, None] - corners[None, :]).ravel()
    far, way = np.abs(across), np.angle(across)
    tight = []
    for reach, offset in ((size[0], 0.0), (size[1], math.pi / 2.0)):
        long = far >= reach - _ROUNDING
        lean = np.arccos(np.clip(reach / far[long], 0.0, 1.0))
        tight += [offset - way[long] + lean, offset - way[long] - lean]
    return _any_turn(corners, np.concatenate(tight), size)


def _any_turn(
    corners: NDArray[np.complex128], turns: NDArray[np.float64], size: tuple[float, float]
) -> bool:
    if not len(turns):
        return False
    turned = np.exp(1j * turns)[:, None] * corners
    wide, high = np.ptp(turned.real, axis=1), np.ptp(turned.imag, axis=1)
    return bool(((wide <= size[0] + _ROUNDING) & (high <= size[1] + _ROUNDING)).any())


def causes_of_misfit(
    unfolding: Unfolding, laid: Laid, piece: int, outline: Sequence[Point], fits: Fits
) -> list[Cause]:
    """Why a piece fits no sheet: folds of which one at least has to go.

    Where a row of panels is too long by itself even at its smallest, its folds
    are the cause; else all folds of the piece are, or a side that moves in.
    """
    faces = [face for face, p in enumerate(laid.piece) if p == piece]
    centre = complex(*np.mean(np.array(outline), axis=0))
    reach = {face: float(np.abs(_placed(unfolding, laid, face) - centre).max()) for face in faces}
    outer = sorted(faces, key=lambda face: (-reach[face], face))[:_FARTHEST]
    rows = {tuple(unfolding.way(laid, a, b)) for i, a in enumerate(outer) for b in outer[i + 1 :]}
    causes: list[Cause] = [
        tuple(Change(edge, False) for edge in row)
        for row in sorted(rows, key=lambda row: (len(row), row))
        if (core := _row_outline(unfolding, laid, row)) and not fits(core)
    ]
    if causes:
        return causes
    changes = [Change(laid.parent[face], False) for face in faces if laid.parent[face] >= 0]
    for face in faces:
        changes += unfolding.shrinking(face, laid.net)
    return [tuple(dict.fromkeys(changes))]


def _placed(unfolding: Unfolding, laid: Laid, face: int) -> NDArray[np.complex128]:
    return laid.turn[face] * unfolding.sound(face, laid.net).corners + laid.shift[face]


def _row_outline(unfolding: Unfolding, laid: Laid, row: Sequence[int]) -> list[Point] | None:
    """Outline of the panels along a row of folds at their smallest; None if not sure."""
    from shapely import MultiPoint, Polygon, union_all

    cores = {}
    for edge in row:
        for face in unfolding.ends[edge]:
            core = unfolding.core(face)
            if core is None:
                return None
            cores[face] = laid.turn[face] * core + laid.shift[face]
    parts = [Polygon(list(zip(c.real, c.imag, strict=True))) for c in cores.values()]
    for edge in row:  # the zone between two panels
        ends = []
        for face in unfolding.ends[edge]:
            i = unfolding.sides[face].index(edge)
            core = cores[face]
            ends += [core[i], core[(i + 1) % len(core)]]
        zone = MultiPoint([(z.real, z.imag) for z in ends]).convex_hull
        if isinstance(zone, Polygon):
            parts.append(zone)
    whole = union_all(parts, grid_size=_GRID)
    if not isinstance(whole, Polygon):
        return None
    return [(float(x), float(y)) for x, y in whole.exterior.coords[:-1]]
