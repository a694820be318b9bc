"""Sections of boards: the layers that a board or sheet of the table is bent as.

Room: shop. Sheet is wide, so all is in plane strain. How boards resist and
spring is in `layers`.
"""

from __future__ import annotations

import math

import numpy as np

from foldwright.errors import OutOfDomain
from foldwright.shop.layers import (
    PLANE_STRAIN_YIELD,
    Layers,
    Numbers,
    plane_strain,
    refuse_unless,
)
from foldwright.shop.materials import Board, Matter


def section_of(board: Board, yield_factor: Numbers = 1.0) -> Layers:
    """Section of a board or sheet, in plane strain, as a curl meets it.

    It yields at the proof stress of the table times `yield_factor`, and then
    hardens by the tangent modulus of the table (times 4/3: plastic strain of a
    wide strip without change of volume).

    Parameters
    ----------
    board : Board
        With a thickness.
    yield_factor : float or Array
        What a test curl says the yield is, over the table's.

    Raises
    ------
    OutOfDomain
        The board has no thickness, its skins leave no core, or the factor is not above 0.
    """
    t, skin = board.thickness, board.skin_thickness
    if not (t > 0.0 and math.isfinite(t)):
        raise OutOfDomain(
            f"{board.what} comes in any thickness and has none here ({t:g} mm). "
            "Say its thickness, as measured.",
            name="thickness",
        )
    factors = np.asarray(yield_factor, dtype=float)
    refuse_unless(
        (factors > 0.0) & np.isfinite(factors),
        "yield_factor",
        "a yield factor has to be above 0; 1 is the yield of the table. Take it from a test curl.",
    )
    if board.core is None:
        bounds, matters = [0.0, t / 2.0], [board.face]
    else:
        if not 0.0 < 2.0 * skin < t:
            raise OutOfDomain(
                f"two skins of {skin:g} mm leave no core in {t:g} mm. Check both as measured.",
                name="thickness",
            )
        bounds, matters = [0.0, t / 2.0 - skin, t / 2.0], [board.core, board.face]
    figures = np.array([_curled(matter) for matter in matters])
    section = Layers(
        np.array(bounds[:-1]), np.array(bounds[1:]), figures[:, 0], figures[:, 1], figures[:, 2]
    )
    return section.scaled(factors)


def _curled(matter: Matter) -> tuple[float, float, float]:
    """Plane strain modulus, yield and hardening of what a layer consists of [MPa]."""
    stiff, flow = plane_strain(matter.modulus.value, matter.proof.value, matter.poisson.value)
    return stiff, flow, PLANE_STRAIN_YIELD**2 * matter.hardening.value
