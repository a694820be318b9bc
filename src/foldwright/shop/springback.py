"""Springback of solid sheet: closed forms for one layer without hardening.

Room: shop. The radius in all of these is that of the middle of the thickness;
taken as the inside radius the cubic is off by t/2R. `layers` does the same for
any section; here stand the forms that textbooks print.

* `spring_ratio`, `sprung_radius`, `former_radius`: bent to one radius, springs
  to another, and which to bend to.
* `rectangle`: yield moment, plastic moment, what is left of a curvature and of
  the stress after letting go.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from foldwright.errors import OutOfDomain
from foldwright.shop.layers import (
    free_curvature,
    moment,
    solid_section,
    stress_at,
)

# x = R Y / (E t) at which the outer fibre just reaches its yield.
_FIRST_YIELD = 0.5


def spring_ratio(radius: float, thickness: float, modulus: float, yield_stress: float) -> float:
    """Radius that a sheet is bent to over the one that it springs to [-].

    ::

        R_i / R_f = 4 x^3 - 3 x + 1,   x = R_i Y / (E t)

    Parameters
    ----------
    radius : float
        R_i, bent to [mm].
    thickness : float
        t [mm].
    modulus, yield_stress : float
        E, Y [MPa]; plane strain ones for wide sheet.

    Returns
    -------
    float
        Above 0, below 1.

    Raises
    ------
    OutOfDomain
        A figure that is not above 0, or a radius at which the sheet does not
        yield (x of 0.5 or more) and springs back flat.

    References
    ----------
    S. Kalpakjian and S. R. Schmid, Manufacturing Engineering and Technology,
    chapter on sheet metal, springback. Exact for pure bending of an elastic,
    perfectly plastic sheet.

    Examples
    --------
    >>> round(spring_ratio(100.0, 1.0, 70_000.0, 130.0), 9)
    0.468478134
    """
    _above_zero(radius=radius, thickness=thickness, modulus=modulus, yield_stress=yield_stress)
    x = radius * yield_stress / (modulus * thickness)
    if x >= _FIRST_YIELD:
        largest = _FIRST_YIELD * modulus * thickness / yield_stress
        raise OutOfDomain(
            f"bent to a radius of {radius:.1f} mm this sheet does not yield, and springs back "
            f"flat; it yields below {largest:.1f} mm. Bend it tighter.",
            name="radius",
        )
    # factored, so that nothing cancels next to the first yield
    return (1.0 + x) * (1.0 - 2.0 * x) ** 2


def sprung_radius(radius: float, thickness: float, modulus: float, yield_stress: float) -> float:
    """Radius to which a sheet springs [mm]; arguments and refusals as `spring_ratio`."""
    return radius / spring_ratio(radius, thickness, modulus, yield_stress)


def former_radius(
    free_radius: float, thickness: float, modulus: float, yield_stress: float
) -> float:
    """Radius to bend a sheet to, so that it springs to the one that is wanted [mm].

    With ``k = R_f Y / (E t)`` the cubic is ``4 x^3 - (3 + 1/k) x + 1 = 0``. Its
    root from 0 to 0.5 is, by the trigonometric solution::

        p = (3 + 1/k) / 4
        x = 2 sqrt(p/3) sin(asin(3/(8 p) sqrt(3/p)) / 3)

    Parameters
    ----------
    free_radius : float
        R_f, wanted [mm].
    thickness, modulus, yield_stress : float
        As `spring_ratio`.

    Raises
    ------
    OutOfDomain
        A figure that is not above 0.

    References
    ----------
    The cubic as `spring_ratio`; its solution from any table of algebra.

    Examples
    --------
    >>> round(former_radius(60.0, 1.0, 70_000.0, 130.0), 6)
    45.073382
    """
    _above_zero(
        free_radius=free_radius, thickness=thickness, modulus=modulus, yield_stress=yield_stress
    )
    p = (3.0 + modulus * thickness / (free_radius * yield_stress)) / 4.0
    sine = min(1.0, 3.0 / (8.0 * p) * math.sqrt(3.0 / p))  # 1 for a flat sheet
    x = 2.0 * math.sqrt(p / 3.0) * math.sin(math.asin(sine) / 3.0)
    return x * modulus * thickness / yield_stress


def sprung_angle(angle: float, radius: float, sprung: float, thickness: float = 0.0) -> float:
    """Bend angle left after springing [rad]: the arc on the middle keeps its length.

    ::

        a_f (R_f + t/2) = a_i (R_i + t/2)

    Parameters
    ----------
    angle : float
        a_i, turned through under load [rad].
    radius, sprung : float
        R_i and R_f [mm], inside.
    thickness : float
        t [mm]; 0 when the radii are those of the middle.

    Raises
    ------
    OutOfDomain
        A radius that is not above 0, or a negative thickness.

    Examples
    --------
    >>> round(math.degrees(sprung_angle(math.radians(90.0), 10.0, 10.38567479, 1.5)), 5)
    86.88293
    """
    _above_zero(radius=radius, sprung=sprung)
    if not 0.0 <= thickness < math.inf:
        raise OutOfDomain(
            f"thickness is {thickness:g} mm; it has to be 0 or more. Measure the sheet.",
            name="thickness",
        )
    return angle * (radius + thickness / 2.0) / (sprung + thickness / 2.0)


@dataclass(frozen=True)
class Rectangle:
    """A rectangle that is bent past its yield and let go.

    Attributes
    ----------
    yield_moment, plastic_moment, moment : float
        M_y, M_p, and M at the curvature [N mm], for the width.
    yield_curvature, free_curvature : float
        At which it first yields; left after letting go [1/mm].
    residual_stress : float
        Of the outer fibre after letting go [MPa]; below 0 where it had been stretched.
    """

    yield_moment: float
    plastic_moment: float
    moment: float
    yield_curvature: float
    free_curvature: float
    residual_stress: float


def rectangle(
    curvature: float, thickness: float, modulus: float, yield_stress: float, width: float = 1.0
) -> Rectangle:
    """Bend a rectangle of elastic, perfectly plastic material, and let it go.

    ::

        M_y = Y b t^2 / 6      M_p = 1.5 M_y      K_y = 2 Y / (E t)
        M = 1.5 M_y (1 - (K_y/K)^2 / 3)  from K_y on
        K_f = K - M / EI       residual = stress(K) - M (t/2) / I

    Parameters
    ----------
    curvature : float
        K of the middle [1/mm], above 0.
    thickness, width : float
        t, b [mm].
    modulus, yield_stress : float
        E, Y [MPa].

    Raises
    ------
    OutOfDomain
        A figure that is not above 0.

    References
    ----------
    J. M. Gere and B. J. Goodno, Mechanics of Materials, chapter on stresses in
    beams, elastoplastic bending; J. Chakrabarty, Theory of Plasticity. Evaluated
    by `layers`, of which it is the case of one layer.

    Examples
    --------
    >>> round(rectangle(4.0 / 500.0, 2.0, 70_000.0, 140.0).free_curvature, 9)
    0.0050625
    """
    _above_zero(
        curvature=curvature,
        thickness=thickness,
        modulus=modulus,
        yield_stress=yield_stress,
        width=width,
    )
    section = solid_section(thickness, modulus, yield_stress)
    held = float(moment(section, curvature))
    unloading = held * (thickness / 2.0) / (thickness**3 / 12.0)
    return Rectangle(
        yield_moment=width * float(section.yield_moment),
        plastic_moment=width * float(section.plastic_moment),
        moment=width * held,
        yield_curvature=float(section.yield_curvature),
        free_curvature=float(free_curvature(section, curvature)),
        residual_stress=float(stress_at(section, curvature)) - unloading,
    )


def _above_zero(**figures: float) -> None:
    for name, figure in figures.items():
        if not 0.0 < figure < math.inf:
            raise OutOfDomain(
                f"{name.replace('_', ' ')} is {figure:g}; it has to be above 0. Check the figure "
                "and its unit.",
                name=name,
            )
