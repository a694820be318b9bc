"""Square ends: what a tube end that is not square does at the far end.

Room: shop. A tube that stands on an end out of square leans; what is bolted to
its other end is off to one side by as much as the lean makes over the length.
"""

from __future__ import annotations

import math

from foldwright.errors import OutOfDomain


def end_lean(out: float, across: float, length: float) -> tuple[float, float]:
    """Lean of a tube that stands on a skew end, and how far its other end is off.

    ::

        lean = atan(s / d),  off = L s / d

    Parameters
    ----------
    out : float
        s, light under the square at the far side of the end [mm], 0 or more.
    across : float
        d, outside of the tube across which that was seen [mm], above 0.
    length : float
        L of the tube [mm], above 0.

    Returns
    -------
    tuple of float
        Lean [rad] and off [mm].

    Raises
    ------
    OutOfDomain
        Anything below that, or more out of square than a tenth of the width.

    References
    ----------
    Similar triangles.

    Examples
    --------
    >>> lean, off = end_lean(0.5, 50.0, 400.0)
    >>> round(math.degrees(lean), 2), round(off, 1)
    (0.57, 4.0)
    """
    for value, name in ((across, "across"), (length, "length")):
        if not 0.0 < value < math.inf:  # also catches nan
            raise OutOfDomain(
                f"{name} is {value:g} mm; it has to be above 0. Measure again.", name=name
            )
    if not 0.0 <= out <= across / 10.0:
        raise OutOfDomain(
            f"{out:g} mm out of square over {across:g} mm is no end that was meant square; up to "
            f"{across / 10.0:g} mm this holds. Saw it again.",
            name="out",
        )
    return math.atan(out / across), length * out / across


def end_allowed(off: float, across: float, length: float) -> float:
    """How far out of square [mm] an end may be if the far end may be so much off: off d / L."""
    end_lean(0.0, across, length)  # refuses what is amiss
    if not 0.0 <= off < math.inf:
        raise OutOfDomain(
            f"the far end may be {off:g} mm off; that is 0 or more. Check the sign.", name="allowed"
        )
    return off * across / length
