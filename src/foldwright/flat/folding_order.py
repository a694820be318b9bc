"""Folding order: can hands fold this net, one fold after another.

Room: flat. Each fold turns from flat to its angle with all that hangs beyond
it held stiff; on the way no panel may pass through another. Panels are taken
as thin sheets drawn in a little, so that what only touches is no clash. A
search over the orders, small flaps first, backs out of states that lead
nowhere; what it finds is an order that works, in steps as fine as the motion
is sampled.

A fold that clashes only because two flaps have to close at the same time is
reported with its fellows: they are closed together, by four hands or a strap.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from foldwright.flat.develop import Layout, Sheet
from foldwright.shape import Vector, move_sides

type Motions = NDArray[np.float64]

# Panels are drawn in by this much, so that touching is no clash [mm] ...
_DRAWN_IN = 0.5
# ... or by this share of their smallest width, if that is less.
_SHARE = 0.1
# A fold is looked at this often on its way: common practice, no source.
_STEP = math.radians(10.0)
# Motions tried before a net is given up.
_MOST_MOTIONS = 150


@dataclass(frozen=True)
class FoldingOrder:
    """How a piece is folded.

    Attributes
    ----------
    order : tuple of int
        Edges in the order in which they are folded.
    together : tuple of int
        Edges that could not be folded one by one after these; empty if all can.
    """

    order: tuple[int, ...]
    together: tuple[int, ...]


def folding_order(sheet: Sheet, layout: Layout) -> FoldingOrder:
    """Find an order in which a piece folds without a panel passing through another.

    Parameters
    ----------
    sheet : Sheet
        Flat faces only.
    layout : Layout
        One piece of its net, which does not overlap.

    Returns
    -------
    FoldingOrder
        With the longest order found, and what is left to be closed together.
    """
    motion = _Hinges(sheet, layout)
    leaves_first = sorted(
        motion.folds, key=lambda fold: (len(motion.beyond[fold]), -motion.depth[fold], fold)
    )
    dead: set[frozenset[int]] = set()
    best: tuple[int, ...] = ()
    tries = 0
    stack: list[tuple[tuple[int, ...], list[int]]] = [((), list(leaves_first))]
    while stack and tries < _MOST_MOTIONS:
        done, choices = stack[-1]
        if len(done) > len(best):
            best = done
        if len(done) == len(leaves_first):
            break
        if not choices:
            dead.add(frozenset(done))
            stack.pop()
            continue
        fold = choices.pop(0)
        now = frozenset((*done, fold))
        if now in dead:
            continue
        tries += 1
        if motion.is_free(frozenset(done), fold):
            stack.append(((*done, fold), [f for f in leaves_first if f not in now]))
    return FoldingOrder(best, tuple(fold for fold in leaves_first if fold not in best))


class _Hinges:
    """The panels of a piece in space, and how they move about their folds.

    Coordinates are those of the finished solid, in which the first panel rests.
    """

    def __init__(self, sheet: Sheet, layout: Layout) -> None:
        self.sheet, self.layout = sheet, layout
        self.faces = list(layout.order)
        self.number = {face: i for i, face in enumerate(self.faces)}
        self.folds = list(layout.parent.values())
        self.child = {edge: face for face, edge in layout.parent.items()}
        self.over: dict[str, str] = {}
        for face, edge in layout.parent.items():
            ends = sheet.edges[edge]
            self.over[face] = ends.left if ends.right == face else ends.right
        self.depth = {
            edge: len(self._ways[self.number[face]]) for face, edge in layout.parent.items()
        }
        self.beyond = {
            edge: [i for i, way in enumerate(self._ways) if edge in way] for edge in self.folds
        }
        self._most = max(len(sheet.outlines[face]) for face in self.faces)
        self.corners = np.array([self._drawn_in(face) for face in self.faces])

    @cached_property
    def _ways(self) -> list[list[int]]:
        """Folds between the first panel and each, nearest to the first one first."""
        ways: dict[str, list[int]] = {}
        for face in self.layout.order:
            edge = self.layout.parent.get(face)
            ways[face] = [] if edge is None else [*ways[self.over[face]], edge]
        return [ways[face] for face in self.faces]

    def _drawn_in(self, face: str) -> NDArray[np.float64]:
        """Corners of a panel in space, drawn in, the last repeated; shape (most, 3)."""
        outline = self.sheet.outlines[face]
        points = np.array(outline)
        along = np.roll(points, -1, axis=0) - points
        area = abs(float((points[:, 0] * along[:, 1] - points[:, 1] * along[:, 0]).sum())) / 2.0
        width = 2.0 * area / float(np.hypot(*along.T).sum())  # of a strip with this rim
        inwards = min(_DRAWN_IN, _SHARE * width)
        drawn = np.array(move_sides(outline, [inwards] * len(outline)), dtype=float)
        drawn = np.vstack([drawn, np.repeat(drawn[-1:], self._most - len(drawn), axis=0)])
        frame = self.sheet.face_frames[face]
        return np.asarray(drawn @ frame[:3, :2].T + frame[:3, 3])

    def _swung(self, edge: int, shares: Sequence[float]) -> Motions:
        """Motions (n, 4, 4) of what hangs beyond a fold, from its place in the solid.

        Share 1 is flat, share 0 folded.
        """
        solid, ends = self.sheet.solid, self.sheet.edges[edge]
        child = self.child[edge]
        a = np.array(solid.vertices[ends.start])
        axis = np.array(solid.vertices[ends.end]) - a
        axis /= np.linalg.norm(axis)
        its = solid.normal(solid.face(child))
        normal = solid.normal(solid.face(self.over[child]))
        angle = math.atan2(float(axis @ np.cross(its, normal)), float(its @ normal))
        return _rotations(a, axis, [angle * share for share in shares])

    @cached_property
    def _flat(self) -> dict[int, Vector]:
        return {edge: self._swung(edge, [1.0])[0] for edge in self.folds}

    def is_free(self, done: frozenset[int], fold: int) -> bool:
        """Whether a fold can be made after others without a clash."""
        beyond = self.beyond[fold]
        rest = [i for i in range(len(self.faces)) if i not in set(beyond)]
        turn = abs(self.sheet.edges[fold].turn)
        steps = max(2, math.ceil(turn / _STEP))
        swings = self._swung(fold, [1.0 - k / steps for k in range(1, steps + 1)])
        still = np.array([self._place(i, done) for i in rest])
        # What moves goes with the fold as its own side sees it: before, swing, after.
        before, after = [], []
        for i in beyond:
            at = self._ways[i].index(fold)
            before.append(self._chain(self._ways[i][:at], done))
            after.append(self._chain(self._ways[i][at + 1 :], done))
        moving = np.einsum("mij,sjk,mkl->smil", np.array(before), swings, np.array(after))
        fixed = _carried(still, self.corners[rest])
        swept = np.einsum("smij,mcj->smci", moving[..., :3, :3], self.corners[beyond])
        swept += moving[:, :, None, :3, 3]
        return not _clash(swept, fixed)

    def _place(self, panel: int, done: frozenset[int]) -> Vector:
        return self._chain(self._ways[panel], done)

    def _chain(self, folds: Sequence[int], done: frozenset[int]) -> Vector:
        motion: Vector = np.eye(4)
        for edge in folds:
            if edge not in done:
                motion = motion @ self._flat[edge]
        return motion


def _rotations(a: Vector, axis: Vector, angles: Sequence[float]) -> Motions:
    """Rotations about the line through `a` (Rodrigues' formula), shape (n, 4, 4)."""
    x, y, z = axis
    cross = np.array([[0.0, -z, y], [z, 0.0, -x], [-y, x, 0.0]])
    found = np.tile(np.eye(4), (len(angles), 1, 1))
    for motion, angle in zip(found, angles, strict=True):
        turn = np.eye(3) + math.sin(angle) * cross + (1.0 - math.cos(angle)) * cross @ cross
        motion[:3, :3], motion[:3, 3] = turn, a - turn @ a
    return found


def _carried(motions: Motions, corners: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.asarray(
        np.einsum("nij,ncj->nci", motions[:, :3, :3], corners) + motions[:, None, :3, 3]
    )


def _clash(swept: NDArray[np.float64], fixed: NDArray[np.float64]) -> bool:
    """Whether a panel crosses another: then a side of one pierces the other.

    `swept` is (steps, panels, corners, 3), `fixed` (panels, corners, 3).
    """
    steps, count, corners = swept.shape[:3]
    moved = swept.reshape(steps * count, corners, 3)
    near = np.argwhere(
        (moved.min(axis=1)[:, None] < fixed.max(axis=1)).all(axis=2)
        & (fixed.min(axis=1) < moved.max(axis=1)[:, None]).all(axis=2)
    )
    if not len(near):
        return False
    one, other = moved[near[:, 0]], fixed[near[:, 1]]
    return bool(_pierces(one, other).any() or _pierces(other, one).any())


def _pierces(sides: NDArray[np.float64], panels: NDArray[np.float64]) -> NDArray[np.bool_]:
    """For each pair: does a side of the first polygon go through the second."""
    along = np.roll(panels, -1, axis=1) - panels
    area = np.cross(panels - panels[:, :1], along).sum(axis=1)
    normal = area / np.linalg.norm(area, axis=1)[:, None]
    height = np.einsum("nci,ni->nc", sides - panels[:, :1], normal)
    after = np.roll(height, -1, axis=1)
    crosses = height * after < 0.0
    share = np.divide(height, height - after, out=np.zeros_like(height), where=crosses)
    points = sides + share[..., None] * (np.roll(sides, -1, axis=1) - sides)
    # In the plane of the panel: how often a ray meets its rim (even-odd rule).
    first = np.linalg.norm(along, axis=2).argmax(axis=1)
    u = along[np.arange(len(along)), first]
    u = u / np.linalg.norm(u, axis=1)[:, None]
    v = np.cross(normal, u)
    px, py = (np.einsum("nci,ni->nc", points - panels[:, :1], w) for w in (u, v))
    qx, qy = (np.einsum("nci,ni->nc", panels - panels[:, :1], w) for w in (u, v))
    rx, ry = np.roll(qx, -1, axis=1), np.roll(qy, -1, axis=1)
    low = (qy[:, None] > py[..., None]) != (ry[:, None] > py[..., None])
    rise = np.where(low, (ry - qy)[:, None], 1.0)
    meet = qx[:, None] + (rx - qx)[:, None] * (py[..., None] - qy[:, None]) / rise
    inside = ((low & (px[..., None] < meet)).sum(axis=2) % 2) == 1
    return np.asarray((crosses & inside).any(axis=1))
