"""How heavy a line is drawn: edges away from the light are broad.

Room: draw. A line is heavy where its part ends on the side that lies away from the
light, or where the light ends on it. NumPy loads with this module.
"""

from __future__ import annotations

import math

import numpy as np

from foldwright.draw.hidden_lines import Array, Flags, Index, Patches, foremost

# From the upper left, over the draughtsman's shoulder (common practice, no source).
_LIGHT = np.array([-0.6, 0.7, 0.5]) / math.sqrt(1.1)
AWAY = np.array([0.65, -0.76])
# How far beside a line one looks what it bounds [mm].
_BESIDE = 0.4


def weights(
    starts: Array, ends: Array, parts: Index, patches: Patches, owners: Index, wide: float
) -> Array:
    """How heavy each stretch of a line is drawn, by what lies on either side of it.

    Parameters
    ----------
    starts, ends : ndarray, shape (n, 3)
        Of straight stretches that are seen, in the view [mm].
    parts : ndarray of int, shape (n,)
        Number of the part that each belongs to.
    patches : Patches
    owners : ndarray of int, shape (k,)
        Number of the part that each patch belongs to.
    wide : float
        Width of a wide line [mm]: what is thinner than two gets no heavy edges of its own.

    Returns
    -------
    ndarray, shape (n,)
        0 to 1.
    """
    along = (ends - starts)[:, :2]
    length = np.maximum(np.linalg.norm(along, axis=1), 1e-9)[:, None]
    left = np.column_stack([-along[:, 1], along[:, 0]]) / length
    middle = (starts + ends) / 2.0
    asides = [side * aside for aside in (_BESIDE, 2.0 * wide) for side in (1.0, -1.0)]
    spots = np.concatenate([middle[:, :2] + aside * left for aside in asides])
    found, depth = foremost(spots, patches)
    index = found.reshape(len(asides), -1)
    # the part's own surface, about as deep as the line beside it, unless it is seen very flat
    near = np.abs(depth.reshape(len(asides), -1) - middle[:, 2]) < 6.0 * np.abs(asides)[:, None]
    near &= np.append(owners, -1)[index] == parts
    lit = is_lit(found[: 2 * len(middle)], patches).reshape(2, -1)
    away = left @ AWAY
    weight = np.zeros(len(middle))
    left_only, right_only = near[0] & ~near[1], near[1] & ~near[0]
    weight[left_only] = np.maximum(0.0, -away[left_only])
    weight[right_only] = np.maximum(0.0, away[right_only])
    weight[near.all(axis=0) & (lit[0] != lit[1])] = 0.8
    return weight


def is_lit(index: Index, patches: Patches) -> Flags:
    """Whether the light falls on the seen side of some patches; -1 is none."""
    if not len(patches.normals):
        return np.zeros(len(index), dtype=bool)
    normals = patches.normals[index]
    normals = normals * np.sign(normals[:, 2:])
    return np.asarray(normals @ _LIGHT > 0.0)
