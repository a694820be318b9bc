"""Finishes: how thick they build, and how much paint that takes.

Room: shop. *Solids* is the share of a paint's volume that stays when it has
dried. *Build* is the thickness of all layers together on one face; dims over
two coated faces grow by twice that.

Start at `build_of` and `paint_for`.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from foldwright.errors import OutOfDomain
from foldwright.shop.physical import require_above_zero, require_between

# Share of the paint that does not end up on the part: in the brush, in the air, in the
# tray. Common practice, no source.
LOSSES: Mapping[str, float] = MappingProxyType(
    {"brush": 0.1, "roller": 0.1, "pad": 0.1, "low-pressure spray": 0.35, "air spray": 0.5}
)
# Of the thickness of a layer, one standard deviation over a face, by hand. Common practice,
# no source.
LAYER_SPREAD = 0.2
# A paint of which nothing is known: solids by volume, mass of the dry layer [kg/m3], how it
# is laid, and what it is sold in [l]; the shares of what is sure stand beside them. Common
# practice, no source; the tin's own sheet comes first.
USUAL_SOLIDS, SOLIDS_SPREAD = 0.45, 0.04
USUAL_DRY_DENSITY, DRY_DENSITY_SPREAD = 1500.0, 200.0
USUAL_WAY, LOSS_SPREAD = "roller", 0.5
USUAL_TIN = 1.0
_TOO_THICK = 2.0  # [mm]; no paint, but a plaster


@dataclass(frozen=True)
class Build:
    """Thickness of all layers on one face [mm], and one standard deviation of it."""

    thickness: float
    spread: float


def build_of(layers: Sequence[float], spread: float = LAYER_SPREAD) -> Build:
    """Build of the layers on one face.

    Parameters
    ----------
    layers : sequence of float
        Dry thickness of each [mm]; none: bare.
    spread : float
        Of each layer, as a share of it [-]; layers stray independently.

    Raises
    ------
    OutOfDomain
        A layer that is not above 0, or no paint any more.

    Examples
    --------
    >>> build_of([0.08, 0.06]).thickness
    0.14
    """
    require_between(spread, 0.0, 1.0, "the spread", name="spread", unit="")
    for layer in layers:
        require_above_zero(layer, "a layer", name="layers")
        require_between(layer, 0.0, _TOO_THICK, "a layer", name="layers")
    return Build(math.fsum(layers), spread * math.hypot(*layers) if layers else 0.0)


def covers(dry: float, solids: float) -> float:
    """Area that a litre covers, nothing lost [m2/l].

    ::

        solids / dry film in mm  (the same as 10 x solids in per cent / micrometres)

    References
    ----------
    ISO 3233-1:2019 for the solids by volume; the rule is their definition.

    Examples
    --------
    >>> covers(0.05, 0.4)
    8.0
    """
    require_above_zero(dry, "the dry layer", name="layers")
    _check_solids(solids)
    return solids / dry


def wet_film(dry: float, solids: float, thinner: float = 0.0) -> float:
    """Thickness to lay on wet [mm]; a comb gauge reads it.

    Parameters
    ----------
    dry : float
        [mm].
    solids : float
        Share by volume as it is in the tin [-].
    thinner : float
        Added, as a share of the paint's volume [-].
    """
    require_between(thinner, 0.0, 2.0, "the thinner", name="thinner", unit="")
    return (1.0 + thinner) / covers(dry, solids)


def paint_for(area: float, dry: float, solids: float, loss: float) -> float:
    """Paint for an area, as it is in the tin [l].

    ::

        V = area dry / (solids (1 - loss))

    Parameters
    ----------
    area : float
        Coated, lands taken off [m2], 0 or more.
    dry : float
        Of all coats of this paint [mm].
    solids, loss : float
        Shares [-]: `loss` under 0.95, of `LOSSES`.

    Raises
    ------
    OutOfDomain
        Shares that no paint or painter has.

    Examples
    --------
    >>> paint_for(2.0, 0.05, 0.5, 0.5)
    0.4
    """
    require_between(area, 0.0, math.inf, "the area", name="area", unit="m2")
    require_between(loss, 0.0, 0.95, "the loss", name="loss", unit="")
    return area / (covers(dry, solids) * (1.0 - loss))


def paint_spread(loss: float) -> float:
    """How sure `paint_for` is with a usual paint: one standard deviation, as a share [-].

    The layer, the solids and what is lost stray independently.

    Parameters
    ----------
    loss : float
        Share that is lost [-].

    Examples
    --------
    >>> round(paint_spread(0.1), 2)
    0.23
    """
    require_between(loss, 0.0, 0.95, "the loss", name="loss", unit="")
    lost = LOSS_SPREAD * loss / (1.0 - loss)
    return math.hypot(LAYER_SPREAD, SOLIDS_SPREAD / USUAL_SOLIDS, lost)


def coated_area(area: float, lands: Sequence[tuple[float, float]] = ()) -> float:
    """Area left to coat once the glue lands are masked [mm2].

    Parameters
    ----------
    area : float
        Of the face [mm2].
    lands : sequence of pairs
        Length and width of each land [mm].

    Raises
    ------
    OutOfDomain
        Lands that are larger than the face.
    """
    require_above_zero(area, "the face", name="area", unit="mm2")
    for length, width in lands:
        require_above_zero(length, "the land's length", name="lands")
        require_above_zero(width, "the land's width", name="lands")
    masked = math.fsum(length * width for length, width in lands)
    if masked > area:
        raise OutOfDomain(
            f"Glue lands of {masked:g} mm2 are more than the face of {area:g} mm2. "
            "Give length and width of each land once.",
            name="lands",
        )
    return area - masked


def tins(volume: float, tin: float) -> int:
    """Tins to buy for a volume, both in the same unit."""
    require_between(volume, 0.0, math.inf, "the paint", name="volume", unit="l")
    require_above_zero(tin, "the tin", name="tin", unit="l")
    return math.ceil(volume / tin - 1e-9)


def coat_mass(area: float, dry: float, dry_density: float) -> float:
    """Mass that a dry layer adds [kg], from m2, mm and kg/m3."""
    require_between(area, 0.0, math.inf, "the area", name="area", unit="m2")
    require_above_zero(dry, "the dry layer", name="layers")
    require_above_zero(dry_density, "the density", name="density", unit="kg/m3")
    return area * dry * 1e-3 * dry_density


def _check_solids(solids: float) -> None:
    require_above_zero(solids, "the share of solids", name="solids", unit="")
    require_between(solids, 0.0, 1.0, "the share of solids", name="solids", unit="")
