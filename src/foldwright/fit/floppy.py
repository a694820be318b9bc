"""Floppy parts: how far a panel of one is pulled true with a small force.

Room: fit. A part that the plan calls flexible gives where a cap, a rib or a
neighbour pushes against the middle of one of its panels. Only flat panels give
so; the girth of a drum does not, and what stands on a folded edge does not.
"""

from __future__ import annotations

import numpy as np

from foldwright.errors import FoldwrightError
from foldwright.fit.clearance import Scene
from foldwright.plan import AnyPart
from foldwright.plan.dual import number
from foldwright.shape import Vector, face_corners, face_frame, flat_faces, is_disc
from foldwright.shop.panels import panel_of
from foldwright.shop.pulled_panels import SMALL_FORCE, pulled_true

# A panel gives along its normal; one that stands further off than this does not (cosine).
_SQUARE_ON = 0.98
_NO_PANEL = ("tube", "plug", "bought", "drum", "hood")


def pull_along(scene: Scene, part: str, way: Vector, *, force: float = SMALL_FORCE) -> float:
    """How far the panels of a flexible part that face along a way give [mm].

    Parameters
    ----------
    scene : Scene
        With the boards of the parts; without them nothing gives.
    part : str
    way : ndarray, shape (3,)
        Unit direction in the build frame, either sense.
    force : float
        What may be pulled with [N].

    Returns
    -------
    float
        Of the stiffer one, if two panels face along the way; 0 if none does.
    """
    record = scene.parts[part]
    if not record.is_flexible or record.kind in _NO_PANEL:
        return 0.0
    gives = []
    for face in _made_faces(record):
        normal = scene.way(part, face_frame(record, face)[:3, 2])
        if abs(float(normal @ way)) > _SQUARE_ON:
            gives.append(_gives(scene, record, face, force))
    return min(gives, default=0.0)


def _made_faces(part: AnyPart) -> list[str]:
    return [face for face in flat_faces(part) if face not in part.leave_open]


def _gives(scene: Scene, part: AnyPart, face: str, force: float) -> float:
    """How far one panel gives [mm]; 0 if its board is not known."""
    board = scene.boards.get(part.stock_of(face)[0])
    if board is None:
        return 0.0
    corners = face_corners(part, face, part.values())
    frame = face_frame(part, face)
    points = np.array([[number(c) for c in corner] for corner in corners])
    sides = np.ptp(points @ frame[:3, :2], axis=0)
    if is_disc(part):  # the square inside the disc gives less
        sides = sides / np.sqrt(2.0)
    try:
        one, other = (float(side) for side in sides)
        return pulled_true(panel_of(board), board.face.poisson.value, one, other, force)
    except FoldwrightError:  # a board without thickness bends for nobody
        return 0.0
