"""Hidden lines removed: which stretch of which line does the eye see.

Room: draw. Exact for flat patches: every line is clipped against every patch
that may lie before it, first by the patch's edges in projection, then by its
plane; what is left over is seen. A line is linear in its share t and so are
all these bounds, so each pair gives one hidden stretch [t0, t1], and NumPy
does all pairs at once; a tree of boxes finds the pairs.

Coordinates are those of the view: x right, y up, z towards the eye [mm].
Import this only when a picture is to be made: NumPy and Shapely load with it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray

type Array = NDArray[np.float64]
type Index = NDArray[np.int64]
type Flags = NDArray[np.bool_]

# Patches are taken larger by this, so that no light shines through where two
# of them meet [mm]; a line this much behind a patch is still on it [mm].
_SEAM = 1e-6
_ON = 0.02
# Patches seen at less than this (sine) hide nothing: beyond it, the slope of
# the plane times `_SEAM` would come near `_ON`.
_EDGE_ON = 1e-4
# Less of a segment than this is a crumb between two hidden stretches that meet.
_SHARE = 1e-7


def view_axes(eye: Sequence[float]) -> Array:
    """Rows right, up and towards the eye, shape (3, 3); z of the build stands upright.

    Parameters
    ----------
    eye : sequence of 3 floats
        Direction from the build towards the eye, any length.
    """
    towards = np.array(eye, dtype=np.float64)
    towards /= np.linalg.norm(towards)
    right = np.cross([0.0, 0.0, 1.0], towards)
    if np.linalg.norm(right) < 1e-9:  # from straight above: back is up
        right = np.array([1.0, 0.0, 0.0])
    right /= np.linalg.norm(right)
    return np.array([right, np.cross(towards, right), towards])


@dataclass(frozen=True)
class Patches:
    """Convex flat patches, ready to be looked at.

    Attributes
    ----------
    corners : ndarray, shape (k, 4, 3)
        In order round; a triangle repeats its last corner.
    edges : ndarray, shape (k, 4, 3)
        a, b, c of each side; ``a x + b y + c`` is how far inside a point lies.
    plane : ndarray, shape (k, 3)
        Depth of the plane at x, y: ``p x + q y + r``.
    normals : ndarray, shape (k, 3)
        Unit, out of the material.
    box : ndarray, shape (k, 5)
        Least and largest x and y, and the largest depth.
    which : ndarray of int, shape (k,)
        Number of each patch among those it was made from: edge-on ones are left out.
    """

    corners: Array
    edges: Array
    plane: Array
    normals: Array
    box: Array
    which: Index

    @cached_property
    def _tree(self) -> shapely.STRtree:
        left, right, low, high, _ = self.box.T
        return shapely.STRtree(shapely.box(left, low, right, high))

    def near(self, low: Array, high: Array) -> tuple[Index, Index]:
        """Which of some boxes, corners of shape (n, 2), touches the box of which patch.

        Pairs of indices, in no order.
        """
        i, k = self._tree.query(shapely.box(low[:, 0], low[:, 1], high[:, 0], high[:, 1]))
        return i, k

    def at(self, points: Array) -> tuple[Index, Index]:
        """Which of some points, shape (n, 2), lies in the box of which patch; as `near`."""
        i, k = self._tree.query(shapely.points(points))
        return i, k


def patches_of(corners: Array) -> Patches:
    """Prepare patches, corners as in `Patches`; those seen edge-on are left out."""
    crosses = np.cross(corners, np.roll(corners, -1, axis=1)).sum(axis=1)
    size = np.linalg.norm(crosses, axis=1)
    normals = crosses / np.maximum(size, 1e-300)[:, None]
    which = np.flatnonzero((np.abs(normals[:, 2]) > _EDGE_ON) & (size > 1e-9))
    corners, normals = corners[which], normals[which]
    depth = -normals[:, :2] / normals[:, 2:]
    offset = corners[:, 0, 2] - (depth * corners[:, 0, :2]).sum(axis=1)
    flat = corners[:, :, :2]
    along = np.roll(flat, -1, axis=1) - flat
    length = np.linalg.norm(along, axis=2)
    # left of a side is inside where the patch is seen from its front
    front = np.sign(normals[:, 2])[:, None]
    safe = np.maximum(length, 1e-12)
    a, b = -along[:, :, 1] / safe * front, along[:, :, 0] / safe * front
    c = -(a * flat[:, :, 0] + b * flat[:, :, 1])
    short = length < 1e-9  # a repeated corner has no side
    edges = np.stack([np.where(short, 0.0, a), np.where(short, 0.0, b), np.where(short, 1.0, c)], 2)
    low, high = flat.min(axis=1), flat.max(axis=1)
    box = np.column_stack([low[:, 0], high[:, 0], low[:, 1], high[:, 1], corners[:, :, 2].max(1)])
    return Patches(corners, edges, np.column_stack([depth, offset]), normals, box, which)


def visible_stretches(segments: Array, patches: Patches) -> tuple[Index, Array, Array]:
    """What the eye sees of each segment.

    Parameters
    ----------
    segments : ndarray, shape (n, 2, 3)
    patches : Patches

    Returns
    -------
    which : ndarray of int, shape (m,)
        Segment of each seen stretch, rising.
    low, high : ndarray, shape (m,)
        Shares from its first to its second end; stretches of one segment rise and stand apart.
    """
    low, high = segments.min(axis=1), segments.max(axis=1)
    i, k = patches.near(low[:, :2], high[:, :2])
    before = low[i, 2] < patches.box[k, 4] - _ON
    i, k = i[before], k[before]
    start, end = _hidden_stretch(segments[i], patches.edges[k], patches.plane[k])
    kept = end > start
    return _left_over(i[kept], start[kept], end[kept], len(segments))


def _hidden_stretch(segments: Array, edges: Array, plane: Array) -> tuple[Array, Array]:
    """First and last share of each segment that lies inside its patch and behind it."""
    a, b = segments[:, 0], segments[:, 1]
    start, end = np.zeros(len(a)), np.ones(len(a))

    def keep_positive(f0: Array, f1: Array) -> None:
        """Cut [start, end] to where the linear function from f0 to f1 is positive."""
        run = f1 - f0
        with np.errstate(divide="ignore", invalid="ignore"):
            cross = np.where(run == 0.0, 0.0, -f0 / run)
        np.maximum(start, np.where(run > 0.0, cross, 0.0), out=start)
        np.minimum(end, np.where(run < 0.0, cross, 1.0), out=end)
        end[(run == 0.0) & (f0 <= 0.0)] = -1.0

    for side in range(4):
        e = edges[:, side]
        keep_positive(
            e[:, 0] * a[:, 0] + e[:, 1] * a[:, 1] + e[:, 2] + _SEAM,
            e[:, 0] * b[:, 0] + e[:, 1] * b[:, 1] + e[:, 2] + _SEAM,
        )
    keep_positive(
        plane[:, 0] * a[:, 0] + plane[:, 1] * a[:, 1] + plane[:, 2] - a[:, 2] - _ON,
        plane[:, 0] * b[:, 0] + plane[:, 1] * b[:, 1] + plane[:, 2] - b[:, 2] - _ON,
    )
    return start, end


def _left_over(which: Index, start: Array, end: Array, count: int) -> tuple[Index, Array, Array]:
    """What the hidden stretches of `count` segments leave of [0, 1] of each; crumbs are swept up.

    Returns what `visible_stretches` does.
    """
    order = np.lexsort((end, start, which))
    which, start, end = which[order], start[order], end[order]
    # how far hidden stretches have reached by each: the largest end so far in its segment.
    # By rank, so that one running maximum does for all segments and no digit is lost.
    by_size = np.sort(end)
    rank = np.searchsorted(by_size, end)
    base = which * len(end)
    reached = by_size[np.maximum.accumulate(base + rank) - base] if len(end) else end
    is_first, is_last = np.ones(len(end), dtype=bool), np.ones(len(end), dtype=bool)
    is_first[1:] = is_last[:-1] = which[1:] != which[:-1]
    before = np.where(is_first, 0.0, np.roll(reached, 1))
    gap = start > before + _SHARE
    rest = is_last & (reached < 1.0 - _SHARE)
    clear = np.setdiff1d(np.arange(count), which)
    found = np.concatenate([which[gap], which[rest], clear])
    low = np.concatenate([before[gap], reached[rest], np.zeros(len(clear))])
    high = np.concatenate([start[gap], np.ones(rest.sum() + len(clear))])
    order = np.lexsort((low, found))
    return found[order], low[order], high[order]


def foremost(points: Array, patches: Patches) -> tuple[Index, Array]:
    """Patch that the eye meets first at each point of the picture.

    Parameters
    ----------
    points : ndarray, shape (n, 2)
    patches : Patches

    Returns
    -------
    index : ndarray of int, shape (n,)
        Row of `patches`, -1 where there is none.
    depth : ndarray, shape (n,)
        Of that patch there; minus infinity where there is none.
    """
    found = np.full(len(points), -1, dtype=np.int64)
    depth = np.full(len(points), -np.inf)
    if not len(patches.corners) or not len(points):
        return found, depth
    i, k = patches.at(points)
    x, y = points[i, 0], points[i, 1]
    e = patches.edges[k]
    inside = (e[:, :, 0] * x[:, None] + e[:, :, 1] * y[:, None] + e[:, :, 2]).min(axis=1)
    kept = inside > -_SEAM
    i, k = i[kept], k[kept]
    z = (patches.plane[k] * np.column_stack([x[kept], y[kept], np.ones(len(i))])).sum(axis=1)
    order = np.lexsort((k, z))  # the last written is the nearest
    found[i[order]] = k[order]
    depth[i[order]] = z[order]
    return found, depth
