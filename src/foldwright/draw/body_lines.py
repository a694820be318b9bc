"""Lines of one body for one eye: its edges, and what a round wall adds to them.

Room: draw. Start at `lines_of`. A round wall has no edge where it turns away from the
eye, but is outlined there, and may be ruled on the side away from the light. NumPy and
Shapely load with this module.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from foldwright.draw.hidden_lines import Array
from foldwright.draw.line_weights import AWAY

if TYPE_CHECKING:
    from foldwright.shape import Body, Generator

# An arc stands no further over its chords than this [mm].
_OVER_CHORD = 0.3
# Where a round part is ruled: shares of its half width on the side away from the light.
_RULED = (0.36, 0.46, 0.55, 0.63, 0.70, 0.765, 0.82, 0.87, 0.91, 0.945, 0.972)


@dataclass(frozen=True)
class BodyLine:
    """A line of a body, whether it is seen or not.

    Attributes
    ----------
    faces : (str, str)
        On either side.
    kind : str
        ``"edge"``, ``"inner"`` (an edge of the inside), ``"smooth"`` (a curve runs into
        its tangent: bounds what is seen, but is not drawn), ``"outline"`` (where a round
        surface turns away) or ``"ruling"``.
    points : ndarray, shape (n, 3)
        In the view, as if the part's own origin stood in the origin of the view [mm].
    closed : bool
        Whether it ends where it begins.
    """

    faces: tuple[str, str]
    kind: str
    points: Array
    closed: bool


def lines_of(body: Body, turn: Array, spacing: float | None) -> list[BodyLine]:
    """All lines of a body for one eye.

    Parameters
    ----------
    body : Body
    turn : ndarray, shape (3, 3)
        From the body's own frame into the view; its last row is where the eye is.
    spacing : float, optional
        Least distance between two rulings [mm]; no round wall is ruled without it.
    """
    eye = turn[2]
    angles = {
        id(s): s.generator.tangents(eye.tolist())
        for s in body.surfaces
        # where a hollow surface turns away, something before it hides it
        if s.generator is not None and s.generator.sense > 0
    }
    tangents = [
        s.generator.points(np.array([angle]), share)[0]
        for s in body.surfaces
        if s.generator is not None
        for angle in angles.get(id(s), ())
        for share in (0.0, 1.0)
    ]
    found = [
        BodyLine(
            ridge.faces,
            "smooth" if ridge.smooth else "inner" if ridge.inside else "edge",
            _with_tangents(np.array(ridge.points), tangents) @ turn.T,
            ridge.points[0] == ridge.points[-1],
        )
        for ridge in body.ridges
    ]
    for surface in body.surfaces:
        generator = surface.generator
        if generator is None or id(surface) not in angles:
            continue
        drawn = [(angle, "outline") for angle in angles[id(surface)]]
        if spacing is not None:
            drawn += [(a, "ruling") for a in _rulings(generator, turn, spacing)]
        for angle, kind in drawn:
            for low, high in _free_of_holes(angle, surface.holes):
                ends = [generator.points(np.array([angle]), share)[0] for share in (low, high)]
                faces = (surface.face, surface.face)
                found.append(BodyLine(faces, kind, np.array(ends) @ turn.T, False))
    return found


def _with_tangents(points: Array, tangents: Sequence[Array]) -> Array:
    """A line with the true ends of the outlines put in where they stand over its chords."""
    for tangent in tangents:
        a, along = points[:-1], np.diff(points, axis=0)
        size = np.maximum((along**2).sum(axis=1), 1e-12)
        share = np.clip(((tangent - a) * along).sum(axis=1) / size, 0.0, 1.0)
        away = np.linalg.norm(a + share[:, None] * along - tangent, axis=1)
        i = int(np.argmin(away))
        inside = 1e-9 < share[i] < 1.0 - 1e-9
        if away[i] < _OVER_CHORD and inside:
            points = np.insert(points, i + 1, tangent, axis=0)
    return points


def _rulings(generator: Generator, turn: Array, spacing: float) -> list[float]:
    """Angles to rule, denser towards the edge that lies away from the light."""
    tangents = generator.tangents(turn[2].tolist())
    low, high = generator.sweep
    if len(tangents) != 2 or high - low < math.tau - 1e-6:
        return []
    feet = (generator.points(np.array(tangents), 0.0) @ turn.T)[:, :2]
    sides = feet @ AWAY
    dark, other = (0, 1) if sides[0] > sides[1] else (1, 0)
    half = float(np.linalg.norm(feet[0] - feet[1])) / 2.0
    # angle of the middle of what is seen: between the tangents, on the side of the eye
    half_turn = ((tangents[dark] - tangents[other] + math.pi) % math.tau - math.pi) / 2.0
    middle = tangents[other] + half_turn
    way = generator.points(np.array([middle]), 0.0)[0] - np.array(generator.origin)
    if float(way @ turn[2]) < 0.0:
        half_turn -= math.copysign(math.pi, half_turn)
        middle = tangents[other] + half_turn
    found: list[float] = []
    last = -math.inf
    for share in _RULED:
        if (share - last) * half >= spacing and (1.0 - share) * half >= 0.6 * spacing:
            found.append(
                middle + math.asin(share * math.sin(abs(half_turn))) * math.copysign(1.0, half_turn)
            )
            last = share
    return found


def _free_of_holes(
    angle: float, holes: Sequence[Sequence[tuple[float, float]]]
) -> list[tuple[float, float]]:
    """Shares of the height over which a generatrix runs on material."""
    left: BaseGeometry = shapely.LineString([(angle, 0.0), (angle, 1.0)])
    for hole in holes:
        for turn in (-math.tau, 0.0, math.tau):
            moved = [(a + turn, h) for a, h in hole]
            left = left.difference(shapely.Polygon(moved))
    return [
        (line.coords[0][1], line.coords[-1][1])
        for line in shapely.get_parts(left)
        if isinstance(line, shapely.LineString) and line.length > 1e-9
    ]
