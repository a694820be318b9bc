"""Webs: what bends under a cut, and when the cut shuts.

Room: shop. A *web* is the board left under a groove or kerf, or the whole
sheet where nothing is cut. `grooves`, `kerfs` and `bends` work folds out with
these; `springs` says how far a web springs back.
"""

from __future__ import annotations

import math

from foldwright.shop.materials import Board


def neutral_depth(board: Board, web: float) -> float:
    """Depth of the neutral line under the free face of the skin of a web.

    Rigid-plastic balance of a web that is skin over core: tension and
    compression are equal, so::

        z = t_s/2 + sigma_core (w - t_s) / (2 sigma_skin)

    A solid web bends about its middle.

    Parameters
    ----------
    board : Board
    web : float
        w [mm], at least the skin.

    Returns
    -------
    float
        z [mm].

    References
    ----------
    Force balance of a rigid-plastic layered strip in pure bending; any text
    on plastic bending. The folded test strip of the maker overrides it.
    """
    if board.core is None:
        return web / 2.0
    skin = board.skin_thickness
    ratio = board.core.strength.value / board.face.strength.value
    return skin / 2.0 + ratio * (web - skin) / 2.0


def shutting_turn(floor: float, web: float, thickness: float, cutter: float, k: float) -> float:
    """Turn at which the flanks of a groove or kerf touch.

    Solves ``g/theta - k w = h (1 - tan(alpha/2) / tan(theta/2))``; both sides
    are monotonic in theta, so bisection is safe. A saw kerf (alpha = 0) has
    the closed form ``g / (h + k w)``.

    Parameters
    ----------
    floor, web, thickness : float
        g, w, t [mm].
    cutter : float
        alpha [rad], 0 for a saw kerf.
    k : float
        Neutral line [-].

    Returns
    -------
    float
        [rad]; infinite if it never shuts below pi.
    """
    depth = thickness - web
    flank = math.tan(cutter / 2.0)

    def opening(theta: float) -> float:
        return floor / theta - k * web - depth * (1.0 - flank / math.tan(theta / 2.0))

    low, high = 1e-6, math.pi - 1e-9
    if opening(high) > 0.0:
        return math.inf
    while high - low > 1e-13:
        middle = (low + high) / 2.0
        low, high = (middle, high) if opening(middle) > 0.0 else (low, middle)
    return low
