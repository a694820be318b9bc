"""Layers: what a layered section resists when bent past its yield, and how it springs.

Room: shop. A *section* is solid sheet or board, taken a millimetre wide and
symmetric about its middle; only the half outside the middle is written down,
layer by layer. *Curvature* is one over the radius of the middle of the
thickness. A section that is bent to a curvature and let go unloads elastically
to its *free* curvature.

Everything takes arrays: many curvatures, many sections, many yields at once.

Start at `solid_section`, or at `board_sections` for a board of the table; then
`moment`, `free_curvature` and its inverse `loaded_curvature`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from foldwright.errors import OutOfDomain

type Array = NDArray[np.float64]
type Numbers = float | Array

# Von Mises: what a wide strip, which cannot narrow, yields at over what a narrow one does.
PLANE_STRAIN_YIELD = 2.0 / math.sqrt(3.0)
# Newton steps at most; six to ten are taken, more only next to the first yield.
_MOST_STEPS = 60
_SETTLED = 1e-15  # share of the value that a last step moves it
# Stands for curvature 0 where it divides [1/mm].
_STRAIGHT = 1e-200


@dataclass(frozen=True)
class Layers:
    """Layers of a section from its middle outwards, each there again on the other side.

    Shape ``(..., n)``: n layers, and as many sections as the leading axes hold.

    Attributes
    ----------
    inner, outer : Array
        Where a layer begins and ends, from the middle [mm].
    modulus : Array
        E [MPa].
    yields : Array
        Y, stress at which it yields [MPa].
    hardening : Array
        E_t, slope of the stress past its yield [MPa], from 0 to below E.
    """

    inner: Array
    outer: Array
    modulus: Array
    yields: Array
    hardening: Array

    def __post_init__(self) -> None:
        refuse_unless(
            (self.inner >= 0.0) & (self.outer > self.inner) & np.isfinite(self.outer),
            "thickness",
            "a layer has to begin at or outside the middle and end further out. "
            "Check the thickness of the sheet and of its skins.",
        )
        refuse_unless(
            (self.modulus > 0.0) & np.isfinite(self.modulus),
            "modulus",
            "a modulus has to be above 0 MPa. Look it up for the material.",
        )
        refuse_unless(
            (self.yields > 0.0) & np.isfinite(self.yields),
            "yield_stress",
            "a yield stress has to be above 0 MPa. Look it up for the material.",
        )
        refuse_unless(
            (self.hardening >= 0.0) & (self.hardening < self.modulus),
            "hardening",
            "hardening has to be 0 or more and below the modulus. Leave it at 0 if unknown.",
        )

    @property
    def rigidity(self) -> Array:
        """EI of the whole section [N mm2 per mm]."""
        cubes: Array = np.sum(2.0 * self.modulus * (self.outer**3 - self.inner**3) / 3.0, axis=-1)
        return cubes

    @property
    def plastic_moment(self) -> Array:
        """M_p, moment with all of the section at its yield, without hardening [N mm per mm]."""
        squares: Array = np.sum(self.yields * (self.outer**2 - self.inner**2), axis=-1)
        return squares

    @property
    def yield_curvature(self) -> Array:
        """Curvature at which the first fibre yields [1/mm]."""
        first: Array = np.min(self.yields / (self.modulus * self.outer), axis=-1)
        return first

    @property
    def yield_moment(self) -> Array:
        """M_y, moment at which the first fibre yields [N mm per mm]."""
        return self.rigidity * self.yield_curvature

    def scaled(self, factor: Numbers) -> Layers:
        """Return the same section with all yields times a factor, one section for each factor."""
        return Layers(
            self.inner,
            self.outer,
            self.modulus,
            self.yields * np.asarray(factor, dtype=float)[..., np.newaxis],
            self.hardening,
        )


def solid_section(
    thickness: Numbers, modulus: Numbers, yield_stress: Numbers, hardening: Numbers = 0.0
) -> Layers:
    """Section of solid sheet, the figures as they are.

    Parameters
    ----------
    thickness : float or Array
        t [mm].
    modulus, yield_stress, hardening : float or Array
        [MPa]; for wide sheet take them in plane strain, see `plane_strain`.

    Raises
    ------
    OutOfDomain
        A figure that no sheet has.
    """
    half, stiff, flow, slope = np.broadcast_arrays(
        *(np.asarray(x, dtype=float) for x in (thickness, modulus, yield_stress, hardening))
    )
    return Layers(
        np.zeros_like(half)[..., np.newaxis],
        half[..., np.newaxis] / 2.0,
        stiff[..., np.newaxis],
        flow[..., np.newaxis],
        slope[..., np.newaxis],
    )


def plane_strain(modulus: float, yield_stress: float, poisson: float) -> tuple[float, float]:
    """Modulus and yield stress of a strip too wide to narrow as it bends [MPa].

    ::

        E' = E / (1 - nu^2),   Y' = 2 Y / sqrt(3)

    Parameters
    ----------
    modulus, yield_stress : float
        E, Y [MPa], above 0.
    poisson : float
        nu, 0 to below 0.5.

    Raises
    ------
    OutOfDomain
        A Poisson's ratio that no solid has.

    References
    ----------
    W. F. Hosford and R. M. Caddell, Metal Forming: Mechanics and Metallurgy,
    chapter on bending; the yield by von Mises, with plastic strains that
    outweigh the elastic ones.

    Examples
    --------
    >>> stiff, flow = plane_strain(70_000.0, 130.0, 0.33)
    >>> round(stiff, 1), round(flow, 2)
    (78554.6, 150.11)
    """
    if not 0.0 <= poisson < 0.5:
        raise OutOfDomain(
            f"Poisson's ratio is {poisson:g}; solids have 0 to below 0.5, metals near 0.3. "
            "Check the figure.",
            name="poisson",
        )
    return modulus / (1.0 - poisson**2), PLANE_STRAIN_YIELD * yield_stress


def moment(section: Layers, curvature: Numbers) -> Array:
    """Moment that holds a section at a curvature, bent there from flat [N mm per mm].

    Fibres y from the middle stretch by K y and follow E up to their yield,
    E_t past it. A layer from a to b is elastic up to c::

        c = clip(Y / (E K), a, b)
        M = sum of 2 [E K (c^3 - a^3) / 3
                      + (1 - E_t/E) Y (b^2 - c^2) / 2 + E_t K (b^3 - c^3) / 3]

    Parameters
    ----------
    section : Layers
    curvature : float or Array
        K of the middle [1/mm], of the shape of the sections or one that broadcasts with
        it. Its sign is the moment's.

    Returns
    -------
    Array
        M.

    References
    ----------
    Bending of elastic, linearly hardening layers with plane sections; for one
    layer without hardening the closed form of texts on plasticity, e.g.
    J. M. Gere and B. J. Goodno, Mechanics of Materials, chapter on beams.

    Examples
    --------
    >>> sheet = solid_section(2.0, 70_000.0, 140.0)
    >>> round(float(moment(sheet, 2.0 * sheet.yield_curvature) / sheet.yield_moment), 9)
    1.375
    """
    bent = np.asarray(curvature, dtype=float)
    slope, rest = _slope_and_rest(section, bent)
    held: Array = slope * bent + np.sign(bent) * rest
    return held


def free_curvature(section: Layers, curvature: Numbers) -> Array:
    """Curvature left when a section that was bent to `curvature` is let go [1/mm].

    It unloads elastically::

        K_free = K - M / EI

    It does not fall as the curvature grows, and is 0 up to the first yield.
    """
    bent = np.asarray(curvature, dtype=float)
    left: Array = bent - moment(section, bent) / section.rigidity
    # below the first yield the two are equal, and only rounding is left
    return np.where(np.abs(bent) <= section.yield_curvature, 0.0, left)


def loaded_curvature(section: Layers, free: Numbers) -> Array:
    """Curvature to bend a section to, so that it springs to `free` [1/mm].

    ``K - M(K)/EI - K_free`` is convex and rises, so Newton's steps from an
    upper bound come down to the root without passing it. M is at most
    ``M_p' + E_t I K``, which bounds K from above.

    Parameters
    ----------
    section : Layers
    free : float or Array
        K_free [1/mm], above 0.

    Raises
    ------
    OutOfDomain
        Not above 0: flat sheet is left flat by any curvature up to the first yield.
    """
    wanted = np.asarray(free, dtype=float)
    refuse_unless(
        (wanted > 0.0) & np.isfinite(wanted),
        "free",
        "the curvature to spring to has to be above 0. Give a radius that is not infinite.",
    )
    rigidity = section.rigidity
    floor, rising = _plastic_line(section)
    bent = (wanted + floor / rigidity) / (1.0 - rising / rigidity)
    for _ in range(_MOST_STEPS):
        slope, rest = _slope_and_rest(section, bent)
        held = slope * bent + rest
        step = (bent - held / rigidity - wanted) / np.maximum(1.0 - slope / rigidity, 1e-12)
        bent = bent - step
        if bool(np.all(np.abs(step) <= _SETTLED * bent)):
            break
    return np.maximum(bent, section.yield_curvature)


def yield_factor(section: Layers, curvature: Numbers, held: Numbers) -> Array:
    """Factor on all yields with which a section at `curvature` needs the moment `held`.

    The moment is concave in the factor and rises, so Newton's steps from 0
    come up to the root without passing it.

    Parameters
    ----------
    section : Layers
        With the yields of the table.
    curvature : float or Array
        K [1/mm], above 0.
    held : float or Array
        M [N mm per mm].

    Raises
    ------
    OutOfDomain
        A moment that no yield gives: that of the hardening alone or less, or
        that of the unyielded section or more.
    """
    bent, wanted = np.asarray(curvature, dtype=float), np.asarray(held, dtype=float)
    _, rising = _plastic_line(section)
    refuse_unless(
        wanted < section.rigidity * bent,
        "held",
        "that is what the section needs before it yields, or more. Bend it further.",
    )
    refuse_unless(
        wanted > rising * bent,
        "held",
        "that is less than the section needs were its yield 0. Check the readings.",
    )
    factor = np.zeros(np.broadcast_shapes(bent.shape, wanted.shape))
    for _ in range(_MOST_STEPS):
        slope, rest = _slope_and_rest(section, bent, factor)
        now = slope * bent + factor * rest
        step = (wanted - now) / np.maximum(rest, 1e-12 * section.plastic_moment)
        factor = factor + step
        if bool(np.all(np.abs(step) <= _SETTLED * factor)):
            break
    return factor


def stress_at(section: Layers, curvature: Numbers, layer: int = -1) -> Array:
    """Stress of the outer fibre of a layer at a curvature, bent there from flat [MPa].

    Parameters
    ----------
    section : Layers
    curvature : float or Array
        K [1/mm].
    layer : int
        Counted from the middle; -1 is the outermost, the skin.
    """
    bent = np.abs(np.asarray(curvature, dtype=float))
    stiff, flow = section.modulus[..., layer], section.yields[..., layer]
    elastic = stiff * bent * section.outer[..., layer]
    past = flow + section.hardening[..., layer] * (elastic - flow) / stiff
    return np.where(elastic <= flow, elastic, past)


def _slope_and_rest(
    section: Layers, curvature: Array, factor: Numbers = 1.0
) -> tuple[Array, Array]:
    """Tangent to the moment at a curvature: M = slope K + factor rest, for K above 0.

    The bound c between what is elastic and what has yielded moves with K, and
    adds nothing to the slope, since the stress does not jump there. `rest` is
    the slope against the factor for the same reason.
    """
    bent = np.maximum(np.abs(curvature), _STRAIGHT)
    flow_line = _flow_past_line(section)
    slope: Array = np.zeros(np.shape(curvature))
    rest: Array = np.zeros(np.shape(curvature))
    # layer by layer, since few layers stand beside many curvatures
    for i in range(section.inner.shape[-1]):
        a, b, stiff = section.inner[..., i], section.outer[..., i], section.modulus[..., i]
        c = factor * section.yields[..., i] / (stiff * bent)
        c = np.minimum(np.maximum(c, a), b)
        squared = c * c
        cubed = squared * c
        past = section.hardening[..., i]
        slope = slope + (stiff - past) * cubed + (past * b**3 - stiff * a**3)
        rest = rest + flow_line[..., i] * (b**2 - squared)
    return slope * (2.0 / 3.0), rest


def _flow_past_line(section: Layers) -> Array:
    """Stress at which the hardening line of each layer meets strain 0 [MPa]."""
    return section.yields * (1.0 - section.hardening / section.modulus)


def _plastic_line(section: Layers) -> tuple[Array, Array]:
    """Moment of the wholly yielded section: what it has at curvature 0, and its slope."""
    rest: Array = np.sum(_flow_past_line(section) * (section.outer**2 - section.inner**2), axis=-1)
    rising: Array = np.sum(
        2.0 * section.hardening * (section.outer**3 - section.inner**3) / 3.0, axis=-1
    )
    return rest, rising


def refuse_unless(holds: NDArray[np.bool_], name: str, words: str) -> None:
    """Refuse, in these words, unless all of an array hold."""
    if not bool(np.all(holds)):
        raise OutOfDomain(words[0].upper() + words[1:], name=name)
