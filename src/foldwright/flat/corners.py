"""Corners: where folds cross, and what is left open where they do.

Room: flat.
"""

from __future__ import annotations

import math

import numpy as np

from foldwright.flat.develop import Layout, Sheet
from foldwright.flat.pattern import Mark
from foldwright.shape import Vector, interior_angles, move_sides

# Drills come in these steps [mm].
_DRILL_STEP = 0.5


def reliefs(sheet: Sheet, layout: Layout, face: str, motion: Vector) -> list[Mark]:
    """Relief holes where two zones of one face cross: they clear the crossing.

    Centre at the crossing of the zone middles, radius ``g / (2 sin(beta/2))``
    with beta the angle of the face there and g the wider zone. Of a row of
    kerfs the one next to the face counts.
    """
    corners, folded = sheet.outlines[face], set(layout.parent.values())
    numbers = [sheet.edge_of_side[(face, i)] for i in range(len(corners))]
    middles = move_sides(
        corners,
        [
            sheet.folds[n].setback - sheet.folds[n].zone_width / 2.0
            if n is not None and n in folded
            else 0.0
            for n in numbers
        ],
    )
    marks = []
    for i, beta in enumerate(interior_angles(corners)):
        before, after = numbers[i - 1], numbers[i]
        if before is None or after is None or not {before, after} <= folded:
            continue
        zone = max(sheet.folds[before].zone_width, sheet.folds[after].zone_width)
        d = math.ceil(zone / math.sin(beta / 2.0) / _DRILL_STEP - 1e-9) * _DRILL_STEP
        x, y = motion[:2, :2] @ np.array(middles[i], dtype=float) + motion[:2, 2]
        marks.append(Mark("drill", (float(x), float(y)), d, "relief where two folds cross"))
    return marks
