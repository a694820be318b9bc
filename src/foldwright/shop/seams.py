"""Seams: how far each skin stops short where two boards meet.

Room: shop. A seam at interior dihedral phi joins board 1 to board 2. `trim`
is how far the outside skin stops short of the mould line, `trim_inside` how
far the inside skin does; negative runs past it. The saw tilts `bevel` from
square.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from foldwright.errors import OutOfDomain


@dataclass(frozen=True)
class SeamSection:
    """Edge of one board at a seam: `trim`, `trim_inside` [mm], `bevel` [rad] from square."""

    kind: str
    trim: float
    trim_inside: float
    bevel: float


def mitre(thickness: float, mate_thickness: float, dihedral: float) -> SeamSection:
    """Mitre: the outside skins meet on the mould line, so nothing shows.

    ::

        inside trim  d_1 = (t_2 + t_1 cos phi) / sin phi
        saw tilt     atan(d_1 / t_1);  theta/2 for equal boards

    Past 180 degrees d_1 is negative: the inside skin is the larger one.

    Parameters
    ----------
    thickness, mate_thickness : float
        t_1, t_2 [mm], above 0.
    dihedral : float
        phi, interior [rad], 0 to 2 pi but not 0, pi or 2 pi.

    Returns
    -------
    SeamSection
        Of board 1.

    Raises
    ------
    OutOfDomain
        The faces lie in one plane or on one another.

    References
    ----------
    Plane trigonometry: the plane through the two mould lines, outside and
    inside. Common practice for mitres; see the mitre tables checked in the tests.

    Examples
    --------
    >>> round(mitre(3.0, 3.0, math.pi / 2).trim_inside, 6)
    3.0
    """
    if abs(math.sin(dihedral)) < 1e-9:
        raise OutOfDomain(
            f"two faces at {math.degrees(dihedral):.1f} degrees have no mitre. "
            "Make them one face, or change the outline.",
            name="outline",
        )
    inside = (mate_thickness + thickness * math.cos(dihedral)) / math.sin(dihedral)
    return SeamSection("mitre", 0.0, inside, math.atan(inside / thickness))
