"""Pulled panels: how far a hand, a cap or a rib pulls a floppy panel true.

Room: shop. A panel of a folded part is held at its edges and bows in its
middle. A push of a few newtons there takes such a bow out, if the board is
thin and the panel large; what a small force cannot pull is a miss.

The panel is taken as held up all round and free to turn at its edges. One that
is open along an edge gives more than that, so the truth is on the safe side.
"""

from __future__ import annotations

import numpy as np

from foldwright.shop.panels import Panel, plate_rigidity
from foldwright.shop.physical import require_above_zero

SMALL_FORCE = 20.0
"""Force that is a light push of the hand, and that glue holds as it sets [N]: common practice,
no source."""

# w = alpha P a^2 / D at the middle under a load P there, by b / a, longer over shorter side.
_SIDES = (1.0, 1.1, 1.2, 1.4, 1.6, 1.8, 2.0, 3.0)
_ALPHA = (0.01160, 0.01265, 0.01353, 0.01484, 0.01570, 0.01620, 0.01651, 0.01690)
_ENDLESS = 0.01695


def pulled_true(
    panel: Panel, poisson: float, one: float, other: float, force: float = SMALL_FORCE
) -> float:
    """How far the middle of a panel moves under a force there [mm].

    ::

        w = alpha P a^2 / D

    Parameters
    ----------
    panel : Panel
    poisson : float
        Of its faces [-].
    one, other : float
        Sides of the panel [mm]; a is the shorter.
    force : float
        P [N].

    Raises
    ------
    OutOfDomain
        A side or a force that is not above 0.

    References
    ----------
    S. Timoshenko and S. Woinowsky-Krieger, Theory of Plates and Shells, 2nd ed., table 23
    (alpha of a simply supported plate, load at the centre); values from memory, unchecked.

    Examples
    --------
    >>> round(pulled_true(Panel(0.2, 1.6, 70_000.0, 200.0, 70.0), 0.33, 400.0, 300.0), 2)
    1.01
    """
    for name, value in {"one": one, "other": other, "force": force}.items():
        unit = "N" if name == "force" else "mm"
        require_above_zero(value, f"the {name}" if unit == "N" else "a side", name=name, unit=unit)
    short, long = sorted((one, other))
    alpha = float(np.interp(long / short, _SIDES, _ALPHA, right=_ENDLESS))
    return alpha * force * short**2 / plate_rigidity(panel, poisson)
