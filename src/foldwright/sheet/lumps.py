"""Lumps: bodies of plain shapes, what each weighs and where its centre is.

Room: sheet. A `Lump` has a content (kg, or mm2 of board, or 1 for a share) and
a place. Lumps are put together by `together`; a hole is a lump taken away
(`-hole`). `weights` sums the parts of a build the same way.

Lumps are made standing on z = 0 with their axis, or their first corner, at the
origin, and are moved with `at`. Density in kg/m3, sizes in mm.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from foldwright.errors import OutOfDomain
from foldwright.shape import Path, Step, Vector
from foldwright.sheet.outlines import moments
from foldwright.shop import Board
from foldwright.shop.physical import require_above_zero, require_between

PER_MM3 = 1e-9
"""kg/m3 to kg/mm3."""
PER_MM2 = 1e-6
"""kg/m2 to kg/mm2."""


@dataclass(frozen=True)
class Lump:
    """Something that has a content (mm2 of board, or kg) and a place, shape (3,) [mm]."""

    content: float
    at: Vector

    def __neg__(self) -> Lump:
        """The same taken away: a hole."""
        return replace(self, content=-self.content)

    def moved(self, x: float = 0.0, y: float = 0.0, z: float = 0.0) -> Lump:
        """The same moved [mm]."""
        return replace(self, at=self.at + np.array([x, y, z]))

    def upside_down(self) -> Lump:
        """The same reflected in z = 0, so that it hangs below."""
        return replace(self, at=self.at * np.array([1.0, 1.0, -1.0]))


def together(lumps: Sequence[Lump]) -> tuple[float, Vector]:
    """Content of all, and their common centre; lumps without a place go along.

    A lump without a place has `at` not a number.
    """
    total = sum(lump.content for lump in lumps)
    placed = [lump for lump in lumps if np.isfinite(lump.at).all()]
    content = sum(lump.content for lump in placed)
    if content <= 0.0:
        return total, np.zeros(3)
    moment = sum((lump.content * lump.at for lump in placed), np.zeros(3))
    return total, np.asarray(moment / content, dtype=np.float64)


def composed(lumps: Sequence[Lump]) -> Lump:
    """One lump of several, holes as lumps taken away.

    Raises
    ------
    OutOfDomain
        Nothing is left.

    Examples
    --------
    >>> ring = composed([disc(50.0, 2.0, 2700.0), -disc(40.0, 2.0, 2700.0)])
    >>> round(ring.content, 5)
    0.01527
    """
    content, centre = together(lumps)
    if not content > 0.0:
        raise OutOfDomain(
            f"The pieces weigh {content:g} kg together. Check that no hole is larger than what it "
            "is cut from.",
            name="pieces",
        )
    return Lump(content, centre)


def plate(path: Path, thickness: float, density: float) -> Lump:
    """Lump of an outline with lines and arcs, anticlockwise, of even thickness.

    Examples
    --------
    >>> triangle = plate_of([(0.0, 0.0), (150.0, 0.0), (150.0, 225.0)], 30.0, 7850.0)
    >>> round(triangle.content, 3), triangle.at.tolist()
    (3.974, [100.0, 75.0, 15.0])
    """
    require_above_zero(thickness, "the thickness", name="thickness")
    _require_density(density)
    found = moments(path)
    if not found.area > 0.0:
        raise OutOfDomain(
            "The outline goes round nothing. Give its corners anticlockwise.", name="outline"
        )
    x, y = found.centroid
    mass = found.area * thickness * density * PER_MM3
    return Lump(mass, np.array([x, y, thickness / 2.0]))


def plate_of(corners: Sequence[tuple[float, float]], thickness: float, density: float) -> Lump:
    """Lump of a flat plate with straight sides; corners anticlockwise [mm]."""
    return plate(tuple(Step((float(x), float(y))) for x, y in corners), thickness, density)


def block(x: float, y: float, z: float, density: float) -> Lump:
    """Lump of a rectangular block with a corner at the origin."""
    require_above_zero(x, "the length", name="length")
    require_above_zero(y, "the width", name="width")
    return plate_of([(0.0, 0.0), (x, 0.0), (x, y), (0.0, y)], z, density)


def panel(x: float, y: float, board: Board) -> Lump:
    """Lump of a rectangle of board, skins and core counted, with a corner at the origin.

    Examples
    --------
    >>> from foldwright.shop import boards
    >>> round(panel(500.0, 400.0, boards()["acp-3-0.5"]).content, 3)
    0.908
    """
    require_above_zero(x, "the length", name="length")
    require_above_zero(y, "the width", name="width")
    require_above_zero(board.thickness, "the thickness", name="thickness")
    mass = x * y * board.areal_mass * PER_MM2
    return Lump(mass, np.array([x / 2.0, y / 2.0, board.thickness / 2.0]))


def rod(section: float, length: float, density: float) -> Lump:
    """Lump of tube or bar of a section area [mm2] that stands on z = 0 about the z axis."""
    require_above_zero(section, "the section", name="section", unit="mm2")
    require_above_zero(length, "the length", name="length")
    _require_density(density)
    return Lump(section * length * density * PER_MM3, np.array([0.0, 0.0, length / 2.0]))


def disc(radius: float, thickness: float, density: float) -> Lump:
    """Lump of a round bar or disc that stands on z = 0 about the z axis."""
    require_above_zero(radius, "the radius", name="radius")
    return plate((Step((radius, 0.0), (0.0, 0.0)),), thickness, density)


def cone(radius: float, height: float, density: float) -> Lump:
    """Lump of a full cone that stands on its base; centre a quarter of its height up.

    References
    ----------
    R. C. Hibbeler, Engineering Mechanics: Statics, inside back cover.
    """
    require_above_zero(radius, "the radius", name="radius")
    require_above_zero(height, "the height", name="height")
    _require_density(density)
    mass = math.pi / 3.0 * radius**2 * height * density * PER_MM3
    return Lump(mass, np.array([0.0, 0.0, height / 4.0]))


def whole_cone(bottom_radius: float, top_radius: float, height: float, density: float) -> Lump:
    """Lump of the full cone that a frustum is the foot of; it narrows upwards."""
    return cone(bottom_radius, _tip_height(bottom_radius, top_radius, height), density)


def frustum(bottom_radius: float, top_radius: float, height: float, density: float) -> Lump:
    """Lump of a cone frustum: its whole cone less the tip. Equal radii make a bar.

    Examples
    --------
    >>> round(frustum(30.0, 20.0, 50.0, 1000.0).content, 6)
    0.099484
    """
    require_above_zero(bottom_radius, "the bottom radius", name="bottom_radius")
    require_between(top_radius, 0.0, math.inf, "the top radius", name="top_radius")
    if bottom_radius == top_radius:
        return disc(bottom_radius, height, density)
    if top_radius > bottom_radius:
        return frustum(top_radius, bottom_radius, height, density).upside_down().moved(z=height)
    whole = whole_cone(bottom_radius, top_radius, height, density)
    if top_radius == 0.0:
        return whole
    tip = cone(top_radius, _tip_height(bottom_radius, top_radius, height) - height, density)
    return composed([whole, -tip.moved(z=height)])


def hemisphere(radius: float, density: float) -> Lump:
    """Lump of half a ball on its flat side; centre 3/8 of the radius up.

    References
    ----------
    R. C. Hibbeler, Engineering Mechanics: Statics, inside back cover.

    Examples
    --------
    >>> bowl = hemisphere(160.0, 7800.0)
    >>> round(bowl.content, 2), bowl.at[2]
    (66.91, np.float64(60.0))
    """
    require_above_zero(radius, "the radius", name="radius")
    _require_density(density)
    mass = 2.0 / 3.0 * math.pi * radius**3 * density * PER_MM3
    return Lump(mass, np.array([0.0, 0.0, 3.0 * radius / 8.0]))


def _tip_height(bottom_radius: float, top_radius: float, height: float) -> float:
    """Height of the tip over the bottom [mm]."""
    require_above_zero(height, "the height", name="height")
    if not 0.0 <= top_radius < bottom_radius:
        raise OutOfDomain(
            f"A whole cone narrows upwards; its radii are {bottom_radius:g} mm at the bottom and "
            f"{top_radius:g} at the top. Turn it over.",
            name="top_radius",
        )
    return height * bottom_radius / (bottom_radius - top_radius)


def _require_density(density: float) -> None:
    require_above_zero(density, "the density", name="density", unit="kg/m3")
